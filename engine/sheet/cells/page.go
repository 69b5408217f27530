package cells

// This file goes through the rows of a sheet of a spreadsheet, whose cells may be merged.

import (
	"io"
	"slices"
)

// page is a sheet of a spreadsheet that is being read.
type page struct {
	*elements
	name    string
	scan    func() error // reads the next row: its number, its own cells, how often it is there; io.EOF behind the last
	cut     Row          // the last row
	repeat  int          // how often it is still to be given
	own     []Cell       // its cells, as they are stored
	any     bool         // the sheet has cells
	stopped *Trouble
	areas   []area // that are merged and begin below the last row, the upper ones first
	current []area // that hold a cell of the last row
}

// area is several cells that are merged. What they show is in the first one.
type area struct {
	left, top, right, bottom int // columns from 0, rows from 1
	first                    Cell
}

// Trouble returns what kept the sheet from being read to its end; nil where nothing did.
func (p *page) Trouble() *Trouble { return p.stopped }

// Next returns the next row that is not blank.
func (p *page) Next() *Row {
	for p.stopped == nil {
		if p.repeat > 0 {
			p.cut.Number++
		} else {
			p.own = p.own[:0]
			switch err := p.scan(); {
			case err == io.EOF && p.any:
				return nil
			case err == io.EOF:
				p.stopped = &Trouble{Kind: EmptySheet, Read: p.name}
				return nil
			case err != nil:
				p.stopped = p.trouble(p.cut.Number, err)
				return nil
			}
		}
		p.repeat--
		switch {
		case len(p.own) == 0:
			p.cut.Number, p.repeat = p.cut.Number+p.repeat, 0
		case p.cut.Number > mostRows:
			p.stopped = &Trouble{Kind: ManyRows, Row: p.cut.Number}
		default:
			p.any = true
			p.lay()
			return &p.cut
		}
	}
	return nil
}

// lay gives the row its cells: its own, and what merged cells that begin further up hold for it. A cell of its own that
// a merged one covers is marked, unless it is the same.
func (p *page) lay() {
	row := p.cut.Number
	p.current = slices.DeleteFunc(p.current, func(a area) bool { return a.bottom < row })
	for ; len(p.areas) > 0 && p.areas[0].top <= row; p.areas = p.areas[1:] {
		if a := p.areas[0]; a.bottom >= row {
			p.current = append(p.current, a)
		}
	}
	p.cut.Cells = append(p.cut.Cells[:0], p.own...)
	for i := range p.current {
		a := &p.current[i]
		found := false
		for k := range p.cut.Cells {
			c := &p.cut.Cells[k]
			switch {
			case c.Column < a.left || c.Column > a.right:
			case c.Column == a.left && a.top == row:
				c.Merged = a.bottom > a.top
				a.first, found = *c, true
			case c.Column == a.left && c.Text == a.first.Text:
				c.Sort, c.Merged, found = a.first.Sort, true, true
			default:
				c.Sort, found = Covered, found || c.Column == a.left
			}
		}
		if !found && (a.first.Text != "" || a.first.Sort != Text) {
			order := func(c Cell, column int) int { return c.Column - column }
			at, _ := slices.BinarySearchFunc(p.cut.Cells, a.left, order)
			p.cut.Cells = slices.Insert(p.cut.Cells, at, a.first)
		}
	}
}
