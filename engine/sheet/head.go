package sheet

// This file finds what the columns of a sheet mean, from their headings.

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// role is what a column is for. The zero value travels along unread.
type role uint8

const (
	ignored role = iota
	idColumn
	setColumn
	clubColumn
	kindColumn
	byColumn
	onColumn
	settingColumn
	propertyColumn
)

var roles = map[string]role{
	"id": idColumn, "set": setColumn, "club": clubColumn, "kind": kindColumn, "by": byColumn,
	"on": onColumn, "setting": settingColumn, "who": ignored, "note": ignored,
}

// column is one column of a sheet.
type column struct {
	heading  string // as the sheet has it, trimmed
	role     role
	property catalogue.Property // of a propertyColumn
	format   unit.CellFormat    // of a numeric property
	fault    *fault             // what is wrong with the name that a JSON line gives its member
}

// head is the columns of a sheet. It never changes once rows are cut by it.
type head struct {
	columns []column
	sheet   *club.Sheet
	comma   byte // what divides the cells of a row; 0 where they are packed (rows.go)
	row     int  // the row of the headings; 0 where each row has its own

	set, by, length int   // indexes of columns; -1 where there is none
	measured        []int // the columns of numeric properties
	declared        []int // the columns of lengths that a book declares with their method
}

// newHead returns the head of columns for the file.
func newHead(file string, columns []column, schema *catalogue.Schema, comma byte, row int) *head {
	h := &head{columns: columns, comma: comma, row: row, set: -1, by: -1, length: -1,
		sheet: &club.Sheet{File: file, Headings: make([]string, schema.Len())}}
	for i, c := range columns {
		switch c.role {
		case setColumn:
			h.set = i
		case byColumn:
			h.by = i
		case kindColumn:
			h.sheet.Headings[catalogue.KindID] = c.heading
		case propertyColumn:
			h.sheet.Headings[c.property.ID] = c.heading
			if c.property.ID == catalogue.LengthID {
				h.length = i
			}
			if c.property.Sort.Numeric() {
				h.measured = append(h.measured, i)
			}
			if c.property.Method != "" {
				h.declared = append(h.declared, i)
			}
		}
	}
	if i := h.find(clubColumn); i >= 0 && h.find(kindColumn) < 0 {
		h.sheet.Headings[catalogue.KindID] = columns[i].heading
	}
	return h
}

// same reports whether two columns mean the same.
func (c *column) same(d *column) bool {
	return c.role == d.role && (c.role != propertyColumn || c.property.ID == d.property.ID)
}

// shown is the heading as a message shows it.
func (c *column) shown() string { return diag.Quote(c.heading) }

// wanted says what a cell of the column holds.
func (c *column) wanted() string {
	if c.role == propertyColumn && c.property.Sort.Numeric() {
		return c.format.Dim.Article() + ", or a list of them in brackets"
	}
	return "a text"
}

// find returns the index of the first column of the role, -1 where there is none.
func (h *head) find(r role) int {
	return slices.IndexFunc(h.columns, func(c column) bool { return c.role == r })
}

// first returns the first column that has one of the roles, the earlier role first.
func (h *head) first(roles ...role) *column {
	for _, r := range roles {
		if i := h.find(r); i >= 0 {
			return &h.columns[i]
		}
	}
	return &column{heading: "club"}
}

// resolver finds the meaning of headings.
type resolver struct {
	schema *catalogue.Schema
	comma  bool // a comma is a decimal point too
}

// names returns every name that a column may have.
func (r resolver) names() []string { return append(catalogue.Columns(), r.schema.Names()...) }

// column returns the column of a heading such as "length (in)". A heading that names
// nothing known gives an ignored column.
func (r resolver) column(heading string) column {
	heading = strings.TrimSpace(heading)
	c := column{heading: heading}
	name, u := heading, ""
	if i := strings.LastIndexAny(heading, "(["); i > 0 && strings.HasSuffix(heading, string(")]"[strings.IndexByte("([", heading[i])])) {
		name, u = heading[:i], heading[i+1:len(heading)-1]
	} else if i := strings.LastIndexByte(heading, ','); i > 0 {
		if !r.resolve(&c, heading[:i]) || !c.property.Sort.Numeric() {
			return column{heading: heading}
		}
		name, u = heading[:i], heading[i+1:]
	} else if !r.resolve(&c, name) {
		if i := strings.LastIndexAny(heading, " _-"); i > 0 && (unitOf(heading[i+1:]) != nil || unit.Suggest(heading[i+1:]) != "") {
			if !r.resolve(&c, heading[:i]) || !c.property.Sort.Numeric() {
				return column{heading: heading}
			}
			name, u = heading[:i], heading[i+1:]
		}
	}
	if !r.resolve(&c, name) || c.role != propertyColumn || !c.property.Sort.Numeric() {
		return c
	}
	c.format = unit.CellFormat{Dim: c.property.Sort.Dim(), DecimalComma: r.comma}
	if u = strings.Join(strings.Fields(u), " "); u == "" {
		return c
	}
	c.format.Unit = unitOf(u)
	switch {
	case c.format.Unit == nil:
		hint := unit.Suggest(u)
		if hint != "" {
			hint = c.property.Name + " (" + hint + ")"
		}
		c.fault = &fault{heading, u, fmt.Sprintf("the heading %s has a unit that is not known, %s; expected one such as in, mm, deg, g, oz or cpm", diag.Quote(heading), diag.Quote(u)), hint}
	case c.format.Unit.Dim != c.format.Dim:
		c.fault = &fault{heading, u, fmt.Sprintf("the heading %s has the unit %s, which is %s, where %s holds %s", diag.Quote(heading), u, c.format.Unit.Dim.Article(),
			c.property.Name, c.format.Dim.Article()), c.property.Name}
		if base := unit.Base(c.format.Dim).Name; base != "" {
			c.fault.hint += " (" + base + ")"
		}
	}
	return c
}

// resolve gives the column the role of its name; false where the name is not known.
func (r resolver) resolve(c *column, name string) bool {
	key := plainName(name)
	if role, ok := roles[key]; ok {
		c.role = role
		return true
	}
	p, ok := r.schema.Lookup(key)
	if !ok {
		squeezed := strings.ReplaceAll(key, "-", "")
		for _, n := range r.schema.Names() {
			if strings.ReplaceAll(n, "-", "") == squeezed {
				p, ok = r.schema.Lookup(n)
				break
			}
		}
	}
	if !ok {
		p, ok = r.schema.Lookup(catalogue.OtherNames[key])
	}
	if ok {
		c.role, c.property = propertyColumn, p
	}
	return ok
}

// warning returns what is to be said of a column that nobody knows but that is
// close to a known one; false where there is nothing.
func (r resolver) warning(c column) (Problem, bool) {
	name := c.heading
	if i := strings.IndexAny(name, "([,"); i > 0 {
		name = name[:i]
	}
	key := plainName(name)
	if c.role != ignored || key == "" || key == "who" || key == "note" {
		return Problem{}, false
	}
	near, ok := diag.Nearest(key, r.names())
	if !ok {
		return Problem{}, false
	}
	return Problem{Column: c.heading, Hint: near,
		Message: fmt.Sprintf("the column %s is not known and is left aside; is it %s?", diag.Quote(c.heading), near)}, true
}

// repeated returns the fault of a sheet in which two columns mean the same.
func repeated(columns []column) *fault {
	for i, c := range columns {
		if c.role == ignored {
			continue
		}
		for _, b := range columns[:i] {
			if !b.same(&c) {
				continue
			}
			f := &fault{column: c.heading, read: c.heading, message: fmt.Sprintf("the column %s stands twice; expected each name once", diag.Quote(c.heading))}
			if b.heading != c.heading {
				f.message = fmt.Sprintf("the columns %s and %s mean the same; expected each name once", diag.Quote(b.heading), diag.Quote(c.heading))
			}
			return f
		}
	}
	return nil
}

// unitOf returns the unit that a heading names, in whatever case; nil where there is none.
func unitOf(name string) *unit.Unit {
	if u := unit.Lookup(name); u != nil {
		return u
	}
	if s := unit.Suggest(name); strings.EqualFold(s, name) {
		return unit.Lookup(s)
	}
	return nil
}

// plainName is a heading as the schema spells names: lower case, hyphens for blanks and underscores.
func plainName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool {
		return unicode.IsSpace(c) || c == '_' || c == '-'
	}), "-")
}
