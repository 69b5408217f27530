package sheet

// This file makes clubs of the raw rows of a set.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Parser reads raw sets into clubs. It is for one goroutine; Reader.NewParser gives one.
type Parser struct {
	opts      Options
	cells     []string
	values    []float64            // room for the readings of a cell
	packed    []int                // of a packed row: the columns that it has values in
	faults    []fault              // of the row that is being read, for which it is refused
	unread    []fault              // and of those of its cells that nothing asks for
	name      string               // what its row has for the club
	kind      string               // and for its kind
	lengths   []lengthCell         // of the row that is being read: those whose method the column by names
	by        bool                 // the row names a method, known or not
	off       []relative           // of an order: its figures that are relative to a standard
	named     map[string]*clubName // club cells seen before, and an empty one
	free      []*club.Club
	placed    []placed
	firsts    map[string]int // where in placed an id is first, by its key, counted from 1
	settings  map[spot]int   // the same of an id at a setting
	run       bool           // the rows in hand are a run of a set that is not given whole
	heavy     bool           // because of its bytes
	rows      []rawRow       // of the set in hand
	collected bool           // whether stated is that of the set in hand, which it is once a row has no id
	statedIDs map[string]struct{}
	firstFree map[string]int // by a club's text, where it is a row's id: what others are numbered from, less one
}

// lengthCell is a length as it was read.
type lengthCell struct {
	column *column
	read   string
}

// remembered bounds the names that a Parser keeps.
const remembered = 4096

// mostAgain is how many of the refused rows that an earlier set brought go with each further set. Where there
// are more, each of those that go counts as a club of which nothing is known.
const mostAgain = 64

// Parse reads raw into s. What s held before is lost, and its memory used again: the caller must no longer use its
// clubs, while those of its refused rows stay as they are.
func (p *Parser) Parse(raw RawSet, s *club.Set) {
	for _, c := range s.Clubs {
		for c != nil {
			next := c.Next
			p.free = append(p.free, c)
			c = next
		}
	}
	file := raw.head.sheet.File
	*s = club.Set{Name: raw.name, File: file, Clubs: s.Clubs[:0], Refused: s.Refused[:0], Aside: raw.aside}
	p.forget()
	p.rows, p.run, p.heavy = raw.rows, raw.run > 0, raw.heavy
	if s.Part = raw.run; p.run {
		s.Large = p.tooLarge(raw.heavy)
		if raw.name == "" {
			s.Large += " (is a column set missing?)"
		}
	}
	for _, row := range raw.rows {
		c, ok := p.club(raw.head, row)
		s.NotRead = append(s.NotRead, badCells(raw.name, c, p.unread)...)
		if !p.place(raw.head, s, c, ok) {
			s.Refused = append(s.Refused, p.refusal(raw.name, c))
			continue
		}
		s.Rows++
	}
	p.addUnassigned(raw, s)
	if raw.ordered != nil {
		raw.ordered.pair(s)
	}
}

// addUnassigned gives s the rows whose set cannot be read.
func (p *Parser) addUnassigned(raw RawSet, s *club.Set) {
	old := raw.refused[:len(raw.refused)-raw.fresh]
	for i := range old[:min(len(old), mostAgain)] {
		f := old[i]
		f.Again = true
		if f.Many = len(old) > mostAgain; f.Many {
			f.Club = new(club.Club)
			f.Club.Reset(p.opts.Schema.Len())
			f.Club.Loose = true
		}
		s.Refused = append(s.Refused, f)
	}
	s.Refused = append(s.Refused, raw.refused[len(old):]...)
}

// withoutSet reads a row that is refused because its set is not known. The cells that nothing asks for are in p.unread.
func (p *Parser) withoutSet(h *head, row rawRow) club.Refusal {
	c, _ := p.club(h, row)
	missing := p.flaw(h, noSetName)
	told := func(f fault) bool { return f.column == "" || f.column == missing.column }
	if row.fault == sound && !slices.ContainsFunc(p.faults, told) {
		p.faults = slices.Insert(p.faults, 0, missing)
	}
	return p.refusal("", c)
}

// club makes a club of a row; false where p.faults says why it is refused.
func (p *Parser) club(h *head, row rawRow) (*club.Club, bool) {
	p.faults, p.unread = p.faults[:0], p.unread[:0]
	p.lengths, p.by, p.name, p.kind = p.lengths[:0], false, "", ""
	c := p.empty(h, int(row.row))
	p.unpack(h, row)
	if row.fault != sound {
		p.faults = append(p.faults, p.flaw(h, row.fault))
	}
	for i, s := range p.cells {
		if s == "" {
			continue
		}
		col := &h.columns[i]
		if !catalogue.NotMeasured(s) {
			p.cell(c, col, s)
			continue
		}
		if p.cells[i] = ""; col.role == propertyColumn && !strings.EqualFold(s, catalogue.Null) {
			c.SetOpen(col.property.ID)
		}
	}
	p.call(c, h)
	p.settle(c)
	for _, i := range h.measured {
		if p.cells[i] != "" {
			c.Weigh(&h.columns[i].property, p.cells[i])
		}
	}
	for _, b := range h.beside {
		if p.cells[b[0]] != "" && p.cells[b[1]] != "" {
			p.compare(c, &h.columns[b[0]], p.cells[b[0]], p.cells[b[1]])
		}
	}
	p.byMethod(c, h)
	return c, len(p.faults) == 0
}

// cell reads a cell that holds something.
func (p *Parser) cell(c *club.Club, col *column, s string) {
	switch col.role {
	case propertyColumn:
		bad := len(p.faults) + len(p.unread)
		if p.property(c, col, s); len(p.faults)+len(p.unread) > bad {
			c.SetOpen(col.property.ID)
		}
		if id := col.property.ID; id == catalogue.LengthID || p.opts.Target != 0 && id == p.opts.Target {
			p.lengths = append(p.lengths, lengthCell{col, s})
		}
	case clubColumn:
		p.name = s
	case kindColumn:
		p.kind = s
	case byColumn:
		m, f := methodOf(&p.opts, s)
		p.blame(col, s, f)
		c.Method, p.by = m, true
	case idColumn:
		if p.printable(col, s) {
			c.ID = s
		}
	case whoColumn:
		c.Who = s
	case noteColumn:
		c.Note = s
	case settingColumn:
		if p.printable(col, s) {
			c.Setting = s
		}
	case onColumn:
		if day, f := dayOf(s); !p.blame(col, s, f) {
			c.On = day.Format(time.DateOnly)
		}
	}
}

// empty returns an empty club for a row.
func (p *Parser) empty(h *head, row int) *club.Club {
	if len(p.free) == 0 {
		p.free = append(p.free, new(club.Club))
	}
	c := p.free[len(p.free)-1]
	p.free = p.free[:len(p.free)-1]
	c.Reset(p.opts.Schema.Len())
	c.Sheet, c.Row = h.sheet, row
	return c
}

// property reads a cell of a property.
func (p *Parser) property(c *club.Club, col *column, s string) {
	id := col.property.ID
	switch col.property.Sort {
	case catalogue.Text:
		if id == p.opts.DryBy {
			method, f := methodOf(&p.opts, s)
			p.blame(col, s, f)
			c.SetText(id, method)
		} else if id == catalogue.Hand {
			if hand := catalogue.HandOf(s); hand != "" {
				c.SetText(id, hand)
			} else {
				p.notOneOf(col, s, "left", "right")
			}
		} else if p.printable(col, s) {
			if list := col.property.Texts; list != nil && !catalogue.Listed(list, s) {
				p.notOneOf(col, s, list...)
				return
			}
			if id == catalogue.Mark {
				s = strings.ToUpper(s)
			}
			c.SetText(id, s)
		}
	case catalogue.YesNo:
		if yes, ok := truths[strings.ToLower(s)]; ok {
			c.SetAmount(id, yes)
		} else {
			p.notOneOf(col, s, "yes", "no")
		}
	case catalogue.Date:
		if day, f := dayOf(s); !p.blame(col, s, f) {
			c.SetAmount(id, float64(day.Unix()/86400))
		}
	default:
		if p.opts.Standard == nil || !p.offStandard(col, s) {
			p.quantity(c, col, s)
		}
	}
}

// compare notes a figure of a column that is left aside where it is not that of the column that is read in its place.
func (p *Parser) compare(c *club.Club, col *column, s, read string) {
	cell, err := unit.ParseCell(s, col.format)
	if n, ok := c.Amount(col.property.ID); err == nil && ok && unit.Compare(n, cell.Base) != 0 {
		d := c.NewDoubt(col.property, s, fmt.Sprintf("%s differs from %s in the column %s, which counts", diag.Quote(s),
			diag.Quote(read), col.instead), false)
		d.Column = col.heading
		c.AddDoubt(d)
	}
}

// byMethod checks that the lengths of a row have methods that cover its club.
func (p *Parser) byMethod(c *club.Club, h *head) {
	if !p.by {
		c.Method = cmp.Or(p.methodAbove(c), p.opts.By)
	}
	if len(p.lengths) == 0 {
		c.Method = ""
	}
	for _, l := range p.lengths {
		if c.Method == "" && !p.by {
			p.fault(l.column, l.read, "a length without a method; expected the method in the column by of its row", "")
		} else {
			p.covers(c, l.column, c.Method, l.read)
		}
	}
	if c.Method == "" {
		c.Unset(catalogue.LengthID)
	}
	for _, i := range h.measured { // some have a method that a rule book names once for all
		if col := &h.columns[i]; col.property.Method != "" && p.cells[i] != "" {
			p.covers(c, col, col.property.Method, p.cells[i])
		}
	}
}

// methodAbove is the method of the row above whose readings those of a club repeat; "" if there is none.
func (p *Parser) methodAbove(c *club.Club) string {
	if p.opts.SameID != Repeats || c.ID == "" {
		return ""
	}
	if i := p.first(c.ID); i >= 0 {
		for d := p.placed[i].lead; d != nil; d = d.Next {
			if catalogue.Same(d.Setting, c.Setting) {
				return d.Method
			}
		}
	}
	return ""
}

// covers checks that a method covers a club, where the club could be read.
func (p *Parser) covers(c *club.Club, col *column, method, read string) {
	if p.opts.Covers == nil || len(p.faults) > 0 || method == "" {
		return
	}
	if reason := p.opts.Covers(method, c); reason != "" {
		p.fault(col, read, reason+"; expected a length by a method that covers the club", "")
		c.Unset(col.property.ID)
	}
}
