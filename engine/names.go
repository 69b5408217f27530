package engine

// This file says what a name in a formula is worth: a property as it was read, a
// let, a row of a chart, a property that a whole set carries.

import (
	"fmt"
	"math"

	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// at is x about the club that a name's "first" or "second" means.
func (x *env) at(p ast.Position) *env {
	if p == ast.Here {
		return x
	}
	y := *x
	y.club = x.meant(p)
	return &y
}

// meant is the club of x that "first", "second" or neither means; nil where there is none.
func (x *env) meant(p ast.Position) *club.Club {
	switch p {
	case ast.First:
		return x.first
	case ast.Second:
		return x.second
	}
	return x.club
}

// not is the opposite of a condition; that of a named one is decided as it is meant.
func (x *env) not(e ast.Expr) value {
	if ref, ok := ast.Unparen(e).(*ast.Ref); ok {
		if r := x.info.Refs[ref]; r.Kind == book.RefLet {
			return x.at(ref.Pos).let(r.Let, r.Let.Opposite)
		}
	}
	return not(x.eval(e))
}

// let is the value of a let, worked out by a formula of its book.
func (x *env) let(l *book.Let, e ast.Expr) value {
	y := *x
	y.info = l.Book.Info
	var sub []Step
	if x.steps != nil {
		y.steps = &sub
	}
	v := y.eval(e)
	if v.kind == number {
		x.record(Step{What: StepLet, Name: l.Decl.Name.Text, Amount: x.amount(v.num, l.Type.Dim), Line: l.Decl.Span, Sub: sub})
	} else if x.steps != nil {
		*x.steps = append(*x.steps, sub...)
	}
	return v
}

// ref is the value of a name.
func (x *env) ref(e *ast.Ref) value {
	x = x.at(e.Pos)
	r := x.info.Refs[e]
	switch r.Kind {
	case book.RefLet:
		return x.let(r.Let, r.Let.Value)
	case book.RefChart:
		return x.chart(r.Chart)
	case book.RefProperty:
		if x.club == nil {
			return x.common(r)
		}
		return x.property(r)
	}
	return lackOf(lack{"", e.Name.Text + " is no value", nil})
}

// common is a property in a rule about a set: the value that all its clubs carry.
func (x *env) common(r *book.RefInfo) value {
	var all value
	for i, c := range x.bag.clubs {
		y := *x
		y.club, y.steps = c, nil
		v := y.property(r)
		switch {
		case v.kind == lacking:
			return v
		case i > 0 && !same(all, v):
			return lackOf(lack{r.Property.Name, fmt.Sprintf("the clubs of the set do not carry one %s", r.Property.Name), nil})
		}
		all = v
	}
	for _, f := range x.bag.refused {
		if v, ok := f.Club.Amount(r.Property.ID); r.Property.Sort.Numeric() && ok && all.kind == number && unit.Compare(v, all.num) == 0 {
			continue
		}
		return lackOf(lackRefused(f, r.Property.Name))
	}
	if len(x.bag.clubs) == 0 {
		return lackOf(lack{r.Property.Name, "the set has no clubs", nil})
	}
	if x.steps != nil {
		y := *x
		y.club = x.bag.clubs[0]
		y.property(r)
	}
	return all
}

func lackRefused(f club.Refusal, need string) lack {
	return lack{need, fmt.Sprintf("row %d was refused and could change it", f.Row.Row), nil}
}

// property is what was read of the club of x.
func (x *env) property(r *book.RefInfo) value {
	c, p := x.club, r.Property
	s := Step{What: StepReading, Name: p.Name, Club: c.ID, Place: c.Place()}
	if c.Sheet != nil && int(p.ID) < len(c.Sheet.Headings) {
		s.Column = c.Sheet.Headings[p.ID]
	}
	missing := func(need, reason string) value {
		s.What, s.Note = StepMissing, reason
		x.record(s)
		return lackOf(lack{need, reason, nil})
	}
	if p.ID == catalogue.KindID {
		s.Text = c.Kind.String()
		x.record(s)
		return textOf(s.Text)
	}
	more := c.Reading(p.ID)
	if !c.Has(p.ID) && !(x.asRead && more.Values != nil) {
		return missing(p.Name, c.Lack(p.ID, p.Name))
	}
	switch {
	case p.Sort == catalogue.Text:
		s.Text, _ = c.Text(p.ID)
		x.record(s)
		return x.text(p, s.Text)
	case p.Sort == catalogue.YesNo:
		n, _ := c.Amount(p.ID)
		s.Text = [...]string{"no", "yes"}[int(n)&1]
		x.record(s)
		return truthOf(n != 0)
	case p.Sort == catalogue.Date:
		n, _ := c.Amount(p.ID)
		s.Text = book.Day(n).String()
		x.record(s)
		return value{kind: day, num: n}
	}
	n, ok := c.Amount(p.ID)
	switch {
	case x.single && p.ID == x.oneOf:
		n, more.Values = x.reading, nil
	case !ok:
		n = more.Mean()
	}
	v := numberOf(n)
	var corrections []Step
	if p.ByMethod {
		s.Method = methodOf(c, p)
		length, read, steps, lacks := x.length(p, n, more, r.Method)
		if lacks != nil {
			for _, l := range lacks {
				missing(l.need, l.reason)
			}
			return lackOf(lacks...)
		}
		v, corrections = length, steps
		if read > 0 && v.unsure == nil {
			s.U = x.amount(read, p.Sort.Dim())
		}
	} else if more.HasHalf {
		v.parts = []part{{source: origin{owner: c, index: int(p.ID)}, half: more.Half, u: more.Half / math.Sqrt(3), sensitivity: 1}}
	}
	if more.HasHalf {
		s.Half = x.amount(more.Half, p.Sort.Dim())
	}
	s.Amount = x.amount(n, p.Sort.Dim())
	s.Amount.Swing = p.Sort == catalogue.SwingWeight
	if len(more.Values) > 1 {
		s.What = StepMean
		for _, one := range more.Values {
			t := s
			t.What, t.Amount.Base, t.Half, t.U, t.Sub = StepReading, one, Amount{}, Amount{}, nil
			s.Sub = append(s.Sub, t)
		}
	}
	x.record(s)
	for _, k := range corrections {
		x.record(k)
	}
	return v
}

// methodOf names the method by which a club's length was read.
func methodOf(c *club.Club, p catalogue.Property) string {
	if p.ID == catalogue.LengthID {
		return c.Method
	}
	return p.Method
}

// chart is the row of a chart for the club of x. A row with a condition comes
// before one without.
func (x *env) chart(ch *book.Chart) value {
	name := ch.Decl.Name.Text
	if x.club == nil {
		return lackOf(lack{name, "a chart is about one club", nil})
	}
	found, lacks := x.pick(x.j.program.charts[ch], "the chart "+name, func(i, j int) bool {
		return unit.Compare(ch.Values[i].Base, ch.Values[j].Base) == 0
	})
	x.j.blame(lacks)
	if lacks != nil {
		return lackOf(lacks...)
	}
	if found < 0 {
		why := fmt.Sprintf("the chart %s has no row for %s", name, x.club.ID)
		x.record(Step{What: StepMissing, Name: name, Club: x.club.ID, Line: ch.Decl.Span, Note: why})
		return lackOf(lack{name, why, nil})
	}
	c := ch.Values[found]
	x.record(Step{What: StepChart, Name: name, Club: x.club.ID, Amount: Amount{Base: c.Base, Unit: c.Unit}, Line: ch.Decl.Rows[found].Span})
	return numberOf(c.Base)
}
