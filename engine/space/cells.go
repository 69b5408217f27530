// Package space holds the clubs that stand for all: what rules compare divides the clubs into finitely many cells on
// which no answer changes, and one club of each cell decides a question about a book. It says where something turns,
// lays such clubs out, and glances at what rules say of them within a budget of work. What is found is made a witness:
// rows of a sheet, which are read and judged before anything is told, and cases of a book.
//
// gather.go and linear.go find where something turns, values.go which values of the whole bag count, cells.go and
// walk.go lay out clubs, tour.go and bags.go go through clubs, pairs and bags. ask.go glances at what rules say of
// single clubs, side.go has any bag judged, budget.go holds the work that may be done. draft.go and witness.go write
// and judge witnesses, case.go makes cases of them.
package space

// This file divides the clubs that a question is about into cells on which no answer changes, and lays out a
// representative of each. There is one for every kind, number and mark that a formula tells apart. Of every property
// there is each value at which something turns, a value between two of these, and one beyond either end. gather.go
// finds where something turns, linear.go works it out of formulas.
//
// How to ask a question: make a NewSpace and let it gather the rules, of one book or of several. Properties are told
// apart by their names. Then go through Shapes, and through Each on top of a shape with the axes that matter. A
// question that no representative answers with yes has the answer no where the space is whole; else it stays open.

import (
	"encoding/binary"
	"maps"
	"math"
	"slices"

	"ferrule/engine/eval"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// KindsInOrder are the kinds in the order in which they are tried: those that read best in a witness first.
var KindsInOrder = []catalogue.Kind{catalogue.Iron, catalogue.Driver, catalogue.Fairway, catalogue.Hybrid,
	catalogue.Wedge, catalogue.Putter, catalogue.Chipper}

// Shapes are the kinds with their numbers and marks that the space tells apart, and one for all the others.
// A driver stands for no other kind: its number is always 1.
func (s *Space) Shapes() []Draft {
	var out []Draft
	for _, k := range s.tellingKinds() {
		for _, n := range s.NumbersOf(k) {
			for _, m := range s.MarksOf(k, n) {
				out = append(out, Draft{Kind: k, Number: n, Mark: m})
			}
		}
	}
	return out
}

func (s *Space) tellingKinds() []catalogue.Kind {
	var named, others []catalogue.Kind
	for _, k := range KindsInOrder {
		switch {
		case s.Kinds[k]:
			named = append(named, k)
		case k == catalogue.Driver && len(s.Numbers) == 0:
		case k == catalogue.Driver, len(others) == 0, slices.Equal(others, []catalogue.Kind{catalogue.Driver}):
			others = append(others, k)
		}
	}
	if len(others) == 0 && !s.Kinds[catalogue.Driver] {
		others = []catalogue.Kind{catalogue.Driver}
	}
	return append(named, others...)
}

func (s *Space) NumbersOf(k catalogue.Kind) []int {
	if k == catalogue.Driver {
		return []int{1}
	}
	found := map[int]bool{}
	for _, at := range []map[int]bool{s.Numbers, s.Ranges[k]} {
		for n := range at {
			for m := max(n-1, 1); m <= min(n+1, catalogue.HighestNumber); m++ {
				found[m] = true
			}
		}
	}
	out := slices.Sorted(maps.Keys(found))
	usual := catalogue.UsualNumbers[k]
	if usual == 0 && s.numbered && s.Pos != ast.Here {
		usual = 5 // such wedges and putters are rare, but rules may be about them
	}
	switch {
	case len(out) == 0 && usual > 0 && s.Pos == ast.Here:
		out = []int{usual}
	case len(out) == 0 && usual > 0: // two clubs have to be in an order
		out = []int{usual, usual + 1}
	case usual == 0:
		out = append([]int{0}, out...)
	}
	if s.NumberAbsent && out[0] != 0 {
		out = append(out, 0)
	}
	return out
}

func (s *Space) MarksOf(k catalogue.Kind, number int) []string {
	out := slices.Concat(s.Marks[catalogue.NoKind], s.Marks[k])
	if len(out) > 0 || k == catalogue.Wedge && number == 0 {
		taken := func(m string) bool { return catalogue.Listed(out, m) }
		others := slices.DeleteFunc(append(slices.Clone(catalogue.Stamps), "XW", "YW"), taken)
		if out = append(out, others[0]); s.Pos != ast.Here && k == catalogue.Wedge { // two have to be in an order
			out = append(out, others[1])
		}
	}
	if len(out) == 0 || k != catalogue.Wedge || s.MarkAbsent {
		out = append([]string{""}, out...)
	}
	return out
}

// steps is how many numbers, or for a wedge steps of four degrees, a club is behind that of catalogue.Builds.
func (d *Draft) steps() float64 {
	switch {
	case d.Kind == catalogue.Wedge && catalogue.WedgeLofts[d.Mark] > 0:
		return (catalogue.WedgeLofts[d.Mark] - catalogue.Builds[d.Kind].Loft) / 4
	case d.Number == 0 || d.Number > 11:
		return 0
	case d.Kind == catalogue.Iron:
		return float64(d.Number - 6)
	case d.Kind == catalogue.Fairway:
		return float64(d.Number-3) / 2
	case d.Kind == catalogue.Hybrid:
		return float64(d.Number - 4)
	}
	return 0
}

// Typical is a common figure of a property for a club, in base units.
func Typical(p catalogue.Property, d *Draft) float64 {
	build, steps := catalogue.Builds[d.Kind], d.steps()
	switch {
	case p.ID == catalogue.LengthID || p.Method != "":
		return unit.Base(unit.Length).ToBase(build.Length - steps/2)
	case p.ID == catalogue.Lie:
		return unit.Base(unit.Angle).ToBase(build.Lie + steps/2)
	case p.ID == catalogue.Loft:
		return unit.Base(unit.Angle).ToBase(build.Loft + 4*steps)
	}
	return catalogue.Common(p)
}

// Options are the readings of a property that stand for all that it may have, for a club whose other readings may have
// been chosen already; nil among them is not a reading. Further values at which something turns may be given.
func (w *Walk) Options(a *Axis, d *Draft, more []float64) []*Reading {
	var out []*Reading
	switch a.Prop.Sort {
	case catalogue.Text:
		out = lists.Each(a.Words(), func(t string) *Reading { return &Reading{Prop: a.Prop, Text: t} })
	case catalogue.YesNo:
		out = []*Reading{{Prop: a.Prop, Amount: 1}, {Prop: a.Prop}}
	default:
		of := func(v float64) *Reading { return &Reading{Prop: a.Prop, Unit: a.Unit, Amount: v} }
		out = lists.Each(w.amounts(a, d, more), of)
	}
	switch {
	case a.Absent && a.Prop.Ordered: // the row of the order is there, else nobody could tell
		out = append(out, &Reading{Prop: a.Prop, Unit: a.Unit, None: true})
	case a.Absent:
		out = append(out, nil)
	}
	return out
}

// Words are the texts that stand for all that a property may be: those that count, and one of the others.
func (a *Axis) Words() []string {
	switch {
	case a.Prop.ID == catalogue.Hand && len(a.texts) == 0:
		return []string{"right"}
	case a.Prop.ID == catalogue.Hand, a.listed:
		return a.texts
	}
	return append(slices.Clone(a.texts), eval.OtherText(a.texts))
}

// amounts are the amounts of a quantity or days that stand for all. None are given where no more work may be done.
func (w *Walk) amounts(a *Axis, d *Draft, more []float64) []float64 {
	turns := append(w.solved(a, d), more...)
	turns = slices.DeleteFunc(turns, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
	slices.Sort(turns)
	turns = slices.CompactFunc(turns, func(x, y float64) bool { return unit.Compare(x, y) == 0 })
	if w.spend(2 + len(turns)); w.Cut {
		return nil
	}
	common := Typical(a.Prop, d)
	if a.Prop.Sort == catalogue.Date {
		return days(turns, common)
	}
	key := []byte(a.Prop.Name)
	for _, v := range append(turns, common) {
		key = binary.NativeEndian.AppendUint64(key, math.Float64bits(v))
	}
	out, ok := w.known[string(key)]
	if !ok {
		w.spend(20 * len(turns))
		out = a.amounts(turns, common)
		w.known[string(key)] = out
	}
	return out
}

// amounts are the amounts of a quantity that stand for all where something turns at some, one of which may be common.
func (a *Axis) amounts(turns []float64, common float64) []float64 {
	var out []float64
	take := func(v float64) bool {
		if _, exact, ok := Settled(v, a.Prop, a.Unit); ok && Plausible(a.Prop, exact) {
			out = append(out, exact)
			return true
		}
		return false
	}
	if len(turns) == 0 {
		take(common)
		return out
	}
	// beside takes an amount on one side of a turn, and this side of another: where clubs cannot have what lies farther
	// off, one that is close, or a common one.
	beside := func(at, sign, end float64) bool {
		step := Step(at, a.Unit)
		for k := 0; k < 12; k, step = k+1, step/4 {
			if v := at + sign*step; sign*(end-v) > 0 && take(v) {
				return true
			}
		}
		return sign*(common-at) > 0 && sign*(end-common) > 0 && take(common)
	}
	beside(turns[0], -1, math.Inf(-1))
	for i, v := range turns {
		if i > 0 && !take(between(turns[i-1], v, a.Unit)) && !beside(turns[i-1], 1, v) {
			beside(v, -1, turns[i-1])
		}
		take(v)
	}
	beside(turns[len(turns)-1], 1, math.Inf(1))
	return out
}

// days are the turning days and the days beside them, or a common day if there are none.
func days(turns []float64, common float64) []float64 {
	if len(turns) == 0 {
		return []float64{common}
	}
	var out []float64
	for _, v := range turns {
		out = append(out, math.Ceil(v)-1, math.Ceil(v), math.Floor(v)+1)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// between is a short figure strictly between two amounts in base units.
func between(low, high float64, u *unit.Unit) float64 {
	a, b := u.FromBase(low), u.FromBase(high)
	middle := a + (b-a)/2
	try := func(step float64) (float64, bool) {
		n := math.Round(middle/step) * step
		v := u.ToBase(n)
		return v, unit.Compare(v, low) > 0 && unit.Compare(v, high) < 0
	}
	if u == unit.Base(unit.Length) {
		for step := 1.0; step >= 1.0/64; step /= 2 {
			if v, ok := try(step); ok {
				return v
			}
		}
	}
	for step := math.Pow(10, math.Ceil(math.Log10(b-a))); step > 1e-9; step /= 10 {
		for _, k := range []float64{1, 0.5} {
			if v, ok := try(step * k); ok {
				return v
			}
		}
	}
	return u.ToBase(middle)
}

// mostForms bounds how many comparisons are looked at together.
const mostForms = 400

// projection is where something turns for the properties of an order.
type projection struct {
	order []*Axis
	forms [][]Sum // of each those of it and of some before it
	total int
	more  bool // there were too many
}

// last is the place in the order of the last property of a sum; false where it has none, or one that is not chosen.
func (p *projection) last(f Sum) (int, bool) {
	at := -1
	for _, t := range f.Terms {
		if t.Prop.ID == catalogue.Number {
			continue
		}
		k := slices.IndexFunc(p.order, func(a *Axis) bool { return a.Prop.Name == t.Prop.Name })
		if k < 0 {
			return 0, false
		}
		at = max(at, k)
	}
	return at, at >= 0
}

// add takes in a sum, once.
func (p *projection) add(f Sum) {
	k, ok := p.last(f)
	if !ok || slices.ContainsFunc(p.forms[k], func(g Sum) bool { return g.same(f, p.order[k].Prop.Name) }) {
		return
	}
	if p.total++; p.total > mostForms {
		p.more = true
		return
	}
	p.forms[k] = append(p.forms[k], f)
}

// Project finds, for each property in an order, where something turns for it once those before it are chosen: the
// comparisons of it with these, and for those before it also where two comparisons with one behind it turn
// together. A comparison is of two properties at the most, and so are those that it gives rise to.
func (s *Space) Project(order []*Axis) map[string][]Sum {
	p := &projection{order: order, forms: make([][]Sum, len(order))}
	turnsAt := func(of catalogue.Property, v float64) { p.add(Sum{Terms: []Term{{of, 1}}, Fixed: -v}) }
	for _, a := range order {
		for _, v := range a.Turns {
			turnsAt(a.Prop, v)
		}
	}
	for _, sum := range s.links {
		p.add(sum)
		for _, t := range sum.Terms { // the other has to leave room for what a club can have of this one
			ends := catalogue.RangeOf(&t.Prop, catalogue.NoKind).Possible
			for _, v := range []float64{ends.Low, ends.High} {
				if !math.IsInf(v, 0) {
					turnsAt(t.Prop, v)
				}
			}
		}
	}
	out := map[string][]Sum{}
	for k := len(order) - 1; k >= 0; k-- {
		name := order[k].Prop.Name
		for i, f := range p.forms[k] {
			for _, g := range p.forms[k][:i] {
				if len(f.Terms) > 1 || len(g.Terms) > 1 {
					if d := f.Plus(g, -f.factor(name)/g.factor(name)); !d.dust(f) {
						p.add(d)
					}
				}
			}
		}
		out[name] = p.forms[k]
	}
	s.Inexact = s.Inexact || p.more
	return out
}

// factor is that of a property.
func (a Sum) factor(name string) float64 {
	for _, t := range a.Terms {
		if t.Prop.Name == name {
			return t.Factor
		}
	}
	return 0
}

// same reports whether two sums with a property turn at the same values of it.
func (a Sum) same(b Sum, name string) bool {
	k := a.factor(name) / b.factor(name)
	return len(a.Terms) == len(b.Terms) && unit.Compare(a.Fixed, k*b.Fixed) == 0 &&
		!slices.ContainsFunc(a.Terms, func(t Term) bool { return unit.Compare(t.Factor, k*b.factor(t.Prop.Name)) != 0 })
}

// dust reports whether nothing but rounding is left of a sum, made from another.
func (a Sum) dust(of Sum) bool {
	for _, t := range a.Terms {
		if math.Abs(t.Factor) > 1e-12*math.Abs(of.Terms[0].Factor) {
			return false
		}
	}
	return true
}

// solved are the values of a quantity at which something turns, for the readings that a club has already.
func (w *Walk) solved(a *Axis, d *Draft) []float64 {
	var out []float64
next:
	for _, f := range w.Forms[a.Prop.Name] {
		rest := f.Fixed
		for _, t := range f.Terms {
			switch {
			case t.Prop.Name == a.Prop.Name:
			case t.Prop.ID == catalogue.Number:
				if d.Number == 0 {
					continue next
				}
				rest += t.Factor * float64(d.Number)
			default:
				r := d.Of(t.Prop.Name)
				if r == nil {
					continue next
				}
				rest += t.Factor * r.Amount
			}
		}
		out = append(out, -rest/f.factor(a.Prop.Name))
	}
	return out
}
