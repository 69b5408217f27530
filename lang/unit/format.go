// Printing values as a person reads them at the bench, and comparing them.

package unit

// This file prints quantities, for a person at the bench and to be read back.

import (
	"cmp"
	"math"
	"math/big"
	"strconv"
	"strings"
)

const (
	unknown     = "unknown" // printed for NaN and infinities
	fullDigits  = 12        // decimals up to this length are printed as they are
	shownDigits = 10        // longer ones are rounded to this length
	dust        = 1e-12     // amounts below it are the rounding of a difference that is 0
)

// RoundExact is the float64 nearest to r, an exact value in base units.
func RoundExact(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// benchPlaces are the decimals of a figure at the bench, of units that have a custom of their own.
var benchPlaces = map[string]int{"in": 3, "ft": 4, "mm": 1, "cm": 2, "m": 4, "deg": 2, "pts": 1, "g": 1, "oz": 2}

// Shown is the number that Amount.Text prints for an amount in the unit u.
func Shown(amount float64, u *Unit, finer int, round func(float64) float64) float64 {
	size := math.Abs(amount)
	if _, fraction := sixtyFourths(size); !(size > dust) || math.IsInf(size, 0) || u == inch && fraction {
		return amount
	}
	first := int(math.Floor(math.Log10(size))) // the power of ten of the first digit
	places, custom := benchPlaces[u.Name]
	if places = max(places, -first); !custom {
		places = max(0, 3-first)
	}
	if places += finer; places >= len(pow10) || size*pow10[places] >= maxExact { // no decimals to lose
		return amount
	}
	n := amount * pow10[places]
	if near := math.Round(n); Compare(near, n) == 0 {
		return near / pow10[places]
	}
	return round(n) / pow10[places]
}

// Format is a value in base units as a person reads it at the bench, in the unit u. Inches are fractions where they are
// whole sixty-fourths ("46 1/2 in"). Other figures have the decimals of benchPlaces at the most, else four digits. What
// is not 0 never comes out as 0. A bare number has no unit. NaN and infinities are "unknown". A nil unit is that of
// counts.
func Format(base float64, u *Unit) string { return Amount{Base: base, Unit: cmp.Or(u, count)}.String() }

// Exact is a value in base units as a book or a sheet has it, to be read back. Inches are fractions where they are
// whole sixty-fourths ("46 1/2 in"), else the shortest decimals ("46.2 in"), of at most 12 digits. NaN and infinities
// are "unknown". A nil unit is that of counts.
func Exact(base float64, u *Unit) string {
	return printed(base, u, true, func(amount float64, _ *Unit) string { return decimal(amount) })
}

// printed is a value in u as decimals, or where it may be as a fraction.
func printed(base float64, u *Unit, fractions bool, decimals func(amount float64, u *Unit) string) string {
	u = cmp.Or(u, count)
	amount := u.FromBase(base)
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		return unknown
	}
	if n, ok := sixtyFourths(math.Abs(amount)); ok && fractions && u == inch {
		sign := ""
		if amount < 0 && n > 0 {
			sign = "-"
		}
		return sign + mixedFraction(int64(n), 64) + " in"
	}
	return withUnit(decimals(amount, u), u)
}

// FormatFine is a value in base units as decimals with three significant digits, for sensitivities: "0.0361 in".
// NaN and infinities are "unknown". A nil unit is that of counts.
func FormatFine(base float64, u *Unit) string {
	return printed(base, u, false, func(amount float64, _ *Unit) string { return rounded(amount, 3) })
}

// FormatSwing is a swing weight in points from A0 as the trade writes it, to a tenth of a point: 32 is "D2", 29.5 is
// "C9.5". Below A0 and from ten points above G0 it is shown as points, "-3 pts".
func FormatSwing(base float64) string { return Amount{Base: base, Unit: points, Swing: true}.String() }

// ExactSwing is a swing weight in points from A0 as a book or a sheet has it, to be read back.
func ExactSwing(base float64) string {
	if math.IsNaN(base) || math.IsInf(base, 0) {
		return unknown
	}
	// The letter is taken of the value as printed, so that 39.99999999999999 is E0 and not D10.
	p, err := strconv.ParseFloat(rounded(base, shownDigits), 64)
	if err != nil || p < 0 || p >= 70 {
		return withUnit(decimal(base), points)
	}
	letter := math.Floor(p / 10)
	return string(rune('A'+int(letter))) + decimal(p-10*letter)
}

// ones are the names of units behind a 1, where they are others.
var ones = map[*Unit]string{points: "pt", day: "day"}

func withUnit(number string, u *Unit) string {
	name := u.Name
	if one := ones[u]; one != "" && strings.TrimPrefix(number, "-") == "1" {
		name = one
	}
	return strings.TrimSuffix(number+" "+name, " ")
}

// Bare is an amount that was written in the unit, without the unit.
func (u *Unit) Bare(amount string) string {
	return strings.TrimSuffix(strings.TrimSuffix(amount, " "+u.Name), " "+ones[u])
}

// sixtyFourths is how many sixty-fourths an amount that is not negative has, where they are whole. From a million on,
// what Compare takes for the same is as coarse as the decimals that a person writes.
func sixtyFourths(amount float64) (n float64, ok bool) {
	n = math.Round(amount * 64)
	return n, n < 64e6 && Compare(n/64, amount) == 0
}

// mixedFraction is n/below as a whole number and a fraction, which is reduced where below is a power of 2.
func mixedFraction(n, below int64) string {
	whole, part := strconv.FormatInt(n/below, 10), n%below
	if part == 0 {
		return whole
	}
	for part%2 == 0 && below%2 == 0 {
		part, below = part/2, below/2
	}
	return strings.TrimPrefix(whole+" ", "0 ") + strconv.FormatInt(part, 10) + "/" + strconv.FormatInt(below, 10)
}

// decimal is the shortest decimal that denotes amount, or, where that is longer than a person writes, amount
// rounded to shownDigits.
func decimal(amount float64) string {
	const point = 1
	shortest := strconv.FormatFloat(math.Abs(amount), 'e', -1, 64)
	if strings.IndexByte(shortest, 'e') > fullDigits+point {
		return rounded(amount, shownDigits)
	}
	return plain(amount)
}

// rounded is amount rounded to n significant digits, without trailing zeros.
func rounded(amount float64, n int) string {
	f, err := strconv.ParseFloat(strconv.FormatFloat(amount, 'e', n-1, 64), 64)
	if err != nil {
		return unknown
	}
	return plain(f)
}

// plain is f without an exponent, except for sizes that no club has.
func plain(f float64) string {
	if math.Abs(f) < dust {
		return "0"
	}
	if math.Abs(f) >= 1e21 {
		return strconv.FormatFloat(f, 'g', -1, 64)
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// Compare is -1, 0 or 1 as a is below, equal to or above b. Values closer than 2^-40 of the larger are the same:
// that far, and no farther, do the rounding errors of sums and quotients of readings go. Neither may be NaN.
func Compare(a, b float64) int {
	if a == b {
		return 0
	}
	if d := math.Abs(a - b); !math.IsInf(d, 0) && d <= 0x1p-40*max(math.Abs(a), math.Abs(b)) {
		return 0
	}
	if a < b {
		return -1
	}
	return 1
}

// Alike returns the least and the greatest number that Compare takes for c.
func Alike(c float64) (low, high float64) {
	edge := func(at, beyond float64) float64 {
		for Compare(at, c) != 0 {
			at = math.Nextafter(at, c)
		}
		for next := math.Nextafter(at, beyond); Compare(next, c) == 0; next = math.Nextafter(at, beyond) {
			at = next
		}
		return at
	}
	dust := 0x1p-40 * math.Abs(c)
	return edge(c-dust, math.Inf(-1)), edge(c+dust, math.Inf(1))
}
