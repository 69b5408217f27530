package vet_test

// This file holds what is told of rules on what was ordered to what is told of the same rules on what was measured: to a
// book an ordered figure is one more quantity of a club.

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"testing"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/vet"
)

// keysOf are the codes of findings with their lines, and what the rules say of their witnesses.
func keysOf(found vet.Findings) []string {
	var out []string
	for _, f := range found.List {
		key := fmt.Sprint(f.Code, " in line ", f.Span.Line())
		if f.Witness != nil {
			for _, v := range f.Witness.Verdicts {
				key += fmt.Sprint(" ", v.Rule.Decl.Name.Text, " ", v.Verdict)
			}
		}
		out = append(out, key)
	}
	slices.Sort(out)
	return out
}

// judgedAgain has the rows of a witness judged with their order: each verdict is the one that was stated.
func judgedAgain(t *testing.T, p *judge.Program, f vet.Finding) bool {
	t.Helper()
	if f.Witness == nil || len(f.Witness.Rows) == 0 {
		return false
	}
	set, ok := space.ReadRows(p, f.Witness.Rows)
	got := map[string]decide.Verdict{}
	if ok {
		p.NewJudge(judge.Options{Day: f.Witness.On, All: true}).Set(set, judge.Sink{Result: func(r *judge.Result) {
			got[r.Rule.Decl.Name.Text] = decide.Worse(got[r.Rule.Decl.Name.Text], r.Verdict)
		}})
	}
	for _, v := range f.Witness.Verdicts {
		if v.Verdict != 0 && got[v.Rule.Decl.Name.Text] != v.Verdict {
			t.Errorf("%s: the rows get %v", said(f), got)
		}
	}
	return true
}

func TestWhatWasOrderedIsOneMoreQuantity(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	told, witnesses := 0, 0
	for k := range 90 {
		text, of := randomBook(r, false), []string{"loft", "lie", "loft|lie", "hand"}[r.IntN(4)]
		bags := k%3 == 0
		if bags {
			text, of = randomBagBook(r), "loft"
		}
		ordered := regexp.MustCompile(`\b(`+of+`)\b`).ReplaceAllString(text, "ordered $1")
		p, _ := loaded(t, ordered)
		want, found := keysOf(analysed(t, text)), analysed(t, ordered)
		got := keysOf(found)
		if bags { // fewer questions are asked of neighbours and sets
			want = slices.DeleteFunc(want, func(key string) bool { return !slices.Contains(got, key) })
		}
		if !slices.Equal(got, want) {
			t.Errorf("found are\n%q\nand of what was measured\n%q\n%s", got, want, ordered)
		}
		told += len(got)
		for _, f := range found.List {
			if judgedAgain(t, p, f) {
				witnesses++
			}
		}
	}
	if told < 60 || witnesses < 30 {
		t.Errorf("%d findings, %d witnesses: the trials try too little", told, witnesses)
	}
}
