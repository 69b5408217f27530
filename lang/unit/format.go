// Printing values as a person reads them at the bench, and comparing them.

package unit

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

const (
	unknown     = "unknown" // printed for what is no number
	fullDigits  = 12        // decimals up to this length are printed as they are
	shownDigits = 10        // longer ones are rounded to this length
	dust        = 1e-12     // amounts below it are the rounding of a difference that is 0
)

// RoundExact is the float64 nearest to r, an exact value in base units.
func RoundExact(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// Format is a value in base units as text in the unit u: inches as a bench rule reads them ("46 1/2 in") where they
// are whole sixty-fourths, else the shortest decimals ("46.2 in"), of at most 12 digits. A bare number has no unit.
// What is no number, or infinite, is "unknown". A nil unit is that of counts.
func Format(base float64, u *Unit) string {
	if u == nil {
		u = count
	}
	amount := u.FromBase(base)
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		return unknown
	}
	if u == inch {
		if s, ok := sixtyFourths(amount); ok {
			return s + " in"
		}
	}
	return withUnit(decimal(amount), u)
}

// FormatFine is a value in base units as decimals with three significant digits, for uncertainties: "0.0361 in".
// What is no number, or infinite, is "unknown". A nil unit is that of counts.
func FormatFine(base float64, u *Unit) string {
	if u == nil {
		u = count
	}
	amount := u.FromBase(base)
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		return unknown
	}
	return withUnit(rounded(amount, 3), u)
}

// FormatSwing is a swing weight in points from A0 as the trade writes it: 32 is "D2", 29.5 is "C9.5". Below A0
// and from ten points above G0 it is shown as points, "-3 pts".
func FormatSwing(base float64) string {
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

func withUnit(number string, u *Unit) string {
	if u.Name == "" {
		return number
	}
	return number + " " + u.Name
}

// sixtyFourths is amount as a whole number and a reduced fraction, where it is a multiple of 1/64. From a million on,
// what Compare takes for the same is as coarse as the decimals that a person writes.
func sixtyFourths(amount float64) (string, bool) {
	n := math.Round(math.Abs(amount) * 64)
	if n >= 64e6 || Compare(n/64, math.Abs(amount)) != 0 {
		return "", false
	}
	whole, part, below := int64(n)/64, int64(n)%64, int64(64)
	for part != 0 && part%2 == 0 {
		part, below = part/2, below/2
	}
	var b strings.Builder
	if amount < 0 && n > 0 {
		b.WriteByte('-')
	}
	if whole > 0 || part == 0 {
		b.WriteString(strconv.FormatInt(whole, 10))
	}
	if part > 0 {
		if whole > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strconv.FormatInt(part, 10))
		b.WriteByte('/')
		b.WriteString(strconv.FormatInt(below, 10))
	}
	return b.String(), true
}

// decimal is the shortest decimal that denotes amount, or, where that is longer than a person writes, amount
// rounded to shownDigits.
func decimal(amount float64) string {
	if math.Abs(amount) < dust {
		return "0"
	}
	shortest := strconv.FormatFloat(amount, 'e', -1, 64)
	digits := strings.IndexByte(shortest, 'e')
	if strings.IndexByte(shortest, '.') >= 0 {
		digits--
	}
	if amount < 0 {
		digits--
	}
	if digits > fullDigits {
		return rounded(amount, shownDigits)
	}
	return plain(amount)
}

// rounded is amount rounded to n significant digits, without trailing zeros.
func rounded(amount float64, n int) string {
	if math.Abs(amount) < dust {
		return "0"
	}
	f, err := strconv.ParseFloat(strconv.FormatFloat(amount, 'e', n-1, 64), 64)
	if err != nil {
		return unknown
	}
	return plain(f)
}

// plain is f without an exponent, but for sizes that no club has.
func plain(f float64) string {
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
	if d := math.Abs(a - b); !math.IsInf(d, 0) && d <= 0x1p-40*math.Max(math.Abs(a), math.Abs(b)) {
		return 0
	}
	if a < b {
		return -1
	}
	return 1
}
