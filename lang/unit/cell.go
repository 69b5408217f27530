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
// 61 +/- 0.5 deg, D2, 95 %. A unit in the cell wins over that of the heading. A number without any unit is an error, but
// for counts and ratios; so is a unit of another dimension than the column's.
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
	if plain != s { // its place is that in s
		end := unplain(s, err.Offset+err.Length)
		err.Offset = unplain(s, err.Offset)
		err.Length = end - err.Offset
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
	at := cellBlanks(s, 0)
	if at == len(s) {
		return Cell{}, &Error{Message: "the cell is empty", Expected: f.wanted()}
	}
	value, at, err := readingAt(s, at, f, true)
	if err != nil {
		return Cell{}, err
	}
	var half reading
	at = cellBlanks(s, at)
	if n := plusMinus(s[at:]); n > 0 {
		sign := at
		at = cellBlanks(s, at+n)
		if at == len(s) {
			return Cell{}, mistake(s, sign, sign+n, " has no number after it", "a half-width, as in 61 +/- 0.5 deg",
				"")
		}
		if half, at, err = readingAt(s, at, f, false); err != nil {
			return Cell{}, err
		}
		at = cellBlanks(s, at)
	}
	if at < len(s) {
		return Cell{}, surplus(s, at, f)
	}
	// Each part takes its own unit, then that of the other part, then that of the heading.
	value.unit = cmp.Or(value.unit, half.unit, f.Unit)
	if value.unit == nil && f.Dim.Pure() {
		value.unit = Base(f.Dim)
	}
	if value.unit == nil {
		text := strings.TrimSpace(s)
		from := strings.Index(s, text)
		return Cell{}, unitless(s, from, text, f)
	}
	if half.number != nil && half.unit == nil {
		half.unit = value.unit
	}
	for _, r := range []reading{value, half} {
		if r.number != nil && r.unit.Dim != f.Dim {
			return Cell{}, mistake(s, r.from, r.to,
				" is "+r.unit.Dim.Article()+", but the column is for "+f.Dim.Article(), f.wanted(), "")
		}
	}
	c := Cell{Base: RoundExact(times(value.number, value.unit.exact)), Unit: value.unit}
	if half.number != nil {
		c.Half, c.HasHalf = RoundExact(times(half.number, half.unit.exact)), true
	}
	return c, nil
}

// unitless is the mistake in a cell that is a number without a unit.
func unitless(s string, from int, text string, f CellFormat) *Error {
	err := mistake(s, from, from+len(text), " has no unit, and neither has the heading", f.wanted(),
		text+" "+Base(f.Dim).Name)
	err.NoUnit = true
	return err
}

// reading is a number in a cell, its place, and the unit after it, nil where there was none.
type reading struct {
	number   *big.Rat
	unit     *Unit
	from, to int
}

// readingAt reads a number and its unit at s[at:].
func readingAt(s string, at int, f CellFormat, signed bool) (r reading, end int, err *Error) {
	r.from = at
	if f.Dim == Swing {
		if n, end := typedSwing(s, at, f.DecimalComma); n != nil {
			return reading{number: n, unit: points, from: at, to: end}, end, nil
		}
	}
	if n, n2, err := swingAt(s, at, f.DecimalComma); n2 > 0 || err != nil {
		return reading{number: n, unit: points, from: at, to: at + n2}, at + n2, err
	}
	negative := false
	for _, sign := range []string{"-", "−", "+"} {
		if !strings.HasPrefix(s[at:], sign) || plusMinus(s[at:]) > 0 {
			continue
		}
		if !signed {
			const wanted = "a half-width without a sign"
			return r, at, mistake(s, at, at+len(sign), " is a sign before a half-width", wanted, "")
		}
		negative = sign != "+"
		at += len(sign)
		break
	}
	text, start := s, at
	if at+1 < len(s) && s[at] == '.' && isDigit(s[at+1]) { // .5, as spreadsheets let people type it
		text = s[:at] + "0" + s[at:]
	}
	shift := len(text) - len(s)
	number, end, err := numberAt(text, at, f.DecimalComma)
	if err != nil {
		err.Length -= shift
		return r, at, err
	}
	if number == nil {
		return r, at, mistake(s, r.from, len(s), " is not a number", f.wanted(), "")
	}
	end -= shift
	if err := afterCellNumber(s, r.from, start, end, f); err != nil {
		return r, at, err
	}
	if m := footMark(s[end:]); m > 0 {
		number, r.unit, end, err = feetAt(s, start, end+m, number, f)
		if err != nil {
			return r, at, err
		}
	} else if m := inchMark(s[end:]); m > 0 {
		r.unit, end = inch, end+m
	} else if u, m := unitAt(s[end:]); u != nil {
		r.unit, end = u, end+m
	} else if u, m := unitAt(s[cellBlanks(s, end):]); u != nil && s[cellBlanks(s, end)] != '"' {
		r.unit, end = u, cellBlanks(s, end)+m
	}
	if negative {
		number.Neg(number)
	}
	r.number, r.to = number, end
	return r, end, nil
}

// typedSwing reads a swing weight at s[at:] as people type it, d2, D 2 or D2 1/2; nil if there is none below ten
// points.
func typedSwing(s string, at int, comma bool) (r *big.Rat, end int) {
	if at == len(s) || s[at]|0x20 < 'a' || s[at]|0x20 > 'g' {
		return nil, at
	}
	ten := big.NewRat(10, 1)
	r, end, err := numberAt(s, cellBlanks(s, at+1), comma)
	if err != nil || r == nil || r.Cmp(ten) >= 0 || run(s[end:]) > 0 || wordGoesOn(s[end:]) {
		return nil, at
	}
	return r.Add(r, ten.Mul(ten, big.NewRat(int64(s[at]|0x20-'a'), 1))), end
}

// afterCellNumber is the mistake in what directly follows the number s[from:end] of a cell, if that makes it no number.
// Its sign is at s[sign:].
func afterCellNumber(s string, sign, from, end int, f CellFormat) *Error {
	if end == len(s) {
		return nil
	}
	number := s[from:end]
	if plain, ok := exponent(s[sign:end], wordAt(s[end:])); ok {
		return mistake(s, sign, end+len(wordAt(s[end:])), " is written with an exponent", "plain digits", plain)
	}
	stop := end + run(s[end:])
	switch s[end] {
	case ',':
		stop = end + 1 + digits(s[end+1:])
		hint := ""
		if digits(number) == len(number) && stop-end != 4 {
			hint = s[sign:end] + "." + s[end+1:stop]
		}
		return mistake(s, sign, stop, " has a comma", "a decimal point, and no mark between thousands", hint)
	case '-', '/':
		if strings.Count(s[from:stop], s[end:end+1]) > 1 && strings.Trim(s[from:stop], "0123456789-/") == "" {
			return mistake(s, sign, stop, " looks like a date", f.wanted(), "")
		}
		return mistake(s, sign, stop, " is not a number", f.wanted(), "")
	case '.':
		return mistake(s, sign, stop, " is not a number", f.wanted(), "")
	}
	if v, n := vulgarAt(s[end:]); v != nil {
		return mistake(s, sign, end+n, " has more than one fraction", f.wanted(), "")
	}
	return nil
}

// feetAt reads the inches at s[at:] after a number of feet, which starts at from: 3' 8 3/4".
func feetAt(s string, from, at int, feet *big.Rat, f CellFormat) (number *big.Rat, u *Unit, end int, err *Error) {
	const want = `feet and inches, as in 3' 8 3/4"`
	next := cellBlanks(s, at)
	inches, end, err := numberAt(s, next, f.DecimalComma)
	if err != nil {
		return nil, nil, at, err
	}
	if inches == nil {
		return feet, foot, at, nil
	}
	m := inchMark(s[end:])
	if m == 0 {
		return nil, nil, at, mistake(s, from, end, " has no mark after its inches", want, s[from:end]+`"`)
	}
	end += m
	twelve := big.NewRat(12, 1)
	total := new(big.Rat).Mul(feet, twelve)
	total.Add(total, inches)
	if !feet.IsInt() {
		return nil, nil, at, mistake(s, from, end, " has feet that are not whole", want, mixed(total)+" in")
	}
	if inches.Cmp(twelve) >= 0 {
		return nil, nil, at, mistake(s, from, end, " has twelve inches or more after its feet", want,
			mixed(total)+" in")
	}
	return total, inch, end, nil
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

// surplus is the mistake in what follows a number that ends at at.
func surplus(s string, at int, f CellFormat) *Error {
	rest := strings.TrimSpace(s[at:])
	if word := wordAt(s[at:]); word != "" {
		hint := Suggest(rest)
		if hint == "" {
			hint = Suggest(word)
		}
		return mistake(s, at, at+len(rest), " is not a unit", f.wanted(), hint)
	}
	hint := ""
	switch {
	case rest == `"`:
		hint = strings.TrimRight(s[:at], " \t") + `"`
	case rest == "''" || rest == "’’" || rest == "′′":
		hint = `"`
	case strings.HasPrefix(rest, "+-") || strings.HasPrefix(rest, "-+"):
		hint = "+/-"
	}
	return mistake(s, at, at+len(rest), " makes no sense after the number", f.wanted(), hint)
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

// cellBlanks is where the blanks at s[at:] end.
func cellBlanks(s string, at int) int { return at + blanks(s[at:]) }

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

// unplain is the place in s of the place at of plainBlanks(s).
func unplain(s string, at int) int {
	i := 0
	for at > 0 && i < len(s) {
		c, n := utf8.DecodeRuneInString(s[i:])
		if i += n; blank(c) {
			n = 1
		}
		at -= n
	}
	return i
}

// unprintable is the mistake of a cell that holds a control character or bytes that are not text.
func unprintable(s string) *Error {
	for i, c := range s {
		_, n := utf8.DecodeRuneInString(s[i:])
		if c == utf8.RuneError && n == 1 {
			return &Error{Offset: i, Length: n, Message: quoted(s) + " has a character that is not in UTF-8",
				Expected: "text in UTF-8"}
		}
		if c != '\t' && (unicode.IsControl(c) || unicode.Is(unicode.Cf, c)) {
			return &Error{Offset: i, Length: n, Message: quoted(s) + " has a character that cannot be printed",
				Expected: "a number and its unit"}
		}
	}
	return nil
}
