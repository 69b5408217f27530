package build

// This file works out the swing weight of a club from its parts, before they are glued. The scale's fulcrum is 14 in
// from the very end of the grip (common practice), so every place is counted from there. The butt of the shaft is cap
// and crown away from it, the head the finished shaft and the bore further.

import (
	"fmt"
	"slices"

	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Swing is the swing weight to expect of the head, the cut shaft and the grip. Anything else in a
// club, such as epoxy and a ferrule, is left out. The zero value was not asked for.
type Swing struct {
	Weight    unit.Amount // points from A0, as it will be
	Target    unit.Amount // what is wanted
	AddToHead unit.Amount // the mass that brings it there; below 0: to be taken away
	// where the mass per length at the butt and the tip comes from; "" where nothing is cut there
	Butt, Tip string
}

// Finished is the swing weight of the club as it will be handed over: the target where it
// takes a mass on the head to reach it, else as worked out.
func (s *Swing) Finished() unit.Amount {
	if s.AddToHead.Known() && s.AddToHead.Base >= 0 {
		return s.Target
	}
	return s.Weight
}

// swingWeight is an amount of points from A0.
func swingWeight(points float64) unit.Amount {
	return unit.Amount{Base: points, Unit: unit.Base(unit.Swing), Swing: true}
}

// foretell works out the swing weight of a club for which some mass, balance or target is
// stated. The fault says why the row is refused.
func (b *Builder) foretell(k *Club) *fault {
	cols, c := &b.o.Columns, k.Club
	parts := []catalogue.ID{cols.HeadMass, cols.ShaftMass, cols.ShaftBalance, cols.GripMass, cols.GripBalance}
	wanted, asked := c.Amount(cols.TargetSwing)
	switch {
	case asked:
		k.Swing.Target = swingWeight(wanted)
	case c.Stated(cols.TargetSwing):
		b.lacksColumn(k, cols.TargetSwing)
	case !slices.ContainsFunc(parts, c.Stated):
		return nil
	}
	complete := k.placed
	var v [5]float64
	for i, id := range parts {
		var ok bool
		if v[i], ok = c.Amount(id); !ok {
			b.lacksColumn(k, id)
			complete = false
		}
	}
	end, lacks := b.judge.GripEnd(c)
	if !end.Known() {
		k.lacks(lacks...)
		complete = false
	}
	butt, buttOK := b.perLength(k, k.ButtCut, catalogue.ButtMass, book.ButtMass, &k.Swing.Butt)
	tip, tipOK := b.perLength(k, k.TipTrim, catalogue.TipMass, book.TipMass, &k.Swing.Tip)
	if !complete || !buttOK || !tipOK {
		return nil
	}
	if pieces := butt*k.ButtCut.Base + tip*k.TipTrim.Base; pieces >= v[1] {
		return &fault{column: cols.ShaftMass, read: unit.Exact(v[1], unit.Lookup("g")),
			message: fmt.Sprintf("the pieces to be cut off weigh %s, as much as the shaft of %s or more; expected a "+
				"heavier shaft, or less mass for each length at its ends",
				unit.FormatFine(pieces, unit.Lookup("g")), unit.Exact(v[1], unit.Lookup("g")))}
	}
	shaft := measure.Body{Mass: v[1], Balance: v[2]}
	shaft = shaft.CutTip(k.Raw.Base, k.TipTrim.Base, tip).CutButt(k.ButtCut.Base, butt)
	shaft.Balance += end.Base
	head := measure.Body{Mass: v[0], Balance: end.Base + k.bare}
	whole := shaft.With(head).With(measure.Body{Mass: v[3], Balance: v[4]})
	if !whole.Sound() {
		return nil
	}
	k.Swing.Weight = swingWeight(whole.SwingWeight())
	if k.Swing.Target.Known() {
		if unit.Compare(head.Balance, inch.ToBase(14)) > 0 {
			k.Swing.AddToHead = unit.Amount{Base: whole.MassFor(wanted, head.Balance), Unit: unit.Lookup("g")}
		} else {
			k.lacks(value.Lack{Kind: value.BeforeFulcrum, Club: c.Called()})
		}
	}
	return nil
}

// perLength is the mass per length of a piece that is cut off, by the sheet or else by a
// book; false where it is needed and it is not stated.
func (b *Builder) perLength(k *Club, cut unit.Amount, id catalogue.ID,
	said func([]*book.Book) (*book.Constant, bool), from *string) (float64, bool) {
	name := b.program.Schema.Property(id).Name
	if !cut.Known() || cut.Base == 0 {
		return 0, true
	}
	if v, ok := k.Club.Amount(id); ok {
		*from = unit.Exact(v, unit.Lookup("g/in")) + " of the sheet"
		return v, true
	}
	if k.Club.Slip(id) != "" {
		b.lacksColumn(k, id)
		return 0, false
	}
	c, differ := said(b.program.Books)
	if c != nil {
		*from = unit.Exact(c.Base, c.Unit) + " of the book"
		return c.Base, true
	}
	kind := value.NoMass
	if differ {
		kind = value.MassesDiffer
	}
	k.lacks(value.Lack{Kind: kind, Property: name, Club: k.Club.Called()})
	return 0, false
}
