package compare

// This file holds the probabilities of a decision: what to expect of one reading of a
// club of a true length, and of a stock of clubs as a whole.

import (
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// regions are the lengths that pass and the ends beyond which they fail; anything between is too
// close to call.
type regions struct {
	pass         decide.Region
	below, above float64
}

// settle works out which figures pass and fail, and which lengths are read as them.
func (r *Risk) settle() {
	f := regions{pass: r.Decision.Passing(r.limits, r.spread)}
	f.below, f.above = r.Decision.Failing(r.limits, r.spread)
	if r.marked = f; !r.Marks.Known() {
		return
	}
	passes := func(v decide.Verdict) bool { return v == decide.Pass }
	notFailed := func(v decide.Verdict) bool { return v != decide.Fail }
	r.marked = regions{
		pass:  decide.Region{Low: r.edge(f.pass.Low, -1, passes), High: r.edge(f.pass.High, 1, passes)},
		below: r.edge(f.below, -1, notFailed), above: r.edge(f.above, 1, notFailed),
	}
}

// edge is where the lengths end, upward or downward, that are read as a mark of the verdict, as
// figures do at an end. Where no mark has it, the lower end is above everything and the upper
// below.
func (r *Risk) edge(end, upward float64, is func(decide.Verdict) bool) float64 {
	if math.IsInf(end, 0) {
		return end
	}
	last := math.Round((end - r.shift) / r.Marks.Base)
	for k := last + 2*upward; (k-last)*upward >= -2; k -= upward {
		if v, _ := decide.Decide(r.Decision, r.limits, k*r.Marks.Base+r.shift, r.spread); is(v) {
			return (k+upward/2)*r.Marks.Base + r.shift
		}
	}
	return math.Inf(int(-upward))
}

// Chances are the probabilities of the verdicts of one reading of a club.
type Chances struct {
	True                 unit.Amount // its true length by the method of the rule
	Pass, Fail, TooClose float64
}

// chances are those of a club of a true length, in base units.
func (r *Risk) chances(length float64) Chances {
	c := Chances{True: r.amount(length)}
	if r.Uncertainty.Base == 0 {
		if r.limits.Contains(length) {
			c.Pass = 1
		} else {
			c.Fail = 1
		}
		return c
	}
	below := func(y float64) float64 { return r.off.AtMost(y - length) }
	g := r.marked
	if !g.pass.Empty() {
		c.Pass = below(g.pass.High) - below(g.pass.Low)
	}
	c.Fail = 1 - c.Pass
	if r.Decision.Kind == decide.ThreeWay && g.below < g.above {
		c.Fail = below(g.below) + 1 - below(g.above)
		c.TooClose = max(0, 1-c.Pass-c.Fail)
	}
	return c
}

const (
	reach   = 4  // standard uncertainties of the curve to either side of a limit
	onASide = 20 // steps of the curve on either side of a limit
)

// step is the unit of the curve's reach: the standard uncertainty, and for a length that
// is known exactly, where a decision is a step, a 64th of an inch.
func (r *Risk) step() float64 {
	if r.Uncertainty.Base > 0 {
		return r.Uncertainty.Base
	}
	q, _, _ := unit.Scan("1/64 in")
	return q.Base()
}

// span is from where to where the curve goes.
func (r *Risk) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, at := range r.Ends() {
		low, high = min(low, at-reach*r.step()), max(high, at+reach*r.step())
	}
	return low, high
}

// Curve is the operating curve: the chances of clubs from 4 standard uncertainties below
// the lowest limit to 4 above the highest, by true length. Every limit is in it, with
// twenty points to either side.
func (r *Risk) Curve() []Chances {
	var at []float64
	for _, edge := range r.Ends() {
		for k := -onASide; k <= onASide; k++ {
			at = append(at, edge+float64(k*reach)/onASide*r.step())
		}
	}
	slices.Sort(at)
	at = slices.CompactFunc(at, func(a, b float64) bool { return unit.Compare(a, b) == 0 })
	return lists.Each(at, r.chances)
}

// Stock is a normal stock of clubs: mean and standard deviation of the true lengths by
// the method of the rule. The deviation is not below 0; with 0 all clubs are alike.
type Stock struct{ Mean, Deviation unit.Amount }

// Global returns the global risks of JCGM 106:2012, 9.5, as shares of the whole stock:
// the consumer's, clubs that are outside the limits and pass, and the producer's, clubs
// that are inside and fail. What is too close to call is in neither.
func (r *Risk) Global(s Stock) (consumers, producers float64) {
	mean, sd := s.Mean.Base, s.Deviation.Base
	errs := func(length float64) (c, p float64) {
		if r.limits.Contains(length) {
			return 0, r.chances(length).Fail
		}
		return r.chances(length).Pass, 0
	}
	switch {
	case r.Uncertainty.Base == 0:
		return 0, 0
	case sd == 0:
		return errs(mean)
	}
	// z is the true length in standard deviations from the mean. Between two cuts the chances are
	// smooth, and there is no limit.
	cuts := []float64{}
	for k := -2 * far; k <= 2*far; k++ {
		cuts = append(cuts, float64(k)/2)
	}
	for _, edge := range append(r.Ends(), r.marked.pass.Low, r.marked.pass.High, r.marked.below, r.marked.above) {
		for k := -cutsASide; k <= cutsASide; k++ {
			if z := (edge + float64(k)/cutsASide*r.off.Reach() - mean) / sd; math.Abs(z) < far {
				cuts = append(cuts, z)
			}
		}
	}
	slices.Sort(cuts)
	for i, to := range cuts[1:] {
		middle, half := (cuts[i]+to)/2, (to-cuts[i])/2
		for _, n := range gauss {
			z := middle + half*n.at
			c, p := errs(mean + sd*z)
			weight := half * n.weight * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
			consumers, producers = consumers+weight*c, producers+weight*p
		}
	}
	return consumers, producers
}

const (
	far       = 10 // standard deviations that count: only 2 in 10^23 are beyond
	cutsASide = 32 // cuts to either side of where chances change
)

// gauss are the nodes and weights of five-point Gauss-Legendre integration from -1 to 1
// (Abramowitz and Stegun, table 25.4).
var gauss = [...]struct{ at, weight float64 }{
	{-math.Sqrt(5+2*math.Sqrt(10./7)) / 3, (322 - 13*math.Sqrt(70)) / 900},
	{-math.Sqrt(5-2*math.Sqrt(10./7)) / 3, (322 + 13*math.Sqrt(70)) / 900},
	{0, 128. / 225},
	{math.Sqrt(5-2*math.Sqrt(10./7)) / 3, (322 + 13*math.Sqrt(70)) / 900},
	{math.Sqrt(5+2*math.Sqrt(10./7)) / 3, (322 - 13*math.Sqrt(70)) / 900},
}
