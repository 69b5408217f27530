package cells

// This file reads the cells of a sheet of an .xlsx spreadsheet as they are stored, and says which of them are damaged.

import (
	"cmp"
	"encoding/xml"
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

	value, formula []byte // of the cell in hand
}

// Next returns the next row that is not blank.
func (s *xlsxSheet) Next() *Row {
	for s.stopped == nil {
		row, done := s.given(s.scan())
		if row != nil {
			s.lay()
		}
		if done {
			return row
		}
	}
	return nil
}

// scan reads the cells of the next row; false behind the last one, when the sheet was read to its end.
func (s *xlsxSheet) scan() (more bool, t *Trouble) {
	for {
		token, err := s.elements.next()
		if err == io.EOF && s.begun {
			return false, nil
		}
		if err != nil {
			return false, s.trouble(s.cut.Number + 1)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		inside := s.within("sheetData")
		switch name := e.Name.Local; {
		case name == "row" && inside:
			t := s.begin(e)
			if t == nil {
				t = s.read()
			}
			return t == nil, t
		case inside, name == "sheetData" && s.begun:
			return false, s.damaged(s.cut.Number + 1)
		}
		s.begun = s.begun || e.Name.Local == "sheetData"
	}
}

// damaged is the trouble of a spreadsheet that contradicts itself in a row.
func (s *xlsxSheet) damaged(row int) *Trouble { return &Trouble{Kind: Damaged, Row: row} }

// begin finds out which row it is that begins.
func (s *xlsxSheet) begin(e xml.StartElement) *Trouble {
	n := s.cut.Number + 1
	if r := attribute(e, "r"); r != "" {
		var err error
		if n, err = strconv.Atoi(r); err != nil || n <= s.cut.Number {
			return &Trouble{Kind: RowOrder, Row: s.cut.Number + 1, After: s.cut.Number, Read: r}
		}
	}
	if n > mostRows {
		return &Trouble{Kind: ManyRows, Row: n}
	}
	s.cut.Number = n
	return nil
}

// read reads the cells of a row, to its end.
func (s *xlsxSheet) read() *Trouble {
	s.own = s.own[:0]
	for column := -1; ; {
		t, err := s.elements.next()
		if err != nil {
			return s.trouble(s.cut.Number)
		}
		switch e := t.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			switch e.Name.Local {
			case "extLst": // what a newer program adds for itself
				if s.skip() != nil {
					return s.trouble(s.cut.Number)
				}
				continue
			case "c":
			default:
				return s.damaged(s.cut.Number)
			}
			next := column + 1
			if r := attribute(e, "r"); r != "" {
				at, row := coordinates(r)
				if at < next || row != s.cut.Number {
					return &Trouble{Kind: CellOrder, Row: s.cut.Number, Read: r}
				}
				next = at
			}
			column = next
			if column >= mostWidth {
				return &Trouble{Kind: ManyCells, Row: s.cut.Number}
			}
			if t := s.cell(e, column); t != nil {
				return t
			}
		}
	}
}

// cell reads one cell, to its end.
func (s *xlsxSheet) cell(e xml.StartElement, column int) *Trouble {
	s.value, s.formula = s.value[:0], s.formula[:0]
	var valued, inline, worked bool
	for depth := len(s.open); len(s.open) >= depth; {
		t, err := s.elements.next()
		if e, ok := t.(xml.StartElement); ok {
			switch e.Name.Local {
			case "v", "is":
				if valued || inline { // of two values nobody knows which is meant
					return s.damaged(s.cut.Number)
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
			return s.trouble(s.cut.Number)
		}
	}
	c := Cell{Column: column, Text: strings.TrimSpace(string(s.value))}
	kind := attribute(e, "t")
	if worked && !inline && len(s.value) == 0 && !(valued && kind == "str") { // a text may be empty
		c.Text, c.Sort = "="+strings.TrimPrefix(string(s.formula), "="), Unworked
	} else {
		c.Text, c.Sort = s.book.stored(kind, attribute(e, "s"), c.Text, valued, inline)
	}
	if c.Text == "" && c.Sort == Text {
		return nil
	}
	if column >= mostColumns {
		return &Trouble{Kind: FarCell, Row: s.cut.Number}
	}
	s.own = append(s.own, c)
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
		if err != nil {
			return nil, x.trouble(0)
		}
		e, ok := t.(xml.StartElement)
		switch {
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
			return nil, x.trouble(0)
		}
	}
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
func (w *xlsxBook) stored(kind, style, value string, valued, inline bool) (text string, sort Sort) {
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
