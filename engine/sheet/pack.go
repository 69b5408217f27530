package sheet

// This file holds the form in which rows of JSON Lines and of spreadsheets, which have no text
// of their own to be cut again, wait to be read: one cell after the other, each with its column.

import "encoding/binary"

// Packed cells are of one of these sorts. The zero value is a cell of text.
const (
	textCell   byte = iota
	nestedCell      // a value that no cell can hold
	twiceCell       // a second cell of a column
	// Those that follow are cells of a damaged spreadsheet.
	lostText   // its text is not there
	notNumber  // a number that is none
	notTruth   // neither yes nor no
	notDay     // a day that there is not
	notError   // an error that is none
	lostFormat // a number whose format is not there
	lostSort   // of no known sort
)

// pack appends a cell to a packed row.
func pack[T string | []byte](row []byte, column int, sort byte, text T) []byte {
	row = binary.AppendUvarint(row, uint64(column))
	row = append(row, sort)
	row = binary.AppendUvarint(row, uint64(len(text)))
	return append(row, text...)
}

// unpack fills p.cells with those of a packed row.
func (p *Parser) unpack(h *head, row string) {
	p.cells = p.cells[:0]
	for range h.columns {
		p.cells = append(p.cells, "")
	}
	for row != "" {
		var column, size int
		column, row = uvarint(row)
		sort := row[0]
		size, row = uvarint(row[1:])
		text := row[:size]
		row = row[size:]
		col := &h.columns[column]
		switch {
		case sort == twiceCell:
			p.fault(col, text, "the row has two values for "+col.shown()+"; expected each name once", "")
		case col.fault != nil:
			p.faults = append(p.faults, *col.fault)
		case sort >= lostText:
			p.fault(col, text, damage(sort, text), "")
		case sort == nestedCell:
			p.fault(col, text, "the value of "+col.shown()+" is made of other values; expected "+col.wanted(), "")
		default:
			p.cells[column] = trimmed(text)
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
