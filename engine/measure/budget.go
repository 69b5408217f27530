package measure

// This file holds the budget of uncertainty of a reading.

import "math"

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

var componentNames = [...]string{"", "graduation", "lie set", "ruler", "cap", "crown", "head shape", "lie as read",
	"repeats", "stated with the reading"}

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
			budget = append(budget, Entry{What: Repeats, S: r.S / math.Sqrt(float64(r.N)), Sensitivity: 1,
				Freedom: float64(r.N - 1)})
		}
	}
	if m.Ruler > 0 {
		budget = append(budget, rectangular(Ruler, m.Ruler, 1))
	}
	return budget, nil
}
