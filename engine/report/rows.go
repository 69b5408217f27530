package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/lists"
)

// rowKinds are the sections about rows of a sheet, with their titles.
var rowKinds = map[section]struct {
	title string
	tone  doc.Tone
}{
	secDoubtful:     {"Doubtful readings: look at them again", doc.Open},
	secRefused:      {"Rows that could not be read", doc.Fail},
	secOrderRefused: {"Rows of the order that could not be read", doc.Fail},
	secNotRead:      {"Cells that were not read", doc.Open},
	secUnused:       {"Columns that were not used", doc.Open},
}

// bagSection begins what is said of a bag.
func bagSection(s *club.Set) doc.Section {
	out := doc.Section{Title: bagName(s.Name, s.File), Page: true}
	if s.Name != "" {
		out.Right = wording.File(s.File)
	}
	return out
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
			out = append(out, &doc.Finding{Stamp: stamp, Tone: tones[m], Text: wording.Unpaired(m, of.Unpaired[m]...)})
		}
	}
	return out
}

// numbered is a title with how many there are.
func numbered(title string, n int) string { return title + ": " + strconv.Itoa(n) }

// rowSections are the sections of what is to be said of the rows and columns of a sheet, each below a heading for each
// sheet.
func rowSections(all []data.Remark) (out []doc.Block) {
	var rows rowsTold
	for i, m := range all {
		if m.Of >= data.Mismatched { // orderLines say these
			break
		}
		if i > 0 && m.Of != all[i-1].Of {
			out = append(out, rows.rest()...)
		}
		out = append(out, rows.next(m)...)
	}
	return append(out, rows.rest()...)
}

// rowSectionsApart are the sections of doubtful readings, which come at the head of a report, and all the others.
func rowSectionsApart(n *data.Notes) (doubtful, others []doc.Block) {
	all := n.Remarks()
	return rowSections(all[:len(n.Doubtful.List)]), rowSections(all[len(n.Doubtful.List):])
}

// rowsTold is what a section about rows has told of: the sheet, and for each column the bad cells beyond the first that
// one mend of its heading puts right. These are counted, not shown.
type rowsTold struct {
	file    *string
	columns []string
	cells   map[string]int
}

// next is what there is to say of a row, below a heading where it is the first of its sheet.
func (t *rowsTold) next(m data.Remark) (out []doc.Block) {
	if t.file == nil || *t.file != m.Row.File {
		out = append(t.rest(), doc.Gap{}, rowHeading(sectionOfRow(m), m.Row.File))
		t.file, t.cells = &m.Row.File, map[string]int{}
	}
	if !m.Heading || m.Hint != "" {
		return append(out, rowLine(m))
	}
	t.columns = lists.Also(t.columns, m.Column)
	t.cells[m.Column]++
	return out
}

// rest says how many cells were not shown, and begins anew.
func (t *rowsTold) rest() (out []doc.Block) {
	for _, column := range t.columns {
		more := wording.Counted(t.cells[column], "more row", "more rows")
		text := wording.Visible(column) + ": the same in " + more
		out = append(out, &doc.Finding{Stamp: "column", Tone: doc.Fail, Text: text})
	}
	*t = rowsTold{}
	return out
}

// sectionOfRow is the section of what is said of a row.
func sectionOfRow(m data.Remark) section {
	if m.Of >= data.Mismatched {
		return secOtherClub + section(m.Of-data.Mismatched)
	}
	return secDoubtful + section(m.Of)
}

// rowHeading begins what is said of the rows of a sheet.
func rowHeading(of section, file string) doc.Section {
	return doc.Section{Tone: rowKinds[of].tone, Title: rowKinds[of].title, Right: wording.File(file)}
}

// rowLine says something of a row or a column: where it is, what was read, and the message.
func rowLine(m data.Remark) *doc.Finding {
	out := &doc.Finding{Tone: rowKinds[sectionOfRow(m)].tone, Stamp: "row " + strconv.Itoa(m.Row.Row)}
	if m.Of == data.UnusedColumn {
		out.Stamp, out.Text = "column", wording.Visible(m.Column)
		if m.Hint != "" {
			out.Text += "; the nearest known name is " + m.Hint
		}
		return out
	}
	if out.Text = wording.Visible(m.Message); m.Hint != "" {
		out.Next = "Write: " + wording.Visible(m.Hint)
	}
	if words := readWords(m.Read); words != "" && !strings.Contains(out.Text, words) {
		out.Text = "\"" + words + "\": " + out.Text
	}
	where := wording.Join(", ", wording.Visible(m.Set), wording.Labelled("column", wording.Visible(m.Column)))
	out.Text = wording.Join(": ", where, out.Text)
	return out
}

// readWords is what a cell holds as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return wording.Visible(s)
}
