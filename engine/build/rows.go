package build

// This file holds the columns of a cutting list, and refuses the rows by which no shaft can be cut.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Columns are the properties that a sheet has as a cutting list, beside those that every
// sheet may have. Declare gives them their IDs.
type Columns struct {
	Shaft, DryBy                                             catalogue.ID // texts
	RawLength, TipTrim, Bore, Target, DryLength              catalogue.ID // lengths
	HeadMass, ShaftMass, ShaftBalance, GripMass, GripBalance catalogue.ID
	TargetSwing                                              catalogue.ID
}

// Declare adds the columns of a cutting list to the properties that a sheet may have. A book
// may have declared one of them already, as long as it is of the same sort; else the error,
// one line for a person, names it.
func Declare(s *catalogue.Schema) (Columns, error) {
	var c Columns
	for _, d := range []struct {
		id   *catalogue.ID
		name string
	}{
		{&c.Shaft, "shaft"}, {&c.RawLength, "raw-length"}, {&c.TipTrim, "tip-trim"}, {&c.Bore, "bore"},
		{&c.Target, "target-length"}, {&c.DryBy, "dry-by"}, {&c.DryLength, "dry-length"}, {&c.HeadMass, "head-mass"},
		{&c.ShaftMass, "shaft-mass"}, {&c.ShaftBalance, "shaft-balance"}, {&c.GripMass, "grip-mass"},
		{&c.GripBalance, "grip-balance"}, {&c.TargetSwing, "target-swingweight"},
	} {
		p, err := s.DeclarePart(d.name)
		if err != nil {
			return Columns{}, fmt.Errorf("a book declares %s differently from a cutting list; expected property %s %s "+
				"there", p.Name, p.Name, p.Sort)
		}
		*d.id = p.ID
	}
	return c, nil
}

// fault is why a row is refused: the column to blame, if any, and what it said.
type fault struct {
	column        catalogue.ID // KindID: none
	read          string
	message, hint string
}

// refuse moves a row to the refused ones of its set.
func (b *Builder) refuse(s *club.Set, c *club.Club, f fault) {
	r := club.Refusal{Row: c.Place(), Read: f.read, Message: f.message, Hint: f.hint, Set: s.Name, Club: c}
	if f.column != catalogue.KindID && headed(c, f.column) {
		r.Column = c.Sheet.Headings[f.column]
	}
	s.Refused = append(s.Refused, r)
	s.Rows--
}

// settings refuses every row of a club but the first: it has one shaft.
func (b *Builder) settings(s *club.Set, c *club.Club) {
	for next := c.Next; next != nil; next = next.Next {
		b.refuse(s, next, fault{message: fmt.Sprintf("%s is in row %d already, at another setting, and a shaft is cut "+
			"once; expected one row for each shaft, at the setting in which the club is to play to its target",
			diag.Quote(c.ID), c.Row)})
	}
	c.Next = nil
}

// contradiction is what is impossible about a row, before anything is worked out; nil
// where nothing is.
func (b *Builder) contradiction(c *club.Club) *fault {
	cols := &b.o.Columns
	for _, id := range []catalogue.ID{cols.Target, cols.TargetSwing} {
		r := c.Reading(id)
		differs := func(v float64) bool { return v != r.Values[0] } // rows of one club may say the target each
		if r.HasHalf || slices.ContainsFunc(r.Values, differs) {
			u := unit.Base(b.program.Schema.Property(id).Sort.Dim())
			read := strings.Join(lists.Each(c.Readings(id), func(v float64) string { return unit.Exact(v, u) }), " | ")
			if r.HasHalf {
				read += " +/- " + unit.Exact(r.Half, u)
			}
			return &fault{column: id, read: cmp.Or(r.Read, read),
				message: "a target is one figure to build to; expected it without +/- and without repeats"}
		}
	}
	raw, hasRaw := c.Amount(cols.RawLength)
	if tip, ok := c.AsRead(cols.TipTrim); ok && hasRaw && unit.Compare(tip, raw) >= 0 {
		return &fault{column: cols.TipTrim, read: unit.Exact(tip, inch),
			message: fmt.Sprintf("%s cannot be cut off the tip of a shaft of %s; expected less than the shaft has",
				unit.Exact(tip, inch), unit.Exact(raw, inch))}
	}
	if at, ok := c.Amount(cols.ShaftBalance); ok && hasRaw && unit.Compare(at, raw) >= 0 {
		return &fault{column: cols.ShaftBalance, read: unit.Exact(at, inch),
			message: fmt.Sprintf("a shaft of %s cannot balance %s from its butt; expected a point on the shaft",
				unit.Exact(raw, inch), unit.Exact(at, inch))}
	}
	return nil
}

// noShaft is the fault of a target that leaves no shaft at all.
func (b *Builder) noShaft(k *Club) *fault {
	f := &fault{message: fmt.Sprintf("a bore of %s leaves no shaft in a club of %s by %s; expected a longer target "+
		"or a shorter bore",
		unit.Exact(k.Bore.Base, inch), unit.Exact(k.Target.Base, inch), k.By)}
	if !k.Charted {
		f.column, f.read = b.o.Columns.Target, unit.Exact(k.Target.Base, inch)
	}
	return f
}

// mark finds the mark of a club's shaft and refuses a shaft that another row of the set uses: it
// can be cut once.
func (b *Builder) mark(k *Club, marks map[string]club.Row) *fault {
	k.Shaft, _ = k.Club.Text(b.o.Columns.Shaft)
	if k.Shaft == "" {
		k.Shaft, k.Unmarked = k.Club.ID, true
	}
	k.Shaft = strings.Clone(k.Shaft)
	mark := catalogue.Key(k.Shaft)
	first, taken := marks[mark]
	switch {
	case taken && k.Unmarked:
		return &fault{message: fmt.Sprintf("this shaft has no mark, so the club's id %s would serve, "+
			"but row %d has a shaft with that mark; give each shaft a mark of its own", diag.Quote(k.Shaft), first.Row)}
	case taken:
		return &fault{column: b.o.Columns.Shaft, read: k.Shaft,
			message: fmt.Sprintf("row %d already cuts the shaft %s, and a shaft is cut once; "+
				"give each shaft of a set a row and a mark of its own", first.Row, diag.Quote(k.Shaft))}
	}
	marks[mark] = k.Club.Place()
	return nil
}
