package book

// This file finds what several books say together: the books named and those that they use.

import (
	"cmp"
	"slices"
)

// Reach returns some books, each before those that it uses, and every one once. A use whose book could not be read
// has none.
func Reach(books []*Book) []*Book {
	var out []*Book
	seen := map[*Book]bool{nil: true}
	var add func(b *Book)
	add = func(b *Book) {
		if seen[b] {
			return
		}
		seen[b] = true
		out = append(out, b)
		for _, u := range b.Uses {
			add(u.Book)
		}
	}
	for _, b := range books {
		add(b)
	}
	return out
}

// levels calls f for the books named, then for those that they use, and so on, each book once, until f is false.
func levels(books []*Book, f func([]*Book) bool) {
	seen := map[*Book]bool{}
	for level := books; len(level) > 0; {
		var here, below []*Book
		for _, b := range level {
			if !seen[b] {
				seen[b] = true
				here = append(here, b)
				for _, u := range b.Uses {
					below = append(below, u.Book)
				}
			}
		}
		if !f(here) {
			return
		}
		level = below
	}
}

// Charts returns the charts of the books named and then those of the books that these use.
func Charts(books []*Book) []*Chart {
	var out []*Chart
	levels(books, func(level []*Book) bool {
		for _, b := range level {
			out = append(out, b.Charts...)
		}
		return true
	})
	return out
}

// ButtMass returns the mass per length at the butt that books state, nil where none does; differ
// is set where two state different ones, and then it is nil too.
func ButtMass(books []*Book) (c *Constant, differ bool) {
	return one(books, func(b *Book) *Constant { return b.ButtMass })
}

// TipMass returns the mass per length at the tip as ButtMass does that at the butt.
func TipMass(books []*Book) (c *Constant, differ bool) {
	return one(books, func(b *Book) *Constant { return b.TipMass })
}

// Extension returns how far books let a shaft be extended, the least of what they say; nil where
// none says anything.
func Extension(books []*Book) *Constant {
	found := stated(books, func(b *Book) *Constant { return b.Extension })
	if len(found) == 0 {
		return nil
	}
	return slices.MinFunc(found, func(a, b *Constant) int { return cmp.Compare(a.Base, b.Base) })
}

func one(books []*Book, of func(*Book) *Constant) (*Constant, bool) {
	var found *Constant
	for _, c := range stated(books, of) {
		if found != nil && c.Base != found.Base {
			return nil, true
		}
		found = c
	}
	return found, false
}

// stated is what the books named state; where none of them does, what the books state that they use,
// and so on.
func stated(books []*Book, of func(*Book) *Constant) []*Constant {
	var found []*Constant
	levels(books, func(level []*Book) bool {
		for _, b := range level {
			if c := of(b); c != nil {
				found = append(found, c)
			}
		}
		return found == nil
	})
	return found
}
