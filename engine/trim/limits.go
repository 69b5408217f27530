package trim

// This file turns what the rules ask of lengths into whole steps of the grid.

import (
	"cmp"
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
	Options
	clubs   []*club.Club // at the first setting with a length
	lengths []float64    // nm, the shortest of its settings
	index   map[*club.Club]int
	asked   *constrain.Demands
}

func newTask(s *club.Set, asked *constrain.Demands, o Options) *task {
	t := &task{Options: o, index: map[*club.Club]int{}, asked: asked}
	for _, c := range s.Clubs {
		var first *club.Club
		shortest := math.Inf(1)
		for d := c; d != nil; d = d.Next {
			t.index[d] = len(t.clubs)
			if n, ok := d.Amount(catalogue.LengthID); ok {
				first, shortest = cmp.Or(first, d), min(shortest, n)
			}
		}
		if first != nil {
			t.clubs, t.lengths = append(t.clubs, first), append(t.lengths, shortest)
		}
	}
	return t
}

// system is what the rules ask in steps of the grid, and that something is left of each club: it cannot be cut to
// nothing.
func (t *task) system(whole bool) *constrain.System {
	out := t.asked.System(len(t.clubs), func(c *club.Club) int { return t.index[c] },
		func(r *book.Rule) int { return slices.Index(t.asked.Rules, r) },
		constrain.Steps{Size: t.Grid, Whole: whole})
	for i, l := range t.lengths {
		out.Edges = append(out.Edges, bounds.Edge{Plus: bounds.Origin, Minus: i,
			Most: max(0, math.Ceil(l/t.Grid)-1), Label: asRead})
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
