package club

// This file holds what a set and the order beside it differ in, and what tells the clubs of a set apart.

import (
	"cmp"
	"slices"

	"ferrule/lang/catalogue"
)

// Mismatch is how the clubs of a set and of an order can differ.
type Mismatch uint8

// The mismatches.
const (
	OtherClub  Mismatch = iota // one id is another kind, number or mark of club on either side
	NotOnSheet                 // it was ordered
	NotOrdered                 // it is on the sheet
	Mismatches
)

// String is the name of a list of them in reports for programs.
func (m Mismatch) String() string { return [...]string{"other_club", "not_on_sheet", "not_ordered"}[m] }

// Beside is what comes of an order beside the clubs of a set: what has no counterpart, and what is wrong with the
// order.
type Beside struct {
	File     string // of the order; "" where none was given
	Unpaired [Mismatches][]Unpaired
	Refused  []Refusal // rows of the order
	Doubts   []Doubt   // about its figures
}

// Unpaired is a row of a sheet or of an order that has no row of the same club on the other side.
type Unpaired struct {
	Row
	Set, ID, Setting string
	Named            bool   // the row states the id
	Name             string // the club as the row says it
	Called           string // as a person calls it, with its id
	Spoken           string // and without
	Ordered          Row    // of OtherClub: the row of its id in the order
	As               string // and what a person calls that
}

// Add takes in what another set brings.
func (b *Beside) Add(c Beside) {
	b.File = cmp.Or(b.File, c.File)
	for m := range b.Unpaired {
		b.Unpaired[m] = append(b.Unpaired[m], c.Unpaired[m]...)
	}
	b.Refused, b.Doubts = append(b.Refused, c.Refused...), append(b.Doubts, c.Doubts...)
}

// Gaps counts what comes of an order: rows that do not match, and rows of the order that are refused.
type Gaps struct {
	Of      [Mismatches]int
	Refused int
}

// Gaps counts what comes of the order.
func (b *Beside) Gaps() (g Gaps) {
	for m, all := range b.Unpaired {
		g.Of[m] = len(all)
	}
	g.Refused = len(b.Refused)
	return g
}

// Add adds other counts.
func (g *Gaps) Add(h Gaps) {
	for m := range g.Of {
		g.Of[m] += h.Of[m]
	}
	g.Refused += h.Refused
}

// Keep leaves what is about the sets and clubs that are to be kept. What may be about any stays.
func (b *Beside) Keep(set, id func(string) bool) {
	for m := range b.Unpaired {
		other := func(u Unpaired) bool { return !set(u.Set) || !id(u.ID) }
		b.Unpaired[m] = slices.DeleteFunc(slices.Clone(b.Unpaired[m]), other)
	}
	b.Refused = slices.DeleteFunc(slices.Clone(b.Refused), func(f Refusal) bool {
		return f.Set != "" && !set(f.Set) || f.Club.ID != "" && !id(f.Club.ID)
	})
}

// Spot tells the clubs of a set apart: by their ids or, where a sheet has none, by the club as it was read. The zero
// value is that of a club that could not be read.
type Spot struct {
	id     string
	kind   catalogue.Kind
	number float64
	mark   string
}

// Spot is that of a club, by its id or by the club as it was read.
func (c *Club) Spot(byID bool) Spot {
	if byID {
		return Spot{id: catalogue.Key(c.ID)}
	}
	number, _ := c.Amount(catalogue.Number)
	mark, _ := c.Text(catalogue.Mark)
	return Spot{kind: c.Kind, number: number, mark: catalogue.Key(mark)}
}

// Known reports whether it says which club it is.
func (s Spot) Known() bool { return s.id != "" || s.kind != catalogue.NoKind }

// Own reports whether the set has a row of its own, read or refused.
func (s *Set) Own() bool {
	return len(s.Clubs) > 0 || slices.ContainsFunc(s.Refused, func(f Refusal) bool { return !f.AnySet })
}

// HasIDs reports whether a row of the set states its id.
func (s *Set) HasIDs() bool {
	return slices.ContainsFunc(s.Clubs, func(c *Club) bool { return c.Named }) ||
		slices.ContainsFunc(s.Refused, func(f Refusal) bool { return f.Club.Named })
}
