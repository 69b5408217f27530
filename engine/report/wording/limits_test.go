package wording

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// By hand: three-way at 95 % with u 0.05 in on at most 46 in stands off by 1.645·0.05 =
// 0.0822 in, so it passes up to 45.9178 in, 45 58.7/64 in, and fails from 46.0822 in,
// 46 5.3/64 in (the factor from JCGM 106:2012, Table 1, from memory).
func TestAcceptanceByHand(t *testing.T) {
	inch := unit.Lookup("in")
	in := func(n float64) unit.Amount { return unit.Amount{Base: inch.ToBase(n), Unit: inch} }
	one := judge.Result{Uncertainty: in(0.05), PassTo: in(46 - 1.645*0.05), FailAbove: in(46 + 1.645*0.05)}
	pair := one
	pair.PassFrom, pair.FailBelow = in(44+1.645*0.05), in(44-1.645*0.05)
	none := pair
	none.NoneCanPass = true
	lower := judge.Result{Uncertainty: in(0.05), PassFrom: in(18), FailBelow: in(18)}
	for _, c := range []struct {
		r         *judge.Result
		full      bool
		want, why string
	}{
		{&one, false, "up to 45 29/32 in, fails from 46 3/32 in", "one limit"},
		{&one, true, "up to 45.917 in, fails from 46.083 in", "decimals"},
		{&pair, false, "from 44 3/32 in to 45 29/32 in, fails up to 43 29/32 in and from 46 3/32 in", "two limits"},
		{&none, false, "nothing, with so much uncertainty, fails up to 43 29/32 in and from 46 3/32 in", "none"},
		{&lower, false, "from 18 in on, fails below 18 in", "on a fraction"},
		{&judge.Result{}, false, "", "a simple decision"},
	} {
		if got := Acceptance(c.r, c.full); got != c.want {
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
		a, s := unit.Amount{Base: u.ToBase(limit), Unit: u}, unit.Amount{Base: u.ToBase(spread), Unit: u}
		for _, up := range []bool{false, true} {
			text := safe(&judge.Result{Uncertainty: s}, a, up, full)
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
			if width := max(spread, 1./64, u.FromBase(map[string]float64{"mm": 1e5, "g": 1e8}[u.Name])); u.FromBase(off) > 1.0001*width {
				t.Fatalf("%v %s with u %v becomes %q, farther off than it need be", limit, u.Name, spread, text)
			}
		}
	})
}

// However near to a limit a value lies, what is printed of it, of the limit, of the acceptance and rejection limits and
// of the probability lies on the same sides as the figures themselves.
func TestNoFigureContradictsTheVerdict(t *testing.T) {
	read := func(t *rapid.T, text string) float64 {
		digits, below := strings.CutPrefix(text, "-")
		q, n, err := unit.Scan(digits)
		if err != nil || n != len(digits) {
			t.Fatalf("%q cannot be read: %v", text, err)
		}
		if below {
			return -q.Base()
		}
		return q.Base()
	}
	met := map[decide.Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		u := unit.Lookup(rapid.SampledFrom([]string{"in", "mm", "deg", "g", "oz", "cpm"}).Draw(t, "unit"))
		amount := func(n float64) unit.Amount { return unit.Amount{Base: u.ToBase(n), Unit: u} }
		limit := float64(rapid.IntRange(1, 500000).Draw(t, "limit")) / float64(rapid.SampledFrom([]int{64, 100, 10000, 3}).Draw(t, "parts"))
		spread := rapid.Float64Range(0.001, 1).Draw(t, "uncertainty")
		rule := decide.Rule{Kind: decide.Kind(rapid.IntRange(1, 4).Draw(t, "decision")), Level: rapid.SampledFrom([]float64{0.6, 0.95, 0.99}).Draw(t, "level")}
		l := decide.None()
		r := judge.Result{Decision: rule, Uncertainty: amount(spread), Freedom: float64(rapid.IntRange(0, 3).Draw(t, "freedom"))}
		if rapid.Bool().Draw(t, "upper") {
			l.Upper, r.Upper = amount(limit).Base, amount(limit)
		} else {
			l.Lower, r.Lower = amount(limit).Base, amount(limit)
		}
		pass := rule.Passing(l, r.Spread())
		below, above := rule.Failing(l, r.Spread())
		to := func(base float64) unit.Amount {
			if math.IsInf(base, 0) {
				return unit.Amount{}
			}
			return unit.Amount{Base: base, Unit: u}
		}
		if rule.Kind != decide.Simple {
			r.PassFrom, r.PassTo, r.FailBelow, r.FailAbove = to(pass.Low), to(pass.High), to(below), to(above)
		}
		near := rapid.SampledFrom([]float64{limit, u.FromBase(pass.Low), u.FromBase(pass.High), u.FromBase(below), u.FromBase(above)}).Draw(t, "near")
		if math.IsInf(near, 0) {
			near = limit
		}
		r.Value = amount(near + rapid.Float64Range(-1, 1).Draw(t, "off")*math.Pow(10, -float64(rapid.IntRange(0, 9).Draw(t, "digits"))))
		r.Verdict, r.Probability = decide.Decide(rule, l, r.Value.Base, r.Spread())
		met[r.Verdict]++
		value := read(t, r.Figure(r.Value))
		if got, want := unit.Compare(value, read(t, r.Written(amount(limit)))), unit.Compare(r.Value.Base, amount(limit).Base); got != want {
			t.Fatalf("%s, %s of %v: %d, want %d", r.Figure(r.Value), r.Written(amount(limit)), r.Value.Base, got, want)
		}
		words := Acceptance(&r, rapid.Bool().Draw(t, "full"))
		for _, c := range []struct {
			before  string
			verdict decide.Verdict
			upper   bool
		}{{"up to ", decide.Pass, true}, {"from ", decide.Pass, false}, {", fails from ", decide.Fail, false}, {", fails above ", decide.Fail, false}, {", fails up to ", decide.Fail, true}, {", fails below ", decide.Fail, true}} {
			_, text, ok := strings.Cut(words, c.before)
			if !ok || c.before[0] != ',' && strings.Index(words, c.before) > 0 {
				continue
			}
			text, _, _ = strings.Cut(text, ",")
			at := read(t, strings.TrimSuffix(text, " on"))
			inside := c.upper && value < at || !c.upper && value > at
			if side := c.upper == r.Upper.Known() == (c.verdict == decide.Pass); side && inside != (r.Verdict == c.verdict) && value != at {
				t.Fatalf("%s at %s: %s", r.Verdict, r.Figure(r.Value), words)
			}
		}
		const dust = 1e-12 // of the probability itself
		near = min(math.Abs(r.Probability-rule.Level), math.Abs(r.Probability-1+rule.Level))
		if p := Percent(r.Probability, rule.Level); !strings.Contains(p, "than") && near > dust {
			n, err := strconv.ParseFloat(p, 64)
			if err != nil || n <= 0 || n >= 100 || (n >= rule.Level*100) != (r.Probability >= rule.Level) || (n < 100-rule.Level*100) != (r.Probability < 1-rule.Level) {
				t.Fatalf("%v at %v prints as %s %%", r.Probability, rule.Level, p)
			}
		}
	})
	if !testing.Short() && (met[decide.Pass] == 0 || met[decide.Fail] == 0 || met[decide.TooClose] == 0) {
		t.Errorf("verdicts met: %v", met)
	}
}

func TestWhatWouldSettleIt(t *testing.T) {
	inch, degree := unit.Lookup("in"), unit.Lookup("deg")
	in := func(n float64, u *unit.Unit) unit.Amount { return unit.Amount{Base: u.ToBase(n), Unit: u} }
	a, b := &club.Club{ID: "a"}, &club.Club{ID: "b"}
	text := "lie at most 61 deg"
	value := &ast.Ref{Formula: ast.Formula{Span: source.Span{File: source.NewFile("book", text), End: len("lie")}}}
	rule := &book.Rule{Decl: &ast.Rule{Require: &ast.Require{Value: value}}, Value: book.Part{Expr: value}}
	budget := []judge.Component{{Share: 0.4}}
	for _, c := range []struct {
		verdict decide.Verdict
		about   []*club.Club
		settle  judge.Settle
		want    string
	}{
		{decide.TooClose, []*club.Club{a}, judge.Settle{Measure: "lie", Of: []*club.Club{a}, Within: in(0.1053, degree)}, "Measure again: a reading within 0.1 deg would settle it."},
		{decide.TooClose, []*club.Club{a}, judge.Settle{Measure: "loft", Of: []*club.Club{a}, Within: in(0.0047, degree)}, "Measure again: a reading of the loft of a within 0.004 deg would settle it."},
		{decide.TooClose, []*club.Club{a, b}, judge.Settle{Measure: "length", Of: []*club.Club{b}, Within: in(0.04, inch)}, "Measure again: a reading of the length of b within 1/32 in would settle it."},
		{decide.TooClose, []*club.Club{a, b}, judge.Settle{Measure: "length", Of: []*club.Club{a, b}, Within: in(0.0123, inch)}, "Measure again: readings of the length of a and b each within 0.012 in would settle it."},
		{decide.TooClose, []*club.Club{a}, judge.Settle{Measure: "loft", Of: []*club.Club{a}}, "Measure again, first the loft of a: it is the largest part of the doubt. No single closer reading would settle it."},
		{decide.TooClose, []*club.Club{a}, judge.Settle{}, "No single closer reading would settle it."},
		{decide.TooClose, []*club.Club{a}, judge.Settle{Measure: "ruler"}, "No closer reading would settle it: the largest part of the doubt is the ruler."},
		{decide.Fail, []*club.Club{a}, judge.Settle{Measure: "lie", Of: []*club.Club{a}, Within: in(0.1, degree)}, ""},
	} {
		r := &judge.Result{Rule: rule, Subject: judge.Subject{Clubs: c.about}, Verdict: c.verdict, Settle: &c.settle, Budget: budget}
		if got := Settled(r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
