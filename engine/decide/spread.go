package decide

// This file holds how sure a value is, and the distribution of its error that follows
// from it: normal, or Student's t where repeated readings count (JCGM 101:2008, 6.4.9).

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Spread is how sure a value is. The zero value is exact.
type Spread struct {
	U       float64 // standard uncertainty; 0: exact, NaN: not known
	Freedom float64 // effective degrees of freedom of U where repeated readings count; 0 for infinitely many
}

// Combine returns the spread of a sum of independent contributions from the sum of their variances. The squared
// variances are summed too, each over its degrees of freedom (the Welch-Satterthwaite formula, JCGM 100:2008, G.4.1).
func Combine(variance, fourth float64) Spread {
	s := Spread{U: math.Sqrt(variance)}
	if fourth > 0 {
		s.Freedom = variance * variance / fourth
	}
	return s
}

// manyFreedom is from how many degrees of freedom on the distribution counts as normal.
const manyFreedom = 100_000

// freedom is the degrees of freedom cut to the whole number below, 0 for a normal
// distribution. What misses a whole number by the rounding of a sum of squares is that number.
func (s Spread) freedom() float64 {
	if s.Freedom == 0 || s.Freedom >= manyFreedom {
		return 0
	}
	return math.Max(1, math.Floor(s.Freedom*(1+1e-9)))
}

// below returns the probability that the error, divided by U, is at most z.
func (s Spread) below(z float64) float64 {
	n := s.freedom()
	if n == 0 {
		return math.Erfc(-z/math.Sqrt2) / 2
	}
	tail := 0.5
	if z != 0 {
		tail = mathext.RegIncBeta(n/2, 0.5, n/(n+z*z)) / 2
	}
	if z > 0 {
		return 1 - tail
	}
	return tail
}

// factor returns the one-sided factor of a level above 1/2: 1.645 at 95 % for a normal
// distribution, 6.314 for one degree of freedom.
func (s Spread) factor(level float64) float64 {
	n := s.freedom()
	if n == 0 {
		return math.Sqrt2 * math.Erfinv(2*level-1)
	}
	x := mathext.InvRegIncBeta(n/2, 0.5, 2*(1-level))
	return math.Sqrt(n * (1 - x) / x)
}

// Coverage returns the factor k of the expanded uncertainty k·U: 2, or where repeated readings
// count the t-factor at 95.45 % (JCGM 100:2008, G.6.4).
func (s Spread) Coverage() float64 {
	if s.freedom() == 0 {
		return 2
	}
	return s.factor(0.5 + 0.9545/2)
}
