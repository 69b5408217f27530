// Package bounds solves systems of difference constraints: numbers of which each may be bounded,
// and each difference of two. Such a system has a greatest solution below given bounds, and a least
// one above, each in every number at once; where it has none, some of its constraints go round
// in a ring that adds up to less than nothing.
package bounds

import "math"

// Origin stands in an Edge for the number 0.
const Origin = -1

// Edge is the constraint x[Plus] - x[Minus] <= Most. Label is the caller's name for where it comes from;
// edges of one label stand and fall together. The unit is the caller's.
type Edge struct {
	Plus, Minus int // numbers of the system, or Origin
	Most        float64
	Label       int
}

// dust is how much less a way must be to count as shorter: whole numbers are exact, others are
// rounded.
const dust = 1e-6

// Solution is what a system comes to.
type Solution struct {
	X     []float64 // each number; infinite where nothing bounds it
	Holds []int     // for each number the edge that holds it there; -1 where none does
	Ring  []int     // where there is no solution: edges that go round and add up to less than 0
}

// Feasible reports whether the system has a solution.
func (s *Solution) Feasible() bool { return s.Ring == nil }

// Greatest returns the solution of a system of n numbers that is greatest in each of them. Numbers
// without an upper bound are +Inf; a ring among these alone is found too. It takes time in
// proportion to n times the number of edges at the most.
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
	turned := make([]Edge, len(edges))
	for i, e := range edges {
		turned[i] = Edge{Plus: e.Minus, Minus: e.Plus, Most: e.Most, Label: e.Label}
	}
	s := Greatest(n, turned)
	for i := range s.X {
		s.X[i] = -s.X[i]
	}
	return s
}

// shortest finds the shortest ways by Bellman and Ford: from the origin, or where from is false from
// every number at once, which tells nothing but whether there is a ring.
func shortest(n int, edges []Edge, from bool) Solution {
	s := Solution{X: make([]float64, n), Holds: make([]int, n)}
	origin := 0.0
	by := -1 // the edge that holds the origin, if it ever moves
	for i := range s.X {
		s.Holds[i] = -1
		if from {
			s.X[i] = math.Inf(1)
		}
	}
	at := func(i int) float64 {
		if i == Origin {
			return origin
		}
		return s.X[i]
	}
	for round := 0; ; round++ {
		last := -1
		for k, e := range edges {
			way := at(e.Minus) + e.Most
			if !(way < at(e.Plus)-dust) {
				continue
			}
			last = k
			if e.Plus == Origin {
				origin, by = way, k
			} else {
				s.X[e.Plus], s.Holds[e.Plus] = way, k
			}
		}
		if last < 0 {
			return s
		}
		if round > n {
			s.Ring = ring(edges, s.Holds, by, last, n)
			return s
		}
	}
}

// ring follows the edges that hold each other back from one that still moved, until it comes round.
func ring(edges []Edge, holds []int, origin, k, n int) []int {
	back := func(i int) int {
		if i == Origin {
			return origin
		}
		return holds[i]
	}
	for range n + 1 { // into the ring
		if b := back(edges[k].Minus); b >= 0 {
			k = b
		}
	}
	out := []int{k}
	for b := back(edges[k].Minus); b != k && b >= 0 && len(out) <= n+1; b = back(edges[b].Minus) {
		out = append(out, b)
	}
	return out
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
	var some []Edge
	for _, l := range labels {
		kept[l] = false
		some = some[:0]
		for _, e := range edges {
			if e.Label == always || kept[e.Label] {
				some = append(some, e)
			}
		}
		if s := Greatest(n, some); s.Feasible() {
			kept[l] = true
		}
	}
	out := labels[:0]
	for _, l := range labels {
		if kept[l] {
			out = append(out, l)
		}
	}
	return out
}
