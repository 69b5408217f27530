package value

// This file holds the distribution of a sum of independent errors, each as likely anywhere within its
// half-width, and tables of quantiles, for drawing many errors quickly.

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// Scatter is the distribution of such a sum. The zero value is a sum without errors.
type Scatter struct {
	largest float64   // half-width of the largest error; 0 if there is none
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

// within is the mean of the distribution function of the lesser errors from x-h to x+h. So it is the probability that
// they and an error within h add up to at most x.
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

// Quantile is the quantiles of an error that is as likely above 0 as below: of the probabilities below 1/2, each
// half of what is left cut into equal cells. Within a cell the quantiles count as straight.
type Quantile struct{ below [halvings*cells + 1]float64 }

const (
	halvings = 32
	cells    = 1 << 6
)

// quantile inverts a distribution function that rises through the points (x, p).
func quantile(x, p []float64) *Quantile {
	q := &Quantile{}
	k := 1
	for i := range q.below {
		u := math.Ldexp(float64(cells+i%cells), i/cells-halvings-7)
		for k < len(p)-1 && p[k] < u {
			k++
		}
		q.below[i] = x[k-1]
		if rise := p[k] - p[k-1]; rise > 0 {
			q.below[i] += (x[k] - x[k-1]) * min(1, max(0, (u-p[k-1])/rise))
		}
	}
	return q
}

// Quantile returns the quantiles of the sum.
func (s Scatter) Quantile() *Quantile {
	const points = 512
	x, p := make([]float64, points+1), make([]float64, points+1)
	for i := range x {
		x[i] = s.Reach() * (2*float64(i)/points - 1)
		p[i] = s.AtMost(x[i])
	}
	return quantile(x, p)
}

// Student returns the quantiles of Student's t for degrees of freedom of at least 1. With t = √freedom·tan φ the
// density of φ is a power of its cosine, which has no long tails.
func Student(freedom float64) *Quantile {
	const points = 2048
	reach := min(math.Pi/2-1e-6, 9/math.Sqrt(freedom))
	x, p := make([]float64, points+1), make([]float64, points+1)
	before := 0.0
	for i := range x {
		angle := reach * (2*float64(i)/points - 1)
		x[i] = math.Sqrt(freedom) * math.Tan(angle)
		density := math.Pow(math.Cos(angle), freedom-1)
		if i > 0 {
			p[i] = p[i-1] + (before+density)/2
		}
		before = density
	}
	for i := range p {
		p[i] /= p[points]
	}
	return quantile(x, p)
}

// Add adds k times the quantile of a probability to each number: of x out of 2^32 to the first, of x + step to the
// second, and so on, 2^32 counting as 0.
func (q *Quantile) Add(to []float64, k float64, x, step uint32) {
	for i := range to {
		// all ones for a probability of 1/2 and more, whose quantile is that of the rest
		above := uint32(int32(x) >> 31)
		y := x ^ above
		zeros := bits.LeadingZeros32(y)
		y <<= zeros + 1
		c := (halvings-zeros)*cells + int(y>>26)
		v := q.below[c] + (q.below[c+1]-q.below[c])*float64(int64(y&(1<<26-1)))/(1<<26)
		to[i] += k * math.Float64frombits(math.Float64bits(v)^uint64(above)<<32&(1<<63))
		x += step
	}
}
