package unit

import (
	"math/big"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestScan(t *testing.T) {
	for _, c := range []struct {
		in     string
		number string // exact, in the unit
		unit   string
		read   string // what is taken of in
	}{
		{"46 in", "46", "in", "46 in"},
		{"46in", "46", "in", "46in"},
		{"46   in,", "46", "in", "46   in"},
		{"46\tin", "46", "in", "46\tin"},
		{`46"`, "46", "in", `46"`},
		{`46 "x"`, "46", "", "46"},
		{`45-3/4" at`, "183/4", "in", `45-3/4"`},
		{"45 3/4 in", "183/4", "in", "45 3/4 in"},
		{"45  3/4 in", "183/4", "in", "45  3/4 in"},
		{"45¾ in", "183/4", "in", "45¾ in"},
		{"45 ¾ in", "183/4", "in", "45 ¾ in"},
		{"45-¾ in", "183/4", "in", "45-¾ in"},
		{"¾in", "3/4", "in", "¾in"},
		{`⅚"`, "5/6", "in", `⅚"`},
		{"⅔", "2/3", "", "⅔"},
		{"3/8 in", "3/8", "in", "3/8 in"},
		{"5/4 in", "5/4", "in", "5/4 in"},
		{"3/8", "3/8", "", "3/8"},
		{"45 0/4", "45", "", "45 0/4"},
		{"45.75 in", "45.75", "in", "45.75 in"},
		{"1168.4 mm.", "1168.4", "mm", "1168.4 mm"},
		{"58°", "58", "deg", "58°"},
		{"58 ° and", "58", "deg", "58 °"},
		{"95 %", "95", "%", "95 %"},
		{"95%)", "95", "%", "95%"},
		{"5900 g cm2", "5900", "g cm2", "5900 g cm2"},
		{"5900 g  cm2", "5900", "g cm2", "5900 g  cm2"},
		{"1 g cm", "1", "g", "1 g"},
		{"213.5 oz in", "213.5", "oz in", "213.5 oz in"},
		{"3 oz in2", "3", "oz in2", "3 oz in2"},
		{"3 oz", "3", "oz", "3 oz"},
		{"1.6 g/in", "1.6", "g/in", "1.6 g/in"},
		{"1.6 g / 1 in", "1.6", "g", "1.6 g"},
		{"1.6 g/x", "1.6", "g", "1.6 g"},
		{"0.0030 in2 / 1 in", "0.003", "in2", "0.0030 in2"},
		{"460 cm3", "460", "cm3", "460 cm3"},
		{"460 cc", "460", "cc", "460 cc"},
		{"239 us", "239", "us", "239 us"},
		{"255 cpm", "255", "cpm", "255 cpm"},
		{"4.25 Hz", "4.25", "Hz", "4.25 Hz"},
		{"3 pts", "3", "pts", "3 pts"},
		{"3 ptsx", "3", "", "3"},
		{"D2", "32", "pts", "D2"},
		{"C9.5 or", "29.5", "pts", "C9.5"},
		{"A0", "0", "pts", "A0"},
		{"G9.75", "69.75", "pts", "G9.75"},
		{"14", "14", "", "14"},
		{"5 to 9", "5", "", "5"},
		{"5, iron", "5", "", "5"},
		{"5 in-play", "5", "", "5"},
		{"5 - 3", "5", "", "5"},
		{"12.5/2", "12.5", "", "12.5"},
		{"45 3", "45", "", "45"},
		{"45 3/x", "45", "", "45"},
		{"5 second number", "5", "", "5"},
		{"5\nin", "5", "", "5"},
		{"46\x00", "46", "", "46"},
		{"46\xff", "46", "", "46"},
		{"010/08 in", "5/4", "in", "010/08 in"},
		{"010 08/011", "118/11", "", "010 08/011"},
		{"08.50", "8.5", "", "08.50"},
		{"007 in", "7", "in", "007 in"},
		{strings.Repeat("9", 40), strings.Repeat("9", 40), "", strings.Repeat("9", 40)},
	} {
		q, n, err := Scan(c.in)
		if err != nil {
			t.Errorf("%q: %+v", c.in, *err)
			continue
		}
		if q.Text != c.read || n != len(c.read) || q.Number.Cmp(rat(c.number)) != 0 || q.Unit != Lookup(c.unit) || q.HasUnit != (c.unit != "") {
			t.Errorf("%q: read %q (%d bytes) as %v %q, want %q as %s %q", c.in, q.Text, n, q.Number, q.Unit.Name, c.read, c.number, c.unit)
		}
		if q.SwingWeight != (c.in[0] >= 'A' && c.in[0] <= 'G') {
			t.Errorf("%q: swing weight %v", c.in, q.SwingWeight)
		}
		if q.Dim() != q.Unit.Dim || q.Base() != RoundExact(q.Exact()) {
			t.Errorf("%q is at odds with itself", c.in)
		}
	}
	for _, s := range []string{"", "in", "-5", "D", "Dx", "H2", ".x", ".", `"`, "\xff", "½"[:1], "x46"} {
		if q, n, err := Scan(s); n != 0 || err != nil || q.Number != nil {
			t.Errorf("%q: %d bytes, %+v", s, n, err)
		}
	}
}

// The same length in every way of writing it is the same value.
func TestScanSameLimit(t *testing.T) {
	for _, group := range [][]string{
		{"46 in", "1168.4 mm", "116.84 cm", "1.1684 m", `46"`, "46.0 in"},
		{"45 3/4 in", `45-3/4"`, "45¾ in", "45.75 in", "1162.05 mm"},
		{"1 lb", "16 oz", "7000 grain", "453.59237 g"},
		{"1 Hz", "60 cpm"},
		{"D2", "32 pts"},
		{"83 %", "0.83"},
	} {
		first, _, err := Scan(group[0])
		if err != nil {
			t.Fatal(*err)
		}
		for _, s := range group[1:] {
			q, _, err := Scan(s)
			if err != nil {
				t.Fatal(*err)
			}
			if q.Exact().Cmp(first.Exact()) != 0 || q.Base() != first.Base() {
				t.Errorf("%s is %v, %s is %v", s, q.Exact(), group[0], first.Exact())
			}
		}
	}
}

func TestScanMistakes(t *testing.T) {
	for _, c := range []struct {
		in, message, hint string
		offset, length    int
	}{
		{"46 inch", `"inch" is not a unit`, "in", 3, 4},
		{"46inches long", `"inches" is not a unit`, "in", 2, 6},
		{"58 degrees", `"degrees" is not a unit`, "deg", 3, 7},
		{"46 IN", `"IN" is not a unit`, "in", 3, 2},
		{"46x", `"x" is not a unit`, "", 2, 1},
		{"46in-x", `"in-x" is not a unit`, "", 2, 4},
		{"460cm³", `"cm³" is not a unit`, "cm3", 3, 4},
		{"1e5", `"1e5" is written with an exponent`, "100000", 0, 3},
		{"2.5e-3 in", `"2.5e-3" is written with an exponent`, "0.0025", 0, 6},
		{"1e999999999", `"1e999999999" is written with an exponent`, "", 0, 11},
		{"45.75.2", `"45.75.2" has more than one decimal point`, "", 0, 7},
		{"45. in", `"45." has no digit after the point`, "45", 0, 3},
		{".5 in", `".5" has no digit before the point`, "0.5", 0, 2},
		{"45-3/4-", `"45-3/4-" ends in a minus`, "45-3/4", 0, 7},
		{"45- 3", `"45-" ends in a minus`, "45", 0, 3},
		{"45-3 in", `"45-3" is not a number`, "45 - 3", 0, 4},
		{"5-loft", `"5-loft" is not a number`, "5 - loft", 0, 6},
		{"2026-4-18", `"2026-4-18" is not a number`, "", 0, 9},
		{"26-04-01", `"26-04-01" is not a number`, "", 0, 8},
		{"1_000 in", `"1_000" is not a number`, "1000", 0, 5},
		{"1_000.5 in", `"1_000.5" is not a number`, "1000.5", 0, 7},
		{"5_iron", `"5_iron" is not a number`, "", 0, 6},
		{"3/0 in", `"3/0" divides by zero`, "", 0, 3},
		{"45 3/0 in", `"45 3/0" divides by zero`, "", 0, 6},
		{"45 5/4 in", `"45 5/4" has a fraction that is not below 1`, "46 1/4", 0, 6},
		{"45-4/4 in", `"45-4/4" has a fraction that is not below 1`, "46", 0, 6},
		{"3/4/2026", `"3/4/2026" has more than one stroke`, "", 0, 8},
		{"45/2.5", `"45/2.5" mixes a fraction and decimals`, "45 / 2.5", 0, 6},
		{"½.5", `"½.5" mixes a fraction and decimals`, "", 0, 4},
		{"½¼", `"½¼" has more than one fraction`, "", 0, 4},
		{"D10", `"D10" is not a swing weight: ten points make the next letter`, "E0", 0, 3},
		{"D12.5", `"D12.5" is not a swing weight: ten points make the next letter`, "E2.5", 0, 5},
		{"D02", `"D02" is not a swing weight: ten points make the next letter`, "D2", 0, 3},
		{"G10", `"G10" is not a swing weight: ten points make the next letter`, "", 0, 3},
		{"D2x", `"D2x" is not a swing weight`, "", 0, 3},
		{"D2é", `"D2é" is not a swing weight`, "", 0, 4},
		{"D2.", `"D2." is not a swing weight`, "", 0, 3},
		{strings.Repeat("9", 41), `"` + strings.Repeat("9", 40) + `..." is a number of 41 digits`, "", 0, 41},
		{"1/" + strings.Repeat("9", 50), `"` + strings.Repeat("9", 40) + `..." is a number of 50 digits`, "", 2, 50},
	} {
		q, n, err := Scan(c.in)
		if err == nil {
			t.Errorf("%q: read as %q", c.in, q.Text)
			continue
		}
		if n != 0 || err.Message != c.message || err.Hint != c.hint || err.Offset != c.offset || err.Length != c.length || err.Expected == "" {
			t.Errorf("%q: got %+v,\nwant %q, hint %q, at %d, %d bytes", c.in, *err, c.message, c.hint, c.offset, c.length)
		}
	}
}

// A very long number is refused, and at once.
func TestScanHugeNumber(t *testing.T) {
	_, _, err := Scan(strings.Repeat("1", 1<<20))
	if err == nil || len(err.Message) > 200 {
		t.Errorf("%+v", err)
	}
}

// checkError asserts what holds of every mistake about s.
func checkError(t interface{ Fatalf(string, ...any) }, s string, err *Error) {
	if err.Offset < 0 || err.Length < 0 || err.Offset+err.Length > len(s) {
		t.Fatalf("%q: %+v lies outside", s, *err)
	}
	if err.Message == "" || err.Expected == "" {
		t.Fatalf("%q: %+v does not say enough", s, *err)
	}
	for _, c := range err.Message + err.Hint {
		if c < ' ' || c == 0x7f {
			t.Fatalf("%q: %+v holds a control character", s, *err)
		}
	}
	if !utf8.ValidString(err.Message) {
		t.Fatalf("%q: %+v is no text", s, *err)
	}
}

func checkScan(t interface{ Fatalf(string, ...any) }, s string) {
	q, n, err := Scan(s)
	switch {
	case err != nil:
		checkError(t, s, err)
	case n == 0:
		if s != "" && isDigit(s[0]) {
			t.Fatalf("%q starts with a number that was not read", s)
		}
	default:
		if q.Text != s[:n] || q.Unit == nil || q.Number.Sign() < 0 {
			t.Fatalf("%q: %+v", s, q)
		}
		again, m, err := Scan(q.Text)
		if err != nil || m != n || again.Number.Cmp(q.Number) != 0 || again.Unit != q.Unit {
			t.Fatalf("%q: %q alone is read as %+v, %v", s, q.Text, again, err)
		}
	}
}

func FuzzScan(f *testing.F) {
	for _, s := range []string{"46 in", `45-3/4"`, "45¾ in", "5900 g cm2", "D2", "D10", "1e5", "3/0", "45 5/4", "2026-04-18", ".5", "46 inch"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { checkScan(t, s) })
}

// What Exact prints is read back as the same value.
func TestExactIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		var r *big.Rat
		if rapid.Bool().Draw(t, "binary") {
			r = big.NewRat(rapid.Int64Range(0, 1e6).Draw(t, "num"), 1<<rapid.IntRange(0, 6).Draw(t, "power"))
		} else {
			r = rat(decimalText(rapid.Int64Range(0, 1e11).Draw(t, "digits"), rapid.IntRange(0, 9).Draw(t, "places")))
		}
		base := RoundExact(times(r, u.exact))
		text := Exact(base, u)
		q, n, err := Scan(text)
		if err != nil || n != len(text) || q.Unit != u || q.Number.Cmp(r) != 0 {
			t.Fatalf("%v %s prints as %q, read back as %v %v", r, u.Name, text, q.Number, err)
		}
		c, err := ParseCell("-"+text, CellFormat{Dim: u.Dim})
		if err != nil || c.Base != -base {
			t.Fatalf("-%s in a cell is %v, %v", text, c, err)
		}
		if base != 0 && Exact(-base, u) != "-"+text {
			t.Fatalf("less nothing, %q is %q", text, Exact(-base, u))
		}
	})
}

func TestSwingIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := float64(rapid.IntRange(-1000, 7999).Draw(t, "hundredths")) / 100
		text := ExactSwing(p)
		c, err := ParseCell(text, CellFormat{Dim: Swing})
		if err != nil || c.Base != p {
			t.Fatalf("%v prints as %q, read back as %v", p, text, c.Base)
		}
		if lettered := text[0] >= 'A' && text[0] <= 'G'; lettered != (p >= 0 && p < 70) {
			t.Fatalf("%v prints as %q", p, text)
		}
	})
}
