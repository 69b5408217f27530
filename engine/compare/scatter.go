package compare

// This file holds how far a reading may be off beside its graduation: the distribution of a sum of
// independent errors, each as likely anywhere within its half-width.

import (
	"cmp"
	"slices"
)

// scatter is the distribution of such a sum. The zero value is no error at all.
type scatter struct {
	largest float64   // half-width of the largest error; 0 where there is none
	rest    float64   // the half-widths of the others together
	below   []float64 // of the others: their distribution function at nodes from -rest to rest
	area    []float64 // and its integral up to there
}

// pieces is into how many pieces the reach of the lesser errors is cut. Within one their distribution
// function counts as straight, which moves no probability by as much as a millionth.
const pieces = 4096

// scatterOf returns the distribution of a sum of errors from their half-widths.
func scatterOf(halves []float64) scatter {
	halves = slices.SortedFunc(slices.Values(halves), func(a, b float64) int { return cmp.Compare(b, a) })
	// An error of less than a millionth of the largest changes nothing.
	halves = slices.DeleteFunc(halves, func(h float64) bool { return h == 0 || h < 1e-6*halves[0] })
	if len(halves) == 0 {
		return scatter{}
	}
	s := scatter{largest: halves[0]}
	for _, h := range halves[1:] {
		s.rest += h
	}
	if s.rest == 0 {
		return s
	}
	step := 2 * s.rest / pieces
	var grown scatter // the errors up to here
	for _, h := range halves[1:] {
		next := scatter{rest: s.rest, below: make([]float64, pieces+1), area: make([]float64, pieces+1)}
		for i := range next.below {
			next.below[i] = grown.within(-s.rest+float64(i)*step, h)
			if i > 0 {
				next.area[i] = next.area[i-1] + (next.below[i-1]+next.below[i])/2*step
			}
		}
		grown = next
	}
	s.below, s.area = grown.below, grown.area
	return s
}

// atMost returns the probability that the sum is at most x.
func (s scatter) atMost(x float64) float64 {
	switch reach := s.reach(); {
	case x >= reach:
		return 1
	case x <= -reach:
		return 0
	}
	return s.within(x, s.largest)
}

// within is the mean of the distribution function of the lesser errors from x-h to x+h, and so the
// probability that they and an error within h come to x at most.
func (s scatter) within(x, h float64) float64 {
	return min(1, max(0, (s.integral(x+h)-s.integral(x-h))/(2*h)))
}

// integral is that of the distribution function of the lesser errors up to x.
func (s scatter) integral(x float64) float64 {
	switch {
	case s.area == nil:
		return max(0, x)
	case x <= -s.rest:
		return 0
	case x >= s.rest:
		return s.area[pieces] + x - s.rest
	}
	step := 2 * s.rest / pieces
	i := min(pieces-1, int((x+s.rest)/step))
	d := x + s.rest - float64(i)*step
	return s.area[i] + s.below[i]*d + (s.below[i+1]-s.below[i])*d*d/(2*step)
}

// reach is how far off a reading may be at the most.
func (s scatter) reach() float64 { return s.largest + s.rest }
