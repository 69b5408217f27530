package wording

// This file words what a sheet and an order beside it differ in.

import (
	"fmt"
	"strings"

	"ferrule/engine/club"
)

// Unpaired says of a club that it has no counterpart.
func Unpaired(m club.Mismatch, u club.Unpaired) string {
	switch called := Visible(u.Called); m {
	case club.OtherClub:
		return fmt.Sprintf("%s is the %s on the sheet and the %s in row %d of the order", Visible(u.ID),
			Visible(u.Spoken), Visible(u.As), u.Ordered.Row)
	case club.NotOnSheet:
		return called + " was ordered and is not on the sheet"
	default:
		return called + " is on the sheet and was not ordered"
	}
}

// AllUnpaired says the same of the clubs of a set in one sentence; "" of none.
func AllUnpaired(m club.Mismatch, all []club.Unpaired) string {
	var parts []string
	for _, u := range all {
		if m == club.OtherClub {
			parts = append(parts, Unpaired(m, u))
		} else {
			parts = append(parts, Visible(u.Called))
		}
	}
	switch {
	case parts == nil || m == club.OtherClub:
		return strings.Join(parts, "; ")
	case m == club.NotOnSheet:
		return strings.Join(parts, ", ") + ": ordered, and not on the sheet"
	}
	return strings.Join(parts, ", ") + ": on the sheet, and not ordered"
}
