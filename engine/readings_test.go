package engine_test

// What two readings of one club share and what they do not.

import (
	"math"
	"testing"

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
