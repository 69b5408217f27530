package trim

// This file turns what the rules ask of lengths into whole steps of the grid.

import (
	"math"

	"ferrule/engine"
	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

// task is a set as a system of constraints: number i is by how many steps club i is longer
// than it was read.
type task struct {
	clubs   []*club.Club
	lengths []float64 // nm, by the method of the reading
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
		t.clubs, t.lengths = append(t.clubs, c), append(t.lengths, shortest)
	}
	return t
}

// most is the longest extension in whole steps.
func (t *task) most() float64 { return math.Floor(t.extend/t.grid + 1e-9) }

// remains keeps something of each club: it cannot be cut to nothing.
func (t *task) remains() []bounds.Edge {
	var out []bounds.Edge
	for i, l := range t.lengths {
		out = append(out, bounds.Edge{Plus: bounds.Origin, Minus: i, Most: math.Max(0, math.Ceil(l/t.grid)-1), Label: asRead})
	}
	return out
}

// edges turns each constraint into edges: how far the number of Plus may be above that of
// Minus, and how far below. low and high, in steps, are given by limits.
func (t *task) edges(limits func(*engine.Constraint) (low, high float64)) []bounds.Edge {
	var out []bounds.Edge
	for i := range t.asked {
		c := &t.asked[i]
		plus, minus := t.at(c.Plus), t.at(c.Minus)
		low, high := limits(c)
		if !math.IsInf(high, 1) {
			out = append(out, bounds.Edge{Plus: plus, Minus: minus, Most: high, Label: t.label[c.Rule]})
		}
		if !math.IsInf(low, -1) {
			out = append(out, bounds.Edge{Plus: minus, Minus: plus, Most: -low, Label: t.label[c.Rule]})
		}
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
