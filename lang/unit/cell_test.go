package unit

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseCell(t *testing.T) {
	in, mm, deg := Lookup("in"), Lookup("mm"), Lookup("deg")
	length, inches := CellFormat{Dim: Length}, CellFormat{Unit: in, Dim: Length}
	semicolon := CellFormat{Unit: mm, Dim: Length, DecimalComma: true}
	angle := CellFormat{Dim: Angle, Unit: deg}
	swing := CellFormat{Dim: Swing}
	for _, c := range []struct {
		in     string
		f      CellFormat
		amount string
		unit   string
		half   string // empty for none
	}{
		{"44 3/4", inches, "44.75", "in", ""},
		// As people type them.
		{"46 in.", length, "46", "in", ""},
		{"45 3/4in.", length, "45.75", "in", ""},
		{"45.75 inches", length, "45.75", "in", ""},
		{"46 Inch", length, "46", "in", ""},
		{"46 IN", length, "46", "in", ""},
		{"44\u00a0inches", length, "44", "in", ""},
		{"3ft 9 3/4in", length, "45.75", "in", ""},
		{"3ft 9in", length, "45", "in", ""},
		{"3 feet 9 1/2 inches", length, "45.5", "in", ""},
		{"3 ft. 9 in.", length, "45", "in", ""},
		{"45 3⁄4 in", length, "45.75", "in", ""},
		{"45 3∕4", inches, "45.75", "in", ""},
		{"1136.65 MM", length, "1136.65", "mm", ""},
		{"61 degrees", angle, "61", "deg", ""},
		{"61 Deg. +/- 0.5", angle, "61", "deg", "0.5"},
		{"61 +/- 0.5 degrees", CellFormat{Dim: Angle}, "61", "deg", "0.5"},
		{"460 cm³", CellFormat{Dim: Volume}, "460", "cm3", ""},
		{"d2", swing, "32", "pts", ""},
		{"D 2", swing, "32", "pts", ""},
		{"D2 1/2", swing, "32.5", "pts", ""},
		{"d2½", swing, "32.5", "pts", ""},
		{"c 9.75 +/- 0.5", swing, "29.75", "pts", "0.5"},
		{`44-3/4"`, length, "44.75", "in", ""},
		{"44¾", inches, "44.75", "in", ""},
		{"44 ¾ in", length, "44.75", "in", ""},
		{"44.75", inches, "44.75", "in", ""},
		{"  44.75  ", inches, "44.75", "in", ""},
		{"44.75\u00a0in", length, "44.75", "in", ""},
		{"44\u00a03/4\u00a0in", length, "44.75", "in", ""},
		{"44\u202f3/4\u2007in", length, "44.75", "in", ""},
		{"44\u00a0¾", inches, "44.75", "in", ""},
		{"3'\u00a08\u00a03/4\"", length, "44.75", "in", ""},
		{"61\u2007+/-\u00a00.5\u202fdeg", CellFormat{Dim: Angle}, "61", "deg", "0.5"},
		{"5900\u00a0g\u00a0cm2", CellFormat{Dim: Inertia}, "5900", "g cm2", ""},
		{"0/08", inches, "0", "in", ""},
		{"09/010", inches, "0.9", "in", ""},
		{"3/4", inches, "0.75", "in", ""},
		{".5", inches, "0.5", "in", ""},
		{"-.5 deg", angle, "-0.5", "deg", ""},
		{`3' 8 3/4"`, length, "44.75", "in", ""},
		{`3'8"`, length, "44", "in", ""},
		{`3’ 8¾”`, length, "44.75", "in", ""},
		{"44.75″", length, "44.75", "in", ""},
		{`3' 0.5"`, inches, "36.5", "in", ""},
		{"3'", length, "3", "ft", ""},
		{"3.5 ft", length, "3.5", "ft", ""},
		{"1136.65 mm", inches, "1136.65", "mm", ""},
		{"1136.65", CellFormat{Unit: mm, Dim: Length}, "1136.65", "mm", ""},
		{"113,7 cm", semicolon, "113.7", "cm", ""},
		{"1137,25", semicolon, "1137.25", "mm", ""},
		{"1137.25", semicolon, "1137.25", "mm", ""},
		{"61 +/- 0.5 deg", CellFormat{Dim: Angle}, "61", "deg", "0.5"},
		{"61 deg +/- 0.5 deg", CellFormat{Dim: Angle}, "61", "deg", "0.5"},
		{"61° ± 0.5", CellFormat{Dim: Angle}, "61", "deg", "0.5"},
		{"61 +/- 0.5", angle, "61", "deg", "0.5"},
		{"61±½", angle, "61", "deg", "0.5"},
		{"44 3/4 +/- 1/16 in", length, "44.75", "in", "1/16"},
		{`44-3/4" ± 1/16"`, length, "44.75", "in", "1/16"},
		{`3' 8 3/4" +/- 1/16"`, length, "44.75", "in", "1/16"},
		{"1136.65 mm +/- 0.254 cm", length, "1136.65", "mm", "2.54"},
		{"-2 1/2 deg", angle, "-2.5", "deg", ""},
		{"−2.5", angle, "-2.5", "deg", ""},
		{"+1", angle, "1", "deg", ""},
		{"-0", angle, "0", "deg", ""},
		{"D2", swing, "32", "pts", ""},
		{"C9.5", swing, "29.5", "pts", ""},
		{"C9,5", CellFormat{Dim: Swing, DecimalComma: true}, "29.5", "pts", ""},
		{" D2 ", swing, "32", "pts", ""},
		{"32 pts", swing, "32", "pts", ""},
		{"D2 ± 1 pts", swing, "32", "pts", "1"},
		{"14", CellFormat{}, "14", "", ""},
		{"0.83", CellFormat{Dim: Ratio}, "0.83", "", ""},
		{"83 %", CellFormat{Dim: Ratio}, "83", "%", ""},
		{"83%", CellFormat{Dim: Ratio}, "83", "%", ""},
		{"83", CellFormat{Dim: Ratio, Unit: Lookup("%")}, "83", "%", ""},
		{"312.5", CellFormat{Dim: Mass, Unit: Lookup("g")}, "312.5", "g", ""},
		{"5900 g cm2", CellFormat{Dim: Inertia}, "5900", "g cm2", ""},
		{"460cc", CellFormat{Dim: Volume}, "460", "cc", ""},
		{"1.6 g/in", CellFormat{Dim: LineMass}, "1.6", "g/in", ""},
		{"255.5", CellFormat{Dim: Frequency, Unit: Lookup("cpm")}, "255.5", "cpm", ""},
	} {
		got, err := ParseCell(c.in, c.f)
		if err != nil {
			t.Errorf("%q: %+v", c.in, *err)
			continue
		}
		u := Lookup(c.unit)
		if c.unit == "" {
			u = Base(c.f.Dim)
		}
		half := 0.0
		if c.half != "" {
			half = RoundExact(times(rat(c.half), u.exact))
		}
		if want := RoundExact(times(rat(c.amount), u.exact)); got.Base != want || got.Unit != u || got.HasHalf != (c.half != "") || got.Half != half {
			t.Errorf("%q: %+v, want %s %s (%v) with %q", c.in, got, c.amount, c.unit, want, c.half)
		}
	}
}

func TestParseCellMistakes(t *testing.T) {
	length, inches := CellFormat{Dim: Length}, CellFormat{Unit: Lookup("in"), Dim: Length}
	angle := CellFormat{Unit: Lookup("deg"), Dim: Angle}
	const aLength = "a length, as in 45 3/4 in"
	for _, c := range []struct {
		in             string
		f              CellFormat
		message        string
		expected, hint string
	}{
		{"", length, "the cell is empty", aLength, ""},
		{"  ", length, "the cell is empty", aLength, ""},
		{"44.75", length, `"44.75" has no unit, and neither has the heading`, aLength, "44.75 in"},
		{" 44\t3/4 ", length, `"44<tab>3/4" has no unit, and neither has the heading`, aLength, "44 3/4 in"},
		{"3'\t8", inches, `"3'<tab>8" has no mark after its inches`, `feet and inches, as in 3' 8 3/4"`, `3' 8"`},
		{"44\u00a03/4", length, `"44 3/4" has no unit, and neither has the heading`, aLength, "44 3/4 in"},
		{"44\u200b3/4", inches, `"44<U+200B>3/4" has a character that cannot be printed`, "a number and its unit", ""},
		{"fourty", inches, `"fourty" is not a number`, aLength, ""},
		{"in", inches, `"in" is not a number`, aLength, ""},
		{"58 deg", inches, `"58 deg" is an angle, but the column is for a length`, aLength, ""},
		{"D2", inches, `"D2" is a swing weight, but the column is for a length`, aLength, ""},
		{"95 %", CellFormat{}, `"95 %" is a ratio, but the column is for a bare number`, "a bare number, as in 14", ""},
		{"44 in +/- 1 deg", inches, `"1 deg" is an angle, but the column is for a length`, aLength, ""},
		{"312 gr", CellFormat{Dim: Mass}, `"gr" is not a unit`, "a mass, as in 312.5 g", "g"},
		{"312 gr", CellFormat{Dim: Mass}, `"gr" is not a unit`, "a mass, as in 312.5 g", "g"}, // grains or grams
		{"3ft 9", length, `"9" makes no sense after the number`, aLength, ""},
		{"3ft 14in", length, `"14in" makes no sense after the number`, aLength, ""},
		{"D2 3", CellFormat{Dim: Swing}, `"3" makes no sense after the number`, "a swing weight, as in D2", ""},
		{"h2", CellFormat{Dim: Swing}, `"h2" is not a number`, "a swing weight, as in D2", ""},
		{"d12", CellFormat{Dim: Swing}, `"d12" is not a number`, "a swing weight, as in D2", ""},
		{"46 furlongs", inches, `"furlongs" is not a unit`, aLength, ""},
		{`44''`, length, `"''" makes no sense after the number`, aLength, `"`},
		{`44 "`, length, `""" makes no sense after the number`, aLength, `44"`},
		{"44 in 5", inches, `"5" makes no sense after the number`, aLength, ""},
		{"44 +- 1 in", inches, `"+- 1 in" makes no sense after the number`, aLength, "+/-"},
		{"44 in +/-", inches, `"+/-" has no number after it`, "a half-width, as in 61 +/- 0.5 deg", ""},
		{"44 in +/- x", inches, `"x" is not a number`, aLength, ""},
		{"44 in +/- -1 in", inches, `"-" is a sign before a half-width`, "a half-width without a sign", ""},
		{"3/4/2026", inches, `"3/4/2026" looks like a date`, aLength, ""},
		{"2026-04-18", inches, `"2026-04-18" looks like a date`, aLength, ""},
		{"44-45", inches, `"44-45" is not a number`, aLength, ""},
		{"44.7.5", inches, `"44.7.5" is not a number`, aLength, ""},
		{"44½½", inches, `"44½½" has more than one fraction`, aLength, ""},
		{"1e5", inches, `"1e5" is written with an exponent`, "plain digits", "100000"},
		{"-1e5", angle, `"-1e5" is written with an exponent`, "plain digits", "-100000"},
		{"-1e400", angle, `"-1e400" is written with an exponent`, "plain digits", ""},
		{"-1,5 deg", angle, `"-1,5" has a comma`, "a decimal point, and no mark between thousands", "-1.5"},
		{"113,7 cm", length, `"113,7" has a comma`, "a decimal point, and no mark between thousands", "113.7"},
		{"1,136.65 mm", length, `"1,136" has a comma`, "a decimal point, and no mark between thousands", ""},
		{"1.136,65", CellFormat{Dim: Length, Unit: Lookup("mm"), DecimalComma: true}, `"1.136,65" has a comma`, "a decimal point, and no mark between thousands", ""},
		{"44 5/4", inches, `"44 5/4" has a fraction that is not below 1`, "a fraction below 1 after the whole number, as in 45 3/4", "45 1/4"},
		{"44 3/0", inches, `"44 3/0" divides by zero`, "a number other than 0 below the stroke", ""},
		{`3' 14"`, inches, `"3' 14"" has twelve inches or more after its feet`, `feet and inches, as in 3' 8 3/4"`, "50 in"},
		{`3' 8`, inches, `"3' 8" has no mark after its inches`, `feet and inches, as in 3' 8 3/4"`, `3' 8"`},
		{`3.5' 8"`, inches, `"3.5' 8"" has feet that are not whole`, `feet and inches, as in 3' 8 3/4"`, "50 in"},
		{"D10", CellFormat{Dim: Swing}, `"D10" is not a swing weight: ten points make the next letter`, "a letter A to G and points below ten, as in D2 or C9.5", "E0"},
		{"#REF!", inches, `"#REF!" is not a number`, aLength, ""},
		{"44\x0075", inches, `"44<U+0000>75" has a character that cannot be printed`, "a number and its unit", ""},
		{"44\xff", inches, `"44<byte FF>" has a character that is not in UTF-8`, "text in UTF-8", ""},
		{"44\u202e in", inches, `"44<U+202E> in" has a character that cannot be printed`, "a number and its unit", ""},
		{strings.Repeat("4", 41), inches, `"` + strings.Repeat("4", 40) + `..." is a number of 41 digits`, "at most 40 digits", ""},
	} {
		got, err := ParseCell(c.in, c.f)
		if err == nil {
			t.Errorf("%q: read as %+v", c.in, got)
			continue
		}
		checkError(t, c.in, err)
		if err.Message != c.message || err.Expected != c.expected || err.Hint != c.hint {
			t.Errorf("%q: got %+v,\nwant %q, expected %q, hint %q", c.in, *err, c.message, c.expected, c.hint)
		}
	}
}

// cellText draws cells near the edge of what is right.
func cellText(t *rapid.T) string {
	digits := rapid.StringMatching(`[0-9]{1,5}`)
	number := rapid.OneOf(
		digits,
		rapid.StringMatching(`[0-9]{0,4}[.,][0-9]{0,6}`),
		rapid.StringMatching(`[0-9]{1,2}[ -]{1,2}[0-9]{1,2}/[0-9]{1,2}`),
		rapid.StringMatching(`[0-9]{1,3}/[0-9]{1,3}`),
		rapid.StringMatching(`[0-9]{1,2} ?[½¾⅛]`),
		rapid.StringMatching(`[A-H][0-9]{1,2}([.][0-9]{1,3})?([/ ]1)?`),
	)
	unit := rapid.OneOf(rapid.SampledFrom(append(Names(), "", "", "inch", "'", "g ", "x")))
	blank := rapid.SampledFrom([]string{"", " ", "  ", "\u00a0", "\u202f\t"})
	s := blank.Draw(t, "before") + rapid.SampledFrom([]string{"", "", "", "-", "+"}).Draw(t, "sign") +
		number.Draw(t, "number") + blank.Draw(t, "between") + unit.Draw(t, "unit") + blank.Draw(t, "after")
	if rapid.IntRange(0, 9).Draw(t, "with half") == 0 {
		s += "+/- " + number.Draw(t, "half")
	}
	return s
}

func cellFormat(t *rapid.T) CellFormat {
	f := CellFormat{DecimalComma: rapid.Bool().Draw(t, "comma")}
	u := anyUnit(t)
	f.Dim = u.Dim
	if rapid.Bool().Draw(t, "heading") {
		f.Unit = u
	}
	return f
}

func checkCell(t interface{ Fatalf(string, ...any) }, s string, f CellFormat) bool {
	exact, wrong := exactCell(s, f)
	quick, ok := quickCell(s, f)
	if ok && (wrong != nil || quick != exact) {
		t.Fatalf("%q under %+v: quickly %+v, exactly %+v, %+v", s, f, quick, exact, wrong)
	}
	if wrong != nil {
		checkError(t, s, wrong)
	} else if exact.Unit == nil || exact.Unit.Dim != f.Dim || exact.Half < 0 || exact.Half > 0 && !exact.HasHalf {
		t.Fatalf("%q under %+v: %+v", s, f, exact)
	}
	return ok
}

// The quick way gives what the exact way gives, and never takes what that refuses.
func TestQuickCellIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkCell(t, cellText(t), cellFormat(t))
	})
}

// What benches write most is read the quick way, so that comparing the two ways compares something.
func TestUsualCellsAreReadQuickly(t *testing.T) {
	inch, deg := Lookup("in"), Lookup("deg")
	for _, c := range []struct {
		in string
		f  CellFormat
	}{
		{"44 3/4", CellFormat{Dim: inch.Dim, Unit: inch}},
		{"45-3/4 in", CellFormat{Dim: inch.Dim}},
		{"1136.65 mm", CellFormat{Dim: inch.Dim}},
		{"113,7 cm", CellFormat{Dim: inch.Dim, DecimalComma: true}},
		{"-0.5", CellFormat{Dim: deg.Dim, Unit: deg}},
		{"D2", CellFormat{Dim: Lookup("pts").Dim}},
	} {
		if !checkCell(t, c.in, c.f) {
			t.Errorf("%q takes the long way", c.in)
		}
	}
}

func FuzzParseCell(f *testing.F) {
	for _, s := range []string{"44 3/4", `44-3/4"`, "44¾", `3' 8 3/4"`, "1136.65 mm", "113,7 cm", "61 +/- 0.5 deg", "D2", "95 %", "-.5", "3/4/2026", "D2/1"} {
		f.Add(s, byte(0), true, false)
		f.Add(s, byte(12), false, true)
	}
	names := Names()
	f.Fuzz(func(t *testing.T, s string, unit byte, heading, comma bool) {
		u := Lookup(names[int(unit)%len(names)])
		format := CellFormat{Dim: u.Dim, DecimalComma: comma}
		if heading {
			format.Unit = u
		}
		checkCell(t, s, format)
	})
}

// The forms that fill a sheet are read without allocation.
func TestParseCellAllocatesNothing(t *testing.T) {
	f := CellFormat{Unit: Lookup("in"), Dim: Length}
	for _, s := range []string{"44.75", "1136.65", "58", "44 3/4", `45-3/4"`, "45.75 in", "1136.65 mm"} {
		if n := testing.AllocsPerRun(100, func() {
			if _, err := ParseCell(s, f); err != nil {
				t.Fatal(err.Message)
			}
		}); n != 0 {
			t.Errorf("%q: %v allocations", s, n)
		}
	}
}

func BenchmarkParseCell(b *testing.B) {
	length := CellFormat{Unit: Lookup("in"), Dim: Length}
	for _, c := range []struct {
		s string
		f CellFormat
	}{
		{"44.75", length}, {"1136.65", length}, {"58", length}, {"44 3/4", length}, {`45-3/4"`, length}, {"45.75 in", length},
		{"D2", CellFormat{Dim: Swing}}, {"5900 g cm2", CellFormat{Dim: Inertia}}, {"44¾", length}, {"44 3/4 +/- 1/16 in", length},
	} {
		b.Run(c.s, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ParseCell(c.s, c.f); err != nil {
					b.Fatal(err.Message)
				}
			}
		})
	}
}
