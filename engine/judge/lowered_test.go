package judge_test

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/catalogue"
)

// A formula that holds something the walk alone knows, beside what could be loaded, is walked however often it is asked:
// counting passes comes to the verdicts that recording them does. So does one that is beyond all range on its way. By
// hand: loft 30, lie 60, the chart 60 degrees.
func TestCountingIsRecording(t *testing.T) {
	big := "* 1" + strings.Repeat("0", 38)
	huge := strings.Repeat(big+" ", 8)
	for _, c := range []struct {
		rule string
		want decide.Verdict
	}{
		{"require lie at most 62 deg\n  unless loft > 10 deg and count of readings of loft < 3: at most 50 deg", decide.Fail},
		{"require lie - target at least 1 deg", decide.Fail},
		{"require loft > target and has lie", decide.Fail},
		{"require lie - target at most 1 deg", decide.Pass},
		{"require not (loft " + huge + "- lie " + huge + "> 1 deg)", decide.Unmeasured},
		{"require loft / (lie " + huge + "/ 1 deg) at most 1 deg", decide.Unmeasured},
	} {
		p, _ := compiled(t, "rulebook \"X\"\n  decision simple\nchart target of lie per club\n  iron = 60 deg\nrule a \"A\"\n  for every iron\n  "+c.rule+"\n")
		for _, all := range []bool{true, false} {
			j := p.NewJudge(judge.Options{All: all})
			s := &club.Set{Name: "bag", File: "bag.csv"}
			for i := range 600 {
				k := &club.Club{}
				k.Reset(p.Schema.Len())
				k.ID, k.Sheet, k.Row, k.Kind = fmt.Sprint("c", i), &club.Sheet{File: "bag.csv"}, i+2, catalogue.Iron
				k.SetAmount(catalogue.Loft, 30e6)
				k.SetAmount(catalogue.Lie, 60e6)
				s.Clubs = append(s.Clubs, k)
			}
			if tally := j.Set(s, judge.Sink{}); tally.Verdicts[c.want] != len(s.Clubs) {
				t.Errorf("%s\npasses recorded %v: %+v; expected %s for each", c.rule, all, tally, c.want)
			}
		}
	}
}
