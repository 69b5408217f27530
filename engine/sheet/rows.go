package sheet

// This file takes rows as they are cut: it finds the set that a row is of, and packs the cells of it that are in known
// columns, to wait until they are read.

import (
	"encoding/binary"
	"fmt"
	"slices"
	"strconv"
	"strings"

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
	text   []byte // the cells, packed
	fault  flaw
	set    string // the name of its set
	noSet  bool   // its set cannot be read; set is empty where the row names none
	length bool   // it has a length
	method bool   // it names a method
}

// next returns the next row that is not blank; false at the end of the sheet, or where it cannot be read on.
func (r *Reader) next() (line, bool) {
	row := r.source.Next()
	if row == nil {
		return line{}, false
	}
	return r.line(row), true
}

// hasLength reports whether a cell holds a length that needs a method. One that is relative to a standard has its own.
func (r *Reader) hasLength(cell string) bool {
	if catalogue.NotMeasured(cell) || r.opts.Standard == nil {
		return !catalogue.NotMeasured(cell)
	}
	_, _, is := isRelative(cell)
	return !is
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

// checkSet refuses the name of a set that cannot be printed, or is what a spreadsheet left in the place of one.
func (r *Reader) checkSet(l *line) {
	switch {
	case !l.noSet && l.set == r.lastSet:
	case l.noSet, catalogue.NotMeasured(l.set):
		l.set = ""
	case len(l.set) > cells.MaxRow || !cells.Printable([]byte(l.set)) || spreadsheetFault(l.set) != nil:
		l.set, l.noSet = "", true
		if l.fault == sound {
			l.fault = oddSetName
		}
	default:
		r.lastSet = strings.Clone(l.set)
	}
}

// miscounted is the sort of a packed cell that says how many cells its row has, where the headings are more or fewer.
const miscounted = cells.Sorts

// line packs the cells of a row that are in known columns.
func (r *Reader) line(row *cells.Row) line {
	l := line{row: row.Number, fault: row.Flaw}
	h, size, odd := r.head, 0, false
	r.packed = r.packed[:0]
	if r.csv == nil {
		l.noSet = row.Flaw != sound
	} else {
		odd = row.Flaw == sound && len(row.Cells) != len(h.columns)
		l.noSet = h.set >= len(row.Cells) || odd && h.set > 0
	}
	if odd {
		r.packed = pack(r.packed, len(row.Cells), miscounted, "")
	}
	for _, c := range row.Cells {
		at := c.Column
		if r.columns != nil {
			var room bool
			if at, room = r.columnOf(c.Name, row.Number); !room {
				l.fault, l.noSet = manyNamed, true
				break
			}
		} else if c.Text != "" && (at < len(h.columns) && h.columns[at].heading == "" || at >= len(h.columns) && r.csv == nil) {
			r.noteStray(at, row.Number)
		}
		if h = r.head; at < 0 || at >= len(h.columns) || h.columns[at].role == unknown || h.columns[at].role == carried {
			continue
		}
		col := &h.columns[at]
		if r.columns != nil && !col.own && r.beside(row.Cells, col, row.Number) {
			continue
		}
		if col.fit(&c); c.Sort == cells.Text && c.Text == "" {
			continue
		}
		switch col.role {
		case setColumn:
			l.noSet = l.noSet || l.set != "" || c.Sort != cells.Text
			l.set = c.Text
		case byColumn:
			l.method = l.method || !catalogue.NotMeasured(c.Text)
		case propertyColumn:
			l.length = l.length || at == h.length && r.hasLength(c.Text)
		}
		if size += len(c.Text); size > cells.MaxRow {
			if l.fault == sound {
				l.fault = cells.TooLong
			}
			break
		}
		// Which cell is missing of a miscounted row nobody knows; what is first is still likely the club.
		if !odd || col.role >= idColumn && col.role <= kindColumn {
			r.packed = pack(r.packed, at, c.Sort, c.Text)
		}
	}
	l.text = r.packed
	r.checkSet(&l)
	return l
}

// fit makes of a cell what its column reads: of a list its readings, of several rows' merged cell no reading at all.
func (c *column) fit(cell *cells.Cell) {
	numeric := c.role == propertyColumn && c.property.Sort.Numeric()
	switch {
	case cell.Sort == cells.List && numeric:
		cell.Sort, cell.Text = cells.Text, cell.Readings
	case cell.Sort == cells.List:
		cell.Sort = cells.Nested
	case cell.Sort == cells.Text && cell.Merged && numeric:
		cell.Sort = cells.Shared
	}
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
		r.head = newHead(r.name, append(slices.Clip(r.head.columns), c), &r.opts, 0)
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

// unpack fills p.cells with those of a packed row. A fault of the row as a whole is told before one of its width.
func (p *Parser) unpack(h *head, row string, f flaw) {
	p.cells = append(p.cells[:0], make([]string, len(h.columns))...)
	p.packed = p.packed[:0]
	for row != "" {
		var at, size int
		at, row = uvarint(row)
		sort := cells.Sort(row[0])
		size, row = uvarint(row[1:])
		text := row[:size]
		row = row[size:]
		if sort == miscounted {
			p.miscounted(at, len(h.columns), f)
			continue
		}
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
			p.cells[at] = text
		}
	}
}

// miscounted notes that a row has n cells under more or fewer headings.
func (p *Parser) miscounted(n, headings int, f flaw) {
	if f != sound {
		return
	}
	said, expected := strconv.Itoa(n)+" cells", "as many, the empty ones too"
	if n == 1 {
		said = "1 cell"
	}
	if n > headings {
		expected = "as many as there are headings, and quotation marks around a cell that has the separator in it"
	}
	p.faults = append(p.faults, fault{message: fmt.Sprintf("the row has %s, the headings %d; expected %s", said, headings, expected)})
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
