package catalogue

import "slices"

// benchOrder is the order in which a club is measured at the bench (common practice): what needs the club in the
// loft and lie machine first, then the ruler, then the scales.
var benchOrder = []ID{Loft, Lie, LengthID, SwingWeightID, MassID, Balance, FrequencyID}

// Turn is when a property has its turn as a club is measured at the bench: less is earlier. Those that have no place of
// their own come last, as they are declared.
func Turn(p ID) int {
	if i := slices.Index(benchOrder, p); i >= 0 {
		return i
	}
	return len(benchOrder) + int(p)
}
