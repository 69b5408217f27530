package doc

// This file draws blocks as text for a page of 80 columns, to be read at the bench.

import (
	"bytes"
	"math"
	"slices"
	"strings"
)

// Text returns the drawing of a document as text, in colour or without. Colour says nothing that words do not say.
func Text(colour bool) Drawing {
	return func(dst []byte, blocks ...Block) []byte { return text{colour}.draw(dst, blocks) }
}

type text struct{ colour bool }

func (t text) draw(dst []byte, blocks []Block) []byte {
	begin := len(dst)
	for _, b := range blocks {
		switch b := b.(type) {
		case Head:
			dst = t.head(dst, b)
		case Outcome:
			dst = t.para(dst, Para{Tone: b.Tone, Text: b.Lead}, " "+b.Text)
		case Section:
			from := len(dst)
			dst = ends(dst, b.Title, b.Right)
			dst = t.paint(dst, from, len(dst)-1, b.Tone, "1;")
		case Subject:
			dst = ends(dst, strings.Repeat("  ", b.Level)+b.Name, b.Place)
		case Para:
			dst = t.para(dst, b, "")
		case List:
			for _, item := range b {
				dst = wrap(dst, "- "+item, 2, 4)
			}
		case Facts:
			dst = facts(dst, 2*b.Level, b.List)
		case *Finding:
			dst = t.finding(dst, b)
		case *Table:
			dst = t.table(dst, b)
		case Verbatim:
			for _, line := range b {
				dst = append(append(dst, line...), '\n')
			}
		case BarLegend:
			words := "= passes, x fails"
			if b.Open {
				words = "= passes, ? is too close to call, x fails"
			}
			dst = wrap(dst, words, 2, 2)
		case *Steps:
			dst = t.steps(dst, b)
		case Gap:
			if !bytes.HasSuffix(dst[begin:], []byte("\n\n")) {
				dst = append(dst, '\n')
			}
		case Cautions:
			words := "Measure again before you cut. Wear eye protection and a mask made for fine dust."
			if b.Event {
				words += " A plan is not a ruling, which rests with the event's Committee."
			}
			dst = wrap(dst, words, 0, 0)
		case *Taken, Beside, *Clubs, *Source, Work, *Lanes, *Curve, Apart, Aside, End:
		}
	}
	return dst
}

// head appends a title and what is at the right end of its line; below it if there is no room.
func (t text) head(dst []byte, h Head) []byte {
	dst = ends(dst, h.Title, h.Right)
	for _, n := range h.Notes {
		dst = wrap(dst, n, 0, 2)
	}
	return append(dst, '\n')
}

// colours of the tones: green, yellow, red.
var colours = [...]string{Pass: "32", Open: "33", Fail: "31"}

// paint colours what is from one place of dst to another.
func (t text) paint(dst []byte, from, to int, tone Tone, bold string) []byte {
	if !t.colour || tone == Plain || to <= from {
		return dst
	}
	dst = slices.Insert(dst, to, []byte("\x1b[0m")...)
	return slices.Insert(dst, from, []byte("\x1b["+bold+colours[tone]+"m")...)
}

// para appends a paragraph, and after it what has no tone.
func (t text) para(dst []byte, p Para, after string) []byte {
	from := len(dst) + 2*p.Level
	lead := strings.TrimLeft(p.Lead+" ", " ")
	text := lead + p.Text
	dst = wrap(dst, text+after, 2*p.Level, 2*(p.Level+p.Hang))
	to := len(dst) - 1
	if after != "" {
		to = from + len(text)
	}
	return t.paint(dst, from+len(lead), to, p.Tone, "1;")
}

// stampRoom is the column in which the text behind a stamp begins.
const stampRoom = 13

// finding appends a finding: its stamp, and beside it a paragraph for each part; then its facts, and the rule's words.
func (t text) finding(dst []byte, f *Finding) []byte {
	from := len(dst) + 2
	dst = append(blanks(dst, 2), f.Stamp...)
	stamped := len(dst)
	at := 2 + Width(f.Stamp)
	dst = append(dst, "  "...)
	dst = flow(blanks(dst, stampRoom-at-2), max(at+2, stampRoom), f.Text, stampRoom)
	dst = t.paint(dst, from, stamped, f.Tone, "1;")
	for _, words := range []string{f.Next, f.Title, f.Mend} {
		if words != "" {
			dst = wrap(dst, words, stampRoom, stampRoom+2)
		}
	}
	all := f.Facts
	if f.Rule != nil {
		all = append(slices.Clip(all), Fact{Label: "rule", Note: f.Rule.Place})
	}
	dst = facts(dst, stampRoom, all)
	if f.More != nil {
		dst = append(t.table(append(dst, '\n'), f.More), '\n')
	}
	if f.Rule == nil {
		return dst
	}
	for _, line := range f.Rule.Lines {
		const under = stampRoom + 2
		if under+Width(line) <= Columns {
			dst = endLine(append(blanks(dst, under), line...))
			continue
		}
		in := under + len(line) - len(strings.TrimLeft(line, " "))
		dst = wrap(dst, strings.ReplaceAll(strings.TrimLeft(line, " "), "  ", glue+glue), in, in+4)
	}
	return append(dst, '\n')
}

// table appends a table, its columns two blanks apart. Where it is too wide its last columns go below their row, each
// led by its heading.
func (t text) table(dst []byte, b *Table) []byte {
	indent := 2 * b.Level
	if b.Name != "" {
		dst = ends(dst, strings.Repeat(" ", indent)+b.Name, b.Place)
		indent += 2
	}
	widths := b.widths()
	kept := len(widths)
	for kept > 1 && kept <= len(b.Heads) && lineWidth(widths[:kept], indent) > Columns {
		kept--
	}
	if b.Heads != nil {
		dst = b.line(blanks(dst, indent), b.Heads[:kept], widths)
	}
	for _, row := range b.Rows {
		cells := row.Cells[:min(kept, len(row.Cells))]
		if row.Bar != nil {
			cells = append(slices.Clone(cells[:len(cells)-1]),
				strings.TrimRight(row.Bar.strokes()+"  "+cells[len(cells)-1], " "))
		}
		if kept == 1 {
			dst = wrap(dst, cells[0], indent, indent+2)
		} else {
			dst = b.line(blanks(dst, indent), cells, widths)
		}
		for i := kept; i < len(row.Cells); i++ {
			if row.Cells[i] != "" {
				dst = wrap(dst, b.Heads[i]+" "+row.Cells[i], indent+4, indent+6)
			}
		}
		dst = t.draw(dst, row.Below)
	}
	return dst
}

// widths are how wide the columns are.
func (b *Table) widths() []int {
	widths := make([]int, len(b.Heads))
	look := func(cells []string) {
		for i, cell := range cells {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], Width(cell))
		}
	}
	look(b.Heads)
	for _, row := range b.Rows {
		look(row.Cells)
	}
	return widths
}

// strokes are a bar in plain characters.
func (b *Bar) strokes() string {
	const width = 34
	pass := int(math.Round(b.Pass * width))
	last := min(max(int(math.Round((b.Pass+b.Open)*width)), pass), width)
	return strings.Repeat("=", pass) + strings.Repeat("?", last-pass) + strings.Repeat("x", width-last)
}

// lineWidth is how wide a line of columns is.
func lineWidth(widths []int, indent int) int {
	n := indent - 2
	for _, w := range widths {
		n += w + 2
	}
	return n
}

// line appends the cells of a line of a table.
func (b *Table) line(dst []byte, cells []string, widths []int) []byte {
	for i, cell := range cells {
		gap := widths[i] - Width(cell)
		if i < b.Right {
			dst = blanks(dst, gap)
			gap = 0
		}
		dst = blanks(append(dst, cell...), gap+2)
	}
	return endLine(dst)
}

// Columns of a chart.
const (
	nameRoom = 14 // of the heading of the keys, at the most
	plotRoom = 41 // of the scale, at the most
)

func (t text) steps(dst []byte, b *Steps) []byte {
	table := &Table{Level: 2, Heads: []string{Shorten(b.Key, nameRoom), "club", "", ""}}
	table.Rows = append(table.Rows, Row{Cells: make([]string, 4)}) // the marks of the scale
	for _, s := range b.Stands {
		table.Rows = append(table.Rows, Row{Cells: []string{s.Key, s.Name, s.Value, ""}})
	}
	scale := b.Lanes().Scale(min(plotRoom, Columns-lineWidth(table.widths(), 2*table.Level)))
	if b.Unit != nil && scale.columns > 0 {
		table.Heads[3], table.Rows[0].Cells[3] = scale.ruler(scale.Marks(b.Unit, b.Figure))
	}
	for i, s := range b.Stands {
		above, row := &table.Rows[i], &table.Rows[i+1]
		row.Cells[3] = scale.plot(s.Parts)
		if s.Before != "" {
			above.Below = []Block{Para{Text: s.Before, Level: 2, Hang: 2}}
		} else if s.Step != nil {
			lead := strings.TrimSuffix(s.Step.Size+", "+s.Step.Bound, ", ") + ":"
			above.Below = []Block{Para{Tone: s.Step.Tone, Lead: lead, Text: s.Step.Verdict, Level: 4, Hang: 1}}
		}
	}
	dst = append(wrap(wrap(dst, b.Title, 2, 4), b.Sub, 4, 4), '\n')
	return t.draw(t.table(dst, table), b.After)
}
