package analyse

// This file divides the clubs that a question is about into cells on which no answer changes, and
// lays out a representative of each: for every kind, number and mark that a formula tells apart, and
// for every property each value at which something turns, a value between two of these, and one
// beyond either end. gather.go finds where something turns, linear.go works it out of formulas.
//
// How to ask a question: make a newSpace, let it gather the rules (of one book or of several; properties
// are told apart by their names), and go through shapes, then through each on top of a shape with the
// axes that matter. A question that no representative answers with yes has the answer no where the space is whole;
// else it stays open.

import (
	"encoding/binary"
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// kindsInOrder are the kinds in the order in which they are tried: those that read best in a witness first.
var kindsInOrder = []catalogue.Kind{catalogue.Iron, catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Wedge, catalogue.Putter, catalogue.Chipper}

// shapes are the kinds with their numbers and marks that the space tells apart, and one for all the others.
// A driver stands for no other kind: its number is always 1.
func (s *space) shapes() []draft {
	var out []draft
	for _, k := range s.tellingKinds() {
		for _, n := range s.numbersOf(k) {
			for _, m := range s.marksOf(k, n) {
				out = append(out, draft{kind: k, number: n, mark: m})
			}
		}
	}
	return out
}

func (s *space) tellingKinds() []catalogue.Kind {
	var named, others []catalogue.Kind
	for _, k := range kindsInOrder {
		switch {
		case s.kinds[k]:
			named = append(named, k)
		case k == catalogue.Driver && len(s.numbers) == 0:
		case k == catalogue.Driver, !slices.ContainsFunc(others, func(o catalogue.Kind) bool { return o != catalogue.Driver }):
			others = append(others, k)
		}
	}
	if len(others) == 0 && !s.kinds[catalogue.Driver] {
		others = []catalogue.Kind{catalogue.Driver}
	}
	return append(named, others...)
}

// usualNumbers are the numbers of clubs that are tried where no number counts.
var usualNumbers = map[catalogue.Kind]int{catalogue.Iron: 7, catalogue.Fairway: 3, catalogue.Hybrid: 4}

func (s *space) numbersOf(k catalogue.Kind) []int {
	if k == catalogue.Driver {
		return []int{1}
	}
	found := map[int]bool{}
	for _, at := range []map[int]bool{s.numbers, s.ranges[k]} {
		for n := range at {
			for _, m := range []int{n - 1, n, n + 1} {
				if m >= 1 && m <= catalogue.HighestNumber {
					found[m] = true
				}
			}
		}
	}
	var out []int
	for n := range found {
		out = append(out, n)
	}
	slices.Sort(out)
	usual := usualNumbers[k]
	switch {
	case len(out) == 0 && usual > 0:
		out = []int{usual}
	case usual == 0:
		out = append([]int{0}, out...)
	}
	if s.numberAbsent && out[0] != 0 {
		out = append(out, 0)
	}
	return out
}

func (s *space) marksOf(k catalogue.Kind, number int) []string {
	out := slices.Concat(s.marks[catalogue.NoKind], s.marks[k])
	if len(out) > 0 || k == catalogue.Wedge && number == 0 {
		for _, m := range append(slices.Clone(stamps), "XW") {
			if !has(out, m) {
				out = append(out, m)
				break
			}
		}
	}
	if len(out) == 0 || k != catalogue.Wedge || s.markAbsent {
		out = append([]string{""}, out...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// builds are common lengths in inches, lies and lofts in degrees, kind by kind: common practice.
// Those of irons are of the 6 iron.
var builds = map[catalogue.Kind][3]float64{
	catalogue.Driver: {45, 58, 10}, catalogue.Fairway: {43, 57, 16}, catalogue.Hybrid: {39.5, 60, 22}, catalogue.Iron: {37.5, 61.5, 30},
	catalogue.Wedge: {35.5, 64, 50}, catalogue.Putter: {34, 71, 3}, catalogue.Chipper: {35, 68, 32},
}

// usual are common figures of known properties in the units of unit.Base, and usualOfSort of those that
// a book declares: common practice.
var usual = map[catalogue.ID]float64{
	catalogue.Bounce: 8, catalogue.MassID: 400, catalogue.Balance: 29, catalogue.SwingWeightID: 32, catalogue.FrequencyID: 300, catalogue.VolumeID: 400,
	catalogue.InertiaID: 4000, catalogue.GripLength: 10, catalogue.GripDiameter: 0.9, catalogue.ButtMass: 1.6, catalogue.TipMass: 2,
}
var usualOfSort = map[catalogue.Sort]float64{
	catalogue.Length: 2, catalogue.Angle: 5, catalogue.Mass: 50, catalogue.Time: 200, catalogue.Frequency: 300, catalogue.Area: 0.001,
	catalogue.Volume: 50, catalogue.Inertia: 3000, catalogue.Moment: 200, catalogue.LineMass: 2, catalogue.SwingWeight: 32, catalogue.Count: 3, catalogue.Ratio: 0.5,
}

// usualDay is the first day of 2020.
const usualDay = 18262

// wedgeLofts are common lofts of wedges in degrees by their marks.
var wedgeLofts = map[string]float64{"PW": 46, "GW": 50, "AW": 51, "SW": 55, "LW": 59, "XW": 62}

// steps is how many numbers, or for a wedge steps of four degrees, a club stands behind the one of builds.
func (d *draft) steps() float64 {
	switch {
	case d.kind == catalogue.Wedge && wedgeLofts[d.mark] > 0:
		return (wedgeLofts[d.mark] - builds[d.kind][2]) / 4
	case d.number == 0 || d.number > 11:
		return 0
	case d.kind == catalogue.Iron:
		return float64(d.number - 6)
	case d.kind == catalogue.Fairway:
		return float64(d.number-3) / 2
	case d.kind == catalogue.Hybrid:
		return float64(d.number - 4)
	}
	return 0
}

// typical is a common figure of a property for a club, in base units.
func typical(p catalogue.Property, d *draft) float64 {
	build, steps := builds[d.kind], d.steps()
	switch {
	case p.ID == catalogue.LengthID || p.Method != "":
		return unit.Base(unit.Length).ToBase(build[0] - steps/2)
	case p.ID == catalogue.Lie:
		return unit.Base(unit.Angle).ToBase(build[1] + steps/2)
	case p.ID == catalogue.Loft:
		return unit.Base(unit.Angle).ToBase(build[2] + 4*steps)
	case p.Sort == catalogue.Date:
		return usualDay
	}
	n, ok := usual[p.ID]
	if !ok {
		n = usualOfSort[p.Sort]
	}
	return unit.Base(p.Sort.Dim()).ToBase(n)
}

// options are the readings of a property that stand for all that it may have, for a club whose other
// readings may have been chosen already; nil among them is no reading. Further values at which something turns may be
// given.
func (w *walk) options(a *axis, d *draft, more []float64) []*reading {
	var out []*reading
	switch a.prop.Sort {
	case catalogue.Text:
		for _, t := range a.texts {
			out = append(out, &reading{prop: a.prop, text: t})
		}
		if a.prop.ID != catalogue.Hand {
			out = append(out, &reading{prop: a.prop, text: engine.OtherText(a.texts)})
		} else if len(out) == 0 {
			out = append(out, &reading{prop: a.prop, text: "right"})
		}
	case catalogue.YesNo:
		out = []*reading{{prop: a.prop, amount: 1}, {prop: a.prop}}
	default:
		for _, v := range w.amounts(a, d, more) {
			out = append(out, &reading{prop: a.prop, unit: a.unit, amount: v})
		}
	}
	if a.absent {
		out = append(out, nil)
	}
	return out
}

// amounts are the amounts of a quantity or days that stand for all. None are given where no more work may be done.
func (w *walk) amounts(a *axis, d *draft, more []float64) []float64 {
	turns := append(w.solved(a, d), more...)
	turns = slices.DeleteFunc(turns, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
	slices.Sort(turns)
	turns = slices.CompactFunc(turns, func(x, y float64) bool { return unit.Compare(x, y) == 0 })
	if w.spend(2 + len(turns)); w.cut {
		return nil
	}
	if a.prop.Sort == catalogue.Date {
		return days(turns)
	}
	common := typical(a.prop, d)
	key := []byte(a.prop.Name)
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
func (a *axis) amounts(turns []float64, common float64) []float64 {
	var out []float64
	take := func(v float64) bool {
		if _, exact, ok := settled(v, a.prop, a.unit); ok && plausible(a.prop, exact) {
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
		step := a.unit.ToBase(stepBeside(a.unit.FromBase(at)))
		for k := 0; k < 12; k, step = k+1, step/4 {
			if v := at + sign*step; sign*(end-v) > 0 && take(v) {
				return true
			}
		}
		return sign*(common-at) > 0 && sign*(end-common) > 0 && take(common)
	}
	beside(turns[0], -1, math.Inf(-1))
	for i, v := range turns {
		if i > 0 && !take(between(turns[i-1], v, a.unit)) && !beside(turns[i-1], 1, v) {
			beside(v, -1, turns[i-1])
		}
		take(v)
	}
	beside(turns[len(turns)-1], 1, math.Inf(1))
	return out
}

// days are the turning days, the days beside them, and a day where there are none.
func days(turns []float64) []float64 {
	if len(turns) == 0 {
		return []float64{usualDay}
	}
	var out []float64
	for _, v := range turns {
		out = append(out, math.Ceil(v)-1, math.Ceil(v), math.Floor(v)+1)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// stepBeside is a round step beside a figure: 1 beside 46, 0.1 beside 5.
func stepBeside(n float64) float64 {
	if n == 0 {
		return 1
	}
	return math.Pow(10, math.Floor(math.Log10(math.Abs(n)))-1)
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

// project finds, for each property in an order, where something turns for it once those before it are chosen: the
// comparisons of it with these, and for those before it also where two comparisons with one behind it turn
// together. A comparison is of two properties at the most, and so are those that it gives rise to.
func (s *space) project(order []*axis) map[string][]sum {
	place := map[string]int{}
	for i, a := range order {
		place[a.prop.Name] = i
	}
	last := func(f sum) (int, bool) {
		at := -1
		for _, t := range f.terms {
			if t.prop.ID == catalogue.Number {
				continue
			}
			k, ok := place[t.prop.Name]
			if !ok {
				return 0, false
			}
			at = max(at, k)
		}
		return at, at >= 0
	}
	forms := make([][]sum, len(order))
	total := 0
	add := func(f sum) {
		k, ok := last(f)
		if !ok || slices.ContainsFunc(forms[k], func(g sum) bool { return g.same(f, order[k].prop.Name) }) {
			return
		}
		if total++; total > mostForms {
			s.inexact = true
			return
		}
		forms[k] = append(forms[k], f)
	}
	for _, a := range order {
		for _, v := range a.turns {
			add(sum{terms: []term{{a.prop, 1}}, fixed: -v})
		}
	}
	for _, l := range s.links {
		add(l.sum)
		for _, t := range l.sum.terms { // the other has to leave room for what a club can have of this one
			ends := catalogue.RangeOf(t.prop, catalogue.NoKind).Possible
			for _, v := range []float64{ends.Low, ends.High} {
				if !math.IsInf(v, 0) {
					add(sum{terms: []term{{t.prop, 1}}, fixed: -v})
				}
			}
		}
	}
	out := map[string][]sum{}
	for k := len(order) - 1; k >= 0; k-- {
		name := order[k].prop.Name
		for i, f := range forms[k] {
			for _, g := range forms[k][:i] {
				if len(f.terms) > 1 || len(g.terms) > 1 {
					if d := f.plus(g, -f.factor(name)/g.factor(name)); !d.dust(f) {
						add(d)
					}
				}
			}
		}
		out[name] = forms[k]
	}
	return out
}

// factor is that of a property.
func (a sum) factor(name string) float64 {
	for _, t := range a.terms {
		if t.prop.Name == name {
			return t.factor
		}
	}
	return 0
}

// same tells whether two sums with a property turn at the same values of it.
func (a sum) same(b sum, name string) bool {
	k := a.factor(name) / b.factor(name)
	return len(a.terms) == len(b.terms) && unit.Compare(a.fixed, k*b.fixed) == 0 &&
		!slices.ContainsFunc(a.terms, func(t term) bool { return unit.Compare(t.factor, k*b.factor(t.prop.Name)) != 0 })
}

// dust tells whether nothing but rounding is left of a sum, made from another.
func (a sum) dust(of sum) bool {
	for _, t := range a.terms {
		if math.Abs(t.factor) > 1e-12*math.Abs(of.terms[0].factor) {
			return false
		}
	}
	return true
}

// solved are the values of a quantity at which something turns, for the readings that a club has already.
func (w *walk) solved(a *axis, d *draft) []float64 {
	var out []float64
next:
	for _, f := range w.forms[a.prop.Name] {
		rest := f.fixed
		for _, t := range f.terms {
			switch {
			case t.prop.Name == a.prop.Name:
			case t.prop.ID == catalogue.Number:
				if d.number == 0 {
					continue next
				}
				rest += t.factor * float64(d.number)
			default:
				r := d.of(t.prop.Name)
				if r == nil {
					continue next
				}
				rest += t.factor * r.amount
			}
		}
		out = append(out, -rest/f.factor(a.prop.Name))
	}
	return out
}

// mostCells bounds how many clubs are laid out for one question.
const mostCells = 200_000

// walk lays out the representatives of one question.
type walk struct {
	*space
	program *engine.Program
	forms   map[string][]sum // by property: where something turns for it, once those before it are chosen
	left    int              // clubs that may still be laid out
	pay     func(int) bool   // notes work for the book; nil where that is not counted
	cut     bool
	known   map[string][]float64 // amounts that were worked out, by property, turns and common amount
}

// spend notes work; where no more may be done no more clubs are laid out.
func (w *walk) spend(work int) { w.cut = w.cut || w.pay != nil && !w.pay(work) }

// take takes a club from those that may be laid out; false where there are none left.
func (w *walk) take() bool {
	w.left--
	w.cut = w.cut || w.left < 0
	w.spend(3)
	return !w.cut
}

// walk is a walk whose work counts.
func (a *search) walk(s *space, order []*axis) *walk {
	w := s.walk(a.program, order)
	w.pay = a.pay
	a.pay(20 + 5*len(order))
	return w
}

// walk is a walk that chooses properties in an order.
func (s *space) walk(p *engine.Program, order []*axis) *walk {
	return &walk{space: s, program: p, forms: s.project(order), left: mostCells, known: map[string][]float64{}}
}

// each gives a club every combination of readings of some axes, on top of what it has, and calls f with each
// until that is false; it is false then too. A length is read by the first method that is asked for and covers
// the club, or by any where none is asked for; where none does it is not read.
func (w *walk) each(d *draft, axes []*axis, f func(*draft) bool) bool {
	if len(axes) == 0 {
		return w.take() && f(d)
	}
	a := axes[0]
	if !w.readable(a, d) {
		return w.each(d, axes[1:], f)
	}
	for _, r := range w.options(a, d, nil) {
		e := *d
		e.readings = slices.Clone(d.readings)
		if r != nil {
			e.put(*r)
		}
		if !w.each(&e, axes[1:], f) {
			return false
		}
	}
	return true
}

// readable tells whether a club can have a reading of a property, and sets the method of its length.
func (w *walk) readable(a *axis, d *draft) bool {
	if !a.prop.ByMethod && a.prop.Method == "" {
		return true
	}
	c := bag{*d}.lay(w.program.Schema).Clubs[0]
	if a.prop.Method != "" {
		return w.program.Covers(a.prop.Method, c) == ""
	}
	for _, m := range w.methods {
		if name := m.Decl.Name.Text; w.program.Covers(name, c) == "" {
			d.method = name
			return true
		}
	}
	if len(w.methods) > 0 {
		return false
	}
	for _, name := range w.program.Methods() { // it is asked whether there is a length, by whatever method
		if w.program.Covers(name, c) == "" {
			d.method = name
			return true
		}
	}
	return false
}
