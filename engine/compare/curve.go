package compare

// This file holds the probabilities of a decision: what a club of a true length has to
// expect of one reading, and what a stock of clubs has to expect as a whole.

import (
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/unit"
)

// regions are the values as read that pass, and the ends beyond which they fail. What
// is between is too close to call.
type regions struct {
	pass         decide.Region
	below, above float64
	never        bool // nothing is too close to call
}

func regionsOf(d decide.Rule, l decide.Limits, s decide.Spread) regions {
	r := regions{pass: d.Passing(l, s), never: d.Kind != decide.ThreeWay || s.U == 0}
	r.below, r.above = d.Failing(l, s)
	return r
}

// Chances are the probabilities of the verdicts of one reading of a club.
type Chances struct {
	True                 engine.Amount // its true length by the method of the rule
	Pass, Fail, TooClose float64
}

// chances are those of a club of a true length, in base units.
func (r *Risk) chances(length float64) Chances {
	c := Chances{True: r.amount(length)}
	u, g := r.U.Base, r.regions
	if u == 0 {
		if r.limits.Contains(length) {
			c.Pass = 1
		} else {
			c.Fail = 1
		}
		return c
	}
	z := func(y float64) float64 { return (y - length) / u }
	c.Pass = within(z(g.pass.Low), z(g.pass.High))
	if g.below > g.above {
		c.Fail = 1
		return c
	}
	c.Fail = within(math.Inf(-1), z(g.below)) + within(z(g.above), math.Inf(1))
	switch {
	case g.never:
	case g.pass.Empty():
		c.TooClose = within(z(g.below), z(g.above))
	default:
		c.TooClose = within(z(g.below), z(g.pass.Low)) + within(z(g.pass.High), z(g.above))
	}
	return c
}

// within is the probability that a standard normal number lies between two others; 0
// where the second is not above the first.
func within(a, b float64) float64 {
	switch {
	case !(a < b):
		return 0
	case a > 0:
		a, b = -b, -a // the lower tail keeps its digits
	}
	return (math.Erfc(-b/math.Sqrt2) - math.Erfc(-a/math.Sqrt2)) / 2
}

const (
	reach   = 4  // standard uncertainties of the curve to either side of a limit
	onASide = 20 // steps of the curve on either side of a limit
)

// step is the unit of the curve's reach: the standard uncertainty, and for a length that
// is known exactly, where a decision is a step, a 64th of an inch.
func (r *Risk) step() float64 {
	if r.U.Base > 0 {
		return r.U.Base
	}
	q, _, _ := unit.Scan("1/64 in")
	return q.Base()
}

// span is from where to where the curve goes.
func (r *Risk) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, at := range r.edges() {
		low, high = min(low, at-reach*r.step()), max(high, at+reach*r.step())
	}
	return low, high
}

// edges are the limits that there are, in base units.
func (r *Risk) edges() []float64 {
	var at []float64
	for _, a := range []engine.Amount{r.Lower, r.Upper} {
		if a.Known() {
			at = append(at, a.Base)
		}
	}
	return at
}

// Curve is the operating curve: the chances of clubs from 4 standard uncertainties below
// the lowest limit to 4 above the highest, by true length. Every limit stands in it, with
// twenty points to either side.
func (r *Risk) Curve() []Chances {
	var at []float64
	for _, edge := range r.edges() {
		for k := -onASide; k <= onASide; k++ {
			at = append(at, edge+float64(k*reach)/onASide*r.step())
		}
	}
	slices.Sort(at)
	at = slices.CompactFunc(at, func(a, b float64) bool { return unit.Compare(a, b) == 0 })
	out := make([]Chances, len(at))
	for i, length := range at {
		out[i] = r.chances(length)
	}
	return out
}

// Stock is a normal stock of clubs: mean and standard deviation of the true lengths by
// the method of the rule. The deviation is not below 0; with 0 all clubs are alike.
type Stock struct{ Mean, Deviation engine.Amount }

// Global returns the global risks of JCGM 106:2012, 9.5, as shares of the whole stock:
// the consumer's, clubs that are outside the limits and pass, and the producer's, clubs
// that are inside and fail. What is too close to call is in neither.
func (r *Risk) Global(s Stock) (consumers, producers float64) {
	mean, sd := s.Mean.Base, s.Deviation.Base
	errs := func(length float64, inside bool) (c, p float64) {
		if inside {
			return 0, r.chances(length).Fail
		}
		return r.chances(length).Pass, 0
	}
	switch {
	case r.U.Base == 0:
		return 0, 0
	case sd == 0:
		return errs(mean, r.limits.Contains(mean))
	}
	// z is the true length in standard deviations from the mean. Between two cuts both
	// densities are smooth, and there is no limit.
	cuts := []float64{}
	for k := -2 * far; k <= 2*far; k++ {
		cuts = append(cuts, float64(k)/2)
	}
	for _, edge := range append(r.edges(), r.regions.pass.Low, r.regions.pass.High, r.regions.below, r.regions.above) {
		for k := -2 * far; k <= 2*far; k++ {
			if z := (edge + float64(k)/2*r.U.Base - mean) / sd; math.Abs(z) < far {
				cuts = append(cuts, z)
			}
		}
	}
	slices.Sort(cuts)
	for i, to := range cuts[1:] {
		middle, half := (cuts[i]+to)/2, (to-cuts[i])/2
		inside := r.limits.Contains(mean + sd*middle)
		for _, n := range gauss {
			z := middle + half*n.at
			c, p := errs(mean+sd*z, inside)
			weight := half * n.weight * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
			consumers, producers = consumers+weight*c, producers+weight*p
		}
	}
	return consumers, producers
}

// far is how many standard deviations are worth looking at: beyond are 2 in 10^23.
const far = 10

// gauss are the nodes and weights of five-point Gauss-Legendre integration from -1 to 1
// (Abramowitz and Stegun, table 25.4).
var gauss = [...]struct{ at, weight float64 }{
	{-math.Sqrt(5+2*math.Sqrt(10./7)) / 3, (322 - 13*math.Sqrt(70)) / 900},
	{-math.Sqrt(5-2*math.Sqrt(10./7)) / 3, (322 + 13*math.Sqrt(70)) / 900},
	{0, 128. / 225},
	{math.Sqrt(5-2*math.Sqrt(10./7)) / 3, (322 + 13*math.Sqrt(70)) / 900},
	{math.Sqrt(5+2*math.Sqrt(10./7)) / 3, (322 - 13*math.Sqrt(70)) / 900},
}
