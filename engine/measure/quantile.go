package measure

// This file holds tables of the quantiles of errors, for drawing many of them quickly.

import (
	"math"
	"math/bits"
)

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
