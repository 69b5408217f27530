package decide

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Figures of scipy.stats.t (SciPy 1.10): cdf at 1, -3 and -0.001, sf at 30, ppf at 0.95, 0.97725 and 0.9999.
func TestStudentsTAgainstSciPy(t *testing.T) {
	near := func(what string, freedom, got, want float64) {
		if math.Abs(got/want-1) > 1e-8 {
			t.Errorf("%s for %v degrees of freedom: %v, want %v", what, freedom, got, want)
		}
	}
	for _, w := range [][8]float64{
		{1, 0.7500000000000002, 0.10241638234956672, 0.4996816902199194, 0.010606402405535424, 6.313751514800932, 13.967811487756613, 3183.0987571537103},
		{2, 0.7886751345948129, 0.047732983133354556, 0.499646446697795, 0.0005546313409798294, 2.919985580355516, 4.5265507603649375, 70.70007107496886},
		{3, 0.8044988905221148, 0.028834442811218657, 0.49963244748473046, 4.067640213581984e-05, 2.3533634348018264, 3.30682992072115, 22.203742266780633},
		{5, 0.8183912661754387, 0.015049623948731284, 0.4996203933860988, 3.8593243102480234e-07, 2.015048372669157, 2.6486542542831173, 9.677566300886502},
		{10, 0.82955343384897, 0.006671827511284783, 0.4996108916873705, 1.9808961710156598e-11, 1.8124611228107335, 2.28368161326801, 5.693820101511829},
		{98, 0.8401133562457058, 0.0017116322318648058, 0.499602074181885, 1.7331761617324245e-51, 1.6605512170440568, 2.0258346662066757, 3.864609855298758},
		{1000, 0.8412237909576636, 0.0013833545221190939, 0.4996011575092264, 7.687343722021657e-142, 1.6463788172854639, 2.0025055172186716, 3.7328516045751114},
		{99999, 0.8413435362058463, 0.001350230445356714, 0.49960105878345384, 3.689342422217257e-197, 1.6448688649373504, 2.0000274445352937, 3.7191543840204035},
	} {
		s := Spread{U: 1, Freedom: w[0]}
		near("P(t <= 1)", w[0], s.below(1), w[1])
		near("P(t <= -3)", w[0], s.below(-3), w[2])
		near("P(t <= -0.001)", w[0], s.below(-0.001), w[3])
		near("P(t > 30)", w[0], upper(0).Conformance(30, s), w[4])
		near("the factor at 95 %", w[0], s.factor(0.95), w[5])
		near("the coverage factor", w[0], s.Coverage(), w[6])
		near("the factor at 99.99 %", w[0], s.factor(0.9999), w[7])
	}
}

// NIST TN 1297, Table B.1, t-factors at 95.45 %. Degrees of freedom are cut to the whole number below.
func TestCoverageAgainstTN1297(t *testing.T) {
	for freedom, want := range map[float64]float64{1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 5.9: 2.65, 10: 2.28, 20: 2.13} {
		if got := (Spread{1, freedom}).Coverage(); math.Abs(got-want) > 0.005 {
			t.Errorf("%v degrees of freedom: %.4f, want %v", freedom, got, want)
		}
	}
	if a, b := (Spread{1, math.Nextafter(98, 0)}).Coverage(), (Spread{1, 98}).Coverage(); a != b {
		t.Errorf("short of 98 by rounding: %v, want %v", a, b)
	}
}

// However many the degrees of freedom, the factor never falls below that of the normal distribution,
// from 100,000 on 2. (A library's own t-factor falls to 1.4 at ten million.)
func TestCoverageOfVeryManyDegreesOfFreedom(t *testing.T) {
	for _, freedom := range []float64{0, 1e3, 99_999, 1e5, 1e7, 1e9, 1e12, 1e300, math.Inf(1)} {
		if k := (Spread{1, freedom}).Coverage(); k < 2 || k > 2.01 || freedom >= 1e5 && k != 2 {
			t.Errorf("%v degrees of freedom: k = %v", freedom, k)
		}
	}
}

// JCGM 100:2008, H.1, the end gauge: components of 25, 9.7, 2.9 and 16.6 nm combine to 32 nm with 16
// effective degrees of freedom. The components' own degrees of freedom, 18, 25.6, 50 and 2, are from memory.
func TestCombineAgainstTheEndGauge(t *testing.T) {
	variance, fourth := 0.0, 0.0
	for _, e := range [][2]float64{{25, 18}, {9.7, 25.6}, {2.9, 50}, {16.6, 2}} {
		variance, fourth = variance+e[0]*e[0], fourth+math.Pow(e[0], 4)/e[1]
	}
	if s := Combine(variance, fourth); math.Abs(s.U-32) > 0.5 || s.freedom() != 16 {
		t.Errorf("u = %v nm, %v degrees of freedom", s.U, s.freedom())
	}
}

// The mean of few normal readings, true value on the limit: guarded acceptance at 95 % passes 5 % of them
// and no more, whatever their number. (Taken for normal, two readings would pass 15 %.)
func TestFalseAcceptanceOfFewReadings(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const tries = 40_000
	for _, n := range []int{2, 3, 5} {
		passed := 0
		for range tries {
			sum, squares := 0.0, 0.0
			for range n {
				y := random.NormFloat64()
				sum, squares = sum+y, squares+y*y
			}
			mean := sum / float64(n)
			s := math.Sqrt((squares - sum*mean) / float64(n-1))
			if v, _ := Decide(Rule{GuardedAcceptance, 0.95}, upper(0), mean, Spread{s / math.Sqrt(float64(n)), float64(n - 1)}); v == Pass {
				passed++
			}
		}
		if share := float64(passed) / tries; math.Abs(share-0.05) > 4*math.Sqrt(0.05*0.95/tries) {
			t.Errorf("%d readings at the limit: %.4f pass, want 0.05", n, share)
		}
	}
}
