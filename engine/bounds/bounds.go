// Package bounds solves systems of difference constraints: numbers of which each may be bounded, and each difference of
// two. Such a system has a greatest solution below given bounds, and a least one above, each in every number at once.
// Where it has none, some of its constraints go round in a ring that adds up to less than 0.
package bounds

import (
	"math"

	"ferrule/lang/lists"
)

// Origin is the number 0 in an Edge.
const Origin = -1

// Edge is the constraint x[Plus] - x[Minus] <= Most. Label is the caller's name for where it comes from;
// edges of one label are kept or dropped together. The unit is the caller's.
type Edge struct {
	Plus, Minus int // numbers of the system, or Origin
	Most        float64
	Label       int
}

// dust is how much less a path must be to count as shorter: whole numbers are exact, others are
// rounded.
const dust = 1e-6

// Solution is the outcome of a system.
type Solution struct {
	X     []float64 // each number; infinite where nothing bounds it
	Holds []int     // for each number the edge that holds it there; -1 where none does
	Ring  []int     // if there is no solution: edges that go round and add up to less than 0
}

// Feasible reports whether the system has a solution.
func (s *Solution) Feasible() bool { return s.Ring == nil }

// Greatest returns the solution of a system of n numbers that is greatest in each of them. Numbers
// without an upper bound are +Inf; a ring among these alone is found too. It takes time in
// proportion to n times the number of edges at the most; for chains of constraints in order, a few times the edges.
func Greatest(n int, edges []Edge) Solution {
	s := shortest(n, edges, true)
	if !s.Feasible() {
		return s
	}
	for i := range s.X {
		if math.IsInf(s.X[i], 1) { // a ring among what nothing bounds is looked for from everywhere
			if free := shortest(n, edges, false); !free.Feasible() {
				return free
			}
			break
		}
	}
	return s
}

// Least returns the solution that is least in each number; numbers without a lower bound are -Inf.
func Least(n int, edges []Edge) Solution {
	s := Greatest(n, lists.Each(edges, func(e Edge) Edge { return Edge{e.Minus, e.Plus, e.Most, e.Label} }))
	for i := range s.X {
		s.X[i] = -s.X[i]
	}
	return s
}

// shortest finds the shortest paths by Bellman and Ford, through the edges in turn forward and back: from the origin,
// or where from is false from every number at once, which only finds out whether there is a ring.
func shortest(n int, edges []Edge, from bool) Solution {
	w := ways{edges: edges, x: make([]float64, n+1), holds: make([]int, n+1)}
	for i := range w.x {
		w.holds[i] = -1
		if from && i > 0 {
			w.x[i] = math.Inf(1)
		}
	}
	for round, look := 1, 1; w.pass(round%2 == 0); round++ {
		if round == look || round > n {
			look *= 2
			if ring := w.ring(); ring != nil {
				return Solution{X: w.x[1:], Holds: w.holds[1:], Ring: ring}
			}
		}
	}
	return Solution{X: w.x[1:], Holds: w.holds[1:]}
}

// ways are the shortest paths found so far: number i is at i+1, the origin at 0.
type ways struct {
	edges []Edge
	x     []float64
	holds []int // the last edge of the path; -1 for none
}

// pass goes through the edges once, and reports whether any made a path shorter.
func (w *ways) pass(back bool) (moved bool) {
	for i := range w.edges {
		k := i
		if back {
			k = len(w.edges) - 1 - i
		}
		e := &w.edges[k]
		if way := w.x[e.Minus+1] + e.Most; way < w.x[e.Plus+1]-dust {
			w.x[e.Plus+1], w.holds[e.Plus+1], moved = way, k, true
		}
	}
	return moved
}

// ring finds edges that hold each other in a ring, each after the one that it follows from; nil where none do.
func (w *ways) ring() []int {
	seen := make([]int, len(w.holds)) // by which start a number was met; 0 for none
	for start := range w.holds {
		at := start
		for seen[at] == 0 && w.holds[at] >= 0 {
			seen[at] = start + 1
			at = w.edges[w.holds[at]].Minus + 1
		}
		if w.holds[at] < 0 || seen[at] != start+1 {
			continue
		}
		var out []int
		for k := w.holds[at]; out == nil || k != out[0]; k = w.holds[w.edges[k].Minus+1] {
			out = append(out, k)
		}
		return out
	}
	return nil
}

// Irreducible returns labels of which each is needed for there to be no solution: without any one of
// them the others, with the edges of the label always, have one. It starts from the labels of a
// ring of the system.
func Irreducible(n int, edges []Edge, ring []int, always int) []int {
	kept := map[int]bool{}
	var labels []int
	for _, k := range ring {
		if l := edges[k].Label; l != always && !kept[l] {
			kept[l] = true
			labels = append(labels, l)
		}
	}
	for _, l := range labels {
		kept[l] = false
		some := lists.Kept(edges, func(e Edge) bool { return e.Label == always || kept[e.Label] })
		s := Greatest(n, some)
		kept[l] = s.Feasible()
	}
	return lists.Kept(labels, func(l int) bool { return kept[l] })
}
