package report

// This file writes the lengths of a sheet by another method: a line a club for the bench,
// or for other programs the schema "ferrule.convert/1".

import (
	"bufio"
	"fmt"
	"io"
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
)

// Conversions writes lengths that were brought to another method, set by set as they
// come. Add is called for each set, End once after all.
type Conversions struct {
	w       *bufio.Writer
	o       Options
	json    bool
	to      string
	begun   bool // something was written already
	clubs   int  // rows that were converted, or could not be
	lacking int  // those that could not
	rowNotes
}

var lengthFormats = []string{"text", "json"}

// LengthFormats lists the names of the formats of lengths and their agreement.
func LengthFormats() []string { return slices.Clone(lengthFormats) }

// NewConversions returns a writer of lengths by a method, for another program where json
// is set.
func NewConversions(w io.Writer, to string, json bool, o Options) *Conversions {
	return &Conversions{w: bufio.NewWriter(w), o: o, json: json, to: to}
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
	case c.json:
		c.addJSON(s, lengths)
	default:
		c.addText(s, lengths)
	}
}

// opening writes what stands before the first length.
func (c *Conversions) opening() {
	switch {
	case c.begun:
	case c.json:
		c.w.WriteString("{\n  \"schema\": \"ferrule.convert/1\",\n  \"results\": [")
	default:
		c.w.WriteString("Lengths by " + c.to + "\n\n")
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

func (c *Conversions) addText(s *club.Set, lengths []engine.Length) {
	c.opening()
	c.w.WriteString(ends(bagName(s.Name, s.File), sheetName(s.Name, s.File)))
	var rows [][]string
	for _, l := range lengths {
		read, by := readAs(l.Club)
		row := []string{Visible(l.Club.ID), kindName(l.Club), read}
		if l.Club.Setting != "" {
			row[0] += " at " + Visible(l.Club.Setting)
		}
		if by != "" {
			row = append(row, "by "+by)
		}
		if l.Value.Known() {
			row = append(row, l.Value.String(), spread(l.Expanded))
		}
		rows = append(rows, row)
	}
	steps := c.o.Depth == Steps || c.o.Depth == Full
	for i, line := range splitLines(table(2, rows)) {
		l := lengths[i]
		switch {
		case steps:
			c.w.WriteString(line + "\n" + built(l, c.o.Depth == Full))
		case !l.Value.Known():
			c.w.WriteString(line + "\n" + block(6, []entry{{label: "not converted", note: reasonsOf(l.Reasons)}}))
		case len(l.Reasons) > 0:
			c.w.WriteString(line + "\n" + block(6, []entry{{label: "because", note: reasonsOf(l.Reasons)}}))
		default:
			c.w.WriteString(line + "\n")
		}
	}
	if !steps {
		c.w.WriteByte('\n')
	}
}

// End writes the refused rows and, for the bench, the totals.
func (c *Conversions) End() error {
	c.opening()
	if c.json {
		c.w.WriteString("\n  ]" + c.members())
		return c.w.Flush()
	}
	c.w.WriteString(c.text(c.o) + "TOTALS\n\n" + block(2, []entry{
		{label: "rows", note: rowTotals(c.clubs, len(c.refused))},
		{label: "lengths", note: fmt.Sprintf("%d by %s, %d not converted", c.clubs-c.lacking, c.to, c.lacking)},
		{label: "+/-", note: "expanded uncertainty at 95 %"},
	}))
	return c.w.Flush()
}

// rowTotals says what became of the rows of a sheet.
func rowTotals(good, refused int) string {
	return fmt.Sprintf("%d read = %d judged + %d refused", good+refused, good, refused)
}

// colourOf is the colour of what is, or is not, told.
func colourOf(told, good bool) decide.Verdict {
	switch {
	case !told:
		return decide.Unmeasured
	case good:
		return decide.Pass
	}
	return decide.Fail
}
