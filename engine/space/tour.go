package space

// This file goes through the clubs, pairs and bags that stand for all, as far as some rules tell them apart. It takes
// every reading of what decides whether and how a rule applies, and of what it requires those at which a verdict turns.

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

const (
	OfBag        = 50     // work of judging a bag
	mostTried    = 60_000 // bags of one tour
	mostMembers  = 240    // different clubs of which bags are made
	mostCopies   = 30     // clubs of a bag
	mostReadings = 10     // of one property of a club
)

// Tour lays out the clubs, pairs and bags that some rules tell apart.
type Tour struct {
	*Walk
	Sides    []*Side
	Holdings []Holdings      // of each side
	Kind     ast.SubjectKind // of what is laid out: sets where a rule depends on the whole bag
	Tried    int             // bags that were laid out

	Roundabout bool // a value turns where the formulas do not tell
	Between    bool // a club that is counted may come between the two of a pair
	tied       bool // what is required of several clubs decides too which of them count

	scope     []*Axis
	free      []*Axis
	asked     []*Axis // those of which it counts whether they are measured
	pivot     *Axis   // the property that is moved last, to where a verdict turns; nil for none
	turning   bool    // where verdicts turn is not known from the formulas alone
	straight  bool    // each rule puts a bound of figures on one property as it is read
	halves    bool    // readings may state a half-width
	glances   bool    // see tour
	scopeOnly bool    // see TourOptions
	cost      int     // of a glance
	decisions []decide.Rule
	values    []BagValue // that the rules depend on
	sorted    []Gap      // what neighbours are sorted by
	short     bool       // not all clubs of which bags are made were laid out
	try       func(Bag) bool
}

// TourOptions is what a tour does beyond what its rules ask for. The zero value is nothing.
type TourOptions struct {
	Methods []string // by which lengths are read as well
	Lies    bool     // it takes lies so far from a plane that a club is on its toe or its heel there
	Halves  bool     // where it counts how sure a value is, readings are laid out with a half-width as well
	Scope   bool     // it counts only which clubs the rules are about and which exceptions hold, not what is required
}

// Tour makes ready to go through what some rules tell apart.
func (a *Search) Tour(o TourOptions, sides ...*Side) *Tour { return a.tour(o, false, sides) }

// tour is Tour; glances tells that the rules are about single clubs and only glanced at, on clubs of which everything
// is measured that no rule asks whether it is.
func (a *Search) tour(o TourOptions, glances bool, sides []*Side) *Tour {
	t := &Tour{Sides: sides, Kind: ast.OfClub, glances: glances, straight: true, scopeOnly: o.Scope}
	s := NewSpace()
	for _, side := range sides {
		if !glances {
			t.Holdings = append(t.Holdings, side.holdings())
		}
		if side.Rule != nil {
			t.gather(a, s, side.Rule)
		}
	}
	if s.Pos == AnyPos {
		for _, numbers := range append(slices.Collect(maps.Values(s.Ranges)), s.Numbers) {
			for _, n := range slices.Collect(maps.Keys(numbers)) { // two of each cell, so that they can be side by side
				numbers[n-1], numbers[n+1] = true, true
			}
		}
	}
	by := lists.Each(s.Methods, func(m *book.Method) string { return m.Decl.Name.Text })
	by = lists.Once(append(by, o.Methods...))
	unsure := slices.ContainsFunc(t.decisions, func(d decide.Rule) bool { return d.Kind != decide.Simple })
	t.halves = unsure && (o.Halves || glances)
	t.turning = unsure || s.Other || s.Inexact || s.Blind || len(by) > 1 || t.Kind != ast.OfClub
	if t.Roundabout = s.Inexact; !glances {
		s.Inexact = false
	}
	if o.Lies || s.Converts() && !glances {
		least, most := 50.0, 70.0 // which a bench may read
		if o.Lies {
			least, most = 40, 80
		}
		lie := s.Axis(a.Program.Schema.Property(catalogue.Lie))
		lie.Turns = append(lie.Turns, unit.Base(unit.Angle).ToBase(least), unit.Base(unit.Angle).ToBase(most))
	}
	if s.Other || len(by) > 1 || unsure && len(by) > 0 {
		for _, side := range sides {
			s.Tools(side.Program)
		}
	}
	t.choose(a, s)
	if t.skip = t.beside; glances {
		return t
	}
	if t.full = len(by) > 0; t.full {
		t.by = by
	}
	t.read = func(m string, d *Draft) bool {
		return slices.ContainsFunc(t.Sides, func(s *Side) bool { return s.reads(m, d) })
	}
	t.told()
	return t
}

// gather notes what a rule speaks of.
func (t *Tour) gather(a *Search, s *Space, r *book.Rule) {
	t.straight = t.straight && a.bare(r)
	t.decisions = append(t.decisions, judge.DecisionOf(r))
	if r.Subject == ast.OfNeighbours {
		s.Pos = AnyPos
		if p, ok := SortedBy(r); ok && p.Sort.Numeric() && p.ID != catalogue.Number {
			t.sorted = append(t.sorted, Gap{Property: p.Name})
		}
	}
	s.Rule(r)
	if t.scopeOnly {
		for _, x := range ScopeOf(r).Axes {
			s.Axis(x.Prop).Free = false
		}
	}
	both := func(x *Axis) bool { return x.Free && x.picks }
	t.tied = t.tied || r.Subject != ast.OfClub && slices.ContainsFunc(s.Axes, both)
	switch {
	case r.Subject == ast.OfSet || s.Bags:
		t.Kind = ast.OfSet
	case r.Subject == ast.OfNeighbours && t.Kind == ast.OfClub:
		t.Kind = ast.OfNeighbours
	}
}

// choose orders the properties: those that decide whether a rule applies, those that it requires something
// of, and of these the one that is moved last if there is to be one.
func (t *Tour) choose(a *Search, s *Space) {
	rank := func(x *Axis) int {
		if !x.Free || !x.Prop.Sort.Numeric() {
			return 0
		}
		spared := func(s *Side) bool { return s.Rule != nil && !slices.Contains(a.Requires(s.Rule), x.Prop.Name) }
		k := 1
		if !slices.ContainsFunc(t.Sides, spared) {
			k += 4
		}
		if x.Prop.ID == catalogue.LengthID && !x.Prop.Ordered {
			k += 2
		}
		if len(x.Turns) > 0 {
			k++
		}
		return k
	}
	for _, x := range s.Axes {
		if x.Absent || x.filled {
			t.asked = append(t.asked, x)
		}
		x.Absent = x.Absent || !t.glances
		if r := rank(x); !t.scopeOnly && r > 0 && (t.pivot == nil || r > rank(t.pivot)) {
			t.pivot = x
		}
	}
	s.NumberAbsent = s.NumberAbsent || !t.glances && (s.numbered || len(s.Numbers)+len(s.Ranges) > 0)
	t.free = lists.Kept(s.Axes, func(x *Axis) bool { return x.Free && x != t.pivot })
	t.scope = lists.Kept(s.Axes, func(x *Axis) bool { return !x.Free && x != t.pivot })
	order := slices.Concat(t.scope, t.free)
	if t.pivot != nil {
		order = append(order, t.pivot)
	}
	t.Walk = a.Walk(s, order)
}

// Each calls f with each club, pair or bag that counts, until it is false; false then, and where no more may be laid
// out. Cut says whether all were.
func (t *Tour) Each(f func(Bag) bool) bool {
	t.try = func(b Bag) bool {
		t.Tried++
		t.Cut = t.Cut || t.Tried > mostTried
		t.spend(OfBag)
		return !t.Cut && f(b)
	}
	defer func() { t.Cut = t.Cut || t.short }()
	switch t.Kind {
	case ast.OfClub:
		return t.eachDraft(slices.Concat(t.scope, t.free), func(d *Draft) bool { return t.sweep(Bag{*d}, t.try) })
	case ast.OfNeighbours:
		return t.eachPair()
	}
	return t.eachBag()
}

// eachDraft gives every shape of club every combination of readings of some axes: first those in which no more than two
// of them are out of the ordinary, which mostly show what there is to be seen, then all.
func (t *Tour) eachDraft(axes []*Axis, f func(*Draft) bool) bool {
	defer func() { t.moves = nil }()
	for _, t.moves = range fewMoves(axes) {
		if len(axes) == 0 || t.Tried > mostTried/2 {
			break
		}
		if !t.EachClub(axes, f) {
			return false
		}
	}
	t.moves = nil
	return t.EachClub(axes, f)
}

// fewMoves are the ways in which at most two of some axes are out of the ordinary.
func fewMoves(axes []*Axis) []map[*Axis]move {
	out := []map[*Axis]move{{}}
	bare := map[*Axis]move{}
	for _, a := range axes {
		bare[a] = nothing
		out = append(out, map[*Axis]move{a: nothing})
	}
	out = append(out, bare)
	for _, a := range axes {
		out = append(out, map[*Axis]move{a: everything})
	}
	for _, two := range [][2]move{{everything, nothing}, {nothing, everything}, {everything, everything}} {
		for i, a := range axes {
			for _, b := range axes[:i] {
				out = append(out, map[*Axis]move{a: two[0], b: two[1]})
			}
		}
	}
	return out
}

// beside reports whether no rule can be about a club that is still to get readings of some axes. Where it is asked
// whether one of these is measured at all, one may be.
func (t *Tour) beside(d *Draft, rest []*Axis) bool {
	for _, a := range t.asked {
		if a == t.pivot || slices.Contains(rest, a) || (t.glances || t.Kind != ast.OfClub) && a.Free {
			return false
		}
	}
	return t.Kind != ast.OfSet && !t.about(d)
}

// about reports whether one of the rules may be about a club, in whatever bag.
func (t *Tour) about(d *Draft) bool {
	for i, s := range t.Sides {
		switch {
		case s.Rule == nil:
		case s.Rule.Among.Decl == nil, !t.glances && t.Holdings[i].Scope.Values != nil,
			s.takes(s.Rule.Among, d) != value.False:
			return true
		}
	}
	return false
}

// sweep calls f with a bag with its pivot moved, that of the last club, through all that makes a difference, until f is
// false; it is false then too.
func (t *Tour) sweep(b Bag, f func(Bag) bool) bool {
	last := len(b) - 1
	if t.pivot == nil {
		return f(b)
	}
	var more []float64 // what is there, and what other clubs have
	for i := range b {
		if r := b[i].Of(t.pivot.Prop.Name); r != nil {
			more = append(more, r.Amount)
			for _, g := range t.Gaps {
				if g.Property == t.pivot.Prop.Name {
					more = append(more, r.Amount+g.By, r.Amount-g.By)
				}
			}
		}
	}
	ways := t.ways(t.pivot, &b[last])
	for _, e := range ways {
		rough := t.Options(t.pivot, &e, more)
		for _, before := range t.before(rough) {
			for _, half := range t.stated(b, e, rough) {
				options := rough
				if t.turning || half > 0 || len(before) > 0 {
					options = t.Options(t.pivot, &e, append(t.roots(b, e, rough, half, before), more...))
				}
				for _, r := range t.inOrder(options, &e) {
					if r.Half, r.More = half, before; !f(ending(b, With(e, r))) {
						return false
					}
				}
			}
		}
	}
	if len(ways) > 0 && !t.pivot.Absent {
		return true
	}
	bare := b[last]
	bare.Readings = slices.Clone(bare.Readings)
	bare.Take(t.pivot.Prop.Name)
	return f(ending(b, bare))
}

// inOrder are readings of the pivot of a club in the order in which they are tried: what is common first, but where all
// are only glanced at.
func (t *Tour) inOrder(options []*Reading, d *Draft) []*Reading {
	out := slices.DeleteFunc(options, func(r *Reading) bool { return r == nil })
	if !t.glances {
		far := func(r *Reading) float64 { return math.Abs(r.Amount - Typical(r.Prop, d)) }
		slices.SortStableFunc(out, func(x, y *Reading) int { return cmp.Compare(far(x), far(y)) })
	}
	return out
}

// before are the readings of the pivot that come before the one that is moved: none, and more where a rule asks for
// single readings. Then there are up to mostReadings of two amounts, and as many as bring their count to where the rule
// turns.
func (t *Tour) before(options []*Reading) [][]float64 {
	out := [][]float64{nil}
	amounts := lists.Each(lists.Kept(options, (*Reading).there), func(r *Reading) float64 { return r.Amount })
	if !t.Repeats || len(amounts) == 0 {
		return out
	}
	low, high := amounts[0], amounts[len(amounts)-1]
	if low == high {
		step := Step(low, t.pivot.Unit)
		low, high = low-step, high+step
		if _, exact, ok := Settled(low, t.pivot.Prop, t.pivot.Unit); !ok || !Plausible(t.pivot.Prop, exact) {
			low = amounts[0]
		}
		out = append(out, amounts[:1])
	}
	for n := 1; n < mostReadings; n++ {
		for k := 0; k <= n; k++ {
			out = append(out, append(slices.Repeat([]float64{high}, k), slices.Repeat([]float64{low}, n-k)...))
		}
	}
	for _, n := range t.turningCounts() {
		if n > mostReadings && n < mostCounted {
			for k := n - 2; k <= n; k++ {
				out = append(out, slices.Repeat(amounts[:1], k))
			}
		}
	}
	return out
}

// ending is a bag with another last club.
func ending(b Bag, d Draft) Bag {
	return append(slices.Clone(b[:len(b)-1]), d)
}

// stated are the half-widths that are stated with the pivot: none, and one where it counts how sure a value is. Where
// it is only glanced at, one alone, and that where some rule cannot judge it otherwise.
func (t *Tour) stated(b Bag, d Draft, options []*Reading) []float64 {
	if !t.halves || t.pivot.Prop.Sort == catalogue.Count {
		return []float64{0}
	}
	for _, r := range options {
		if !r.there() {
			continue
		}
		half := r.Step() / 16
		if !t.glances {
			return []float64{0, half}
		}
		for _, c := range t.compared(ending(b, With(d, r))) {
			if c.Verdict == decide.Unmeasured && c.HasBound && math.IsNaN(c.Spread.U) {
				return []float64{half}
			}
		}
	}
	return []float64{0}
}
