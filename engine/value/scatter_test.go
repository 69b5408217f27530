package value

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// The distribution of a sum of rectangles in closed form, by inclusion and exclusion, in exact fractions.
func TestScatterAgainstTheClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "errors")
		halves, below := make([]float64, n), big.NewRat(1, 1)
		var reach float64
		for i := range halves {
			halves[i] = float64(rapid.IntRange(1, 1000).Draw(t, "half")) / 1000
			reach += halves[i]
			below.Mul(below, new(big.Rat).SetFloat64(2*halves[i]*float64(i+1)))
		}
		x := rapid.Float64Range(-1.1, 1.1).Draw(t, "at") * reach
		sum := new(big.Rat)
		for signs := range 1 << n {
			y, sign := new(big.Rat).SetFloat64(x), int64(1)
			for i, h := range halves {
				if signs>>i&1 == 1 {
					y.Sub(y, new(big.Rat).SetFloat64(h))
					sign = -sign
				} else {
					y.Add(y, new(big.Rat).SetFloat64(h))
				}
			}
			if y.Sign() <= 0 {
				continue
			}
			term := big.NewRat(sign, 1)
			for range n {
				term.Mul(term, y)
			}
			sum.Add(sum, term)
		}
		want, _ := sum.Quo(sum, below).Float64()
		if got := NewScatter(halves, 4096).AtMost(x); math.Abs(got-want) > 1e-6 {
			t.Fatalf("%v at most %v: %v, want %v", halves, x, got, want)
		}
	})
	// scipy 1.10.1, quad over the characteristic function.
	ten := NewScatter([]float64{1, 5, 1, 1, 0.5, 1, 0.01, 0.5, 0.2, 0.1}, 4096).AtMost(4.5)
	if math.Abs(ten-0.9214759855341171) > 1e-6 {
		t.Errorf("ten errors: %v", ten)
	}
}

// The quantile of a probability is where the distribution function has that probability. (The quantiles of t are those
// of the distribution function of the package decide, which has been compared with SciPy.)
func TestQuantilesInvertTheDistribution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		halves := rapid.SliceOfN(rapid.Float64Range(0.01, 1), 1, 8).Draw(t, "halves")
		exact := NewScatter(halves, 4096)
		q := NewScatter(halves, 512).Quantile()
		x := rapid.Uint32().Draw(t, "probability")
		v := []float64{0}
		q.Add(v, 1, x, 0)
		if got, want := exact.AtMost(v[0]), float64(x)/(1<<32); math.Abs(got-want) > 2e-4 {
			t.Fatalf("the quantile of %v of %v is %v, below which are %v", want, halves, v[0], got)
		}
	})
}

// scipy.stats.t.ppf, SciPy 1.10.1.
func TestStudentsQuantilesAgainstSciPy(t *testing.T) {
	for freedom, want := range map[float64][]float64{
		1:    {-318.30883899, -15.89454484, -0.72654253, 0.00000000, 6.31375151, 318.30883899},
		2:    {-22.32712477, -4.84873221, -0.61721340, 0.00000000, 2.91998558, 22.32712477},
		5:    {-5.89342953, -2.75650852, -0.55942964, 0.00000000, 2.01504837, 5.89342953},
		30:   {-3.38518487, -2.14696628, -0.53001900, 0.00000000, 1.69726089, 3.38518487},
		1000: {-3.09840216, -2.05643138, -0.52456771, 0.00000000, 1.64637882, 3.09840216},
	} {
		q := Student(freedom)
		for i, p := range []float64{0.001, 0.02, 0.3, 0.5, 0.95, 0.999} {
			v := []float64{0}
			q.Add(v, 1, uint32(p*(1<<32)), 0)
			if math.Abs(v[0]-want[i]) > 1e-2*max(0.1, math.Abs(want[i])) {
				t.Errorf("%v degrees of freedom, %v: %v, want %v", freedom, p, v[0], want[i])
			}
		}
	}
}
