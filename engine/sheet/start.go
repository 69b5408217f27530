package sheet

// This file opens a sheet: it finds the columns, and says why a sheet as a whole cannot be read.

import (
	"fmt"
	"io"
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
)

// start opens the file, reads the headings and reads ahead.
func (r *Reader) start(in io.Reader) *Problem {
	if r.opts.By != "" {
		by, f := methodOf(r.opts, r.opts.By)
		if f != nil {
			return &Problem{Read: r.opts.By, Message: f.message, Hint: f.hint}
		}
		r.opts.By = by
	}
	r.parser = r.NewParser()
	source, t := cells.Open(r.name, in, r.opts.caps.unpacked)
	if t != nil {
		return r.trouble(t)
	}
	r.source = source
	var p *Problem
	switch s := source.(type) {
	case *cells.CSV:
		r.csv = s
		p = r.csvHeadings()
	case *cells.JSONLines:
		r.columns, r.unknown = map[string]int{}, map[string]bool{}
		r.head = newHead(r.name, nil, r.opts.Schema, 0, 0)
	default:
		p = r.cellHeadings()
	}
	if p == nil && r.head.row > 0 {
		p = r.headings()
	}
	if p != nil {
		return p
	}
	if file, ok := in.(io.ReaderAt); ok && r.csv != nil && r.scout(file) {
		r.stream()
	} else {
		r.gather()
	}
	return r.whole()
}

// csvHeadings finds what divides the cells, by which of them gives the most columns that are known, and reads the headings.
func (r *Reader) csvHeadings() *Problem {
	s := r.csv
	if t := s.Trouble(); t != nil {
		return r.trouble(t)
	}
	s.SkipBlank()
	best, headings, broken := -1, []column(nil), false
	for _, comma := range cells.Dividers {
		row, ok := s.Ahead(comma)
		if !ok {
			broken = true
			continue
		}
		find := resolver{r.opts.Schema, comma != ','}
		known, columns := 0, make([]column, len(row))
		for i, heading := range row {
			columns[i] = find.column(heading)
			if columns[i].role != ignored {
				known++
			}
		}
		if known > best || known == best && len(columns) > len(headings) {
			best, headings, s.Comma = known, columns, comma
		}
	}
	row := s.Take()
	switch {
	case row == nil:
		return &Problem{Message: "the sheet is empty; expected a row that names the columns, then one club a row"}
	case row.Flaw == cells.TooLong:
		return &Problem{Row: row.Number, Message: "the first row is longer than 64 KiB; expected the names of the columns"}
	case row.Flaw != sound || best <= 0 && broken:
		return &Problem{Row: row.Number, Read: shown(string(row.Text)), Message: "a quotation mark in the first row has no end; expected the names of the columns"}
	}
	s.Width = len(headings)
	r.head = newHead(r.name, headings, r.opts.Schema, s.Comma, row.Number)
	return nil
}

// cellHeadings reads the headings of a spreadsheet.
func (r *Reader) cellHeadings() *Problem {
	row := r.source.Next()
	if row == nil {
		return r.trouble(r.source.Trouble())
	}
	find := resolver{schema: r.opts.Schema}
	columns := make([]column, row.Cells[len(row.Cells)-1].Column+1)
	for _, c := range row.Cells {
		if c.Sort != cells.Text {
			return &Problem{Row: row.Number, Read: shown(c.Text), Message: damage(c.Sort, c.Text)}
		}
		columns[c.Column] = find.column(c.Text)
	}
	r.head = newHead(r.name, columns, r.opts.Schema, 0, row.Number)
	return nil
}

// headings looks over the row of headings.
func (r *Reader) headings() *Problem {
	h := r.head
	for _, c := range h.columns {
		if c.fault != nil {
			return &Problem{Row: h.row, Column: c.heading, Read: c.fault.read, Message: c.fault.message, Hint: c.fault.hint}
		}
	}
	if f := repeated(h.columns); f != nil {
		return &Problem{Row: h.row, Column: f.column, Read: f.read, Message: f.message}
	}
	if h.find(clubColumn) < 0 && h.find(kindColumn) < 0 {
		return h.clubless()
	}
	find := resolver{schema: r.opts.Schema}
	for _, c := range h.columns {
		if w, ok := find.warning(c); ok {
			w.Row = h.row
			r.warn(w)
		}
	}
	return nil
}

// clubless is the problem of headings none of which names a club.
func (h *head) clubless() *Problem {
	p := &Problem{Row: h.row, Message: "no column is named club (or kind); expected one in the first row, whose cells say driver, 3w, 7i, PW and so on"}
	clubFound := false
	for _, c := range h.columns {
		p.Read += ", " + c.heading
		if near, ok := diag.Nearest(plainName(c.heading), []string{"club", "kind"}); ok {
			p.Column, p.Hint = c.heading, near
		}
		if n := nameOf(c.heading); !clubFound && c.heading != "" && n.fault == nil {
			clubFound = true
			p.Message = fmt.Sprintf("the first row holds a club, %s, instead of the names of the columns; expected names such as id, club, length, by above it", diag.Quote(c.heading))
		}
	}
	p.Read = shown(strings.TrimPrefix(p.Read, ", "))
	return p
}

// whole looks over the sheet after reading ahead.
func (r *Reader) whole() *Problem {
	switch h := r.head; {
	case r.problem != nil:
		return r.problem
	case r.rowsRead == 0 && r.done:
		return &Problem{Row: h.row, Message: "the sheet has no clubs; expected one club a row below the names of the columns"}
	case r.sawLength && !r.sawMethod && r.opts.By == "":
		p := &Problem{Row: h.row, Message: "the sheet has lengths and says nowhere how they were measured; expected the method in a column by, or --by METHOD once for all"}
		if h.length >= 0 {
			p.Column = h.columns[h.length].heading
		}
		return p
	}
	return nil
}
