package cells

// This file reads the cells of a sheet of an .xlsx spreadsheet as they are stored, and says which of them are damaged.

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// xlsxSheet goes through the cells of a sheet, row by row.
type xlsxSheet struct {
	page
	book  *xlsxBook
	begun bool // the cells of the sheet began
}

// next reads the next row; io.EOF behind the last one, when the sheet was read to its end.
func (s *xlsxSheet) next() error {
	for row := s.cut.Number + 1; ; {
		token, err := s.elements.next()
		if err == io.EOF && !s.begun {
			err = io.ErrUnexpectedEOF
		}
		e, ok := token.(xml.StartElement)
		switch inside := ok && s.within("sheetData"); {
		case err != nil && err != io.EOF:
			return s.trouble(row, err)
		case err != nil:
			return err
		case inside && e.Name.Local == "row":
			return s.row(e)
		case inside, ok && e.Name.Local == "sheetData" && s.begun:
			return &Trouble{Kind: Damaged, Row: row}
		}
		s.begun = s.begun || ok && e.Name.Local == "sheetData"
	}
}

// row reads a row, to its end.
func (s *xlsxSheet) row(e xml.StartElement) error {
	n := s.cut.Number + 1
	if r := attribute(e, "r"); r != "" {
		var err error
		if n, err = strconv.Atoi(r); err != nil || n <= s.cut.Number {
			after := s.cut.Number
			return &Trouble{Kind: RowOrder, Row: after + 1, Read: fmt.Sprintf("%s comes after row %d", r, after)}
		}
	}
	if s.cut.Number, s.repeat = n, 1; n > mostRows {
		return &Trouble{Kind: ManyRows, Row: n}
	}
	column := -1
	return s.inside(nil, func(e xml.StartElement) error {
		switch e.Name.Local {
		case "extLst": // what a newer program adds for itself
			return s.skip()
		case "c":
		default:
			return io.ErrUnexpectedEOF
		}
		column++
		if r := attribute(e, "r"); r != "" {
			at, row := coordinates(r)
			if at < column || row != n {
				return &Trouble{Kind: CellOrder, Row: n, Read: r}
			}
			column = at
		}
		if column >= mostWidth {
			return &Trouble{Kind: ManyCells, Row: n}
		}
		return s.cell(e, column)
	})
}

// cell reads one cell, to its end.
func (s *xlsxSheet) cell(e xml.StartElement, column int) error {
	var value, formula []byte
	var valued, inline, worked bool
	if err := s.inside(nil, func(e xml.StartElement) error {
		switch e.Name.Local {
		case "v", "is":
			if valued || inline { // of two values nobody knows which is meant
				return io.ErrUnexpectedEOF
			}
			if valued, inline = e.Name.Local == "v", e.Name.Local == "is"; valued {
				return s.text(&value)
			}
			return s.rich(&value)
		case "f":
			worked = true
			return s.text(&formula)
		}
		return s.skip()
	}); err != nil {
		return err
	}
	c := Cell{Column: column, Text: strings.TrimSpace(string(value))}
	kind := attribute(e, "t")
	if worked && !inline && len(value) == 0 && !(valued && kind == "str") { // a text may be empty
		c.Text, c.Sort = "="+strings.TrimPrefix(string(formula), "="), Unworked
	} else {
		c.Text, c.Sort = s.book.stored(kind, attribute(e, "s"), c.Text, inline)
	}
	switch {
	case c.Text == "" && c.Sort == Text:
	case column >= mostColumns:
		return &Trouble{Kind: FarCell, Row: s.cut.Number, Read: strconv.Itoa(s.cut.Number)}
	default:
		s.own = append(s.own, c)
	}
	return nil
}

// merges are the areas of a sheet whose cells are merged, the upper ones first. They come behind its rows.
func merges(a archive, name string, most int64) ([]area, *Trouble) {
	in, t := a.part(name, most)
	if in == nil || t != nil || !in.holds("mergeCell") {
		return nil, t
	}
	if in, t = a.part(name, most); t != nil {
		return nil, t
	}
	var out []area
	for x := newElements(in); ; {
		t, err := x.next()
		if err == io.EOF {
			slices.SortStableFunc(out, func(a, b area) int { return a.top - b.top })
			return out, nil
		}
		switch e, ok := t.(xml.StartElement); {
		case ok && e.Name.Local == "sheetData":
			err = x.skip()
		case ok && e.Name.Local == "mergeCell":
			first, last, _ := strings.Cut(attribute(e, "ref"), ":")
			var m area
			m.left, m.top = coordinates(first)
			m.right, m.bottom = coordinates(cmp.Or(last, first))
			if m.left < 0 || m.top < 1 || m.right < m.left || m.bottom < m.top || len(out) >= mostMerged {
				return nil, &Trouble{Kind: Damaged}
			}
			out = append(out, m)
		}
		if err != nil {
			return nil, x.trouble(0, err)
		}
	}
}

// ColumnName is the name of a column, counted from 0: A, B, and so on.
func ColumnName(column int) string {
	name := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// coordinates are the column, from 0, and the row of a cell such as B7; -1 where it is not such a name.
func coordinates(name string) (column, row int) {
	i := 0
	for ; i < len(name) && name[i] >= 'A' && name[i] <= 'Z' && column <= mostWidth; i++ {
		column = column*26 + int(name[i]-'A') + 1
	}
	row, err := strconv.Atoi(name[i:])
	if err != nil {
		return -1, -1
	}
	return column - 1, row
}

// stored is what a cell of a type and a style says, where value is what is stored in it.
func (w *xlsxBook) stored(kind, style, value string, inline bool) (text string, sort Sort) {
	switch kind {
	case "", "n":
		if value == "" && !inline {
			return "", Text
		}
		if inline {
			return value, LostSort
		}
		return w.number(style, value)
	case "s":
		i, err := strconv.ParseUint(value, 10, 31)
		text, ok := w.texts.of(int(i))
		if err != nil || !ok {
			return value, LostText
		}
		return strings.TrimSpace(unescaped(text)), Text
	case "str":
		return unescaped(value), Text
	case "inlineStr":
		if !inline {
			return value, LostText
		}
		return unescaped(value), Text
	case "b":
		return truth(value)
	case "e":
		if !strings.HasPrefix(value, "#") {
			return value, NotError
		}
		return value, Failed
	case "d":
		return isoDay(value)
	}
	return value, LostSort
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
