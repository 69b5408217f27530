package compare

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/unit"
)

var inch = unit.Lookup("in")

func inches(n float64) unit.Amount { return unit.Amount{Base: inch.ToBase(n), Unit: inch} }

// risk is a rule on a length between two limits in inches, read by a method without marks whose
// error is as good as normal with u: the sum of forty of one size. An infinite limit is none.
func risk(d decide.Rule, low, high, u float64) *Risk {
	halves := make([]float64, 40)
	for i := range halves {
		halves[i] = u * math.Sqrt(3./40)
	}
	return read(d, low, high, 0, 0, halves)
}

// read is a rule on a length that is read by a method with marks, and brought to the rule's method by a shift. It has
// the half-widths of the errors beside the graduation's. All in inches.
func read(d decide.Rule, low, high, reads, shift float64, halves []float64) *Risk {
	variance := reads * reads / 12
	r := &Risk{limits: decide.None(), shift: inches(shift).Base}
	r.Decision = d
	if reads > 0 {
		r.Marks = inches(reads)
	}
	var off []float64
	for _, h := range halves {
		variance += h * h / 3
		off = append(off, inches(h).Base)
	}
	r.Uncertainty, r.off = inches(math.Sqrt(variance)), value.NewScatter(off, errorPieces)
	r.spread.U = r.Uncertainty.Base
	if !math.IsInf(low, 0) {
		r.Lower = inches(low)
		r.limits.Lower = r.Lower.Base
	}
	if !math.IsInf(high, 0) {
		r.Upper = inches(high)
		r.limits.Upper = r.Upper.Base
	}
	r.settle()
	return r
}

var none = math.Inf(1)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %g, want %g within %g", what, got, want, tolerance)
	}
}

// A guard band of 1 U leaves below 2.5 % of wrong passes, 0.83 U below 5 %, none below
// 50 % (ILAC-G8:09/2019, secondary source). A club exactly on the limit is the worst.
func TestGuardBandsBoundWrongPasses(t *testing.T) {
	for _, c := range []struct {
		band  float64 // in U = 2 u
		least float64 // the figure for the band rounded to what it is not below
		most  float64
	}{{1, 0.0225, 0.025}, {0.83, 0.048, 0.05}, {0, 0.4999, 0.50001}} {
		d := decide.Rule{Kind: decide.Simple}
		if c.band > 0 {
			d = decide.Rule{Kind: decide.GuardedAcceptance, Level: math.Erfc(-2*c.band/math.Sqrt2) / 2}
		}
		pass := risk(d, -none, 46, 0.05).chances(inches(46).Base).Pass
		if pass < c.least || pass > c.most {
			t.Errorf("with a guard band of %g U, %g of the clubs on the limit pass, want between %g and %g", c.band, pass, c.least, c.most)
		}
	}
}

// Of a stock around the limit, decided simply, the two risks are the probability that two
// normal numbers with the correlation s/√(s²+u²) have different signs, 1/4 - arcsin ρ/2π
// each (Sheppard's formula, from memory).
func TestGlobalRisksAroundTheLimit(t *testing.T) {
	for _, c := range []struct{ s, u float64 }{{0.1, 0.05}, {0.05, 0.1}, {2, 0.001}, {0.001, 2}, {1e-6, 1e-6}} {
		want := 0.25 - math.Asin(c.s/math.Hypot(c.s, c.u))/(2*math.Pi)
		consumers, producers := risk(decide.Rule{Kind: decide.Simple}, -none, 46, c.u).Global(Stock{inches(46), inches(c.s)})
		near(t, "the consumer's risk", consumers, want, 5e-4)
		near(t, "the producer's risk", producers, want, 5e-4)
	}
}

// Clubs drawn from a stock, read to the nearest mark and decided one by one, are wrong as often as is
// foretold, within five standard deviations of such a count; and so are clubs on a limit.
func TestRisksAgainstDrawnReadings(t *testing.T) {
	const clubs = 40_000
	for i, c := range []struct {
		kind                    decide.Kind
		level                   float64
		low, high, reads, shift float64
		halves                  []float64
		mean, s                 float64
	}{
		{decide.Simple, 0, -none, 46, 1. / 8, 0, []float64{1. / 32}, 45.95, 0.1},
		{decide.Simple, 0, -none, 46, 1. / 8, 0.2, nil, 46, 0.1}, // nothing but the marks
		{decide.GuardedAcceptance, 0.95, 45.75, 46, 1. / 16, 0.03, []float64{0.05, 0.02, 0.02}, 45.9, 0.08},
		{decide.GuardedRejection, 0.9, 45.75, 46, 1. / 16, -0.4, []float64{0.01, 0.07}, 46, 0.1},
		{decide.ThreeWay, 0.95, 45.75, 46, 1. / 32, 0.21, []float64{0.03, 0.04, 0.04, 0.02, 0.01}, 45.85, 0.12},
		{decide.ThreeWay, 0.95, 45.97, 46.03, 1. / 8, 0, []float64{0.05, 0.05}, 46, 0.1}, // none can pass
		{decide.ThreeWay, 0.8, 46, none, 1. / 4, 0.1, []float64{0.2}, 46.1, 0.05},
		{decide.Simple, 0, 45.51, 45.55, 1. / 8, 0, []float64{0.03}, 45.55, 0.1}, // no mark is inside
	} {
		r := read(decide.Rule{Kind: c.kind, Level: c.level}, c.low, c.high, c.reads, c.shift, c.halves)
		random := rand.New(rand.NewPCG(7, uint64(i)))
		verdict := func(length float64) decide.Verdict {
			x := length - c.shift
			for _, h := range c.halves {
				x += h * (2*random.Float64() - 1)
			}
			v, _ := decide.Decide(r.Decision, r.limits, inches(math.Round(x/c.reads)*c.reads+c.shift).Base, r.spread)
			return v
		}
		count := func(name string, foretold, got float64) {
			near(t, fmt.Sprintf("%d: %s", i, name), got/clubs, foretold, 5*math.Sqrt(foretold/clubs)+1e-7)
		}
		for _, limit := range []float64{c.low, c.high} {
			if math.IsInf(limit, 0) {
				continue
			}
			got := map[decide.Verdict]float64{}
			for range clubs {
				got[verdict(limit+0.01)]++
			}
			want := r.chances(inches(limit + 0.01).Base)
			count("passing near a limit", want.Pass, got[decide.Pass])
			count("failing near a limit", want.Fail, got[decide.Fail])
			count("too close near a limit", want.TooClose, got[decide.TooClose])
		}
		consumers, producers := r.Global(Stock{inches(c.mean), inches(c.s)})
		var passed, failed float64
		for range clubs {
			length := c.mean + c.s*random.NormFloat64()
			switch v, inside := verdict(length), r.limits.Contains(inches(length).Base); {
			case v == decide.Pass && !inside:
				passed++
			case v == decide.Fail && inside:
				failed++
			}
		}
		count("the consumer's risk", consumers, passed)
		count("the producer's risk", producers, failed)
	}
}

// anyRisk is a rule with one or two limits under any decision, and a method with or without marks.
func anyRisk(t *rapid.T) *Risk {
	d := decide.Rule{
		Kind:  rapid.SampledFrom([]decide.Kind{decide.Simple, decide.GuardedAcceptance, decide.GuardedRejection, decide.ThreeWay}).Draw(t, "decision"),
		Level: rapid.Float64Range(0.501, 0.9999).Draw(t, "level"),
	}
	low := 45.0
	high := low + rapid.Float64Range(0, 1).Draw(t, "width")
	switch rapid.IntRange(0, 2).Draw(t, "sides") {
	case 0:
		low = -none
	case 1:
		high = none
	}
	return read(d, low, high, rapid.SampledFrom([]float64{0, 1. / 16, 1. / 8, 1}).Draw(t, "reads to"), rapid.Float64Range(-2, 2).Draw(t, "shift"),
		rapid.SliceOfN(rapid.SampledFrom([]float64{0, 1e-6, 0.01, 0.05, 3}), 0, 4).Draw(t, "half-widths"))
}

// The regions by which the chances are worked out are those in which single readings, brought to their
// marks, are decided so.
func TestRegionsAreThoseOfTheDecision(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRisk(t)
		y := inches(rapid.Float64Range(44, 47).Draw(t, "reading")).Base
		g := r.marked
		for _, edge := range []float64{g.pass.Low, g.pass.High, g.below, g.above} {
			if math.Abs(y-edge) < 1e-6*inch.ToBase(1) {
				t.Skip("on an edge, where rounding decides")
			}
		}
		want := decide.TooClose
		switch {
		case g.pass.Low < y && y < g.pass.High:
			want = decide.Pass
		case y < g.below || y > g.above || r.Decision.Kind != decide.ThreeWay:
			want = decide.Fail
		}
		figure := y
		if r.Marks.Known() {
			figure = math.Round((y-r.shift)/r.Marks.Base)*r.Marks.Base + r.shift
		}
		if got, _ := decide.Decide(r.Decision, r.limits, figure, r.spread); got != want {
			t.Fatalf("a reading of %v, brought to %v, is decided %v, and is in the region of %v", y, figure, got, want)
		}
	})
}

func TestCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRisk(t)
		curve := r.Curve()
		if len(curve) < 21 {
			t.Fatalf("the curve has %d points", len(curve))
		}
		for i, c := range curve {
			for _, p := range []float64{c.Pass, c.Fail, c.TooClose} {
				if !(p >= 0 && p <= 1) {
					t.Fatalf("a probability of %g at %v", p, c.True)
				}
			}
			if sum := c.Pass + c.Fail + c.TooClose; math.Abs(sum-1) > 1e-9 {
				t.Fatalf("the verdicts at %v have a probability of %.12g together", c.True, sum)
			}
			if i > 0 && c.True.Base <= curve[i-1].True.Base {
				t.Fatalf("%v stands behind %v", c.True, curve[i-1].True)
			}
		}
		if r.Uncertainty.Base == 0 {
			return
		}
		first, last := math.Inf(1), math.Inf(-1)
		for _, edge := range r.Ends() {
			first, last = min(first, edge-4*r.Uncertainty.Base), max(last, edge+4*r.Uncertainty.Base)
		}
		if a, b := curve[0].True.Base, curve[len(curve)-1].True.Base; unit.Compare(a, first) != 0 || unit.Compare(b, last) != 0 {
			t.Fatalf("the curve goes from %v to %v, not from %v to %v", a, b, first, last)
		}
	})
}

// With a longer club the chance to keep an upper limit never rises.
func TestALongerClubPassesLessOften(t *testing.T) {
	for _, k := range []decide.Kind{decide.Simple, decide.GuardedAcceptance, decide.GuardedRejection, decide.ThreeWay} {
		for _, u := range []float64{0, 0.05} {
			before := Chances{Pass: 1}
			for _, c := range risk(decide.Rule{Kind: k, Level: 0.95}, -none, 46, u).Curve() {
				if c.Pass > before.Pass || c.Fail < before.Fail {
					t.Errorf("%v, u %g: at %v a club passes with %g and fails with %g, before with %g and %g", k, u, c.True, c.Pass, c.Fail, before.Pass, before.Fail)
				}
				before = c
			}
			if before.Pass > 0.01 || before.Fail < 0.9 {
				t.Errorf("%v, u %g: the longest club passes with %g and fails with %g", k, u, before.Pass, before.Fail)
			}
		}
	}
}

func TestWhatIsKnownExactlyIsAStep(t *testing.T) {
	r := risk(decide.Rule{Kind: decide.ThreeWay, Level: 0.95}, -none, 46, 0)
	for _, c := range []struct{ length, pass float64 }{{45.99, 1}, {46, 1}, {46.01, 0}} {
		got := r.chances(inches(c.length).Base)
		if got.Pass != c.pass || got.Fail != 1-c.pass || got.TooClose != 0 {
			t.Errorf("a club of exactly %g in has the chances %+v", c.length, got)
		}
	}
	if consumers, producers := r.Global(Stock{inches(46), inches(0.1)}); consumers != 0 || producers != 0 {
		t.Errorf("readings without uncertainty err with %g and %g", consumers, producers)
	}
}

// A stock of equal clubs errs as each of them does.
func TestAStockOfEqualClubs(t *testing.T) {
	r := risk(decide.Rule{Kind: decide.Simple}, -none, 46, 0.05)
	for _, mean := range []float64{45.97, 46.02} {
		one := r.chances(inches(mean).Base)
		consumers, producers := r.Global(Stock{inches(mean), inches(0)})
		nearly, alike := r.Global(Stock{inches(mean), inches(1e-9)})
		if mean > 46 {
			near(t, "the consumer's risk", consumers, one.Pass, 0)
			near(t, "the producer's risk", producers, 0, 0)
		} else {
			near(t, "the consumer's risk", consumers, 0, 0)
			near(t, "the producer's risk", producers, one.Fail, 0)
		}
		near(t, "the consumer's risk of nearly equal clubs", nearly, consumers, 1e-6)
		near(t, "the producer's risk of nearly equal clubs", alike, producers, 1e-6)
	}
}
