package cells

// This file says what a number format of a spreadsheet makes of a number: a day, a time or a percentage.

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// style is what a format makes of a number. The zero value leaves it a number.
type style uint8

const (
	plainStyle style = iota
	dateStyle
	percentStyle
	lostStyle // a format that the spreadsheet does not hold
)

// builtIn is what a number format without a code of its own makes of a number (ECMA-376 part 1, 18.8.30).
func builtIn(id int) style {
	switch {
	case id >= 14 && id <= 22, id >= 27 && id <= 36, id >= 45 && id <= 47, id >= 50 && id <= 58, id >= 71 && id <= 81:
		return dateStyle
	case id == 9, id == 10, id == 67, id == 68:
		return percentStyle
	case id < 0 || id > 163:
		return lostStyle
	}
	return plainStyle
}

// custom is what the code of a number format makes of a number.
func custom(code string) style {
	if strings.EqualFold(code, "general") {
		return plainStyle
	}
	quoted := false
	st := plainStyle
	for i := 0; i < len(code); i++ {
		switch c := code[i]; {
		case quoted:
			quoted = c != '"'
		case c == '"':
			quoted = true
		case c == '[': // a colour, a condition, or hours without end, as in [h]:mm
			inside, _, _ := strings.Cut(code[i+1:], "]")
			if inside != "" && strings.Trim(inside, "hmsHMS") == "" {
				return dateStyle
			}
			i += len(inside) + 1
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '%':
			st = percentStyle
		case strings.IndexByte("ymdhsYMDHS", c) >= 0:
			return dateStyle
		}
	}
	return st
}

// decimal is a number as a spreadsheet stores it (XML Schema part 2, 3.2.5, without what is not a figure).
var decimal = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// number is a number as its style, by its index, shows it.
func (w *xlsxBook) number(index, value string) (text string, sort Sort) {
	st := plainStyle
	if index != "" && (index != "0" || len(w.styles) > 0) {
		i, err := strconv.ParseUint(index, 10, 31)
		if err != nil || int(i) >= len(w.styles) {
			return value, LostFormat
		}
		st = w.styles[i]
	}
	return st.of(value, w.from1904)
}

// of is a number as a style shows it: as it is stored, as a day, a time or a percentage.
func (st style) of(value string, from1904 bool) (text string, sort Sort) {
	n, err := strconv.ParseFloat(value, 64)
	if err != nil || !decimal.MatchString(value) {
		return value, NotNumber
	}
	switch st {
	case lostStyle:
		return value, LostFormat
	case dateStyle:
		return dayOf(n, value, from1904)
	case percentStyle:
		return strconv.FormatFloat(decimal15(n*100), 'f', -1, 64) + " %", Text
	}
	if len(value) > 15 || strings.ContainsAny(value, "eE") {
		// A spreadsheet means fifteen digits, and stores more.
		return strconv.FormatFloat(decimal15(n), 'f', -1, 64), Text
	}
	return value, Text
}

// dayOf is the day of a number, or below 1 the time of day (ECMA-376 part 1, 18.17.4): 1 is the first day of 1900, a
// year that is taken for a leap year, or 0 that of 1904.
func dayOf(n float64, value string, from1904 bool) (text string, sort Sort) {
	const last = 2_958_465 // 31 December 9999
	from := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case n < 0 || n >= last+1 || !from1904 && n >= 60 && n < 61:
		return value, NotDay
	case n < 1:
		return time.Unix(int64(math.Round(n*86400)), 0).UTC().Format(time.TimeOnly), Text
	case from1904:
		from = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case n < 60:
		from = time.Date(1899, 12, 31, 0, 0, 0, 0, time.UTC)
	}
	return from.AddDate(0, 0, int(n)).Format(time.DateOnly), Text
}

// isoDay is a day that is stored as such, without the time behind it.
func isoDay(value string) (text string, sort Sort) {
	day, _, _ := strings.Cut(value, "T")
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return value, NotDay
	}
	return day, Text
}

// truth is a stored yes or no.
func truth(value string) (text string, sort Sort) {
	switch value {
	case "1", "true":
		return "TRUE", Text
	case "0", "false":
		return "FALSE", Text
	}
	return value, NotTruth
}

// decimal15 is n rounded to fifteen significant digits.
func decimal15(n float64) float64 {
	f, err := strconv.ParseFloat(strconv.FormatFloat(n, 'e', 14, 64), 64)
	if err != nil {
		return n
	}
	return f
}
