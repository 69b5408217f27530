package club_test

import (
	"testing"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
)

// A club is called what people at a bench call it (common practice), and two of one name are told apart.
func TestCalled(t *testing.T) {
	for _, c := range []struct {
		club                club.Club
		number              float64
		mark, spoken, names string
	}{
		{club.Club{ID: "i7", Named: true, Kind: catalogue.Iron, Name: "7i"}, 7, "", "7 iron", "7 iron (i7)"},
		{club.Club{ID: "f3", Named: true, Kind: catalogue.Fairway}, 3, "", "3 wood", "3 wood (f3)"},
		{club.Club{ID: "f", Named: true, Kind: catalogue.Fairway}, 0, "", "fairway wood", "fairway wood (f)"},
		{club.Club{ID: "sw", Named: true, Kind: catalogue.Wedge}, 0, "SW", "sand wedge", "sand wedge (sw)"},
		{club.Club{ID: "60", Named: true, Kind: catalogue.Wedge}, 0, "60", "60 wedge", "60 wedge (60)"},
		{club.Club{ID: "d1", Named: true, Kind: catalogue.Driver}, 1, "", "driver", "driver (d1)"},
		{club.Club{ID: "Putter", Named: true, Kind: catalogue.Putter}, 0, "", "putter", "putter"},
		{club.Club{ID: "7i", Kind: catalogue.Iron, Name: "7i"}, 7, "", "7 iron", "7 iron"},
		{club.Club{ID: "7i (2)", Kind: catalogue.Iron, Name: "7i"}, 7, "", "7 iron", "7 iron (2)"},
		{club.Club{ID: "h4", Named: true, Kind: catalogue.Hybrid, Setting: "low"}, 4, "", "4 hybrid", "4 hybrid (h4) at low"},
		{club.Club{ID: "x", Named: true, Name: "odd stick"}, 0, "", "odd stick", "odd stick (x)"},
	} {
		k := club.Club{}
		k.Reset(int(catalogue.KnownProperties))
		k.ID, k.Named, k.Kind, k.Name, k.Setting = c.club.ID, c.club.Named, c.club.Kind, c.club.Name, c.club.Setting
		if c.number > 0 {
			k.SetAmount(catalogue.Number, c.number)
		}
		if c.mark != "" {
			k.SetText(catalogue.Mark, c.mark)
		}
		if k.Spoken() != c.spoken || k.Called() != c.names {
			t.Errorf("%s is %q and %q, want %q and %q", c.club.ID, k.Spoken(), k.Called(), c.spoken, c.names)
		}
	}
}
