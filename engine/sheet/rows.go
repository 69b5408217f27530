package sheet

// This file takes rows as they are cut: it finds the set that a row is of, and has its cells wait until they are read.
// A row of CSV waits as text, any other with those of its cells packed that are in known columns.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
)

const (
	manyNames   = 1000 // names, in all spellings, that the objects of a sheet may have between them
	manyUnknown = 100  // unknown names that are looked at, to warn of slips
)

// rawRow is a row of the sheet that is not yet read.
type rawRow struct {
	row   int32
	fault flaw
	text  string // the cells
}

// line is a row of the sheet with what is known of it at once.
type line struct {
	rawRow
	set   string // the name of its set
	noSet bool   // its set cannot be read; set is empty where the row names none
}

// next returns the next row that is not blank; false at the end of the sheet, or where it cannot be read on.
func (r *Reader) next() (l line, ok bool) {
	var row *cells.Row
	if r.csv != nil {
		row = r.csv.NextText()
	} else {
		row = r.source.Next()
	}
	if row == nil {
		return l, false
	}
	l.row, l.fault = int32(row.Number), row.Flaw
	if r.csv != nil {
		r.textLine(&l, row)
	} else {
		r.packedLine(&l, row)
	}
	r.checkSet(&l)
	if l.set != "" && !r.sawSet {
		r.sawSet, r.lost = true, r.rowsRead // rows above may be of any set
	}
	r.rowsRead++
	return l, true
}

// textLine takes a row of CSV, of which only those cells are cut that are needed at once.
func (r *Reader) textLine(l *line, row *cells.Row) {
	h := r.head
	most := h.set + 1
	if h.length >= 0 && !r.sawMethod && r.opts.By == "" || h.headless > len(r.stray) {
		most = cells.All
	}
	r.cells = r.csv.Cut(r.cells[:0], row.Text, row.Flaw, most)
	l.text = row.Text
	l.noSet = h.set >= len(r.cells) || h.set > 0 && row.Flaw == sound && !r.csv.Whole(row.Text)
	for i, text := range r.cells[:min(len(r.cells), len(h.columns))] {
		r.notice(l, &cells.Cell{Column: i, Text: text})
	}
}

// packedLine takes a row of another format, and packs those of its cells that are read.
func (r *Reader) packedLine(l *line, row *cells.Row) {
	packed, size := r.packed[:0], 0
	l.noSet = row.Flaw != sound
	for _, c := range row.Cells {
		if r.columns != nil {
			var room bool
			if c.Column, room = r.columnOf(c.Name, row.Number); !room {
				l.fault, l.noSet = manyNamed, true
				break
			}
			if c.Column < 0 || r.beside(row, c.Column) {
				continue
			}
		}
		if !r.notice(l, &c) {
			continue
		}
		if size += len(c.Text); size > cells.MaxRow {
			if l.fault == sound {
				l.fault = cells.TooLong
			}
			break
		}
		packed = pack(packed, &c)
	}
	r.packed, l.text = packed, string(packed)
}

// notice takes notice of a cell, and of what it says of its row. It is false where nothing is read from the cell.
func (r *Reader) notice(l *line, c *cells.Cell) bool {
	h := r.head
	if c.Column >= len(h.columns) || h.columns[c.Column].heading == "" {
		if c.Text != "" {
			r.noteStray(c.Column, int(l.row))
		}
		return false
	}
	col := &h.columns[c.Column]
	if col.role == unknown {
		return false
	}
	if col.fit(c); c.Sort == cells.Text && c.Text == "" {
		return false
	}
	switch col.role {
	case setColumn:
		l.noSet = l.noSet || l.set != "" || c.Sort != cells.Text
		l.set = c.Text
	case byColumn:
		r.sawMethod = r.sawMethod || !catalogue.NotMeasured(c.Text)
	case propertyColumn:
		r.sawLength = r.sawLength || c.Column == h.length && r.hasLength(c.Text)
	}
	return true
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
	r.unused(cells.ColumnName(at)+" (no heading)", "", row)
}

// checkSet refuses the name of a set that cannot be printed, or is what a spreadsheet left in the place of one.
func (r *Reader) checkSet(l *line) {
	switch {
	case !l.noSet && l.set == r.lastSet:
	case l.noSet, catalogue.NotMeasured(l.set):
		l.set = ""
	case len(l.set) > cells.MaxRow || !cells.Printable(l.set) || spreadsheetFault(l.set) != nil:
		l.set, l.noSet = "", true
		if l.fault == sound {
			l.fault = oddSetName
		}
	default:
		r.lastSet = strings.Clone(l.set)
	}
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
	case c.role != unknown && n < manyNames:
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
func (r *Reader) beside(row *cells.Row, at int) bool {
	col := &r.head.columns[at]
	if col.own {
		return false
	}
	for _, c := range row.Cells {
		at, _ := r.columnOf(c.Name, row.Number)
		if at < 0 || !r.head.columns[at].own || !r.head.columns[at].same(col) || c.Sort == cells.Text && c.Text == "" {
			continue
		}
		if !r.unknown[col.heading] && len(r.unknown) < manyUnknown {
			r.unknown[col.heading] = true
			r.leaveAside(column{heading: col.heading, instead: r.head.columns[at].heading}, row.Number)
		}
		return true
	}
	return false
}

// packedHead is how many bytes of a packed cell are before its text: its column, its sort and the size of the text.
const packedHead = 6

// pack appends a cell to a packed row.
func pack(row []byte, c *cells.Cell) []byte {
	size := len(c.Text)
	row = append(row, byte(c.Column), byte(c.Column>>8), byte(c.Sort), byte(size), byte(size>>8), byte(size>>16))
	return append(row, c.Text...)
}

// unpack fills p.cells with those of a row.
func (p *Parser) unpack(h *head, row rawRow) {
	if h.form.Comma != 0 {
		p.cut(h, row)
		return
	}
	p.cells = append(p.cells[:0], make([]string, len(h.columns))...)
	p.packed = p.packed[:0]
	for rest := row.text; rest != ""; {
		at, sort := int(rest[0])|int(rest[1])<<8, cells.Sort(rest[2])
		end := packedHead + (int(rest[3]) | int(rest[4])<<8 | int(rest[5])<<16)
		text := rest[packedHead:end]
		rest = rest[end:]
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
			message := "the value of " + col.shown() + " is made up of other values; expected " + col.wanted()
			p.fault(col, text, message, "")
		default:
			p.cells[at] = text
		}
	}
}

// cut fills p.cells with those of a row of CSV. A fault of the row as a whole is told before one of its width.
func (p *Parser) cut(h *head, row rawRow) {
	p.cells = h.form.Cut(p.cells[:0], row.text, row.fault, cells.All)
	n, headings := len(p.cells), len(h.columns)
	for len(p.cells) < headings {
		p.cells = append(p.cells, "")
	}
	p.cells = p.cells[:headings]
	if n == headings || row.fault.Broken() {
		return
	}
	if row.fault == sound {
		p.miscounted(n, headings)
	}
	for i, col := range h.columns { // which cell is missing nobody knows; what is first is still likely the club
		if col.role < idColumn || col.role > kindColumn {
			p.cells[i] = ""
		}
	}
}

// miscounted notes that a row has n cells under more or fewer headings.
func (p *Parser) miscounted(n, headings int) {
	said, expected := strconv.Itoa(n)+" cells", "as many, the empty ones too"
	if n == 1 {
		said = "1 cell"
	}
	if n > headings {
		expected = "as many as there are headings, and quotation marks around a cell that has the separator in it"
	}
	message := fmt.Sprintf("the row has %s, the headings %d; expected %s", said, headings, expected)
	p.faults = append(p.faults, fault{message: message})
}
