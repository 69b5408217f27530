package trial_test

// These tests hold the normal form of rules against what is judged by it.

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/lang/source"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

// eachJudged calls f for what came of each expectation of the cases of the test books and the shipped ones.
func eachJudged(t *testing.T, f func(t *testing.T, r *judge.Result)) {
	shelves := map[string]fs.FS{"testdata": os.DirFS("testdata"), "rulesets": rulesets.FS(),
		"readme": os.DirFS("../../testdata/readme")}
	judged := 0
	for shelf, files := range shelves {
		names, err := fs.Glob(files, "*.ferrule")
		if err != nil || len(names) == 0 {
			t.Fatal(shelf, names, err)
		}
		for _, name := range names {
			t.Run(shelf+"/"+name, func(t *testing.T) {
				l, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: name, Show: name}})
				if list.HasErrors() {
					t.Skip("a book with mistakes")
				}
				for _, o := range trial.Run(judge.Compile(l.Roots, l.Schema), l.Roots[0]) {
					if o.Got != nil {
						judged++
						f(t, o.Got)
					}
				}
			})
		}
	}
	if judged < 400 {
		t.Errorf("only %d results were looked at", judged)
	}
}

// What is judged by a rule is what its normal form says: the bound of the exception that was taken, its ends, their
// sides, and the unit.
func TestResultsFollowTheNormalForm(t *testing.T) {
	eachJudged(t, func(t *testing.T, r *judge.Result) {
		name, want, exempt := r.Rule.Decl.Name.Text, r.Rule.Bound, false
		for _, u := range r.Rule.Unless {
			if u.Decl == r.Exception {
				want, exempt = u.Bound, u.Bound == nil
			}
		}
		if exempt != (r.Verdict == decide.Exempt) {
			t.Errorf("%s: %s, though an exemption is %v", name, r.Verdict, exempt)
		}
		if r.Bound != want && (r.Bound != nil || r.Verdict != decide.Unmeasured) {
			t.Errorf("%s: judged by another bound than its form says", name)
		}
		if b := r.Bound; b != nil {
			agreeEnd(t, name+" from below", b.Low, r.Lower, b)
			agreeEnd(t, name+" from above", b.High, r.Upper, b)
			if r.Value.Known() && (r.Lower.Known() || r.Upper.Known()) && r.Open != b.Open() {
				t.Errorf("%s: open is %v", name, r.Open)
			}
			if dim := r.Rule.Value.Type().Dim; b.Unit == nil || b.Unit.Dim != dim {
				t.Errorf("%s: its unit %v is not one of its value", name, b.Unit)
			}
		}
	})
}

func agreeEnd(t *testing.T, what string, e *book.End, got unit.Amount, b *book.Bound) {
	switch {
	case !got.Known():
	case e == nil:
		t.Errorf("%s: there is a limit and no end", what)
	case got.Unit != b.Unit:
		t.Errorf("%s: shown in %v, and the form has %v", what, got.Unit, b.Unit)
	case e.Fixed != nil && unit.Compare(got.Base, e.Fixed.Base) != 0:
		t.Errorf("%s: %v, and the form has %v", what, got.Base, e.Fixed.Base)
	}
}

// The walk over a rule reaches each let and each chart that judging looked into, and finds what its facts say.
func TestVisitReachesWhatIsJudged(t *testing.T) {
	touched := 0
	eachJudged(t, func(t *testing.T, r *judge.Result) {
		var reached []source.Span
		bag := false
		r.Rule.Visit(func(p book.Part) bool {
			switch p.Expr.(type) {
			case *ast.CountOf, *ast.SetValue:
				bag = true
			}
			switch of := p.Ref(); {
			case of == nil:
			case of.Kind == book.RefLet:
				reached = append(reached, of.Let.Decl.Span)
			case of.Kind == book.RefChart:
				reached = append(reached, of.Chart.Decl.Span)
			}
			return true
		}, nil)
		if bag != r.Rule.Facts.Bag {
			t.Errorf("%s: a value of the set stands in it: %v, and its facts say %v", r.Rule.Decl.Name.Text, bag, !bag)
		}
		for _, s := range lookedInto(r.Steps, nil) {
			touched++
			found := false
			for _, span := range reached {
				found = found || span.File == s.File && span.Start <= s.Start && s.End <= span.End
			}
			if !found {
				t.Errorf("%s: %q was looked into and not reached", r.Rule.Decl.Name.Text, s.OneLine())
			}
		}
	})
	if touched < 20 {
		t.Errorf("only %d names were looked into", touched)
	}
}

// lookedInto are the places of the lets and charts in the facts behind a result.
func lookedInto(steps []eval.Step, to []source.Span) []source.Span {
	for _, s := range steps {
		if s.What == eval.StepLet || s.What == eval.StepChart {
			to = append(to, s.Line)
		}
		to = lookedInto(s.Sub, to)
	}
	return to
}

// Parts of a rule have one key exactly where they plainly mean the same.
func TestKeys(t *testing.T) {
	const head = `rulebook "Keys"
use methods
let limit = 45 in
let long = length by soled
let upright = lie > 60 deg
group short = iron 7 to 9, wedge
group scoring = wedge, iron where number >= 7
chart steps of length by soled per club
  iron 5 = 38 in
  iron 6 = 37.5 in
`
	key := func(t *testing.T, clauses string) book.RuleKey {
		t.Helper()
		text := head + "rule r \"R\"\n" + clauses
		l, list := load.Load(rulesets.FS(), []load.Root{{FS: fstest.MapFS{"k.ferrule": {Data: []byte(text)}},
			Path: "k.ferrule", Show: "k.ferrule"}})
		if list.HasErrors() {
			t.Fatal(list)
		}
		return book.NewKeys(false).Rule(l.Roots[0].Rules[0])
	}
	for _, c := range []struct {
		one, two string
		same     bool
	}{
		{"require length by soled at most 45 in", "require long at most limit", true},
		{"require length by soled at most 45 in", "require 1143 mm >= (long)", true},
		{"require length by soled at most 45 in", "require length by soled below 45 in", false},
		{"require length by soled at most 45 in", "require length by wall at most 45 in", false},
		{"require length by soled is 40 in +/- 1 in", "require long between 39 in and 41 in", true},
		{"require length by soled within 1 in of steps", "require long is steps +/- 1 in", true},
		{"require length by soled at most steps allowing 1 in", "require long at most steps", false},
		{"require upright and loft > 20 deg", "require loft > 20 deg and lie > 60 deg", true},
		// a let is opaque: only clubs tell
		{"require not upright or loft > 20 deg", "require loft > 20 deg or lie <= 60 deg", false},
		{"require loft between 20 deg and 30 deg\n  unless kind = short: exempt",
			"require loft between 20 deg and 30 deg\n  unless kind = scoring: exempt", false},
	} {
		one, two := key(t, "  for every iron\n  "+c.one+"\n"), key(t, "  for every iron\n  "+c.two+"\n")
		if same := one.Limit == two.Limit && one.Exceptions == two.Exceptions; same != c.same {
			t.Errorf("%q and %q have one key: %v\n%+v\n%+v", c.one, c.two, same, one, two)
		}
	}
	a, b := key(t, "  for every iron 7 to 9, wedge\n  require lie > 60 deg\n"), key(t,
		"  for every short\n  require lie above 60 deg\n")
	if a.Scope != b.Scope || a.Limit != b.Limit {
		t.Errorf("a group and its list have keys apart: %+v %+v", a, b)
	}
}

// A rule of one day is in force on that day, and on no other.
func TestOneDay(t *testing.T) {
	text := "rulebook \"Day\"\nrule r \"R\"\n  for every iron\n  require lie at most 60 deg\n  from 2026-04-18\n  until 2026-04-18\n"
	loaded := func(text string) (*load.Loaded, diag.List) {
		files := fstest.MapFS{"d.ferrule": {Data: []byte(text)}}
		return load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "d.ferrule", Show: "d.ferrule"}})
	}
	l, list := loaded(text)
	if len(list) > 0 {
		t.Fatal(list)
	}
	p := judge.Compile(l.Roots, l.Schema)
	for day, in := range map[string]bool{"2026-04-17": false, "2026-04-18": true, "2026-04-19": false} {
		on, _ := book.ParseDay(day)
		if got := len(p.NotInForce(on)) == 0; got != in {
			t.Errorf("%s: in force is %v", day, got)
		}
	}
	if _, list = loaded(strings.Replace(text, "until 2026-04-18", "until 2026-04-17", 1)); !list.HasErrors() {
		t.Error("a rule that ends the day before it begins passes the check")
	}
}
