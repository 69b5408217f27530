package editor

import (
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/unit"
)

// guarded has limits that depend on how sure a reading is.
const guarded = `rulebook "Guarded"
  decision three-way at 95 %
use methods
rule longest-club "No club but the putter"
  for      every club except putter where hand = left
  require  length by plane-60 at most 46 in allowing 0.2 in
  unless   lie > 60 deg: at most 47 in
  unless   kind = iron: exempt
rule turf "Never sure"
  for      every iron
  require  length by soled between 40 in and 44 in
rule lies "Lies"
  for      every iron
  require  40 deg <= lie
  decision simple
rule shallow "A condition"
  for      every iron
  require  has lie
`

func TestHover(t *testing.T) {
	for _, c := range []struct {
		text, word string
		n          int
		says       []string
	}{
		// ISO 1: an inch is 25.4 mm. NIST SP 811: an ounce is 28.349523125 g.
		{"let a = 46 in\n", "46", 0, []string{"46 in = 1168.4 mm = 3 ft 10 in"}},
		{"let a = 1 oz\n", "1", 0, []string{"1 oz = 28.3 g", "437.5 grain"}},
		{"let a = 11 in\n", "11", 0, []string{"11 in = 279.4 mm"}},
		{mainBook, "plane-60", 0, []string{"stop     at 60 deg", "The sole is against a plane at 60 deg to the shaft."}},
		{mainBook, "woods", 0, []string{"group woods = driver, fairway"}},
		{mainBook, "methods", 0, []string{`rulebook "Measuring methods"`}},
		{mainBook, "light", 2, []string{"rule light \"Woods are light\"", "at most 320 g", "simple (the book states none)"}},
		{mainBook, "mass", 0, []string{"what the whole club weighs", "Unit: g", "150 to 700 g"}},
		{mainBook, "driver", 0, []string{"A kind of club"}},
		{mainBook, "unless", 0, []string{"`[else] unless CONDITION: exempt", "For example:"}},
		{mainBook, "every", 0, []string{"for every LIST"}},
		{mainBook, "within", 0, []string{"`within VALUE of VALUE`"}},
		// By hand: half a mark of 1/16 in and 1/64 in of the ruler give a standard uncertainty of 0.0201 in; the limits are
		// 46.2 and 47 in less and more 1.6449 times that.
		{guarded, "longest-club", 0, []string{"Passes up to 46 5/32 in by plane-60, fails from 46 15/64 in.", "three-way at 95 %",
			"Unless lie > 60 deg: passes up to 46 61/64 in by plane-60, fails from 47 3/64 in.", "Unless kind = iron: exempt."}},
		{guarded + "group long = fairwy\nallowance cap 1/8 deg\nrule x\n  for every long\n", "longest-club", 0, []string{"Passes up to 46 5/32 in by plane-60, fails from 46 15/64 in."}},
		{guarded, "turf", 0, []string{"between 40 and 44 in", "three-way at 95 %"}},
		{guarded, "lies", 0, []string{"Limit: at least 40 deg", "Decision: simple."}},
		{"group long = driver, fairwy\n", "fairwy", 0, []string{"Did you mean: `fairway`\n\nunknown-name: an unknown name\n\n", "\n\n    group long = driver, fairwy\n"}},
	} {
		answer, err := hover(shopOf(c.text).ask(t, "main.ferrule", at(c.text, c.word, c.n)))
		if answer == nil || err != nil {
			t.Errorf("nothing is said of %s: %v", c.word, err)
			continue
		}
		said := answer.(map[string]any)["contents"].(map[string]string)["value"]
		for _, want := range c.says {
			if !strings.Contains(said, want) {
				t.Errorf("of %s is said\n%s\nand not %q", c.word, said, want)
			}
		}
	}
	const ids = "case \"C\"\n  club b: iron 5, lie 60 deg\n  expect light on b: pass\n" // examples have a club b, too
	for n := range 2 {
		if answer, _ := hover(shopOf(ids).ask(t, "main.ferrule", at(ids, "b:", n))); answer != nil {
			t.Errorf("of an id is said %v", answer)
		}
	}
	for _, word := range []string{"# light", "🏌", "2000-01-01"} {
		if answer, err := hover(house.ask(t, "main.ferrule", at(mainBook, word, 0))); answer != nil || err != nil {
			t.Errorf("of %s is said %v (%v)", word, answer, err)
		}
	}
}

func shopOf(text string) shop {
	return shop{"main.ferrule": text, "lib/house.ferrule": houseBook}
}

// There is something to say of every property, every unit, every code and every word of the language.
func TestHoverKnowsEverything(t *testing.T) {
	for _, name := range catalogue.NewSchema().Names() {
		if aboutProperty(name) == "" {
			t.Errorf("nothing is said of %s", name)
		}
	}
	for _, name := range unit.Names() {
		u := unit.Lookup(name)
		alone := u.Dim == unit.Angle || u.Dim == unit.Days || u.Dim == unit.Swing || u.Dim == unit.Ratio
		if said := otherUnits("20" + name); said == nil && !alone {
			t.Errorf("20 %s has no other unit", name)
		}
	}
	words := ast.ReservedWords()
	for _, d := range ast.DeclarationWords() {
		for _, c := range append(ast.ClauseWords(d), d) {
			if parser.Form(d, c) == "" || example(d, c) == "" {
				t.Errorf("%s of %s has the form %q and the example %q", c, d, parser.Form(d, c), example(d, c))
			}
		}
	}
	for _, w := range words {
		if example("rule", w) == "" && w != "clubs" {
			t.Errorf("%s has no example", w)
		}
	}
	for _, code := range diag.Codes() {
		if said := told(diag.Diagnostic{Code: code}); !strings.Contains(said, string(code)) {
			t.Errorf("of %s is said %q", code, said)
		}
	}
}
