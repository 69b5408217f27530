// Package vet asks a rule book questions that need no clubs: do rules contradict each other, is there one that can
// never apply, do exceptions disagree, does a family of rules leave a gap? Whatever is found is shown on a witness:
// rows of a sheet that were read and judged before anything is said.
//
// A file for each kind of finding draws its conclusions. Of rules about single clubs these are single.go for one,
// pairs.go for two and threes.go for three. Of rules about neighbours or sets they are neighbours.go for one, same.go
// for two, rings.go and counts.go for any number. gaps.go and pauses.go look at a family, rows.go at rows that
// disagree, unused.go at what nothing uses. stocks.go and graph.go find bags for rings.go, find.go reports what several
// of them find.
package vet

import (
	"context"
	"fmt"
	"slices"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// The codes of the findings, all of them warnings: a book can be judged by, but likely is not what was meant. What each
// means is in codes.txt of lang/diag.
const (
	Contradiction   diag.Code = "contradiction"    // rules that no club can all meet
	EmptyGroup      diag.Code = "empty-group"      // a group that takes no club
	EmptyMend       diag.Code = "empty-mend"       // a word in braces of a mend that is never filled in
	EmptyUse        diag.Code = "empty-use"        // a use that lets no rule through
	ExceptionIdle   diag.Code = "exception-idle"   // an exception that changes nothing
	ExceptionNever  diag.Code = "exception-never"  // an exception that never holds
	ExceptionsClash diag.Code = "exceptions-clash" // two exceptions that hold for one club and disagree
	Gap             diag.Code = "gap"              // clubs that a family of rules leaves out
	GapInTime       diag.Code = "gap-in-time"      // days that a family of rules leaves out
	IdleRule        diag.Code = "idle-rule"        // a rule that another one makes idle
	LooserRule      diag.Code = "looser-rule"      // a rule looser than one of a used book
	MissingCite     diag.Code = "missing-cite"     // a rule that does not say where its figures come from
	MissingRow      diag.Code = "missing-row"      // a chart without a row that a rule needs
	NeverApplies    diag.Code = "never-applies"    // a rule that is about no club
	NeverMeasured   diag.Code = "never-measured"   // a method that covers none of the clubs
	NeverMet        diag.Code = "never-met"        // a rule that some club can never meet
	NeverSure       diag.Code = "never-sure"       // just one figure of what is measured
	NeverShown      diag.Code = "never-shown"      // a bound that no reading can show to be met
	UnusedName      diag.Code = "unused-name"      // a name that nothing needs
)

// Finding is something that a person should look at in a book, with what shows it.
type Finding struct {
	diag.Diagnostic
	Witness *space.Witness // nil where no club can show it
}

// Case is the witness of the finding as a case of the book, not laid out; "" where no case can say it.
func (f *Finding) Case() string {
	if f.Witness == nil {
		return ""
	}
	return f.Witness.Case(f.Code)
}

// Findings is what the analysis of a book came to.
type Findings struct {
	List    []Finding // in the order of the text
	LeftOut []string  // whole sentences without full stop: what was not looked at, and why
}

// analyst analyses one book.
type analyst struct {
	*space.Search
	book    *book.Book
	own     map[*book.Rule]bool
	studies map[*book.Rule]*study
	idle    map[*book.Rule]bool // told to be idle, which is told once
	unmet   map[*book.Rule]bool // met by no neighbours, or no set
	opposed [][2]*book.Rule     // rules on single clubs that are told to contradict each other
	found   []Finding
}

// Sound analyses the rules of a loaded book that have no mistake, as Book does. The mistakes are those of the book and
// of all that it uses; a book with more than 50 errors is not analysed.
func Sound(ctx context.Context, b *book.Book, schema *catalogue.Schema, mistakes diag.List) Findings {
	if n := mistakes.Errors(); n > 50 {
		why := "what the rules of %s do together: it has %d errors; mend them first"
		return Findings{LeftOut: []string{fmt.Sprintf(why, diag.Quote(b.Name), n)}}
	} else if n > 0 {
		b = b.Sound()
	}
	return Book(ctx, judge.Compile([]*book.Book{b}, schema), b)
}

// Book analyses a book. The program must be compiled from the book alone; where the book has mistakes, from a
// copy that holds its sound rules alone. Once ctx is done, what was found up to then is returned, which LeftOut says.
func Book(ctx context.Context, p *judge.Program, b *book.Book) Findings {
	a := &analyst{Search: space.NewSearch(ctx, p), book: b, own: map[*book.Rule]bool{},
		studies: map[*book.Rule]*study{}, idle: map[*book.Rule]bool{}, unmet: map[*book.Rule]bool{}}
	for _, r := range b.Rules {
		a.own[r] = true
	}
	left := space.MostWork
	for _, q := range []struct {
		what  string
		share int // it may do one part in so many of the work that is left
		ask   func()
	}{
		{"each rule on clubs by itself", 3, a.singles},
		{"each rule on neighbours or sets by itself", 4, a.neighboursAndSets},
		{"what has no use", 4, a.idleness},
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
		if left, done = a.Share(left, q.share, q.ask); !done {
			a.Leave("too many rules or combinations to check all of %s", q.what)
		}
	}
	if a.Cancelled() {
		a.LeftOut = []string{"the check of the book was stopped early, so there may be more to find"}
	}
	slices.SortStableFunc(a.found, func(x, y Finding) int { return x.Span.Start - y.Span.Start })
	return Findings{List: a.found, LeftOut: a.LeftOut}
}

// find adds a finding, a warning about some place of the book: what was expected, and a message with its arguments.
func (a *analyst) find(code diag.Code, at source.Span, w *space.Witness, expected, message string, of ...any) *Finding {
	d := diag.Diagnostic{Code: code, Severity: diag.Warning, Span: at, Expected: expected}
	d.Message = fmt.Sprintf(message, of...)
	a.found = append(a.found, Finding{d, w})
	return &a.found[len(a.found)-1]
}

// see adds another place that has to do with the finding.
func (f *Finding) see(at source.Span, text string) {
	f.Related = append(f.Related, diag.Label{Span: at, Text: text})
}
