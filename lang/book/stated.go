package book

// This file finds what several books say together: the books named and those that they use.

import (
	"cmp"
	"slices"
)

// Reach returns the books named, then those that they use, then those that these use, and so on, each book once. A use
// whose book could not be read has none.
func Reach(books []*Book) []*Book { return slices.Concat(levels(books)...) }

// levels is Reach, the books named by themselves, then those that they use by themselves, and so on.
func levels(books []*Book) (out [][]*Book) {
	seen := map[*Book]bool{nil: true}
	for len(books) > 0 {
		var here, below []*Book
		for _, b := range books {
			if !seen[b] {
				seen[b] = true
				here = append(here, b)
				for _, u := range b.Uses {
					below = append(below, u.Book)
				}
			}
		}
		out, books = append(out, here), below
	}
	return out
}

// Charts returns the charts of the books named and then those of the books that these use.
func Charts(books []*Book) []*Chart {
	var out []*Chart
	for _, b := range Reach(books) {
		out = append(out, b.Charts...)
	}
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
	for _, level := range levels(books) {
		var found []*Constant
		for _, b := range level {
			if c := of(b); c != nil {
				found = append(found, c)
			}
		}
		if found != nil {
			return found
		}
	}
	return nil
}
