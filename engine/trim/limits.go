package trim

// This file turns what the rules ask of lengths into whole steps of the grid.

import (
	"math"
	"slices"

	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// task is a set as a system of constraints: number i is by how many steps club i is longer
// than it was read.
type task struct {
	clubs   []*club.Club // at the first setting with a length
	lengths []float64    // nm, the shortest of its settings
	index   map[*club.Club]int
	label   map[*book.Rule]int
	asked   *constrain.Demands
	grid    float64
	extend  float64
}

func newTask(s *club.Set, asked *constrain.Demands, o Options) *task {
	t := &task{index: map[*club.Club]int{}, label: map[*book.Rule]int{}, asked: asked, grid: o.Grid, extend: o.Extend}
	for i, r := range asked.Rules {
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

// system is what the rules ask in steps of the grid, and that something is left of each club: it cannot be cut to
// nothing.
func (t *task) system(whole bool) *constrain.System {
	out := t.asked.System(len(t.clubs), func(c *club.Club) int { return t.index[c] },
		func(r *book.Rule) int { return t.label[r] },
		constrain.Steps{Size: t.grid, Whole: whole})
	for i, l := range t.lengths {
		out.Edges = append(out.Edges, bounds.Edge{Plus: bounds.Origin, Minus: i,
			Most: math.Max(0, math.Ceil(l/t.grid)-1), Label: asRead})
	}
	return out
}

// upTo adds how much longer than read each club may be, in steps.
func (t *task) upTo(s *constrain.System, most func(i int) float64) *constrain.System {
	out := *s
	out.Edges = slices.Clip(s.Edges)
	for i := range t.clubs {
		out.Edges = append(out.Edges, bounds.Edge{Plus: i, Minus: bounds.Origin, Most: most(i), Label: asRead})
	}
	return &out
}
