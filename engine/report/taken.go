package report

// This file tells how the lengths on the sheets were taken: bag by bag and method by method,
// and what each method is.

import (
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// lengthsTaken is how the lengths of a bag were taken; the methods are added to the counts.
func lengthsTaken(bag *club.Set, n *counts) doc.Aside {
	return func() []doc.Block {
		if table := takenTable(bag, n); table != nil {
			return []doc.Block{table}
		}
		return nil
	}
}

func takenTable(bag *club.Set, n *counts) *doc.Table {
	type row struct{ lengths, days []string }
	rows := map[string]*row{}
	var order []string
	dated := false
	for _, first := range bag.Clubs {
		for c := first; c != nil; c = c.Next {
			length, method := readAs(c)
			if length == "" {
				continue
			}
			if rows[method] == nil {
				rows[method] = &row{}
				order = append(order, method)
			}
			r := rows[method]
			r.lengths = append(r.lengths, wording.Called(c)+" "+length+takenWords(c))
			if day := wording.Visible(c.On); day != "" && !slices.Contains(r.days, day) {
				r.days, dated = append(r.days, day), true
			}
		}
	}
	if order == nil {
		return nil
	}
	n.methods = also(n.methods, order...)
	table := &doc.Table{Name: bagName(bag.Name, bag.File), Place: sheetName(bag.Name, bag.File),
		Heads: []string{"Method", "Lengths as read"}}
	if dated {
		table.Heads = append(table.Heads, "Day")
	}
	for _, method := range order {
		cells := []string{wording.Visible(method), strings.Join(rows[method].lengths, "; ")}
		if dated {
			slices.Sort(rows[method].days)
			cells = append(cells, strings.Join(rows[method].days, ", "))
		}
		table.Rows = append(table.Rows, doc.Row{Cells: cells})
	}
	return table
}

// takenWords say what a length is beyond one plain reading; nothing of a plain one.
func takenWords(c *club.Club) string {
	r := c.Reading(catalogue.LengthID)
	var notes []string
	if n := len(r.Values); n > 1 {
		notes = append(notes, "mean of "+strconv.Itoa(n)+" readings")
	}
	if r.HasHalf {
		notes = append(notes, "+/- "+unit.Amount{Base: r.Half, Unit: c.LengthUnit()}.Written()+" as stated")
	}
	if notes == nil {
		return ""
	}
	return " (" + strings.Join(notes, ", ") + ")"
}

// methodFacts say what each method is that a length on the sheets was taken by.
func (c *check) methodFacts() []doc.Fact {
	known := methodsOf(c.head.Books)
	var entries []doc.Fact
	for _, name := range c.methods {
		e := doc.Fact{Label: wording.Visible(name), Note: "a method that none of the rule books declares"}
		if m := known[name]; m != nil {
			e.Note = methodWords(m)
		}
		entries = append(entries, e)
	}
	return entries
}

// methodsOf are the methods of books and of those that they use, by name.
func methodsOf(books []*book.Book) map[string]*book.Method {
	known := map[string]*book.Method{}
	for _, b := range book.Reach(books) {
		for _, m := range b.Methods {
			if known[m.Decl.Name.Text] == nil {
				known[m.Decl.Name.Text] = m
			}
		}
	}
	return known
}

// methodWords are the title of a method and its own clauses: where it stops the head, where
// it ends, how finely it reads.
func methodWords(m *book.Method) string {
	var parts []string
	if m.Decl.Title != nil {
		parts = append(parts, wording.Visible(m.Decl.Title.Value))
	}
	if m.Decl.Stop != nil {
		parts = append(parts, wording.OneLine(m.Decl.Stop.Span))
	}
	if m.Decl.Top != nil {
		parts = append(parts, wording.OneLine(m.Decl.Top.Span))
	}
	if m.Decl.Reads != nil {
		parts = append(parts, wording.OneLine(m.Decl.Reads.Span))
	}
	return strings.Join(parts, "; ")
}
