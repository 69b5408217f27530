package catalogue

// This file holds what clubs commonly are, for whoever needs an example of one: common practice, from memory.

import "ferrule/lang/unit"

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
var UsualNumbers = map[Kind]int{Iron: 7, Fairway: 3, Hybrid: 4}

// Stamps are the marks that name a wedge by themselves.
var Stamps = []string{"PW", "GW", "AW", "SW", "LW"}

// WedgeLofts are common lofts of wedges in degrees by their marks.
var WedgeLofts = map[string]float64{"PW": 46, "GW": 50, "AW": 51, "SW": 55, "LW": 59, "XW": 62}

// Common figures of properties that differ little from kind to kind, and of those that a book declares, in the units of
// unit.Base. That of days is the first of 2020.
var (
	common = map[ID]float64{
		Bounce: 8, MassID: 400, Balance: 29, SwingWeightID: 32, FrequencyID: 300, VolumeID: 400,
		InertiaID: 4000, GripLength: 10, GripDiameter: 0.9, ButtMass: 1.6, TipMass: 2,
	}
	commonOfSort = map[Sort]float64{
		Length: 2, Angle: 5, Mass: 50, Time: 200, Frequency: 300, Area: 0.001, Volume: 50, Inertia: 3000,
		Moment: 200, LineMass: 2, SwingWeight: 32, Count: 3, Ratio: 0.5, Date: 18262,
	}
)

// Common is a common figure of a property that differs little from kind to kind, in base units.
func Common(p Property) float64 {
	n, ok := common[p.ID]
	if !ok {
		n = commonOfSort[p.Sort]
	}
	return unit.Base(p.Sort.Dim()).ToBase(n)
}
