package cells

// This file cuts JSON Lines into rows: one object a line, whose members are its cells.

import (
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// JSONLines is a sheet with an object a line.
type JSONLines struct {
	lines
	cut Row // the last row
}

// newJSONLines reads a sheet of text as JSON Lines.
func newJSONLines(in io.Reader) *JSONLines { return &JSONLines{lines: newLines(in)} }

// Next returns the next row that is not blank, with its empty members: they name columns. Of a row that breaks off the
// members before that are given.
func (s *JSONLines) Next() *Row {
	for {
		size, ok := s.peek()
		if !ok {
			return nil
		}
		text, f := s.line(size)
		if f == Sound && strings.TrimSpace(text) == "" {
			continue
		}
		s.cut = Row{Number: s.row, Cells: s.cut.Cells[:0], Flaw: f}
		if f == Sound {
			s.cut.Flaw = s.object(text)
		}
		return &s.cut
	}
}

// object reads the members of a line.
func (s *JSONLines) object(text string) Flaw {
	if !utf8.ValidString(text) {
		return NotUTF8
	}
	d := json.NewDecoder(strings.NewReader(text))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return NotObject
	}
	for d.More() {
		name, err := d.Token()
		var value json.RawMessage
		if err == nil {
			err = d.Decode(&value)
		}
		if err != nil {
			return NotObject
		}
		c := cellOf(value)
		c.Name = name.(string)
		s.cut.Cells = append(s.cut.Cells, c)
	}
	if _, err := d.Token(); err != nil {
		return NotObject
	}
	if _, err := d.Token(); err != io.EOF {
		return NotObject
	}
	return Sound
}

// cellOf is a value as a cell would hold it.
func cellOf(value json.RawMessage) Cell {
	switch value[0] {
	case '"':
		var text string
		if json.Unmarshal(value, &text) != nil {
			return Cell{Sort: Nested, Text: string(value)}
		}
		return Cell{Text: strings.TrimSpace(text)}
	case 't', 'f':
		return Cell{Text: string(value)}
	case 'n':
		return Cell{}
	case '{':
		return Cell{Sort: Nested, Text: string(value)}
	case '[':
		return listOf(value)
	}
	return Cell{Text: plainNumber(string(value))}
}

// listOf is a list as a cell would hold it.
func listOf(value json.RawMessage) Cell {
	var list []json.RawMessage
	if json.Unmarshal(value, &list) != nil {
		return Cell{Sort: Nested, Text: string(value)}
	}
	texts := make([]string, len(list))
	for i, v := range list {
		var c Cell
		if v[0] != '[' {
			c = cellOf(v)
		}
		if v[0] == '[' || c.Sort != Text {
			return Cell{Sort: Nested, Text: string(value)}
		}
		texts[i] = c.Text
	}
	return Cell{Sort: List, Text: string(value), Readings: strings.TrimSpace(strings.Join(texts, " | "))}
}

// plainNumber is a number without an exponent; one that is beyond the range of numbers stays as it is.
func plainNumber(s string) string {
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		f, err := strconv.ParseFloat(s, 64)
		if err == nil && f < 1e15 && f > -1e15 && (f != 0 || strings.Trim(s[:i], "-0.") == "") {
			return strconv.FormatFloat(f, 'f', -1, 64)
		}
	}
	return s
}
