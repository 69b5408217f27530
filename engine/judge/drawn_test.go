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
