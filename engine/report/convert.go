package report

// This file is the view of the lengths of a sheet by another method: a line a club.

import (
	"fmt"
	"io"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
)

// Conversions writes lengths that were brought to another method, set by set as they come. Add is called for each set,
// End once after all.
type Conversions interface {
	Add(s *club.Set, lengths []judge.Length, doubtful []club.Doubt)
	End() error
}

// conversions are those for a reader.
type conversions struct {
	paper
	to      string
	head    *data.Head
	holder  *picture.Holder
	clubs   int // lengths that were converted, or could not be
	lacking int // those that could not
	data.Notes
}

// NewConversions returns a writer of lengths by a method.
func NewConversions(w io.Writer, to string, head *data.Head, o Options) Conversions {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.NewLengths(w, o.Format, o.Tool, head)
	}
	return &conversions{paper: p, to: to, head: head, holder: p.holding(head)}
}

func (c *conversions) Add(s *club.Set, lengths []judge.Length, doubtful []club.Doubt) {
	c.Note(s, doubtful)
	c.clubs += len(lengths)
	c.lacking += counted(lengths, func(l *judge.Length) bool { return !l.Value.Known() })
	if len(lengths) > 0 {
		c.later(c.set(s, lengths)...)
	}
}

// set is the lengths of a set, a line each, with what led to it below.
func (c *conversions) set(s *club.Set, lengths []judge.Length) []doc.Block {
	var bag picture.Bag
	table := &doc.Table{Level: 1, Heads: []string{"club", "as read", "", "by " + c.to, "could be off by"}}
	for _, l := range lengths {
		read, by := readAs(l.Club)
		by = wording.Labelled("by", by)
		row := doc.Row{Cells: []string{wording.Called(l.Club), read, by, "not converted", ""}}
		if l.Value.Known() {
			row.Cells[3], row.Cells[4] = l.Value.String(), offBy(l.Expanded)
			bag.Converted(l.Club, c.to)
		}
		why := wording.ReasonsOf(l.Club, l.Lacks)
		switch {
		case c.depth != Line:
			row.Below = append(built(l, c.depth == Full), doc.Gap{})
		case why != "":
			row.Below = []doc.Block{doc.Para{Text: why, Level: 3, Hang: 1}}
		}
		table.Rows = append(table.Rows, row)
	}
	out := []doc.Block{doc.Gap{}, bagSection(s), table}
	return append(out, doc.Beside(bag.Taken(s, c.holder)))
}

func (c *conversions) End() error {
	const lead, not = "NOT EVERYTHING COULD BE CONVERTED:", "could not be converted"
	out := outcomeOf("CONVERTED:", count{c.clubs - c.lacking, doc.Pass, "", "length", "lengths"},
		count{c.lacking, doc.Open, lead, not, not}, unread(len(c.Refused), lead))
	return c.finish(doc.Head{Title: "Lengths by " + c.to, Right: c.head.On}, out, &c.Notes)
}

// totals are the last section of a report.
func totals(list ...doc.Fact) []doc.Block {
	return []doc.Block{doc.Gap{}, doc.Section{Title: "Totals"}, doc.Facts{Level: 1, List: list}}
}

// rowTotals says what became of the rows of a sheet.
func rowTotals(good, refused int, aside club.Aside) string {
	s := fmt.Sprintf("%d read = %d judged + %d refused", good+refused+aside.Superseded, good, refused)
	if aside.Superseded > 0 {
		s += fmt.Sprintf(" + %d superseded", aside.Superseded)
	}
	if aside.Skipped > 0 {
		s += "; " + wording.Counted(aside.Skipped, "row", "rows") + " above the headings passed over"
	}
	return s
}
