package judge

import (
	"fmt"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

const passing = `rulebook "A bag that passes"
method flat "Flat on the bench"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/8 in
rule longest "No club but the putter is longer than 46 in"
  for     every club except putter
  require length by flat at most 46 in allowing 0.2 in
rule lies "Lies stay under 80 degrees"
  for     every club
  require lie at most 80 deg
rule steps "Half an inch a number"
  for     neighbours among iron by number
  require drop of length by flat per number is 1/2 in +/- 1/8 in
rule bag-size "At most fourteen"
  for     each set
  require count of club at most 14
rule moments "A formula"
  for     every iron
  require (lie + loft) at most 130 deg
rule lofty "A condition"
  for     every iron
  require loft > 15 deg and lie > 50 deg
`

// compileText makes a program of one book.
func compileText(tb testing.TB, text string) *Program {
	schema := catalogue.NewSchema()
	tree, mistakes := parser.Parse(source.NewFile("bench.ferrule", text))
	checked, more := check.Check(tree, check.Options{Name: "bench.ferrule", Schema: schema})
	if mistakes.HasErrors() || more.HasErrors() {
		tb.Fatal(mistakes, more)
	}
	return Compile([]*book.Book{checked}, schema)
}

// fourteen is a bag of irons that passes.
func fourteen(tb testing.TB) (*Program, *club.Set) {
	p := compileText(tb, passing)
	s := &club.Set{Name: "bag"}
	for i := range 14 {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Kind, c.Method = string(rune('a'+i)), catalogue.Iron, "flat"
		c.SetAmount(catalogue.Number, float64(i+1))
		c.SetAmount(catalogue.LengthID, (40-float64(i)/2)*25.4e6)
		c.SetAmount(catalogue.Lie, (58+float64(i)/2)*1e6)
		c.SetAmount(catalogue.Loft, (16+3*float64(i))*1e6)
		s.Clubs = append(s.Clubs, c)
	}
	return p, s
}

// Where everything passes, judging takes memory for a bag at most, none for a club: twice
// the clubs take no more.
func TestPassingClubsTakeNoMemory(t *testing.T) {
	p, s := fourteen(t)
	j := p.NewJudge(Options{Day: book.NoDay})
	var tally Tally
	for range 100 { // the formulas are compiled by now
		tally = j.Set(s, Sink{})
	}
	if pass := tally.Verdicts[decide.Pass]; pass != 14*4+13+1 {
		t.Fatalf("%d passes: %+v", pass, tally)
	}
	simple := p.NewJudge(Options{Day: book.NoDay, Rules: func(r *book.Rule) bool {
		return r.Decl.Name.Text != "moments" && r.Decl.Name.Text != "lofty"
	}})
	half := *s
	half.Clubs = s.Clubs[:7]
	of := func(s *club.Set) float64 { return testing.AllocsPerRun(100, func() { simple.Set(s, Sink{}) }) }
	if seven, fourteen := of(&half), of(s); seven != fourteen {
		t.Errorf("a bag of 7 takes %v allocations, one of 14 %v", seven, fourteen)
	}
}

func BenchmarkJudgeBag(b *testing.B) {
	p, s := fourteen(b)
	for _, c := range []struct {
		name string
		all  bool
	}{{"counting passes", false}, {"recording passes", true}} {
		b.Run(c.name, func(b *testing.B) {
			j := p.NewJudge(Options{Day: book.NoDay, All: c.all})
			b.ReportAllocs()
			for b.Loop() {
				j.Set(s, Sink{})
			}
			b.ReportMetric(14*float64(b.N)/b.Elapsed().Seconds(), "clubs/s")
		})
	}
}

// A stock list without sets is one large set: its neighbours take time in proportion, whatever was refused or is not known.
func BenchmarkNeighboursOfALargeSet(b *testing.B) {
	p := compileText(b, "rulebook \"R\"\nrule steps \"S\"\n  for neighbours among iron where hand = right by loft\n  require rise of loft at most 5 deg\n")
	for _, n := range []int{5000, 20000} {
		for _, tenth := range []string{"refused", "without a hand", "without a loft"} {
			s := &club.Set{}
			for i := range n {
				c := &club.Club{}
				c.Reset(p.Schema.Len())
				c.ID, c.Kind, c.Row = "c", catalogue.Iron, i+2
				loft := float64(20e6 + i*7919%n*1000)
				if i%10 > 0 || tenth != "without a hand" {
					c.SetText(catalogue.Hand, "right")
				}
				if i%10 > 0 || tenth != "without a loft" {
					c.SetAmount(catalogue.Loft, loft)
				}
				if i%10 > 0 || tenth != "refused" {
					s.Clubs = append(s.Clubs, c)
					continue
				}
				c.Loose = true
				s.Refused = append(s.Refused, club.Refusal{Row: club.Row{Row: c.Row}, Club: c})
			}
			b.Run(fmt.Sprintf("%d, a tenth %s", n, tenth), func(b *testing.B) {
				j := p.NewJudge(Options{Day: book.NoDay})
				b.ReportAllocs()
				for b.Loop() {
					j.Set(s, Sink{})
				}
			})
		}
	}
}

// A bag of irons read to an eighth, whose spread is drawn: surely inside the limit, and near it.
func BenchmarkDrawnSpread(b *testing.B) {
	for _, c := range []struct{ name, limit string }{{"inside", "1 in"}, {"near the limit", "0.11 in"}} {
		b.Run(c.name, func(b *testing.B) {
			p := compileText(b, passing+`rule alike "All of a length"
  for      each set
  require  spread of length by flat among iron at most `+c.limit+`
  decision three-way at 95 %
`)
			_, s := fourteen(b)
			for _, club := range s.Clubs {
				club.Unset(catalogue.LengthID)
				club.SetAmount(catalogue.LengthID, 37*25.4e6)
			}
			j := p.NewJudge(Options{Day: book.NoDay, All: true, Rules: func(r *book.Rule) bool { return r.Decl.Name.Text == "alike" }})
			for b.Loop() {
				j.Set(s, Sink{})
			}
		})
	}
}
