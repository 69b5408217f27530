// Package editions finds what two editions of a rule book judge differently. Rules are matched by name; what is left
// over and judges every subject alike is one rule renamed. standards.go looks at what orders count from, waivers.go at
// what is waived; message.go puts what changed into words, stock.go judges a real stock.
package editions

import (
	"context"
	"fmt"
	"slices"

	"ferrule/engine/contrast"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Change is one part of a rule that two editions judge differently, with a subject that shows it.
type Change struct {
	contrast.Pair
	What     contrast.What
	Message  string // one line, without the rule's name
	Contrast *contrast.Contrast
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
	d.Changes = slices.DeleteFunc(d.Changes, func(c Change) bool { return !asked(c.Pair) })
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
	parts := unit.Listed(words(o.Parts), "or")
	return fmt.Sprintf("whether %s judges differently by its %s was not checked: %s", o.Name(), parts, o.Why)
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
	d.match(old.Rules(), new.Rules())
	d.standards(old, new)
	d.waivers(old, new)
	return d.out
}

// The work on two editions: what may be done in all, and on each rule whatever was done on others.
const (
	mostWork  = 400_000 * space.OfBag
	leastWork = 500 * space.OfBag
)

// compare makes ready to hold a rule against itself in the parts that differ; nil where none does.
func (d *editions) compare(p contrast.Pair) (u *contrast.Comparison, parts []contrast.What) {
	d.Budget = max(d.Budget, leastWork)
	if parts = d.Differing(p); len(parts) > 0 {
		u = d.Compare(p, parts)
	}
	return u, parts
}

// mostRenamed bounds how many pairs of rules without a namesake are held against each other club by club.
const mostRenamed = 1000

// match pairs rules of one name, and of the others those that judge every subject alike, in the order of the newer
// edition; what is left was added or removed. It looks at all but those that were renamed.
func (d *editions) match(old, new []*book.Rule) {
	gone := map[*book.Rule]bool{}
	match := func(alike func(contrast.Pair) bool) []contrast.Pair {
		var pairs []contrast.Pair
		for _, n := range new {
			one := func(o *book.Rule) bool { return !gone[n] && !gone[o] && alike(contrast.Pair{Old: o, New: n}) }
			if i := slices.IndexFunc(old, one); i >= 0 {
				gone[old[i]], gone[n] = true, true
				pairs = append(pairs, contrast.Pair{Old: old[i], New: n})
			}
		}
		return pairs
	}
	named := match(func(p contrast.Pair) bool { return p.Old.Decl.Name.Text == p.New.Decl.Name.Text })
	for _, p := range named {
		d.pair(p)
	}
	inForm := match(func(p contrast.Pair) bool {
		return p.Old.Decl.Advice == p.New.Decl.Advice && len(d.Parts(p)) == 0
	})
	tries := 0
	inEffect := match(func(p contrast.Pair) bool {
		if p.Old.Subject != p.New.Subject || p.Old.Decl.Advice != p.New.Decl.Advice || tries >= mostRenamed {
			return false
		}
		tries++
		u, _ := d.compare(p)
		if u == nil {
			return true
		}
		u.First = true
		u.Run()
		return len(u.Best)+len(u.Mixed) == 0 && u.Whole()
	})
	d.out.Pairs = slices.Concat(named, inForm, inEffect)
	lone := append(lists.Each(old, func(o *book.Rule) contrast.Pair { return contrast.Pair{Old: o} }),
		lists.Each(new, func(n *book.Rule) contrast.Pair { return contrast.Pair{New: n} })...)
	for _, p := range lone {
		if !gone[p.Rule()] {
			d.out.Pairs = append(d.out.Pairs, p)
			d.pair(p)
		}
	}
}

// pair looks for what is judged differently by a rule of both editions, or of one.
func (d *editions) pair(p contrast.Pair) {
	u, parts := d.compare(p)
	if u == nil {
		return
	}
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
			d.out.Changes = append(d.out.Changes, Change{Pair: p, What: w, Contrast: c, Message: message(p, w, c)})
		case len(found[w]) > 0 || !u.Whole():
			open = append(open, w)
		}
	}
	if len(open) > 0 {
		d.out.LeftOut = append(d.out.LeftOut, Open{p, open, u.Why()})
	}
}
