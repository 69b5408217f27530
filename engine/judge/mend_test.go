package judge_test

// A mend mends: what it says, done to the club, makes the rule pass when the club is judged again, and
// with no less in the steps of a bench. What would settle a verdict that is too close settles it.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// benched is a quantity with the step in which a bench changes it, and how finely it is drawn.
type benched struct {
	value, unit string
	id          catalogue.ID
	middle      float64
	step, grain float64
	per         float64 // of the value in the reading
}

var benchable = []benched{
	{"length by soled", "in", catalogue.LengthID, 38, 1. / 16, 1. / 64, 1}, {"length by plane-60", "in", catalogue.LengthID, 38, 1. / 16, 0.01, 1},
	{"length by soled", "mm", catalogue.LengthID, 965, 0.5, 0.25, 1}, {"length by wall", "mm", catalogue.LengthID, 1000, 0.5, 0.1, 1},
	{"lie", "deg", catalogue.Lie, 61, 0.01, 0.05, 1}, {"swingweight", "pts", catalogue.SwingWeightID, 32, 0.1, 0.25, 1},
	{"mass", "oz", catalogue.MassID, 14, 0.1, 0.05, 1}, {"mass", "g", catalogue.MassID, 400, 1, 0.5, 1}, {"(lie * 2)", "deg", catalogue.Lie, 122, 0.01, 0.05, 0.5},
}

// boundText draws a bound near the middle of a quantity, some of them narrower than a step, with an allowance at times.
func (q benched) boundText(t *rapid.T) string {
	n := func(label string, low, high int) float64 {
		return float64(rapid.IntRange(low, high).Draw(t, label)) * q.grain
	}
	w := func(x float64) string { return strings.TrimSpace(fmt.Sprintf("%.6f %s", x, q.unit)) }
	if q.unit == "pts" {
		w = func(x float64) string { return "D0 + " + fmt.Sprintf("%.6f pts", x-30) }
	}
	low := q.middle + n("limit", -20, 20)
	high := low + n("wide", 0, 12)*rapid.SampledFrom([]float64{0.01, 0.3, 1}).Draw(t, "narrow")
	half := (high - low) / 2
	width := fmt.Sprintf("%.6f %s", half, q.unit)
	text := []string{"at most " + w(low), "at least " + w(low), "below " + w(low), "above " + w(low), "between " + w(low) + " and " + w(high),
		"is " + w(low) + " +/- " + width, "within " + width + " of middle"}[rapid.IntRange(0, 6).Draw(t, "bound")]
	if rapid.IntRange(0, 3).Draw(t, "allowed") == 0 {
		text += fmt.Sprintf(" allowing %.6f %s", n("allowing", 0, 3), q.unit)
	}
	return text
}

// applied is the amount that a mend names, with the sign of the change; false if there is none.
func applied(t *rapid.T, mend string) (by float64, some bool) {
	if mend == "" {
		return 0, false
	}
	word, text, _ := strings.Cut(mend, " ")
	q, n, err := unit.Scan(text)
	if err != nil || n != len(text) {
		t.Fatalf("%q names no amount", mend)
	}
	return q.Base() * map[string]float64{"less": -1, "more": 1}[word], true
}

func (q benched) club(t *rapid.T, p *judge.Program, number int) *club.Club {
	c := inClub(p, catalogue.Iron, "soled", 38, 61)
	c.ID = fmt.Sprint("c", number)
	c.SetAmount(catalogue.Number, float64(number))
	u := unit.Lookup(q.unit)
	read := q.middle*q.per + float64(rapid.IntRange(-60, 60).Draw(t, "read"))*q.grain*rapid.SampledFrom([]float64{1, 1.0 / 7}).Draw(t, "off the grid")
	c.SetAmount(q.id, u.ToBase(read))
	if rapid.Bool().Draw(t, "stated") || q.id == catalogue.LengthID && rapid.Bool().Draw(t, "stated too") {
		c.SetReading(club.Reading{Property: q.id, Half: u.ToBase(q.grain * float64(rapid.IntRange(0, 8).Draw(t, "half"))), HasHalf: true})
	}
	return c
}

// restated is the club with a change of one of its amounts, or another half-width for it.
func restated(p *judge.Program, c *club.Club, id catalogue.ID, by float64, half *float64) *club.Club {
	out := inClub(p, c.Kind, c.Method, 38, 61)
	out.ID = c.ID
	for _, known := range []catalogue.ID{catalogue.Number, catalogue.LengthID, catalogue.Lie, catalogue.MassID, catalogue.SwingWeightID} {
		if n, ok := c.Amount(known); ok {
			if known == id {
				n += by
			}
			out.SetAmount(known, n)
		}
		r := c.Reading(known)
		if known == id && half != nil {
			r = club.Reading{Property: id, Half: *half, HasHalf: true}
		}
		if r.HasHalf {
			out.SetReading(r)
		}
	}
	return out
}

// drawUntil checks a property until all was met that some words name, which 100 draws leave out now and then.
func drawUntil(t *testing.T, met map[string]int, words []string, property func(*rapid.T)) {
	lacks := func() bool { return slices.ContainsFunc(words, func(w string) bool { return met[w] == 0 }) }
	for n := 0; n == 0 || lacks() && n < 20 && !testing.Short(); n++ {
		rapid.Check(t, property)
	}
	if lacks() && !testing.Short() {
		t.Errorf("%v were not all met: %v", words, met)
	}
}

func TestAMendMends(t *testing.T) {
	met := map[string]int{}
	drawUntil(t, met, []string{"pass", "fail", "too-close", "in steps", "none"}, func(t *rapid.T) {
		q := rapid.SampledFrom(benchable).Draw(t, "quantity")
		u := unit.Lookup(q.unit)
		middle := strings.TrimSpace(fmt.Sprintf("%v %s", q.middle, q.unit))
		if q.unit == "pts" {
			middle = "D2"
		}
		text := fmt.Sprintf("rulebook \"Mends\"\nuse methods\nlet middle = %s + 0 %s\nrule r \"R\"\n  for every iron\n  require %s %s\n", middle, q.unit, q.value, q.boundText(t))
		if rapid.IntRange(0, 3).Draw(t, "excepted") == 0 {
			text += "  unless number = 6: exempt\n  unless number = 5: " + q.boundText(t) + "\n"
		}
		text += "  decision " + rapid.SampledFrom(decisions).Draw(t, "decision") + "\n  mend over \"less {to-pass}\"\n  mend under \"more {to-pass}\"\n"
		p, _ := compiled(t, text)
		c := q.club(t, p, 5)
		r := judged(p, c)[0]
		again := func(by float64) decide.Verdict { return judged(p, restated(p, c, q.id, by*q.per, nil))[0].Verdict }
		met[r.Verdict.String()]++
		by, some := applied(t, r.Mend)
		switch {
		case r.Verdict != decide.Fail:
			if some {
				t.Fatalf("%s, and %s", r.Verdict, r.Mend)
			}
			return
		case some && again(by) != decide.Pass:
			t.Fatalf("%s, %s: then %s\n%s", r.Figure(r.Value), r.Mend, again(by), text)
		}
		step, most := u.ToBase(q.step), 0.0 // by brute force: the least number of steps that does it
		for _, a := range []unit.Amount{r.Lower, r.Upper} {
			if a.Known() {
				most = max(most, math.Abs(a.Base-r.Value.Base))
			}
		}
		most += 8 * r.Uncertainty.Base
		for k := 1.0; (k-1)*step <= most && k < 400; k++ {
			for _, sign := range []float64{-1, 1} {
				if again(sign*k*step) == decide.Pass {
					met["in steps"]++
					if !some || math.Abs(by-sign*k*step) > 1e-6*step {
						t.Fatalf("%s: %q, though %v steps do\n%s", r.Figure(r.Value), r.Mend, sign*k, text)
					}
					return
				}
			}
		}
		if some {
			met["finer"]++
			return
		}
		met["none"]++
		for i := range 2001 { // nothing passes
			if at := most * (float64(i)/1000 - 1); again(at) == decide.Pass {
				if wide := r.Upper.Base - r.Lower.Base; r.Lower.Known() && r.Upper.Known() && wide > 1e-4*u.ToBase(q.grain) {
					t.Fatalf("%s: no mend, though a change by %v %s does\n%s", r.Figure(r.Value), u.FromBase(at), q.unit, text)
				}
			}
		}
	})
}

// A mend for two clubs, or for a set, is about the value: done to the first of the two, or to all
// clubs of the set, it mends too.
func TestAMendOfAPairMends(t *testing.T) {
	met := map[decide.Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		per := rapid.SampledFrom([]string{"", " per number"}).Draw(t, "per number")
		low := float64(rapid.IntRange(10, 40).Draw(t, "low")) / 64
		bound := []string{fmt.Sprintf("at most %v in", low), fmt.Sprintf("above %v in", low), fmt.Sprintf("is %v in +/- 1/16 in", low), fmt.Sprintf("between %v in and %v in", low, low+0.3)}[rapid.IntRange(0, 3).Draw(t, "bound")]
		decision, mends := rapid.SampledFrom(decisions).Draw(t, "decision"), "  mend over \"less {to-pass}\"\n  mend under \"more {to-pass}\"\n"
		p, _ := compiled(t, fmt.Sprintf("rulebook \"Pairs\"\nuse methods\nrule drops \"R\"\n  for neighbours among iron by number\n  require drop of length by soled%s %s\n  decision %s\n%s", per, bound, decision, mends)+
			fmt.Sprintf("rule bag \"R\"\n  for each set\n  require %s of length by soled among iron %s\n  decision %s\n%s",
				rapid.SampledFrom([]string{"longest", "shortest", "mean"}).Draw(t, "of a set"), rapid.SampledFrom([]string{"at most 38 in", "at least 38 in", "below 38 in"}).Draw(t, "limit"), decision, mends))
		q := benchable[0]
		first, second := q.club(t, p, 5), q.club(t, p, 7)
		results := func(a, b *club.Club) map[string]*judge.Result {
			out := map[string]*judge.Result{}
			p.NewJudge(judge.Options{All: true}).Set(&club.Set{Clubs: []*club.Club{a, b}, Rows: 2}, judge.Sink{Result: func(r *judge.Result) { out[r.Rule.Decl.Name.Text] = r }})
			return out
		}
		apart := map[string]float64{"": 1, " per number": 2}[per]
		for name, r := range results(first, second) {
			met[r.Verdict]++
			by, some := applied(t, r.Mend)
			if fails := r.Verdict == decide.Fail; some != (fails && !r.NoneCanPass) {
				t.Fatalf("%s: %s, mend %q", name, r.Verdict, r.Mend)
			}
			if !some {
				continue
			}
			a, b := restated(p, first, q.id, by*apart, nil), second
			if name == "bag" {
				a, b = restated(p, first, q.id, by, nil), restated(p, second, q.id, by, nil)
			}
			if v := results(a, b)[name].Verdict; v != decide.Pass {
				t.Fatalf("%s %s: %s, then %s", name, r.Figure(r.Value), r.Mend, v)
			}
		}
	})
	if !testing.Short() && (met[decide.Pass] == 0 || met[decide.Fail] == 0 || met[decide.TooClose] == 0) {
		t.Errorf("verdicts met: %v", met)
	}
}

// bent is a formula of extremes and branches, so deep.
func bent(t *rapid.T, depth int) string {
	if depth == 0 {
		by := rapid.SampledFrom([]string{"soled", "bare", "wall", "plane-60"}).Draw(t, "by")
		return fmt.Sprintf("(length by %s - %v in)", by, float64(rapid.IntRange(-8, 8).Draw(t, "off"))/16)
	}
	form := rapid.SampledFrom([]string{"max(%s, %s)", "min(%s, %s)", "%s + abs(%s - 38 in)", "(if lie > 61 deg then %s else %s)",
		"(if length by soled > 38 in and lie < 60.5 deg then %s else %s)"}).Draw(t, "form")
	return fmt.Sprintf(form, bent(t, depth-1), bent(t, depth-1))
}

// Stated with the half-width that would settle it, or a finer one, the same readings are too close no more; with a
// twentieth more they still are. Where no single one would, none stated a hundred times finer does.
func TestWhatWouldSettleItSettlesIt(t *testing.T) {
	met := map[string]int{}
	settles := func(t *rapid.T) {
		lie := rapid.IntRange(600, 620).Draw(t, "lie limit")
		limit := float64(rapid.IntRange(37*64, 39*64).Draw(t, "length limit")) / 64
		p, _ := compiled(t, fmt.Sprintf(`rulebook "Settled"
  decision three-way at 95 %%
use methods
rule lie "R"
  for     every iron
  require lie at most %d.%d deg
rule plane "R"
  for     every iron
  require length by plane-60 between %v in and %v in
rule both "R"
  for     every iron
  require lie <= %d.%d deg and length by soled >= %v in
rule drops "R"
  for     neighbours among iron by number
  require drop of length by wall is 1/2 in +/- %v in
rule bent "R"
  for     every iron
  require (%s) at most %v in
rule branches "R"
  for     every iron
  require %s <= %v in or (lie >= %v deg and length by axis >= %v in)
`, lie/10, lie%10, limit-0.25, limit, lie/10, lie%10, limit, float64(rapid.IntRange(1, 20).Draw(t, "tolerance"))/32,
			bent(t, 2), limit, bent(t, 1), limit, float64(lie)/10, limit))
		clubs := []*club.Club{benchable[0].club(t, p, 5), benchable[0].club(t, p, 6)}
		for i, c := range clubs {
			half := float64(rapid.IntRange(1, 20).Draw(t, "lie half")) / 10 * degree
			clubs[i] = restated(p, c, catalogue.Lie, float64(rapid.IntRange(-10, 10).Draw(t, "lie"))/10*degree, &half)
		}
		type key struct{ rule, clubs string }
		results := func(clubs []*club.Club) map[key]*judge.Result {
			out := map[key]*judge.Result{}
			p.NewJudge(judge.Options{All: true}).Set(&club.Set{Clubs: clubs, Rows: 2}, judge.Sink{Result: func(r *judge.Result) {
				out[key{r.Rule.Decl.Name.Text, fmt.Sprint(len(r.Subject.Clubs), r.Subject.Clubs[0].ID)}] = r
			}})
			return out
		}
		for k, r := range results(clubs) {
			if r.Verdict != decide.TooClose {
				if r.Settle != nil {
					t.Fatalf("%s of %s would be settled by %+v", r.Verdict, k.rule, r.Settle)
				}
				continue
			}
			s := r.Settle
			if s == nil {
				t.Fatalf("%s: nothing is said to settle it", k.rule)
			}
			met[fmt.Sprint(s.Within.Known(), len(s.Of))]++
			with := func(id catalogue.ID, of []*club.Club, half float64) bool {
				set := slices.Clone(clubs)
				for i, c := range clubs {
					if slices.ContainsFunc(of, func(of *club.Club) bool { return of.ID == c.ID }) {
						set[i] = restated(p, c, id, 0, &half)
					}
				}
				v := results(set)[k].Verdict
				return v == decide.Pass || v == decide.Fail
			}
			if !s.Within.Known() {
				for _, id := range []catalogue.ID{catalogue.LengthID, catalogue.Lie} {
					for _, c := range clubs {
						if with(id, []*club.Club{c}, inch/100_000) {
							t.Fatalf("%s: a closer %v of %s decides", k.rule, id, c.ID)
						}
					}
				}
				continue
			}
			property, _ := p.Schema.Lookup(s.Measure)
			for _, finer := range []float64{1, 2, 50} {
				if !with(property.ID, s.Of, s.Within.Base/finer) {
					t.Fatalf("%s is still too close with the %s within %v / %v", k.rule, s.Measure, s.Within, finer)
				}
			}
			if with(property.ID, s.Of, 1.05*s.Within.Base) {
				t.Fatalf("%s is decided with the %s within more than %v", k.rule, s.Measure, s.Within)
			}
		}
	}
	for tries := 0; tries == 0 || tries < 10 && (met["true 1"] == 0 || met["true 2"] == 0); tries++ {
		rapid.Check(t, settles)
	}
	if met["true 1"] == 0 || met["true 2"] == 0 {
		t.Errorf("met: %v", met)
	}
}

// While another setting of a club is open, a reading settles it only by making it fail.
func TestTwoOpenSettings(t *testing.T) {
	p, _ := compiled(t, `rulebook "Settings"
  decision three-way at 95 %
rule lie "R"
  for     every driver
  require lie at most 61 deg
`)
	none := math.NaN()
	for _, c := range []struct {
		lies [2]float64
		want string
	}{
		{[2]float64{60.9, 58}, "settled"}, {[2]float64{60.9, 60.95}, "nothing said"}, {[2]float64{60.9, none}, "none"},
		{[2]float64{60.9, 61.2}, "settled"}, {[2]float64{61.1, none}, "settled"}, {[2]float64{none, 61.1}, "settled"},
	} {
		half := degree / 2
		var at [2]*club.Club
		for i, lie := range c.lies {
			at[i] = restated(p, inClub(p, catalogue.Driver, "", 45, lie), catalogue.Lie, 0, &half)
			if math.IsNaN(lie) {
				at[i].Reset(p.Schema.Len())
				at[i].ID, at[i].Kind = "c", catalogue.Driver
			}
		}
		at[0].Next, at[0].Setting, at[1].Setting = at[1], "low", "high"
		set := &club.Set{Clubs: []*club.Club{at[0]}}
		p.NewJudge(judge.Options{All: true}).Set(set, judge.Sink{Result: func(r *judge.Result) {
			got := "settled"
			if r.Settle == nil {
				got = "nothing said"
			} else if !r.Settle.Within.Known() {
				got = "none"
			}
			if r.Verdict != decide.TooClose || got != c.want {
				t.Errorf("at %v deg: %s, %s, want %s", c.lies, r.Verdict, got, c.want)
			}
		}})
	}
}
