package constrain

// This file turns demands into a system of difference constraints.

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/book"
)

// Steps are those in which the property is moved.
type Steps struct {
	Size   float64 // base units, above 0
	Whole  bool    // only whole steps count; then the judge's own arithmetic decides at each limit
	Beyond float64 // else: by how many steps a value has to be beyond an open limit
	Inside float64 // how far the property of each club is kept inside each limit, base units

	Hopeless bool // where no value can pass for its uncertainty, use the plain limits
}

// Link is a side of a constraint; the zero Link of none.
type Link struct {
	Constraint *Constraint
	Upper      bool // that the value is not too large
}

// Rule is the rule of a link; nil of the zero Link.
func (l Link) Rule() *book.Rule {
	if l.Constraint == nil {
		return nil
	}
	return l.Constraint.Rule
}

// System is demands as edges: number i is by how many steps club i is moved, up to the number of clubs; the others are
// helpers.
type System struct {
	N     int
	Edges []bounds.Edge
	clubs int
	index func(*club.Club) int
	from  []from // of each edge that comes from demands, the first ones
}

// from is what an edge comes from: a side of a constraint, or a spread with the clubs that the edge is about, nil for a
// helper.
type from struct {
	Link
	among       *among
	plus, minus *judge.Member
}

// System is what some rules ask of n clubs as edges. index gives the number of a club, label that of a rule; below 0 it
// is left out.
func (d *Demands) System(n int, index func(*club.Club) int, label func(*book.Rule) int, o Steps) *System {
	s := &System{N: n, clubs: n, index: index, Edges: make([]bounds.Edge, 0, d.size), from: make([]from, 0, d.size)}
	at := func(c *club.Club) int {
		if c == nil {
			return bounds.Origin
		}
		return index(c)
	}
	for i := range d.single {
		c := &d.single[i]
		if l := label(c.Rule); l >= 0 {
			s.sides(c, at(c.Plus), at(c.Minus), l, o)
		}
	}
	for i := range d.groups {
		p := &d.groups[i]
		if l := label(p.of.Rule); l >= 0 {
			s.spread(p, l, o)
		}
	}
	return s
}

func (s *System) add(e bounds.Edge, from from) {
	s.Edges, s.from = append(s.Edges, e), append(s.from, from)
}

// sides turns a constraint into edges: how far the number of Plus may be above that of Minus, and how far below.
func (s *System) sides(c *Constraint, plus, minus, label int, o Steps) {
	low, high := o.limits(c)
	if !math.IsInf(high, 1) {
		s.add(bounds.Edge{Plus: plus, Minus: minus, Most: high, Label: label}, from{Link: Link{c, true}})
	}
	if !math.IsInf(low, -1) {
		s.add(bounds.Edge{Plus: minus, Minus: plus, Most: -low, Label: label}, from{Link: Link{c, false}})
	}
}

// size is how many edges a spread makes at the most.
func (p *among) size() int { return min(len(p.plus)*len(p.minus), 2*(len(p.plus)+len(p.minus))) }

// spread turns a spread into edges: of each pair where they are few or cannot be had at all, else by way of helpers.
func (s *System) spread(p *among, label int, o Steps) {
	high := func(a, b *judge.Member) float64 {
		c := p.pair(a, b)
		_, high := o.limits(&c)
		return high
	}
	plus, minus := p.plus, p.minus
	few := len(plus)*len(minus) <= p.size()
	if !few && &plus[0] == &minus[0] && high(&plus[0], &plus[0]) < 0 {
		few, plus, minus = true, plus[:2], minus[:2]
	}
	if !few {
		s.byHelpers(p, high, label, o)
		return
	}
	for i := range plus {
		for k := range minus {
			if a, b := &plus[i], &minus[k]; a.Club != b.Club {
				s.add(bounds.Edge{Plus: s.index(a.Club), Minus: s.index(b.Club), Most: high(a, b), Label: label},
					from{among: p, plus: a, minus: b})
			}
		}
	}
}

// byHelpers is a spread by way of helpers. In whole steps, what the value of a club of minus has beyond whole steps
// decides whether a club of plus may be a step longer beside it. So the clubs of minus are put in the order of that.
// Each helper is the least of all up to some place, and a club of plus is held by two of them.
func (s *System) byHelpers(p *among, high func(a, b *judge.Member) float64, label int, o Steps) {
	type placed struct {
		*judge.Member
		steps, rest float64
	}
	var minus []placed
	for i := range p.minus {
		m := placed{Member: &p.minus[i], steps: p.minus[i].Value / o.Size}
		if o.Whole {
			m.steps, m.rest = math.Floor(m.steps), m.steps-math.Floor(m.steps)
		}
		minus = append(minus, m)
	}
	slices.SortStableFunc(minus, func(a, b placed) int { return cmp.Compare(a.rest, b.rest) })
	add := func(plus, minus int, most float64, a, b *judge.Member) {
		s.add(bounds.Edge{Plus: plus, Minus: minus, Most: most, Label: label}, from{among: p, plus: a, minus: b})
	}
	first := s.N
	var levels []placed // the first of each rest
	for i, m := range minus {
		if i == 0 || m.rest > minus[i-1].rest {
			if i > 0 {
				add(s.N, s.N-1, 0, nil, nil)
			}
			levels = append(levels, m)
			s.N++
		}
		add(s.N-1, s.index(m.Club), m.steps, nil, m.Member)
	}
	for i := range p.plus {
		a := &p.plus[i]
		most := func(level int) float64 { return high(a, levels[level].Member) - levels[level].steps }
		all := most(len(levels) - 1)
		add(s.index(a.Club), s.N-1, all, a, nil)
		if low := most(0); low < all {
			from := sort.Search(len(levels), func(level int) bool { return most(level) >= all })
			add(s.index(a.Club), first+from-1, low, a, nil)
		}
	}
}

// limits is the stretch of steps by which the value of a constraint may be moved and pass. Where nothing passes low is
// above high.
func (o Steps) limits(c *Constraint) (low, high float64) {
	pass := c.Passing()
	if pass.Empty() && o.Hopeless {
		pass = decide.Region{Low: c.Limits.Lower, High: c.Limits.Upper}
	} else if pass.Empty() {
		return 1, -1
	}
	step, in := c.Factor*o.Size, c.Factor*o.Inside
	low, high = (pass.Low+in-c.Value)/step, (pass.High-in-c.Value)/step
	if !o.Whole {
		if c.Limits.OpenLower {
			low += o.Beyond
		}
		if c.Limits.OpenUpper {
			high -= o.Beyond
		}
		return low, high
	}
	return c.whole(low, step, -1, in), c.whole(high, step, 1, in)
}

// whole is the last whole number of steps up to a limit, or down to one, at which the value passes so far inside.
func (c *Constraint) whole(limit, step, up, in float64) float64 {
	if math.IsInf(limit, 0) {
		return limit
	}
	n := up * math.Floor(up*limit+1e-6)
	for range 2 {
		if !c.Passes(n*step + up*in) {
			n -= up
		}
	}
	return n
}

// Held is what an edge of a solution comes from, of a spread the two clubs; zero for none and for an edge that comes
// from no demand.
func (s *System) Held(edge int, by *bounds.Solution) Link {
	if edge < 0 || edge >= len(s.from) {
		return Link{}
	}
	plus, minus := edge, edge
	for s.Edges[plus].Plus >= s.clubs { // of a least solution: a helper is held by what it is below
		plus = by.Holds[s.Edges[plus].Plus]
	}
	for s.Edges[minus].Minus >= s.clubs {
		minus = by.Holds[s.Edges[minus].Minus]
	}
	return s.link(plus, minus)
}

// Ring is what the edges of a ring of a greatest solution come from, in turn.
func (s *System) Ring(ring []int) []Link {
	var out []Link
	for i, k := range ring {
		if k >= len(s.from) || s.Edges[k].Plus >= s.clubs {
			continue
		}
		for s.Edges[ring[i]].Minus >= s.clubs {
			i = (i + 1) % len(ring)
		}
		out = append(out, s.link(k, ring[i]))
	}
	return out
}

// link is what edges come from that lead, by helpers or not, from one club to another: the first and the last of them.
func (s *System) link(first, last int) Link {
	a, b := s.from[first], s.from[last]
	if a.among == nil {
		return a.Link
	}
	c := a.among.pair(a.plus, b.minus)
	return Link{&c, true}
}

// Only is the part of a system that has some labels.
func (s *System) Only(labels ...int) *System {
	out := *s
	out.Edges, out.from = nil, nil
	for k, e := range s.Edges {
		if !slices.Contains(labels, e.Label) {
			continue
		}
		if out.Edges = append(out.Edges, e); k < len(s.from) {
			out.from = append(out.from, s.from[k])
		}
	}
	return &out
}
