package space

// This file holds the work that a search may do: a book of thousands of rules gets an answer in seconds, which says
// what was not looked at.

import (
	"context"
	"fmt"
	"slices"

	"ferrule/engine/judge"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Search is a search among the clubs that the books of a program tell apart, with the work that it may still do.
type Search struct {
	ctx     context.Context
	Program *judge.Program
	Probe   *judge.Probe
	needs   map[*book.Rule][]string
	costs   map[*book.Rule]int // see costOf
	Size    int                // how many rules are judged
	wide    int                // how much more than a common one a club takes to be laid out, at least 1
	tools   int                // heads and allowances, one of which has to be found for each length
	Budget  int                // work that the question in hand may still do
	LeftOut []string           // whole sentences without full stop: what was not looked at, and why
}

// NewSearch returns a search that may do no work yet. Once ctx is done it may do none at all.
func NewSearch(ctx context.Context, p *judge.Program) *Search {
	s := &Search{ctx: ctx, Program: p, Probe: p.NewProbe(), Size: len(p.Rules()), wide: 1 + p.Schema.Len()/1000,
		needs: map[*book.Rule][]string{}, costs: map[*book.Rule]int{}}
	for _, b := range book.Reach(p.Books) {
		s.tools += len(b.Heads) + len(b.Allowances)
	}
	return s
}

// Share calls ask, which may do one part in so many of some work, and returns what is left of that; done is false where
// ask wanted to do more.
func (a *Search) Share(work, part int, ask func()) (left int, done bool) {
	if a.Cancelled() {
		return 0, true
	}
	a.Budget = work / part
	left = work - a.Budget
	ask()
	return left + max(0, a.Budget), a.Budget > 0
}

// MostWork bounds the work on one book, about a microsecond each; no clock counts, so that the same book always gets
// the same answer.
const MostWork = 8_000_000

// Cancelled reports whether nobody waits for an answer any more.
func (a *Search) Cancelled() bool { return a.ctx.Err() != nil }

// Pay notes work, which is more where a club has room for more properties, and reports whether more may be done.
func (a *Search) Pay(work int) bool {
	if a.Budget -= work * a.wide; a.Cancelled() {
		a.Budget = min(a.Budget, 0)
	}
	return a.Budget > 0
}

// fewTools is how many heads and allowances cost nothing to speak of.
const fewTools = 10

// CostOf is the work of judging one club by some rules: it grows with their text, their exceptions and their charts,
// and with heads and allowances where they ask for lengths.
func (a *Search) CostOf(rules ...*book.Rule) int {
	cost := 0
	for _, r := range rules {
		one, ok := a.costs[r]
		if !ok {
			one = 2 + (r.Decl.Span.End-r.Decl.Span.Start)/50 + len(r.Decl.Unless)
			for _, c := range ChartsIn(r) {
				one += len(c.Chart.Decl.Rows) / 20
			}
			if r.Facts.Measured {
				one += max(0, a.tools-fewTools)
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
	free := lists.Kept(s.Axes, func(x *Axis) bool { return x.Free })
	names := lists.Each(free, func(x *Axis) string { return x.Prop.Name })
	a.needs[r] = names
	return names
}

// Leave notes what was not looked at: a message with its arguments.
func (a *Search) Leave(message string, of ...any) {
	a.LeftOut = lists.Also(a.LeftOut, fmt.Sprintf(message, of...))
}

// Together is a day on which all of some rules, but for those that are nil, are in force: where that is so on each
// judge.SomeDay if one of them asks which day it is, else NoDay. ok is false if there is none.
func Together(rules ...*book.Rule) (on book.Day, ok bool) {
	any, from, until := book.NoDay, book.NoDay, book.NoDay
	for _, r := range slices.DeleteFunc(slices.Clone(rules), func(r *book.Rule) bool { return r == nil }) {
		if r.Facts.Today {
			any = judge.SomeDay
		}
		from = max(from, r.From)
		if r.Until != book.NoDay && (until == book.NoDay || r.Until < until) {
			until = r.Until
		}
	}
	switch {
	case from != book.NoDay:
		return from, until == book.NoDay || from <= until
	case until != book.NoDay:
		return until, true
	}
	return any, true
}
