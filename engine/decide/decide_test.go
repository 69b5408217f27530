package decide

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func upper(t float64) Limits { return Limits{Lower: math.Inf(-1), Upper: t} }

// The figures are those of JCGM 106:2012 (from memory), to the digits that it prints.
func TestConformanceAgainstJCGM106(t *testing.T) {
	for _, c := range []struct {
		source string
		l      Limits
		y, u   float64
		want   float64
	}{
		{"7.3.3 example 1", upper(-5.40), -5.47, 0.05, 0.92},
		{"7.4, two-sided", Limits{Lower: 12.5, Upper: 16.3}, 13.6, 1.8, 0.66},
		{"Table 1: 0.90 at z = 1.28", upper(1.28), 0, 1, 0.90},
		{"Table 1: 0.95 at z = 1.64", upper(1.645), 0, 1, 0.95},
		{"Table 1: 0.99 at z = 2.33", upper(2.326), 0, 1, 0.99},
		{"Table 1: 0.999 at z = 3.09", upper(3.09), 0, 1, 0.999},
	} {
		got := c.l.Conformance(c.y, Spread{U: c.u})
		tolerance := 0.005
		if c.want >= 0.99 {
			tolerance = 0.00005
		}
		if math.Abs(got-c.want) > tolerance {
			t.Errorf("%s: got %.4f, want %.3f", c.source, got, c.want)
		}
	}
}

// Phi(-10) is 7.619853024160527e-24 and Phi(-6) 9.865876450376946e-10 (from memory); the normal
// distribution is symmetrical, so either side of a limit gives them.
func TestConformanceKeepsItsDigitsInTheTail(t *testing.T) {
	lower := func(l float64) Limits { k := None(); k.Lower = l; return k }
	for _, c := range []struct {
		l          Limits
		y, z, want float64
	}{
		{upper(0), 10, 10, 7.619853024160527e-24}, {lower(0), -10, 10, 7.619853024160527e-24},
		{lower(0), -6, 6, 9.865876450376946e-10}, {Limits{Lower: 0, Upper: 100}, -6, 6, 9.865876450376946e-10},
		{Limits{Lower: -100, Upper: 0}, 6, 6, 9.865876450376946e-10},
	} {
		if got := c.l.Conformance(c.y, Spread{U: 1}); math.Abs(got/c.want-1) > 1e-12 {
			t.Errorf("%v, %v: got %v, want %v", c.l, c.y, got, c.want)
		}
	}
}

// JCGM 106:2012, 8.3.3.2 (from memory): limit 100, u 2 % of the reading, rejection at
// 99.9 %: rejected from 107 on.
func TestGuardedRejectionAgainstJCGM106(t *testing.T) {
	r := Rule{GuardedRejection, 0.999}
	for y := 101.0; y <= 110; y++ {
		v, _ := Decide(r, upper(100), y, Spread{U: 0.02 * y})
		if got, want := v == Fail, y >= 107; got != want {
			t.Errorf("a reading of %v: %v", y, v)
		}
	}
}

// ILAC-G8:09/2019 (secondary source): with a guard band of 1 U (k = 2) false acceptance is
// below 2.5 %, with 0.83 U below 5 %, with none below 50 %.
func TestGuardBandsAgainstILACG8(t *testing.T) {
	const u = 1.0
	for _, c := range []struct{ band, risk float64 }{{2 * u, 0.025}, {0.83 * 2 * u, 0.05}, {0, 0.5}} {
		if false_ := 1 - upper(0).Conformance(-c.band, Spread{U: u}); false_ > c.risk {
			t.Errorf("a guard band of %v u: false acceptance %.4f, want at most %v", c.band, false_, c.risk)
		}
	}
}

func TestDecideSimplyOnTheEdges(t *testing.T) {
	for _, c := range []struct {
		name string
		l    Limits
		y    float64
		want Verdict
	}{
		{"on an upper limit", upper(46), 46, Pass},
		{"on an open upper limit", Limits{Lower: math.Inf(-1), Upper: 46, OpenUpper: true}, 46, Fail},
		{"just over", upper(46), 46.000001, Fail},
		{"on a lower limit", Limits{Lower: 18, Upper: math.Inf(1)}, 18, Pass},
		{"on an open lower limit", Limits{Lower: 18, Upper: math.Inf(1), OpenLower: true}, 18, Fail},
		{"the sum of two decimals on the limit", upper(0.3), 0.1 + 0.2, Pass},
		{"no limit", None(), 1e300, Pass},
	} {
		for _, r := range []Rule{{Kind: Simple}, {ThreeWay, 0.95}, {GuardedAcceptance, 0.95}, {GuardedRejection, 0.95}} {
			if got, p := Decide(r, c.l, c.y, Spread{}); got != c.want || !math.IsNaN(p) {
				t.Errorf("%s, %v: got %v with p %v, want %v and none", c.name, r.Kind, got, p, c.want)
			}
		}
	}
}

func anySpread(t *rapid.T, least float64) Spread {
	s := Spread{U: rapid.Float64Range(least, 5).Draw(t, "u")}
	if rapid.Bool().Draw(t, "repeated") {
		s.Freedom = rapid.Float64Range(1, 200).Draw(t, "degrees of freedom")
	}
	return s
}

func anyCase(t *rapid.T) (l Limits, y float64, s Spread, level float64) {
	a, b := rapid.Float64Range(-10, 10).Draw(t, "a"), rapid.Float64Range(-10, 10).Draw(t, "b")
	l = Limits{Lower: min(a, b), Upper: max(a, b)}
	switch rapid.IntRange(0, 2).Draw(t, "sides") {
	case 0:
		l.Lower = math.Inf(-1)
	case 1:
		l.Upper = math.Inf(1)
	}
	return l, rapid.Float64Range(-15, 15).Draw(t, "y"), anySpread(t, 1e-3), rapid.Float64Range(0.51, 0.999).Draw(t, "level")
}

// A larger uncertainty never turns a too-close into a pass or a fail.
func TestLargerUncertaintyDecidesNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, y, s, level := anyCase(t)
		more := Spread{s.U * rapid.Float64Range(1, 4).Draw(t, "factor"), s.Freedom}
		before, _ := Decide(Rule{ThreeWay, level}, l, y, s)
		after, _ := Decide(Rule{ThreeWay, level}, l, y, more)
		if before == TooClose && after != TooClose {
			t.Fatalf("too-close at u %v, %v at u %v", s, after, more)
		}
	})
}

// A tighter limit never turns a fail into a pass.
func TestTighterLimitForgivesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, y, s, level := anyCase(t)
		r := Rule{rapid.SampledFrom([]Kind{Simple, GuardedAcceptance, GuardedRejection, ThreeWay}).Draw(t, "rule"), level}
		tight := l
		if l.HasUpper() {
			tight.Upper -= rapid.Float64Range(0, 1).Draw(t, "by")
		}
		before, _ := Decide(r, l, y, s)
		after, _ := Decide(r, tight, y, s)
		if before == Fail && after == Pass {
			t.Fatalf("%v failed %v and passes %v", y, l, tight)
		}
	})
}

// A value brought to its acceptance limit passes by the same decision, one-sided.
func TestChangeReachesThePass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit, y, s, level := 10.0, rapid.Float64Range(10, 20).Draw(t, "y"), anySpread(t, 0), rapid.Float64Range(0.51, 0.999).Draw(t, "level")
		r := Rule{rapid.SampledFrom([]Kind{Simple, GuardedAcceptance, GuardedRejection, ThreeWay}).Draw(t, "rule"), level}
		by, some := r.Change(upper(limit), y, s)
		if over := -by; !some || over < 0 {
			t.Fatalf("larger by %v for an upper limit", by)
		}
		over := -by
		if v, _ := Decide(r, upper(limit), y-over-1e-9, s); v != Pass {
			t.Fatalf("%v less %v is %v", y, over, v)
		}
		if over > 1e-6 {
			if v, _ := Decide(r, upper(limit), y-over+1e-6, s); v == Pass {
				t.Fatalf("%v less %v passes with room to spare", y, over)
			}
		}
	})
}
