package build

// This file holds the columns of a cutting list.

import (
	"fmt"

	"ferrule/lang/catalogue"
)

// Columns are the properties that a sheet has as a cutting list, beside those that every
// sheet may have. Declare gives them their IDs.
type Columns struct {
	Shaft, DryBy                                             catalogue.ID // texts
	RawLength, TipTrim, Bore, Target, DryLength              catalogue.ID // lengths
	HeadMass, ShaftMass, ShaftBalance, GripMass, GripBalance catalogue.ID
	TargetSwing                                              catalogue.ID
}

// Declare adds the columns of a cutting list to the properties that a sheet may have. A book
// may have declared one of them already, as long as it is of the same sort; else the error,
// one line for a person, names it.
func Declare(s *catalogue.Schema) (Columns, error) {
	var c Columns
	for _, d := range []struct {
		id   *catalogue.ID
		name string
		sort catalogue.Sort
		like catalogue.ID
	}{
		{&c.Shaft, "shaft", catalogue.Text, 0}, {&c.RawLength, "raw-length", catalogue.Length, 0},
		{&c.TipTrim, "tip-trim", catalogue.Length, 0},
		{&c.Bore, "bore", catalogue.Length, 0}, {&c.Target, "target-length", catalogue.Length, catalogue.LengthID},
		{&c.DryLength, "dry-length", catalogue.Length, catalogue.LengthID}, {&c.DryBy, "dry-by", catalogue.Text, 0},
		{&c.HeadMass, "head-mass", catalogue.Mass, 0}, {&c.ShaftMass, "shaft-mass", catalogue.Mass, 0},
		{&c.ShaftBalance, "shaft-balance", catalogue.Length, 0},
		{&c.GripMass, "grip-mass", catalogue.Mass, 0}, {&c.GripBalance, "grip-balance", catalogue.Length, 0},
		{&c.TargetSwing, "target-swingweight", catalogue.SwingWeight, 0},
	} {
		id, err := s.Declare(catalogue.Property{Name: d.name, Sort: d.sort, Like: d.like})
		if err != nil {
			return Columns{}, fmt.Errorf("a book declares %s differently from a cutting list; expected %s there",
				d.name, declared(d.name, d.sort))
		}
		*d.id = id
	}
	return c, nil
}

// declared is the declaration of a property as a book writes it.
func declared(name string, sort catalogue.Sort) string {
	return "property " + name + " " + sort.String()
}
