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
				if day, ok := space.Together(r, s, t); ok && a.related(r, s) && a.related(r, t) {
					a.three(day, s, t, r)
				}
			}
		}
	}
}

// three looks at rules that are in force together on a day.
func (a *analyst) three(on book.Day, rules ...*book.Rule) {
	q := a.Ask(rules...)
	var never *space.Sample
	hard := false
	q.Groups(func(cells iter.Seq[*space.Sample]) bool {
		r := newRoom(len(rules))
		for c := range cells {
			r.add(c)
		}
		never, hard = r.none(), r.hard
		return never == nil
	})
	if never == nil || !q.WholeAtLie() {
		return
	}
	a.findNever(never, hard, on, rules, unit.Listed(a.Requires(rules[len(rules)-1]), "and"))
}

// findNever reports rules that no value of something of a club meets together; hard: it fails one of them whatever is
// read. False where the witness does not bear it out.
func (a *analyst) findNever(never *space.Sample, hard bool, on book.Day, rules []*book.Rule, what string) bool {
	w, ok := a.borneOut(space.Bag{never.Draft}, on, rules...)
	if !ok {
		return false
	}
	says := fmt.Sprintf("whatever %s %s has, it fails one of them", what, a.phrase(&never.Draft, rules...))
	if !hard {
		says = fmt.Sprintf("no reading of %s of %s passes %s", what, a.phrase(&never.Draft, rules...), all(len(rules)))
	}
	a.contradict(rules, w, fmt.Sprintf("limits that leave room for %s, or clubs that not all of them are about",
		all(len(rules))), "%s", says)
	return true
}

// all is so many rules in words.
func all(n int) string {
	if n == 2 {
		return "both"
	}
	return "all of them"
}

// room is what the clubs of a group show of some rules: whether one of them meets all, and some meet all but any one.
type room struct {
	met     bool
	without []bool        // met by a club but for this rule
	hard    bool          // each club fails one of them
	failing *space.Sample // one that fails, if possible one rule alone
}

func newRoom(n int) *room { return &room{without: make([]bool, n), hard: true} }

// add takes in a club that each of the rules judges; others show nothing.
func (r *room) add(c *space.Sample) {
	missed, fails := []int(nil), false
	for k := range c.Says {
		g := &c.Says[k]
		if g.Takes != value.True || g.Verdict == decide.Unmeasured || g.Verdict == 0 {
			return
		}
		if rank(g.Verdict) != decide.Pass {
			missed = append(missed, k)
		}
		fails = fails || g.Verdict == decide.Fail
	}
	r.met, r.hard = r.met || missed == nil, r.hard && fails
	if len(missed) == 1 {
		r.without[missed[0]] = true
	}
	if fails && (r.failing == nil || len(missed) == 1) {
		r.failing = c
	}
}

// none is a club on which a rule fails, where no club meets all of the rules, though any one can be left out and some
// club meets the others; nil where that is not so.
func (r *room) none() *space.Sample {
	if r.met || slices.Contains(r.without, false) {
		return nil
	}
	return r.failing
}
