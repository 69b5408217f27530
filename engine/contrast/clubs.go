package contrast

// This file goes through the clubs that stand for all, as far as the two editions of a rule may tell them apart:
// every reading of what decides whether the rule applies, and of what it requires those at which a verdict turns.

import (
	"maps"
	"slices"

	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
)

// Run tries the clubs that stand for all.
func (u *Comparison) Run() {
	switch u.kind {
	case ast.OfClub:
		u.eachClub(func(d *space.Draft) bool { return u.try(space.Bag{*d}) })
	case ast.OfNeighbours:
		u.eachPair()
	default:
		u.eachBag()
	}
}

// eachClub calls f with every club that counts, until it is false.
func (u *Comparison) eachClub(f func(*space.Draft) bool) bool {
	return u.eachDraft(slices.Concat(u.scope, u.free), func(d *space.Draft) bool {
		return u.sweep(space.Bag{*d}, func(b space.Bag) bool { return f(&b[0]) })
	})
}

// eachDraft gives every shape of club every combination of readings of some axes: first those in which no more than two
// of them are out of the ordinary, which mostly show what there is to be seen, then all.
func (u *Comparison) eachDraft(axes []*space.Axis, f func(*space.Draft) bool) bool {
	if len(axes) > 0 {
		for _, moves := range fewMoves(axes) {
			if u.tried > mostTried/2 {
				break
			}
			if !u.eachShape(axes, moves, f) {
				return false
			}
		}
	}
	all := map[*space.Axis]move{}
	for _, a := range axes {
		all[a] = everything
	}
	return u.eachShape(axes, all, f)
}

// move is which readings a property is given. The zero value is a common one.
type move uint8

const (
	everything move = iota + 1
	nothing         // it is not measured
)

// fewMoves are the ways in which at most two of some axes are out of the ordinary.
func fewMoves(axes []*space.Axis) []map[*space.Axis]move {
	out := []map[*space.Axis]move{{}}
	bare := map[*space.Axis]move{}
	for _, a := range axes {
		bare[a] = nothing
		out = append(out, map[*space.Axis]move{a: nothing})
	}
	out = append(out, bare)
	for _, a := range axes {
		out = append(out, map[*space.Axis]move{a: everything})
	}
	for i, a := range axes {
		for _, b := range axes[:i] {
			out = append(out, map[*space.Axis]move{a: everything, b: nothing}, map[*space.Axis]move{a: nothing, b: everything})
		}
	}
	for i, a := range axes {
		for _, b := range axes[:i] {
			out = append(out, map[*space.Axis]move{a: everything, b: everything})
		}
	}
	return out
}

// eachShape gives every shape every combination of readings of some axes, as these are moved.
func (u *Comparison) eachShape(axes []*space.Axis, moves map[*space.Axis]move, f func(*space.Draft) bool) bool {
	for _, d := range u.Shapes() {
		if !u.vary(&d, axes, moves, f) {
			return false
		}
	}
	return true
}

// vary gives a club readings of some axes. Clubs that neither rule is about are left out.
func (u *Comparison) vary(d *space.Draft, axes []*space.Axis, moves map[*space.Axis]move, f func(*space.Draft) bool) bool {
	if !u.concerned(d, axes) {
		return true
	}
	if len(axes) == 0 {
		return f(d)
	}
	a := axes[0]
	var readings []space.Draft
	switch moves[a] {
	case everything:
		readings = u.read(a, d, u.fallback(a, d))
	case nothing:
		readings = []space.Draft{*d}
	default:
		readings = []space.Draft{u.common(a, d)}
	}
	for _, e := range readings {
		if !u.vary(&e, axes[1:], moves, f) {
			return false
		}
	}
	return true
}

// common is a club with a common reading of a property, by the first method that can read it.
func (u *Comparison) common(a *space.Axis, d *space.Draft) space.Draft {
	for _, e := range u.ways(a, d) {
		if a.Prop.Sort.Numeric() {
			return space.With(e, &space.Reading{Prop: a.Prop, Unit: a.Unit, Amount: space.Typical(a.Prop, d)})
		}
		if options := u.Options(a, &e, nil); len(options) > 0 {
			return space.With(e, options[0])
		}
	}
	return *d
}

// fallback are values to try of a property that nothing is compared with by itself.
func (u *Comparison) fallback(a *space.Axis, d *space.Draft) []float64 {
	if a != u.pivot && len(a.Turns) == 0 && a.Prop.Sort.Numeric() && (u.kind != ast.OfClub || a.Free && slices.Contains(u.parts, Limit)) {
		return []float64{space.Typical(a.Prop, d)}
	}
	return nil
}

// read is a club with each reading that a property may have, by each method, and without one.
func (u *Comparison) read(a *space.Axis, d *space.Draft, more []float64) []space.Draft {
	var out []space.Draft
	bare := false
	for _, e := range u.ways(a, d) {
		for _, r := range u.Options(a, &e, more) {
			if r == nil && bare {
				continue
			}
			bare = bare || r == nil
			out = append(out, space.With(e, r))
		}
	}
	if !bare {
		out = append(out, *d)
	}
	return out
}

// ways is a club with each method by which its length may be read; the club as it is for another property.
func (u *Comparison) ways(a *space.Axis, d *space.Draft) []space.Draft {
	if a.Prop.ID != catalogue.LengthID {
		return []space.Draft{*d}
	}
	var out []space.Draft
	for _, m := range u.by {
		e := *d
		e.Method = m
		if u.sides[0].covers(&e) || u.sides[1].covers(&e) {
			out = append(out, e)
		}
	}
	return out
}

// concerned reports whether either rule may be about a club that is still to get readings of some axes. Where it is
// asked whether one of these is measured at all, it may be.
func (u *Comparison) concerned(d *space.Draft, rest []*space.Axis) bool {
	for _, a := range u.asked {
		if a == u.pivot || slices.Contains(rest, a) || u.kind != ast.OfClub && a.Free {
			return true
		}
	}
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		sel := s.rule.Among.Decl
		if sel == nil || u.kind == ast.OfSet {
			return true
		}
		d.LayInto(&s.club, s.program.Schema)
		if s.probe.Takes(sel, s.rule.Book.Info, &s.club) != value.False {
			return true
		}
	}
	return false
}

// sweep moves the pivot of the last club of a bag through all that makes a difference.
func (u *Comparison) sweep(b space.Bag, f func(space.Bag) bool) bool {
	if u.pivot == nil {
		return f(b)
	}
	last := len(b) - 1
	if u.shift == shopMoved && !u.reaches(ending(b, u.common(u.pivot, &b[last]))) {
		return f(ending(b, without(b[last], u.pivot)))
	}
	var more []float64 // what is there, and what other clubs have
	for i := range b {
		if r := b[i].Of(u.pivot.Prop.Name); r != nil {
			more = append(more, r.Amount)
			for _, g := range u.gaps {
				if g.property == u.pivot.Prop.Name {
					more = append(more, r.Amount+g.by, r.Amount-g.by)
				}
			}
		}
	}
	for _, e := range u.ways(u.pivot, &b[last]) {
		rough := u.Options(u.pivot, &e, more)
		for _, before := range u.before(rough) {
			for _, half := range u.stated(rough) {
				options := rough
				if u.turning || half > 0 || len(before) > 0 {
					options = u.Options(u.pivot, &e, append(u.roots(b, e, rough, half, before), more...))
				}
				for _, r := range options {
					if r == nil {
						continue
					}
					if r.Half, r.More = half, before; !f(ending(b, space.With(e, r))) {
						return false
					}
				}
			}
		}
	}
	return f(ending(b, without(b[last], u.pivot)))
}

// without is a club without a reading.
func without(d space.Draft, a *space.Axis) space.Draft {
	d.Readings = slices.Clone(d.Readings)
	d.Take(a.Prop.Name)
	return d
}

// before are the readings of the pivot that come before the one that is moved: none, and where a rule asks for single
// readings up to mostReadings of two amounts, and as many as bring their count to where the rule turns.
func (u *Comparison) before(options []*space.Reading) [][]float64 {
	out := [][]float64{nil}
	var amounts []float64
	for _, r := range options {
		if r != nil {
			amounts = append(amounts, r.Amount)
		}
	}
	if !u.Repeats || len(amounts) == 0 {
		return out
	}
	low, high := amounts[0], amounts[len(amounts)-1]
	if low == high {
		step := space.Step(low, u.pivot.Unit)
		low, high = low-step, high+step
		if _, exact, ok := space.Settled(low, u.pivot.Prop, u.pivot.Unit); !ok || !space.Plausible(u.pivot.Prop, exact) {
			low = amounts[0]
		}
		out = append(out, amounts[:1])
	}
	for n := 1; n < mostReadings; n++ {
		for k := 0; k <= n; k++ {
			out = append(out, append(slices.Repeat([]float64{high}, k), slices.Repeat([]float64{low}, n-k)...))
		}
	}
	for _, n := range u.turningCounts() {
		if n > mostReadings && n < mostCounted {
			for k := n - 2; k <= n; k++ {
				out = append(out, slices.Repeat(amounts[:1], k))
			}
		}
	}
	return out
}

// ending is a bag with another last club.
func ending(b space.Bag, d space.Draft) space.Bag {
	out := slices.Clone(b)
	out[len(out)-1] = d
	return out
}

// stated are the half-widths that are stated with the pivot: none, and one where it counts how sure a value is.
func (u *Comparison) stated(options []*space.Reading) []float64 {
	if u.halves && u.pivot.Prop.Sort != catalogue.Count && len(options) > 0 && options[0] != nil {
		return []float64{0, options[0].Step() / 16}
	}
	return []float64{0}
}

// roots are the values of the pivot of the last club at which a verdict turns, found by judging at two values close
// together: between them both the value and its limits run straight.
func (u *Comparison) roots(b space.Bag, d space.Draft, options []*space.Reading, half float64, before []float64) []float64 {
	const most = 12
	var out []float64
	for i, r := range options {
		if r == nil || len(options) > most && i%(len(options)/most+1) != 0 {
			continue
		}
		if !u.pay(2 * ofBag) {
			u.Cut = true
			break
		}
		one, two := *r, *r
		step := r.Step() / 64
		two.Amount += step
		one.Half, two.Half = half, half
		one.More, two.More = before, before
		for _, s := range u.sides {
			near := maps.Clone(s.look(ending(b, space.With(d, &one))))
			for key, far := range s.look(ending(b, space.With(d, &two))) {
				n := near[key].result
				if n == nil || far.result == nil || n.Exception != far.result.Exception || !n.Value.Known() || !far.result.Value.Known() {
					continue
				}
				out = append(out, space.Crossings(one.Amount, step, sided(n), sided(far.result), u.decisions...)...)
			}
		}
	}
	return out
}
