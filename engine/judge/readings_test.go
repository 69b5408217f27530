package judge_test

// What two readings of one club share and what they do not.

import (
	"math"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Two readings of one club, its length and one that a book keeps from before, each have the graduation and the
// lie at which the club was soled of their own: their difference is unsure by √2 times these. The
// ruler of one method, a cap and a crown are the same in both and cancel. Worked out by hand for a lie of
// 61 deg and a reach of 1.4 in: a degree off the lie is 1.4 in/sin 61° times 0.017453, 0.02794 in; so
// √2 √((1/32)² + 0.02794²) in/√3 = 0.03423 in bare, √2 √((1/16)² + 0.02794²) in/√3 = 0.05590 in soled.
func TestReadingsOfOneClubAreOfTheirOwn(t *testing.T) {
	p, _ := compiled(t, `rulebook "Before and after"
  decision three-way at 95 %
use methods
property bare-before  length by bare
property bare-after   length by bare
property soled-before length by soled
rule bare "R"
  for     every iron
  require (bare-after - bare-before) at most 0.01 in
rule soled "R"
  for     every iron
  require (length by soled - soled-before) at most 0.01 in
rule plane "R"
  for     every iron
  require (length by plane-60 - soled-before by plane-60) at most 0.01 in
`)
	c := inClub(p, catalogue.Iron, "soled", 38, 61)
	for _, name := range []string{"bare-before", "bare-after", "soled-before"} {
		q, _ := p.Schema.Lookup(name)
		c.SetAmount(q.ID, 38*inch)
	}
	want := []float64{0.03423, 0.05590, 0.05590}
	for i, r := range judged(p, c) {
		if math.Abs(r.Uncertainty.Base/inch-want[i]) > 0.00001 {
			t.Errorf("%s: u = %.5f in, want %.5f in", r.Rule.Decl.Name.Text, r.Uncertainty.Base/inch, want[i])
		}
	}
}

// Two readings 0.4 in apart leave one degree of freedom, so that the error has a Cauchy distribution: the
// probability is 1/2 + arctan((46 in - value)/u)/π. Taken for normal it would be 0.97 at 45 5/8 in, a pass.
func TestTwoReadingsAreNotTakenForCertain(t *testing.T) {
	p, _ := compiled(t, `rulebook "Twice"
method fine "Fine"
  covers every club
  stop   along axis
  top    at cap edge
  reads  to 1/8 in
rule at-most "R"
  for      every iron
  require  length by fine at most 46 in
  decision guarded acceptance at 95 %
`)
	twice := func(low, high float64) *club.Club {
		c := inClub(p, catalogue.Iron, "fine", (low+high)/2, 61)
		c.SetReading(club.Reading{Property: catalogue.LengthID, Values: []float64{low * inch, high * inch}})
		return c
	}
	for _, mean := range []float64{45.625, 44.5, 44.7} {
		r := judged(p, twice(mean-0.2, mean+0.2))[0]
		u := math.Hypot(0.2, 1./16/math.Sqrt(3))
		want := 0.5 + math.Atan((46-mean)/u)/math.Pi
		if math.Abs(r.Probability-want) > 1e-9 || (r.Verdict == decide.Pass) != (want >= 0.95) {
			t.Errorf("%v in: %s with p %.5f, want %.5f", mean, r.Verdict, r.Probability, want)
		}
		if pass := 46 - u/math.Tan(0.05*math.Pi); math.Abs(r.PassTo.Base/inch-pass) > 1e-9 {
			t.Errorf("passes up to %.6f in, want %.6f in", r.PassTo.Base/inch, pass)
		}
	}
	j := p.NewJudge(judge.Options{Day: book.NoDay})
	for _, apart := range []float64{0, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4} { // hardly any: the graduation is all that counts
		l := j.Length(twice(37, 37+apart), nil, p.Method("fine"))
		if want := 2 * 1. / 16 / math.Sqrt(3); math.Abs(l.Expanded.Base/inch-want) > 1e-4*want || l.Coverage != 2 {
			t.Errorf("readings %v in apart: %v in with k = %v, want %v in", apart, l.Expanded.Base/inch, l.Coverage, want)
		}
	}
}
