// Package analyse asks a rule book questions that need no clubs: do rules contradict each other, is
// there one that can never apply, do exceptions disagree, does a family of rules leave a gap? Books are made of kinds, numbers,
// marks, words, days and comparisons with figures, so the clubs fall into finitely many cells on which
// nothing changes, and one club of each cell answers a question exactly. Whatever is found is shown on a witness:
// rows of a sheet that were read and judged before anything is said.
//
// The way of a question: gather.go and linear.go find where something turns, cells.go lays out clubs, ask.go
// glances at what the rules say of them, and a file for each kind of finding draws its conclusions: study.go
// what shows on one rule about single clubs, company.go on one about neighbours or sets, pairs.go on two, same.go on
// two about neighbours or sets, threes.go on three, rings.go and counts.go on any number of them, gaps.go and holes.go
// on a family, rows.go on rows that disagree; unused.go looks for what serves nothing. chains.go and web.go lay out bags
// for these, draft.go and witness.go write and judge witnesses.
//
// diff.go asks another question: what do two editions of a book judge differently? It names the files that answer it.
package analyse

import (
	"fmt"
	"slices"

	"ferrule/engine"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// Finding is something that a person should look at in a book, with what shows it.
type Finding struct {
	diag.Diagnostic
	Witness *Witness // nil where no club can show it
}

// Findings is what the analysis of a book came to.
type Findings struct {
	List    []Finding // in the order of the text
	LeftOut []string  // whole sentences without full stop: what was not looked at, and why
}

// analyst analyses one book.
type analyst struct {
	program *engine.Program
	book    *book.Book
	probe   *engine.Probe
	own     map[*book.Rule]bool
	studies map[*book.Rule]*study
	needs   map[*book.Rule][]string
	idle    map[*book.Rule]bool // told to be idle, which is told once
	unmet   map[*book.Rule]bool // met by no neighbours, or no set
	opposed [][2]*book.Rule     // rules on single clubs that are told to contradict each other
	size    int                 // how many rules are judged
	wide    int                 // how much more than a common one a club takes to be laid out, at least 1
	costs   map[*book.Rule]int  // see costOf
	budget  int                 // work that the question in hand may still do
	out     Findings
}

// mostWork bounds the work on one book, about a microsecond each; no clock counts, so that the same book always gets the
// same answer.
const mostWork = 8_000_000

// pay notes work, which is more where a club has room for more properties, and reports whether more may be done.
func (a *analyst) pay(work int) bool {
	a.budget -= work * a.wide
	return a.budget > 0
}

// costOf is the work of judging one club by some rules: it grows with their text, their exceptions and their charts.
func (a *analyst) costOf(rules ...*book.Rule) int {
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

// Book analyses a book. The program must be compiled from the book alone; where the book has mistakes, from a
// copy that holds its sound rules alone.
func Book(p *engine.Program, b *book.Book) Findings {
	a := &analyst{program: p, book: b, size: len(p.Rules()), wide: 1 + p.Schema.Len()/1000, probe: p.NewProbe(), own: map[*book.Rule]bool{}, studies: map[*book.Rule]*study{}, idle: map[*book.Rule]bool{}, unmet: map[*book.Rule]bool{}, needs: map[*book.Rule][]string{},
		costs: map[*book.Rule]int{}}
	for _, b := range book.Reach(p.Books) {
		a.wide += (len(b.Heads) + len(b.Allowances)) / 20
	}
	for _, r := range b.Rules {
		a.own[r] = true
	}
	left := mostWork
	for _, q := range []struct {
		what  string
		share int // it may do one part in so many of the work that is left
		ask   func()
	}{
		{"each rule on clubs by itself", 3, a.singles},
		{"each rule on neighbours or sets by itself", 4, a.companies},
		{"what serves nothing", 4, a.idleness},
		{"names that nothing needs", 1, a.unused},
		{"rows that disagree", 4, a.clashing},
		{"counts", 4, a.counts},
		{"gaps", 3, a.gaps},
		{"rules on clubs two at a time", 2, a.pairs},
		{"rules on clubs three at a time", 4, a.threes},
		{"rules on neighbours and sets together", 2, a.rings},
		{"rules on neighbours and sets two at a time", 1, a.sames},
	} {
		a.budget = left / q.share
		left -= a.budget
		if q.ask(); a.budget <= 0 {
			a.leave(fmt.Sprintf("too many rules, or too many combinations, to look at all of %s", q.what))
		}
		left += max(0, a.budget)
	}
	slices.SortStableFunc(a.out.List, func(x, y Finding) int { return x.Span.Start - y.Span.Start })
	return a.out
}

// requires lists the properties that a rule requires something of.
func (a *analyst) requires(r *book.Rule) []string {
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

// find adds a finding, a warning about some place of the book.
func (a *analyst) find(code diag.Code, at source.Span, w *Witness, message, expected string, related ...diag.Label) {
	a.out.List = append(a.out.List, Finding{Witness: w, Diagnostic: diag.Diagnostic{Code: code, Severity: diag.Warning, Span: at,
		Message: message, Expected: expected, Related: related}})
}

// leave notes what was not looked at.
func (a *analyst) leave(what string) {
	if !slices.Contains(a.out.LeftOut, what) {
		a.out.LeftOut = append(a.out.LeftOut, what)
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
