package doc

import "strings"

// This file draws the steps of a set in plain characters: a line for each club in their order, with its value, its mark
// on a scale and the band in which the rule allows it, and between two clubs the step and what came of it.

// stepsLegend explains the signs.
const stepsLegend = "o passes or comes first, x fails, ? cannot be told; [---] is where the rule allows a club beside the one " +
	"before it; < and > are beyond the scale."

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
