package club

// This file holds what is odd about readings to published figures and to the ranges of the trade.

import (
	"math"
	"strings"
	"testing"

	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// The factors of the critical range are the 95 % points of the range of n normal readings (ISO 5725-6): P(range <= r) is
// n times the integral of phi(x)(Phi(x+r) - Phi(x))^(n-1), here by the trapezoidal rule, and the factors have one decimal.
func TestCriticalRange(t *testing.T) {
	cumulative := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	within := func(n int, r float64) float64 {
		const step = 0.01
		sum := 0.0
		for x := -8.0; x <= 8; x += step {
			sum += math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * math.Pow(cumulative(x+r)-cumulative(x), float64(n-1)) * step
		}
		return float64(n) * sum
	}
	for n := 2; n < len(critical); n++ {
		if low, high := within(n, critical[n]-0.051), within(n, critical[n]+0.051); low > 0.95 || high < 0.95 {
			t.Errorf("%d readings: 95 %% of the ranges are not below %v", n, critical[n])
		}
	}
}

func TestApart(t *testing.T) {
	length := catalogue.Property{ID: catalogue.LengthID, Name: "length", Sort: catalogue.Length, ByMethod: true}
	in := unit.Lookup("in")
	for _, c := range []struct {
		inches   []float64
		u, least float64 // in
		message  string
		slip     bool
	}{
		{[]float64{46.75}, 0.04, 0.25, "", false},
		{[]float64{46.75, 46.5}, 0.04, 0.25, "", false}, // two marks are never too far
		{[]float64{46.75, 46.4375}, 0.04, 0.25, "46 3/4 and 46 7/16 in are further apart", false},
		{[]float64{46.75, 46, 46.5}, 0.04, 0.25, "46 3/4, 46 and 46 1/2 in are further apart", false}, // three times that is not beyond it
		{[]float64{46.75, 36.75, 46.75}, 0.04, 0.25, "46 3/4, 36 3/4 and 46 3/4 in cannot all be right: read it again", true},
		{[]float64{46, 46.3}, 0.1, 0, "46 and 46.3 in are further apart", false}, // 2.8 times 0.1 in
		{[]float64{46, 46.84}, 0.1, 0, "46 and 46.84 in are further", false},
		{[]float64{46, 46.85}, 0.1, 0, "46 and 46.85 in cannot", true},
		{[]float64{40, 41, 42, 43, 44, 45, 46, 47, 48, 49, 50, 51}, 0.1, 0, "12 readings from 40 to 51 in cannot", true},
	} {
		r := Reading{Property: catalogue.LengthID}
		for _, v := range c.inches {
			r.Values = append(r.Values, in.ToBase(v))
		}
		message, slip := r.Apart(length, in.ToBase(c.u), in.ToBase(c.least))
		if slip != c.slip || !strings.HasPrefix(message, c.message) || message == "" != (c.message == "") {
			t.Errorf("%v: %q, slip %v", c.inches, message, slip)
		}
	}
	mm := Reading{Values: []float64{1162e6, 934e6}, Unit: unit.Lookup("mm")}
	if message, _ := mm.Apart(length, 1e6, 0); !strings.HasPrefix(message, "1162 and 934 mm cannot") {
		t.Error(message)
	}
}

// The edges of what is possible and usual: common practice, wide on purpose.
func TestWeigh(t *testing.T) {
	schema := catalogue.NewSchema()
	for _, c := range []struct {
		kind     catalogue.Kind
		property catalogue.ID
		amount   float64
		half     float64
		message  string
		slip     bool
	}{
		{catalogue.Driver, catalogue.LengthID, 45, 0, "", false},
		{catalogue.Driver, catalogue.LengthID, 30, 0, "", false},
		{catalogue.Driver, catalogue.LengthID, 48, 0, "", false},
		{catalogue.Driver, catalogue.LengthID, 29, 0, "29 in is unusual for the length of a driver, which is mostly 30 to 48 in", false},
		{catalogue.Iron, catalogue.LengthID, 43, 0, "43 in is unusual for the length of an iron, which is mostly 24 to 42 in", false},
		{catalogue.Wedge, catalogue.LengthID, 10, 0, "10 in is unusual", false},
		{catalogue.Wedge, catalogue.LengthID, 9.5, 0, "9 1/2 in cannot be the length of a wedge, which is 10 to 72 in", true},
		{catalogue.Putter, catalogue.LengthID, 72.5, 0, "72 1/2 in cannot be", true},
		{catalogue.NoKind, catalogue.LengthID, 72.5, 0, "72 1/2 in cannot be the length of a club", true},
		{catalogue.Driver, catalogue.LengthID, 46, 1, "", false},
		{catalogue.Driver, catalogue.LengthID, 46, 50, "+/- 50 in is too wide for the length of a driver, which is 10 to 72 in", true},
		{catalogue.Iron, catalogue.Lie, 19, 0, "19 deg cannot be the lie of an iron, which is 20 to 90 deg", true},
		{catalogue.Putter, catalogue.Lie, 71, 0, "", false},
		{catalogue.Iron, catalogue.Lie, 49, 0, "49 deg is unusual", false},
		{catalogue.Iron, catalogue.Loft, -21, 0, "-21 deg cannot be", true},
		{catalogue.Iron, catalogue.MassID, 79, 0, "79 g cannot be the mass of an iron, which is 80 to 2000 g", true},
		{catalogue.Iron, catalogue.MassID, 149, 0, "149 g is unusual", false},
		{catalogue.Iron, catalogue.SwingWeightID, 32, 0, "", false},
		{catalogue.Iron, catalogue.Number, 900, 0, "", false},
	} {
		var k Club
		k.Reset(schema.Len())
		p := schema.Property(c.property)
		u := unit.Base(p.Sort.Dim())
		k.ID, k.Kind, k.Row = "a", c.kind, 4
		k.SetAmount(p.ID, u.ToBase(c.amount))
		if c.half > 0 {
			k.SetReading(Reading{Property: p.ID, Half: u.ToBase(c.half), HasHalf: true})
		}
		k.Weigh(&p, "as read")
		d := append(k.Doubts(), Doubt{})[0]
		if !strings.HasPrefix(d.Message, c.message) || d.Message == "" != (c.message == "") || d.Slip != c.slip || k.Has(p.ID) == c.slip {
			t.Errorf("%v %s %v: %+v, has %v", c.kind, p.Name, c.amount, d, k.Has(p.ID))
		}
		if d.Message != "" && (d.Read != "as read" || d.Row.Row != 4) {
			t.Errorf("%+v", d)
		}
		if want := map[bool]string{true: d.Message}[c.slip]; k.Slip(p.ID) != want {
			t.Errorf("%q, want %q", k.Slip(p.ID), want)
		}
	}
}

// Repeats of what is read by no method are compared with their half-width alone; those too far apart stay there one by one.
func TestRepeatsWithHalf(t *testing.T) {
	schema := catalogue.NewSchema()
	lie := schema.Property(catalogue.Lie)
	for _, c := range []struct {
		degrees []float64
		half    float64
		odd     bool
		slip    bool
	}{
		{[]float64{60, 66}, 0, false, false},
		{[]float64{60, 61.6}, 1, false, false}, // 2.8 times 1/sqrt 3 is 1.617
		{[]float64{60, 61.7}, 1, true, false},
		{[]float64{60, 64.8}, 1, true, false},
		{[]float64{60, 64.9}, 1, true, true},
		{[]float64{60, 19}, 0, true, true}, // one that no club can have
	} {
		var k Club
		k.Reset(schema.Len())
		r := Reading{Property: lie.ID, Half: 1e6 * c.half, HasHalf: c.half > 0}
		for _, v := range c.degrees {
			r.Values = append(r.Values, 1e6*v)
		}
		k.SetAmount(lie.ID, r.Mean())
		k.SetReading(r)
		k.Weigh(&lie, "")
		if odd := len(k.Doubts()) > 0; odd != c.odd || k.Has(lie.ID) == c.slip || k.Slip(lie.ID) != "" != c.slip {
			t.Errorf("%v +/- %v: %v, has %v", c.degrees, c.half, k.Doubts(), k.Has(lie.ID))
		}
		if kept := k.Reading(lie.ID).Values != nil; kept != (c.degrees[1] != 19) {
			t.Errorf("%v: kept %v", c.degrees, kept)
		}
	}
}
