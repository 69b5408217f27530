package engine

// This file says what a name in a formula is worth: a property as it was read, a
// let, a row of a chart, a property that a whole set carries.

import (
	"math"

	"ferrule/engine/club"
	"ferrule/engine/value"
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
func (x *env) not(e ast.Expr) value.Value {
	if ref, ok := ast.Unparen(e).(*ast.Ref); ok {
		if r := x.info.Refs[ref]; r.Kind == book.RefLet {
			return x.at(ref.Pos).let(r.Let, r.Let.Opposite)
		}
	}
	return value.Not(x.eval(e))
}

// let is the value of a let, worked out by a formula of its book.
func (x *env) let(l *book.Let, e ast.Expr) value.Value {
	y := *x
	y.info = l.Book.Info
	var sub []Step
	if x.steps != nil {
		y.steps = &sub
	}
	v := y.eval(e)
	if v.Kind == value.Number {
		x.record(Step{What: StepLet, Name: l.Decl.Name.Text, Amount: x.amount(v.Num, l.Type.Dim), Line: l.Decl.Span, Sub: sub})
	} else if x.steps != nil {
		*x.steps = append(*x.steps, sub...)
	}
	return v
}

// ref is the value of a name.
func (x *env) ref(e *ast.Ref) value.Value {
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
	return value.LackOf(value.Lack{Kind: value.NoFormula})
}

// common is a property in a rule about a set: the value that all its clubs carry.
func (x *env) common(r *book.RefInfo) value.Value {
	var all value.Value
	for i, c := range x.bag.clubs {
		y := *x
		y.club, y.steps = c, nil
		v := y.property(r)
		switch {
		case v.Kind == value.Lacking:
			return v
		case i > 0 && !same(all, v):
			return value.LackOf(value.Lack{Kind: value.ClubsDiffer, Property: r.Property.Name})
		}
		all = v
	}
	for _, f := range x.bag.refused {
		if v, ok := f.Club.Amount(r.Property.ID); r.Property.Sort.Numeric() && ok && all.Kind == value.Number && unit.Compare(v, all.Num) == 0 {
			continue
		}
		return value.LackOf(lackRefused(f, r.Property.Name))
	}
	if len(x.bag.clubs) == 0 {
		return value.LackOf(value.Lack{Kind: value.NoClubs, Property: r.Property.Name})
	}
	if x.steps != nil {
		y := *x
		y.club = x.bag.clubs[0]
		y.property(r)
	}
	return all
}

// LackOf is why a club has no value of a property.
func LackOf(c *club.Club, p catalogue.ID, name string) value.Lack {
	if why := c.Slip(p); why != "" {
		return value.Lack{Kind: value.Odd, Property: name, Club: c.ID, Words: why}
	}
	return value.Lack{Kind: value.NoReading, Property: name, Club: c.ID}
}

func lackRefused(f club.Refusal, need string) value.Lack {
	return value.Lack{Kind: value.RowRefused, Property: need, Row: f.Row.Row}
}

// property is what was read of the club of x.
func (x *env) property(r *book.RefInfo) value.Value {
	c, p := x.club, r.Property
	s := Step{What: StepReading, Name: p.Name, Club: c.ID, Place: c.Place()}
	if c.Sheet != nil && int(p.ID) < len(c.Sheet.Headings) {
		s.Column = c.Sheet.Headings[p.ID]
	}
	missing := func(lacks ...value.Lack) value.Value {
		for i := range lacks {
			s.What, s.Lack = StepMissing, &lacks[i]
			x.record(s)
		}
		return value.LackOf(lacks...)
	}
	if p.ID == catalogue.KindID {
		s.Text = c.Kind.String()
		x.record(s)
		return value.TextOf(s.Text)
	}
	more := c.Reading(p.ID)
	if !c.Has(p.ID) && !(x.asRead && more.Values != nil) {
		return missing(LackOf(c, p.ID, p.Name))
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
		return value.TruthOf(n != 0)
	case p.Sort == catalogue.Date:
		n, _ := c.Amount(p.ID)
		s.Text = book.Day(n).String()
		x.record(s)
		return value.Value{Kind: value.Day, Num: n}
	}
	n, ok := c.Amount(p.ID)
	switch {
	case x.single && p.ID == x.oneOf:
		n, more.Values = x.reading, nil
	case !ok:
		n = more.Mean()
	}
	v := value.NumberOf(n)
	var corrections []Step
	if p.ByMethod {
		s.Method = methodOf(c, p)
		length, read, steps, lacks := x.length(p, n, more, r.Method)
		if lacks != nil {
			return missing(lacks...)
		}
		v, corrections = length, steps
		if read > 0 && v.Unsure == nil {
			s.U = x.amount(read, p.Sort.Dim())
		}
	} else if more.HasHalf {
		v.Parts = []value.Part{{Source: value.Source{Owner: c, Index: int(p.ID)}, Half: more.Half, U: more.Half / math.Sqrt(3), Sensitivity: 1}}
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
func (x *env) chart(ch *book.Chart) value.Value {
	name := ch.Decl.Name.Text
	if x.club == nil {
		return value.LackOf(value.Lack{Kind: value.ChartOfOne, Property: name})
	}
	found, lacks := x.pick(x.j.program.charts[ch], "the chart "+name, func(i, j int) bool {
		return unit.Compare(ch.Values[i].Base, ch.Values[j].Base) == 0
	})
	x.j.blame(lacks)
	if lacks != nil {
		return value.LackOf(lacks...)
	}
	if found < 0 {
		why := value.Lack{Kind: value.NoChartRow, Property: name, Name: name, Club: x.club.ID}
		x.record(Step{What: StepMissing, Name: name, Club: x.club.ID, Line: ch.Decl.Span, Lack: &why})
		return value.LackOf(why)
	}
	c := ch.Values[found]
	x.record(Step{What: StepChart, Name: name, Club: x.club.ID, Amount: Amount{Base: c.Base, Unit: c.Unit}, Line: ch.Decl.Rows[found].Span})
	return value.NumberOf(c.Base)
}
