// Package editions finds what two editions of a rule book judge differently. Rules are matched by name; what is left
// over and judges every subject alike is one rule renamed. waivers.go looks at what is waived, message.go puts what
// changed into words, stock.go judges a real stock.
package editions

import (
	"context"
	"fmt"
	"slices"

	"ferrule/engine/contrast"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Change is one part of a rule that two editions judge differently, with a subject that shows it.
type Change struct {
	Old, New *book.Rule // nil where the edition has none
	What     contrast.What
	Message  string // one line, without the rule's name
	Contrast *contrast.Contrast
}

// Rule is the rule in the newer edition that has it.
func (c *Change) Rule() *book.Rule {
	if c.New != nil {
		return c.New
	}
	return c.Old
}

// Difference is what two editions judge differently.
type Difference struct {
	Changes []Change
	LeftOut []Open
	Pairs   []contrast.Pair
}

// Same reports whether everything was looked at and nothing is judged differently.
func (d *Difference) Same() bool { return len(d.Changes) == 0 && len(d.LeftOut) == 0 }

// Only leaves what is about rules of some pairs.
func (d *Difference) Only(asked func(contrast.Pair) bool) {
	d.Changes = slices.DeleteFunc(d.Changes, func(c Change) bool { return !asked(contrast.Pair{Old: c.Old, New: c.New}) })
	d.LeftOut = slices.DeleteFunc(d.LeftOut, func(o Open) bool { return !asked(o.Pair) })
	d.Pairs = slices.DeleteFunc(d.Pairs, func(p contrast.Pair) bool { return !asked(p) })
}

// Open is a rule of which it was not told whether it judges differently by some of its parts.
type Open struct {
	contrast.Pair
	Parts []contrast.What
	Why   string // not all could be looked at
}

// String is the whole of it, a sentence without full stop.
func (o Open) String() string {
	return fmt.Sprintf("whether %s judges differently by its %s was not checked: %s", o.Name(), unit.Listed(words(o.Parts), "or"), o.Why)
}

// editions is two editions that are compared rule by rule.
type editions struct {
	*contrast.Books
	out Difference
}

// Compare compares two editions of a book, each loaded by itself. Once ctx is done, what was not looked at is left out.
func Compare(ctx context.Context, old, new *judge.Program) Difference {
	a := space.NewSearch(ctx, new)
	a.Budget = mostWork
	d := &editions{Books: contrast.NewBooks(a, old, new)}
	pairs, oldRest, newRest := matched(old.Rules(), new.Rules())
	for _, p := range pairs {
		d.pair(p)
	}
	d.out.Pairs = append(pairs, d.renamed(oldRest, newRest)...)
	d.waivers(old, new)
	return d.out
}

// The work on two editions: what may be done in all, and on each rule whatever was done on others.
const (
	mostWork  = 400_000 * space.OfBag
	leastWork = 500 * space.OfBag
)

// compare makes ready to hold a rule against itself.
func (d *editions) compare(p contrast.Pair, parts []contrast.What) *contrast.Comparison {
	d.Budget = max(d.Budget, leastWork)
	return d.Compare(p, parts)
}

// matched pairs rules of one name, in the order of the newer edition.
func matched(old, new []*book.Rule) (pairs []contrast.Pair, oldRest, newRest []*book.Rule) {
	byName := map[string]*book.Rule{}
	for _, r := range old {
		byName[r.Decl.Name.Text] = r
	}
	taken := map[*book.Rule]bool{}
	for _, r := range new {
		if o := byName[r.Decl.Name.Text]; o != nil {
			pairs = append(pairs, contrast.Pair{Old: o, New: r})
			taken[o] = true
		} else {
			newRest = append(newRest, r)
		}
	}
	for _, r := range old {
		if !taken[r] {
			oldRest = append(oldRest, r)
		}
	}
	return pairs, oldRest, newRest
}

// mostRenamed bounds how many pairs of rules without a namesake are held against each other club by club.
const mostRenamed = 1000

// renamed finds among the rules without a namesake those that judge every subject alike, and tells of the others
// that they were added and removed.
func (d *editions) renamed(old, new []*book.Rule) []contrast.Pair {
	var pairs []contrast.Pair
	gone := map[*book.Rule]bool{}
	match := func(alike func(o, n *book.Rule) bool) {
		for _, r := range new {
			if gone[r] {
				continue
			}
			for _, o := range old {
				if !gone[o] && o.Decl.Advice == r.Decl.Advice && alike(o, r) {
					pairs = append(pairs, contrast.Pair{Old: o, New: r})
					gone[o], gone[r] = true, true
					break
				}
			}
		}
	}
	match(func(o, n *book.Rule) bool { return len(d.Parts(contrast.Pair{Old: o, New: n})) == 0 })
	tries := 0
	match(func(o, n *book.Rule) bool {
		if o.Subject != n.Subject || tries >= mostRenamed {
			return false
		}
		tries++
		u := d.compare(contrast.Pair{Old: o, New: n}, d.Parts(contrast.Pair{Old: o, New: n}))
		u.First = true
		u.Run()
		return len(u.Best)+len(u.Mixed) == 0 && u.Whole()
	})
	for _, r := range old {
		if !gone[r] {
			pairs = append(pairs, contrast.Pair{Old: r})
			d.pair(contrast.Pair{Old: r})
		}
	}
	for _, r := range new {
		if !gone[r] {
			pairs = append(pairs, contrast.Pair{New: r})
			d.pair(contrast.Pair{New: r})
		}
	}
	return pairs
}

// pair looks for what is judged differently by a rule of both editions, or of one.
func (d *editions) pair(p contrast.Pair) {
	parts := d.Parts(p)
	if len(parts) == 0 {
		return
	}
	u := d.compare(p, parts)
	u.Run()
	found := u.Best
	if len(found) == 0 {
		found = u.Mixed
	}
	var open []contrast.What // for which no subject was found
	for _, w := range parts {
		c := u.Contrast(found, w)
		switch {
		case c != nil:
			d.out.Changes = append(d.out.Changes,
				Change{Old: p.Old, New: p.New, What: w, Contrast: c, Message: message(p, w, c)})
		case len(found[w]) > 0 || !u.Whole():
			open = append(open, w)
		}
	}
	if len(open) > 0 {
		d.out.LeftOut = append(d.out.LeftOut, Open{p, open, u.Why()})
	}
}
