package analyse

// This file looks for three rules that contradict each other where no two of them do: one on two properties together,
// such as lie less loft, and one on each of these.

import (
	"fmt"
	"iter"
	"slices"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// mostThrees bounds how many three rules are looked at.
const mostThrees = 500

func (a *analyst) threes() {
	on := map[string][]*book.Rule{}
	var joined []*book.Rule
	for _, r := range a.program.Rules() {
		if r.Decl.For.Kind != ast.OfClub {
			continue
		}
		switch names := a.requires(r); len(names) {
		case 1:
			on[names[0]] = append(on[names[0]], r)
		case 2:
			joined = append(joined, r)
		}
	}
	left := mostThrees
	for _, r := range joined {
		names := a.requires(r)
		for _, s := range on[names[0]] {
			for _, t := range on[names[1]] {
				if !a.pay(1) {
					return
				}
				if !a.own[r] && !a.own[s] && !a.own[t] {
					continue
				}
				day, ok := together(r, s, t)
				if !ok || !a.related(r, s) || !a.related(r, t) {
					continue
				}
				if left--; left < 0 {
					a.leave(fmt.Sprintf("too many combinations of three rules to look at all: the first %d were looked at", mostThrees))
					return
				}
				a.three(day, s, t, r)
			}
		}
	}
}

// three looks at rules that are in force together on a day.
func (a *analyst) three(on book.Day, rules ...*book.Rule) {
	q := a.ask(rules...)
	var never *cell
	q.groups(func(cells iter.Seq[*cell]) bool {
		if c := impossible(cells, len(rules)); c != nil && never == nil {
			never = c
		}
		return never == nil
	})
	if never == nil || q.cut || !q.space.whole() {
		return
	}
	w, ok := a.witness(bag{never.draft}, on, rules...)
	if !ok || !slices.ContainsFunc(w.Verdicts, func(v RuleVerdict) bool { return v.Verdict == decide.Fail }) {
		return
	}
	last := rules[len(rules)-1]
	for _, r := range rules {
		if a.own[r] && (!a.own[last] || r.Decl.Span.Start > last.Decl.Span.Start) {
			last = r
		}
	}
	var names []string
	var related []diag.Label
	for _, r := range rules {
		names = append(names, r.Decl.Name.Text)
		if r != last {
			related = append(related, diag.Label{Span: r.Decl.Require.Span, Text: "what " + r.Decl.Name.Text + " requires"})
		}
	}
	a.find(diag.Contradiction, last.Decl.Require.Span, w, fmt.Sprintf("%s contradict each other: whatever %s %s has, it fails one of them", unit.Listed(names, "and"), unit.Listed(a.requires(rules[len(rules)-1]), "and"), never.draft.phrase()),
		"limits that leave room for all of them, or clubs that not all of them are about", related...)
}

// impossible is a club of a group on which one rule fails, where no club of the group meets all of n rules, though
// any one can be left out and some club meets the others; nil where that is not so.
func impossible(cells iter.Seq[*cell], n int) *cell {
	without := make([]bool, n)
	var failing *cell
	for c := range cells {
		misses, missed := 0, 0
		for k := range n {
			g := &c.says[k]
			if g.Takes != engine.True || g.Verdict == decide.Unmeasured || g.Verdict == 0 {
				misses = n + 1
				break
			}
			if rank(g.Verdict) != decide.Pass {
				misses, missed = misses+1, k
			}
		}
		switch {
		case misses == 0:
			return nil
		case misses == 1:
			without[missed] = true
			if c.says[missed].Verdict == decide.Fail {
				failing = c
			}
		}
	}
	if slices.Contains(without, false) {
		return nil
	}
	return failing
}
