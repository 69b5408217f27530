package catalogue

// This file holds what a measurement can be at all, whether it stands in a sheet or in a case
// of a book.

import (
	"math"

	"ferrule/lang/unit"
)

// Sense is what the amount of a property can be, in base units. The zero value bounds nothing.
type Sense struct {
	Low, High float64
	Open      bool   // Low and High themselves are out of sense too
	Text      string // "above 0 and below 180 deg"
}

// HighestNumber is the highest number that a club may have.
const HighestNumber = 1000

// The bounds of sense, in the units that unit.Base shows: common practice, wide enough for
// any club that was ever built.
var (
	above0     = Sense{0, math.Inf(1), true, "above zero"}
	lengthOf   = Sense{0, 120, true, "above zero and below 120 in"}
	lieOf      = Sense{0, 180, true, "above 0 and below 180 deg"}
	loftOf     = Sense{-20, 90, false, "from -20 to 90 deg"}
	bounceOf   = Sense{-45, 90, false, "from -45 to 90 deg"}
	knownSense = [KnownProperties]Sense{
		LengthID: lengthOf, Balance: lengthOf, GripLength: lengthOf, GripDiameter: lengthOf,
		Lie: lieOf, Loft: loftOf, Bounce: bounceOf,
		MassID: above0, FrequencyID: above0, VolumeID: above0, InertiaID: above0, ButtMass: above0, TipMass: above0,
	}
)

// SenseOf returns the bounds of a property.
func SenseOf(p Property) Sense {
	s := Sense{}
	switch {
	case p.ID < KnownProperties:
		s = knownSense[p.ID]
	case p.Method != "":
		s = lengthOf
	case p.Sort == Mass:
		s = above0
	}
	if s.Text != "" {
		u := unit.Base(p.Sort.Dim())
		s.Low = u.ToBase(s.Low)
		if !math.IsInf(s.High, 1) {
			s.High = u.ToBase(s.High)
		}
	}
	return s
}

// Excludes tells whether an amount, in base units, lies outside.
func (s Sense) Excludes(v float64) bool {
	return s.Text != "" && (v < s.Low || v > s.High || s.Open && (v == s.Low || v == s.High))
}

// Senseless says within what the amount of a numeric property must lie, in words, where
// the amount, in base units, does not; "" for an amount that can be meant.
func Senseless(p Property, amount float64) string {
	s := SenseOf(p)
	switch {
	case p.ID == Number && (amount != math.Trunc(amount) || amount < 1 || amount > HighestNumber):
		return "a whole number above zero"
	case s.Excludes(amount):
		return s.Text
	}
	return ""
}
