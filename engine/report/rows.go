package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"ferrule/engine/club"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
)

// bagSection begins what is said of a bag.
func bagSection(s *club.Set) doc.Section {
	return doc.Section{Title: bagName(s.Name, s.File), Right: sheetName(s.Name, s.File), Page: true}
}

const (
	notReadTitle = "Cells that could not be read, and nothing asked for"
	unusedTitle  = "Columns that were not used"
)

// rowSections are the sections of the doubtful readings, of the refused rows and of what was left aside.
func rowSections(n *data.Notes) []doc.Block {
	out := append(doubtfulSection(n.Doubtful.List), refusedSection(n.Refused)...)
	return append(out, asideSections(&n.Aside)...)
}

// asideSections are the sections of the cells that were not read and of the columns that were not used.
func asideSections(a *club.Aside) []doc.Block {
	return append(rowSection(doc.Open, notReadTitle, a.NotRead, refusalBlocks),
		rowSection(doc.Open, unusedTitle, a.Unused, unusedBlocks)...)
}

// unusedBlocks are what is said of a column that was not used.
func unusedBlocks(u club.Unused) []doc.Block {
	text := wording.File(u.File) + ", column " + wording.Visible(u.Column)
	if u.Nearest != "" {
		text += "; the nearest known name is " + u.Nearest
	}
	return []doc.Block{doc.Para{Text: text, Level: 1, Hang: 2}}
}

// doubtfulSection is the section of the doubtful readings; nothing where there are none.
func doubtfulSection(doubtful []club.Doubt) []doc.Block {
	return rowSection(doc.Open, "Doubtful readings", doubtful, doubtBlocks)
}

// refusedSection is the section of the refused rows; nothing where there are none.
func refusedSection(rows []club.Refusal) []doc.Block {
	return rowSection(doc.Fail, "Rows that could not be read", rows, refusalBlocks)
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

// doubtBlocks are what is said of a doubtful reading.
func doubtBlocks(d club.Doubt) []doc.Block {
	return []doc.Block{doc.Subject{Name: doubtPlace(d)},
		doc.Facts{Level: 2, List: []doc.Fact{{Label: "read", Note: readWords(d.Read)},
			{Label: "doubt", Note: wording.Visible(d.Message)}}}}
}

// refusalBlocks are what is said of a refused row.
func refusalBlocks(f club.Refusal) []doc.Block {
	left := rowWords(f.Row)
	if f.Column != "" {
		left += ", column " + wording.Visible(f.Column)
	}
	if f.Set != "" {
		left = wording.Visible(f.Set) + ", " + left
	}
	var list []doc.Fact
	if f.Read != "" {
		list = append(list, doc.Fact{Label: "read", Note: readWords(f.Read)})
	}
	list = append(list, doc.Fact{Label: "wrong", Note: wording.Visible(f.Message)})
	if f.Hint != "" {
		list = append(list, doc.Fact{Label: "mend", Note: wording.Visible(f.Hint)})
	}
	return []doc.Block{doc.Subject{Name: left}, doc.Facts{Level: 2, List: list}}
}

// readWords is what stood in a cell as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return wording.Visible(s)
}

// doubtPlace is "bags.csv row 3, column length".
func doubtPlace(d club.Doubt) string {
	if d.Column == "" {
		return rowWords(d.Row)
	}
	return rowWords(d.Row) + ", column " + wording.Visible(d.Column)
}
