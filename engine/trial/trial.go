// Package trial runs the cases of a rule book and makes new ones. It lays out the clubs that a case describes, has them
// judged, and holds each expectation against what came out. It tells what of the book's rules no case has shown yet.
//
// trial.go runs cases and says why an expectation met no result, lay.go lays out the clubs of a case, coverage.go finds
// what is missing. write.go works out cases for it: search.go has the clubs and bags judged that the rule tells apart
// and moves their readings, settle.go rounds these to what a case can say.
package trial

import (
	"fmt"
	"math"
	"slices"
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
	return slices.Concat(lists.Each(b.Cases, func(c *ast.Case) []Outcome { return run(p, b, c) })...)
}

func run(p *judge.Program, b *book.Book, c *ast.Case) []Outcome {
	day := book.NoDay
	if c.On != nil {
		day, _ = book.ParseDay(c.On.Date.Value)
	}
	j := p.NewJudge(judge.Options{Day: day, All: true})
	bags := lists.Each(c.Sets, func(s *ast.CaseSet) judged {
		bag := judged{set: Lay(p, b, s)}
		space.Listen(j, bag.set, func(s space.Saying) { bag.said = append(bag.said, s) })
		return bag
	})
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
	o.Silent = silent(p, e, bags)
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

// silent says why a rule gave no result for the subject of an expectation: it is not
// about a club, or two clubs are not side by side.
func silent(p *judge.Program, e *ast.Expect, bags []judged) string {
	name := e.Rule.Text
	rules := p.Rules()
	i := slices.IndexFunc(rules, func(r *book.Rule) bool { return r.Decl.Name.Text == name })
	if i < 0 {
		return name + " is not judged by this book"
	}
	rule := rules[i]
	var clubs []*club.Club
	var in judged
	for _, on := range e.On {
		for _, bag := range bags {
			for _, c := range bag.set.Clubs {
				if !catalogue.Same(c.ID, on.ID.Value) || on.Of != nil && !catalogue.Same(on.Of.Value, bag.set.Name) {
					continue
				}
				if p.Takes(rule, bag.set, c) == value.False {
					return fmt.Sprintf("%s is not about %s", name, named(c))
				}
				clubs, in = append(clubs, c), bag
			}
		}
	}
	if rule.Subject == ast.OfNeighbours && len(clubs) == 2 {
		return apart(rule, in, clubs)
	}
	if rule.Subject == ast.OfNeighbours && len(clubs) == 1 {
		return fmt.Sprintf("%s does not judge %s by itself; put its neighbours beside it", name, clubs[0].ID)
	}
	return name + " gives no verdict there"
}

// apart says why two clubs that a rule takes are no pair of its.
func apart(r *book.Rule, in judged, clubs []*club.Club) string {
	by := r.Decl.For.By.Name.Text
	a, b := clubs[0].ID, clubs[1].ID
	for _, s := range in.said {
		if s.Rule == r && slices.Equal(s.Clubs, []string{b, a}) {
			return fmt.Sprintf("sorted by %s %s comes before %s: expect it on %s, %s", by, b, a, b, a)
		}
	}
	return fmt.Sprintf("%s and %s are not next to each other by %s", a, b, by)
}

// uncovered says of the clubs of a subject which of them has a length by a method that does
// not cover it, as no sheet could bring it; nil if there is none.
func uncovered(p *judge.Program, s judge.Subject, bag *club.Set) *value.Lack {
	clubs := s.Clubs
	if s.Kind == ast.OfSet {
		clubs = bag.Clubs
	}
	for _, c := range clubs {
		if c.Has(catalogue.LengthID) {
			if why := p.Covers(c.Method, c); why != nil {
				why.Club = c.ID
				return why
			}
		}
	}
	return nil
}

// named is a club by its id and what it is: "p1, a putter"; the id alone where that says it.
func named(c *club.Club) string {
	if c.ID == c.Name {
		return c.ID
	}
	return c.ID + ", " + unit.Article(c.Name)
}
