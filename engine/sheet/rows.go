package sheet

// This file takes rows as they are cut: it finds the set that a row is of, and packs the cells of rows that have no text
// of their own to be cut again, those of JSON Lines and of spreadsheets, to wait until they are read.

import (
	"bytes"
	"encoding/binary"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
)

const (
	manyNames   = 1000 // names, in all spellings, that the objects of a sheet may have between them
	manyUnknown = 100  // unknown names that are looked at, to warn of slips
)

// line is a row of the sheet, valid until the next one is cut.
type line struct {
	row    int
	text   []byte // the cells, in the form that Parser.split understands
	fault  flaw
	set    []byte // the name of its set, without blanks around it
	noSet  bool   // its set cannot be read; set is empty where the row names none
	length bool   // it has a length; found out while no row names a method
	method bool   // it names a method
}

// next returns the next row that is not blank; false at the end of the sheet, or where it cannot be read on.
func (r *Reader) next() (line, bool) {
	if r.csv != nil {
		if row := r.csv.Next(); row != nil {
			return r.textLine(r.csv, row), true
		}
	} else if row := r.source.Next(); row != nil {
		return r.packedLine(row), true
	}
	return line{}, false
}

// textLine is a row of text.
func (r *Reader) textLine(s *cells.CSV, row *cells.Row) line {
	h := r.head
	l := line{row: row.Number, text: row.Text, fault: row.Flaw}
	if h.set >= 0 {
		set, ok := s.Cell(row, h.set)
		l.set = set
		l.noSet = !ok || h.set > 0 && l.fault == sound && s.CellsOf(row) != len(h.columns)
		r.checkSet(&l)
	}
	for _, at := range h.nameless {
		if !r.stray[at] {
			if cell, _ := s.Cell(row, at); len(cell) > 0 {
				r.noteStray(at, row.Number)
			}
		}
	}
	if !r.sawMethod && h.length >= 0 {
		cell, _ := s.Cell(row, h.length)
		l.length = !notMeasured(cell)
		if h.by >= 0 {
			cell, _ = s.Cell(row, h.by)
			l.method = !notMeasured(cell)
		}
	}
	return l
}

// noteStray notes that a column without a heading holds something.
func (r *Reader) noteStray(at, row int) {
	if r.stray[at] {
		return
	}
	if r.stray == nil {
		r.stray = map[int]bool{}
	}
	r.stray[at] = true
	letters := ""
	for n := at + 1; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	r.aside.Unused = append(r.aside.Unused, club.Unused{Row: club.Row{File: r.name, Row: row}, Column: letters + " (no heading)"})
}

// notMeasured reports whether a cell is as good as empty.
func notMeasured(cell []byte) bool {
	return len(cell) <= len(catalogue.Null) && catalogue.NotMeasured(string(cell))
}

// checkSet refuses the name of a set that cannot be printed, or is what a spreadsheet left in the place of one.
func (r *Reader) checkSet(l *line) {
	switch {
	case !l.noSet && bytes.Equal(l.set, r.lastSet):
	case l.noSet, notMeasured(l.set):
		l.set = nil
	case len(l.set) > cells.MaxRow || !cells.Printable(l.set) || spreadsheetFault(string(l.set)) != nil:
		l.set, l.noSet = nil, true
		if l.fault == sound {
			l.fault = oddSetName
		}
	default:
		r.lastSet = append(r.lastSet[:0], l.set...)
	}
}

// packedLine packs the cells of a row that are in known columns.
func (r *Reader) packedLine(row *cells.Row) line {
	l := line{row: row.Number, fault: row.Flaw, noSet: row.Flaw != sound}
	r.packed = r.packed[:0]
	for _, c := range row.Cells {
		at := c.Column
		if r.columns != nil {
			var room bool
			if at, room = r.columnOf(c.Name, row.Number); !room {
				l.fault, l.noSet = manyNamed, true
				break
			}
		}
		if r.columns == nil && (at >= len(r.head.columns) || r.head.columns[at].heading == "") && c.Text != "" {
			r.noteStray(at, row.Number)
		}
		if at < 0 || at >= len(r.head.columns) {
			continue
		}
		col := &r.head.columns[at]
		if col.role == unknown || col.role == carried {
			continue
		}
		if r.columns != nil && !col.own && r.beside(row.Cells, col, row.Number) {
			continue
		}
		if c.Sort == cells.List {
			if c.Sort = cells.Nested; col.role == propertyColumn && col.property.Sort.Numeric() {
				c.Sort, c.Text = cells.Text, c.Readings
			}
		}
		if c.Sort == cells.Text && c.Text == "" {
			continue
		}
		if c.Merged && c.Sort == cells.Text && col.role == propertyColumn && col.property.Sort.Numeric() {
			c.Sort = cells.Shared
		}
		switch col.role {
		case setColumn:
			l.noSet = l.noSet || l.set != nil || c.Sort != cells.Text
			l.set = []byte(c.Text)
		case byColumn:
			l.method = l.method || !catalogue.NotMeasured(c.Text)
		case propertyColumn:
			l.length = l.length || at == r.head.length && !catalogue.NotMeasured(c.Text)
		}
		if len(r.packed)+len(c.Text) > cells.MaxRow {
			if l.fault == sound {
				l.fault = cells.TooLong
			}
			break
		}
		r.packed = pack(r.packed, at, c.Sort, c.Text)
	}
	l.text = r.packed
	r.checkSet(&l)
	return l
}

// columnOf returns the column of a name in JSON Lines, a new one where the sheet did not have the name before; -1 where
// it means nothing. Room is false where the sheet has too many names.
func (r *Reader) columnOf(name string, row int) (at int, room bool) {
	if at, ok := r.columns[name]; ok {
		return at, true
	}
	if r.unknown[name] {
		return -1, true
	}
	find := resolver{schema: r.opts.Schema}
	c, n := find.column(name), len(r.head.columns)
	c.member = true
	switch {
	case c.role > carried && n < manyNames:
		r.columns[name] = n
		r.head = newHead(r.name, append(slices.Clip(r.head.columns), c), r.opts.Schema, 0, 0)
		return n, true
	case c.role == unknown && len(r.unknown) < manyUnknown:
		r.unknown[name] = true
		r.leaveAside(c, row)
	}
	return -1, n < manyNames
}

// beside reports whether a JSON line has a value under the own name of a column, so that the one under another name
// is left aside.
func (r *Reader) beside(row []cells.Cell, col *column, number int) bool {
	for _, c := range row {
		at, known := r.columns[c.Name]
		if !known {
			at, _ = r.columnOf(c.Name, number)
		}
		if at < 0 || !r.head.columns[at].own || !r.head.columns[at].same(col) || c.Sort == cells.Text && c.Text == "" {
			continue
		}
		if !r.unknown[col.heading] && len(r.unknown) < manyUnknown {
			r.unknown[col.heading] = true
			r.leaveAside(column{heading: col.heading, instead: r.head.columns[at].heading}, number)
		}
		return true
	}
	return false
}

// pack appends a cell to a packed row.
func pack(row []byte, column int, sort cells.Sort, text string) []byte {
	row = binary.AppendUvarint(row, uint64(column))
	row = append(row, byte(sort))
	row = binary.AppendUvarint(row, uint64(len(text)))
	return append(row, text...)
}

// unpack fills p.cells with those of a packed row.
func (p *Parser) unpack(h *head, row string) {
	p.cells = append(p.cells[:0], make([]string, len(h.columns))...)
	p.packed = p.packed[:0]
	for row != "" {
		var at, size int
		at, row = uvarint(row)
		sort := cells.Sort(row[0])
		size, row = uvarint(row[1:])
		text := row[:size]
		row = row[size:]
		col := &h.columns[at]
		twice := h.row == 0 && slices.ContainsFunc(p.packed, func(i int) bool { return h.columns[i].same(col) })
		p.packed = append(p.packed, at)
		switch {
		case twice: // another spelling of the name counts too
			p.fault(col, text, "the row has two values for "+col.shown()+"; expected each name once", "")
		case col.fault != nil:
			p.note(col, *col.fault)
		case sort > cells.Nested:
			p.fault(col, text, damage(sort, text), "")
		case sort == cells.Nested:
			p.fault(col, text, "the value of "+col.shown()+" is made up of other values; expected "+col.wanted(), "")
		default:
			p.cells[at] = cells.Trim(text)
		}
	}
}

// uvarint takes a number off the start of s.
func uvarint(s string) (n int, rest string) {
	for i := 0; i < len(s); i++ {
		n |= int(s[i]&0x7f) << (7 * i)
		if s[i] < 0x80 {
			return n, s[i+1:]
		}
	}
	return n, ""
}
