// Package unit holds the dimensions and units of the trade, and quantities such as 45 3/4 in: reading them
// from a rule book or from the cell of a sheet, converting them exactly, comparing and printing them.
//
// A value is held as a float64 in base units: nanometres, microdegrees, nanograms, nanoseconds, points of swing weight
// from A0 (D2 is 32), days, and products of these. Counts and ratios are as they are. In base units binary and decimal
// fractions of an inch, a degree, a gram and an ounce are exact, so 46 in and 1168.4 mm are the same float64. What a
// person wrote is read as a rational number and rounded once.
package unit

import (
	"math"
	"math/big"
	"math/bits"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// FirstYear is the first year of a day that can be right: an earlier one is a slip, and would make anybody old enough.
const FirstYear = 1900

// Unit is a unit of the trade with its exact scale to the base unit of its dimension. Units compare by
// pointer; they come from Lookup and Base only. Name is the word it is written with, empty for a bare number.
type Unit struct {
	Name string
	Dim  Dim

	exact *big.Rat // base units in one unit
	scale float64  // exact, rounded

	// exact once more as num/den * 10^shift, for arithmetic without rationals; num is 0 where it does not fit.
	num, den uint64
	shift    int
}

// spelling is a word for a unit in a book or a sheet.
type spelling struct {
	word string
	unit *Unit
}

var (
	count = newUnit("", Count, big.NewRat(1, 1))
	ratio = newUnit("", Ratio, big.NewRat(1, 1))

	inch     = newUnit("in", Length, rat("25400000"))
	foot     = newUnit("ft", Length, rat("304800000"))
	degree   = newUnit("deg", Angle, rat("1000000"))
	gram     = newUnit("g", Mass, rat("1000000000"))
	second   = newUnit("s", Time, rat("1000000000"))
	microsec = newUnit("us", Time, rat("1000"))
	ounce    = newUnit("oz", Mass, rat("453592370000/16"))
	perMin   = newUnit("cpm", Frequency, rat("1/60000000000"))
	inch2    = newUnit("in2", Area, power(inch, 2))
	cm3      = newUnit("cm3", Volume, rat("1000000000000000000000"))
	gramCM2  = newUnit("g cm2", Inertia, rat("100000000000000000000000"))
	ounceIn  = newUnit("oz in", Moment, times(ounce.exact, inch.exact))
	gramPer  = newUnit("g/in", LineMass, times(gram.exact, power(inch, -1)))
	points   = newUnit("pts", Swing, big.NewRat(1, 1))
	day      = newUnit("days", Days, big.NewRat(1, 1))
)

// spellings are all words for units. The international inch, pound, ounce and grain are exact by definition
// (1 in = 25.4 mm, 1 lb = 453.59237 g; NIST SP 811, from memory).
var spellings = []spelling{
	{"in", inch},
	{`"`, inch},
	{"ft", foot},
	{"mm", newUnit("mm", Length, rat("1000000"))},
	{"cm", newUnit("cm", Length, rat("10000000"))},
	{"m", newUnit("m", Length, rat("1000000000"))},
	{"deg", degree},
	{"°", degree},
	{"g", gram},
	{"kg", newUnit("kg", Mass, rat("1000000000000"))},
	{"oz", ounce},
	{"lb", newUnit("lb", Mass, rat("453592370000"))},
	{"grain", newUnit("grain", Mass, rat("453592370000/7000"))},
	{"us", microsec},
	{"ms", newUnit("ms", Time, rat("1000000"))},
	{"s", second},
	{"cpm", perMin},
	{"Hz", newUnit("Hz", Frequency, power(second, -1))},
	{"in2", inch2},
	{"mm2", newUnit("mm2", Area, rat("1000000000000"))},
	{"cm3", cm3},
	{"cc", newUnit("cc", Volume, cm3.exact)},
	{"in3", newUnit("in3", Volume, power(inch, 3))},
	{"g cm2", gramCM2},
	{"oz in2", newUnit("oz in2", Inertia, times(ounce.exact, power(inch, 2)))},
	{"oz in", ounceIn},
	{"g in", newUnit("g in", Moment, times(gram.exact, inch.exact))},
	{"g/in", gramPer},
	{"g/cm", newUnit("g/cm", LineMass, rat("100"))},
	{"%", newUnit("%", Ratio, big.NewRat(1, 100))},
	{"pt", points},
	{"pts", points},
	{"day", day},
	{"days", day},
}

// byFirst holds the spellings by their first byte, longest first, so that the first that fits is the longest.
var byFirst = func() (t [256][]spelling) {
	for _, s := range spellings {
		t[s.word[0]] = append(t[s.word[0]], s)
	}
	for _, list := range t {
		slices.SortStableFunc(list, func(a, b spelling) int { return len(b.word) - len(a.word) })
	}
	return t
}()

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("unit: faulty scale " + s)
	}
	return r
}

func times(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

// power is the scale of u raised to n, which may be negative.
func power(u *Unit, n int) *big.Rat {
	r := big.NewRat(1, 1)
	for range max(n, -n) {
		r.Mul(r, u.exact)
	}
	if n < 0 {
		r.Inv(r)
	}
	return r
}

// newUnit makes the unit of which one is exact base units.
func newUnit(name string, d Dim, exact *big.Rat) *Unit {
	u := &Unit{Name: name, Dim: d, exact: exact}
	u.scale, _ = exact.Float64()
	num, up := strip10(exact.Num())
	den, down := strip10(exact.Denom())
	if num.IsUint64() && den.IsUint64() {
		u.num, u.den, u.shift = num.Uint64(), den.Uint64(), up-down
	}
	return u
}

// strip10 is n without its trailing zeros, and their number.
func strip10(n *big.Int) (*big.Int, int) {
	n, ten, zeros := new(big.Int).Set(n), big.NewInt(10), 0
	for {
		q, r := new(big.Int).QuoRem(n, ten, new(big.Int))
		if r.Sign() != 0 {
			return n, zeros
		}
		n, zeros = q, zeros+1
	}
}

// Lookup is the unit that a name means in a rule book, nil if there is none. An empty name is the unit of counts.
func Lookup(name string) *Unit {
	if name == "" {
		return count
	}
	for _, s := range byFirst[name[0]] {
		if s.word == name {
			return s.unit
		}
	}
	return nil
}

// Names is every word for a unit, sorted, without the empty one of counts.
func Names() []string {
	names := make([]string, 0, len(spellings))
	for _, s := range spellings {
		names = append(names, s.word)
	}
	slices.Sort(names)
	return names
}

// bases are the units that Base gives for the dimensions of the trade.
var bases = map[Dim]*Unit{
	Count: count, Ratio: ratio, Length: inch, Angle: degree, Mass: gram, Time: microsec, Swing: points,
	Frequency: perMin, Area: inch2, Volume: cm3, Inertia: gramCM2, Moment: ounceIn, LineMass: gramPer,
	Days: day,
}

// composed holds the units that Base has made for dimensions without a unit of the trade, Dim to *Unit, so that
// equal dimensions get the same pointer.
var composed sync.Map

// Base is the unit in which a value of the dimension d is shown by default: in, deg, g, us, cpm, in2, cm3,
// g cm2, oz in, g/in, pts, and nothing for counts and ratios. For any other dimension it is a unit
// composed of g, in, deg, pts and s, such as "in3/s".
func Base(d Dim) *Unit {
	if u := bases[d]; u != nil {
		return u
	}
	if u, ok := composed.Load(d); ok {
		return u.(*Unit)
	}
	u, _ := composed.LoadOrStore(d, compose(d))
	return u.(*Unit)
}

func compose(d Dim) *Unit {
	exact := big.NewRat(1, 1)
	for i, b := range basics {
		exact.Mul(exact, power(Lookup(b.unit), int(d.Exponents[i])))
	}
	above, below := d.factors(func(b basic, n int) string {
		if n == 1 {
			return b.unit
		}
		return b.unit + strconv.Itoa(n)
	})
	if len(above) == 0 {
		above = []string{"1"}
	}
	name := strings.Join(above, " ")
	switch len(below) {
	case 0:
	case 1:
		name += "/" + below[0]
	default:
		name += "/(" + strings.Join(below, " ") + ")"
	}
	return newUnit(name, d, exact)
}

// Metric reports whether the unit is one of length of the metric system.
func (u *Unit) Metric() bool { return u != nil && u.Dim == Length && u != inch && u != foot }

// FromBase is the amount in u of a value in base units. A value that is a decimal of up to 15 digits, except for
// the rounding of the conversion, comes out as the float64 nearest to that decimal: the value of 46.2 in gives 46.2.
func (u *Unit) FromBase(base float64) float64 {
	q := base / u.scale
	if near := math.Round(q*1e6) / 1e6; math.Abs(q) < 1e9 && same(near, q) {
		return near
	}
	if q == 0 || math.IsInf(q, 0) || math.IsNaN(q) {
		return q
	}
	var buf [32]byte
	near, err := strconv.ParseFloat(string(strconv.AppendFloat(buf[:0], q, 'e', 14, 64)), 64)
	if err != nil || !same(near, q) {
		return q
	}
	return near
}

// Clean is the amount in u of a value in base units that may hold the rounding dust of a difference of values as large
// as beside (0 for none). Where rounding to what Compare takes for the same leaves few digits, it is that short number.
func (u *Unit) Clean(base, beside float64) float64 {
	const kept, fine = 10, 1000 // the digits of a short number, and how much finer the dust lies
	q := u.FromBase(base)
	size := math.Max(math.Abs(q), math.Abs(u.FromBase(beside)))
	if size == 0 || math.IsInf(size, 0) || math.IsNaN(size) {
		return q
	}
	places := kept - 1 - int(math.Floor(math.Log10(size)))
	if places < 0 || places >= len(pow10) {
		return q
	}
	short := math.Round(q*pow10[places]) / pow10[places]
	if math.Abs(q-short)*pow10[places]*fine > 0.5 {
		return q
	}
	return short
}

// same reports whether a and b differ by no more than the two roundings of a conversion and its scale.
func same(a, b float64) bool { return math.Abs(a-b) <= 4.5e-16*math.Abs(b) }

// ToBase is the value in base units of an amount in u. The amount is taken as the shortest decimal that
// denotes it, converted exactly and rounded once, so 46.2 in is the value of the literal "46.2 in".
func (u *Unit) ToBase(amount float64) float64 {
	if a := math.Abs(amount); a == math.Trunc(a) && a < maxExact {
		if v, ok := u.quick(uint64(a), 1, 0); ok {
			return math.Copysign(v, amount)
		}
	}
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(amount, 'g', -1, 64))
	if !ok {
		return amount * u.scale // not a number, or infinite
	}
	return RoundExact(r.Mul(r, u.exact))
}

// maxExact bounds the whole numbers that float64 holds without a gap.
const maxExact = 1 << 53

// pow10 are the powers of ten that float64 holds exactly.
var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
	1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// quick is num/den * 10^shift of u in base units, rounded once. It reports false where the numbers are too
// large for that in float64; the caller then computes with rationals.
func (u *Unit) quick(num, den uint64, shift int) (float64, bool) {
	n, okN := mulExact(num, u.num)
	d, okD := mulExact(den, u.den)
	if !okN || !okD || d == 0 {
		return 0, false
	}
	shift += u.shift
	for ; shift > 0 && (d > 1 || shift >= len(pow10)); shift-- {
		if n, okN = mulExact(n, 10); !okN {
			return 0, false
		}
	}
	for ; shift < 0 && (d > 1 || -shift >= len(pow10)); shift++ {
		if d, okD = mulExact(d, 10); !okD {
			return 0, false
		}
	}
	switch {
	case shift > 0:
		return float64(n) * pow10[shift], true
	case shift < 0:
		return float64(n) / pow10[-shift], true
	}
	return float64(n) / float64(d), true
}

// mulExact is a*b where float64 holds it exactly.
func mulExact(a, b uint64) (uint64, bool) {
	hi, lo := bits.Mul64(a, b)
	return lo, hi == 0 && lo < maxExact
}

// unitAt finds the longest unit at the start of s, as written after a number: n is its length in bytes, with the
// blanks before it. Where there is none, u is nil. `"` counts only where it touches the number.
func unitAt(s string) (u *Unit, n int) {
	at := blanks(s)
	if at == len(s) {
		return nil, 0
	}
	for _, sp := range byFirst[s[at]] {
		m := match(s[at:], sp.word)
		if m == 0 {
			continue
		}
		if sp.word == `"` {
			if at > 0 {
				return nil, 0
			}
			return sp.unit, m
		}
		if wordGoesOn(s[at+m:]) {
			continue
		}
		return sp.unit, at + m
	}
	return nil, 0
}

// match is the length of the start of s that spells word, in which a blank matches one or more; 0 where it does not.
func match(s, word string) int {
	i := 0
	for j := 0; j < len(word); j++ {
		if word[j] == ' ' {
			b := blanks(s[i:])
			if b == 0 {
				return 0
			}
			i += b
			continue
		}
		if i >= len(s) || s[i] != word[j] {
			return 0
		}
		i++
	}
	return i
}

// blanks is the number of spaces and tabs at the start of s.
func blanks(s string) int {
	i := 0
	for i < len(s) && (s[i] == ' ' || s[i] == '\t') {
		i++
	}
	return i
}

// wordGoesOn reports whether s starts with a character that belongs to the word before it.
func wordGoesOn(s string) bool {
	if s == "" {
		return false
	}
	if c := s[0]; c < utf8.RuneSelf {
		return isDigit(c) || c == '-' || c == '_' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
	}
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || unicode.IsNumber(r)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
