package report

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/unit"
)

// By hand: three-way at 95 % with u 0.05 in on at most 46 in stands off by 1.645·0.05 =
// 0.0822 in, so it passes up to 45.9178 in, 45 58.7/64 in, and fails from 46.0822 in,
// 46 5.3/64 in (the factor from JCGM 106:2012, Table 1, from memory).
func TestAcceptanceByHand(t *testing.T) {
	inch := unit.Lookup("in")
	in := func(n float64) engine.Amount { return engine.Amount{Base: inch.ToBase(n), Unit: inch} }
	one := engine.Result{Uncertainty: in(0.05), PassTo: in(46 - 1.645*0.05), FailAbove: in(46 + 1.645*0.05)}
	pair := one
	pair.PassFrom, pair.FailBelow = in(44+1.645*0.05), in(44-1.645*0.05)
	none := pair
	none.NoneCanPass = true
	lower := engine.Result{Uncertainty: in(0.05), PassFrom: in(18), FailBelow: in(18)}
	for _, c := range []struct {
		r         *engine.Result
		full      bool
		want, why string
	}{
		{&one, false, "up to 45 29/32 in, fails from 46 3/32 in", "one limit"},
		{&one, true, "up to 45.9177 in, fails from 46.0823 in", "decimals"},
		{&pair, false, "from 44 3/32 in to 45 29/32 in, fails up to 43 29/32 in and from 46 3/32 in", "two limits"},
		{&none, false, "nothing, with so much uncertainty, fails up to 43 29/32 in and from 46 3/32 in", "none"},
		{&lower, false, "from 18 in on, fails below 18 in", "on a fraction"},
		{&engine.Result{}, false, "", "a simple decision"},
	} {
		if got := acceptance(c.r, c.full); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}

// What a limit of acceptance is rounded to never promises more than the limit itself.
func TestAcceptanceIsRoundedToTheSafeSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := unit.Lookup(rapid.SampledFrom([]string{"in", "mm", "deg", "g"}).Draw(t, "unit"))
		limit := rapid.Float64Range(1, 2000).Draw(t, "limit")
		spread := rapid.Float64Range(0.0005, 2).Draw(t, "uncertainty")
		full := rapid.Bool().Draw(t, "full")
		a, s := engine.Amount{Base: u.ToBase(limit), Unit: u}, engine.Amount{Base: u.ToBase(spread), Unit: u}
		for _, up := range []bool{false, true} {
			text := safe(a, s, up, full)
			q, n, err := unit.Scan(text)
			if err != nil || n != len(text) || q.Unit != u {
				t.Fatalf("%q cannot be read: %v", text, err)
			}
			off := q.Base() - a.Base
			if !up {
				off = -off
			}
			if off < -1e-6*a.Base {
				t.Fatalf("%v %s becomes %q", limit, u.Name, text)
			}
			if width := math.Max(spread, 1./64); u.FromBase(off) > 1.0001*width {
				t.Fatalf("%v %s with u %v becomes %q, farther off than it need be", limit, u.Name, spread, text)
			}
		}
	})
}

func TestWhatWouldSettleIt(t *testing.T) {
	inch := unit.Lookup("in")
	budget := []engine.Component{{Share: 0.6}}
	step := func(method string) []engine.Step {
		return []engine.Step{{What: engine.StepReading, Name: "length", Method: method}}
	}
	for _, c := range []struct {
		r    engine.Result
		want string
	}{
		{engine.Result{Verdict: decide.TooClose, Steps: step("soled"), Settle: &engine.Settle{Graduation: engine.Amount{Base: inch.ToBase(1. / 32), Unit: inch}, Largest: "graduation of d1"}},
			"a reading to 1/32 in, should it read the same"},
		{engine.Result{Verdict: decide.TooClose, Steps: step("soled"), Budget: budget, Settle: &engine.Settle{Largest: "lie set of d1"}},
			"no finer reading by this method: most of the uncertainty is the lie set of d1"},
		{engine.Result{Verdict: decide.TooClose, Steps: step(""), Budget: []engine.Component{{Share: 0.4}}, Settle: &engine.Settle{Largest: "lie of d1"}},
			"a surer value: the largest part of the uncertainty is the lie of d1"},
		{engine.Result{Verdict: decide.Fail, Settle: &engine.Settle{Largest: "lie of d1"}}, ""},
	} {
		if got := settled(&c.r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
