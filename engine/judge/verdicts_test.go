package judge_test

// What must hold of verdicts whatever the figures are: they do not depend on the units in which a shop
// writes, nor get surer by knowing less, nor better by a tighter limit; and no number in a
// result is nonsense, whatever is in a sheet.

import (
	"fmt"
	"math"
	"math/big"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/sheet"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// judged are the results for one club, in the order of the rules.
func judged(p *judge.Program, c *club.Club) []*judge.Result {
	var out []*judge.Result
	p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(&club.Set{Clubs: []*club.Club{c}, Rows: 1},
		judge.Sink{Result: func(r *judge.Result) { out = append(out, r) }})
	return out
}

var decisions = []string{"simple", "guarded acceptance at 95 %", "guarded rejection at 90 %", "three-way at 95 %", "three-way at 60 %"}

// written is an exact amount, given in the first of some units, in any of them.
func written(t *rapid.T, amount *big.Rat, units ...string) string {
	one := func(name string) *big.Rat {
		q, _, err := unit.Scan("1 " + name)
		if err != nil {
			t.Fatalf("%v", err)
		}
		return q.Exact()
	}
	name := rapid.SampledFrom(units).Draw(t, "unit")
	x := new(big.Rat).Mul(amount, one(units[0]))
	x.Quo(x, one(name))
	n, exact := x.FloatPrec()
	if !exact {
		t.Fatalf("%v is no decimal number of %s", amount, name)
	}
	return x.FloatString(n) + " " + name
}

// A limit of 46 in and one of 1168.4 mm are one limit, and so it is with readings, half-widths and
// allowances: the verdict and all its numbers are the same in whatever unit each is written.
func TestUnitsChangeNoVerdict(t *testing.T) {
	met := map[string]int{}
	drawUntil(t, met, []string{"pass", "fail", "too-close"}, func(t *rapid.T) {
		type sized struct {
			value, reading string
			units          []string
			grain          int64 // parts of the unit
			about          int64
		}
		of := []sized{
			{"length by soled", "length", []string{"in", "mm", "cm", "m"}, 64, 38}, {"length by plane-60", "length", []string{"in", "mm", "cm", "m"}, 64, 38},
			{"(mass + 0 g)", "mass", []string{"oz", "g", "kg", "lb", "grain"}, 16, 14}, {"loft", "loft", []string{"deg", "°"}, 10, 30},
		}[rapid.IntRange(0, 3).Draw(t, "what")]
		part := func(low, high int, what string) *big.Rat {
			return big.NewRat(int64(rapid.IntRange(low, high).Draw(t, what)), of.grain)
		}
		middle := new(big.Rat).Add(big.NewRat(of.about, 1), part(-30, 30, "limit"))
		read := new(big.Rat).Add(middle, part(-20, 20, "from the limit"))
		wide, allowed, half := part(1, 16, "wide"), part(0, 8, "allowing"), part(0, 8, "half-width")
		bound := rapid.IntRange(0, 6).Draw(t, "bound")
		decision := rapid.SampledFrom(decisions).Draw(t, "decision")
		one := func() *judge.Result {
			w := func(r *big.Rat) string { return written(t, r, of.units...) }
			high := new(big.Rat).Add(middle, wide)
			text := []string{"at most " + w(middle), "at least " + w(middle), "below " + w(middle), "above " + w(middle),
				"between " + w(middle) + " and " + w(high), "is " + w(middle) + " +/- " + w(wide), "within " + w(wide) + " of middle"}[bound]
			if allowed.Sign() > 0 {
				text += " allowing " + w(allowed)
			}
			reading := of.reading + " " + w(read)
			if half.Sign() > 0 {
				reading += " +/- " + w(half)
			}
			if of.reading == "length" {
				reading += " by soled"
			}
			lie := written(t, big.NewRat(61, 1), "deg", "°")
			p, b := compiled(t, fmt.Sprintf("rulebook \"Units\"\nuse methods\nlet middle = %s + 0 %s\nrule r \"R\"\n  for every iron\n  require %s %s\n  decision %s\ncase \"C\"\n  club c: iron 5, lie %s, %s\n  expect r on c: pass\n",
				w(middle), of.units[0], of.value, text, decision, lie, reading))
			outcomes := trial.Run(p, b)
			if len(outcomes) != 1 || outcomes[0].Got == nil {
				t.Fatalf("no result: %+v", outcomes)
			}
			return outcomes[0].Got
		}
		a, b := one(), one()
		met[a.Verdict.String()]++
		same := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
		if a.Verdict != b.Verdict || a.Value.Base != b.Value.Base || a.Uncertainty.Base != b.Uncertainty.Base || !same(a.Probability, b.Probability) ||
			a.Lower.Base != b.Lower.Base || a.Upper.Base != b.Upper.Base || a.Margin.Base != b.Margin.Base {
			t.Fatalf("%s and %s for one reading: %v ± %v in %v to %v, and %v ± %v in %v to %v", a.Verdict, b.Verdict,
				a.Value.Base, a.Uncertainty.Base, a.Lower.Base, a.Upper.Base, b.Value.Base, b.Uncertainty.Base, b.Lower.Base, b.Upper.Base)
		}
	})
	if met["unmeasured"] > 0 {
		t.Errorf("verdicts met: %v", met)
	}
}

// One comparison is the bound that it says, whichever way round it is written: every number of the result is the same,
// and so are the words of the value and the limit.
func TestAComparisonIsABound(t *testing.T) {
	kinds := []struct{ bound, sign, turned string }{{"at most", "<=", ">="}, {"at least", ">=", "<="}, {"below", "<", ">"}, {"above", ">", "<"}}
	for _, k := range kinds {
		for _, decision := range decisions {
			for _, value := range []struct{ text, limit string }{{"lie", "62 deg"}, {"length by soled", "38 in"}, {"(lie - loft)", "(30 deg + 2 deg)"}} {
				var all []*judge.Result
				for _, required := range []string{value.text + " " + k.bound + " " + value.limit, value.text + " " + k.sign + " " + value.limit,
					value.limit + " " + k.turned + " " + value.text} {
					p, b := compiled(t, fmt.Sprintf("rulebook \"Compared\"\nuse methods\nrule r \"R\"\n  for every iron\n  require %s\n  decision %s\n"+
						"case \"C\"\n  club c: iron 5, lie 62 +/- 0.1 deg, loft 29.9 deg, length 38 in by soled\n  expect r on c: pass\n", required, decision))
					got := trial.Run(p, b)[0].Got
					if words := k.bound + " " + value.limit; got.Bound.Words() != words || got.Rule.Value.Expr.Place().OneLine() != value.text {
						t.Errorf("%s: value %q, limit %q", required, got.Rule.Value.Expr.Place().OneLine(), got.Bound.Words())
					}
					all = append(all, got)
				}
				for _, one := range all[1:] {
					if one.Verdict != all[0].Verdict || one.Value != all[0].Value || one.Lower != all[0].Lower || one.Upper != all[0].Upper ||
						one.Open != all[0].Open || one.Margin != all[0].Margin || one.Over != all[0].Over || one.Under != all[0].Under {
						t.Errorf("%s %s %s, %s: %+v and %+v", value.text, k.sign, value.limit, decision, one, all[0])
					}
				}
			}
		}
	}
}

// Under a three-way decision more uncertainty settles nothing (JCGM 106:2012, 8.1 to 8.3, from memory: acceptance
// and rejection zones shrink as u grows): what was too close stays so, what was told may
// become too close and never turns round. What is drawn may well fail, as the square of an error does when the
// error grows.
func TestALargerUncertaintySettlesNothing(t *testing.T) {
	met := map[[2]decide.Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		s := scribe{func(below int) int { return rapid.IntRange(0, below-1).Draw(t, "n") }}
		limit := rapid.IntRange(37*64, 39*64).Draw(t, "limit")
		p, _ := compiled(t, fmt.Sprintf(`rulebook "Larger"
  decision three-way at 95 %%
%suse methods
rule formula "R"
  for     every iron
  require %v
rule bounded "R"
  for     every iron
  require (%v) between 5 deg and %v
rule longest "R"
  for     every iron
  require length by plane-60 at most %d/64 in
rule both "R"
  for     every iron
  require length by plane-60 < %d/64 in and not (lie > 60 deg)
`, lets, s.truth(2), s.angle(2), s.literal("deg", 10, 30, 60), limit, limit))
		unsure, surer := inClub(p, catalogue.Iron, "soled", 38, 61), inClub(p, catalogue.Iron, "soled", 38, 61)
		set := func(id catalogue.ID, v, half float64) {
			more := half * rapid.Float64Range(1, 4).Draw(t, "times")
			surer.SetAmount(id, v)
			unsure.SetAmount(id, v)
			surer.SetReading(club.Reading{Property: id, Half: half, HasHalf: true})
			unsure.SetReading(club.Reading{Property: id, Half: more, HasHalf: true})
		}
		for _, m := range measured {
			u := unit.Lookup(m.unit)
			set(m.id, u.ToBase(rapid.Float64Range(m.low, m.high).Draw(t, m.name)), u.ToBase(rapid.Float64Range(0.01, 3).Draw(t, "half")*m.half))
		}
		set(catalogue.LengthID, rapid.Float64Range(37, 39).Draw(t, "length")*inch, rapid.Float64Range(0.01, 0.5).Draw(t, "half")*inch)
		before, after := judged(p, surer), judged(p, unsure)
		for i, r := range before {
			if drawn(r.Steps) || drawn(after[i].Steps) {
				continue
			}
			met[[2]decide.Verdict{r.Verdict, after[i].Verdict}]++
			if after[i].Verdict != r.Verdict && after[i].Verdict != decide.TooClose {
				t.Fatalf("%s: %s, with more uncertainty %s", r.Rule.Decl.Name.Text, r.Verdict, after[i].Verdict)
			}
		}
	})
	for _, v := range []decide.Verdict{decide.Pass, decide.Fail, decide.TooClose} {
		if met[[2]decide.Verdict{v, decide.TooClose}] == 0 && !testing.Short() {
			t.Errorf("no %s was met that is too close with more uncertainty: %v", v, met)
		}
	}
}

// drawn reports whether a number was drawn.
func drawn(steps []eval.Step) bool {
	return slices.ContainsFunc(steps, func(s eval.Step) bool { return s.What == eval.StepSimulation || drawn(s.Sub) })
}

// Whatever the decision, a club does no better by a limit that lies inside the other.
func TestATighterLimitHelpsNobody(t *testing.T) {
	rank := map[decide.Verdict]int{decide.Fail: 1, decide.TooClose: 2, decide.Pass: 3}
	worse := 0
	rapid.Check(t, func(t *rapid.T) {
		in := func(low, high int, what string) int { return rapid.IntRange(low, high).Draw(t, what) }
		low, wide := in(37*64, 39*64, "low"), in(0, 64, "wide")
		from, to := in(0, wide, "from"), in(0, wide, "to")
		from, to = low+min(from, to), low+max(from, to)
		allow := in(0, 16, "allowing")
		less := in(0, allow, "less")
		kind := in(0, 6, "bound")
		rule := func(name string, low, high, allow int, decision string) string {
			bound := []string{
				fmt.Sprintf("at most %d/64 in", high), fmt.Sprintf("at least %d/64 in", low), fmt.Sprintf("below %d/64 in", high), fmt.Sprintf("above %d/64 in", low),
				fmt.Sprintf("between %d/64 in and %d/64 in", low, high), fmt.Sprintf("is 38 in +/- %d/64 in", high-low), fmt.Sprintf("within %d/64 in of 38 in", high-low),
			}[kind]
			return fmt.Sprintf("rule %s \"R\"\n  for every iron\n  require length by plane-60 %s allowing %d/64 in\n  decision %s\n", name, bound, allow, decision)
		}
		decision := rapid.SampledFrom(decisions).Draw(t, "decision")
		p, _ := compiled(t, "rulebook \"Tighter\"\nuse methods\n"+rule("wide", low, low+wide, allow, decision)+rule("tight", from, to, less, decision))
		c := inClub(p, catalogue.Iron, "soled", float64(in(37*64, 40*64, "length"))/64, float64(in(55, 66, "lie")))
		r := judged(p, c)
		a, b := rank[r[0].Verdict], rank[r[1].Verdict]
		if a == 0 || b == 0 || b > a {
			t.Fatalf("%s, by the tighter limit %s", r[0].Verdict, r[1].Verdict)
		}
		if b < a {
			worse++
		}
	})
	if worse == 0 && !testing.Short() {
		t.Error("no verdict got worse by a tighter limit: nothing was shown")
	}
}

// A length brought to another method by a rule, read off there and brought back, is the reading.
func TestThereAndBackByRules(t *testing.T) {
	p, _ := compiled(t, `rulebook "There and back"
use methods
rule soled "R"
  for every club
  require length by soled at least 0 in
rule plane-60 "R"
  for every club except putter
  require length by plane-60 at least 0 in
rule wall "R"
  for every club except putter
  require length by wall at least 0 in
rule axis "R"
  for every putter
  require length by axis at least 0 in
rule bare "R"
  for every club
  require length by bare at least 0 in
`)
	value := func(t *rapid.T, c *club.Club, rule string) float64 {
		for _, r := range judged(p, c) {
			if r.Rule.Decl.Name.Text == rule && r.Value.Known() {
				return r.Value.Base / inch
			}
		}
		t.Fatalf("no value by %s", rule)
		return 0
	}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(catalogue.Kinds()).Draw(t, "kind")
		methods := []string{"soled", "bare", "plane-60", "wall"}
		if kind == catalogue.Putter {
			methods = []string{"soled", "bare", "axis"}
		}
		from, to := rapid.SampledFrom(methods).Draw(t, "from"), rapid.SampledFrom(methods).Draw(t, "to")
		length, lie := rapid.Float64Range(18, 50).Draw(t, "length"), rapid.Float64Range(30, 85).Draw(t, "lie")
		there := value(t, inClub(p, kind, from, length, lie), to)
		if back := value(t, inClub(p, kind, to, there, lie), from); math.Abs(back-length) > 1e-10 {
			t.Fatalf("%s, %v in by %s is %v in by %s and that %v in by %s", kind, length, from, there, to, back, from)
		}
	})
}

// finite walks through a result and names the first amount that is not a number.
func finite(v reflect.Value, at string) string {
	switch v.Kind() {
	case reflect.Pointer: // the others lead to the book and the units
		if s, ok := v.Interface().(*judge.Settle); ok && s != nil {
			return finite(v.Elem(), at)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if bad := finite(v.Index(i), fmt.Sprintf("%s[%d]", at, i)); bad != "" {
				return bad
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if name == "Probability" && math.IsNaN(v.Field(i).Float()) || !v.Type().Field(i).IsExported() {
				continue // there is none where u is 0 or unknown
			}
			if bad := finite(v.Field(i), at+"."+name); bad != "" {
				return bad
			}
		}
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Sprintf("%s is %v", at, f)
		}
	}
	return ""
}

// Whatever lie or half-width is in a sheet, sane or not, if its row is not refused then no amount of a result and no word of a
// report is "not a number" or without bounds.
func TestNoReadingMakesNonsense(t *testing.T) {
	p, b := compiled(t, `rulebook "Nonsense"
  decision three-way at 95 %
use methods
property tilt angle
let odd = lie / (lie - 60 deg) * 1 deg
rule plane "R"
  for     every club
  require length by plane-60 at most 46 in
rule soled "R"
  for     every club
  require length by soled between 30 in and 46 in
rule bare "R"
  for     every club
  require length by bare is 45 in +/- 1 in
rule axis "R"
  for     every club
  require length by axis at least 30 in
rule wall "R"
  for      every club
  require  length by wall < 50 in and lie < 80 deg
  decision guarded acceptance at 95 %
rule odd-one "R"
  for     every club
  require odd at most 5 deg
rule product "R"
  for     every club
  require (tilt * (lie / loft)) at most 5 deg
rule powers "R"
  for     every club
  require (tilt * (tilt / loft) * (tilt / loft) * (tilt / loft) * (tilt / loft)) at most 5 deg
`)
	met, refused := map[decide.Verdict]int{}, 0
	rapid.Check(t, func(t *rapid.T) {
		any := func(what string, sane ...string) string {
			wild := []string{"0", "0." + strings.Repeat("0", 38) + "1", "-30", "10", "58", "60", "89.9999999999", "90", "179.99999999999", "180", "360", "119.99999999", strings.Repeat("9", 40)}
			s := rapid.SampledFrom(append(append(wild, sane...), sane...)).Draw(t, what)
			if rapid.Bool().Draw(t, "stated") {
				s += " +/- " + rapid.SampledFrom([]string{"0", "1/16", "0." + strings.Repeat("0", 38) + "1", "1", "90", "200", strings.Repeat("9", 40)}).Draw(t, "half-width")
			}
			return s
		}
		row := strings.Join([]string{rapid.SampledFrom(catalogue.Kinds()).Draw(t, "kind").String(), rapid.SampledFrom([]string{"soled", "plane-60", "wall", "axis", "bare"}).Draw(t, "method"),
			any("length", "45", "45.9", "38", "34"), any("lie", "56", "61", "70"), any("loft", "10", "30"), any("tilt", "5", "2")}, ",")
		sheet, problem := sheet.Open("sheet.csv", strings.NewReader("club,by,length (in),lie (deg),loft (deg),tilt (deg)\n"+row+"\n"), sheet.Options{Schema: p.Schema})
		if problem != nil {
			t.Fatal(problem)
		}
		set, ok := sheet.Next()
		if !ok || len(set.Clubs) != 1 {
			refused++
			return
		}
		c := set.Clubs[0]
		results := judged(p, c)
		for _, r := range results {
			met[r.Verdict]++
			if bad := finite(reflect.ValueOf(*r), r.Rule.Decl.Name.Text); bad != "" {
				t.Fatalf("%s: %s", bad, row)
			}
		}
		for _, format := range report.CheckFormats() {
			var out strings.Builder
			w, err := report.New(&out, report.Options{Format: format, Depth: report.Full})
			if err != nil {
				t.Fatal(err)
			}
			s := report.NewSheaf(nil)
			s.Begin(set)
			for _, r := range results {
				w.Result(s, r)
			}
			w.Close(s, nil, nil)
			begun := w.Begin(&data.Head{Books: []*book.Book{b}, On: "2026-05-02"})
			added := w.Add(s)
			if ended := w.End(&data.Totals{RowsJudged: 1}); begun != nil || added != nil || ended != nil {
				t.Fatalf("%s: %v %v %v", format, begun, added, ended)
			}
			for _, bad := range []string{"NaN", "Inf", "∞"} {
				if strings.Contains(out.String(), bad) {
					t.Fatalf("%s: %s in\n%s", format, bad, out.String())
				}
			}
		}
	})
	if !testing.Short() && (met[decide.Pass] == 0 || met[decide.Fail] == 0 || met[decide.TooClose] == 0 || refused == 0) {
		t.Errorf("verdicts met: %v, and %d rows refused", met, refused)
	}
}
