package bounds

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// system draws a few constraints with small whole figures; labels go by three.
func system(t *rapid.T) (int, []Edge) {
	n := rapid.IntRange(1, 4).Draw(t, "numbers")
	node := rapid.IntRange(Origin, n-1)
	edges := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Edge {
		e := Edge{Plus: node.Draw(t, "plus"), Minus: node.Draw(t, "minus"), Most: float64(rapid.IntRange(-3, 3).Draw(t, "most"))}
		e.Label = rapid.IntRange(0, 2).Draw(t, "label")
		return e
	}), 0, 8).Draw(t, "edges")
	return n, edges
}

// box keeps each number between -6 and 6, so that all solutions can be tried.
func box(n int) []Edge {
	var out []Edge
	for i := range n {
		out = append(out, Edge{i, Origin, 6, -1}, Edge{Origin, i, 6, -1})
	}
	return out
}

// all gives every solution of whole numbers in the box.
func all(n int, edges []Edge) (solutions [][]float64) {
	x := make([]float64, n)
	at := func(i int) float64 {
		if i == Origin {
			return 0
		}
		return x[i]
	}
	var try func(i int)
	try = func(i int) {
		if i == n {
			for _, e := range edges {
				if at(e.Plus)-at(e.Minus) > e.Most {
					return
				}
			}
			solutions = append(solutions, slices.Clone(x))
			return
		}
		for v := -6.0; v <= 6; v++ {
			x[i] = v
			try(i + 1)
		}
	}
	try(0)
	return solutions
}

// The greatest and the least solution against all solutions, tried one by one; a ring adds up to less than
// nothing and comes round.
func TestAgainstAllSolutions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, edges := system(t)
		edges = append(edges, box(n)...)
		solutions := all(n, edges)
		greatest, least := Greatest(n, edges), Least(n, edges)
		if greatest.Feasible() != (len(solutions) > 0) || least.Feasible() != greatest.Feasible() {
			t.Fatalf("feasible %v and %v, with %d solutions: %v", greatest.Feasible(), least.Feasible(), len(solutions), edges)
		}
		if !greatest.Feasible() {
			sum := 0.0
			for i, k := range greatest.Ring {
				sum += edges[k].Most
				next := greatest.Ring[(i+1)%len(greatest.Ring)]
				if edges[next].Plus != edges[k].Minus {
					t.Fatalf("the ring %v does not come round: %v", greatest.Ring, edges)
				}
			}
			if sum >= 0 {
				t.Fatalf("the ring %v adds up to %v: %v", greatest.Ring, sum, edges)
			}
			return
		}
		for i := range n {
			high, low := math.Inf(-1), math.Inf(1)
			for _, s := range solutions {
				high, low = max(high, s[i]), min(low, s[i])
			}
			if greatest.X[i] != high || least.X[i] != low {
				t.Fatalf("number %d from %v to %v, of all solutions from %v to %v: %v", i, least.X[i], greatest.X[i], low, high, edges)
			}
			if e := edges[greatest.Holds[i]]; e.Plus != i {
				t.Fatalf("number %d is held by %v", i, e)
			}
		}
	})
}

// Labels that are told to contradict do, and without any one of them do not.
func TestIrreducible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, edges := system(t)
		edges = append(edges, box(n)...)
		s := Greatest(n, edges)
		if s.Feasible() {
			return
		}
		labels := Irreducible(n, edges, s.Ring, -1)
		with := func(leave int) bool {
			var some []Edge
			for _, e := range edges {
				if e.Label == -1 || e.Label != leave && slices.Contains(labels, e.Label) {
					some = append(some, e)
				}
			}
			return len(all(n, some)) > 0
		}
		if with(-2) {
			t.Fatalf("%v can be met: %v", labels, edges)
		}
		for _, l := range labels {
			if !with(l) {
				t.Fatalf("%v without %d cannot be met: %v", labels, l, edges)
			}
		}
	})
}

// What nothing bounds is infinite, and a ring among such numbers is found.
func TestUnbounded(t *testing.T) {
	s := Greatest(3, []Edge{{0, Origin, 2, 0}, {2, 1, -1, 0}})
	if !s.Feasible() || s.X[0] != 2 || !math.IsInf(s.X[1], 1) || !math.IsInf(s.X[2], 1) || s.Holds[1] != -1 {
		t.Errorf("%+v", s)
	}
	if s := Least(1, nil); !math.IsInf(s.X[0], -1) {
		t.Errorf("%+v", s)
	}
	if s := Greatest(3, []Edge{{0, Origin, 2, 0}, {2, 1, -1, 0}, {1, 2, 0, 0}}); s.Feasible() {
		t.Errorf("%+v", s)
	}
}
