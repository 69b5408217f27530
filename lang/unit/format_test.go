package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestExact(t *testing.T) {
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
		if got := Exact(c.base, c.unit); got != c.want {
			t.Errorf("%v: %q, want %q", c.base, got, c.want)
		}
	}
}

// A bench reads fractions of an inch where the value is one to a sixty-fourth, and otherwise three decimals of an inch, one of
// a millimetre, two of a degree, one of a point; the rest is ours.
func TestFormat(t *testing.T) {
	of := func(n float64, name string) (float64, *Unit) { u := Lookup(name); return u.ToBase(n), u }
	for _, c := range []struct {
		amount float64
		unit   string
		want   string
	}{
		{45.79814697, "in", "45.798 in"}, {46.5, "in", "46 1/2 in"}, {-1. / 64, "in", "-1/64 in"}, {46.2, "in", "46.2 in"},
		{0.12499, "in", "0.125 in"}, {0.0004, "in", "0.0004 in"}, {0.00004567, "in", "0.00005 in"}, {-0.03606, "in", "-0.036 in"},
		{1168.46, "mm", "1168.5 mm"}, {0.04, "mm", "0.04 mm"}, {60.123456, "deg", "60.12 deg"}, {59.996, "deg", "60 deg"},
		{3.14159, "pts", "3.1 pts"}, {1, "pts", "1 pt"}, {-1, "pt", "-1 pt"}, {0.96, "pts", "1 pt"}, {1, "days", "1 day"}, {2, "day", "2 days"}, {14.17660531, "oz", "14.18 oz"}, {401.73, "g", "401.7 g"}, {255.123, "cpm", "255.1 cpm"},
		{12345.6, "g cm2", "12346 g cm2"}, {0.0012345, "", "0.001235"}, {2. / 3, "%", "0.6667 %"}, {14, "", "14"}, {0, "mm", "0 mm"},
		{math.NaN(), "in", "unknown"}, {math.Inf(1), "deg", "unknown"}, {math.Inf(-1), "", "unknown"},
	} {
		if got := Format(of(c.amount, c.unit)); got != c.want {
			t.Errorf("%v %s: %q, want %q", c.amount, c.unit, got, c.want)
		}
	}
	for base, want := range map[float64]string{32: "D2", 29.54: "C9.5", 39.96: "E0", 39.94: "D9.9", -3.04: "-3 pts", 69.97: "70 pts"} {
		if got := FormatSwing(base); got != want {
			t.Errorf("%v: %q, want %q", base, got, want)
		}
	}
	up, in := Lookup("in").ToBase(0.0202), Lookup("in")
	if got := (Amount{Base: up, Unit: in}).Text(0, math.Ceil); got != "0.021 in" {
		t.Errorf("rounded up: %q", got)
	}
	if got := (Amount{Base: up, Unit: in}).Text(1, math.Floor); got != "0.0202 in" {
		t.Errorf("with a decimal more: %q", got)
	}
}

// What a figure is rounded to is the nearest of its decimals, or the next above, or below.
func TestShownIsRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		x := rapid.Float64Range(-5000, 5000).Draw(t, "amount")
		finer := rapid.IntRange(0, 5).Draw(t, "finer")
		step := 1.0 // of figures of four digits
		if places, ok := benchPlaces[u.Name]; ok {
			step = math.Pow(10, -float64(places+finer))
		}
		down, near, up := Shown(x, u, finer, math.Floor), Shown(x, u, finer, math.Round), Shown(x, u, finer, math.Ceil)
		dust := 0x1p-39 * max(1, math.Abs(x)) // what Compare takes for the same
		if down > x+dust || up < x-dust || near != down && near != up || up-down > step*1.0001 {
			t.Fatalf("%v %s comes between %v and %v, and nearest %v", x, u.Name, down, up, near)
		}
	})
}

// A difference of two short numbers is short, and another number is left as it is.
func TestCleanTakesDustAlone(t *testing.T) {
	cpm, points, in := Lookup("cpm"), Lookup("pts"), Lookup("in")
	for _, c := range []struct {
		u      *Unit
		a, b   float64
		beside bool
		want   float64
	}{
		{cpm, 257.7, 255.8, false, 1.9}, {points, 34.3, 32, false, 2.3}, {points, 32.001, 32, true, 0.001}, {cpm, 257.7, 257.699, true, 0.001}, {in, 46.5, 46.2, false, 0.3},
	} {
		base, beside := c.u.ToBase(c.a)-c.u.ToBase(c.b), 0.0
		if c.beside {
			beside = c.u.ToBase(c.a)
		}
		if got := c.u.Clean(base, beside); got != c.want {
			t.Errorf("%v - %v %s is %v", c.a, c.b, c.u.Name, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		base := u.scale * rapid.Float64Range(-1e6, 1e6).Draw(t, "amount")
		if got, want := u.Clean(base, 0), u.FromBase(base); Compare(got, want) != 0 {
			t.Fatalf("%v %s becomes %v", want, u.Name, got)
		}
	})
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

func TestExactSwing(t *testing.T) {
	for _, c := range []struct {
		base float64
		want string
	}{
		{32, "D2"}, {29.5, "C9.5"}, {0, "A0"}, {30, "D0"}, {69.9, "G9.9"}, {70, "70 pts"}, {-3, "-3 pts"},
		{29.3, "C9.3"}, {39.99999999999999, "E0"}, {39.9999999999, "E0"}, {39.99999999, "D9.99999999"},
		{math.Copysign(0, -1), "A0"}, {-1e-15, "A0"}, {math.NaN(), "unknown"}, {math.Inf(1), "unknown"},
	} {
		if got := ExactSwing(c.base); got != c.want {
			t.Errorf("%v: %q, want %q", c.base, got, c.want)
		}
	}
}

// Whatever the value, the text is one that a person can read: no exponent for sane sizes, no sign before nothing.
func TestFormatIsReadable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		base := u.scale * rapid.Float64Range(-1e9, 1e9).Draw(t, "amount")
		for _, s := range []string{Format(base, u), FormatFine(base, u), Exact(base, u)} {
			number := u.Bare(s)
			if number == "" || strings.Trim(number, "-0123456789./ ") != "" || strings.HasPrefix(number, "-0 ") || number == "-0" {
				t.Fatalf("%v prints as %q", base, s)
			}
			if len(number) > 30 {
				t.Fatalf("%v prints as %q", base, s)
			}
		}
	})
}

func BenchmarkExact(b *testing.B) {
	in, mm := Lookup("in"), Lookup("mm")
	b.Run("fraction", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Exact(1181.1e6, in)
		}
	})
	b.Run("decimal", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Exact(1173.48e6, mm)
		}
	})
}

// A comparison with the ends of what is alike says what Compare tells of the number itself.
func TestAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.OneOf(rapid.Float64Range(-1e12, 1e12), rapid.SampledFrom([]float64{0, 1, -1, 46 * 25.4e6, 1e308})).Draw(t, "c")
		low, high := Alike(c)
		near := c * rapid.Float64Range(1-0x1p-39, 1+0x1p-39).Draw(t, "near")
		for _, n := range []float64{low, high, math.Nextafter(low, math.Inf(-1)), math.Nextafter(high, math.Inf(1)), c, near, -c} {
			if o := Compare(n, c); (o < 0) != (n < low) || (o > 0) != (n > high) {
				t.Fatalf("%v compares as %d with %v, which is alike %v to %v", n, o, c, low, high)
			}
		}
	})
}
