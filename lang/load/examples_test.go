package load_test

import (
	"testing"
	"testing/fstest"

	"ferrule/lang/diag"
	"ferrule/lang/load"
)

// aside are the codes whose examples would fill pages, or need a machine that refuses a file.
var aside = map[diag.Code]bool{diag.BookTooLarge: true, diag.FormulaTooLong: true, diag.TooManyMistakes: true, diag.TooManyBooks: true,
	diag.BookUnread: true}

// beside is a small book that is in the folder of each example.
const beside = "property made date\nrule shallow \"S\"\n  for every putter\n  require loft at most 10 deg\n"

// vet loads the text as a book beside house.ferrule and returns its mistakes.
func vet(text string) diag.List {
	files := fstest.MapFS{"book.ferrule": {Data: []byte(text)}, "house.ferrule": {Data: []byte(beside)}}
	_, list := load.Load(nil, []load.Root{{FS: files, Path: "book.ferrule", Show: "book.ferrule"}})
	return list
}

// Every code's failing example gives just that code, and its mended form nothing.
func TestExamplesOfCodes(t *testing.T) {
	for _, code := range diag.Codes() {
		entry, ok := diag.Explain(code)
		if !ok || entry.Title == "" || entry.Why == "" {
			t.Errorf("%s is not explained", code)
		}
		if entry.Failing == "" || entry.Mended == "" {
			t.Errorf("%s has no examples", code)
		}
		if aside[code] {
			continue
		}
		if entry.Analysed { // the analysis runs the examples itself
			for _, d := range append(vet(entry.Failing), vet(entry.Mended)...) {
				t.Errorf("%s: one of its examples gives %s: %s", code, d.Code, d.Message)
			}
			continue
		}
		list := vet(entry.Failing)
		if len(list) == 0 {
			t.Errorf("%s: its failing example has no mistake", code)
		}
		for _, d := range list {
			if d.Code != code {
				t.Errorf("%s: its failing example gives %s: %s", code, d.Code, d.Message)
			}
		}
		for _, d := range vet(entry.Mended) {
			t.Errorf("%s: its mended example gives %s: %s", code, d.Code, d.Message)
		}
	}
}

// Every mend that a machine could make of a failing example leaves fewer mistakes.
func TestMendsOfExamples(t *testing.T) {
	safe := 0
	for _, code := range diag.Codes() {
		entry, _ := diag.Explain(code)
		list := vet(entry.Failing)
		for _, d := range list {
			m := d.Mend
			if m.Span.IsZero() {
				continue
			}
			text := m.Span.File.Text
			if left := vet(text[:m.Span.Start] + m.Text + text[m.Span.End:]); len(left) >= len(list) {
				t.Errorf("%s: with %q in place of %q there are still %s", code, m.Text, m.Span.Text(), said(left))
			}
			if m.Safe {
				safe++
			}
		}
	}
	if safe < 5 {
		t.Errorf("only %d safe mends among the examples", safe)
	}
}

// Apply makes the safe mends of a file, all at once, and leaves everything else as it stands.
func TestApply(t *testing.T) {
	for in, want := range map[string]string{
		"group Woods = driver\ngroup low_irons = iron 9 to 5 # as measured\n": "group woods = driver\ngroup low-irons = iron 5 to 9 # as measured\n",
		"group some = iron where 5 <= number <= 7\n":                          "group some = iron where 5 <= number and number <= 7\n",
		"group some = iron where 5 <= number >= 7\n":                          "group some = iron where 5 <= number >= 7\n", // nobody can tell
		"group some = iron where number ≤ 5 && loft ≥ 30 degrees\n":           "group some = iron where number <= 5 and loft >= 30 deg\n",
		"let gap = lie -3 deg\n":                                              "let gap = lie - 3 deg\n",
		"let a = 45 5/4 in + .5 in\n":                                         "let a = 46 1/4 in + 0.5 in\n",
		"group some = iron where 5 <=\n  number <= 7\n":                       "group some = iron where 5 <=\n  number <= 7\n", // a line's end
		"group long = irn\n":                                                  "group long = irn\n",                            // a guess
	} {
		list := vet(in)
		if len(list) == 0 {
			t.Errorf("%q has no mistake", in)
			continue
		}
		got, _ := diag.Apply(list[0].Span.File, list)
		if got != want {
			t.Errorf("%q is mended to\n%q, not to\n%q", in, got, want)
		}
	}
}
