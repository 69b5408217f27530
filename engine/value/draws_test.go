package value

// Numbers that are drawn, compared with closed forms, integrals and plain random draws by the million.

import (
	"fmt"
	"math"
	rand "math/rand/v2"
	"testing"

	"ferrule/engine/decide"
)

// uncertain is a number with rectangular errors of its own; key tells them from those of others.
func uncertain(n float64, key int, halves ...float64) Value {
	v := NumberOf(n)
	for i, h := range halves {
		v.Parts = append(v.Parts, Part{Source: Source{Owner: key, Index: i}, Half: h, U: h / math.Sqrt(3), Sensitivity: 1})
	}
	return v
}

func upTo(limit float64) decide.Limits { return decide.Limits{Lower: math.Inf(-1), Upper: limit} }

// drawing is where values are drawn.
func drawing() *Simulator { return &Simulator{} }

// repeated is a number whose error is Student's t by a scale.
func repeated(n float64, key int, scale, freedom float64) Value {
	v := NumberOf(n)
	v.Parts = []Part{{Source: Source{Owner: key}, U: scale, Sensitivity: 1, Freedom: freedom}}
	return v
}

func several(n int, one func(i int) Value) []Value {
	vs := make([]Value, n)
	for i := range vs {
		vs[i] = one(i)
	}
	return vs
}

// conforms draws a value and checks the share of draws up to a limit.
func conforms(t *testing.T, what string, x *Simulator, v Value, limit, want float64) {
	t.Helper()
	if !v.Rough() {
		t.Fatalf("%s: first order would do", what)
	}
	d := x.Draw(v, v, upTo(limit), 0.95)
	if math.Abs(d.Inside-want) > 0.002 || math.Abs(d.Inside+d.Beyond-1) > 1e-12 {
		t.Errorf("%s, at most %v: %.5f and beyond %.5f, want %.5f", what, limit, d.Inside, d.Beyond, want)
	}
}

// Of n numbers between 0 and 1 the range is at most r with the probability n r^(n-1) - (n-1) r^n, the largest
// with r^n.
func TestExtremesOfEqualRectangles(t *testing.T) {
	x := drawing()
	for n := 2; n <= 60; n += 1 + n/4 {
		k := float64(n)
		vs := several(n, func(i int) Value { return uncertain(32, i, 0.5) })
		for _, r := range []float64{0.2, 0.4, 0.6, 0.675, 0.8, 0.9, 0.95, 0.99} {
			conforms(t, fmt.Sprintf("range of %d", n), x, Extent(vs, true), r, k*math.Pow(r, k-1)-(k-1)*math.Pow(r, k))
			conforms(t, fmt.Sprintf("largest of %d", n), x, Extreme(Maximizing, vs, true), 31.5+r, math.Pow(r, k))
			conforms(t, fmt.Sprintf("least of %d", n), x, Extreme(Minimizing, vs, true), 31.5+r, 1-math.Pow(1-r, k))
		}
	}
}

// Two means of two readings each, read alike: their difference is a Cauchy variable of twice the scale.
// The square of a normal variable, and the sum of several such squares, are chi-squared: with two degrees of
// freedom at most c with the probability 1 - exp(-c/2), with four 1 - (1 + c/2) exp(-c/2). (Student's t of 99,999 degrees
// of freedom is normal to five decimals.)
func TestDrawsOfRepeats(t *testing.T) {
	x := drawing()
	two := several(2, func(i int) Value { return repeated(32, i, 1, 1) })
	for _, r := range []float64{0.5, 2, 10, 40, 100} {
		conforms(t, "difference of two readings twice", x, Extent(two, true), r, 2/math.Pi*math.Atan(r/2))
	}
	square := func(i int) Value { v := repeated(0, i, 1, 99_999); return Product(v, v, true) }
	for _, c := range []float64{0.1, 0.5, 1, 2, 4, 9, 16} {
		conforms(t, "square", x, square(0), c, math.Erf(math.Sqrt(c/2)))
		conforms(t, "two squares", x, Sum(several(2, square), 1), c, 1-math.Exp(-c/2))
		conforms(t, "four squares", x, Sum(several(4, square), 1), c, 1-(1+c/2)*math.Exp(-c/2))
		// A square away from the flat point is noncentral: between -√c and √c less its middle.
		v := repeated(0.8, 0, 1, 99_999)
		conforms(t, "square from 0.8", x, Product(v, v, true), c, (math.Erf((math.Sqrt(c)-0.8)/math.Sqrt2)+math.Erf((math.Sqrt(c)+0.8)/math.Sqrt2))/2)
	}
}

// In closed form for rectangles from -1 to 1 or 0 to 1.
func TestDrawsOfOneAndTwoRectangles(t *testing.T) {
	x := drawing()
	around, above := uncertain(0, 1, 1), several(2, func(i int) Value { return uncertain(0.5, i, 0.5) })
	for _, c := range []float64{0.05, 0.3, 0.7, 0.95} {
		conforms(t, "size", x, Magnitude(around, true), c, c)
		conforms(t, "square", x, Product(around, around, true), c, math.Sqrt(c))
		conforms(t, "product", x, Product(above[0], above[1], true), c, c*(1-math.Log(c)))
		conforms(t, "quotient", x, Quotient(above[0], above[1], true), c, c/2)
		conforms(t, "quotient", x, Quotient(above[0], above[1], true), 1/c, 1-c/2)
		conforms(t, "less itself", x, Extreme(Maximizing, []Value{around, Linear(0, around, -1, Value{}, 0)}, true), c, c)
	}
}

// Two readings may be far off: at 5 times the uncertainty of their mean a kink is near. Student's t of one degree of
// freedom is Cauchy's distribution, so 5 with an error of it is within 5 of 0 with the probability atan(10)/π.
func TestAKinkIsNearTwoReadings(t *testing.T) {
	conforms(t, "size", drawing(), Magnitude(repeated(5, 1, 1, 1), true), 5, math.Atan(10)/math.Pi)
	if v := Magnitude(uncertain(5, 1, math.Sqrt(3)), true); v.Rough() {
		t.Error("a rectangle is at 5 times its uncertainty")
	}
}

// A limit stands where it is written, whatever the units are of what the number is worked out from: a and b between 0
// and 1 in units of 1e12, their product and quotient in others, and a limit that all draws are on.
func TestLimitsOfDrawsInOtherUnits(t *testing.T) {
	x := drawing()
	large := several(2, func(i int) Value { return uncertain(5e11, i, 5e11) })
	one := uncertain(0, 2, 1)
	for _, c := range []float64{0.05, 0.3, 0.7, 0.95} {
		conforms(t, "quotient of large numbers", x, Quotient(large[0], large[1], true), c, c/2)
		square := Product(large[0], large[0], true)
		conforms(t, "large square", x, Linear(square.Num*1e-24, Value{}, 0, Value{}, 0).Bent(
			Bend{Op: summing, factors: []float64{1e-24}}, square.second()*1e-24, square), c, math.Sqrt(c))
	}
	flat := Extreme(Maximizing, []Value{one, NumberOf(3.1)}, true)
	if d := x.Draw(flat, flat, upTo(3.1), 0.95); d.Inside != 1 {
		t.Errorf("on its limit: %v", d.Inside)
	}
}

// What members share cancels in their spread, and not in the largest of them; a limit that is one of
// them moves along.
func TestDrawsKeepWhatIsShared(t *testing.T) {
	x := drawing()
	vs := several(8, func(i int) Value {
		v := uncertain(32, i, 0.5)
		v.Parts = append(v.Parts, Part{Source: Source{Owner: "ruler"}, Half: 5, U: 5 / math.Sqrt(3), Sensitivity: 1})
		return v
	})
	conforms(t, "range", x, Extent(vs, true), 0.675, 8*math.Pow(0.675, 7)-7*math.Pow(0.675, 8))
	largest := Extreme(Maximizing, vs, true)
	ruler := Value{Kind: Number, Num: 0, Parts: vs[0].Parts[1:]}
	conforms(t, "largest less the ruler", x, Plus(largest, ruler, -1), 32.3, math.Pow(0.8, 8))
	conforms(t, "largest less one of them", x, Plus(largest, vs[3], -1), 0, 1./8)
}

// Clubs as they are met, four components each and a ruler in common, some alike and some apart, compared with a million
// and a half plain random draws.
func TestDrawsOfABagAgainstRandomOnes(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 4))
	x := drawing()
	halves := [4]float64{0.0625, 0.02, 0.011, 0.03}
	apart := make([]float64, 14)
	vs := several(14, func(i int) Value {
		apart[i] = 0.02 * random.NormFloat64()
		v := uncertain(36+apart[i], i, halves[0], halves[1]*(1+float64(i)/20), halves[2], halves[3])
		v.Parts = append(v.Parts, Part{Source: Source{Owner: "ruler"}, Half: 0.01, U: 0.01 / math.Sqrt(3), Sensitivity: 1})
		return v
	})
	const tries = 1_500_000
	limits := []float64{0.11, 0.13, 0.15, 0.17, 0.19}
	inside := make([]float64, len(limits))
	for range tries {
		most, least := math.Inf(-1), math.Inf(1)
		for i, v := range vs {
			n := apart[i]
			for _, p := range v.Parts[:4] {
				n += p.Half * (2*random.Float64() - 1)
			}
			most, least = max(most, n), min(least, n)
		}
		for k, l := range limits {
			if most-least <= l {
				inside[k]++
			}
		}
	}
	for k, l := range limits {
		conforms(t, "spread of a bag", x, Extent(vs, true), l, inside[k]/tries)
	}
}

// Nearly all draws inside are not taken for all of them where the level is higher than that.
func TestHighLevelsTakeMoreDraws(t *testing.T) {
	x := drawing()
	v := Extent(several(8, func(i int) Value { return uncertain(32, i, 0.5) }), true)
	for _, p := range []float64{0.9998, 0.99995} {
		r := 1 - math.Sqrt((1-p)/28) // near 1 the probability is 1 - 28 (1-r)²
		d := x.Draw(v, v, upTo(r), 0.9999)
		if len(d.fromLower) != lattice || d.Inside >= 0.9999 != (p >= 0.9999) {
			t.Errorf("%v: %v of %d draws are inside", p, d.Inside, len(d.fromLower))
		}
	}
}

// Half the shortest interval that holds 95.45 % of the draws. The range of eight numbers between 0 and 1 has the
// density 56 r^6 (1 - r), the square of one between -1 and 1 falls from 0 on.
func TestUncertaintyOfDraws(t *testing.T) {
	x := drawing()
	below := func(r float64) float64 { return 8*math.Pow(r, 7) - 7*math.Pow(r, 8) }
	shortest := 1.0
	for low, high := 0.0, 0.0; high <= 1; low += 1e-5 {
		for high <= 1 && below(high)-below(low) < 0.9545 {
			high += 1e-5
		}
		if high <= 1 {
			shortest = min(shortest, high-low)
		}
	}
	around := uncertain(0, 1, 1)
	for _, c := range []struct {
		what            string
		v               Value
		limit, shortest float64
	}{
		{"range, near the limit", Extent(several(8, func(i int) Value { return uncertain(32, i, 0.5) }), true), 0.675, shortest},
		{"range, far inside", Extent(several(8, func(i int) Value { return uncertain(32, i, 0.5) }), true), 2, shortest},
		{"square", Product(around, around, true), 0.5, 0.9545 * 0.9545},
	} {
		if got := x.Draw(c.v, c.v, upTo(c.limit), 0.95).Uncertainty(); math.Abs(got/(c.shortest/4)-1) > 0.02 {
			t.Errorf("%s: u %.5f, want %.5f", c.what, got, c.shortest/4)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	x := drawing()
	vs := make([]Value, 14)
	for i := range vs {
		vs[i] = uncertain(32, i, 1, 0.7, 0.3+float64(i)/100)
		vs[i].Parts = append(vs[i].Parts, Part{Source: Source{Owner: "ruler"}, Half: 0.2, U: 0.2 / math.Sqrt(3), Sensitivity: 1})
	}
	v := Extent(vs, true)
	for _, c := range []struct {
		name  string
		limit float64
	}{{"near the limit", 2.5}, {"far inside", 20}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				x.Draw(v, v, upTo(c.limit), 0.95)
			}
		})
	}
	b.Run("uncertainty", func(b *testing.B) {
		d := x.Draw(v, v, upTo(2.5), 0.95)
		for b.Loop() {
			d.Uncertainty()
		}
	})
}

// Adding components up is the same whether they are few or many: each source once, with the sum of its sensitivities.
func TestComponentsAddUp(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{1, 5, 63, 65, 200} {
		var vs []Value
		want := map[Source]float64{}
		for range n {
			v := NumberOf(random.Float64())
			for k := range 150 {
				if random.IntN(3) > 0 {
					p := Part{Source: Source{Index: k}, U: 1, Sensitivity: random.Float64()}
					v.Parts = append(v.Parts, p)
					want[p.Source] += p.Sensitivity
				}
			}
			vs = append(vs, v)
		}
		got := total(vs)
		if len(got.Parts) != len(want) {
			t.Fatalf("%d values: %d components, want %d", n, len(got.Parts), len(want))
		}
		for _, p := range got.Parts {
			if math.Abs(p.Sensitivity-want[p.Source]) > 1e-9 {
				t.Errorf("%d values: %g of source %d, want %g", n, p.Sensitivity, p.Source.Index, want[p.Source])
			}
		}
	}
}
