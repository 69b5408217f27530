package judge

// This file holds what becomes of sets that are too large: nothing about the whole of them passes unseen, and what each
// club has by itself is judged as in a small set.

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

const largeBook = `rulebook "Large"
  decision three-way at 95 %
rule flat "F"
  for     every iron
  require lie at most 63 deg
rule near-mean "M"
  for     every iron
  require lie at most 9 deg + (mean of lie among iron)
rule few "C"
  for     each set
  require count of iron at most 100
rule steps "S"
  for     neighbours among iron by loft
  require rise of loft at most 4 deg
`

// irons are n irons with a lie that is not sure.
func irons(p *Program, n int) *club.Set {
	s := &club.Set{File: "bag.csv", Rows: n}
	sheet := &club.Sheet{File: "bag.csv"}
	for i := range n {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Sheet, c.Row, c.Kind = fmt.Sprint("c", i), sheet, i+2, catalogue.Iron
		c.SetAmount(catalogue.Loft, float64(20+i)*1e6)
		c.SetAmount(catalogue.Lie, float64(58+i%7)*1e6)
		c.SetReading(club.Reading{Property: catalogue.Lie, HasHalf: true, Half: 0.5e6})
		s.Clubs = append(s.Clubs, c)
	}
	return s
}

// told are the verdicts of a set with their reasons, rule by rule, equal ones counted.
func told(j *Judge, s *club.Set) string {
	var lines []string
	n := map[string]int{}
	j.Set(s, Sink{Result: func(r *Result) {
		line := r.Rule.Decl.Name.Text + " " + r.Verdict.String()
		for _, l := range r.Lacks {
			line += l.Words
		}
		if n[line]++; n[line] == 1 {
			lines = append(lines, line)
		}
	}})
	for i, line := range lines {
		lines[i] = fmt.Sprint(n[line], " ", line)
	}
	return strings.Join(lines, "\n")
}

func TestAPartOfASetIsJudgedClubByClub(t *testing.T) {
	p := compileText(t, largeBook)
	j := p.NewJudge(Options{Day: book.NoDay, All: true})
	s := irons(p, 14)
	if got, want := told(j, s), "10 flat pass\n2 flat too-close\n2 flat fail\n14 near-mean pass\n1 few pass\n13 steps pass"; got != want {
		t.Errorf("whole:\n%s\nwant\n%s", got, want)
	}
	s.Part, s.Large = 1, "it is too large"
	rest := "\n1 near-mean unmeasuredit is too large\n1 few unmeasuredit is too large\n1 steps unmeasuredit is too large"
	const flat = "10 flat pass\n2 flat too-close\n2 flat fail"
	if got := told(j, s); got != flat+rest {
		t.Errorf("the first part:\n%s\nwant\n%s", got, flat+rest)
	}
	s.Part = 2
	if got := told(j, s); got != flat {
		t.Errorf("the second part:\n%s\nwant\n%s", got, flat)
	}
}

// Each of many clubs can be compared with a value of them all for so long only; the others are not measured.
func TestManyClubsAgainstAValueOfThemAll(t *testing.T) {
	p := compileText(t, largeBook)
	j := p.NewJudge(Options{Day: book.NoDay, All: true})
	s := irons(p, 100)
	j.Most = 20 * 100
	judged := map[decide.Verdict]int{}
	j.Set(s, Sink{Result: func(r *Result) {
		if r.Rule.Decl.Name.Text == "near-mean" {
			judged[r.Verdict]++
			if l := r.Lacks; r.Verdict == decide.Unmeasured && (l[0].Kind != value.ManyClubs || l[0].At.OneLine() != "mean of lie among iron") {
				t.Errorf("unmeasured because %+v", l)
			}
		}
	}})
	if judged[decide.Pass] == 0 || judged[decide.Unmeasured] < 70 || judged[decide.Pass]+judged[decide.Unmeasured] != 100 {
		t.Errorf("%v", judged)
	}
	j.Most = eval.MaxSpent
	if text := told(j, s); !strings.Contains(text, "100 near-mean pass") {
		t.Errorf("the next set:\n%s", text)
	}
}
