package judge

import (
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

const converting = `rulebook "Lengths by another method"
  decision three-way at 95 %
method soled "Rule behind the shaft"
  covers  every club
  stop    at lie
  top     at cap edge
  reads   to 1/8 in
  lie-set within 1 deg
  ruler   within 1/64 in
method plane-60 "Sole against a 60 degree plane"
  covers  every club except putter
  stop    at 60 deg
  top     at cap end
  reads   to 1/16 in
  ruler   within 1/64 in
allowance crown 1/8 in within 1/32 in
head iron
  reach       1.4 in  within 0.2 in
  camber      14 in   within 4 in
  toe         3 in    within 0.2 in
  toe-radius  0.8 in  within 0.2 in
  heel        0.25 in within 0.1 in
  heel-radius 0.35 in within 0.1 in
rule longest "No iron is longer than 46 in"
  for     every iron
  require length by plane-60 at most 46 in
rule shortest "No iron is shorter than 18 in"
  for     every iron
  require length by plane-60 at least 18 in
`

// converted is a bag of irons read by the rule, judged by the plane.
func converted(tb testing.TB, text string) (*Program, *club.Set) {
	p := compileText(tb, text)
	s := &club.Set{Name: "bag"}
	for i := range 14 {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Kind, c.Method = string(rune('a'+i)), catalogue.Iron, "soled"
		c.SetAmount(catalogue.LengthID, (40-float64(i)/2)*25.4e6)
		c.SetAmount(catalogue.Lie, (58+float64(i)/2)*1e6)
		s.Clubs = append(s.Clubs, c)
	}
	return p, s
}

func BenchmarkJudgeConverted(b *testing.B) {
	simple := strings.Replace(strings.ReplaceAll(converting, "length by plane-60", "length by soled"), "three-way at 95 %", "simple", 1)
	for _, c := range []struct{ name, text string }{{"as read, simple", simple}, {"converted, three-way", converting}} {
		b.Run(c.name, func(b *testing.B) {
			p, s := converted(b, c.text)
			j := p.NewJudge(Options{Day: book.NoDay})
			b.ReportAllocs()
			for b.Loop() {
				j.Set(s, Sink{})
			}
			b.ReportMetric(14*float64(b.N)/b.Elapsed().Seconds(), "clubs/s")
		})
	}
}
