package wording

// This file words what a sheet and an order beside it differ in.

import (
	"fmt"
	"strings"

	"ferrule/engine/club"
)

// Unpaired says of clubs of a set, in one sentence, that they have no counterpart.
func Unpaired(m club.Mismatch, all ...club.Unpaired) string {
	parts := make([]string, len(all))
	for i, u := range all {
		if parts[i] = Visible(u.Called); m == club.OtherClub {
			parts[i] = fmt.Sprintf("%s is the %s on the sheet and the %s in row %d of the order", Visible(u.ID),
				Visible(u.Spoken), Visible(u.As), u.Ordered.Row)
		}
	}
	switch m {
	case club.NotOnSheet:
		return strings.Join(parts, ", ") + ": ordered, and not on the sheet"
	case club.NotOrdered:
		return strings.Join(parts, ", ") + ": on the sheet, and not ordered"
	}
	return strings.Join(parts, "; ")
}
