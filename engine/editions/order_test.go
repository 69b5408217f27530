package editions_test

import (
	"fmt"
	"math/rand"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/space"
)

// What changed of rules on what was ordered is what changed of the same rules on what was measured, and the rows with their
// order show it.
func TestDiffOfWhatWasOrdered(t *testing.T) {
	r := rand.New(rand.NewSource(29))
	loft := regexp.MustCompile(`\bloft\b`)
	changes := 0
	for range 40 {
		old := randomRule(r, "a-rule")
		if old.subject != "club" {
			continue
		}
		mutated, _, _ := mutate(r, []modelRule{old})
		texts := [2]string{write([]modelRule{old}, style{prefix: "x"}), write(mutated, style{prefix: "y", twisted: true})}
		measured := editions.Compare(t.Context(), compiled(t, texts[0]), compiled(t, texts[1]))
		for i := range texts {
			texts[i] = loft.ReplaceAllString(texts[i], "ordered loft")
		}
		programs := [2]*judge.Program{compiled(t, texts[0]), compiled(t, texts[1])}
		ordered := editions.Compare(t.Context(), programs[0], programs[1])
		if got, want := what(&ordered), what(&measured); !slices.Equal(got, want) || len(ordered.LeftOut) > 0 {
			t.Errorf("told are %v, of what was measured %v; left out %v\n%s\n%s", got, want, ordered.LeftOut, texts[0], texts[1])
		}
		for _, c := range ordered.Changes {
			changes++
			for i, want := range []decide.Verdict{c.Contrast.Old.Verdict(true), c.Contrast.New.Verdict(true)} {
				set, ok := space.ReadRows(programs[i], c.Contrast.Rows)
				key := strings.Join(append([]string{"a-rule"}, c.Contrast.Clubs...), " ")
				if got := verdicts(programs[i].NewJudge(judge.Options{Day: c.Contrast.On, All: true}), set)[key]; !ok || got != want {
					t.Errorf("the rows %v say %v, judged they are %v\n%s", c.Contrast.Rows, want, got, texts[i])
				}
			}
		}
	}
	if changes < 15 {
		t.Errorf("%d changes: the trials try too little", changes)
	}
}

func what(d *editions.Difference) []string {
	var out []string
	for _, c := range d.Changes {
		out = append(out, fmt.Sprint(c.Rule().Decl.Name.Text, " ", c.What))
	}
	return out
}
