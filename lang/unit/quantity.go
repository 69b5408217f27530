// Reading quantities from the text of a rule book.

package unit

// This file reads quantities as a rule book writes them.

import (
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Quantity is a literal as a person wrote it, exact. Number is in Unit, which is the unit of counts where none was
// written; for a swing weight such as D2 (SwingWeight) it is the points from A0, 32. Text is what was read.
// The zero value is not a quantity.
type Quantity struct {
	Number      *big.Rat
	Unit        *Unit
	Text        string // as it is written
	Figure      string // the number alone, as it is written; "" of a swing weight
	HasUnit     bool
	SwingWeight bool
}

// Dim is the dimension of q.
func (q Quantity) Dim() Dim { return q.Unit.Dim }

// Exact is q in base units, exact. The result is the caller's own.
func (q Quantity) Exact() *big.Rat { return times(q.Number, q.Unit.exact) }

// Base is q in base units, rounded once.
func (q Quantity) Base() float64 { return RoundExact(q.Exact()) }

// Error is a mistake in a quantity: where it lies in the text read (bytes), what is wrong, what was expected, and
// the nearest right thing where there is one.
type Error struct {
	Offset, Length int
	Message        string
	Expected       string
	Hint           string
	NoUnit         bool // it is a number without a unit where one is wanted
	Guess          bool // Hint is a guess at what was meant, not what was written in another form
}

// Scan reads the longest quantity at the start of s as a rule book writes it: a number without a sign, any blanks
// and a unit; or a swing weight such as D2. n is the bytes read. Where s starts with no number, n is 0 and err is
// nil. A number that is not followed by a unit is a count, whatever word follows it; a word that is
// a common misspelling of a unit is an error.
func Scan(s string) (q Quantity, n int, err *Error) {
	if s == "" {
		return Quantity{}, 0, nil
	}
	if r, n, err := swingAt(s, false); n > 0 || err != nil {
		if err != nil {
			return Quantity{}, 0, err
		}
		return Quantity{Number: r, Unit: points, Text: s[:n], HasUnit: true, SwingWeight: true}, n, nil
	}
	if s[0] == '.' && len(s) > 1 && isDigit(s[1]) {
		end := 1 + digits(s[1:])
		return Quantity{}, 0, wrong(s[:end], " has no digit before the point", "a digit on both sides of the point",
			"0"+s[:end])
	}
	r, end, err := numberAt(s, 0, false)
	if err == nil && r != nil {
		err = afterNumber(s, end)
	}
	if err != nil || r == nil {
		return Quantity{}, 0, err
	}
	q = Quantity{Number: r, Unit: count, Figure: s[:end]}
	if u, m := unitAt(s[end:]); u != nil {
		q.Unit, q.HasUnit, end = u, true, end+m
	} else if err := strayWord(s, end); err != nil {
		return Quantity{}, 0, err
	}
	q.Text = s[:end]
	return q, end, nil
}

// strayWord is the mistake in a word after the number that ends at end: one that touches the number, or one that is
// a misspelt unit. Any other word has nothing to do with the number.
func strayWord(s string, end int) *Error {
	at := end + blanks(s[end:])
	word := wordAt(s[at:])
	if word == "" {
		return nil
	}
	hint := Suggest(word)
	if at > end && hint == "" {
		return nil
	}
	if at == end {
		if written, ok := exponent(s[:end], word); ok {
			return wrong(s[:end+len(word)], " is written with an exponent", "plain digits", written)
		}
	}
	return unknownUnit(s, at, len(word), hint)
}

func unknownUnit(s string, at, length int, hint string) *Error {
	return mistake(s, at, at+length, " is not a unit", "a unit such as in, mm, deg, g, oz, cpm or %", hint)
}

// exponent reports whether word, directly after the number before it, makes a number such as 1e5, and writes that out.
func exponent(before, word string) (written string, ok bool) {
	if len(word) < 2 || word[0] != 'e' && word[0] != 'E' {
		return "", false
	}
	power := strings.TrimPrefix(word[1:], "-")
	if power == "" || digits(power) != len(power) {
		return "", false
	}
	f, err := strconv.ParseFloat(before+word, 64)
	if err != nil || len(power) > 1 || f == 0 {
		return "", true
	}
	return plain(f), true
}

// mistake is an Error about s[from:to], whose message starts with that text.
func mistake(s string, from, to int, message, expected, hint string) *Error {
	hint = strings.Join(strings.Fields(hint), " ") // it may repeat the blanks and tabs of the text
	return &Error{Offset: from, Length: to - from, Message: quoted(s[from:to]) + message, Expected: expected,
		Hint: hint}
}

// wrong is the mistake of a text that was read from its start.
func wrong(text, message, expected, hint string) *Error {
	return mistake(text, 0, len(text), message, expected, hint)
}

// maxDigits is the most digits that one number may have.
const maxDigits = 40

// numberAt reads the number at s[from:]: 46, 45.75, 3/8, 45 3/4, 45-3/4, 45¾ or ¾. It gives where the number ends.
// Where there is none r is nil. With comma, a comma followed by a digit is a decimal point too.
func numberAt(s string, from int, comma bool) (r *big.Rat, end int, err *Error) {
	if r, n := vulgarAt(s[from:]); r != nil {
		return r, from + n, nil
	}
	whole, err := figure(s, from)
	if whole == from || err != nil {
		return nil, from, err
	}
	end = whole
	rest := s[whole:]
	switch {
	case len(rest) > 1 && (rest[0] == '.' || comma && rest[0] == ',') && isDigit(rest[1]):
		if end, err = figure(s, whole+1); err != nil {
			return nil, from, err
		}
		part := end - whole - 1
		scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(part)), nil)
		r = new(big.Rat).SetFrac(integer(s[from:whole]+s[whole+1:end]), scale)
	case len(rest) > 1 && rest[0] == '/' && isDigit(rest[1]):
		return fractionAt(s, from, from)
	default:
		r = new(big.Rat).SetInt(integer(s[from:whole]))
		at := whole + blanks(rest)
		if at == whole && strings.HasPrefix(rest, "-") {
			at++
		}
		if v, n := vulgarAt(s[at:]); v != nil {
			return r.Add(r, v), at + n, nil
		}
		if at == whole {
			break
		}
		f, stop, err := fractionAt(s, from, at)
		if err != nil {
			return nil, from, err
		}
		if f == nil {
			break
		}
		sum := new(big.Rat).Add(r, f)
		if f.Cmp(big.NewRat(1, 1)) >= 0 {
			return nil, from, mistake(s, from, stop, " has a fraction that is not below 1",
				"a fraction below 1 after the whole number, as in 45 3/4", mixed(sum))
		}
		return sum, stop, nil
	}
	return r, end, nil
}

// fractionAt reads digits, a stroke and digits at s[at:]; f is nil where they are not there. The number as a
// whole starts at from.
func fractionAt(s string, from, at int) (f *big.Rat, end int, err *Error) {
	stroke, err := figure(s, at)
	if err != nil || stroke == at || stroke >= len(s) || s[stroke] != '/' {
		return nil, at, err
	}
	end, err = figure(s, stroke+1)
	if err != nil || end == stroke+1 {
		return nil, at, err
	}
	below := integer(s[stroke+1 : end])
	if below.Sign() == 0 {
		return nil, at, mistake(s, from, end, " divides by zero", "a number other than 0 below the stroke", "")
	}
	return new(big.Rat).SetFrac(integer(s[at:stroke]), below), end, nil
}

// integer is the number that digits denotes, leading zeros or not.
func integer(digits string) *big.Int {
	n, _ := new(big.Int).SetString(digits, 10)
	return n
}

// figure is where the digits at s[from:] end, of which there may be only so many.
func figure(s string, from int) (end int, err *Error) {
	n := digits(s[from:])
	if n > maxDigits {
		err = mistake(s, from, from+n, fmt.Sprintf(" is a number of %d digits", n),
			fmt.Sprintf("at most %d digits", maxDigits), "")
	}
	return from + n, err
}

// afterNumber is the mistake in what directly follows the number s[:end] of a rule book, if that makes it no number.
func afterNumber(s string, end int) *Error {
	rest := s[end:]
	if rest == "" {
		return nil
	}
	number := s[:end]
	stop := end + run(rest)
	digit := len(rest) > 1 && isDigit(rest[1])
	stroke := strings.LastIndexByte(number, '/')
	fraction := stroke >= 0 || number[len(number)-1] >= utf8.RuneSelf
	const minus = "a number as in 45-3/4, or a minus with a blank on both sides"
	switch {
	case rest[0] == '.' && digit && fraction:
		hint := ""
		if stroke >= 0 && digits(number) == stroke {
			hint = number[:stroke] + " / " + s[stroke+1:stop]
		}
		return wrong(s[:stop], " mixes a fraction and decimals",
			"a fraction or decimals, or a quotient with blanks around the stroke", hint)
	case rest[0] == '.' && digit:
		return wrong(s[:stop], " has more than one decimal point", "one decimal point, as in 45.75", "")
	case rest[0] == '.':
		return wrong(s[:end+1], " has no digit after the point", "a digit on both sides of the point", number)
	case rest[0] == '_':
		hint := strings.ReplaceAll(s[:stop], "_", "")
		if strings.Trim(hint, "0123456789.") != "" {
			hint = ""
		}
		return wrong(s[:stop], " is not a number", "digits with nothing between them", hint)
	case rest[0] == '-' && dateLike(s[:stop]):
		return wrong(s[:stop], " is not a number", "a number, or a date as in 2026-04-18", "")
	case rest[0] == '-' && len(rest) > 1 && wordGoesOn(rest[1:]):
		return wrong(s[:stop], " is not a number", minus, number+" - "+s[end+1:stop])
	case rest[0] == '-':
		return wrong(s[:end+1], " ends in a minus", minus, number)
	case rest[0] == '/' && digit && fraction:
		return wrong(s[:stop], " has more than one stroke",
			"one fraction, as in 45 3/4, or a quotient with blanks around the stroke", "")
	}
	if v, n := vulgarAt(rest); v != nil {
		return wrong(s[:end+n], " has more than one fraction", "one fraction, as in 45 3/4", "")
	}
	return nil
}

// run is the length of the digits, letters, points, strokes and hyphens at the start of s, as far as one looks.
func run(s string) int {
	i := 0
	for i < len(s) && i < 2*maxDigits && s[i] < utf8.RuneSelf && (wordGoesOn(s[i:]) || s[i] == '.' || s[i] == '/') {
		i++
	}
	return i
}

// dateLike reports whether s looks like a year, a month and a day, in any order.
func dateLike(s string) bool {
	p := strings.Split(s, "-")
	return len(p) == 3 && !slices.ContainsFunc(p,
		func(part string) bool { return part == "" || len(part) > 4 || digits(part) != len(part) })
}

// digits is the number of digits at the start of s.
func digits(s string) int { return len(s) - len(strings.TrimLeft(s, "0123456789")) }

// vulgars are the characters that are a whole fraction.
var vulgars = map[rune][2]int64{
	'¼': {1, 4}, '½': {1, 2}, '¾': {3, 4},
	'⅓': {1, 3}, '⅔': {2, 3},
	'⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5},
	'⅙': {1, 6}, '⅚': {5, 6},
	'⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8},
}

// vulgarAt reads a fraction character at the start of s; r is nil if there is none.
func vulgarAt(s string) (r *big.Rat, n int) {
	if s == "" || s[0] < utf8.RuneSelf {
		return nil, 0
	}
	c, n := utf8.DecodeRuneInString(s)
	if v, ok := vulgars[c]; ok {
		return big.NewRat(v[0], v[1]), n
	}
	return nil, 0
}

// swingAt reads the swing weight at the start of s: a letter A to G and points below ten. It gives where that ends, 0
// if there is none. With comma, a comma is a decimal point too.
func swingAt(s string, comma bool) (r *big.Rat, end int, err *Error) {
	if len(s) < 2 || s[0] < 'A' || s[0] > 'G' || !isDigit(s[1]) {
		return nil, 0, nil
	}
	const want = "a letter A to G and points below ten, as in D2 or C9.5"
	above := big.NewRat(10*int64(s[0]-'A'), 1) // of the letter
	whole := 1 + digits(s[1:])
	end = whole
	if end+1 < len(s) && (s[end] == '.' || comma && s[end] == ',') && isDigit(s[end+1]) {
		end += 1 + digits(s[end+1:])
	}
	if stop := end + run(s[end:]); stop > end {
		return nil, 0, wrong(s[:stop], " is not a swing weight", want, "")
	} else if wordGoesOn(s[end:]) {
		_, n := utf8.DecodeRuneInString(s[end:])
		return nil, 0, wrong(s[:end+n], " is not a swing weight", want, "")
	}
	if r, _, err = numberAt(s[:end], 1, comma); err != nil {
		return nil, 0, err
	}
	r.Add(r, above)
	if whole == 2 {
		return r, end, nil
	}
	err = wrong(s[:end], " is not a swing weight: ten points make the next letter", want, "")
	if total := RoundExact(r); total < 70 {
		err.Hint, err.Guess = ExactSwing(total), true
	}
	return nil, 0, err
}

// mixed is r, not negative, as a whole number and a fraction.
func mixed(r *big.Rat) string {
	if n, below := r.Num(), r.Denom(); n.IsInt64() && below.IsInt64() {
		return mixedFraction(n.Int64(), below.Int64())
	}
	return r.RatString()
}

// wordAt is the word at the start of s: letters, and digits, hyphens and raised digits within.
func wordAt(s string) string {
	for i, c := range s {
		if unicode.IsLetter(c) || i > 0 && (unicode.IsNumber(c) || c == '-' || c == '_') {
			continue
		}
		return s[:i]
	}
	return s
}

// misspelt are words for units that people type, and the unit they mean.
var misspelt = map[string]string{
	"inch": "in", "inches": "in", "ins": "in", "zoll": "in", "foot": "ft", "feet": "ft", "millimetre": "mm",
	"millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mms": "mm", "centimetre": "cm",
	"centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "cms": "cm", "metre": "m", "metres": "m",
	"meter": "m", "meters": "m", "degree": "deg", "degrees": "deg", "degs": "deg", "gram": "g", "grams": "g",
	"gramme": "g", "grammes": "g", "gr": "g", "gm": "g", "gms": "g", "grs": "g", "kilo": "kg", "kilos": "kg",
	"kilogram": "kg", "kilograms": "kg", "kgs": "kg", "ounce": "oz", "ounces": "oz", "ozs": "oz",
	"pound": "lb", "pounds": "lb", "lbs": "lb", "grains": "grain", "microsecond": "us", "microseconds": "us",
	"µs": "us", "μs": "us", "usec": "us", "millisecond": "ms", "milliseconds": "ms", "msec": "ms", "sec": "s",
	"secs": "s", "seconds": "s", "hertz": "Hz", "percent": "%", "pct": "%", "point": "pts", "points": "pts",
	"swp": "pts", "in²": "in2", "mm²": "mm2", "cm³": "cm3", "in³": "in3", "ccm": "cm3",
	"ccs": "cc", "sqin": "in2", "gcm2": "g cm2", "gcm²": "g cm2", "ozin": "oz in", "ozin2": "oz in2",
	"gin": "g in",
}

// Suggest is the unit that a person most likely meant by name, as in "inches" or "MM"; empty where none is close.
func Suggest(name string) string {
	low := strings.ToLower(name)
	if u := misspelt[low]; u != "" {
		return u
	}
	for _, s := range spellings {
		if strings.ToLower(s.word) == low {
			return s.word
		}
	}
	return ""
}

// Typed is the unit that a word means in a cell or a heading, as people type units: "inches" or "MM"; empty where
// it means none, or like gr either of two.
func Typed(word string) string {
	if low := strings.ToLower(word); low == "gr" || low == "grs" {
		return ""
	}
	return Suggest(word)
}

// quoted is s in quotation marks, shortened, with what cannot be printed made visible.
func quoted(s string) string {
	const most = 40
	var b strings.Builder
	shown := 0
	for i, c := range s {
		if shown++; shown > most {
			b.WriteString("...")
			break
		}
		switch _, n := utf8.DecodeRuneInString(s[i:]); {
		case c == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, "<byte %02X>", s[i])
		case c == '\t':
			b.WriteString("<tab>")
		case unicode.IsPrint(c):
			b.WriteRune(c)
		default:
			fmt.Fprintf(&b, "<U+%04X>", c)
		}
	}
	return `"` + b.String() + `"`
}
