package engine

// This file shows uncertainty: the budget of a value, component by component, and the
// length of a single club by a method of choice, with what the expanded uncertainty and
// the comparison of two lengths need.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Component is a line of a budget of uncertainty.
type Component struct {
	Name         string            // "graduation", "head shape: reach", "lie of d1"
	What         measure.Component // of a length; 0 of another property
	Of           *club.Club        // whose own it is; nil of what clubs share
	Half         Amount            // half-width of the source, rectangular; no amount of repeats
	Source       Amount            // standard uncertainty of the source
	Sensitivity  float64           // of the value to the source, in base units of both
	Contribution Amount            // to the value's standard uncertainty, with the sign of the sensitivity
	Share        float64           // of the variance, 0 to 1
}

// budget lists the components of a value, the largest share first.
func (p *Program) budget(parts []part, shown *unit.Unit) []Component {
	variance := 0.0
	for _, q := range parts {
		variance += q.contribution() * q.contribution()
	}
	if variance == 0 {
		return nil
	}
	out := make([]Component, 0, len(parts))
	for _, q := range parts {
		dim, name := p.describe(q.source)
		u := unit.Base(dim)
		if shown.Dim == dim {
			u = shown
		}
		owner, _ := q.source.owner.(*club.Club)
		c := Component{Name: name, What: q.source.what, Of: owner,
			Source: Amount{Base: q.u, Unit: u}, Sensitivity: q.sensitivity,
			Contribution: Amount{Base: q.contribution(), Unit: shown}, Share: q.contribution() * q.contribution() / variance}
		if q.half > 0 {
			c.Half = Amount{Base: q.half, Unit: u}
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b Component) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	return out
}

// describe names a source of uncertainty and its dimension.
func (p *Program) describe(o origin) (unit.Dim, string) {
	of := ""
	if c, ok := o.owner.(*club.Club); ok {
		of = " of " + c.ID
	}
	switch o.what {
	case measure.Stated:
		if o.index == plannedPart {
			return unit.Length, "shaft and bore as stated" + of
		}
	case 0:
		q := p.Schema.Property(catalogue.ID(o.index))
		return q.Sort.Dim(), q.Name + of
	case measure.LieSet:
		return unit.Angle, o.what.String() + of
	case measure.HeadShape:
		return unit.Length, o.what.String() + ": " + ast.ShapeWords[o.index]
	}
	return unit.Length, o.what.String() + of
}

// Length is the length of a club by a method, or another of its measurements.
type Length struct {
	Club     *club.Club
	From, To string // methods; "" of what is read by none
	Value    Amount // no amount where it cannot be had; Needs and Reasons say why
	U        Amount // standard uncertainty; no amount where it cannot be known
	Expanded Amount // k times U
	Coverage float64
	Steps    []Step
	Budget   []Component
	Needs    []string
	Reasons  []string
	Fault    string // two rows of the books disagree on the club: which; "" for none

	value value
}

// Length brings the length of a club to a method, shown in inches. A lie that the club lacks is
// taken from lieOf, which may be nil.
func (j *Judge) Length(c, lieOf *club.Club, to *book.Method) Length {
	l := j.measured(&env{club: c, info: to.Book.Info, lieOf: lieOf},
		book.RefInfo{Property: j.program.Schema.Property(catalogue.LengthID), Method: to})
	l.From, l.To = c.Method, to.Decl.Name.Text
	return l
}

// Measured is what was read of a numeric property of a club, with no method where it is read by none.
func (j *Judge) Measured(c *club.Club, p catalogue.Property) Length {
	return j.measured(&env{club: c}, book.RefInfo{Property: p})
}

// measured works out the value of a property, shown in the unit that its sort usually has.
func (j *Judge) measured(x *env, of book.RefInfo) Length {
	clear(j.subjects)
	j.clashed = nil
	l := Length{Club: x.club}
	shown := unit.Base(of.Property.Sort.Dim())
	of.Kind = book.RefProperty
	x.j, x.bag, x.steps, x.shown = j, &bag{set: &club.Set{}}, &l.Steps, shown
	v := x.property(&of)
	j.blame(v.lacks)
	j.blame(v.unsure)
	l.Fault, l.value = j.fault(), v
	if v.kind != number {
		l.Needs, l.Reasons = spell(v.lacks)
		return l
	}
	l.Value = Amount{Base: v.num, Unit: shown, Swing: of.Property.Sort == catalogue.SwingWeight}
	if v.unsure != nil {
		l.Needs, l.Reasons = spell(v.unsure)
		return l
	}
	l.U, l.Expanded, l.Coverage = v.expanded(shown)
	l.Budget = j.program.budget(v.parts, shown)
	return l
}

// expanded is the standard and the expanded uncertainty of a number, with the coverage
// factor between them.
func (v value) expanded(u *unit.Unit) (standard, expanded Amount, k float64) {
	s := v.spread()
	k = s.Coverage()
	return Amount{Base: s.U, Unit: u}, Amount{Base: k * s.U, Unit: u}, k
}

// Difference is the first of two lengths by one method less the second. What both share
// cancels. No amount of Expanded: it cannot be known.
type Difference struct {
	Value, U, Expanded Amount
	Budget             []Component

	parts []part
}

// Less is l less m; both must have a value.
func (j *Judge) Less(l, m Length) Difference {
	v := linear(l.value.num-m.value.num, l.value, 1, m.value, -1)
	d := Difference{Value: Amount{Base: v.num, Unit: l.Value.Unit}, parts: v.parts}
	if v.unsure == nil {
		d.U, d.Expanded, _ = v.expanded(l.Value.Unit)
		d.Budget = j.program.budget(v.parts, l.Value.Unit)
	}
	return d
}

// Method returns the method of that name; nil where the books know none.
func (p *Program) Method(name string) *book.Method { return p.methods[name] }

// spell says what is lacking: the names of the measurements, sorted, and the reasons.
func spell(lacks []lack) (needs, reasons []string) {
	for _, l := range lacks {
		if l.need != "" && !slices.Contains(needs, l.need) {
			needs = append(needs, l.need)
		}
		if l.reason != "" && !slices.Contains(reasons, l.reason) {
			reasons = append(reasons, l.reason)
		}
	}
	slices.Sort(needs)
	return needs, reasons
}
