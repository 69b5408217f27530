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

// Case is the witness of the finding as a case of the book, not laid out; "" where no case can say it.
func (f *Finding) Case() string {
	if f.Witness == nil {
		return ""
	}
	return f.Witness.asCase(f.Code)
}

// Findings is what the analysis of a book came to.
type Findings struct {
	List    []Finding // in the order of the text
	LeftOut []string  // whole sentences without full stop: what was not looked at, and why
}

// analyst analyses one book.
type analyst struct {
	*search
	book    *book.Book
	own     map[*book.Rule]bool
	studies map[*book.Rule]*study
	idle    map[*book.Rule]bool // told to be idle, which is told once
	unmet   map[*book.Rule]bool // met by no neighbours, or no set
	opposed [][2]*book.Rule     // rules on single clubs that are told to contradict each other
	found   []Finding
}

// Book analyses a book. The program must be compiled from the book alone; where the book has mistakes, from a
// copy that holds its sound rules alone.
func Book(p *engine.Program, b *book.Book) Findings {
	a := &analyst{search: newSearch(p), book: b, own: map[*book.Rule]bool{}, studies: map[*book.Rule]*study{}, idle: map[*book.Rule]bool{}, unmet: map[*book.Rule]bool{}}
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
		var done bool
		if left, done = a.share(left, q.share, q.ask); !done {
			a.leave(fmt.Sprintf("too many rules, or too many combinations, to look at all of %s", q.what))
		}
	}
	slices.SortStableFunc(a.found, func(x, y Finding) int { return x.Span.Start - y.Span.Start })
	return Findings{List: a.found, LeftOut: a.leftOut}
}

// find adds a finding, a warning about some place of the book.
func (a *analyst) find(code diag.Code, at source.Span, w *Witness, message, expected string, related ...diag.Label) {
	a.found = append(a.found, Finding{Witness: w, Diagnostic: diag.Diagnostic{Code: code, Severity: diag.Warning, Span: at,
		Message: message, Expected: expected, Related: related}})
}
