package unit

// This file holds amounts as people read them.

import "math"

// Amount is a number in base units with the unit to show it in. The zero value
// is not an amount.
type Amount struct {
	Base float64
	Unit *Unit // nil: no amount
	// Swing is set where the amount is a swing weight such as D2, not a step of it.
	Swing bool
}

// Known reports whether there is an amount.
func (a Amount) Known() bool { return a.Unit != nil }

// String returns the amount as a bench reads it, "46 1/2 in"; "unknown" where
// there is none.
func (a Amount) String() string { return a.Text(0, math.Round) }

// Text is String with finer more decimals; the rest is rounded by round: math.Round, math.Ceil or math.Floor.
func (a Amount) Text(finer int, round func(float64) float64) string {
	switch {
	case !a.Known():
		return "unknown"
	case a.Swing:
		return ExactSwing(Shown(a.Base, points, finer, round))
	}
	return printed(a.Base, a.Unit, true, func(amount float64, u *Unit) string {
		return plain(Shown(amount, u, finer, round))
	})
}

// Shown is the number that Text prints.
func (a Amount) Shown(finer int, round func(float64) float64) float64 {
	return Shown(a.Unit.FromBase(a.Base), a.Unit, finer, round)
}

// Written is String of an amount that somebody wrote down, a limit or a reading: up to two
// more decimals are shown where they say it exactly.
func (a Amount) Written() string { return a.Text(a.Places(0), math.Round) }

// Places is how many more decimals than usual Written shows, where finer more are shown anyway.
func (a Amount) Places(finer int) int {
	for more := range 3 {
		if a.Known() && Compare(a.Shown(finer+more, math.Round), a.Unit.FromBase(a.Base)) == 0 {
			return finer + more
		}
	}
	return finer
}

// Finer is how many decimals more than usual it takes until what has to differ in print does. Differ is asked of none
// more, of one more and so on.
func Finer(differ func(finer int) bool) int {
	const most = 12 // Compare does not see more
	n := 0
	for n < most && !differ(n) {
		n++
	}
	return n
}

// Cut is an amount to take off or to add, to the last digit.
func (a Amount) Cut() string {
	if !a.Known() {
		return ""
	}
	return Exact(a.Base, a.Unit)
}
