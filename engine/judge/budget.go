package judge

// This file shows lengths with their uncertainty, component by component. One is that of a single club by a method of
// choice; then there is what comparing two needs, and what building clubs asks of the books.

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Component is a line of a budget of uncertainty.
type Component struct {
	Name         string          // "graduation", "head shape: reach", "lie"
	What         value.Component // of a length; 0 of another property
	Of           *club.Club      // whose own it is; nil of what clubs share
	Half         unit.Amount     // half-width of the source, rectangular; no amount of repeats
	Source       unit.Amount     // standard uncertainty of the source
	Sensitivity  float64         // of the value to the source, in base units of both
	Contribution unit.Amount     // to the value's standard uncertainty, with the sign of the sensitivity
	Share        float64         // of the variance, 0 to 1
}

// Whole names the component with the club whose own it is: "lie of d1".
func (c Component) Whole() string {
	if c.Of == nil {
		return c.Name
	}
	return c.Name + " of " + c.Of.Called()
}

// budget lists the components of a value, the largest share first.
func (p *Program) budget(parts []value.Part, shown *unit.Unit) []Component {
	variance := 0.0
	for _, q := range parts {
		variance += q.Variance()
	}
	if variance == 0 {
		return nil
	}
	out := make([]Component, 0, len(parts))
	for _, q := range parts {
		dim, name := p.describe(q.Source)
		u := unit.Base(dim)
		if shown.Dim == dim {
			u = shown
		}
		owner, _ := q.Source.Owner.(*club.Club)
		if o, ok := q.Source.Owner.(eval.Ordered); ok {
			owner = o.Row
		}
		c := Component{Name: name, What: q.Source.What, Of: owner,
			Source: unit.Amount{Base: q.U, Unit: u}, Sensitivity: q.Sensitivity,
			Contribution: unit.Amount{Base: q.Contribution(), Unit: shown}, Share: q.Variance() / variance}
		if q.Half > 0 {
			c.Half = unit.Amount{Base: q.Half, Unit: u}
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b Component) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// describe names a source of uncertainty, whatever has it, and its dimension.
func (p *Program) describe(o value.Source) (unit.Dim, string) {
	if _, ok := o.Owner.(eval.Ordered); ok {
		q := p.Schema.Property(catalogue.ID(o.Index))
		return q.Sort.Dim(), q.Name + " as ordered"
	}
	switch o.What {
	case measure.Stated:
		if o.Index == eval.PlannedPart {
			return unit.Length, "shaft and bore as stated"
		}
	case 0:
		q := p.Schema.Property(catalogue.ID(o.Index))
		return q.Sort.Dim(), q.Name
	case measure.LieSet:
		return unit.Angle, measure.Name(o.What)
	case measure.HeadShape:
		return unit.Length, measure.Name(o.What) + ": " + ast.ShapeWords[o.Index]
	}
	return unit.Length, measure.Name(o.What)
}

// Length is the length of a club by a method, or another of its measurements.
type Length struct {
	Club     *club.Club
	From, To string      // methods; "" of what is read by none
	Value    unit.Amount // no amount where it cannot be had; Lacks say why
	U        unit.Amount // standard uncertainty; no amount where it cannot be known
	Expanded unit.Amount // k times U
	Coverage float64
	Steps    []eval.Step
	Budget   []Component
	Lacks    []value.Lack // of no value, or of no uncertainty
	Fault    *value.Lack  // two rows of the books disagree on the club; nil for none

	value value.Value
}

// Length brings the length of a club to a method, shown in the unit of its lengths. A lie that the club lacks is
// taken from lieOf, which may be nil.
func (j *Judge) Length(c, lieOf *club.Club, to *book.Method) Length {
	x := j.alone(c)
	x.Info, x.Else = to.Book.Info, lieOf
	l := j.measured(x, book.RefInfo{Property: j.program.Schema.Property(catalogue.LengthID), Method: to})
	l.From, l.To = c.Method, to.Decl.Name.Text
	return l
}

// Measured is what was read of a numeric property of a club, with no method where it is read by none.
func (j *Judge) Measured(c *club.Club, p catalogue.Property) Length {
	return j.measured(j.alone(c), book.RefInfo{Property: p})
}

// alone is the place for questions about a club that is in no bag.
func (j *Judge) alone(c *club.Club) *eval.Env {
	return &eval.Env{Bench: j.Bench, Bag: &eval.Bag{Set: &club.Set{}}, Club: c}
}

// measured works out the value of a property, shown in the unit that its sort usually has.
func (j *Judge) measured(x *eval.Env, of book.RefInfo) Length {
	j.ForgetClubs()
	j.Clashed = nil
	l := Length{Club: x.Club}
	shown := unit.Base(of.Property.Sort.Dim())
	if shown.Dim == unit.Length {
		shown = x.Club.LengthUnit()
	}
	of.Kind = book.RefProperty
	x.Steps, x.Shown = &l.Steps, shown
	v := x.Property(&of)
	j.Blame(v.Lacks)
	j.Blame(v.Unsure)
	l.Fault, l.value = j.Clashed, v
	if v.Kind != value.Number {
		l.Lacks = v.Lacks
		return l
	}
	l.Value = unit.Amount{Base: v.Num, Unit: shown, Swing: of.Property.Sort == catalogue.SwingWeight}
	if v.Unsure != nil {
		l.Lacks = v.Unsure
		return l
	}
	l.U, l.Expanded, l.Coverage = expanded(v, shown)
	l.Budget = j.program.budget(v.Parts, shown)
	return l
}

// expanded is the standard and the expanded uncertainty of a number, with the coverage
// factor between them.
func expanded(v value.Value, u *unit.Unit) (standard, expanded unit.Amount, k float64) {
	s := v.Spread()
	k = s.Coverage()
	return unit.Amount{Base: s.U, Unit: u}, unit.Amount{Base: k * s.U, Unit: u}, k
}

// Difference is the first of two lengths by one method less the second. What both share
// cancels. No amount of Expanded: it cannot be known.
type Difference struct {
	Value, U, Expanded unit.Amount
	Budget             []Component

	parts []value.Part
}

// Less is l less m; both must have a value.
func (j *Judge) Less(l, m Length) Difference {
	v := value.Linear(l.value.Num-m.value.Num, l.value, 1, m.value, -1)
	d := Difference{Value: unit.Amount{Base: v.Num, Unit: l.Value.Unit}, parts: v.Parts}
	if unit.Compare(l.Value.Base, m.Value.Base) == 0 {
		d.Value.Base = 0
	}
	if v.Unsure == nil {
		d.U, d.Expanded, _ = expanded(v, l.Value.Unit)
		d.Budget = j.program.budget(v.Parts, l.Value.Unit)
	}
	return d
}

// Within reports whether the difference is no larger than how far it may be off, which is known.
func (d *Difference) Within() bool { return unit.Compare(math.Abs(d.Value.Base), d.Expanded.Base) <= 0 }

// Chart looks a club up in a chart. A row that depends on the whole set is not known.
func (j *Judge) Chart(h *book.Chart, c *club.Club) Length {
	j.Clashed = nil
	x := &eval.Env{Bench: j.Bench, Info: h.Book.Info, Club: c}
	v := x.Chart(h)
	out := Length{Club: c, Fault: j.Clashed}
	if v.Kind != value.Number {
		out.Lacks = v.Lacks
		return out
	}
	out.Value = unit.Amount{Base: v.Num, Unit: c.LengthUnit()}
	return out
}

// GripEnd returns how far the very end of a club's grip lies beyond the bare butt: its cap and its
// crown together. It is not an amount where one of them is not known: lacks say why.
func (j *Judge) GripEnd(c *club.Club) (beyond unit.Amount, lacks []value.Lack) {
	j.ForgetClubs()
	s := j.alone(c).Measuring()
	if s.Cap == nil || s.Crown == nil {
		return unit.Amount{}, s.Missing([]string{"cap", "crown"})
	}
	return unit.Amount{Base: s.Cap.Amount + s.Crown.Amount, Unit: c.LengthUnit()}, nil
}

// Apart splits the variance of each difference into its own part and the shared parts. own is the
// variance of what each has of its own, in squared nm. shared has, for each source that at least two
// of them share, the contribution to each, in nm with its sign. So the covariance of two is the sum
// over the sources of the product of their contributions.
func Apart(ds []Difference) (own []float64, shared [][]float64) {
	uses := map[value.Source]int{}
	for _, d := range ds {
		for _, p := range d.parts {
			uses[p.Source]++
		}
	}
	own = make([]float64, len(ds))
	column := map[value.Source]int{}
	for i, d := range ds {
		for _, p := range d.parts {
			if uses[p.Source] < 2 {
				own[i] += p.Variance()
				continue
			}
			k, ok := column[p.Source]
			if !ok {
				k = len(shared)
				column[p.Source] = k
				shared = append(shared, make([]float64, len(ds)))
			}
			shared[k][i] += p.Contribution()
		}
	}
	return own, shared
}
