package doc

// This file draws blocks as text for a page of 80 columns, to be read at the bench.

import (
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
	for _, b := range blocks {
		switch b := b.(type) {
		case Head:
			dst = t.head(dst, b)
		case Outcome:
			dst = t.para(dst, Para{Tone: b.Tone, Text: b.Lead}, " "+b.Text)
		case Section:
			if b.Page {
				dst = ends(dst, b.Title, b.Right)
				break
			}
			from := len(dst)
			dst = append(dst, strings.ToUpper(b.Title)...)
			dst = append(t.paint(dst, from, len(dst), b.Tone, "1;"), "\n\n"...)
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
		case StepsLegend:
			dst = wrap(dst, stepsLegend, 2, 2)
		case *Steps:
			dst = t.steps(dst, b)
		case Gap:
			dst = append(dst, '\n')
		case *Taken, Aside, End:
		}
	}
	return dst
}

// head appends a title and what stands at the right end of its line; below it where there is no room.
func (t text) head(dst []byte, h Head) []byte {
	if Width(h.Title)+2+Width(h.Right) > Columns {
		dst = wrap(wrap(dst, h.Title, 0, 2), h.Right, 2, 2)
	} else {
		dst = ends(dst, h.Title, h.Right)
	}
	if h.Below != "" {
		dst = wrap(dst, h.Below, 0, 0)
	}
	return append(dst, '\n')
}

// colours of the tones: green, yellow, red.
var colours = [...]string{Pass: "32", Open: "33", Fail: "31"}

// paint colours what stands from one place of dst to another.
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

// finding appends a finding: its title, its facts, and what the rule says itself.
func (t text) finding(dst []byte, f *Finding) []byte {
	const under = 4
	if f.Title != "" {
		dst = wrap(dst, f.Title, 2, 4)
	}
	all := slices.Clip(f.Facts)
	if f.Mend != "" {
		all = append(all, Fact{Label: "mend", Note: f.Mend})
	}
	if !f.Rule.Whole {
		return facts(dst, under, append(all, Fact{Label: "rule", Note: f.Rule.Place}))
	}
	dst = facts(dst, under, all)
	if f.Budget != nil {
		dst = append(t.table(append(dst, '\n'), f.Budget), '\n')
	}
	all = nil
	for _, c := range f.Rule.Cites {
		all = append(all, Fact{Label: "cite", Note: c})
	}
	dst = facts(dst, under, append(all, Fact{Label: "the rule says", Note: f.Rule.Place}))
	for _, line := range f.Rule.Lines {
		if under+2+Width(line) <= Columns {
			dst = append(append(blanks(dst, under+2), line...), '\n')
		} else {
			dst = wrap(dst, line, under+2, under+4)
		}
	}
	return dst
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
		dst = b.line(blanks(dst, indent), cells, widths)
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
