package catalogue

// This file holds what clubs commonly are, for whoever needs an example of one: common practice, from memory.

// Build is what a common club of a kind measures.
type Build struct {
	Length    float64 // inches
	Lie, Loft float64 // degrees
}

// Builds are common clubs, kind by kind. That of irons is the 6 iron.
var Builds = map[Kind]Build{
	Driver: {45, 58, 10}, Fairway: {43, 57, 16}, Hybrid: {39.5, 60, 22}, Iron: {37.5, 61.5, 30},
	Wedge: {35.5, 64, 50}, Putter: {34, 71, 3}, Chipper: {35, 68, 32},
}

// UsualNumbers are the numbers of an example of a kind whose clubs have one, where no other counts.
var UsualNumbers = map[Kind]int{Driver: 1, Iron: 7, Fairway: 3, Hybrid: 4}

// Stamps are the marks that name a wedge by themselves.
var Stamps = []string{"PW", "GW", "AW", "SW", "LW"}

// WedgeLofts are common lofts of wedges in degrees by their marks.
var WedgeLofts = map[string]float64{"PW": 46, "GW": 50, "AW": 51, "SW": 55, "LW": 59, "XW": 62}
