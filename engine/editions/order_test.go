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

// An order of "std" counts from the one chart of its property, so nothing is claimed of rules on it where that is another.
func TestDiffClaimsNothingWhereOrdersCountFromAnotherChart(t *testing.T) {
	const text = "chart bends of lie per club\n iron 7 = 62 deg\n%srule a \"A\"\n for every iron\n require lie at most ordered lie\n" +
		"rule b \"B\"\n for every iron\n require loft at most ordered loft\n"
	old := compiled(t, fmt.Sprintf(text, ""))
	for more, open := range map[string]int{"": 0, " iron 6 = 61 deg\n": 1, "chart lies of lie per club\n iron 7 = 62 deg\n": 1,
		"chart lofts of loft per club\n iron 7 = 34 deg\n": 1} {
		d := editions.Compare(t.Context(), old, compiled(t, fmt.Sprintf(text, more)))
		if len(d.LeftOut) != open || len(d.Changes) > 0 || d.Same() != (open == 0) {
			t.Errorf("with %q open is %v, changed %v", more, d.LeftOut, d.Changes)
		}
	}
}

// What an empty cell of a sheet means says nothing of an order.
func TestDiffSaysNothingOfEmptyCellsOfOrders(t *testing.T) {
	const text = "property shaft text%s\nrule a \"A\"\n for every iron\n require shaft = ordered shaft\n"
	d := editions.Compare(t.Context(), compiled(t, fmt.Sprintf(text, "")), compiled(t, fmt.Sprintf(text, " else \"Steel\"")))
	if len(d.Changes) != 1 || d.Changes[0].Message != "an empty cell of shaft means \"Steel\"; it meant nothing" {
		t.Errorf("changed %v", d.Changes)
	}
}

func what(d *editions.Difference) []string {
	var out []string
	for _, c := range d.Changes {
		out = append(out, fmt.Sprint(c.Rule().Decl.Name.Text, " ", c.What))
	}
	return out
}
