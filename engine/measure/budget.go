package measure

// This file holds the budget of uncertainty of a reading and how it is combined.

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Component names a source of uncertainty of a length.
type Component uint8

// The components, in the order of a budget.
const (
	Graduation Component = iota + 1
	LieSet
	Ruler
	Cap
	Crown
	HeadShape // with the index of the shape's number
	LieRead
	Repeats
	Stated
)

var componentNames = [...]string{"", "graduation", "lie set", "ruler", "cap", "crown", "head shape", "lie as read", "repeats", "stated with the reading"}

// String returns the component's name.
func (c Component) String() string { return componentNames[c] }

// Shared reports whether a component is common to clubs: the ruler by method, a cap or
// crown by allowance, a head's shape by head.
func (c Component) Shared() bool { return c >= Ruler && c <= HeadShape }

// Entry is a line of a budget.
type Entry struct {
	What        Component
	Size        int     // of HeadShape: which number of the shape
	Half        float64 // half-width of a rectangular distribution in the unit of the source; 0 for Repeats
	S           float64 // standard uncertainty of the source: Half/√3, or s/√n of Repeats
	Sensitivity float64 // nm per unit of the source
	Freedom     float64 // degrees of freedom; 0 for infinitely many
}

// Contribution is the entry's standard uncertainty of the length, with its sign, nm.
func (e Entry) Contribution() float64 { return e.Sensitivity * e.S }

func rectangular(what Component, half, sensitivity float64) Entry {
	return Entry{What: what, Half: half, S: half / math.Sqrt(3), Sensitivity: sensitivity}
}

// Budget returns the entries of a reading by a method as such; missing names what the
// subject lacks so that its uncertainty cannot be known: how well a club was soled
// counts for more or less by its lie and its head.
func Budget(m *Method, r Reading, c Subject) (budget []Entry, missing []string) {
	if r.Stated {
		budget = append(budget, rectangular(Stated, r.Half, 1))
	} else {
		budget = append(budget, rectangular(Graduation, m.Reads/2, 1))
		if m.Stop == AtLie && m.LieSet > 0 {
			if c.Lie == nil {
				missing = append(missing, "lie")
			}
			if c.Head == nil {
				missing = append(missing, "head")
			}
			if missing != nil {
				return nil, missing
			}
			budget = append(budget, rectangular(LieSet, m.LieSet, c.Head.Shape.Reach/math.Sin(*c.Lie*radian)*radian))
		}
		if r.N > 1 {
			budget = append(budget, Entry{What: Repeats, S: r.S / math.Sqrt(float64(r.N)), Sensitivity: 1, Freedom: float64(r.N - 1)})
		}
	}
	if m.Ruler > 0 {
		budget = append(budget, rectangular(Ruler, m.Ruler, 1))
	}
	return budget, nil
}

// Combine returns the standard uncertainty of a budget and its effective degrees of
// freedom by the Welch-Satterthwaite formula (JCGM 100:2008, G.4.1); 0 for infinitely many.
func Combine(budget []Entry) (u, freedom float64) {
	sum, fourth := 0.0, 0.0
	for _, e := range budget {
		c := e.Contribution()
		sum += c * c
		if e.Freedom > 0 {
			fourth += c * c * c * c / e.Freedom
		}
	}
	if fourth > 0 {
		freedom = sum * sum / fourth
	}
	return math.Sqrt(sum), freedom
}

// Coverage returns the factor k of the expanded uncertainty U = k·u: 2, or where the
// effective degrees of freedom are finite the t-factor at 95.45 % for them, cut to the
// whole number below (JCGM 100:2008, G.6.4). What misses a whole number by the rounding of
// a sum of squares is that number.
func Coverage(freedom float64) float64 {
	if freedom == 0 {
		return 2
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(1, math.Floor(freedom*(1+1e-9)))}
	return t.Quantile(0.5 + 0.9545/2)
}
