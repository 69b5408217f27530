package catalogue

// This file holds what a measurement can be, in a sheet or in a case of a book: what a
// club of its kind can possibly have, and what it usually has.

import (
	"math"

	"ferrule/lang/unit"
)

// Span is a range of amounts in base units, its ends included.
type Span struct{ Low, High float64 }

// Holds reports whether an amount lies in the range.
func (s Span) Holds(v float64) bool { return v >= s.Low && v <= s.High }

// Text is the range as a person says it: "10 to 72 in".
func (s Span) Text(p Property) string {
	u := unit.Base(p.Sort.Dim())
	if p.Sort == SwingWeight {
		return unit.FormatSwing(s.Low) + " to " + unit.FormatSwing(s.High)
	}
	return unit.Format(u.FromBase(s.Low), nil) + " to " + unit.Format(s.High, u)
}

// Range is what the readings of a property can possibly be, and what they usually are, for clubs of one kind.
type Range struct{ Possible, Usual Span }

// MostHalf is the largest half-width that a reading can have: a tenth of all that is possible. One that wide
// says next to nothing of the club.
func (r *Range) MostHalf() float64 { return (r.Possible.High - r.Possible.Low) / 10 }

// HighestNumber is the highest number that a club may have.
const HighestNumber = 1000

// The ranges, in the units that unit.Base shows: common practice, wide on purpose, juniors' clubs included.
// A property that is in neither table is not bounded; one without a usual range is usual wherever it
// is possible.
var (
	possible = map[ID]Span{
		LengthID: {10, 72}, Lie: {20, 90}, Loft: {-20, 90}, Bounce: {-45, 90}, MassID: {80, 2000}, Balance: {1, 72},
		SwingWeightID: {-50, 150}, FrequencyID: {20, 2000}, VolumeID: {1, 1000}, InertiaID: {50, 50000},
		GripLength: {1, 60}, GripDiameter: {0.1, 4}, ButtMass: {0.05, 50}, TipMass: {0.05, 50},
	}
	usual = map[ID]Span{Lie: {50, 80}, Loft: {0, 70}, MassID: {150, 700}, Bounce: {-5, 30}, GripLength: {4, 30},
		GripDiameter: {0.4, 2}}
	// What differs from kind to kind.
	usualOf = map[Kind]map[ID]Span{
		Driver: {LengthID: {30, 48}, Loft: {2, 30}, VolumeID: {100, 480}}, Fairway: {LengthID: {28, 47}},
		Hybrid: {LengthID: {26, 44}}, Iron: {LengthID: {24, 42}}, Wedge: {LengthID: {24, 38}},
		Putter: {LengthID: {20, 55}, Loft: {-5, 70}}, Chipper: {LengthID: {20, 42}},
	}
	everything = Span{math.Inf(-1), math.Inf(1)}
	boundless  = Range{everything, everything}
	ranges     = worked()
)

// worked puts the tables together, in base units.
func worked() (out [KnownProperties][Chipper + 1]Range) {
	for id := range out {
		u := unit.Base(known[id].Sort.Dim())
		for kind := range out[id] {
			r := &out[id][kind]
			*r = boundless
			for _, of := range []map[ID]Span{possible, usual, usualOf[Kind(kind)]} {
				s, ok := of[ID(id)]
				if !ok {
					continue
				}
				s = Span{u.ToBase(s.Low), u.ToBase(s.High)}
				if r.Possible == everything {
					r.Possible = s
				}
				r.Usual = s
			}
		}
	}
	return out
}

// RangeOf returns what readings of a property of a kind of club can be; of NoKind what those of any club can.
func RangeOf(p Property, k Kind) *Range {
	switch {
	case p.Method != "":
		return &ranges[LengthID][k]
	case p.Like != 0:
		return &ranges[p.Like][k]
	case p.ID < KnownProperties:
		return &ranges[p.ID][k]
	}
	return &boundless
}

// Possible reports whether some club can have an amount of a property.
func Possible(p Property, amount float64) bool { return RangeOf(p, NoKind).Possible.Holds(amount) }

// Senseless says what the amount of a numeric property, in base units, must be where no measurement gives it
// at all; "" for an amount that a bench could read.
func Senseless(p Property, amount float64) string {
	if p.ID == Number {
		if amount != math.Trunc(amount) || amount < 1 || amount > HighestNumber {
			return "a whole number above zero"
		}
		return ""
	}
	positive := p.Method != "" || p.Like != 0 || p.ID < KnownProperties && possible[p.ID].Low > 0
	switch p.Sort {
	case Mass, Time, Frequency, Volume, Inertia: // of anything that there is to measure
		positive = true
	}
	if positive && amount <= 0 {
		return "above zero"
	}
	return ""
}
