package space

// This file holds the work that a search may do: a book of thousands of rules gets an answer in seconds, which says
// what was not looked at.

import (
	"slices"

	"ferrule/engine"
	"ferrule/lang/book"
)

// Search is a search among the clubs that the books of a program tell apart, with the work that it may still do.
type Search struct {
	Program *engine.Program
	Probe   *engine.Probe
	needs   map[*book.Rule][]string
	costs   map[*book.Rule]int // see costOf
	Size    int                // how many rules are judged
	wide    int                // how much more than a common one a club takes to be laid out, at least 1
	Budget  int                // work that the question in hand may still do
	LeftOut []string           // whole sentences without full stop: what was not looked at, and why
}

// NewSearch returns a search that may do no work yet.
func NewSearch(p *engine.Program) *Search {
	s := &Search{Program: p, Probe: p.NewProbe(), Size: len(p.Rules()), wide: 1 + p.Schema.Len()/1000, needs: map[*book.Rule][]string{}, costs: map[*book.Rule]int{}}
	for _, b := range book.Reach(p.Books) {
		s.wide += (len(b.Heads) + len(b.Allowances)) / 20
	}
	return s
}

// Share calls ask, which may do one part in so many of some work, and returns what is left of that; done is false where
// ask wanted to do more.
func (s *Search) Share(work, part int, ask func()) (left int, done bool) {
	s.Budget = work / part
	left = work - s.Budget
	ask()
	return left + max(0, s.Budget), s.Budget > 0
}

// MostWork bounds the work on one book, about a microsecond each; no clock counts, so that the same book always gets
// the same answer.
const MostWork = 8_000_000

// Pay notes work, which is more where a club has room for more properties, and reports whether more may be done.
func (a *Search) Pay(work int) bool {
	a.Budget -= work * a.wide
	return a.Budget > 0
}

// CostOf is the work of judging one club by some rules: it grows with their text, their exceptions and their charts.
func (a *Search) CostOf(rules ...*book.Rule) int {
	cost := 0
	for _, r := range rules {
		one, ok := a.costs[r]
		if !ok {
			one = 2 + (r.Decl.Span.End-r.Decl.Span.Start)/50 + len(r.Decl.Unless)
			for _, c := range ChartsIn(r) {
				one += len(c.Chart.Decl.Rows) / 20
			}
			a.costs[r] = one
		}
		cost += one
	}
	return cost
}

// Requires lists the properties that a rule requires something of.
func (a *Search) Requires(r *book.Rule) []string {
	if names, ok := a.needs[r]; ok {
		return names
	}
	s := NewSpace()
	s.Rule(r)
	var names []string
	for _, x := range s.Axes {
		if x.Free {
			names = append(names, x.Prop.Name)
		}
	}
	a.needs[r] = names
	return names
}

// Leave notes what was not looked at.
func (a *Search) Leave(what string) {
	if !slices.Contains(a.LeftOut, what) {
		a.LeftOut = append(a.LeftOut, what)
	}
}

// Together is a day on which all of some rules are in force: NoDay where that is so on each. ok is false where
// there is none.
func Together(rules ...*book.Rule) (on book.Day, ok bool) {
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
