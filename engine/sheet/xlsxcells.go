package sheet

// This file looks through the cells of a spreadsheet's sheet for those that are not what is
// stored in them: dates and percentages, which are numbers with a format, formulas that were never worked out, yes and no.

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// cellMark is the text that stands for what is stored in a cell.
type cellMark struct {
	column int // from 0
	text   string
}

// cellScan goes through the cells of a sheet, row by row.
type cellScan struct {
	d      *xml.Decoder
	styles styles
	row    int // whose cells were read last
	marks  []cellMark
	ended  bool
}

func newCellScan(part []byte, st styles) *cellScan {
	return &cellScan{d: xml.NewDecoder(bytes.NewReader(part)), styles: st}
}

// of returns the marks of a row; rows are asked for in order.
func (s *cellScan) of(row int) ([]cellMark, error) {
	for s.row < row && !s.ended {
		if err := s.next(); err != nil {
			return nil, err
		}
	}
	if s.row != row || s.ended {
		return nil, nil
	}
	return s.marks, nil
}

// rest checks that no rows are left that were not asked for.
func (s *cellScan) rest() error {
	if s.ended {
		return nil
	}
	if err := s.next(); err != nil || s.ended {
		return err
	}
	return errDamaged
}

// next reads the marks of the next row of the sheet.
func (s *cellScan) next() error {
	s.marks = s.marks[:0]
	for {
		t, err := s.d.Token()
		if err == io.EOF {
			return errDamaged // before the end of the sheet's cells
		}
		if err != nil {
			return errDamaged
		}
		switch e := t.(type) {
		case xml.EndElement:
			if e.Name.Local == "sheetData" {
				s.ended = true
				return nil
			}
		case xml.StartElement:
			if e.Name.Local == "sheetData" && s.row > 0 {
				return errDamaged
			}
			if e.Name.Local != "row" {
				continue
			}
			n := s.row + 1
			if r := attribute(e, "r"); r != "" {
				if n, err = strconv.Atoi(r); err != nil || n <= s.row {
					return errDamaged
				}
			}
			if n > xlsxRows {
				return errors.New("the sheet has more than 1,048,576 rows; expected a smaller one, or CSV, which may be of any size")
			}
			s.row = n
			return s.cells()
		}
	}
}

// cells reads the cells of a row, to its end.
func (s *cellScan) cells() error {
	column := -1
	for {
		t, err := s.d.Token()
		if err != nil {
			return errDamaged
		}
		switch e := t.(type) {
		case xml.EndElement:
			if e.Name.Local == "row" {
				return nil
			}
		case xml.StartElement:
			if e.Name.Local == "extLst" { // what a newer program adds for itself
				if s.d.Skip() != nil {
					return errDamaged
				}
				continue
			}
			if e.Name.Local != "c" {
				return errDamaged
			}
			next := column + 1
			if r := attribute(e, "r"); r != "" {
				c, _, err := excelize.CellNameToCoordinates(r)
				if err != nil || c-1 < next {
					return errDamaged
				}
				next = c - 1
			}
			column = next
			if err := s.cell(e, column); err != nil {
				return err
			}
		}
	}
}

// cell reads one cell, to its end, and marks it where need be.
func (s *cellScan) cell(e xml.StartElement, column int) error {
	var value, formula strings.Builder
	var into *strings.Builder
	hasFormula, inline := false, false
	for depth := 1; depth > 0; {
		t, err := s.d.Token()
		if err != nil {
			return errDamaged
		}
		switch t := t.(type) {
		case xml.StartElement:
			switch into = nil; t.Name.Local {
			case "v":
				into = &value
			case "f":
				into, hasFormula = &formula, true
			case "is":
				inline = true
			}
			depth++
		case xml.EndElement:
			into = nil
			depth--
		case xml.CharData:
			if into != nil {
				into.Write(t)
			}
		}
	}
	text, ok := s.styles.text(attribute(e, "t"), attribute(e, "s"), strings.TrimSpace(value.String()))
	if hasFormula && value.Len() == 0 && !inline {
		text, ok = "="+shown(strings.TrimPrefix(formula.String(), "=")), true
	}
	if column >= xlsxColumns && (value.Len() > 0 || hasFormula || inline) {
		return fmt.Errorf("row %d has cells beyond the 256th column; expected a sheet of clubs with a few columns", s.row)
	}
	if ok {
		s.marks = append(s.marks, cellMark{column, text})
	}
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

// style is what a format makes of a number. The zero value leaves it a number.
type style uint8

const (
	plainStyle style = iota
	dateStyle
	percentStyle
)

// styles tells what the formats of a spreadsheet make of numbers.
type styles struct {
	book     *excelize.File
	known    map[int]style
	from1904 bool // days are counted from 1904
}

// text returns what a cell of a type and a style says; false where that is what is stored.
func (s *styles) text(sort, index, value string) (string, bool) {
	switch sort {
	case "b":
		return map[bool]string{true: "TRUE", false: "FALSE"}[value == "1"], value != ""
	case "d":
		day, _, _ := strings.Cut(value, "T")
		return day, value != ""
	case "", "n":
	default:
		return "", false
	}
	n, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return "", false
	}
	switch s.of(index) {
	case dateStyle:
		if n < 1 {
			return time.Unix(int64(n*86400), 0).UTC().Format("15:04:05"), true
		}
		t, err := excelize.ExcelDateToTime(n, s.from1904)
		return t.Format(time.DateOnly), err == nil
	case percentStyle:
		return strconv.FormatFloat(decimal15(n*100), 'f', -1, 64) + " %", true
	}
	if len(value) > 15 || strings.ContainsAny(value, "eE") {
		return strconv.FormatFloat(decimal15(n), 'f', -1, 64), true // a spreadsheet means fifteen digits, and stores more
	}
	return "", false
}

// decimal15 is n rounded to fifteen significant digits.
func decimal15(n float64) float64 {
	f, err := strconv.ParseFloat(strconv.FormatFloat(n, 'e', 14, 64), 64)
	if err != nil {
		return n
	}
	return f
}

// of returns what the style of an index makes of a number.
func (s *styles) of(index string) style {
	i, err := strconv.Atoi(index)
	if err != nil || i <= 0 {
		return plainStyle
	}
	if st, ok := s.known[i]; ok {
		return st
	}
	st := plainStyle
	if format, err := s.book.GetStyle(i); err == nil {
		st = builtIn(format.NumFmt)
		if format.CustomNumFmt != nil {
			st = custom(*format.CustomNumFmt)
		}
	}
	s.known[i] = st
	return st
}

// builtIn is what a number format without a code of its own makes of a number (ECMA-376 part 1, 18.8.30).
func builtIn(id int) style {
	switch {
	case id >= 14 && id <= 22, id >= 27 && id <= 36, id >= 45 && id <= 47, id >= 50 && id <= 58:
		return dateStyle
	case id == 9 || id == 10:
		return percentStyle
	}
	return plainStyle
}

// custom is what the code of a number format makes of a number.
func custom(code string) style {
	if strings.EqualFold(code, "general") {
		return plainStyle
	}
	quoted, bracket := false, false
	st := plainStyle
	for i := 0; i < len(code); i++ {
		switch c := code[i]; {
		case quoted:
			quoted = c != '"'
		case bracket:
			bracket = c != ']'
		case c == '"':
			quoted = true
		case c == '[':
			bracket = true
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
