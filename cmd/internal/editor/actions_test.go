package editor

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// loaded reads a text as a book.
func loaded(text string) (*load.Loaded, diag.List) {
	fsys := fstest.MapFS{"a.ferrule": {Data: []byte(text)}}
	return load.Load(rulesets.FS(), []load.Root{{FS: fsys, Path: "a.ferrule", Show: "a.ferrule"}})
}

// offered are the actions at a place, of some kinds.
func (s *session) offered(at Position, only ...string) []action {
	s.Helper()
	var all []action
	context := map[string]any{"diagnostics": []any{}}
	if only != nil {
		context["only"] = only
	}
	if code := s.ask("textDocument/codeAction", s.about("a.ferrule", "range", Range{at, at}, "context", context), &all); code != 0 {
		s.Fatalf("code actions: error %d", code)
	}
	return all
}

// applied is a text with the edits of an action, which are all of one file.
func (s *session) applied(text string, a action) string {
	s.Helper()
	t := NewText(text)
	for _, e := range a.Edit.Changes[s.uri("a.ferrule")] {
		t = t.With(e.Range, e.NewText)
	}
	return t.All
}

// Each mistake that a machine can mend has a preferred fix, and all safe mends together are what "vet --fix" makes.
func TestMends(t *testing.T) {
	s := started(t)
	fixed := 0
	for _, code := range diag.Codes() {
		entry, _ := diag.Explain(code)
		_, list := loaded(entry.Failing)
		i := slices.IndexFunc(list, func(d diag.Diagnostic) bool { return d.Mend.Fits(d.Mend.Span.File) })
		if entry.Failing == "" || i < 0 || strings.Contains(entry.Failing, "use \"") {
			continue
		}
		s.open("a.ferrule", entry.Failing)
		at := NewText(entry.Failing).Position(list[i].Span.Start)
		fixes := s.offered(at, "quickfix")
		if len(fixes) == 0 || !fixes[0].IsPreferred || len(fixes[0].Diagnostics) != 1 {
			t.Fatalf("%s: offered %+v", code, fixes)
		}
		if _, left := loaded(s.applied(entry.Failing, fixes[0])); len(left) >= len(list) {
			t.Errorf("%s: with %q there are still %d mistakes", code, fixes[0].Title, len(left))
		}
		folder := &load.Folder{FS: fstest.MapFS{}, Texts: map[string][]byte{"a.ferrule": []byte(entry.Failing)}}
		load.Mend(rulesets.FS(), []load.Root{{FS: folder, Path: "a.ferrule", Show: "a.ferrule"}})
		want, got := string(folder.Texts["a.ferrule"]), entry.Failing
		for _, a := range s.offered(at, "source.fixAll") {
			got = s.applied(got, a)
			fixed++
		}
		if got != want {
			t.Errorf("%s: all safe mends make\n%s\nexpected\n%s", code, got, want)
		}
		s.close("a.ferrule")
	}
	if fixed < 5 {
		t.Errorf("only %d examples have safe mends", fixed)
	}
}

// outcomes of a book with a text, and whether it has no mistake and all cases hold, as "ferrule test" exits with 0.
func holds(t *testing.T, text string) bool {
	t.Helper()
	books, list := loaded(text)
	if list.HasErrors() {
		return false
	}
	out := trial.Run(judge.Compile(books.Roots, books.Schema), books.Roots[0])
	return len(out) > 0 && !slices.ContainsFunc(out, func(o trial.Outcome) bool { return !o.Right() })
}

// The missing cases of a rule are offered anywhere in it, go behind the last declaration, hold, and leave nothing of the
// rule unshown; other kinds of action are not offered where only these are asked for.
func TestMissingCases(t *testing.T) {
	const text = "rule soft \"S\"\r\n  for every iron\r\n  require lie at most 62 deg # and a word\r\n# the end"
	s := started(t)
	s.open("a.ferrule", text)
	for line := range 3 {
		all := s.offered(Position{line, 3 + 30*(line/2)}, "refactor")
		if len(all) != 1 || all[0].Kind != "refactor.rewrite" {
			t.Fatalf("offered %+v", all)
		}
		now := s.applied(text, all[0])
		if !strings.HasPrefix(now, text+"\r\n") || strings.Count(now, "\n") != strings.Count(now, "\r\n") || !holds(t, now) {
			t.Errorf("the book is now\n%s", now)
		}
		s.edit("a.ferrule", nil, now)
		if again := s.offered(Position{line, 3}, "refactor.rewrite"); len(again) > 0 {
			t.Errorf("with the cases still offered: %+v", again)
		}
		s.edit("a.ferrule", nil, text)
	}
	for at, only := range map[Position]string{{3, 0}: "refactor", {1, 0}: "source"} {
		if all := s.offered(at, only); len(all) > 0 {
			t.Errorf("at %v of %s offered %+v", at, only, all)
		}
	}
	wrong := "\ncase \"wrong\"\n  club a: iron 6, lie 60 deg\n  expect soft on a: fail\n"
	s.edit("a.ferrule", nil, text+wrong)
	if all := s.offered(Position{1, 0}, "refactor"); len(all) > 0 {
		t.Errorf("though a case of the rule does not hold, offered %+v", all)
	}
	s.edit("a.ferrule", nil, text+"\nrule other \"O\"\n  for every iron\n  require lie at most 63 deg"+strings.ReplaceAll(wrong, "soft", "other"))
	if all := s.offered(Position{1, 0}, "refactor"); len(all) != 1 {
		t.Errorf("where a case of another rule does not hold, offered %+v", all)
	}
}

// The witness of a finding is offered as a case once it is known, and not where the book holds it already.
func TestWitnessAsCase(t *testing.T) {
	const text = "rule high \"H\"\n  for every iron\n  require lie at most 62 deg\nrule low \"L\"\n  for every iron\n  require lie at least 63 deg\n"
	s := started(t)
	s.open("a.ferrule", text)
	s.until("a.ferrule", "5:2-29 contradiction")
	witness := func(a action) bool { return a.Title == "Write a case from this witness" }
	all := slices.DeleteFunc(s.offered(Position{5, 4}), func(a action) bool { return !witness(a) })
	if len(all) != 1 || len(all[0].Diagnostics) != 1 {
		t.Fatalf("offered %+v", all)
	}
	now := s.applied(text, all[0])
	if !strings.HasPrefix(now, text) || !holds(t, now) {
		t.Errorf("the book is now\n%s", now)
	}
	s.edit("a.ferrule", nil, now)
	s.until("a.ferrule", "5:2-29 contradiction")
	if all := s.offered(Position{5, 4}); slices.ContainsFunc(all, witness) {
		t.Errorf("the case is there, and offered: %+v", all)
	}
}

// The layout is that of the formatter, nothing for a book with a mistake; of a range it is that of the declarations
// that it touches, and the others stay as they are.
func TestLayout(t *testing.T) {
	books, err := filepath.Glob("../../../lang/format/testdata/*")
	if err != nil || len(books) == 0 {
		t.Fatal("there are no books to lay out")
	}
	s := started(t)
	for _, name := range books {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		tree, list := parser.Parse(source.NewFile(name, string(text)))
		s.open("a.ferrule", string(text))
		var edits []TextEdit
		s.ask("textDocument/formatting", s.about("a.ferrule"), &edits)
		got, want := NewText(string(text)), string(text)
		if !list.HasErrors() {
			want = format.Format(tree)
		}
		for _, e := range edits {
			got = got.With(e.Range, e.NewText)
		}
		if got.All != want {
			t.Errorf("%s is laid out as\n%s\nexpected\n%s", name, got.All, want)
		}
		s.close("a.ferrule")
	}
	laidOut := []string{"rule  b \"B\"", "rule b \"B\"         ", "    for   every", "  for      every", "require lie", "require  lie"}
	const crooked = "group  a =  iron # one\r\n\r\n\r\n# two\r\nrule  b \"B\" # three\r\n    for   every a  # four\r\n  require lie < 3 deg\r\ngroup   c =   wedge"
	s.open("a.ferrule", crooked)
	for r, want := range map[Range]string{
		{Position{5, 0}, Position{5, 0}}: strings.NewReplacer(laidOut...).Replace(crooked),
		{Position{6, 9}, Position{7, 1}}: strings.NewReplacer(append(laidOut, "group   c =   w", "\r\ngroup c = w")...).Replace(crooked),
		{Position{1, 0}, Position{3, 4}}: crooked,
	} {
		var edits []TextEdit
		s.ask("textDocument/rangeFormatting", s.about("a.ferrule", "range", r), &edits)
		got := NewText(crooked)
		for _, e := range edits {
			got = got.With(e.Range, e.NewText)
		}
		if got.All != want {
			t.Errorf("%v makes\n%s\nexpected\n%s", r, got.All, want)
		}
	}
}

// What an editor folds, lists, and shows between and in the lines of a book, read off its text by hand.
func TestOutlineAndOutcomes(t *testing.T) {
	s := started(t)
	text := strings.Replace(strings.Replace(sample, "use \"house.ferrule\"\n", "", 1), "≥", ">=", 1) + "  expect lies on a: fail\n"
	s.open("a.ferrule", text)
	var folded []foldingRange
	s.ask("textDocument/foldingRange", s.about("a.ferrule"), &folded)
	if want := []foldingRange{{0, 1}, {5, 7}, {8, 11}, {13, 16}}; !slices.Equal(folded, want) {
		t.Errorf("folded are %v, expected %v", folded, want)
	}
	var listed []symbol
	s.ask("textDocument/documentSymbol", s.about("a.ferrule"), &listed)
	var names []string
	for _, one := range listed {
		names = append(names, one.Detail+" "+one.Name)
	}
	if got := strings.Join(names, ", "); got != "rulebook Sample ½ ” 𝄞, use methods, group long-clubs, rule longest, rule lies, case shown" {
		t.Errorf("listed are %s", got)
	}
	if got := listed[0].Selection; got != (Range{Position{0, 9}, Position{0, 24}}) {
		t.Errorf("the title is at %v", got)
	}
	var shown []lens
	s.ask("textDocument/codeLens", s.about("a.ferrule"), &shown)
	if len(shown) != 2 || shown[0].Command.Title != "fail" || shown[0].Range.Start.Line != 13 ||
		shown[1].Command.Title != "expected fail, got pass" || shown[1].Range.Start.Line != 16 {
		t.Errorf("of the cases it shows %+v", shown)
	}
	var hinted []hint
	s.ask("textDocument/inlayHint", s.about("a.ferrule", "range", Range{Position{}, Position{13, 0}}), &hinted)
	want := []hint{{Position{7, 39}, "decision three-way at 95 %", true}, {Position{10, 28}, "decision three-way at 95 %", true}, {Position{7, 39}, "= 1168.4 mm", true}} // 46 times 25.4
	if !slices.Equal(hinted, want) {
		t.Errorf("hinted is %v, expected %v", hinted, want)
	}
	s.edit("a.ferrule", &Range{Position{10, 0}, Position{10, 0}}, "  require lie at mots 3 deg\n")
	if s.ask("textDocument/codeLens", s.about("a.ferrule"), &shown); len(shown) > 0 {
		t.Errorf("of a book with a mistake it shows %+v", shown)
	}
}
