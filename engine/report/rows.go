package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
)

// bagSection begins what is said of a bag.
func bagSection(s *club.Set) doc.Section {
	return doc.Section{Title: bagName(s.Name, s.File), Right: sheetName(s.Name, s.File), Page: true}
}

// rowSections are the sections of what is to be said of the rows and columns of a sheet.
func rowSections(n *data.Notes) []doc.Block {
	return slices.Concat(rowSection(doc.Open, "Doubtful readings", n.Doubtful.List, doubtBlocks),
		rowSection(doc.Fail, "Rows that could not be read", n.Refused, refusalBlocks),
		rowSection(doc.Open, "Cells that were not read", n.NotRead, refusalBlocks), rowSection(doc.Open, "Columns that were not used", n.Unused, unusedBlocks))
}

// rowSection is a section with what is said of each row; nothing where there are none.
func rowSection[T any](tone doc.Tone, title string, rows []T, of func(T) []doc.Block) []doc.Block {
	if len(rows) == 0 {
		return nil
	}
	out := []doc.Block{doc.Section{Tone: tone, Title: numbered(title, len(rows))}}
	for _, r := range rows {
		out = append(out, of(r)...)
	}
	return append(out, doc.Gap{})
}

func doubtBlocks(d club.Doubt) []doc.Block {
	return cellBlocks("", d.Row, d.Column, d.Read, "doubt", d.Message, "")
}

func refusalBlocks(f club.Refusal) []doc.Block {
	return cellBlocks(f.Set, f.Row, f.Column, f.Read, "wrong", f.Message, f.Hint)
}

func unusedBlocks(u club.Unused) []doc.Block {
	return cellBlocks("", u.Row, u.Column, "", "nearest", u.Nearest, "")
}

// cellBlocks are what is said of a cell, a row or a column.
func cellBlocks(set string, at club.Row, column, read, label, message, mend string) []doc.Block {
	name, list := rowWords(at), []doc.Fact(nil)
	if column != "" {
		name += ", column " + wording.Visible(column)
	}
	if set != "" {
		name = wording.Visible(set) + ", " + name
	}
	for _, fact := range []doc.Fact{{Label: "read", Note: readWords(read)}, {Label: label, Note: message}, {Label: "mend", Note: mend}} {
		if fact.Note = wording.Visible(fact.Note); fact.Note != "" {
			list = append(list, fact)
		}
	}
	return []doc.Block{doc.Subject{Name: name}, doc.Facts{Level: 2, List: list}}
}

// readWords is what stood in a cell as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return wording.Visible(s)
}
