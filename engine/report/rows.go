package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
)

// rowKinds are the sections about rows of a sheet, with their titles.
var rowKinds = map[section]struct {
	title string
	tone  doc.Tone
}{
	secDoubtful: {"Doubtful readings: look at them again", doc.Open},
	secRefused:  {"Rows that could not be read", doc.Fail},
	secNotRead:  {"Cells that were not read", doc.Open},
	secUnused:   {"Columns that were not used", doc.Open},
}

// bagSection begins what is said of a bag.
func bagSection(s *club.Set) doc.Section {
	return doc.Section{Title: bagName(s.Name, s.File), Right: sheetName(s.Name, s.File), Page: true}
}

// bagHead begins what is said of a bag: its name, and what it and its order differ in.
func bagHead(s *club.Set) []doc.Block {
	return append([]doc.Block{doc.Gap{}, bagSection(s)}, orderLines(&s.Order)...)
}

// absent writes what an order has for a set that is on no sheet.
func (p *paper) absent(s *club.Set) {
	if orderLines(&s.Order) != nil {
		p.later(bagHead(s)...)
	}
}

// orderLines say what a bag and its order differ in.
func orderLines(of *club.Beside) (out []doc.Block) {
	tones := [club.Mismatches]doc.Tone{doc.Fail, doc.Open, doc.Plain}
	for i, stamp := range [club.Mismatches]string{"OTHER", "NOT HERE", "extra"} {
		if m := club.Mismatch(i); len(of.Unpaired[m]) > 0 {
			out = append(out, &doc.Finding{Stamp: stamp, Tone: tones[m], Text: wording.AllUnpaired(m, of.Unpaired[m])})
		}
	}
	return out
}

// numbered is a title with how many there are.
func numbered(title string, n int) string { return title + ": " + strconv.Itoa(n) }

// rowSections are the sections of what is to be said of the rows and columns of a sheet.
func rowSections(n *data.Notes) []doc.Block {
	return slices.Concat(rowSection(secDoubtful, n.Doubtful.List, doubtLine),
		rowSection(secRefused, club.Cells(slices.Concat(n.Refused, n.Order.Refused)), refusalLine),
		rowSection(secNotRead, club.Cells(n.NotRead), refusalLine), rowSection(secUnused, n.Unused, unusedLine))
}

// rowHeading begins what is said of the rows of a sheet.
func rowHeading(of section, file string) doc.Section {
	return doc.Section{Tone: rowKinds[of].tone, Title: rowKinds[of].title, Right: wording.File(file)}
}

// rowSection are the lines about rows, below a heading for each sheet; nothing if there are none.
func rowSection[T any](of section, rows []T, line func(T) rowLine) (out []doc.Block) {
	file := ""
	for i, r := range rows {
		one := line(r)
		if i == 0 || one.file != file {
			file = one.file
			out = append(out, doc.Gap{}, rowHeading(of, file))
		}
		out = append(out, one.Finding)
	}
	return out
}

// unusedLine is what is said of a column that was not used.
func unusedLine(u club.Unused) rowLine {
	text := wording.Visible(u.Column)
	if u.Nearest != "" {
		text += "; the nearest known name is " + u.Nearest
	}
	return rowLine{u.File, &doc.Finding{Tone: doc.Open, Stamp: "column", Text: text}}
}

// doubtLine is what is said of a doubtful reading.
func doubtLine(d club.Doubt) rowLine {
	return aboutRow(doc.Open, d.Row, "", d.Column, d.Read, d.Message)
}

// refusalLine is what is said of a refused row.
func refusalLine(f club.Refusal) rowLine {
	out := aboutRow(doc.Fail, f.Row, f.Set, f.Column, f.Read, f.Message)
	if f.Hint != "" {
		out.Next = "Write: " + wording.Visible(f.Hint)
	}
	return out
}

// rowLine is what is said of a row, and the file of the row.
type rowLine struct {
	file string
	*doc.Finding
}

// aboutRow says something of a row: its number, its set and the column, what was read, and the message.
func aboutRow(tone doc.Tone, row club.Row, set, column, read, message string) rowLine {
	var parts []string
	if set != "" {
		parts = append(parts, wording.Visible(set))
	}
	if column != "" {
		parts = append(parts, "column "+wording.Visible(column))
	}
	message = wording.Visible(message)
	if words := readWords(read); words != "" && !strings.Contains(message, words) {
		message = "\"" + words + "\": " + message
	}
	if parts != nil {
		message = strings.Join(parts, ", ") + ": " + message
	}
	return rowLine{row.File, &doc.Finding{Tone: tone, Stamp: "row " + strconv.Itoa(row.Row), Text: message}}
}

// readWords is what a cell holds as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return wording.Visible(s)
}
