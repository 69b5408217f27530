package measure

// This file holds the distribution of a sum of independent errors, each as likely anywhere within its
// half-width.

import (
	"cmp"
	"slices"
)

// Scatter is the distribution of such a sum. The zero value is a sum without errors.
type Scatter struct {
	largest float64   // half-width of the largest error; 0 where there is none
	rest    float64   // the half-widths of the others together
	below   []float64 // of the others: their distribution function at nodes from -rest to rest
	area    []float64 // and its integral up to there
}

// NewScatter returns the distribution of a sum of errors from their half-widths. The reach of the lesser
// ones is cut into pieces within which their distribution function counts as straight: with 4096 that
// moves no probability by as much as a millionth.
func NewScatter(halves []float64, pieces int) Scatter {
	halves = slices.SortedFunc(slices.Values(halves), func(a, b float64) int { return cmp.Compare(b, a) })
	// An error of less than a millionth of the largest changes nothing.
	halves = slices.DeleteFunc(halves, func(h float64) bool { return h == 0 || h < 1e-6*halves[0] })
	if len(halves) == 0 {
		return Scatter{}
	}
	s := Scatter{largest: halves[0]}
	for _, h := range halves[1:] {
		s.rest += h
	}
	if s.rest == 0 {
		return s
	}
	step := 2 * s.rest / float64(pieces)
	var grown Scatter // the errors up to here
	for _, h := range halves[1:] {
		next := Scatter{rest: s.rest, below: make([]float64, pieces+1), area: make([]float64, pieces+1)}
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

// AtMost returns the probability that the sum is at most x.
func (s Scatter) AtMost(x float64) float64 {
	switch reach := s.Reach(); {
	case x >= reach:
		return 1
	case x <= -reach:
		return 0
	}
	return s.within(x, s.largest)
}

// within is the mean of the distribution function of the lesser errors from x-h to x+h, and so the
// probability that they and an error within h add up to at most x.
func (s Scatter) within(x, h float64) float64 {
	return min(1, max(0, (s.integral(x+h)-s.integral(x-h))/(2*h)))
}

// integral is that of the distribution function of the lesser errors up to x.
func (s Scatter) integral(x float64) float64 {
	switch {
	case s.area == nil:
		return max(0, x)
	case x <= -s.rest:
		return 0
	}
	pieces := len(s.area) - 1
	if x >= s.rest {
		return s.area[pieces] + x - s.rest
	}
	step := 2 * s.rest / float64(pieces)
	i := min(pieces-1, int((x+s.rest)/step))
	d := x + s.rest - float64(i)*step
	return s.area[i] + s.below[i]*d + (s.below[i+1]-s.below[i])*d*d/(2*step)
}

// Reach is how far off a reading may be at the most.
func (s Scatter) Reach() float64 { return s.largest + s.rest }
