package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	in, deg := Lookup("in"), Lookup("deg")
	for _, c := range []struct {
		base float64
		unit *Unit
		want string
	}{
		{46.5 * 25.4e6, in, "46 1/2 in"},
		{46 * 25.4e6, in, "46 in"},
		{46.2 * 25.4e6, in, "46.2 in"},
		{396875, in, "1/64 in"},
		{-396875, in, "-1/64 in"},
		{-38.5 * 25.4e6, in, "-38 1/2 in"},
		{25.4e6 / 128, in, "0.0078125 in"},
		{25.4e6 / 3, in, "0.3333333333 in"},
		{0, in, "0 in"},
		{math.Copysign(0, -1), in, "0 in"},
		{1e-9, in, "0 in"},
		{-1e-9, in, "0 in"},
		{(0.1 + 0.2) * 25.4e6, in, "0.3 in"},
		{(46.1 + 0.4) * 25.4e6 * (1 + 1e-15), in, "46 1/2 in"},
		{3436393267.2 * 25.4e6, in, "3436393267.2 in"}, // 1/64 in is within the rounding of so large a number
		{1168.4e6, Lookup("mm"), "1168.4 mm"},
		{1168.5e6, Lookup("ft"), "3.833661417 ft"},
		{58e6, deg, "58 deg"},
		{-2.5e6, deg, "-2.5 deg"},
		{3, Lookup("pts"), "3 pts"},
		{0.95, Lookup("%"), "95 %"},
		{14, Lookup(""), "14"},
		{2.0 / 3, Base(Ratio), "0.6666666667"},
		{1e15, Lookup(""), "1000000000000000"},
		{5900e23, Lookup("g cm2"), "5900 g cm2"},
		{255.0 / 60e9, Lookup("cpm"), "255 cpm"},
		{14, nil, "14"},
		{math.NaN(), in, "unknown"},
		{math.Inf(1), deg, "unknown"},
		{math.Inf(-1), nil, "unknown"},
	} {
		if got := Format(c.base, c.unit); got != c.want {
			t.Errorf("%v: %q, want %q", c.base, got, c.want)
		}
	}
}

func TestFormatFine(t *testing.T) {
	in := Lookup("in")
	for _, c := range []struct {
		base float64
		unit *Unit
		want string
	}{
		{25.4e6 / math.Sqrt(3) / 16, in, "0.0361 in"}, // half of 1/8 in, rectangular
		{25.4e6 / 2, in, "0.5 in"},
		{123.4e6, Lookup("mm"), "123 mm"},
		{1234e6, Lookup("mm"), "1230 mm"},
		{0.999999e6, Lookup("deg"), "1 deg"},
		{0, in, "0 in"},
		{0.05, nil, "0.05"},
		{math.NaN(), in, "unknown"},
	} {
		if got := FormatFine(c.base, c.unit); got != c.want {
			t.Errorf("%v: %q, want %q", c.base, got, c.want)
		}
	}
}

func TestFormatSwing(t *testing.T) {
	for _, c := range []struct {
		base float64
		want string
	}{
		{32, "D2"}, {29.5, "C9.5"}, {0, "A0"}, {30, "D0"}, {69.9, "G9.9"}, {70, "70 pts"}, {-3, "-3 pts"},
		{29.3, "C9.3"}, {39.99999999999999, "E0"}, {39.9999999999, "E0"}, {39.99999999, "D9.99999999"},
		{math.Copysign(0, -1), "A0"}, {-1e-15, "A0"}, {math.NaN(), "unknown"}, {math.Inf(1), "unknown"},
	} {
		if got := FormatSwing(c.base); got != c.want {
			t.Errorf("%v: %q, want %q", c.base, got, c.want)
		}
	}
}

// Whatever the value, the text is one that a person can read: no exponent for sane sizes, no sign before nothing.
func TestFormatIsReadable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		base := u.scale * rapid.Float64Range(-1e9, 1e9).Draw(t, "amount")
		for _, s := range []string{Format(base, u), FormatFine(base, u)} {
			number := strings.TrimSuffix(strings.TrimSuffix(s, u.Name), " ")
			if number == "" || strings.Trim(number, "-0123456789./ ") != "" || strings.HasPrefix(number, "-0 ") || number == "-0" {
				t.Fatalf("%v prints as %q", base, s)
			}
			if len(number) > 30 {
				t.Fatalf("%v prints as %q", base, s)
			}
		}
	})
}

func BenchmarkFormat(b *testing.B) {
	in, mm := Lookup("in"), Lookup("mm")
	b.Run("fraction", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Format(1181.1e6, in)
		}
	})
	b.Run("decimal", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Format(1173.48e6, mm)
		}
	})
}
