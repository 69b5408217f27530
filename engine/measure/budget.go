package measure

// This file holds the budget of uncertainty of a reading.

import (
	"math"

	"ferrule/engine/value"
)

// The components, in the order of a budget.
const (
	Graduation value.Component = iota + 1
	LieSet
	Ruler
	Cap
	Crown
	HeadShape // with the index of the shape's number
	LieRead
	Repeats
	Stated
)

var componentNames = [...]string{"", "graduation", "lie set", "ruler", "cap", "crown", "head shape", "lie as read",
	"repeats", "stated with the reading"}

// Name returns the component's name.
func Name(c value.Component) string { return componentNames[c] }

// Shared reports whether a component is common to clubs: the ruler by method, a cap or
// crown by allowance, a head's shape by head.
func Shared(c value.Component) bool { return c >= Ruler && c <= HeadShape }

func rectangular(what value.Component, half, sensitivity float64) value.Part {
	return value.Part{Source: value.Source{What: what}, Half: half, U: half / math.Sqrt(3), Sensitivity: sensitivity}
}

// Budget returns the components of a reading by a method as such. missing names what the subject lacks so that its
// uncertainty cannot be known: how well a club was soled counts for more or less by its lie and its head.
func Budget(m *Method, r Reading, c Subject) (budget []value.Part, missing []string) {
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
			n := float64(r.N)
			budget = append(budget,
				value.Part{Source: value.Source{What: Repeats}, U: r.S / math.Sqrt(n), Sensitivity: 1, Freedom: n - 1})
		}
	}
	if m.Ruler > 0 {
		budget = append(budget, rectangular(Ruler, m.Ruler, 1))
	}
	return budget, nil
}
