// Package trial runs the cases of a rule book: it lays out the clubs that a case
// describes, has them judged, and holds each expectation against what came out.
package trial

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/unit"
)

// Outcome is one expectation of a case with what came of it.
type Outcome struct {
	Case   *ast.Case
	Expect *ast.Expect
	Got    *engine.Result // nil where the rule gave no result for the subject
	Wrong  string         // what differs, in words; "" where all is as expected
}

// Run judges the cases of a book by the book's own rules and those that it uses.
// The program must be compiled from the book alone.
func Run(p *engine.Program, b *check.Book) []Outcome {
	var out []Outcome
	for _, c := range b.Cases {
		out = append(out, run(p, b, c)...)
	}
	return out
}

func run(p *engine.Program, b *check.Book, c *ast.Case) []Outcome {
	day := check.NoDay
	if c.On != nil {
		day, _ = check.ParseDay(c.On.Date.Value)
	}
	j := p.NewJudge(engine.Options{Day: day, All: true})
	var results []*engine.Result
	var conflicts []*engine.Conflict
	for _, s := range c.Sets {
		j.Set(Lay(p, b, s), engine.Sink{
			Result:   func(r *engine.Result) { results = append(results, r) },
			Conflict: func(c *engine.Conflict) { conflicts = append(conflicts, c) },
		})
	}
	var out []Outcome
	for _, e := range c.Expects {
		o := Outcome{Case: c, Expect: e}
		i := slices.IndexFunc(results, func(r *engine.Result) bool { return r.Rule.Decl.Name.Text == e.Rule.Text && about(r.Subject, e) })
		switch {
		case i >= 0:
			o.Got = results[i]
			o.Wrong = differs(b, e, o.Got)
		case slices.ContainsFunc(conflicts, func(c *engine.Conflict) bool {
			return c.Rule.Decl.Name.Text == e.Rule.Text && about(c.Subject, e)
		}):
			o.Wrong = fmt.Sprintf("expected %s, but two exceptions hold and disagree", e.Verdict.Text)
		default:
			o.Wrong = fmt.Sprintf("expected %s, but %s gives no verdict there", e.Verdict.Text, e.Rule.Text)
		}
		out = append(out, o)
	}
	return out
}

// about reports whether an expectation is about a subject.
func about(s engine.Subject, e *ast.Expect) bool {
	if e.OnSet {
		return s.Kind == ast.OfSet && (e.Set == nil || e.Set.Value == s.Set)
	}
	if len(s.Clubs) < len(e.On) || len(e.On) == 1 && s.Kind == ast.OfNeighbours && len(s.Clubs) == 2 {
		return false
	}
	for i, on := range e.On {
		if s.Clubs[i].ID != on.ID.Value || on.Of != nil && on.Of.Value != s.Set {
			return false
		}
	}
	return len(e.On) == len(s.Clubs) || s.Kind == ast.OfNeighbours
}

// differs tells in words how a result differs from what was expected.
func differs(b *check.Book, e *ast.Expect, r *engine.Result) string {
	var wrong []string
	if r.Verdict.String() != e.Verdict.Text {
		wrong = append(wrong, fmt.Sprintf("expected %s, got %s", e.Verdict.Text, r.Verdict))
	}
	if e.Excepted && r.Exception == nil {
		wrong = append(wrong, "expected an exception to be taken, and none was")
	}
	if e.Value != nil {
		want, tolerance := amount(b, e.Value), 0.0
		if e.PlusMinus != nil {
			tolerance = amount(b, e.PlusMinus)
		}
		switch {
		case !r.Value.Known():
			wrong = append(wrong, fmt.Sprintf("expected the value %s, got none", e.Value.Place().Text()))
		case unit.Compare(math.Abs(r.Value.Base-want), tolerance) > 0 && unit.Compare(r.Value.Base, want) != 0:
			wrong = append(wrong, fmt.Sprintf("expected the value %s, got %s", e.Value.Place().Text(), r.Value))
		}
	}
	if e.Mend != nil && e.Mend.Value != r.Mend {
		wrong = append(wrong, fmt.Sprintf("expected the mend %q, got %q", e.Mend.Value, r.Mend))
	}
	return strings.Join(wrong, "; ")
}

func amount(b *check.Book, e ast.Expr) float64 {
	if c := b.Info.Constants[e]; c != nil {
		return c.Base
	}
	switch e := e.(type) {
	case *ast.Quantity:
		return e.Value.Base()
	case *ast.Unary:
		return -amount(b, e.X)
	case *ast.Paren:
		return amount(b, e.X)
	}
	return math.NaN()
}

// Lay lays out the clubs of a bag of a case of a book, whose properties are those of
// the program's schema.
func Lay(p *engine.Program, b *check.Book, s *ast.CaseSet) *club.Set {
	set := &club.Set{File: b.Name}
	if s.ID != nil {
		set.Name = s.ID.Value
	}
	sheet := &club.Sheet{File: b.Name}
	for _, c := range s.Clubs {
		set.Clubs = append(set.Clubs, layClub(p, b, sheet, c))
	}
	set.Rows = len(set.Clubs)
	return set
}

func layClub(p *engine.Program, b *check.Book, sheet *club.Sheet, decl *ast.CaseClub) *club.Club {
	c := &club.Club{}
	c.Reset(p.Schema.Len())
	c.ID, c.Sheet, c.Row = decl.ID.Value, sheet, decl.Span.Line()
	c.Kind = catalogue.KindOf(decl.Club.Name.Text)
	c.Name = strings.Join(strings.Fields(decl.Club.Span.Text()), " ")
	switch {
	case decl.Club.From != nil:
		c.SetAmount(catalogue.Number, decl.Club.From.Value.Base())
	case c.Kind == catalogue.Driver:
		c.SetAmount(catalogue.Number, 1)
	}
	if decl.Club.Mark != nil {
		c.SetText(catalogue.Mark, decl.Club.Mark.Value)
	}
	readings := map[catalogue.ID]*club.Reading{}
	var order []catalogue.ID
	for _, d := range decl.Props {
		prop, ok := p.Schema.Lookup(d.Name.Text)
		if !ok {
			continue
		}
		switch prop.Sort {
		case catalogue.Text:
			switch v := d.Value.(type) {
			case *ast.TextLit:
				c.SetText(prop.ID, v.Value)
			case *ast.Ref:
				c.SetText(prop.ID, v.Name.Text)
			}
			continue
		case catalogue.YesNo:
			if v, ok := d.Value.(*ast.Ref); ok {
				c.SetAmount(prop.ID, map[string]float64{"yes": 1}[v.Name.Text])
			}
			continue
		case catalogue.Date:
			if v, ok := d.Value.(*ast.DateLit); ok {
				day, _ := check.ParseDay(v.Date)
				c.SetAmount(prop.ID, float64(day))
			}
			continue
		}
		r := readings[prop.ID]
		if r == nil {
			r = &club.Reading{Property: prop.ID}
			readings[prop.ID] = r
			order = append(order, prop.ID)
		}
		r.Values = append(r.Values, amount(b, d.Value))
		if d.PlusMinus != nil {
			r.Half, r.HasHalf = amount(b, d.PlusMinus), true
		}
		if d.By != nil && prop.ID == catalogue.LengthID {
			c.Method = d.By.Text
		}
	}
	for _, id := range order {
		r := readings[id]
		sum := 0.0
		for _, v := range r.Values {
			sum += v
		}
		c.SetAmount(id, sum/float64(len(r.Values)))
		if len(r.Values) == 1 {
			r.Values = nil
		}
		if r.Values != nil || r.HasHalf {
			c.SetReading(*r)
		}
	}
	return c
}
