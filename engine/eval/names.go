package eval

// This file says what a name in a formula is worth: a property as it was read, a
// let, a row of a chart, a property that a whole set carries.

import (
	"cmp"
	"fmt"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// at is x about the club that a name's "first" or "second" means.
func (x *Env) at(p ast.Position) *Env {
	if p == ast.Here {
		return x
	}
	y := *x
	y.Club = x.meant(p)
	return &y
}

// meant is the club of x that "first", "second" or neither means; nil if there is none.
func (x *Env) meant(p ast.Position) *club.Club {
	switch p {
	case ast.First:
		return x.First
	case ast.Second:
		return x.Second
	}
	return x.Club
}

// not is the opposite of a condition; that of a named one is decided as it is meant.
func (x *Env) not(e ast.Expr) value.Value {
	if ref, ok := ast.Unparen(e).(*ast.Ref); ok {
		if r := x.Info.Refs[ref]; r.Kind == book.RefLet {
			return x.at(ref.Pos).let(r.Let, r.Let.Opposite)
		}
	}
	return value.Not(x.Eval(e))
}

// let is the value of a let, worked out by a formula of its book.
func (x *Env) let(l *book.Let, e ast.Expr) value.Value {
	var v value.Value
	sub := x.Within(func(y *Env) {
		y.Info = l.Book.Info
		v = y.Eval(e)
	})
	x.recordNumber(v, l.Type.Dim, Step{What: StepLet, Name: l.Decl.Name.Text, Line: l.Decl.Span, Sub: sub})
	return v
}

// ref is the value of a name.
func (x *Env) ref(e *ast.Ref) value.Value {
	x = x.at(e.Pos)
	r := x.Info.Refs[e]
	switch r.Kind {
	case book.RefLet:
		return x.let(r.Let, r.Let.Value)
	case book.RefChart:
		return x.Chart(r.Chart)
	case book.RefHand:
		return value.TextOf(r.Hand)
	case book.RefProperty:
		if x.Club == nil {
			return x.common(r)
		}
		return x.holding(r.Property).Property(r)
	}
	return value.LackOf(value.Lack{Kind: value.NoFormula})
}

// holding is x about the club whose cell of a property counts.
func (x *Env) holding(p catalogue.Property) *Env {
	known := !x.Club.Empty(p.ID) || p.ID == catalogue.KindID && x.Club.Kind != catalogue.NoKind
	if x.Else == nil || p.Ordered || known {
		return x
	}
	y := *x
	y.Club, y.Else = x.Else, nil
	return &y
}

// ordered is x about what was ordered for its club, or why that is not known.
func (x *Env) ordered(p catalogue.Property) (*Env, *value.Lack) {
	y, of := *x, x.Club
	y.Info, y.asRead, y.single = nil, false, false // what empty cells mean, and repeats, are those of the sheet
	switch {
	case x.Else != nil && x.Else.Order == x.Club: // about an order already
		return &y, nil
	case of.Order != nil && !of.Order.Loose:
		y.Club, y.Else = of.Order, of
		return &y, nil
	case of.Order != nil:
		why := cmp.Or(of.Order.Unsure, fmt.Sprintf("row %d of the order could not be read", of.Order.Row))
		return nil, &value.Lack{Kind: value.OrderRefused, Property: p.Name, Club: of.Called(), Words: why}
	case of.Loose:
		return nil, &value.Lack{Kind: value.RowMayHave, Property: p.Name, Row: of.Row}
	case of.Sheet == nil || of.Sheet.Order == nil:
		return nil, &value.Lack{Kind: value.NoOrder, Property: "order"}
	}
	lack := &value.Lack{Kind: value.NotOrdered, Property: p.Name, Club: of.Called()}
	if of.Apart {
		lack.Kind = value.OrderedApart
	}
	return nil, lack
}

// common is a property in a rule about a set: the value that all its clubs carry. Where an empty cell has a meaning, it
// counts only in a bag of empty cells.
func (x *Env) common(r *book.RefInfo) value.Value {
	var all value.Value
	var of *club.Club // the first that carries it
	for _, c := range x.Bag.Clubs {
		if x.fallback(c, r.Property.ID) != nil {
			continue
		}
		y := *x
		y.Club, y.Steps = c, nil
		v := y.Property(r)
		switch {
		case v.Kind == value.Lacking:
			return v
		case of != nil && !same(all, v):
			return value.LackOf(value.Lack{Kind: value.ClubsDiffer, Property: r.Property.Name})
		case of == nil:
			all, of = v, c
		}
	}
	for _, f := range x.Bag.Refused {
		v, ok := f.Club.Amount(r.Property.ID)
		if !ok || !r.Property.Sort.Numeric() || all.Kind != value.Number || unit.Compare(v, all.Num) != 0 {
			return value.LackOf(lackRefused(f, r.Property.Name))
		}
	}
	if len(x.Bag.Clubs) == 0 {
		return value.LackOf(value.Lack{Kind: value.NoClubs, Property: r.Property.Name})
	}
	y := *x
	if y.Club = of; of == nil {
		y.Club = x.Bag.Clubs[0]
	}
	if of != nil && x.Steps == nil {
		return all
	}
	return y.Property(r)
}

// LackOf is why a club has no value of a property.
func LackOf(c *club.Club, p catalogue.ID, name string) value.Lack {
	if why := c.Slip(p); why != "" {
		return value.Lack{Kind: value.Odd, Property: name, Club: c.Called(), Words: why}
	}
	if c.Sheet != nil && c.Sheet.HasNo(p) {
		return value.Lack{Kind: value.NoColumn, Property: name}
	}
	return value.Lack{Kind: value.NoReading, Property: name, Club: c.Called()}
}

// lackOf is why the club of x has no value of a property, or its order none.
func (x *Env) lackOf(p catalogue.Property) value.Lack {
	l := LackOf(x.Club, p.ID, p.Name)
	if !p.Ordered {
		return l
	}
	switch l.Kind {
	case value.NoColumn:
		return value.Lack{Kind: value.NoOrderColumn, Property: p.Name, Name: p.Column()}
	case value.Odd:
		l.Words = "on the order, " + l.Words
	}
	l.Club = x.Else.Called()
	return l
}

func lackRefused(f club.Refusal, need string) value.Lack {
	return value.Lack{Kind: value.RowRefused, Property: need, Row: f.Row.Row}
}

// fallback is what the book of the formula says that an empty cell means; nil where it says nothing, or the cell is not
// empty.
func (x *Env) fallback(c *club.Club, p catalogue.ID) *book.Default {
	if x.Info == nil || len(x.Info.Defaults) == 0 || !c.Empty(p) {
		return nil
	}
	return x.Info.Defaults[p]
}

// Property is what was read of the club of x, or what was ordered for it.
func (x *Env) Property(r *book.RefInfo) value.Value {
	p := r.Property
	if p.Ordered {
		y, why := x.ordered(p)
		if why != nil {
			return x.missing(Step{Name: p.Name, Club: x.Club.ID}, *why)
		}
		x = y
	}
	c := x.Club
	s := Step{What: StepReading, Name: p.Name, Club: c.ID, Place: c.Place()}
	if c.Sheet != nil && int(p.ID) < len(c.Sheet.Headings) {
		s.Column = c.Sheet.Headings[p.ID]
	}
	more, d := c.Reading(p.ID), x.fallback(c, p.ID)
	if p.ID != catalogue.KindID && d == nil && !c.Has(p.ID) && !(x.asRead && more.Values != nil) {
		return x.missing(s, x.lackOf(p))
	}
	if !p.Sort.Numeric() {
		return x.named(p, d, s)
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
			return x.missing(s, lacks...)
		}
		v, corrections = length, steps
		if read > 0 && v.Unsure == nil {
			s.U = x.Amount(read, p.Sort.Dim())
		}
	} else if more.HasHalf {
		source := value.Source{Owner: c, Index: int(p.ID)}
		v.Parts = []value.Part{{Source: source, Half: more.Half, U: more.Half / math.Sqrt(3), Sensitivity: 1}}
	}
	if more.HasHalf {
		s.Half = x.Amount(more.Half, p.Sort.Dim())
	}
	s.Amount = x.Amount(n, p.Sort.Dim())
	s.Amount.Swing = p.Sort == catalogue.SwingWeight
	x.restate(p, v.Parts)
	x.Record(s.meanOf(more.Values))
	for _, k := range corrections {
		x.Record(k)
	}
	return v
}

// restate gives what the order states of the club of x an owner of its own. What anything else is uncertain by may be
// changed.
func (x *Env) restate(p catalogue.Property, parts []value.Part) {
	for i := range parts {
		switch q := &parts[i]; {
		case p.Ordered && q.Source.Owner == any(x.Club):
			q.Source.Owner = Ordered{x.Club}
		case x.Bench.Finer != nil:
			x.Bench.Finer(q)
		}
	}
}

// Ordered owns what the row of an order is uncertain by, which nobody can measure again.
type Ordered struct{ Row *club.Club }

// meanOf is the step of a reading, or of the mean of several.
func (s Step) meanOf(values []float64) Step {
	if len(values) < 2 {
		return s
	}
	one := s
	one.Half, one.U = unit.Amount{}, unit.Amount{}
	for _, v := range values {
		one.Amount.Base = v
		s.Sub = append(s.Sub, one)
	}
	s.What = StepMean
	return s
}

// named is what was read of a property that is not a quantity, or with d what the empty cell means. It completes s.
func (x *Env) named(p catalogue.Property, d *book.Default, s Step) value.Value {
	n, _ := x.Club.Amount(p.ID)
	v := value.TruthOf(n != 0)
	switch {
	case d != nil:
		s.What, s.Text, s.Line = StepDefault, d.Text, d.Decl.Span
		if v = value.TextOf(d.Text); p.Sort == catalogue.YesNo {
			v = value.TruthOf(d.Yes)
		}
	case p.ID == catalogue.KindID:
		s.Text = x.Club.Kind.String()
		v = value.TextOf(s.Text)
	case p.Sort == catalogue.Text:
		s.Text, _ = x.Club.Text(p.ID)
		v = x.text(p, s.Text)
	case p.Sort == catalogue.Date:
		s.Text = book.Day(n).String()
		v = value.Value{Kind: value.Day, Num: n}
	default:
		s.Text = [...]string{"no", "yes"}[int(n)&1]
	}
	x.Record(s)
	return v
}

// missing records why there is no reading.
func (x *Env) missing(s Step, lacks ...value.Lack) value.Value {
	for i := range lacks {
		s.What, s.Lack = StepMissing, &lacks[i]
		x.Record(s)
	}
	return value.LackOf(lacks...)
}

// methodOf names the method by which a club's length was read.
func methodOf(c *club.Club, p catalogue.Property) string {
	switch {
	case p.ID == catalogue.LengthID:
		return c.Method
	case p.MethodIn != 0:
		method, _ := c.Text(p.MethodIn)
		return method
	}
	return p.Method
}

// Chart is the row of a chart for the club of x. A row with a condition comes
// before one without.
func (x *Env) Chart(ch *book.Chart) value.Value {
	name := ch.Decl.Name.Text
	if x.Club == nil {
		return value.LackOf(value.Lack{Kind: value.ChartOfOne, Property: name})
	}
	found, lacks := x.Pick(x.Bench.Books.Charts[ch], "the chart "+name, func(i, j int) bool {
		return unit.Compare(ch.Values[i].Base, ch.Values[j].Base) == 0
	})
	x.Bench.Blame(lacks)
	if lacks != nil {
		return value.LackOf(lacks...)
	}
	if found < 0 {
		why := value.Lack{Kind: value.NoChartRow, Property: name, Name: name, Club: x.Club.Called()}
		x.Record(Step{What: StepMissing, Name: name, Club: x.Club.ID, Line: ch.Decl.Span, Lack: &why})
		return value.LackOf(why)
	}
	c := ch.Values[found]
	x.Record(Step{What: StepChart, Name: name, Club: x.Club.ID, Amount: unit.Amount{Base: c.Base, Unit: c.Unit},
		Line: ch.Decl.Rows[found].Span})
	return value.NumberOf(c.Base)
}

// has reports whether the club, or each club of a set (in what says which sets are meant, any club), has a property at
// all, by whatever method. What a refused row does not hold may yet be there.
func (x *Env) has(e *ast.Ref) value.Value {
	x = x.at(e.Pos)
	p := x.Info.Refs[e].Property
	if x.Club != nil && p.Ordered {
		y, why := x.ordered(p)
		switch {
		case why == nil:
			return hasProperty(y.Club, p)
		case why.Kind == value.NotOrdered, why.Kind == value.OrderedApart:
			return value.TruthOf(false)
		}
		return value.UnknownOf([]value.Lack{*why})
	}
	if x.Club != nil {
		return hasProperty(x.holding(p).Club, p)
	}
	join, v := value.And, value.TruthOf(len(x.Bag.Clubs)+len(x.Bag.Refused) > 0)
	if x.Carries {
		join, v = value.Or, value.TruthOf(false)
	}
	for _, c := range x.Bag.Clubs {
		v = join(v, hasProperty(c, p))
	}
	for _, f := range x.Bag.Refused {
		has := value.TruthOf(true)
		if !f.Club.Has(p.ID) {
			has = value.UnknownOf([]value.Lack{lackRefused(f, p.Name)})
		}
		v = join(v, has)
	}
	return v
}

func hasProperty(c *club.Club, p catalogue.Property) value.Value {
	switch {
	case p.ID == catalogue.KindID && c.Kind != catalogue.NoKind || c.Stated(p.ID):
		return value.TruthOf(true)
	case c.Loose:
		return value.UnknownOf([]value.Lack{{Kind: value.RowMayHave, Property: p.Name, Row: c.Row}})
	}
	return value.TruthOf(false)
}
