package analyse

// This file holds the work that a search may do: a book of thousands of rules gets an answer in seconds, which says what was
// not looked at.

import (
	"slices"

	"ferrule/engine"
	"ferrule/lang/book"
)

// search is a search among the clubs that the books of a program tell apart, with the work that it may still do.
type search struct {
	program *engine.Program
	probe   *engine.Probe
	needs   map[*book.Rule][]string
	costs   map[*book.Rule]int // see costOf
	size    int                // how many rules are judged
	wide    int                // how much more than a common one a club takes to be laid out, at least 1
	budget  int                // work that the question in hand may still do
	leftOut []string           // whole sentences without full stop: what was not looked at, and why
}

// newSearch returns a search that may do no work yet.
func newSearch(p *engine.Program) *search {
	s := &search{program: p, probe: p.NewProbe(), size: len(p.Rules()), wide: 1 + p.Schema.Len()/1000, needs: map[*book.Rule][]string{}, costs: map[*book.Rule]int{}}
	for _, b := range book.Reach(p.Books) {
		s.wide += (len(b.Heads) + len(b.Allowances)) / 20
	}
	return s
}

// share calls ask, which may do one part in so many of some work, and returns what is left of that; done is false where ask
// wanted to do more.
func (s *search) share(work, part int, ask func()) (left int, done bool) {
	s.budget = work / part
	left = work - s.budget
	ask()
	return left + max(0, s.budget), s.budget > 0
}

// mostWork bounds the work on one book, about a microsecond each; no clock counts, so that the same book always gets the
// same answer.
const mostWork = 8_000_000

// pay notes work, which is more where a club has room for more properties, and reports whether more may be done.
func (a *search) pay(work int) bool {
	a.budget -= work * a.wide
	return a.budget > 0
}

// costOf is the work of judging one club by some rules: it grows with their text, their exceptions and their charts.
func (a *search) costOf(rules ...*book.Rule) int {
	cost := 0
	for _, r := range rules {
		one, ok := a.costs[r]
		if !ok {
			one = 2 + (r.Decl.Span.End-r.Decl.Span.Start)/50 + len(r.Decl.Unless)
			for _, c := range chartsIn(r) {
				one += len(c.chart.Decl.Rows) / 20
			}
			a.costs[r] = one
		}
		cost += one
	}
	return cost
}

// requires lists the properties that a rule requires something of.
func (a *search) requires(r *book.Rule) []string {
	if names, ok := a.needs[r]; ok {
		return names
	}
	s := newSpace()
	s.rule(r)
	var names []string
	for _, x := range s.axes {
		if x.free {
			names = append(names, x.prop.Name)
		}
	}
	a.needs[r] = names
	return names
}

// leave notes what was not looked at.
func (a *search) leave(what string) {
	if !slices.Contains(a.leftOut, what) {
		a.leftOut = append(a.leftOut, what)
	}
}

// together is a day on which all of some rules are in force: NoDay where that is so on each. ok is false where
// there is none.
func together(rules ...*book.Rule) (on book.Day, ok bool) {
	from, until := book.NoDay, book.NoDay
	for _, r := range rules {
		if r.From != book.NoDay && (from == book.NoDay || r.From > from) {
			from = r.From
		}
		if r.Until != book.NoDay && (until == book.NoDay || r.Until < until) {
			until = r.Until
		}
	}
	switch {
	case from == book.NoDay:
		return until, true
	case until == book.NoDay:
		return from, true
	}
	return from, from <= until
}
