package sheet

// This file holds an order beside the clubs of a sheet: it finds for each club the row of the order that is meant for
// it. A row that may be meant for another club, too, is Loose, so that nothing passes by it.

import (
	"fmt"
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
)

// Order is an order, read whole.
type Order struct {
	File     string
	Warnings []Problem // what a person should look at
	sheet    *club.Sheet
	bags     []*ordered
	named    map[string]*ordered // the same, by their names
	other    *ordered            // what sets are held against that it does not have
	aside    club.Aside
	met      map[*ordered]bool // those that were on a sheet
}

// ordered is a set of an order: its clubs, and what was read of rows that are refused, each by the club as it was read
// and by its id.
type ordered struct {
	set          *club.Set
	rows, unread [2]map[club.Spot][]*club.Club
}

// ReadOrder reads an order. It must be small enough to be gathered.
func ReadOrder(name string, in io.Reader, o Options) (*Order, *Problem) {
	r, p := Open(name, in, o)
	if p != nil {
		return nil, p
	}
	if r.Streamed() {
		message := "the order has more than " + grouped(r.opts.caps.gathered) + " rows; expected a smaller one"
		return nil, &Problem{File: name, Message: message}
	}
	out := &Order{File: name, named: map[string]*ordered{}}
	of, stray := &out.aside.Order, new(club.Set)
	for set, ok := r.Next(); ok; set, ok = r.Next() {
		if set.Own() {
			b := newOrdered(set)
			out.bags, out.named[catalogue.Key(set.Name)] = append(out.bags, b), b
		}
		out.aside.Add(set.Aside)
		for f := range set.NewlyRefused() {
			if of.Refused = append(of.Refused, f); f.AnySet {
				stray.Refused = append(stray.Refused, f)
			}
		}
		for _, c := range set.Clubs {
			for ; c != nil; c = c.Next {
				of.Doubts = append(of.Doubts, c.Doubts()...)
			}
		}
	}
	out.other, out.sheet, out.Warnings, out.aside.Skipped = newOrdered(stray), r.head.sheet, r.Warnings(), 0
	return out.Anew(), r.Problem()
}

// Anew returns the order as it was before it was held against a sheet; nil of none.
func (o *Order) Anew() *Order {
	if o == nil {
		return nil
	}
	out := *o
	out.met = map[*ordered]bool{}
	return &out
}

func newOrdered(s *club.Set) *ordered {
	b := &ordered{set: s}
	for id := range b.rows {
		b.rows[id], b.unread[id] = map[club.Spot][]*club.Club{}, map[club.Spot][]*club.Club{}
		for _, c := range s.Clubs {
			k := c.Spot(id > 0)
			b.rows[id][k] = append(b.rows[id][k], c)
		}
		for _, f := range s.Refused {
			k := f.Club.Spot(id > 0)
			b.unread[id][k] = append(b.unread[id][k], f.Club)
		}
	}
	return b
}

// of returns what a set of a sheet is held against: the set of its name or, where one side has no sets, the only one of
// the other. Only says that the sheet has no other set.
func (o *Order) of(name string, only bool) *ordered {
	b := o.named[catalogue.Key(name)]
	if b == nil && len(o.bags) == 1 && (name == "" || only && o.bags[0].set.Name == "") {
		b = o.bags[0]
	}
	if b == nil {
		return o.other
	}
	o.met[b] = true
	return b
}

// rest are the sets of the order that were on no sheet, unless that is not known. The first one brings what is wrong
// with the order itself, and what is still to be given beside it.
func (o *Order) rest(aside club.Aside, known bool) []RawSet {
	aside.Add(o.aside)
	out := []RawSet{{ordered: o.other, aside: aside}}
	for _, b := range o.bags {
		if known && !o.met[b] {
			out = append(out, RawSet{name: b.set.Name, ordered: b})
		}
	}
	for i := range out {
		out[i].head, out[i].aside.Order.File = &head{sheet: o.sheet}, o.File
	}
	return out
}

// pair gives each club of a set its row of the order, and notes what has none.
func (b *ordered) pair(s *club.Set) {
	id := 0
	if s.HasIDs() && b.set.HasIDs() {
		id = 1
	}
	here, unread, met := map[club.Spot]int{}, map[club.Spot]bool{}, map[*club.Club]bool{}
	for _, c := range s.Clubs {
		here[c.Spot(id > 0)]++
	}
	for _, f := range s.Refused {
		unread[f.Club.Spot(id > 0)] = true
	}
	note := func(m club.Mismatch, u club.Unpaired) { s.Order.Unpaired[m] = append(s.Order.Unpaired[m], u) }
	taken := map[club.Spot]int{}
	for _, c := range s.Clubs {
		k := c.Spot(id > 0)
		rows, bad, n := b.rows[id][k], b.unread[id][k], taken[k]
		taken[k]++
		if n >= len(rows) && bad == nil {
			note(club.NotOrdered, unpaired(s.Name, c))
			bad = b.unread[id][club.Spot{}] // one of these may be for it
		}
		alone := len(rows) == 1 && here[k] == 1 && (id > 0 || bad == nil && !unread[k])
		for d := c; d != nil; d = d.Next {
			switch {
			case alone:
				other := take(d, rows[0], bad)
				if other == nil {
					if met[d.Order] = true; d.Order != nil && d.Order.Unsure != "" {
						doubt(s, d, "add the setting at which it was measured")
					}
					break
				}
				u := unpaired(s.Name, d)
				u.Ordered, u.As = other.Place(), other.Spoken()
				note(club.OtherClub, u)
				d.Order = loose(other, fmt.Sprintf("row %d of the order is the %s", other.Row, u.As))
				meet(met, rows[0])
			case rows != nil: // nobody can tell which of them it is
				d.Order = loose(rows[0], alike(slices.Concat(rows, bad)))
				doubt(s, d, "give each an id on both sheets")
				meet(met, rows[min(n, len(rows)-1)])
			case bad != nil:
				d.Order = bad[0]
			}
		}
		setApart(c)
	}
	for _, c := range b.set.Clubs {
		for ; c != nil; c = c.Next {
			if !met[c] && !unread[c.Spot(id > 0)] {
				note(club.NotOnSheet, unpaired(b.set.Name, c))
			}
		}
	}
}

// meet notes that a row of the order is met, at each setting.
func meet(met map[*club.Club]bool, row *club.Club) {
	for ; row != nil; row = row.Next {
		met[row] = true
	}
}

// setApart sets at which settings a club is not held against an order that has another one of them.
func setApart(c *club.Club) {
	ordered := false
	for d := c; d != nil; d = d.Next {
		ordered = ordered || d.Order != nil
	}
	for d := c; d != nil; d = d.Next {
		d.Apart = ordered && d.Order == nil
	}
}

// alike says why a club has none of the rows of the order that could be for it.
func alike(rows []*club.Club) string {
	at := []int{rows[0].Row}
	for _, c := range rows[1:] {
		at = append(at, c.Row)
	}
	if slices.Sort(at); len(at) > 1 {
		return fmt.Sprintf("rows %d and %d of the order could each be for it", at[0], at[1])
	}
	return fmt.Sprintf("row %d of the order could be for another club that reads alike", at[0])
}

// doubt notes what would settle why a club has no row of the order that can be relied upon.
func doubt(s *club.Set, c *club.Club, mend string) {
	s.Order.Doubts = append(s.Order.Doubts, club.Doubt{Row: c.Place(), Column: c.Sheet.Headings[catalogue.KindID],
		Read: c.Name, Message: c.Order.Unsure + "; " + mend})
}

// take gives a club at a setting its row of the order. It returns that row where it is another club.
func take(c, rows *club.Club, unread []*club.Club) (other *club.Club) {
	c.Order = rowAt(rows, unread, c.Setting)
	as := c.Order
	if as == nil || as.Loose {
		as = rows
	}
	if as.SameClub(c) {
		return nil
	}
	return as
}

// rowAt returns the row for a club at a setting: that of the setting, else the one without; nil where the order names
// other settings alone. It is Loose where it could not be read, or where the club's row names no setting.
func rowAt(rows *club.Club, unread []*club.Club, setting string) *club.Club {
	for _, at := range []string{setting, ""} {
		for c := rows; c != nil; c = c.Next {
			if catalogue.Same(c.Setting, at) {
				return c
			}
		}
		for _, c := range unread {
			if catalogue.Same(c.Setting, at) {
				return c
			}
		}
	}
	if setting == "" {
		return loose(rows, "the order names a setting and the sheet does not")
	}
	return nil
}

// loose is a row of which nothing can be relied upon, and why.
func loose(c *club.Club, why string) *club.Club {
	out := c.Clone()
	out.Loose, out.Unsure = true, why
	return out
}

func unpaired(set string, c *club.Club) club.Unpaired {
	return club.Unpaired{Row: c.Place(), Set: set, ID: c.ID, Setting: c.Setting, Named: c.Named, Name: c.Name,
		Called: c.Called(), Spoken: c.Spoken()}
}
