package report

// This file tells how the lengths on the sheets were taken: bag by bag and method by method,
// and what each method is.

import (
	"maps"
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
		lengths, days := map[string][]string{}, map[string][]string{}
		for _, first := range bag.Clubs {
			for c := first; c != nil; c = c.Next {
				length, method := readAs(c)
				if length == "" {
					continue
				}
				n.methods = also(n.methods, method)
				lengths[method] = append(lengths[method], wording.Called(c)+" "+length+takenWords(c))
				if c.On != "" {
					days[method] = also(days[method], wording.Visible(c.On))
				}
			}
		}
		table := &doc.Table{Name: bagName(bag.Name, bag.File), Place: sheetName(bag.Name, bag.File),
			Heads: []string{"Method", "Lengths as read", "Day"}}
		for _, method := range slices.Sorted(maps.Keys(lengths)) {
			slices.Sort(days[method])
			table.Rows = append(table.Rows, doc.Row{Cells: []string{wording.Visible(method),
				strings.Join(lengths[method], "; "), strings.Join(days[method], ", ")}})
		}
		if table.Rows == nil {
			return nil
		}
		return []doc.Block{table}
	}
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
