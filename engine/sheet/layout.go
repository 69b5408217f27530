package sheet

// This file says where the columns of a sheet are, for those who write into it.

import (
	"bytes"
	"slices"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Layout is where the columns of a sheet are, and what they hold.
type Layout struct {
	cells.Frame
	Names   []string          // the own names of the columns; "" where nothing is read from one
	Formats []unit.CellFormat // of those of numeric properties
}

// Layout returns where the columns of the sheet are, whose file holds text.
func (r *Reader) Layout(text []byte) Layout {
	columns := r.head.columns
	find := resolver{r.opts.Schema, r.decimalComma()}
	l := Layout{Frame: cells.Frame{Head: r.head.row}}
	if r.csv != nil {
		l.Comma = r.csv.Comma
	}
	if l.Head == 0 { // each line has names of its own
		columns = nil
		lines, _ := cells.Open(r.name, bytes.NewReader(text), r.opts.caps.unpacked) // as it was opened before
		for row := lines.Next(); row != nil; row = lines.Next() {
			for _, c := range row.Cells {
				if !slices.ContainsFunc(columns, func(k column) bool { return k.heading == c.Name }) {
					columns = append(columns, find.column(c.Name))
				}
			}
		}
		l.Same = func(member, head string) bool {
			a, b := find.column(member), find.column(head)
			return a.role > unknown && a.means() == b.means()
		}
	}
	for i := range columns {
		l.Heads, l.Names = append(l.Heads, columns[i].heading), append(l.Names, columns[i].means())
		l.Formats = append(l.Formats, columns[i].format)
	}
	return l
}

// Find returns the column of that own name; -1 where the sheet has none.
func (l *Layout) Find(name string) int { return slices.Index(l.Names, name) }

// Named returns the property that a heading would name.
func Named(heading string, schema *catalogue.Schema) (catalogue.Property, bool) {
	c := resolver{schema: schema}.column(heading)
	return c.property, c.role == propertyColumn
}

// KindOf reads the name of a club as a cell holds it; false if it is not one.
func KindOf(text string) (kind catalogue.Kind, number int, mark string, ok bool) {
	n := nameOf(text)
	return n.kind, n.number, n.mark, n.fault == nil
}

// MethodOf returns the method of that name, in whatever case. The error says which there are.
func MethodOf(name string, o Options) (string, error) {
	m, f := methodOf(&o, name)
	if f != nil {
		return "", f.problem(0)
	}
	return m, nil
}
