package contrast

// This file narrows the search where a rule stands as it did and only heads, allowances or methods are others: clubs
// whose head and allowances are what they were are judged as they were.

import (
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// shift is what became another of how lengths are measured that a rule asks for.
type shift uint8

const (
	nothingMoved shift = iota
	shopMoved          // heads and allowances, and nothing else
	moreMoved          // methods, or something else beside heads and allowances
)

// shifted says what moved for a rule.
func (d *Books) shifted(p Pair, parts []What) shift {
	if !slices.Contains(parts, Limit) || !d.measured(p) {
		return nothingMoved
	}
	a, b := d.inForm(p)
	shops, methods := d.shopsAmount, d.movedAmount
	if !a.Simple || !b.Simple {
		shops, methods = d.shops, methods || d.anyMoved()
	}
	renamed := !slices.Equal(a.Methods, b.Methods) // sheets that name one cannot be read with the other
	switch {
	case shops && !methods && !renamed && len(parts) == 1 && a.Limit == b.Limit:
		return shopMoved
	case shops, methods:
		return moreMoved
	}
	return nothingMoved
}

// reaches reports whether the head or an allowance of a club of a bag is another, and notes that there is such a club.
func (u *Comparison) reaches(b space.Bag) bool {
	if !u.turnedUp(b) {
		return false
	}
	u.reached = true
	return true
}

// turnedUp is reaches, and notes nothing.
func (u *Comparison) turnedUp(b space.Bag) bool {
	return slices.ContainsFunc(b, func(d space.Draft) bool {
		var text [2]string
		for i, s := range u.sides {
			d.LayInto(&s.club, s.program.Schema)
			known := false
			if text[i], known = s.probe.Shop(&s.club, !u.sure); !known {
				return true
			}
		}
		return text[0] != text[1]
	})
}

// lies notes lies so far from a plane that a club is on its toe or its heel there.
func (u *Comparison) lies() {
	a := u.Axis(u.old.Schema.Property(catalogue.Lie))
	for _, deg := range []float64{40, 80} {
		a.Turns = append(a.Turns, unit.Base(unit.Angle).ToBase(deg))
	}
}

// hangs reports whether lengths may be others on clubs of shapes and lies that were not tried.
func (u *Comparison) hangs() bool { return u.shift != nothingMoved && u.reached }

// readOtherwise reports whether a length of a bag is read, or asked for, by a method that is another, or brought to one
// by another shop.
func (u *Comparison) readOtherwise(b space.Bag) bool {
	for _, s := range u.sides {
		if s.rule != nil && slices.ContainsFunc(u.Written[s.rule].Methods, func(m string) bool { return u.moved[m] }) {
			return true
		}
	}
	read := slices.ContainsFunc(b, func(d space.Draft) bool {
		return (d.Of("length") != nil || d.Of("ordered length") != nil) && u.moved[d.Method]
	})
	return read || u.shops && u.turnedUp(b)
}
