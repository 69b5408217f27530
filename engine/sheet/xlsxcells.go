package sheet

// This file reads the cells of a spreadsheet's sheet, and says what is stored in them: dates and percentages, which are
// numbers with a format, formulas that were never worked out, yes and no, and what is damaged.

import (
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"ferrule/lang/diag"
)

// xlsxCell is a cell of a row, not blank.
type xlsxCell struct {
	column int // from 0
	sort   byte
	text   string
}

// damages say why a cell is damaged, by its sort.
var damages = map[byte]string{
	lostText:   "points to a text that the spreadsheet does not hold",
	notNumber:  "is stored as a number and is not one",
	notTruth:   "is stored as a yes or no and is neither",
	notDay:     "is stored as a day and is not one",
	notError:   "is stored as an error and is not one",
	lostFormat: "has a number format that the spreadsheet does not hold",
	lostSort:   "is stored in a way that no spreadsheet knows",
}

// damage is what is wrong with a damaged cell.
func damage(sort byte, text string) string {
	cell := "the cell"
	if text != "" {
		cell = diag.Quote(text)
	}
	return cell + " " + damages[sort] + ": the spreadsheet is damaged; open it, look at the cell and save it again"
}

// cellScan goes through the cells of a sheet, row by row.
type cellScan struct {
	*elements
	book  *xlsxBook
	row   int // whose cells were read last
	cells []xlsxCell
	begun bool // the cells of the sheet began

	value, formula []byte // of the cell in hand
}

func newCellScan(p *part, w *xlsxBook) *cellScan { return &cellScan{elements: newElements(p), book: w} }

// next returns the cells of the next row that are not blank; false behind the last one, when the sheet was read to its
// end.
func (s *cellScan) next() (cells []xlsxCell, more bool, p *Problem) {
	for {
		t, err := s.elements.next()
		if err == io.EOF && s.begun {
			return nil, false, nil
		}
		if err != nil {
			return nil, false, s.problem(s.row + 1)
		}
		e, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		inside := len(s.open) > 1 && s.open[len(s.open)-2].Local == "sheetData"
		switch name := e.Name.Local; {
		case name == "row" && inside:
			p := s.begin(e)
			if p == nil {
				p = s.read()
			}
			return s.cells, p == nil, p
		case inside, name == "sheetData" && s.begun:
			return nil, false, damaged(s.row + 1)
		}
		s.begun = s.begun || e.Name.Local == "sheetData"
	}
}

// begin finds out which row it is that begins.
func (s *cellScan) begin(e xml.StartElement) *Problem {
	n := s.row + 1
	if r := attribute(e, "r"); r != "" {
		var err error
		if n, err = strconv.Atoi(r); err != nil || n <= s.row {
			p := damaged(s.row + 1)
			p.Read, p.Message = shown(r), fmt.Sprintf("row %s comes after row %d; ", shown(r), s.row)+p.Message
			return p
		}
	}
	if n > xlsxRows {
		return &Problem{Row: n, Message: "the sheet has more than 1,048,576 rows; " + smaller}
	}
	s.row = n
	return nil
}

// read reads the cells of a row, to its end.
func (s *cellScan) read() *Problem {
	s.cells = s.cells[:0]
	for column := -1; ; {
		t, err := s.elements.next()
		if err != nil {
			return s.problem(s.row)
		}
		switch e := t.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			switch e.Name.Local {
			case "extLst": // what a newer program adds for itself
				if s.skip() != nil {
					return s.problem(s.row)
				}
				continue
			case "c":
			default:
				return damaged(s.row)
			}
			next := column + 1
			if r := attribute(e, "r"); r != "" {
				at, row := coordinates(r)
				if at < next || row != s.row {
					p := damaged(s.row)
					p.Read, p.Message = shown(r), fmt.Sprintf("the cell %s is not where it belongs; ", shown(r))+p.Message
					return p
				}
				next = at
			}
			column = next
			if column >= xlsxWidth {
				return &Problem{Row: s.row, Message: "the row has more than 16,384 cells, more than a spreadsheet can have"}
			}
			if p := s.cell(e, column); p != nil {
				return p
			}
		}
	}
}

// cell reads one cell, to its end.
func (s *cellScan) cell(e xml.StartElement, column int) *Problem {
	s.value, s.formula = s.value[:0], s.formula[:0]
	var valued, inline, worked bool
	for depth := len(s.open); len(s.open) >= depth; {
		t, err := s.elements.next()
		if e, ok := t.(xml.StartElement); ok {
			switch e.Name.Local {
			case "v", "is":
				if valued || inline { // of two values nobody knows which is meant
					return damaged(s.row)
				}
				if valued, inline = e.Name.Local == "v", e.Name.Local == "is"; valued {
					s.value, err = s.text(s.value)
				} else {
					s.value, err = s.rich(s.value)
				}
			case "f":
				worked = true
				s.formula, err = s.text(s.formula)
			default:
				err = s.skip()
			}
		}
		if err != nil {
			return s.problem(s.row)
		}
	}
	c := xlsxCell{column: column, text: strings.TrimSpace(string(s.value))}
	kind := attribute(e, "t")
	if worked && !inline && len(s.value) == 0 {
		c.text = "=" + shown(strings.TrimPrefix(string(s.formula), "="))
	} else {
		c.text, c.sort = s.book.stored(kind, attribute(e, "s"), c.text, valued, inline)
	}
	if c.text == "" && c.sort == textCell {
		return nil
	}
	if column >= xlsxColumns {
		return &Problem{Row: s.row, Message: fmt.Sprintf("row %d has cells beyond the 256th column; ", s.row) +
			"expected a sheet of clubs with a few columns"}
	}
	s.cells = append(s.cells, c)
	return nil
}

// attribute returns the value of an attribute; "" where there is none.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// coordinates are the column, from 0, and the row of a cell such as B7; -1 where it is no such name.
func coordinates(name string) (column, row int) {
	i := 0
	for ; i < len(name) && name[i] >= 'A' && name[i] <= 'Z' && column <= xlsxWidth; i++ {
		column = column*26 + int(name[i]-'A') + 1
	}
	row, err := strconv.Atoi(name[i:])
	if err != nil {
		return -1, -1
	}
	return column - 1, row
}

// stored is what a cell of a type and a style says, where value is what is stored in it.
func (w *xlsxBook) stored(kind, style, value string, valued, inline bool) (text string, sort byte) {
	switch kind {
	case "", "n":
		if value == "" && !inline {
			return "", textCell
		}
		if inline {
			return value, lostSort
		}
		return w.number(style, value)
	case "s":
		i, err := strconv.ParseUint(value, 10, 31)
		text, ok := w.texts.of(int(i))
		if err != nil || !ok {
			return value, lostText
		}
		return strings.TrimSpace(unescaped(text)), textCell
	case "str":
		return unescaped(value), textCell
	case "inlineStr":
		if !inline {
			return value, lostText
		}
		return unescaped(value), textCell
	case "b":
		switch value {
		case "1", "true":
			return "TRUE", textCell
		case "0", "false":
			return "FALSE", textCell
		}
		return value, notTruth
	case "e":
		if !strings.HasPrefix(value, "#") {
			return value, notError
		}
		return value, textCell
	case "d":
		day, _, _ := strings.Cut(value, "T")
		if _, err := time.Parse(time.DateOnly, day); err != nil {
			return value, notDay
		}
		return day, textCell
	}
	return value, lostSort
}

// decimal is a number as a spreadsheet stores it (XML Schema part 2, 3.2.5, without what is no figure).
var decimal = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// number is a number as its style shows it: as it is stored, as a day, a time or a percentage.
func (w *xlsxBook) number(index, value string) (text string, sort byte) {
	n, err := strconv.ParseFloat(value, 64)
	if err != nil || !decimal.MatchString(value) {
		return value, notNumber
	}
	st := plainStyle
	if index != "" && (index != "0" || len(w.styles) > 0) {
		i, err := strconv.ParseUint(index, 10, 31)
		if err != nil || int(i) >= len(w.styles) {
			return value, lostFormat
		}
		st = w.styles[i]
	}
	switch st {
	case lostStyle:
		return value, lostFormat
	case dateStyle:
		return w.day(n, value)
	case percentStyle:
		return strconv.FormatFloat(decimal15(n*100), 'f', -1, 64) + " %", textCell
	}
	if len(value) > 15 || strings.ContainsAny(value, "eE") {
		// A spreadsheet means fifteen digits, and stores more.
		return strconv.FormatFloat(decimal15(n), 'f', -1, 64), textCell
	}
	return value, textCell
}

// day is the day of a number, or below 1 the time of day (ECMA-376 part 1, 18.17.4): 1 is the first day of 1900, a year
// that is taken for a leap year, or 0 that of 1904.
func (w *xlsxBook) day(n float64, value string) (text string, sort byte) {
	const last = 2_958_465 // 31 December 9999
	from := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case n < 0 || n >= last+1 || !w.from1904 && n >= 60 && n < 61:
		return value, notDay
	case n < 1:
		return time.Unix(int64(n*86400), 0).UTC().Format(time.TimeOnly), textCell
	case w.from1904:
		from = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case n < 60:
		from = time.Date(1899, 12, 31, 0, 0, 0, 0, time.UTC)
	}
	return from.AddDate(0, 0, int(n)).Format(time.DateOnly), textCell
}

// decimal15 is n rounded to fifteen significant digits.
func decimal15(n float64) float64 {
	f, err := strconv.ParseFloat(strconv.FormatFloat(n, 'e', 14, 64), 64)
	if err != nil {
		return n
	}
	return f
}

// escape is a character as XML cannot hold it (ECMA-376 part 1, 22.9.2.19).
var escape = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unescaped is a text with its characters as they are meant.
func unescaped(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escape.ReplaceAllStringFunc(s, func(e string) string {
		n, err := strconv.ParseUint(e[2:6], 16, 16)
		if err != nil || !utf8.ValidRune(rune(n)) {
			return e
		}
		return string(rune(n))
	})
}

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
