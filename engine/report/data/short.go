package data

// This file writes a line for each finding of a check.

import (
	"cmp"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
)

// Short writes a line for each finding, and a line of totals at the end. Of advice it gives what fails.
type Short struct{}

func (Short) Result(dst []byte, r *judge.Result, bag *club.Set) []byte {
	switch {
	case r.Waiver != nil:
		return appendFinding(dst, bag, r, r.Verdict.String())
	case r.Verdict >= decide.Pass:
		return dst
	case !r.Rule.Decl.Advice:
		return appendFinding(dst, bag, r, r.Verdict.String())
	case r.Verdict == decide.Fail:
		return appendFinding(dst, bag, r, "advice")
	}
	return dst
}

func (Short) Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte {
	dst = append(appendPlace(dst, wording.Place(c.Subject, bag)), "conflict "...)
	dst = append(dst, c.Rule.Decl.Name.Text...)
	return append(append(append(dst, ": "...), wording.Conflict(c)...), '\n')
}

func (Short) Doubt(dst []byte, d club.Doubt) []byte {
	if d.Slip {
		return dst // what needs it says so
	}
	dst = append(appendPlace(dst, d.Row), "doubtful "...)
	dst = append(wording.AppendVisible(dst, d.Column), ": "...)
	return append(wording.AppendVisible(dst, d.Message), '\n')
}

func (Short) Unpaired(dst []byte, m club.Mismatch, u club.Unpaired) []byte {
	dst = append(appendPlace(dst, u.Row), strings.ReplaceAll(m.String(), "_", " ")...)
	return append(append(append(dst, ": "...), wording.Unpaired(m, u)...), '\n')
}

func (Short) Refusal(dst []byte, what string, f club.Refusal) []byte {
	dst = append(appendPlace(dst, f.Row), strings.ReplaceAll(strings.TrimPrefix(what, "order_"), "_", " ")...)
	dst = wording.AppendVisible(append(dst, ' '), cmp.Or(f.Column, "row"))
	return append(append(append(dst, ": "...), refusalMessage(f)...), '\n')
}

func (Short) Unused(dst []byte, u club.Unused) []byte {
	dst = append(appendPlace(dst, u.Row), "unused "...)
	dst = append(wording.AppendVisible(dst, u.Column), ": nothing was read from this column"...)
	if u.Nearest != "" {
		dst = append(append(dst, "; the nearest known one is "...), u.Nearest...)
	}
	return append(dst, '\n')
}

func (Short) End(dst []byte, h *Head, t *Totals) []byte {
	return append(append(append(appendTotals(dst, t), "; on "...), h.On...), '\n')
}

func appendFinding(dst []byte, bag *club.Set, r *judge.Result, verdict string) []byte {
	dst = appendPlace(dst, wording.Place(r.Subject, bag))
	dst = append(append(dst, verdict...), ' ')
	dst = append(append(dst, r.Rule.Decl.Name.Text...), ": "...)
	return append(wording.AppendMessage(dst, r), '\n')
}

// appendPlace appends "bags.csv:4: ".
func appendPlace(dst []byte, p club.Row) []byte {
	dst = append(wording.AppendVisible(dst, p.File), ':')
	return append(strconv.AppendInt(dst, int64(p.Row), 10), ": "...)
}

// refusalMessage is why a row was refused, with what stood there and the mend.
func refusalMessage(f club.Refusal) string {
	s := wording.Visible(f.Message)
	if f.Hint != "" {
		s += "; " + wording.Visible(f.Hint)
	}
	return s
}

// appendTotals appends the totals on one line.
func appendTotals(dst []byte, t *Totals) []byte {
	dst = strconv.AppendInt(append(dst, "rows read "...), int64(t.RowsRead()), 10)
	dst = strconv.AppendInt(append(dst, ", judged "...), int64(t.RowsJudged), 10)
	dst = strconv.AppendInt(append(dst, ", refused "...), int64(t.RowsRefused), 10)
	if t.RowsSuperseded > 0 {
		dst = strconv.AppendInt(append(dst, ", superseded "...), int64(t.RowsSuperseded), 10)
	}
	for i, v := range decide.Verdicts() {
		sep := ", "
		if i == 0 {
			sep = "; "
		}
		dst = append(append(append(dst, sep...), v.String()...), ' ')
		dst = strconv.AppendInt(dst, int64(t.Tally.Verdicts[v]), 10)
	}
	dst = strconv.AppendInt(append(dst, ", advised "...), int64(t.Tally.Advised), 10)
	if t.Tally.Conflicts > 0 {
		dst = strconv.AppendInt(append(dst, ", conflicts "...), int64(t.Tally.Conflicts), 10)
	}
	return dst
}
