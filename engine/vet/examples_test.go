package vet_test

// This file loads books and has them analysed, for all tests, and runs the examples of the codes.

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/judge"
	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// beside is a small book that is in the folder of each one.
const beside = "property made date\nrule shallow \"S\"\n  for every putter\n  require loft at most 10 deg\n"

// steps is another, on neighbours.
const steps = "rule even \"E\"\n  for neighbours among wedge by loft\n  require rise of loft at most 6 deg\n"

// loaded loads a text as a book beside house.ferrule and steps.ferrule. It must have no errors.
func loaded(t testing.TB, text string) (*judge.Program, *book.Book) {
	t.Helper()
	files := fstest.MapFS{"book.ferrule": {Data: []byte(text)}, "house.ferrule": {Data: []byte(beside)}, "steps.ferrule": {Data: []byte(steps)}}
	l, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "book.ferrule", Show: "book.ferrule"}})
	for _, d := range list {
		if d.Severity == diag.Error {
			t.Fatalf("%s\n%s", d, text)
		}
	}
	return judge.Compile(l.Roots, l.Schema), l.Roots[0]
}

// analysed is what the analysis finds in a text.
func analysed(t testing.TB, text string) vet.Findings {
	t.Helper()
	p, b := loaded(t, text)
	return vet.Book(t.Context(), p, b)
}

// said is a finding with its witness, on one line.
func said(f vet.Finding) string {
	out := f.Diagnostic.String()
	if f.Witness != nil {
		out += fmt.Sprintf(" witness on %q:", f.Witness.On)
		for _, r := range f.Witness.Rows {
			out += fmt.Sprintf(" %v", r)
		}
		for _, v := range f.Witness.Verdicts {
			out += fmt.Sprintf(" %s %s", v.Rule.Decl.Name.Text, v.Verdict)
		}
	}
	return out
}

// Every code's failing example gives just that code, and its mended form, like that of every other code, nothing.
func TestExamplesOfCodes(t *testing.T) {
	for _, code := range diag.Codes() {
		entry, _ := diag.Explain(code)
		if entry.Failing == "" || code == diag.UsedTwice {
			continue
		}
		if entry.Analysed {
			found := analysed(t, entry.Failing)
			if len(found.List) == 0 {
				t.Errorf("%s: nothing is found in its failing example", code)
			}
			for _, f := range found.List {
				if f.Code != code || f.Message == "" || f.Span.IsZero() {
					t.Errorf("%s: its failing example gives %s", code, said(f))
				}
			}
		}
		for _, f := range analysed(t, entry.Mended).List {
			t.Errorf("%s: its mended example gives %s", code, said(f))
		}
	}
}

// The shipped books give no alarm.
func TestShippedBooks(t *testing.T) {
	for _, name := range rulesets.Names() {
		l, list := load.Load(rulesets.FS(), []load.Root{{Path: name, Show: name}})
		if len(list) > 0 {
			t.Fatal(list)
		}
		found := vet.Book(t.Context(), judge.Compile(l.Roots, l.Schema), l.Roots[0])
		for _, f := range found.List {
			t.Errorf("%s: %s", name, said(f))
		}
		for _, s := range found.LeftOut {
			t.Errorf("%s: left out: %s", name, s)
		}
	}
}

// bookOf analyses a book.
func bookOf(p *judge.Program, b *book.Book) vet.Findings {
	return vet.Book(context.Background(), p, b)
}

// A look that is cancelled ends, and says that it is not whole.
func TestCancelled(t *testing.T) {
	p, b := loaded(t, largeBook())
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	found := vet.Book(ctx, p, b)
	if len(found.List) > 0 || len(found.LeftOut) != 1 || !strings.Contains(found.LeftOut[0], "stopped early") {
		t.Errorf("found %d, left out %q", len(found.List), found.LeftOut)
	}
}
