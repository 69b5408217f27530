package trim

// This file turns what the rules ask of lengths into whole steps of the grid.

import (
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

// task is a set as a system of constraints: number i is by how many steps club i is longer
// than it was read.
type task struct {
	clubs   []*club.Club // at the first setting with a length
	lengths []float64    // nm, the shortest of its settings
	index   map[*club.Club]int
	rules   []*check.Rule // by label
	label   map[*check.Rule]int
	asked   []engine.Constraint
	grid    float64
	extend  float64
}

func newTask(s *club.Set, asked engine.Constraints, o Options) *task {
	t := &task{index: map[*club.Club]int{}, label: map[*check.Rule]int{}, asked: asked.Of, rules: asked.Rules, grid: o.Grid, extend: o.Extend}
	for i, r := range t.rules {
		t.label[r] = i
	}
	for _, c := range s.Clubs {
		if !hasLength(c) {
			continue
		}
		shortest := math.Inf(1)
		for d := c; d != nil; d = d.Next {
			t.index[d] = len(t.clubs)
			if n, ok := d.Amount(catalogue.LengthID); ok {
				shortest = math.Min(shortest, n)
			}
		}
		for !c.Has(catalogue.LengthID) { // the first setting at which it was read
			c = c.Next
		}
		t.clubs, t.lengths = append(t.clubs, c), append(t.lengths, shortest)
	}
	return t
}

// most is the longest extension in whole steps.
func (t *task) most() float64 { return math.Floor(t.extend/t.grid + 1e-9) }

// system is a number of constraints as edges, with what each of them comes from.
type system struct {
	edges []bounds.Edge
	from  []Link // of each edge
}

func (s *system) add(e bounds.Edge, from Link) {
	s.edges, s.from = append(s.edges, e), append(s.from, from)
}

// only is the part of a system that has some labels, or is that of no rule.
func (s *system) only(labels []int) *system {
	out := &system{}
	for i, e := range s.edges {
		if e.Label == asRead || slices.Contains(labels, e.Label) {
			out.add(e, s.from[i])
		}
	}
	return out
}

// link is what an edge comes from; zero for none.
func (s *system) link(edge int) Link {
	if edge < 0 {
		return Link{}
	}
	return s.from[edge]
}

// links are what some edges come from, those of the rules alone.
func (s *system) links(ring []int) []Link {
	var out []Link
	for _, k := range ring {
		if s.from[k].Constraint != nil {
			out = append(out, s.from[k])
		}
	}
	return out
}

// rulesOf turns each constraint into edges: how far the number of Plus may be above that of
// Minus, and how far below. low and high, in steps, are given by limits. Something is left of each
// club: it cannot be cut to nothing.
func (t *task) rulesOf(limits func(*engine.Constraint) (low, high float64)) *system {
	out := &system{}
	for i := range t.asked {
		c := &t.asked[i]
		plus, minus := t.at(c.Plus), t.at(c.Minus)
		low, high := limits(c)
		if !math.IsInf(high, 1) {
			out.add(bounds.Edge{Plus: plus, Minus: minus, Most: high, Label: t.label[c.Rule]}, Link{c, true})
		}
		if !math.IsInf(low, -1) {
			out.add(bounds.Edge{Plus: minus, Minus: plus, Most: -low, Label: t.label[c.Rule]}, Link{c, false})
		}
	}
	for i, l := range t.lengths {
		out.add(bounds.Edge{Plus: bounds.Origin, Minus: i, Most: math.Max(0, math.Ceil(l/t.grid)-1), Label: asRead}, Link{})
	}
	return out
}

// upTo adds how much longer than read each club may be, in steps.
func (t *task) upTo(s *system, most func(i int) float64) *system {
	out := &system{edges: slices.Clip(s.edges), from: slices.Clip(s.from)}
	for i := range t.clubs {
		out.add(bounds.Edge{Plus: i, Minus: bounds.Origin, Most: most(i), Label: asRead}, Link{})
	}
	return out
}

func (t *task) at(c *club.Club) int {
	if c == nil {
		return bounds.Origin
	}
	return t.index[c]
}

// exact is the stretch of steps, not whole ones, between which a constraint passes. Where
// nothing passes low is above high.
func (t *task) exact(c *engine.Constraint) (low, high float64) {
	pass := c.Passing()
	if pass.Empty() {
		return 1, -1
	}
	step := c.Factor * t.grid
	return (pass.Low - c.Value) / step, (pass.High - c.Value) / step
}

// whole is the stretch of whole steps that pass. The judge's own arithmetic has the last word
// at both ends, so that a plan within it passes when it is judged again.
func (t *task) whole(c *engine.Constraint) (low, high float64) {
	low, high = t.exact(c)
	if low > high {
		return 1, -1
	}
	step := c.Factor * t.grid
	if !math.IsInf(high, 1) {
		high = math.Floor(high + 1e-6)
		for range 2 {
			if !c.Passes(high * step) {
				high--
			}
		}
	}
	if !math.IsInf(low, -1) {
		low = math.Ceil(low - 1e-6)
		for range 2 {
			if !c.Passes(low * step) {
				low++
			}
		}
	}
	return low, high
}
