package editor

import (
	"math/rand"
	"slices"
	"strings"
	"testing"

	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

const shopHead = `use methods
property junior yes-no
property grip text one of "A", "B"
property made date
let reach-up = 3 in
let tilt = 3 deg
chart bends of lie per club
  iron = 60 deg
group woods = driver, fairway
`

func labels(t testing.TB, r *request) []string {
	t.Helper()
	answer, err := completion(r)
	if err != nil {
		t.Fatal(err)
	}
	all := []string{}
	for _, it := range answer.([]item) {
		all = append(all, it.Label)
	}
	return all
}

// What may be written after the beginnings of clauses (language.md), and some of what may not. "=" is all that may.
func TestCompletion(t *testing.T) {
	const rule = "rule r \"R\"\n  for every iron\n  "
	for _, c := range []struct{ text, may, not string }{
		{"|", "rule use rulebook property", "for require lie"},
		{"|\nrulebook \"B\"\n" + rule + "require lie at most 3 deg", "rule use property", "rulebook"},
		{"|\nuse methods\n" + rule + "require lie at most 3 deg", "rule use rulebook property", "for require lie"},
		{rule, "require unless decision from until cite mend rule", "for lie covers"},
		{rule + "|\n  require lie at most 3 deg\n  cite \"C\"", "unless cite decision mend", "for require"},
		{"method m\n  stop at lie\n  ", "covers top reads lie-set ruler", "stop for"},
		{"head driver\n  ", "reach camber toe toe-radius heel heel-radius", "for"},
		{"rule r \"R\"\n  for ", "= every each neighbours", ""},
		{"rule r \"R\"\n  for every ", "= club driver fairway hybrid iron wedge putter chipper woods", ""},
		{"rule r \"R\"\n  for every iron ", "= except where", ""},
		{"rule r \"R\"\n  for neighbours among iron ", "= by except where", ""},
		{rule + "require lie ", "= at below above between is within", ""},
		{rule + "require lie at ", "= least most", ""},
		{rule + "require lie at most ", "lie loft bounce tilt bends abs", "mass reach-up length junior grip made kind today left"},
		{rule + "require length by plane-60 at most ", "reach-up balance grip-length", "lie mass tilt"},
		{rule + "require length by plane-60 within 1 in of ", "reach-up balance", "lie mass tilt"},
		{rule + "require lie at most 3 ", "deg °", "in mm g"},
		{rule + "require lie at most 3 deg ", "= allowing", ""},
		{rule + "require length by ", "= soled plane-60 wall axis bare", ""},
		{rule + "require lie at most 3 deg\n  unless loft > ", "lie tilt bends", "mass reach-up"},
		{rule + "unless loft > |\n  require lie at most 3 deg", "lie tilt bends", "mass reach-up"},
		{rule + "require lie at most 3 deg\n  unless (loft > 3 deg and jun", "junior", ""},
		{rule + "require lie at most 3 deg\n  unless kind = ", "driver iron woods", "lie mass left"},
		{rule + "require lie at most 3 deg\n  unless hand = ", "left right", "driver yes lie"},
		{rule + "require lie at most 3 deg\n  unless grip = ", "\"A\" \"B\"", "driver lie yes"},
		{rule + "require lie at most 3 deg\n  unless junior: ", "= exempt at below above between is within", ""},
		{rule + "require lie at most 3 deg\n  unless junior: at most ", "lie tilt", "mass"},
		{rule + "require lie at most 3 deg\n  from 2026-04-01\n  ", "until cite", "from"},
		{rule + "require lie at most 3 deg\n  until 2019-04-01\n  ", "from cite", "until"},
		{rule + "require length by soled at most (longest ", "= of", ""},
		{rule + "require length by soled within 1/8 in of ", "ordered balance", "lie mass"},
		{rule + "require kind ", "in not", "at is between"}, {rule + "require grip ", "= in not", ""},
		{rule + "require kind = ", "iron wedge", "ordered lie"},
		{rule + "require inertia at most 3 g ", "= cm2 allowing", ""},
		{rule + "require kind = iron ", "= and or", ""}, {rule + "require grip = ", "\"A\" grip ordered", "share abs"},
		{rule + "require spread of ", "frequency lie", "share junior"}, {rule + "require spread of lie ", "= among", ""},
		{rule + "decision ", "= simple three-way guarded", ""}, {rule + "decision guarded ", "= acceptance rejection", ""},
		{rule + "mend ", "= over under", ""},
		{rule + "require (", "lie junior not if max min has", "then allowing"},
		{"rule r \"R\"\n  for each set\n  require spread of lie among ", "iron club woods readings", "lie"},
		{"rule r \"R\"\n  for neighbours among iron by ", "number loft mass", "grip junior woods"},
		{"rule r \"R\"\n  for neighbours among iron by number\n  require ", "drop rise first second", "lie bends"},
		{"rule r \"R\"\n  for neighbours among iron by number\n  require drop of ", "lie mass", "grip junior"},
		{"let a = if lie > 3 deg ", "= then and or", ""},
		{"use ", "methods \"lib/house.ferrule\"", "rule"}, {"use methods ", "= only without", ""},
		{"use \"lib/house.ferrule\" without ", "= light old", ""},
		{"property p yes-no ", "= else", ""}, {"property p yes-no else ", "= yes no", ""}, {"case \"C\"\n  ", "club set order expect on", "for"},
		{rule + "require lie within ", "abs tilt", "reach-up"},
		{"property p text ", "= one else", ""}, {"property p length ", "= by", ""}, {"property p mass ", "=", ""},
		{"group mine = ", "iron woods", "mine"}, {"let mine = ", "lie tilt", "mine"}, {"let mine = lie ", "=", ""},
		{"property p ", "length angle mass text yes-no date", "lie for"},
		{"group g = ", "iron club woods", "lie"}, {"chart c of ", "lie loft", "junior made woods"},
		{"method m\n  top at ", "= cap butt", ""}, {"method m\n  stop ", "= along at", ""}, {"allowance ", "= cap crown", ""},
		{"use methods\nallowance cap 1/8 ", "in mm", "deg"},
		{"rule r \"R\"\n  for neighbours among ", "iron woods", "lie soled at by tilt"},
		{"use \"lib/house.ferrule\"\nwaive ", "= light old", ""},
		{"case \"C\"\n  club d: ", "= driver fairway hybrid iron wedge putter chipper", ""},
		{"case \"C\"\n  club d: driver, ", "length lie junior grip", "tilt woods d"},
		{"case \"C\"\n  club d: driver, junior ", "= yes no", ""},
		{"case \"C\"\n  club d: driver, grip ", "= \"A\" \"B\"", ""},
		{"case \"C\"\n  club d: driver, lie 60 ", "= deg °", ""}, {"case \"C\"\n  club d: driver, lie 60 deg ", "=", ""},
		{"case \"C\"\n  club d: driver, length 45 ", "in mm cm", "deg g"},
		{"case \"C\"\n  club d: driver, length 45 |\n  set two\n  club d: driver", "in mm cm", "deg g"},
		{"case \"C\"\n  club d: driver, length 45 in ", "= by", ""},
		{"case \"C\"\n  club d: driver\n  club \"the 2\": iron\n  expect old on ", "= d \"the 2\" set", ""},
		{"case \"C\"\n  set s\n  club d: driver\n  set t\n  club d: driver\n  expect old on d of ", "= s t", ""},
		{"case \"C\"\n  set s\n  club d: driver\n  expect old on d ", "= of", ""},
		{"case \"C\"\n  club d: driver\n  expect old on d: ", "= pass fail too-close unmeasured exempt", ""},
		{"use \"lib/house.ferrule\"\ncase \"C\"\n  club d: driver\n  expect ", "= light old", ""},
		{rule + "require ", "count share", "total"}, {rule + "require count ", "= of", ""}, {rule + "require count of ", "= readings", ""},
		{rule + "require count of readings of ", "lie", "grip"}, {rule + "unless count of ", "= readings", ""}, {rule + "unless (count of ", "iron readings", ""},
		{"rule r \"R\"\n  for each set\n  require count of ", "iron woods", "readings"}, {"rule r \"R\"\n  for neighbours among iron by number\n  require ", "drop", "share count"},
		{rule + "decision three-way at ", "= abs max min", ""}, {"rulebook \"B\"\n  extension at most 1 |\nlet a = 3 deg", "in mm", "deg g"}, {"head driver\n  reach ", "= reach-up abs max min", ""},
		{"let x = 3 deg\n", "rule", "and or"}, {"let x = lie > 3 deg\n", "rule and or", ""}, {"property hand ", "= else", ""},
		{"waive old \"W\"\n  on ", "= set", ""}, {"waive old \"W\"\n  on a ", "= of and", ""}, {"waive old \"W\"\n  on set ", "=", ""},
		{rule + "require lie at most 3 deg\ncase \"C\"\n  club d: driver\n  expect r on d: pass value ", "= tilt abs max min", ""},
		{"case \"C\"\n  club d: driver\n  expect old on set ", "=", ""},
		{"rule ", "=", ""}, {"let ", "=", ""}, {"case \"C\"\n  club ", "=", ""}, {"case \"on ", "=", ""}, {"# for ", "=", ""},
	} {
		text := c.text
		if text[0] != '|' && !strings.HasPrefix(text, "rulebook") {
			text = shopHead + text
		}
		got := labels(t, house.ask(t, "main.ferrule", text))
		may, exact := strings.CutPrefix(c.may, "=")
		for _, want := range words(may) {
			if !slices.Contains(got, want) {
				t.Errorf("after %q may come %s, which is not in %q", c.text, want, got)
			}
		}
		for _, no := range words(c.not) {
			if slices.Contains(got, no) {
				t.Errorf("after %q comes %s", c.text, no)
			}
		}
		if exact && len(got) != len(words(may)) {
			t.Errorf("after %q comes %q", c.text, got)
		}
	}
}

// words are the words and texts of a line.
func words(line string) (all []string) {
	for _, t := range tokens(source.NewFile("", line)) {
		all = append(all, t.Text)
	}
	return all
}

// taken reports whether the parser takes a word behind a text: it has nothing against it but that more must come.
func taken(text, word string) bool {
	if word == "in" { // of a list
		word += " (1)"
	}
	_, list := parser.Parse(source.NewFile("", text+word))
	return !slices.ContainsFunc(list, func(m diag.Diagnostic) bool {
		return m.Severity == diag.Error && m.Code != diag.CutShort && m.Span.Start < len(text+word) && m.Span.End > len(text)
	})
}

// At each word of the shipped books, the rest of its line cut off, that word is among what may be written. Names that
// are declared there and the ids of cases are left aside. The parser takes each word that may be written.
func TestCompletionKnowsTheShippedBooks(t *testing.T) {
	s := shippedShop(t)
	type place struct {
		name string
		at   parser.Token
	}
	var all []place
	for name, text := range s {
		for _, c := range parser.Clauses(source.NewFile("", text)) {
			for i, tok := range c.Tokens {
				id := c.Declaration == "case" && (c.Tokens[0].Text == "set" || c.Tokens[0].Text == "club" && i == 1)
				declared := c.Starts && i == 1 && c.Declaration != "use" && c.Declaration != "head" && c.Declaration != "allowance"
				if tok.Kind == parser.Word && !declared && (!id || i == 0) && tok.Text != "rulebook" {
					all = append(all, place{name, tok})
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b place) int {
		return strings.Compare(a.name+a.at.Span.Text(), b.name+b.at.Span.Text())
	})
	random := rand.New(rand.NewSource(3))
	for range 60 {
		p := all[random.Intn(len(all))]
		text, start := s[p.name], p.at.Span.Start
		rest := text[start:]
		rest = rest[strings.IndexAny(rest, "\r\n"):]
		got := labels(t, s.ask(t, p.name, text[:start]+"|"+rest))
		for _, word := range got {
			if !taken(text[:start], word) {
				t.Errorf("%s: after %q comes %s", p.name, text[strings.LastIndexByte(text[:start], '\n')+1:start], word)
			}
		}
		long := slices.ContainsFunc(got, func(l string) bool { return strings.HasPrefix(l, p.at.Text+" ") })
		plural := slices.Contains(got, strings.TrimSuffix(p.at.Text, "s"))
		if !slices.Contains(got, p.at.Text) && !long && !plural {
			line := text[:start]
			t.Errorf("%s: after %q may come %s, which is not in %q", p.name, line[strings.LastIndexByte(line, '\n')+1:], p.at.Text, got)
		}
	}
}

// Forms become snippets where the client knows them, and the words alone elsewhere.
func TestCompletionSnippets(t *testing.T) {
	r := house.ask(t, "main.ferrule", shopHead+"rule r \"R\"\n  fo")
	for _, knows := range []bool{false, true} {
		r.client.TextDocument.Completion.CompletionItem.SnippetSupport = knows
		answer, _ := completion(r)
		for _, it := range answer.([]item) {
			want := map[bool]string{false: it.Label, true: map[string]string{"for": "for every ${1:LIST}",
				"unless": "unless ${1:CONDITION}: exempt", "mend": `mend "${1:TEXT}"`, "decision": "decision simple",
				"stop": "stop at lie", "use": "use ${1:NAME}", "extension": "extension at most ${1:QUANTITY}"}[it.Label]}[knows]
			if want != "" && it.Edit.NewText != want || it.Edit.Range.Start.Character != 2 || it.Edit.Range.End.Character != 4 {
				t.Errorf("%s is written as %q at %v", it.Label, it.Edit.NewText, it.Edit.Range)
			}
		}
	}
}
