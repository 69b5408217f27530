package load_test

// The reference of the language is a page of examples. This test reads each of them as a
// book, runs its cases, and holds the page's lists of words against the language's own.

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/format"
	"ferrule/lang/load"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

const reference = "../REFERENCE.md"

// example is a fenced block of the page.
type example struct {
	line int    // of its first line
	info string // behind the fence
	text string
}

func examples(t *testing.T) []example {
	t.Helper()
	page, err := os.ReadFile(reference)
	if err != nil {
		t.Fatal(err)
	}
	var all []example
	open := false
	for i, line := range strings.Split(string(page), "\n") {
		info, fence := strings.CutPrefix(line, "```")
		switch {
		case fence && !open:
			all = append(all, example{line: i + 2, info: info})
			open = true
		case fence:
			open = false
		case open:
			all[len(all)-1].text += line + "\n"
		}
	}
	return all
}

func TestReferenceExamples(t *testing.T) {
	beside := fstest.MapFS{}
	words := map[string]bool{}
	count := 0
	for _, e := range examples(t) {
		kind, rest, _ := strings.Cut(e.info, " ")
		if kind != "ferrule" {
			if kind != "words" {
				t.Errorf("line %d: nothing tests a block marked %q", e.line, e.info)
			}
			continue
		}
		count++
		if name, ok := strings.CutPrefix(rest, "as "); ok {
			beside[name] = &fstest.MapFile{Data: []byte(e.text)}
		}
		code, mistaken := strings.CutPrefix(rest, "error ")
		files := fstest.MapFS{"example.ferrule": {Data: []byte(e.text)}}
		for name, file := range beside {
			files[name] = file
		}
		loaded, mistakes := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "example.ferrule", Show: "example.ferrule"}})
		if mistaken {
			if len(mistakes) != 1 || string(mistakes[0].Code) != code {
				t.Errorf("line %d: want the one mistake %s, got %d: %v", e.line, code, len(mistakes), mistakes)
			}
			continue
		}
		for _, m := range mistakes {
			t.Errorf("line %d: %s", e.line+m.Span.Line()-1, m.Message)
		}
		if len(mistakes) > 0 {
			continue
		}
		book := loaded.Roots[0]
		if laid := format.Format(book.Tree); laid != e.text {
			t.Errorf("line %d: the example is not laid out as it would be:\n%s", e.line, laid)
		}
		for _, o := range trial.Run(judge.Compile(loaded.Roots, loaded.Schema), book) {
			if !o.Right() {
				t.Errorf("line %d: %s: %s", e.line+o.Expect.Span.Line()-1, o.Expect.Rule.Text, o.Words())
			}
		}
		for _, w := range regexp.MustCompile(`[a-z][a-z0-9-]*`).FindAllString(e.text, -1) {
			words[w] = true
		}
	}
	if count < 30 {
		t.Errorf("the page has %d examples only", count)
	}
	for _, w := range ast.ReservedWords() {
		if !words[w] && w != "clubs" { // another spelling of club
			t.Errorf("no example shows the word %q", w)
		}
	}
}

func TestReferenceLists(t *testing.T) {
	lists := map[string]string{}
	for _, e := range examples(t) {
		if name, ok := strings.CutPrefix(e.info, "words "); ok {
			lists[name] = strings.Join(strings.Fields(e.text), " ")
		}
	}
	var kinds, clauses []string
	for _, k := range catalogue.Kinds() {
		kinds = append(kinds, k.String())
	}
	for _, d := range ast.DeclarationWords() {
		for _, c := range ast.ClauseWords(d) {
			if !slices.Contains(clauses, c) {
				clauses = append(clauses, c)
			}
		}
	}
	for name, want := range map[string][]string{
		"kinds": kinds, "sorts": catalogue.SortNames(), "properties": catalogue.NewSchema().Names(),
		"columns": catalogue.Columns(), "units": unit.Names(), "declarations": ast.DeclarationWords(),
		"clauses": clauses, "reserved": ast.ReservedWords(),
	} {
		got := sortedWords(lists[name])
		if want := sortedWords(strings.Join(want, " ")); got != want {
			t.Errorf("the list %q reads\n  %s\nand should read\n  %s", name, got, want)
		}
	}
	if len(lists) != 8 {
		t.Errorf("the page has %d lists of words", len(lists))
	}
}

func sortedWords(text string) string {
	words := strings.Fields(text)
	slices.Sort(words)
	return strings.Join(words, " ")
}
