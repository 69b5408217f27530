package measure

// This file carries a length from one method to another.

import (
	"math"

	"ferrule/engine/value"
)

// Step is one correction of a conversion.
type Step struct {
	What   string // "lie and head", "cap", "crown"
	Amount float64
	U      float64
}

// Convert returns what a length by from needs added to become one by to, with the
// components of uncertainty and steps of the conversion; missing names what the subject lacks for it.
func Convert(from, to *Method, c Subject) (shift float64, budget []value.Part, steps []Step, missing []string) {
	tops := map[Top][2]float64{CapEdge: {0, 0}, CapEnd: {0, 1}, Butt: {-1, 0}}
	for i, a := range []struct {
		what value.Component
		has  *Allowance
	}{{Cap, c.Cap}, {Crown, c.Crown}} {
		k := tops[to.Top][i] - tops[from.Top][i]
		if k == 0 {
			continue
		}
		if a.has == nil {
			missing = append(missing, Name(a.what))
			continue
		}
		e := rectangular(a.what, a.has.Half, k)
		shift += k * a.has.Amount
		budget = append(budget, e)
		steps = append(steps, Step{Name(a.what), k * a.has.Amount, math.Abs(e.Contribution())})
	}
	if from.sameStop(to) {
		return shift, budget, steps, missing
	}
	if c.Lie == nil {
		missing = append(missing, "lie")
	}
	if c.Head == nil {
		missing = append(missing, "head")
	}
	if missing != nil {
		return 0, nil, nil, missing
	}
	difference := func(lie float64, s Shape) float64 { return to.standoff(lie, s) - from.standoff(lie, s) }
	change := difference(*c.Lie, c.Head.Shape)
	var sum float64
	for i := range c.Head.Half {
		if c.Head.Half[i] == 0 {
			continue
		}
		const step = 1e4 // nm
		up, down := c.Head.Shape, c.Head.Shape
		*up.Sizes()[i] += step
		*down.Sizes()[i] -= step
		e := rectangular(HeadShape, c.Head.Half[i], (difference(*c.Lie, up)-difference(*c.Lie, down))/(2*step))
		e.Source.Index = i
		budget = append(budget, e)
		sum += e.Variance()
	}
	if c.LieHalf > 0 {
		const step = 1e3 // microdegrees
		up, down := difference(*c.Lie+step, c.Head.Shape), difference(*c.Lie-step, c.Head.Shape)
		e := rectangular(LieRead, c.LieHalf, (up-down)/(2*step))
		budget = append(budget, e)
		sum += e.Variance()
	}
	steps = append(steps, Step{"lie and head", change, math.Sqrt(sum)})
	return shift + change, budget, steps, nil
}

// Reading is how a length was read: its repeats, or a half-width stated with it.
type Reading struct {
	N      int     // how many readings; at least 1
	S      float64 // their experimental standard deviation, nm; 0 for one
	Half   float64 // stated half-width, nm, in place of all that is not shared
	Stated bool
}
