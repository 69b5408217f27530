package judge_test

// "not" in what a rule requires is carried inward before anything is decided, so that a guard band guards what is meant.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/catalogue"
)

// opposed writes a condition and, by De Morgan's laws, its opposite without a "not".
func opposed(r *rand.Rand, depth int) (is, opposite string) {
	if depth == 0 {
		signs := [][2]string{{"<", ">="}, {"<=", ">"}, {">", "<="}, {">=", "<"}, {"=", "!="}, {"!=", "="}}[r.IntN(6)]
		x, y := []string{"loft", "lie", "(loft + lie)"}[r.IntN(3)], []string{"30 deg", "loft", "31 deg"}[r.IntN(3)]
		switch r.IntN(8) {
		case 0:
			return "kind = iron", "kind != iron"
		case 1:
			return "low", "loft > 30 deg"
		case 2:
			return "not-low", "loft <= 30 deg"
		case 3:
			return "mixed", "lie < 31 deg or loft > 30 deg"
		}
		return x + " " + signs[0] + " " + y, x + " " + signs[1] + " " + y
	}
	a, na := opposed(r, depth-1)
	b, nb := opposed(r, depth-1)
	switch r.IntN(5) {
	case 0:
		return fmt.Sprintf("((%s) and (%s))", a, b), fmt.Sprintf("((%s) or (%s))", na, nb)
	case 1:
		return fmt.Sprintf("((%s) or (%s))", a, b), fmt.Sprintf("((%s) and (%s))", na, nb)
	case 2:
		c, _ := opposed(r, 0)
		return fmt.Sprintf("(if %s then (%s) else (%s))", c, a, b), fmt.Sprintf("(if %s then (%s) else (%s))", c, na, nb)
	case 3:
		return fmt.Sprintf("(not (%s))", na), na
	}
	return fmt.Sprintf("(not (%s))", a), a
}

func TestNotIsCarriedInward(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	met := map[decide.Verdict]int{}
	for range 400 {
		a, b := opposed(r, r.IntN(4))
		text := "rulebook \"R\"\nlet low = loft <= 30 deg\nlet not-low = not low\nlet mixed = not (lie < 31 deg or not low)\n"
		decision := decisions[r.IntN(len(decisions))]
		for name, require := range map[string]string{"whole": "not (" + a + ")", "opposite": b, "twice": "not (not (" + a + "))", "plain": a} {
			text += fmt.Sprintf("rule %s \"R\"\n for every club\n require %s\n decision %s\n", name, require, decision)
		}
		p, _ := compiled(t, text)
		for range 10 {
			c := &club.Club{}
			c.Reset(p.Schema.Len())
			c.ID, c.Kind = "c", []catalogue.Kind{catalogue.Iron, catalogue.Wedge}[r.IntN(2)]
			for _, prop := range []catalogue.ID{catalogue.Loft, catalogue.Lie} {
				if r.IntN(8) > 0 {
					c.SetAmount(prop, 30*degree+float64(r.IntN(21)-10)*degree/10)
					if r.IntN(3) > 0 {
						c.SetReading(club.Reading{Property: prop, Half: float64(r.IntN(5)) * degree / 10, HasHalf: true})
					}
				}
			}
			got := map[string]decide.Verdict{}
			for _, res := range judged(p, c) {
				got[res.Rule.Decl.Name.Text] = res.Verdict
			}
			if got["whole"] != got["opposite"] || got["twice"] != got["plain"] {
				t.Fatalf("%v\n%s", got, text)
			}
			met[got["whole"]]++
		}
	}
	if met[decide.Pass] < 500 || met[decide.Fail] < 500 || met[decide.TooClose] < 40 || met[decide.Unmeasured] < 100 {
		t.Error("too few of a sort:", met)
	}
}

// By the normal distribution: "not (loft <= 30 deg)" passes where the loft is above 30 deg with the probability asked for. A
// reading of 30.4 deg with a half-width of 0.5 is so with P = Phi(0.4 sqrt(3) / 0.5) = 0.917, one of 30.5 with 0.958.
func TestNotIsGuarded(t *testing.T) {
	p, _ := compiled(t, "rulebook \"R\"\nrule r \"R\"\n for every club\n require not (loft <= 30 deg)\n decision guarded acceptance at 95 %\n"+
		"rule s \"R\"\n for every club\n require loft != 30 deg\n decision guarded rejection at 95 %\n")
	for _, tenth := range []float64{-20, -5, -4, 0, 4, 5, 20} {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Kind = "c", catalogue.Iron
		c.SetAmount(catalogue.Loft, 30*degree+tenth*degree/10)
		c.SetReading(club.Reading{Property: catalogue.Loft, Half: degree / 2, HasHalf: true})
		above := 0.5 * (1 + math.Erf(tenth/10/(0.5/math.Sqrt(3))/math.Sqrt2))
		want := decide.Fail
		if above >= 0.95 {
			want = decide.Pass
		}
		got := judged(p, c)
		if got[0].Verdict != want || math.Abs(got[0].Probability-above) > 1e-9 || got[0].Value.String() == "unknown" || !got[0].Lower.Known() || !got[0].Open {
			t.Errorf("%v: %v with p %v, want %v with %v", tenth/10, got[0].Verdict, got[0].Probability, want, above)
		}
		if got[1].Verdict != decide.Pass { // none of them is surely 30 deg
			t.Errorf("%v: != under guarded rejection is %v", tenth/10, got[1].Verdict)
		}
	}
}
