package judge

// The short way tells only what the recording walk tells too: random bags, with data
// missing, methods mixed, readings repeated and half-widths stated, are judged with and
// without it.

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

const shortcuts = converting + `
method axis "Along the axis"
  covers  every putter, iron
  stop    along axis
  top     at cap end
  reads   to 1/16 in
  ruler   within 1/32 in
allowance cap 1/8 in within 1/32 in
rule band "Between two lengths"
  for     every iron
  require length by soled between 36 in and 38 in
rule steps "Half an inch a number"
  for     neighbours among iron by number
  require drop of length by plane-60 per number is 1/2 in +/- 1/4 in
rule gaps "Lofts"
  for     neighbours among iron by number
  require rise of loft between 2 deg and 5 deg
rule lies "Lies"
  for     every iron
  require lie at most 62 deg
rule lifted "An exception"
  for     every iron
  require lie at most 60 deg
  unless  hand = left: at most 62 deg
  unless  loft > 30 deg: exempt
let lean = lie
rule picked "Those of a hand"
  for     every iron where hand = right and number >= 5
  require lean at most 60 deg
rule many "Irons"
  for     each set
  require count of iron at most 4
rule longest-of "The longest iron"
  for     each set
  require longest of length by soled among iron at most 38 in
rule level "Evenly laid out"
  for     each set
  require spread of lie among iron at most 4 deg
rule band-ordered "What was ordered"
  for     every iron
  require ordered length by soled between 36 in and 38 in
rule as-ordered "As it was ordered"
  for     every iron
  require length by soled within 1/2 in of ordered length by soled
  unless  ordered hand = right and not has ordered loft: exempt
rule steps-ordered "Half an inch a number was ordered"
  for     neighbours among iron by number
  require drop of ordered length by plane-60 per number is 1/2 in +/- 1/4 in
rule lie-or-hand "As it was ordered, or left"
  for     every iron
  require lie <= ordered lie or ordered hand = left
rule near "The irons near their order"
  for     each set
  require highest of (abs(lie - ordered lie)) among iron at most 2 deg
`

func anyBag(t *rapid.T, p *Program) *club.Set {
	s := &club.Set{Name: "bag", File: "bag.csv"}
	sheet := &club.Sheet{File: "bag.csv", Order: &club.Sheet{File: "order.csv"}}
	row := func(i int, sheet *club.Sheet) *club.Club {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Sheet, c.Row = fmt.Sprint("c", i), sheet, i+2
		c.Kind = rapid.SampledFrom([]catalogue.Kind{catalogue.Iron, catalogue.Iron, catalogue.Iron, catalogue.Putter}).Draw(t, "kind")
		there := func() bool { return rapid.IntRange(0, 7).Draw(t, "there") > 0 }
		angle := func(id catalogue.ID, from float64) {
			if !there() {
				return
			}
			c.SetAmount(id, (from+rapid.SampledFrom([]float64{0, 1, 2, 3.5, 5, 6}).Draw(t, "angle"))*1e6)
			if !there() {
				c.SetReading(club.Reading{Property: id, HasHalf: true, Half: 0.5e6})
			}
		}
		if there() {
			c.SetAmount(catalogue.Number, float64(rapid.IntRange(4, 7).Draw(t, "number")))
		}
		angle(catalogue.Lie, 57)
		angle(catalogue.Loft, 26)
		if there() {
			c.SetText(catalogue.Hand, rapid.SampledFrom([]string{"left", "right"}).Draw(t, "hand"))
		}
		if there() {
			c.Method = rapid.SampledFrom([]string{"soled", "plane-60", "axis"}).Draw(t, "method")
			n := rapid.SampledFrom([]float64{36, 36.5, 37, 37.25, 37.5, 38, 38.02}).Draw(t, "length") * 25.4e6
			c.SetAmount(catalogue.LengthID, n)
			switch rapid.IntRange(0, 5).Draw(t, "reading") {
			case 0:
				c.SetReading(club.Reading{Property: catalogue.LengthID, HasHalf: true, Half: 25.4e6 / 16})
			case 1:
				c.SetReading(club.Reading{Property: catalogue.LengthID, Values: []float64{n - 25.4e5, n + 25.4e5}})
			}
		}
		return c
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "clubs") {
		c := row(i, sheet)
		if rapid.IntRange(0, 7).Draw(t, "ordered") > 0 {
			c.Order = row(i, sheet.Order)
			c.Order.Loose = rapid.IntRange(0, 9).Draw(t, "refused") == 0
		}
		s.Clubs = append(s.Clubs, c)
	}
	return s
}

func TestShortWayTellsWhatTheWalkTells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decision := rapid.SampledFrom([]string{"simple", "three-way at 95 %", "guarded acceptance at 90 %", "guarded rejection at 99 %"}).Draw(t, "decision")
		p, _ := converted(nil, strings.Replace(shortcuts, "three-way at 95 %", decision, 1))
		quick, whole := p.NewJudge(Options{Day: book.NoDay}), p.NewJudge(Options{Day: book.NoDay, All: true})
		bare := p.NewJudge(Options{Day: book.NoDay, All: true, Bare: true})
		for range 3 {
			s := anyBag(t, p)
			judged := func(j *Judge) (t Tally, all string) {
				t = j.Set(s, Sink{Result: func(r *Result) {
					all += fmt.Sprintln(r.Rule.Decl.Name.Text, r.Subject, r.Verdict)
				}})
				return t, all
			}
			a, _ := judged(quick)
			b, results := judged(whole)
			c, given := judged(bare)
			if a != b || c != b || given != results {
				t.Fatalf("the short way counts %+v, the walk %+v; bare it gives %+v,\n%s\nand the walk\n%s", a, b, c, given, results)
			}
		}
	})
}

// What the short way gives as value and standard uncertainty is what the walk gives.
func TestShortWayGivesTheSameUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, _ := converted(nil, shortcuts)
		j := p.NewJudge(Options{Day: book.NoDay})
		s := anyBag(t, p)
		clear(j.Subjects)
		for _, r := range p.rules {
			x := eval.Env{Bench: j.Bench, Info: r.Book.Info, Bag: &eval.Bag{Set: s, Clubs: s.Clubs}}
			compare := func() {
				n, u, ok := x.Number(r.formula, true)
				if !ok || r.Bound == nil {
					return
				}
				w := x.Eval(r.Value.Expr)
				if w.Kind != value.Number || w.Unsure != nil || math.Abs(w.Num-n) > 1e-9*math.Abs(n) || math.Abs(w.Uncertainty()-u.U) > 1e-9*u.U {
					t.Fatalf("%s: %v ± %v, the walk gives %v ± %v (%v)", r.Decl.Name.Text, n, u, w.Num, w.Uncertainty(), w.Unsure)
				}
			}
			for i, c := range s.Clubs {
				if x.Club = c; i > 0 {
					x.First, x.Second = s.Clubs[i-1], c
				}
				if r.Subject == ast.OfClub || r.Subject == ast.OfNeighbours && i > 0 {
					compare()
				}
			}
		}
	})
}
