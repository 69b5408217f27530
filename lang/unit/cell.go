// Reading quantities from the cells of a sheet.

package unit

// This file reads quantities from the cells of a sheet, as people type them.

import (
	"cmp"
	"math/big"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Cell is a quantity read from a sheet's cell, in base units. Unit is the one it was written in. Half is the
// half-width after +/-, where HasHalf is true.
type Cell struct {
	Base    float64
	Unit    *Unit
	Half    float64
	HasHalf bool
}

// CellFormat says how the cells of a column are read.
type CellFormat struct {
	Unit         *Unit // of the heading, nil where it has none
	Dim          Dim   // of what the column holds
	DecimalComma bool  // a comma is a decimal point, as a point is in any sheet
}

// ParseCell reads one reading of a sheet, with or without a sign: 44 3/4, 44-3/4", 44¾, 44.75, 3' 8 3/4", 1136.65 mm,
// 61 +/- 0.5 deg, D2, 95 %. A unit in the cell wins over that of the heading. A number without any unit is an error,
// except for counts and ratios. So is a unit of another dimension than the column's.
func ParseCell(s string, f CellFormat) (Cell, *Error) {
	if c, ok := quickCell(s, f); ok {
		return c, nil
	}
	return exactCell(s, f)
}

// quickCell reads the plain forms, which are nearly all of a sheet, without rationals. It reports false where the cell
// is anything else, right or wrong.
func quickCell(s string, f CellFormat) (Cell, bool) {
	c := cursor(s[blanks(s):])
	negative := c.take('-')
	num, n := c.number()
	if n == 0 {
		return quickSwing(s, f)
	}
	den, shift := uint64(1), 0
	switch {
	case len(c) < 2:
	case c.take('.') || f.DecimalComma && c.take(','):
		part, k := c.number()
		if k == 0 {
			return Cell{}, false
		}
		num, shift = num*uint64(pow10[k])+part, -k
	case c.take('/'):
		if den, _ = c.number(); den == 0 {
			return Cell{}, false
		}
	case isDigit(c[1]) && (c.take(' ') || c.take('-')):
		above, _ := c.number()
		if !c.take('/') {
			return Cell{}, false
		}
		if den, _ = c.number(); above >= den || den > 1e4 {
			return Cell{}, false
		}
		num = num*den + above
	}
	u := f.Unit
	if found, m := unitAt(string(c)); found != nil {
		u, c = found, c[m:]
	}
	if blanks(string(c)) < len(c) {
		return Cell{}, false
	}
	if u == nil && f.Dim.Pure() {
		u = Base(f.Dim)
	}
	if u == nil || u.Dim != f.Dim {
		return Cell{}, false
	}
	base, ok := u.quick(num, den, shift)
	if negative && num != 0 {
		base = -base
	}
	return Cell{Base: base, Unit: u}, ok
}

// quickSwing is quickCell for swing weights such as D2 and C9.5.
func quickSwing(s string, f CellFormat) (Cell, bool) {
	if f.Dim != Swing || len(s) < 2 || s[0] < 'A' || s[0] > 'G' || !isDigit(s[1]) {
		return Cell{}, false
	}
	num, shift := 10*uint64(s[0]-'A')+uint64(s[1]-'0'), 0
	if c := cursor(s[2:]); c.take('.') {
		part, k := c.number()
		if k == 0 || len(c) > 0 {
			return Cell{}, false
		}
		num, shift = num*uint64(pow10[k])+part, -k
	} else if len(c) > 0 {
		return Cell{}, false
	}
	base, ok := points.quick(num, 1, shift)
	return Cell{Base: base, Unit: points}, ok
}

// cursor is what is still to be read of a cell.
type cursor string

// take reads the character b where it comes next.
func (c *cursor) take(b byte) bool {
	if len(*c) == 0 || (*c)[0] != b {
		return false
	}
	*c = (*c)[1:]
	return true
}

// number reads up to nine digits; n is 0 if there are none or more.
func (c *cursor) number() (v uint64, n int) {
	for n < len(*c) && isDigit((*c)[n]) {
		if n == 9 {
			return 0, 0
		}
		v = 10*v + uint64((*c)[n]-'0')
		n++
	}
	*c = (*c)[n:]
	return v, n
}

// exactCell reads any cell with rationals, and explains what is wrong with it.
func exactCell(s string, f CellFormat) (Cell, *Error) {
	if err := unprintable(s); err != nil {
		return Cell{}, err
	}
	plain := plainBlanks(s)
	c, err := exactly(plain, f)
	if err == nil {
		return c, nil
	}
	if typed := asTyped(plain); typed != plain {
		if c, again := exactly(typed, f); again == nil {
			return c, nil
		}
	}
	return c, err
}

// typedWord is a word as it is behind a number, with the full stop of a word that is cut short.
var typedWord = regexp.MustCompile(`[\pL²³]+\.?`)

// typedFeet are feet with inches behind them.
var typedFeet = regexp.MustCompile(`^( *\d+) *ft *(\d[^"]*?) *in`)

// asTyped is a cell with its units and strokes as they are written here, where people type them otherwise: 46 Inches,
// 46 in., 3ft 9in, 45 3⁄4.
func asTyped(s string) string {
	s = strings.NewReplacer("⁄", "/", "∕", "/").Replace(s)
	s = typedWord.ReplaceAllStringFunc(s, func(word string) string {
		if u := Typed(strings.TrimSuffix(word, ".")); u != "" {
			return u
		}
		return word
	})
	return typedFeet.ReplaceAllString(s, `$1' $2"`)
}

// exactly is exactCell for a cell in which all blanks are spaces and tabs.
func exactly(s string, f CellFormat) (Cell, *Error) {
	s = strings.Trim(s, " \t")
	if s == "" {
		return Cell{}, &Error{Message: "the cell is empty", Expected: f.wanted()}
	}
	value, err := firstReading(s, f, true)
	if err != nil {
		return Cell{}, err
	}
	var half reading
	rest := strings.TrimLeft(s[len(value.text):], " \t")
	if n := plusMinus(rest); n > 0 {
		sign := rest[:n]
		if rest = strings.TrimLeft(rest[n:], " \t"); rest == "" {
			return Cell{}, wrong(sign, " has no number after it", "a half-width, as in 61 +/- 0.5 deg", "")
		}
		if half, err = firstReading(rest, f, false); err != nil {
			return Cell{}, err
		}
		rest = strings.TrimLeft(rest[len(half.text):], " \t")
	}
	if rest != "" {
		return Cell{}, surplus(strings.TrimSuffix(s, rest), rest, f)
	}
	// Each part takes its own unit, then that of the other part, then that of the heading.
	value.unit = cmp.Or(value.unit, half.unit, f.Unit)
	if value.unit == nil && f.Dim.Pure() {
		value.unit = Base(f.Dim)
	}
	if value.unit == nil {
		err := wrong(s, " has no unit, and neither has the heading", f.wanted(), s+" "+Base(f.Dim).Name)
		err.NoUnit = true
		return Cell{}, err
	}
	half.unit = cmp.Or(half.unit, value.unit)
	for _, r := range []reading{value, half} {
		if r.number != nil && r.unit.Dim != f.Dim {
			return Cell{}, wrong(r.text, " is "+r.unit.Dim.Article()+", but the column is for "+f.Dim.Article(),
				f.wanted(), "")
		}
	}
	c := Cell{Base: RoundExact(times(value.number, value.unit.exact)), Unit: value.unit}
	if half.number != nil {
		c.Half, c.HasHalf = RoundExact(times(half.number, half.unit.exact)), true
	}
	return c, nil
}

// reading is a number in a cell, as it was read, and the unit after it, nil where there was none.
type reading struct {
	number *big.Rat
	unit   *Unit
	text   string
}

// firstReading reads the number and its unit at the start of s.
func firstReading(s string, f CellFormat, signed bool) (reading, *Error) {
	if f.Dim == Swing {
		if n, end := typedSwing(s, f.DecimalComma); n != nil {
			return reading{n, points, s[:end]}, nil
		}
	}
	if n, end, err := swingAt(s, f.DecimalComma); end > 0 || err != nil {
		return reading{n, points, s[:end]}, err
	}
	sign := 0
	if plusMinus(s) == 0 {
		sign = prefix(s, "-", "−", "+")
	}
	if sign > 0 && !signed {
		return reading{}, wrong(s[:sign], " is a sign before a half-width", "a half-width without a sign", "")
	}
	text := s
	if len(s) > sign+1 && s[sign] == '.' && isDigit(s[sign+1]) { // .5, as spreadsheets let people type it
		text = s[:sign] + "0" + s[sign:]
	}
	number, end, err := numberAt(text, sign, f.DecimalComma)
	if err == nil && number == nil {
		err = wrong(s, " is not a number", f.wanted(), "")
	}
	end -= len(text) - len(s)
	if err == nil {
		err = afterCellNumber(s, sign, end, f)
	}
	if err != nil {
		return reading{}, err
	}
	var u *Unit
	if m := footMark(s[end:]); m > 0 {
		if number, u, end, err = feetAt(s, sign, end+m, number, f); err != nil {
			return reading{}, err
		}
	} else if m := inchMark(s[end:]); m > 0 {
		u, end = inch, end+m
	} else if found, m := unitAt(s[end:]); found != nil {
		u, end = found, end+m
	}
	if sign > 0 && s[0] != '+' {
		number.Neg(number)
	}
	return reading{number, u, s[:end]}, nil
}

// typedSwing reads the swing weight at the start of s as people type it, d2, D 2 or D2 1/2; nil if there is none below
// ten points.
func typedSwing(s string, comma bool) (r *big.Rat, end int) {
	letter := s[0] | 0x20
	if letter < 'a' || letter > 'g' {
		return nil, 0
	}
	ten := big.NewRat(10, 1)
	r, end, err := numberAt(s, 1+blanks(s[1:]), comma)
	if err != nil || r == nil || r.Cmp(ten) >= 0 || run(s[end:]) > 0 || wordGoesOn(s[end:]) {
		return nil, 0
	}
	return r.Add(r, ten.Mul(ten, big.NewRat(int64(letter-'a'), 1))), end
}

// afterCellNumber is the mistake in what directly follows the number s[from:end] of a cell, if that makes it no number.
// Its sign comes before from.
func afterCellNumber(s string, from, end int, f CellFormat) *Error {
	if end == len(s) {
		return nil
	}
	word := wordAt(s[end:])
	if plain, ok := exponent(s[:end], word); ok {
		return wrong(s[:end]+word, " is written with an exponent", "plain digits", plain)
	}
	text := s[:end+run(s[end:])]
	switch s[end] {
	case ',':
		decimals := s[end+1 : end+1+digits(s[end+1:])]
		hint := ""
		if digits(s[from:end]) == end-from && len(decimals) != 3 {
			hint = s[:end] + "." + decimals
		}
		return wrong(s[:end]+","+decimals, " has a comma", "a decimal point, and no mark between thousands", hint)
	case '-', '/':
		if strings.Count(text[from:], s[end:end+1]) > 1 && strings.Trim(text[from:], "0123456789-/") == "" {
			return wrong(text, " looks like a date", f.wanted(), "")
		}
		return wrong(text, " is not a number", f.wanted(), "")
	case '.':
		return wrong(text, " is not a number", f.wanted(), "")
	}
	if v, n := vulgarAt(s[end:]); v != nil {
		return wrong(s[:end+n], " has more than one fraction", f.wanted(), "")
	}
	return nil
}

// feetAt reads the inches at s[at:] after a number of feet, which starts at from: 3' 8 3/4".
func feetAt(s string, from, at int, feet *big.Rat, f CellFormat) (number *big.Rat, u *Unit, end int, err *Error) {
	const want = `feet and inches, as in 3' 8 3/4"`
	inches, end, err := numberAt(s, at+blanks(s[at:]), f.DecimalComma)
	switch {
	case err != nil:
		return nil, nil, at, err
	case inches == nil:
		return feet, foot, at, nil
	}
	m := inchMark(s[end:])
	text := s[from : end+m]
	twelve := big.NewRat(12, 1)
	total := new(big.Rat).Mul(feet, twelve)
	total.Add(total, inches)
	switch {
	case m == 0:
		err = wrong(text, " has no mark after its inches", want, text+`"`)
	case !feet.IsInt():
		err = wrong(text, " has feet that are not whole", want, mixed(total)+" in")
	case inches.Cmp(twelve) >= 0:
		err = wrong(text, " has twelve inches or more after its feet", want, mixed(total)+" in")
	}
	return total, inch, end + m, err
}

// inchMark is the length of an inch mark at the start of s, the bent and slanted ones of word processors included.
func inchMark(s string) int { return prefix(s, `"`, "″", "”") }

// footMark is the length of a foot mark at the start of s. Two of them do not count.
func footMark(s string) int {
	n := prefix(s, "'", "′", "’")
	if n > 0 && prefix(s[n:], "'", "′", "’") > 0 {
		return 0
	}
	return n
}

// plusMinus is the length of the sign of a half-width at the start of s.
func plusMinus(s string) int { return prefix(s, "±", "+/-") }

// prefix is the length of the first of the marks that s starts with, 0 where it starts with none.
func prefix(s string, marks ...string) int {
	for _, m := range marks {
		if strings.HasPrefix(s, m) {
			return len(m)
		}
	}
	return 0
}

// surplus is the mistake in what follows a reading, before.
func surplus(before, rest string, f CellFormat) *Error {
	if word := wordAt(rest); word != "" {
		return wrong(rest, " is not a unit", f.wanted(), cmp.Or(Suggest(rest), Suggest(word)))
	}
	hint := ""
	switch {
	case rest == `"`:
		hint = strings.TrimRight(before, " \t") + `"`
	case rest == "''" || rest == "’’" || rest == "′′":
		hint = `"`
	case strings.HasPrefix(rest, "+-") || strings.HasPrefix(rest, "-+"):
		hint = "+/-"
	}
	return wrong(rest, " makes no sense after the number", f.wanted(), hint)
}

// wanted says what a cell of the column holds, with an example.
func (f CellFormat) wanted() string {
	u := f.Unit
	if u == nil {
		u = Base(f.Dim)
	}
	example := map[Dim]string{Length: "45 3/4 in", Angle: "58 deg", Mass: "312.5 g", Time: "240 us", Swing: "D2",
		Frequency: "255 cpm", Area: "0.003 in2", Volume: "460 cm3", Inertia: "5900 g cm2", Moment: "213.5 oz in",
		LineMass: "1.6 g/in", Count: "14", Ratio: "0.83 or 83 %"}[f.Dim]
	if example == "" {
		return f.Dim.Article() + " in " + u.Name
	}
	return f.Dim.Article() + ", as in " + example
}

// Article is the dimension with its article; for counts "a bare number".
func (d Dim) Article() string {
	if d == Count {
		return "a bare number"
	}
	return Article(d.String())
}

// blank reports whether c is a blank wider or narrower than a space, or a no-break space (Unicode's class Zs).
// Spreadsheets and word processors put them between a number and its unit.
func blank(c rune) bool { return c >= utf8.RuneSelf && unicode.Is(unicode.Zs, c) }

// plainBlanks is s with a space for each such blank.
func plainBlanks(s string) string {
	return strings.Map(func(c rune) rune {
		if blank(c) {
			return ' '
		}
		return c
	}, s)
}

// unprintable is the mistake of a cell that holds a control character or bytes that are not text.
func unprintable(s string) *Error {
	for i, c := range s {
		_, n := utf8.DecodeRuneInString(s[i:])
		if c == utf8.RuneError && n == 1 {
			return &Error{Message: quoted(s) + " has a character that is not in UTF-8", Expected: "text in UTF-8"}
		}
		if c != '\t' && (unicode.IsControl(c) || unicode.Is(unicode.Cf, c)) {
			return &Error{Message: quoted(s) + " has a character that cannot be printed",
				Expected: "a number and its unit"}
		}
	}
	return nil
}
