package trial

// This file says what a case can hold of a bag that is tried.

import (
	"ferrule/engine/space"
	"ferrule/lang/unit"
)

// settle rounds the readings of a bag to what a case says of them; false where it cannot say one in few digits, or no
// club can have it.
func settle(b space.Bag) bool {
	const longest = 14
	for i := range b {
		for k := range b[i].Readings {
			r := &b[i].Readings[k]
			if !r.Prop.Sort.Numeric() || r.None {
				continue
			}
			values := r.Values()
			for m, v := range values {
				text, exact, ok := space.Settled(v, r.Prop, r.Unit)
				short := len(text)-len(r.Unit.Name) <= longest
				if !ok || !short || unit.Compare(exact, v) != 0 || !space.Plausible(r.Prop, exact) {
					return false
				}
				values[m] = exact
			}
			r.Read(values)
		}
	}
	return true
}

// coarse is a half-width that a reading may be stated with: 1/16 in for the length of a
// club, else five small round steps.
func coarse(r *space.Reading) float64 {
	if inch := unit.Base(unit.Length); r.Unit.Dim == unit.Length && r.Amount > inch.ToBase(8) {
		return inch.ToBase(1.0 / 16)
	}
	return r.Step() / 2
}
