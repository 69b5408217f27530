package sheet

// This file opens a sheet: it finds the columns, and says why a sheet as a whole cannot be read.

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
)

// start opens the file, reads the headings and reads ahead.
func (r *Reader) start(in io.Reader) *Problem {
	if r.opts.By != "" {
		by, f := methodOf(&r.opts, r.opts.By)
		if f != nil {
			return f.problem(0)
		}
		r.opts.By = by
	}
	r.parser = r.NewParser()
	source, t := cells.Open(r.name, in, r.opts.caps.unpacked)
	if t != nil {
		return r.trouble(t)
	}
	r.source = source
	r.csv, _ = source.(*cells.CSV)
	if _, ok := source.(*cells.JSONLines); ok {
		r.columns, r.unknown = map[string]int{}, map[string]bool{}
		r.head = newHead(r.name, nil, &r.opts, 0)
	} else if p := r.findHeadings(); p != nil {
		return p
	}
	r.gather()
	return r.whole()
}

// headingRows is how many rows from the top may hold the headings.
const headingRows = 20

// headingRow is a row that may be the one of the headings.
type headingRow struct {
	columns []column
	row     int      // 0 behind the last row
	damage  *Problem // a cell of it has no value
}

// findHeadings takes rows from the top until one names a column of clubs. Those above are passed over, and counted.
func (r *Reader) findHeadings() *Problem {
	var first *Problem // what is wrong with the first row
	for {
		h, p := r.heading()
		clubs := func(c column) bool { return c.role == clubColumn || c.role == kindColumn }
		switch {
		case h.row == 0 && (first == nil || r.source.Trouble() != nil):
			return p
		case p == nil && h.row <= headingRows && slices.ContainsFunc(h.columns, clubs):
			return r.headings(h)
		case p == nil:
			p = h.clubless()
		}
		first = cmp.Or(first, p)
		if h.row == 0 || h.row >= headingRows {
			return first
		}
		r.aside.Skipped++
	}
}

// divide finds what divides the cells of the text, by which of them gives the most columns of the next row that are
// known. It is false where a quote in that row is not closed.
func (r *Reader) divide() bool {
	best, width, closed := 0, 0, true
	for _, comma := range cells.Dividers {
		row := r.csv.Ahead(comma)
		if row == nil {
			return true
		}
		closed = closed && row.Flaw == sound
		find, known := resolver{r.opts.Schema, comma != ','}, 0
		for _, c := range row.Cells {
			if find.column(c.Text).role != unknown {
				known++
			}
		}
		if known > best || known == best && len(row.Cells) > width {
			best, width, r.csv.Comma = known, len(row.Cells), comma
		}
	}
	return closed || best > 0
}

// heading reads a row as headings.
func (r *Reader) heading() (h headingRow, p *Problem) {
	closed := r.csv == nil || r.divide()
	row := r.source.Next()
	if row == nil {
		if t := r.source.Trouble(); t != nil {
			return h, r.trouble(t)
		}
		return h, &Problem{Message: "the sheet is empty; expected a row that names the columns, then one club a row"}
	}
	h.row = row.Number
	switch {
	case row.Flaw == cells.TooLong:
		p = &Problem{Row: row.Number, Message: "the first row is longer than 64 KiB; expected the names of the columns"}
		return h, p
	case row.Flaw != sound || !closed:
		const message = "a quotation mark in the first row is not closed; expected the names of the columns"
		return h, &Problem{Row: row.Number, Message: message}
	}
	h.columns = make([]column, row.Cells[len(row.Cells)-1].Column+1)
	find := resolver{r.opts.Schema, r.decimalComma()}
	for _, c := range row.Cells {
		if c.Sort != cells.Text && h.damage == nil {
			h.damage = &Problem{Row: row.Number, Message: damage(c.Sort, c.Text)}
		}
		h.columns[c.Column] = find.column(c.Text)
	}
	return h, nil
}

// decimalComma reports whether a comma in a figure is a decimal point.
func (r *Reader) decimalComma() bool { return r.csv != nil && r.csv.Comma != ',' }

// headings takes the row of headings.
func (r *Reader) headings(h headingRow) *Problem {
	if h.damage != nil {
		return h.damage
	}
	twice := settle(h.columns)
	for _, c := range h.columns {
		if c.fault != nil {
			return c.fault.problem(h.row)
		}
	}
	if twice != nil {
		return twice.problem(h.row)
	}
	r.head = newHead(r.name, h.columns, &r.opts, h.row)
	if r.csv != nil {
		r.csv.Width = len(h.columns)
		r.head.form = r.csv.Form
	}
	for _, c := range h.columns {
		r.leaveAside(c, h.row)
	}
	return nil
}

// leaveAside notes a column that nothing is read from.
func (r *Reader) leaveAside(c column, row int) {
	if c.role > aside || c.heading == "" {
		return
	}
	near := c.instead
	if near == "" {
		if near = (resolver{schema: r.opts.Schema}).near(c.heading); near != "" {
			message := "the column %s is not known and was not used; did you mean %s?"
			r.warnings = append(r.warnings, Problem{File: r.name, Row: row, Column: shown(c.heading), Hint: near,
				Message: fmt.Sprintf(message, diag.Quote(c.heading), near)})
		}
	}
	r.unused(asRead(c.heading), near, row)
}

// unused notes a column that nothing is read from.
func (r *Reader) unused(column, near string, row int) {
	at := club.Row{File: r.name, Row: row}
	r.aside.Unused = append(r.aside.Unused, club.Unused{Row: at, Column: column, Nearest: near})
}

// clubless is the problem of headings none of which names a club.
func (h *headingRow) clubless() *Problem {
	p := &Problem{Row: h.row, Message: "none of the first 20 rows names a column club (or kind); " +
		"expected a row of headings, and a club in each row below it, as in driver, 3w, 7i or PW"}
	clubFound := false
	for _, c := range h.columns {
		if near, ok := diag.Nearest(plainName(c.heading), []string{"club", "kind"}); ok {
			p.Column, p.Hint = c.heading, near
		}
		if n := nameOf(c.heading); !clubFound && c.heading != "" && n.fault == nil {
			clubFound = true
			p.Message = "the first row is a club, " + diag.Quote(c.heading) + ", not the names of the columns; " +
				"expected names such as id, club, length, by above it"
		}
	}
	return p
}

// whole looks over the sheet after reading ahead.
func (r *Reader) whole() *Problem {
	switch h := r.head; {
	case r.problem != nil:
		return r.problem
	case r.rowsRead == 0 && !r.opts.Begun:
		message := "the sheet has no clubs; expected one club a row below the names of the columns"
		return &Problem{Row: h.row, Message: message}
	case r.sawLength && !r.sawMethod && r.opts.By == "":
		p := &Problem{Row: h.row, Message: "the sheet has lengths but does not say how they were measured; " +
			"expected the method in a column by, or --by METHOD for all of them"}
		if r.opts.Standard != nil {
			p.Message = strings.Replace(p.Message, "--by", "--order-by", 1)
		}
		if h.length >= 0 {
			p.Column = h.columns[h.length].heading
		}
		return p
	}
	return nil
}
