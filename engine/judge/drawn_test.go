package judge_test

// Verdicts on values that are drawn, compared with the verdicts on clubs that are drawn.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Random formulas: the probability of a value that is drawn is the share of clubs that pass simply, their
// measurements drawn within the half-widths of the club's.
func TestProbabilitiesAgainstDrawnClubs(t *testing.T) {
	random := rand.New(rand.NewPCG(101, 2008))
	s := scribe{random.IntN}
	const formulas, tries = 120, 2500
	var rules [formulas]string
	for i := range rules {
		rules[i] = s.angle(1 + i%3).rule
	}
	compiled := func(decision string, limits []float64) *judge.Program {
		var text strings.Builder
		fmt.Fprintf(&text, "rulebook \"Drawn\"\n  decision %s\n%s", decision, lets)
		for i, f := range rules {
			fmt.Fprintf(&text, "rule r%d \"R\"\n  for every club\n  require (%s) at most %.6f deg\n", i, f, limits[i])
		}
		p, _ := compiled(t, text.String())
		return p
	}
	p := compiled("simple", make([]float64, formulas))
	c := &club.Club{}
	c.Reset(p.Schema.Len())
	c.ID, c.Kind = "c", catalogue.Iron
	for _, m := range measured { // near one another, and near what they are compared with
		u := unit.Lookup(m.unit)
		n := map[string]float64{"loft": 60.3, "lie": 59.9, "bounce": 10.2, "mass": 400}[m.name]
		c.SetAmount(m.id, u.ToBase(n))
		c.SetReading(club.Reading{Property: m.id, Half: u.ToBase((0.3 + 0.7*random.Float64()) * m.half), HasHalf: true})
	}
	limits := make([]float64, formulas) // near the values
	for i, r := range judged(p, c) {
		limits[i] = r.Value.Base/degree + (2*random.Float64()-1)*2*r.Uncertainty.Base/degree
		if limits[i] < 0 {
			rules[i], limits[i] = "-("+rules[i]+")", -limits[i]
		}
	}
	p = compiled("simple", limits)
	failures := map[string]float64{}
	one := &club.Club{}
	one.Reset(p.Schema.Len())
	one.ID, one.Kind = "c", catalogue.Iron
	j := p.NewJudge(judge.Options{Day: book.NoDay})
	for range tries {
		for _, m := range measured {
			n, _ := c.Amount(m.id)
			one.SetAmount(m.id, n+(2*random.Float64()-1)*c.Reading(m.id).Half)
		}
		j.Set(&club.Set{Clubs: []*club.Club{one}, Rows: 1}, judge.Sink{Result: func(r *judge.Result) { failures[r.Rule.Decl.Name.Text]++ }})
	}
	seen, sum := 0, 0.0
	for i, r := range judged(compiled("guarded acceptance at 95 %", limits), c) {
		if !r.Simulated {
			continue
		}
		seen++
		share := 1 - failures[r.Rule.Decl.Name.Text]/tries
		sigma := math.Sqrt(max(r.Probability*(1-r.Probability), 1e-4)/tries) + 0.001
		off := (share - r.Probability) / sigma
		sum += off * off
		if math.Abs(off) > 4 {
			t.Errorf("%s at most %v deg: %.4f of drawn clubs pass, the probability is %.4f", rules[i], limits[i], share, r.Probability)
		}
	}
	t.Logf("%d drawn, mean square %.2f", seen, sum/float64(seen))
	if seen < formulas/5 || sum > 1.5*float64(seen) {
		t.Errorf("%d of %d formulas were drawn; their probabilities are off by %.2f times the expected square", seen, formulas, sum/float64(seen))
	}
}

// A branch that is far from everything as it was read, and near in the other case. By hand: 61.2 deg, read within half a
// degree, is above 61 deg in 0.7 of all cases, and within 0.2 deg of 61.2 deg in 0.4.
func TestABranchIsNotNearAsRead(t *testing.T) {
	for formula, want := range map[string]float64{
		"max((if lie > 61 deg then 58 deg else 64 deg), 60 deg)":                           0.7,
		"abs(if lie > 61 deg then 1 deg else -70 deg)":                                     0.7,
		"if (if lie > 61 deg then 58 deg else 64 deg) > 62 deg then 70 deg else 60 deg":    0.7,
		"min(max(59 deg + abs(lie - 61.2 deg) * 10, 60 deg), 90 deg)":                      0.4,
		"max((if lie > 61 deg and loft < 90 deg then 58 deg else 64 deg), 57 deg, bounce)": 0.7,
		"max((if not (lie > 61 deg) then 64 deg else min(bounce, lie - 20 deg)), 60 deg)":  0.7,
		"(if lie > 61 deg then 1 else 10) * (if lie > 61 deg then 1 else 10) * 1 deg":      0.7,
		"100 deg / (if lie > 61 deg then 10 else 1)":                                       0.7,
		"(if lie > 61 deg then (if lie < 61.4 deg then 58 deg else 64 deg) else 64 deg)":   0.4,
	} {
		p, _ := compiled(t, "rulebook \"Near\"\n  decision three-way at 95 %\nrule r \"R\"\n  for every club\n  require ("+formula+") at most 61 deg\n")
		c := inClub(p, catalogue.Iron, "", 38, 61.2)
		c.SetAmount(catalogue.Loft, 30*degree)
		c.SetAmount(catalogue.Bounce, 10*degree)
		half := degree / 2
		c.SetReading(club.Reading{Property: catalogue.Lie, Half: half, HasHalf: true})
		for _, r := range judged(p, c) {
			if !(math.Abs(r.Probability-want) <= 0.002) {
				t.Errorf("%s: inside with %.4f, by hand %v", formula, r.Probability, want)
			}
		}
	}
}
