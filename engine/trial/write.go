package trial

// This file works out cases for what no case of a book shows, and writes them down.

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Made is a case that was worked out for what no case of a book showed.
type Made struct {
	Rule  *book.Rule
	Shows []Gap
	Text  string // the case with its mark, as it may be in the book; not laid out
}

// Left is something that no case was found for.
type Left struct {
	Rule   *book.Rule
	Gap    Gap
	Reason string // a part of a sentence, without full stop
}

// Mark is the comment line above a case that was worked out, until a person has looked
// at it and takes the line away.
const Mark = "# worked out by ferrule; to be confirmed by a person"

// maxTried bounds how many bags are judged for one rule, maxTriedInAll for a book.
const (
	maxTried      = 10_000
	maxTriedInAll = 200_000
	mostWork      = 100 * space.OfBag * maxTriedInAll
)

// WorkOut makes cases for what is missing, one a rule, unless cases of that rule do not hold: clubs are laid out that
// the rule takes, judged, and moved until the judge gives what was missing. What was not found within the bounds is
// returned too, and once ctx is done all that is still missing. The program must be compiled from the book alone.
func WorkOut(ctx context.Context, p *judge.Program, b *book.Book, coverage []Coverage) (made []Made, left []Left) {
	a := space.NewSearch(ctx, p)
	a.Budget = mostWork
	coverage = lists.Kept(coverage, func(c Coverage) bool { return len(c.Missing) > 0 && c.Wrong == 0 })
	budget := maxTriedInAll
	for i, c := range coverage {
		// Each gets its share, and what others left of theirs.
		s := newSearch(a, b, c.Rule, min(maxTried, budget/(len(coverage)-i)))
		found := s.run(c.Missing)
		budget -= s.tried
		shows := slices.Concat(lists.Each(found, func(f specimen) []Gap { return f.shows })...)
		if len(found) > 0 {
			made = append(made, Made{Rule: c.Rule, Shows: shows, Text: write(c.Rule, found)})
		}
		for _, g := range s.open {
			left = append(left, Left{Rule: c.Rule, Gap: g, Reason: s.reason()})
		}
	}
	return made, left
}

// specimen is a bag that shows something, with the subject that shows it.
type specimen struct {
	bag     space.Bag
	clubs   []int // of the subject, in its order; nil for the whole set
	verdict decide.Verdict
	taken   bool // an exception was taken
	shows   []Gap
}

// write is a case of specimens of a rule. Where a specimen is more than one club, or its set counts, each has a set of
// its own.
func write(r *book.Rule, found []specimen) string {
	name := r.Decl.Name.Text
	several := func(f specimen) bool { return len(f.bag) > 1 }
	bags := r.Subject != ast.OfClub || r.Facts.Bag || slices.ContainsFunc(found, several)
	var clubs, expects strings.Builder
	next := 0
	for i, f := range found {
		set := fmt.Sprintf("s%d", i+1)
		if bags {
			fmt.Fprintf(&clubs, "  set %s\n", set)
		}
		ids := make([]string, len(f.bag))
		for k := range f.bag {
			ids[k] = space.ID(next)
			next++
			clubs.WriteString(f.bag[k].Line(ids[k]))
		}
		on := "set " + set
		if len(f.clubs) > 0 {
			names := lists.Each(f.clubs, func(k int) string { return ids[k] })
			on = strings.Join(names, ", ")
		}
		words := lists.Each(f.shows, Gap.inBook)
		fmt.Fprintf(&expects, "%s # %s\n", space.Expect(name, on, f.verdict, f.taken), strings.Join(words, "; "))
	}
	if on := dayOf(r); on != book.NoDay {
		fmt.Fprintf(&clubs, "  on %s\n", on)
	}
	return fmt.Sprintf("%s\ncase \"%s, worked out\"\n%s%s", Mark, name, &clubs, &expects)
}

// inBook says what is shown as a comment of the book may say it, where lines move: an
// exception by its words.
func (g Gap) inBook() string {
	if g.unless == nil {
		return g.String()
	}
	words := "unless " + g.unless.Condition.Place().OneLine()
	if g.edge != noEdge {
		return edgeWords[g.edge] + ", " + words
	}
	return words
}
