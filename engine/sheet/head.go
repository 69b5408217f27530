package sheet

// This file finds what the columns of a sheet mean, from their headings.

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// role is what a column is for. The zero value is that of a column which nobody knows.
type role uint8

const (
	unknown   role = iota
	aside          // another column is read in its place, but a figure that differs is doubtful
	whoColumn      // this one and the next travel along as they are
	noteColumn
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
	"on": onColumn, "setting": settingColumn, "who": whoColumn, "note": noteColumn,
}

// column is one column of a sheet.
type column struct {
	heading  string // as the sheet has it, trimmed
	role     role
	own      bool               // the heading is the column's own name, not another one
	instead  string             // of a column that is left aside: the name of the one that is read in its place
	property catalogue.Property // of a propertyColumn
	format   unit.CellFormat    // of a numeric property
	member   bool               // the heading is the name of a member of JSON lines
	fault    *fault             // what is wrong with the name that a JSON line gives its member
}

// head is the columns of a sheet. It never changes once rows are cut by it.
type head struct {
	columns []column
	sheet   *club.Sheet
	row     int // the row of the headings; 0 where each row has its own

	form cells.Form // of CSV; it says how a row that waits is cut

	set, length int      // indexes of columns; -1 if there is none
	measured    []int    // the columns of numeric properties
	headless    int      // how many columns have no heading
	beside      [][2]int // of numeric properties the columns that are left aside, and those read in their place
}

// newHead returns the head of columns for the file.
func newHead(file string, columns []column, o *Options, row int) *head {
	h := &head{columns: columns, row: row, set: -1, length: -1,
		sheet: &club.Sheet{File: file, Headings: make([]string, o.Schema.Len()), Table: row > 0}}
	if o.Order != nil {
		h.sheet.Order = o.Order.sheet
	}
	for i, c := range columns {
		if c.heading == "" {
			h.headless++
		}
		switch c.role {
		case setColumn:
			h.set = i
		case aside:
			own := func(b column) bool { return b.role == propertyColumn && b.property.ID == c.property.ID }
			if k := slices.IndexFunc(columns, own); k >= 0 && c.property.Sort.Numeric() {
				h.beside = append(h.beside, [2]int{i, k})
			}
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

// find returns the index of the first column of the role, -1 if there is none.
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

// column returns the column of a heading such as "length (in)". A heading that names
// nothing known gives an unknown column.
func (r resolver) column(heading string) column {
	heading = strings.TrimSpace(heading)
	c := column{heading: heading}
	if bare, ok := strings.CutSuffix(heading, "°"); ok {
		heading = bare + " °"
	}
	name, u, divided := heading, "", 0
	closed := func(i int) bool { return strings.HasSuffix(heading, map[byte]string{'(': ")", '[': "]"}[heading[i]]) }
	if i := strings.LastIndexAny(heading, "(["); i > 0 && closed(i) {
		name, u = heading[:i], heading[i+1:len(heading)-1]
	} else if i := strings.LastIndexByte(heading, ','); i > 0 {
		divided = i
	} else if i := strings.LastIndexAny(heading, " _-"); i > 0 && !r.resolve(&c, name) {
		if last := heading[i+1:]; unitOf(last) != nil || unit.Suggest(last) != "" {
			divided = i
		}
	}
	if divided > 0 {
		if !r.resolve(&c, heading[:divided]) || !c.property.Sort.Numeric() {
			return column{heading: c.heading}
		}
		name, u = heading[:divided], heading[divided+1:]
	}
	if !r.resolve(&c, name) || c.role != propertyColumn || !c.property.Sort.Numeric() {
		return c
	}
	c.format = unit.CellFormat{Dim: c.property.Sort.Dim(), DecimalComma: r.comma}
	if u = strings.Join(strings.Fields(u), " "); u == "" {
		if named := unitOf(name); named != nil && named.Dim == c.format.Dim { // as of cpm
			c.format.Unit = named
		}
		return c
	}
	c.format.Unit = unitOf(u)
	switch {
	case c.format.Unit == nil:
		hint := unit.Suggest(u)
		if hint != "" {
			hint = c.property.Name + " (" + hint + ")"
		}
		form := "the heading %s has a unit that is not known, %s; expected one such as in, mm, deg, g, oz or cpm"
		c.fault = &fault{column: c.heading, read: u, hint: hint,
			message: fmt.Sprintf(form, diag.Quote(heading), diag.Quote(u))}
	case c.format.Unit.Dim != c.format.Dim:
		c.fault = &fault{column: c.heading, read: u, hint: c.property.Name,
			message: fmt.Sprintf("the heading %s has the unit %s, which is %s, but %s is for %s",
				diag.Quote(heading), u, c.format.Unit.Dim.Article(), c.property.Name, c.format.Dim.Article())}
		if base := unit.Base(c.format.Dim).Name; base != "" {
			c.fault.hint += " (" + base + ")"
		}
	}
	return c
}

// resolve gives the column the role of its name, its own or another one; false where the name is not known.
func (r resolver) resolve(c *column, name string) bool {
	key := catalogue.Heading(name)
	if c.own = r.named(c, key); c.own {
		return true
	}
	own, ok := catalogue.OwnName(key)
	return ok && r.named(c, catalogue.Heading(own))
}

// named gives the column the role of its own name.
func (r resolver) named(c *column, key string) bool {
	if is, ok := roles[key]; ok && is >= idColumn {
		c.role = is
		return true
	}
	for _, name := range r.schema.Names() {
		if catalogue.Heading(name) == key {
			c.role = propertyColumn
			c.property, _ = r.schema.Lookup(name)
			return true
		}
	}
	c.role = roles[key]
	return c.role != unknown
}

// near returns the column whose name is closest to a heading that nobody knows; "" where none is close.
func (r resolver) near(heading string) string {
	if i := strings.IndexAny(heading, "([,"); i > 0 {
		heading = heading[:i]
	}
	names, own := []string(nil), map[string]string{}
	add := func(name, of string) {
		key := catalogue.Heading(name)
		names, own[key] = append(names, key), of
	}
	for _, name := range append(catalogue.Columns(), r.schema.Names()...) {
		add(name, name)
	}
	for _, name := range catalogue.OtherNames() {
		if of, _ := catalogue.OwnName(name); own[catalogue.Heading(of)] != "" && !strings.Contains(name, " ") {
			add(name, of)
		}
	}
	key := catalogue.Heading(heading)
	near, ok := diag.Nearest(key, names)
	if rest, longer := strings.CutPrefix(key, near); !ok || longer && len(rest) > 2 { // the club's maker is not a club
		return ""
	}
	return own[near]
}

// settle leaves those columns aside that are beside one which has the name of its own, and returns the fault of a
// sheet in which two columns mean the same.
func settle(columns []column) *fault {
	for i := range columns {
		c := &columns[i]
		for k := range columns {
			if b := &columns[k]; c.role >= idColumn && !c.own && b.own && b.same(c) {
				*c = column{heading: c.heading, role: aside, instead: b.heading, property: c.property, format: c.format}
			}
		}
	}
	for i, c := range columns {
		for _, b := range columns[:i] {
			if c.role < idColumn || !b.same(&c) {
				continue
			}
			f := &fault{column: c.heading, read: c.heading}
			one, other := diag.Quote(b.heading), diag.Quote(c.heading)
			switch {
			case !c.own:
				f.hint = c.means()
				form := "the columns %s and %s can both mean %s; rename the one that does to %[3]s"
				f.message = fmt.Sprintf(form, one, other, f.hint)
			case b.heading != c.heading:
				f.message = fmt.Sprintf("the columns %s and %s mean the same; expected each name once", one, other)
			default:
				f.message = fmt.Sprintf("the column %s is there twice; expected each name once", other)
			}
			return f
		}
	}
	return nil
}

// means is the own name of a column; "" where nobody knows it.
func (c *column) means() string {
	for name, is := range roles {
		if is == c.role {
			return name
		}
	}
	return c.property.Name
}

// unitOf returns the unit that a heading names, as people write it; nil if there is none.
func unitOf(name string) *unit.Unit {
	name = strings.TrimSuffix(name, ".")
	if u := unit.Lookup(name); u != nil {
		return u
	}
	if typed := unit.Typed(name); typed != "" {
		return unit.Lookup(typed)
	}
	return nil
}

// plainName is a heading as the schema spells names: lower case, hyphens for blanks and underscores.
func plainName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool {
		return unicode.IsSpace(c) || c == '_' || c == '-'
	}), "-")
}
