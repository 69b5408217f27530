package unit

import (
	"context"
	"math"
	"math/big"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestDimArithmetic(t *testing.T) {
	for _, c := range []struct{ got, want Dim }{
		{Count.Mul(Count), Count},
		{Count.Mul(Ratio), Ratio},
		{Ratio.Mul(Ratio), Ratio},
		{Count.Div(Count), Ratio},
		{Length.Div(Length), Ratio},
		{Length.Mul(Count), Length},
		{Length.Mul(Ratio), Length},
		{Ratio.Mul(Length), Length},
		{Length.Div(Count), Length},
		{Length.Mul(Length), Area},
		{Area.Div(Length), Length},
		{Mass.Mul(Length), Moment},
		{Moment.Mul(Length), Inertia},
		{Mass.Div(Length), LineMass},
		{LineMass.Mul(Length), Mass},
		{Count.Div(Time), Frequency},
		{Frequency.Mul(Time), Ratio},
		{Angle.Div(Angle), Ratio},
	} {
		if c.got != c.want {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
	if (Dim{}) != Count || !Count.Pure() || !Ratio.Pure() || Length.Pure() {
		t.Error("counts and ratios alone are pure, and the zero value is a count")
	}
}

func TestDimStaysAtTheEdge(t *testing.T) {
	d := Length
	for range 300 {
		d = d.Mul(Length)
	}
	if d.Exponents[1] != 127 {
		t.Errorf("301 lengths multiplied have exponent %d", d.Exponents[1])
	}
	for range 600 {
		d = d.Div(Length)
	}
	if d.Exponents[1] != -128 {
		t.Errorf("exponent %d", d.Exponents[1])
	}
}

func TestDimProperties(t *testing.T) {
	dim := rapid.Custom(func(t *rapid.T) Dim {
		e := rapid.Int8Range(-3, 3)
		d := Dim{Exponents: [6]int8{e.Draw(t, "mass"), e.Draw(t, "length"), e.Draw(t, "angle"), e.Draw(t, "swing"), e.Draw(t, "time"), e.Draw(t, "days")}}
		d.ratio = d.Pure() && rapid.Bool().Draw(t, "ratio")
		return d
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := dim.Draw(t, "a"), dim.Draw(t, "b")
		if a.Mul(b) != b.Mul(a) {
			t.Fatalf("%v and %v do not commute", a, b)
		}
		if q := a.Div(b); q.Mul(b) != a && !a.Pure() {
			t.Fatalf("%v / %v * %v is %v", a, b, b, q.Mul(b))
		}
		if p := a.Mul(b); p.ratio && !p.Pure() {
			t.Fatalf("%v has exponents and calls itself a ratio", p)
		}
		if a != b && !a.Pure() && a.String() == b.String() {
			t.Fatalf("two dimensions are both called %q", a)
		}
		if u := Base(a); u.Dim != a || u != Base(a) {
			t.Fatalf("the unit of %v is %v of %v", a, u.Name, u.Dim)
		}
	})
}

func TestDimNames(t *testing.T) {
	for _, c := range []struct {
		d          Dim
		name, unit string
	}{
		{Count, "count", ""},
		{Ratio, "ratio", ""},
		{Length, "length", "in"},
		{Angle, "angle", "deg"},
		{Mass, "mass", "g"},
		{Time, "time", "us"},
		{Frequency, "frequency", "cpm"},
		{Area, "area", "in2"},
		{Volume, "volume", "cm3"},
		{Inertia, "inertia", "g cm2"},
		{Moment, "moment", "oz in"},
		{LineMass, "mass per length", "g/in"},
		{Swing, "swing weight", "pts"},
		{Volume.Div(Time), "length cubed per time", "in3/s"},
		{Area.Div(Time).Div(Mass), "length squared per mass per time", "in2/(g s)"},
		{Count.Div(Length), "count per length", "1/in"},
		{Volume.Mul(Length).Mul(Angle), "length to the 4 times angle", "in4 deg"},
		{Swing.Div(Length), "swing weight per length", "pts/in"},
	} {
		if got := c.d.String(); got != c.name {
			t.Errorf("%#v is called %q, want %q", c.d, got, c.name)
		}
		if got := Base(c.d).Name; got != c.unit {
			t.Errorf("%v is shown in %q, want %q", c.d, got, c.unit)
		}
	}
	// A cubic inch a second is 25.4^3 * 1e18 nm3 in 1e9 ns.
	if got := Base(Volume.Div(Time)).ToBase(2); got != 2*16387.064e9 {
		t.Errorf("2 in3/s is %v", got)
	}
}

func TestLookup(t *testing.T) {
	names := Names()
	if !slices.IsSorted(names) || slices.Contains(names, "") {
		t.Errorf("names: %q", names)
	}
	for _, n := range names {
		u := Lookup(n)
		if u == nil {
			t.Errorf("no unit for %q", n)
			continue
		}
		if n != `"` && n != "°" && n != "day" && n != "pt" && u.Name != n {
			t.Errorf("%q is the unit %q", n, u.Name)
		}
	}
	if Lookup(`"`) != Lookup("in") || Lookup("°") != Lookup("deg") || Lookup("cc") == Lookup("cm3") {
		t.Error("signs are their words, and cc keeps its own")
	}
	if Lookup("") == nil || Lookup("").Dim != Count {
		t.Error("the empty name is the unit of counts")
	}
	for _, n := range []string{"inch", "IN", "in ", "gcm2", "g  cm2", "é", "\xff"} {
		if Lookup(n) != nil {
			t.Errorf("%q is not a unit", n)
		}
	}
}

func TestSuggest(t *testing.T) {
	for typed, want := range map[string]string{"inch": "in", "Inches": "in", "MM": "mm", "hz": "Hz", "Degrees": "deg",
		"percent": "%", "gr": "g", "point": "pts", "cm³": "cm3", "µs": "us", "furlong": "", "second": "", "to": "", "": ""} {
		if got := Suggest(typed); got != want {
			t.Errorf("for %q: %q, want %q", typed, got, want)
		}
	}
	for typed, u := range misspelt {
		if Lookup(u) == nil || Lookup(typed) != nil {
			t.Errorf("%q for %q", u, typed)
		}
	}
}

// Figures of NIST SP 811, appendix B.8 and B.9, from memory; those marked exact are exact there.
func TestHandbookFigures(t *testing.T) {
	for _, c := range []struct {
		from, to string
		factor   string
		digits   int // of the printed figure; 0 where it is exact
	}{
		{"in", "mm", "25.4", 0},
		{"ft", "m", "0.3048", 0},
		{"in2", "mm2", "645.16", 0},
		{"in3", "cm3", "16.387064", 0},
		{"oz", "g", "28.349523125", 0},
		{"lb", "kg", "0.45359237", 0},
		{"grain", "g", "0.06479891", 0},
		{"oz", "g", "28.34952", 7},
		{"lb", "grain", "7000", 0},
		{"lb", "oz", "16", 0},
		{"Hz", "cpm", "60", 0},
		{"cc", "cm3", "1", 0},
		{"us", "s", "0.000001", 0},
		{"g/in", "g/cm", "0.3937008", 7},
		{"oz in2", "g cm2", "182.8998", 7},
		{"oz in", "g in", "28.349523125", 0},
	} {
		from, to := Lookup(c.from), Lookup(c.to)
		if from.Dim != to.Dim {
			t.Errorf("%s and %s are of two dimensions", c.from, c.to)
			continue
		}
		got := new(big.Rat).Quo(from.exact, to.exact)
		want := rat(c.factor)
		if c.digits == 0 && got.Cmp(want) != 0 {
			t.Errorf("1 %s is %s %s, want %s", c.from, got, c.to, want)
		}
		if g, _ := got.Float64(); c.digits > 0 {
			if s := rounded(g, c.digits); s != c.factor {
				t.Errorf("1 %s is %s %s, want %s", c.from, s, c.to, c.factor)
			}
		}
	}
}

// The conversions agree with GNU units, an independent program with its own table.
func TestAgainstGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		t.Skip("the program units (GNU units) is not installed")
	}
	theirs := map[string]string{`"`: "inch", "in": "inch", "ft": "foot", "mm": "mm", "cm": "cm", "m": "m", "deg": "degree", "°": "degree",
		"g": "gram", "kg": "kg", "oz": "ounce", "lb": "pound", "grain": "grain", "us": "microsecond", "ms": "millisecond",
		"s": "second", "cpm": "1/minute", "Hz": "Hz", "in2": "inch^2", "mm2": "mm^2", "cm3": "cm^3", "cc": "cc", "in3": "inch^3",
		"g cm2": "gram cm^2", "oz in2": "ounce inch^2", "oz in": "ounce inch", "g in": "gram inch", "g/in": "gram/inch",
		"g/cm": "gram/cm", "%": "percent", "day": "day", "days": "day"}
	type pair struct{ from, to string }
	var pairs []pair
	var input strings.Builder
	for _, from := range Names() {
		for _, to := range Names() {
			if Lookup(from).Dim != Lookup(to).Dim || from == to || Lookup(from).Dim == Swing {
				continue
			}
			if theirs[from] == "" || theirs[to] == "" {
				t.Fatalf("%q or %q has no name for the program", from, to)
			}
			pairs = append(pairs, pair{from, to})
			input.WriteString(theirs[from] + "\n" + theirs[to] + "\n")
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, "--terse", "--one-line", "--quiet", "--digits", "17")
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Skipf("the program units does not run here: %v", err)
	}
	lines := strings.Fields(string(out))
	if len(lines) != len(pairs) || len(pairs) < 50 {
		t.Fatalf("%d answers to %d questions", len(lines), len(pairs))
	}
	for i, p := range pairs {
		want, err := strconv.ParseFloat(lines[i], 64)
		if err != nil {
			t.Fatalf("%s to %s: %v", p.from, p.to, err)
		}
		got := Lookup(p.to).FromBase(Lookup(p.from).ToBase(1))
		if math.Abs(got-want) > 1e-14*want {
			t.Errorf("1 %s is %.17g %s, by the program %.17g", p.from, got, p.to, want)
		}
	}
}

func TestBaseUnits(t *testing.T) {
	for _, c := range []struct {
		unit   string
		amount float64
		base   float64
	}{
		{"in", 46, 1168400000}, // nanometres
		{"mm", 1168.4, 1168400000},
		{"in", 46.2, 1173480000},
		{"in", 1.0 / 64, 396875},
		{"deg", 64.1, 64100000}, // microdegrees
		{"g", 312.5, 312.5e9},   // nanograms
		{"oz", 1.0 / 128, 28349523125.0 / 128},
		{"us", 239, 239000}, // nanoseconds
		{"s", 1, 1e9},
		{"Hz", 1, 1e-9},
		{"pts", 32, 32},
		{"%", 95, 0.95},
		{"", 14, 14},
	} {
		if got := Lookup(c.unit).ToBase(c.amount); got != c.base {
			t.Errorf("%v %s is %v, want %v", c.amount, c.unit, got, c.base)
		}
		if got := Lookup(c.unit).FromBase(c.base); got != c.amount {
			t.Errorf("%v is %v %s, want %v", c.base, got, c.unit, c.amount)
		}
	}
	deg := Lookup("deg")
	if d := deg.ToBase(64.1) - deg.ToBase(60.1); d != 4e6 {
		t.Errorf("64.1 - 60.1 deg is %v", d)
	}
	if got := deg.ToBase(math.Copysign(0, -1)); got != 0 {
		t.Errorf("-0 is %v", got)
	}
	if !math.IsNaN(deg.ToBase(math.NaN())) || !math.IsInf(deg.ToBase(math.Inf(-1)), -1) || !math.IsNaN(deg.FromBase(math.NaN())) {
		t.Error("NaN must stay NaN")
	}
}

func anyUnit(t *rapid.T) *Unit {
	return Lookup(rapid.SampledFrom(Names()).Draw(t, "unit"))
}

// A decimal that a person writes survives the way to base units and back, in any unit.
func TestDecimalsSurviveConversion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		digits, places := rapid.Int64Range(-1e12, 1e12).Draw(t, "digits"), rapid.IntRange(0, 9).Draw(t, "places")
		text := decimalText(digits, places)
		amount, _ := strconv.ParseFloat(text, 64)
		exact := RoundExact(times(rat(text), u.exact))
		if got := u.ToBase(amount); got != exact {
			t.Fatalf("%s %s is %v, exactly %v", text, u.Name, got, exact)
		}
		if got := u.FromBase(exact); got != amount {
			t.Fatalf("%s %s comes back as %v", text, u.Name, got)
		}
	})
}

func decimalText(digits int64, places int) string {
	return new(big.Rat).SetFrac(big.NewInt(digits), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)).FloatString(places)
}

// quick, where it answers, gives the exact value rounded once.
func TestQuickIsExact(t *testing.T) {
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t)
		num := rapid.Uint64Range(0, 1e9).Draw(t, "num")
		den := rapid.Uint64Range(1, 1e4).Draw(t, "den")
		shift := rapid.IntRange(-9, 0).Draw(t, "shift")
		got, ok := u.quick(num, den, shift)
		if !ok {
			return
		}
		answered++
		r := new(big.Rat).SetFrac(new(big.Int).SetUint64(num), new(big.Int).SetUint64(den))
		r.Mul(r, rat("1e"+strconv.Itoa(shift)))
		if want := RoundExact(r.Mul(r, u.exact)); got != want {
			t.Fatalf("%d/%d e%d %s: %v, want %v", num, den, shift, u.Name, got, want)
		}
	})
	if answered == 0 {
		t.Error("quick never answered")
	}
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want int
	}{
		{1, 1, 0}, {1, 2, -1}, {2, 1, 1}, {0, 0, 0}, {0, 1e-300, -1}, {-1, 1, -1},
		{0.1 + 0.2, 0.3, 0}, {1, 1 + 1e-12, -1}, {1 + 1e-12, 1, 1}, {-1 - 1e-12, -1, -1},
		{math.Inf(1), 1, 1}, {math.Inf(-1), 1, -1}, {math.Inf(1), math.Inf(1), 0}, {math.Inf(-1), math.Inf(1), -1},
		{math.MaxFloat64, -math.MaxFloat64, 1},
		// One nanometre in 48 in is far more than rounding.
		{1219200000, 1219200001, -1},
	} {
		if got := Compare(c.a, c.b); got != c.want {
			t.Errorf("%v and %v: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
