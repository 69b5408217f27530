package data

// This file writes a line for each finding of a check.

import (
	"cmp"
	"fmt"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
)

// Short writes a line for each finding, and a line of totals at the end. Of advice it gives what fails.
type Short struct{}

func (Short) Result(dst []byte, r *judge.Result, bag *club.Set) []byte {
	what := r.Verdict.String()
	switch {
	case r.Waiver != nil:
	case r.Verdict >= decide.Pass, r.Rule.Decl.Advice && r.Verdict != decide.Fail:
		return dst
	case r.Rule.Decl.Advice:
		what = "advice"
	}
	return short(dst, wording.Place(r.Subject, bag), what+" "+r.Rule.Decl.Name.Text, wording.Message(r))
}

func (Short) Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte {
	return short(dst, wording.Place(c.Subject, bag), "conflict "+c.Rule.Decl.Name.Text, wording.Conflict(c))
}

var plainEntry = strings.NewReplacer("order_", "", "column_", "", "_", " ")

func (Short) Remark(dst []byte, m Remark) []byte {
	message := wording.Visible(m.Message)
	switch {
	case m.Slip:
		return dst // what needs it says so
	case m.Of == UnusedColumn:
		message = "nothing was read from this column"
		if m.Hint != "" {
			message += "; the nearest known one is " + m.Hint
		}
	case m.Hint != "":
		message += "; " + wording.Visible(m.Hint)
	}
	what := plainEntry.Replace(m.Of.entry())
	if m.Of < Mismatched {
		what += " " + wording.Visible(cmp.Or(m.Column, "row"))
	}
	return short(dst, m.Row, what, message)
}

// short appends "bags.csv:4: fail longest-club: driver (d1): ...".
func short(dst []byte, at club.Row, what, message string) []byte {
	return fmt.Appendf(dst, "%s:%d: %s: %s\n", wording.Visible(at.File), at.Row, what, message)
}

func (Short) End(dst []byte, h *Head, t *Totals) []byte {
	dst = fmt.Appendf(dst, "rows read %d, judged %d, refused %d", t.RowsRead(), t.RowsJudged, t.RowsRefused)
	if t.RowsSuperseded > 0 {
		dst = fmt.Appendf(dst, ", superseded %d", t.RowsSuperseded)
	}
	sep := ";"
	for _, v := range decide.Verdicts() {
		dst = fmt.Appendf(dst, "%s %s %d", sep, v, t.Tally.Verdicts[v])
		sep = ","
	}
	dst = fmt.Appendf(dst, ", advised %d", t.Tally.Advised)
	if t.Tally.Conflicts > 0 {
		dst = fmt.Appendf(dst, ", conflicts %d", t.Tally.Conflicts)
	}
	return fmt.Appendf(dst, "; on %s\n", h.On)
}
