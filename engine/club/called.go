package club

// This file says what a person calls a club.

import (
	"strconv"
	"strings"

	"ferrule/lang/catalogue"
)

// wedges are the names of wedges by their marks.
var wedges = map[string]string{"PW": "pitching wedge", "AW": "approach wedge", "GW": "gap wedge", "SW": "sand wedge",
	"LW": "lob wedge"}

// Spoken is the club as a person calls it: "7 iron", "3 wood", "sand wedge"; as the sheet has it where its kind is not
// known.
func (c *Club) Spoken() string {
	number, numbered := c.Amount(catalogue.Number)
	mark, marked := c.Text(catalogue.Mark)
	kind := c.Kind.String()
	if c.Kind == catalogue.Fairway {
		kind = "wood"
	}
	switch {
	case c.Kind == catalogue.NoKind && c.Name != "":
		return c.Name
	case c.Kind == catalogue.NoKind:
		return c.ID
	case numbered && c.Kind != catalogue.Driver:
		return strconv.Itoa(int(number)) + " " + kind
	case marked && wedges[mark] != "" && c.Kind == catalogue.Wedge:
		return wedges[mark]
	case marked:
		return mark + " " + kind
	case c.Kind == catalogue.Fairway:
		return "fairway wood"
	}
	return kind
}

// Called is the club as a person calls it, with the id that tells it apart: "7 iron (i7)". Where the sheet has no ids,
// clubs of one name are numbered: "putter (2)".
func (c *Club) Called() string {
	spoken := c.Spoken()
	switch {
	case !c.Named && c.Name != "" && strings.HasPrefix(c.ID, c.Name):
		spoken += c.ID[len(c.Name):]
	case !catalogue.Same(c.ID, spoken):
		spoken += " (" + c.ID + ")"
	}
	if c.Setting != "" {
		spoken += " at " + c.Setting
	}
	return spoken
}
