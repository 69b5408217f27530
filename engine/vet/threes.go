package vet

// This file looks for three rules that contradict each other where no two of them do: one on two properties together,
// such as lie less loft, and one on each of these.

import (
	"fmt"
	"iter"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// mostThrees bounds how many three rules are looked at.
const mostThrees = 500

func (a *analyst) threes() {
	on := map[string][]*book.Rule{}
	var joined []*book.Rule
	for _, r := range a.Program.Rules() {
		if r.Subject != ast.OfClub {
			continue
		}
		switch names := a.Requires(r); len(names) {
		case 1:
			on[names[0]] = append(on[names[0]], r)
		case 2:
			joined = append(joined, r)
		}
	}
	left := mostThrees
	for _, r := range joined {
		names := a.Requires(r)
		for _, s := range on[names[0]] {
			for _, t := range on[names[1]] {
				if !a.Pay(1) {
					return
				}
				if !a.own[r] && !a.own[s] && !a.own[t] {
					continue
				}
				day, ok := space.Together(r, s, t)
				if !ok || !a.related(r, s) || !a.related(r, t) {
					continue
				}
				if left--; left < 0 {
					a.Leave(fmt.Sprintf("too many combinations of three rules to look at all: the first %d were looked at", mostThrees))
					return
				}
				a.three(day, s, t, r)
			}
		}
	}
}

// three looks at rules that are in force together on a day.
func (a *analyst) three(on book.Day, rules ...*book.Rule) {
	q := a.Ask(rules...)
	var never *space.Sample
	q.Groups(func(cells iter.Seq[*space.Sample]) bool {
		if c := impossible(cells, len(rules)); c != nil && never == nil {
			never = c
		}
		return never == nil
	})
	if never == nil || q.Cut || !q.Space.Whole() {
		return
	}
	w, ok := a.Witness(space.Bag{never.Draft}, on, rules...)
	if !ok || !slices.ContainsFunc(w.Verdicts, func(v space.RuleVerdict) bool { return v.Verdict == decide.Fail }) {
		return
	}
	says := fmt.Sprintf("whatever %s %s has, it fails one of them", unit.Listed(a.Requires(rules[len(rules)-1]), "and"), never.Draft.Phrase())
	a.contradict(rules, w, says, "limits that leave room for all of them, or clubs that not all of them are about")
}

// impossible is a club of a group on which one rule fails, where no club of the group meets all of n rules, though
// any one can be left out and some club meets the others; nil where that is not so.
func impossible(cells iter.Seq[*space.Sample], n int) *space.Sample {
	without := make([]bool, n)
	var failing *space.Sample
	for c := range cells {
		misses, missed := 0, 0
		for k := range n {
			g := &c.Says[k]
			if g.Takes != value.True || g.Verdict == decide.Unmeasured || g.Verdict == 0 {
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
			if c.Says[missed].Verdict == decide.Fail {
				failing = c
			}
		}
	}
	if slices.Contains(without, false) {
		return nil
	}
	return failing
}
