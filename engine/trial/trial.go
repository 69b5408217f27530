// Package trial runs the cases of a rule book and makes new ones. It lays out the clubs that a case
// describes, has them judged, holds each expectation against what came out, and tells
// what of the book's rules no case has shown yet.
//
// trial.go runs cases, silent.go says why an expectation met no result, lay.go lays out the
// clubs of a case, coverage.go finds what is missing. write.go works out cases for it: search.go has the clubs and bags
// judged that the rule tells apart and moves their readings, settle.go rounds these to what a case can say.
package trial

import (
	"fmt"
	"math"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Outcome is one expectation of a case with what came of it.
type Outcome struct {
	Case     *ast.Case
	Expect   *ast.Expect
	Got      *judge.Result   // nil where the rule gave no result for the subject
	Conflict *judge.Conflict // two places of the book that disagree on the subject; nil if there is none
	Set      *club.Set       // the bag of the subject; nil where nothing came of it
	Wrong    []Difference    // nil where all is as expected
	Silent   string          // why the rule gave no result, a whole sentence; "" where it gave one
	// Uncovered is set where no sheet could bring the length of a club: its method does not cover it.
	Uncovered *value.Lack
}

// Difference is one thing that is not as it was expected, each side in words.
type Difference struct{ What, Expected, Got string }

// Right reports whether all is as expected.
func (o *Outcome) Right() bool { return len(o.Wrong) == 0 }

// Words says on one line what differs; "" where all is as expected.
func (o *Outcome) Words() string {
	var words []string
	for _, d := range o.Wrong {
		what := ""
		if d.What != "verdict" {
			what = "the " + d.What + " "
		}
		words = append(words, fmt.Sprintf("expected %s%s, got %s", what, d.Expected, d.Got))
	}
	return strings.Join(words, "; ")
}

// Run judges the cases of a book by the book's own rules and those that it uses.
// The program must be compiled from the book alone.
func Run(p *judge.Program, b *book.Book) []Outcome {
	var out []Outcome
	for _, c := range b.Cases {
		out = append(out, run(p, b, c)...)
	}
	return out
}

func run(p *judge.Program, b *book.Book, c *ast.Case) []Outcome {
	day := book.NoDay
	if c.On != nil {
		day, _ = book.ParseDay(c.On.Date.Value)
	}
	j := p.NewJudge(judge.Options{Day: day, All: true})
	var bags []judged
	for _, s := range c.Sets {
		bag := judged{set: Lay(p, b, s)}
		space.Listen(j, bag.set, func(s space.Saying) { bag.said = append(bag.said, s) })
		bags = append(bags, bag)
	}
	return lists.Each(c.Expects, func(e *ast.Expect) Outcome { return hold(p, b, c, e, bags) })
}

// judged is a bag with what the rules said of it.
type judged struct {
	set  *club.Set
	said []space.Saying
}

// hold holds an expectation against what came out.
func hold(p *judge.Program, b *book.Book, c *ast.Case, e *ast.Expect, bags []judged) Outcome {
	o := Outcome{Case: c, Expect: e, Wrong: []Difference{{"verdict", e.Verdict.Text, "none"}}}
	for _, bag := range bags {
		for _, s := range bag.said {
			if s.Rule.Decl.Name.Text != e.Rule.Text || !about(s.Subject(), e) {
				continue
			}
			o.Set, o.Conflict = bag.set, s.Conflict
			if s.Conflict != nil {
				return o
			}
			lack := uncovered(p, s.Subject(), bag.set)
			if lack != nil && s.Measured() {
				o.Uncovered = lack
				return o
			}
			o.Got, o.Wrong = s.Result, differs(b, e, s.Result)
			return o
		}
	}
	o.Silent = silent(p, b, e, bags)
	return o
}

// about reports whether an expectation is about a subject.
func about(s judge.Subject, e *ast.Expect) bool {
	if e.OnSet {
		return s.Kind == ast.OfSet && (e.Set == nil || catalogue.Same(e.Set.Value, s.Set))
	}
	if len(s.Clubs) < len(e.On) || len(e.On) == 1 && s.Kind == ast.OfNeighbours && len(s.Clubs) == 2 {
		return false
	}
	for i, on := range e.On {
		if !catalogue.Same(s.Clubs[i].ID, on.ID.Value) || on.Of != nil && !catalogue.Same(on.Of.Value, s.Set) {
			return false
		}
	}
	return len(e.On) == len(s.Clubs) || s.Kind == ast.OfNeighbours
}

// differs says how a result differs from what was expected.
func differs(b *book.Book, e *ast.Expect, r *judge.Result) []Difference {
	var wrong []Difference
	if got := r.Verdict.String(); got != e.Verdict.Text {
		wrong = append(wrong, Difference{"verdict", e.Verdict.Text, got})
	}
	if e.Excepted && r.Exception == nil {
		wrong = append(wrong, Difference{"exception", "taken", "none taken"})
	}
	if e.Value != nil {
		want, tolerance, written := amount(b, e.Value), 0.0, e.Value.Place().OneLine()
		if e.PlusMinus != nil {
			tolerance = amount(b, e.PlusMinus)
			written += " +/- " + e.PlusMinus.Place().OneLine()
		}
		switch {
		case !r.Value.Known():
			wrong = append(wrong, Difference{"value", written, "none"})
		case unit.Compare(math.Abs(r.Value.Base-want), tolerance) > 0 && unit.Compare(r.Value.Base, want) != 0:
			finer := unit.Finer(func(n int) bool { // so that what was got does not look like what was expected
				return math.Abs(r.Value.Unit.ToBase(r.Value.Shown(n, math.Round))-want) > tolerance
			})
			wrong = append(wrong, Difference{"value", written, r.Value.Text(finer, math.Round)})
		}
	}
	if e.Mend != nil && e.Mend.Value != r.Mend {
		got := "none"
		if r.Mend != "" {
			got = quoted(r.Mend)
		}
		wrong = append(wrong, Difference{"mend", quoted(e.Mend.Value), got})
	}
	return wrong
}

func quoted(s string) string { return `"` + s + `"` }
