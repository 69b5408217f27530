package report

// This file writes the lengths of a sheet by another method: a line a club for the bench,
// or for other programs the schema "ferrule.convert/1".

import (
	"fmt"
	"io"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/report/doc"
)

// Conversions writes lengths that were brought to another method, set by set as they
// come. Add is called for each set, End once after all.
type Conversions struct {
	paper
	o       Options
	to      string
	begun   bool // something was written already
	clubs   int  // rows that were converted, or could not be
	lacking int  // those that could not
	rowNotes
}

// LengthFormats lists the formats of reports that have JSON alone for programs.
func LengthFormats() []string { return Formats("json") }

// NewConversions returns a writer of lengths by a method.
func NewConversions(w io.Writer, to string, o Options) *Conversions {
	return &Conversions{paper: newPaper(w, o), o: o, to: to}
}

type jsonLength struct {
	Set         string      `json:"set"`
	ID          string      `json:"id"`
	Setting     string      `json:"setting,omitempty"`
	From        *string     `json:"from"`
	To          string      `json:"to"`
	Value       *jsonAmount `json:"value"`
	Uncertainty *jsonAmount `json:"standard_uncertainty"`
	Expanded    *jsonAmount `json:"expanded_uncertainty"`
	Needs       []string    `json:"needs"`
	Reasons     []string    `json:"reasons,omitempty"`
	Steps       []jsonStep  `json:"steps"`
}

func lengthOf(set string, l engine.Length) jsonLength {
	out := jsonLength{Set: set, ID: l.Club.ID, Setting: l.Club.Setting, From: textOrNull(l.From), To: l.To,
		Value: amountOf(l.Value, true), Uncertainty: amountOf(l.U, false), Expanded: amountOf(l.Expanded, false),
		Needs: []string{}, Reasons: l.Reasons, Steps: stepsOf(&engine.Result{}, l.Steps)}
	if out.Value != nil {
		out.Value.Text = l.Value.String()
	} else if out.Needs = append(out.Needs, l.Needs...); len(out.Needs) == 0 {
		out.Needs = append(out.Needs, "method") // one that covers the club
	}
	return out
}

// Add writes the lengths of a set, one for each row that was read.
func (c *Conversions) Add(s *club.Set, lengths []engine.Length, doubtful []club.Doubt) {
	c.note(s, doubtful)
	for _, l := range lengths {
		c.clubs++
		if !l.Value.Known() {
			c.lacking++
		}
	}
	switch {
	case len(lengths) == 0:
	case c.draw == nil:
		c.addJSON(s, lengths)
	default:
		c.opening()
		c.put(c.set(s, lengths)...)
	}
}

// opening writes what stands before the first length.
func (c *Conversions) opening() {
	switch {
	case c.begun:
	case c.draw == nil:
		c.w.WriteString("{\n  \"schema\": \"ferrule.convert/1\",\n  \"results\": [")
	default:
		c.put(doc.Head{Title: "Lengths by " + c.to})
	}
	c.begun = true
}

func (c *Conversions) addJSON(s *club.Set, lengths []engine.Length) {
	for _, l := range lengths {
		if c.begun {
			c.w.WriteByte(',')
		}
		c.opening()
		c.w.WriteString("\n    ")
		line := appendJSON(nil, lengthOf(s.Name, l))
		c.w.Write(line[:len(line)-1])
	}
}

// set is the lengths of a set, a line each, with what led to it below.
func (c *Conversions) set(s *club.Set, lengths []engine.Length) []doc.Block {
	table := &doc.Table{Level: 1}
	for _, l := range lengths {
		read, by := readAs(l.Club)
		row := doc.Row{Cells: []string{Visible(l.Club.ID), kindName(l.Club), read}}
		if l.Club.Setting != "" {
			row.Cells[0] += " at " + Visible(l.Club.Setting)
		}
		if by != "" {
			row.Cells = append(row.Cells, "by "+by)
		}
		if l.Value.Known() {
			row.Cells = append(row.Cells, l.Value.String(), spread(l.Expanded))
		}
		below := func(label string) []doc.Block {
			return []doc.Block{doc.Facts{Level: 3, List: []doc.Fact{{Label: label, Note: reasonsOf(l.Reasons)}}}}
		}
		switch {
		case c.o.full():
			row.Below = append(built(l, c.o.Depth == Full), doc.Gap{})
		case !l.Value.Known():
			row.Below = below("not converted")
		case len(l.Reasons) > 0:
			row.Below = below("because")
		}
		table.Rows = append(table.Rows, row)
	}
	out := []doc.Block{doc.Section{Title: bagName(s.Name, s.File), Right: sheetName(s.Name, s.File), Page: true}, table}
	if !c.o.full() {
		out = append(out, doc.Gap{})
	}
	return out
}

// End writes the refused rows and, for the bench, the totals.
func (c *Conversions) End() error {
	c.opening()
	if c.draw == nil {
		c.w.WriteString("\n  ]" + c.members())
		return c.w.Flush()
	}
	c.put(c.blocks()...)
	c.put(totals(
		doc.Fact{Label: "rows", Note: rowTotals(c.clubs, len(c.refused))},
		doc.Fact{Label: "lengths", Note: fmt.Sprintf("%d by %s, %d not converted", c.clubs-c.lacking, c.to, c.lacking)},
		doc.Fact{Label: "+/-", Note: "expanded uncertainty at 95 %"},
	)...)
	return c.end()
}

// totals are the last section of a report.
func totals(list ...doc.Fact) []doc.Block {
	return []doc.Block{doc.Section{Title: "Totals"}, doc.Facts{Level: 1, List: list}}
}

// rowTotals says what became of the rows of a sheet.
func rowTotals(good, refused int) string {
	return fmt.Sprintf("%d read = %d judged + %d refused", good+refused, good, refused)
}

// toldTone is the tone of what is, or is not, told.
func toldTone(told, good bool) doc.Tone {
	switch {
	case !told:
		return doc.Open
	case good:
		return doc.Pass
	}
	return doc.Fail
}
