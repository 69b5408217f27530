package trim_test

// This file puts sets before trim that are no bags: stock lists without a column of sets.

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// stock is a sheet of so many irons with a few lengths, and as many lies as are asked for.
func stock(clubs, lies int) string {
	var b strings.Builder
	b.WriteString("id,kind,number,length (in),by,lie (deg)\n")
	for i := range clubs {
		fmt.Fprintf(&b, "c%d,iron,%d,%d/16,soled,%d.%03d\n", i, 1+i%9, 16*37+i*7%40, 60+i%lies/1000, i%lies%1000)
	}
	return b.String()
}

const spreadOf = "use methods\nrule spread \"S\"\n for each set\n require spread of length by soled among iron at most 1 in\n decision guarded acceptance at 95 %%\n" +
	"rule shortest \"M\"\n for each set\n require shortest of length by soled among iron at least %s\n"

// A spread of many clubs is a few edges for each of them; its plan passes what is decided to first order, and if there is none it is shown on two clubs.
func TestSpreadOfAStock(t *testing.T) {
	const clubs = 4000
	p := program(t, fmt.Sprintf(spreadOf, "37 in"))
	j, set := p.NewJudge(judge.Options{Day: book.NoDay}), bag(t, p, stock(clubs, 1))
	index := map[*club.Club]int{}
	for i, c := range set.Clubs {
		index[c] = i
	}
	asked := constrain.Find(j, set, catalogue.LengthID)
	s := asked.System(clubs, func(c *club.Club) int { return index[c] }, func(*book.Rule) int { return 0 }, constrain.Steps{Size: in / 16, Whole: true})
	if len(s.Edges) > 4*clubs {
		t.Errorf("%d edges for %d clubs", len(s.Edges), clubs)
	}
	plan := trim.Make(j, set, trim.Options{Grid: in / 16})
	if !plan.Feasible || len(atFirstOrder(plan.After)) > 0 {
		t.Errorf("feasible %v, %d rules are left", plan.Feasible, len(plan.After))
	}
	for _, c := range plan.Cuts {
		if c.Steps < 0 && (c.Held.Constraint == nil || c.Held.Constraint.Plus != c.Club || c.Held.Constraint.Minus == nil || c.Held.Constraint.Minus == c.Club) {
			t.Fatalf("%s is held by %+v", c.Club.ID, c.Held.Constraint)
		}
	}
	p = program(t, fmt.Sprintf(spreadOf, "38 1/2 in"))
	plan = trim.Make(p.NewJudge(judge.Options{Day: book.NoDay}), bag(t, p, stock(clubs, 1)), trim.Options{Grid: in / 16})
	if plan.Feasible || len(plan.TooShort) == 0 {
		t.Error(outline(plan))
	}
}

// Where no two of very many clubs are alike, so that each pair has another limit, the set is refused as too large.
func TestTooLarge(t *testing.T) {
	p := program(t, fmt.Sprintf(spreadOf, "37 in"))
	for clubs, large := range map[int]bool{200: false, 1000: true} {
		plan := trim.Make(p.NewJudge(judge.Options{Day: book.NoDay}), bag(t, p, stock(clubs, clubs)), trim.Options{Grid: in / 16})
		if plan.TooLarge != large || plan.Feasible == large {
			t.Errorf("%d clubs: too large %v, feasible %v", clubs, plan.TooLarge, plan.Feasible)
		}
	}
}
