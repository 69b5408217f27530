package report

import (
	"cmp"
	"io"
	"strconv"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
)

// short writes a line for each finding as soon as its set is judged, and a line of
// totals at the end.
type short struct {
	w  io.Writer
	on string // the day of the check
}

func (s *short) Begin(h *Head) error {
	s.on = h.On
	return nil
}

func (s *short) WantsPasses() bool { return false }

func (s *short) Result(to *Sheaf, r *engine.Result) {
	switch sec := sectionOf(r); {
	case sec <= secUnmeasured:
		to.Tail = appendFinding(to.Tail, to.bag, r, r.Verdict.String())
		to.end(sec)
	case sec == secAdviceFails:
		to.Tail = appendFinding(to.Tail, to.bag, r, "advice")
		to.end(sec)
	}
}

func (s *short) Conflict(to *Sheaf, c *engine.Conflict) {
	dst := append(appendPlace(to.Tail, place(c.Subject, to.bag)), "conflict "...)
	dst = append(dst, c.Rule.Decl.Name.Text...)
	to.Tail = append(append(append(dst, ": "...), Conflict(c)...), '\n')
	to.end(secConflicts)
}

func (s *short) Close(to *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	for _, d := range doubtful {
		if d.Slip {
			continue // what needs it says so
		}
		dst := append(appendPlace(to.Tail, d.Row), "doubtful "...)
		dst = append(appendVisible(dst, d.Column), ": "...)
		to.Tail = append(appendVisible(dst, d.Message), '\n')
		to.end(secDoubtful)
	}
	for _, f := range refused {
		dst := append(appendPlace(to.Tail, f.Row), "refused "...)
		dst = appendVisible(dst, cmp.Or(f.Column, "row"))
		to.Tail = append(append(append(dst, ": "...), refusalMessage(f)...), '\n')
		to.end(secRefused)
	}
	to.close()
}

func appendFinding(dst []byte, bag *club.Set, r *engine.Result, verdict string) []byte {
	dst = appendPlace(dst, place(r.Subject, bag))
	dst = append(append(dst, verdict...), ' ')
	dst = append(append(dst, r.Rule.Decl.Name.Text...), ": "...)
	return append(appendMessage(dst, r), '\n')
}

// appendPlace appends "bags.csv:4: ".
func appendPlace(dst []byte, p club.Row) []byte {
	dst = append(appendVisible(dst, p.File), ':')
	return append(strconv.AppendInt(dst, int64(p.Row), 10), ": "...)
}

// refusalMessage is why a row was refused, with what stood there and the mend.
func refusalMessage(f club.Refusal) string {
	s := Visible(f.Message)
	if f.Hint != "" {
		s += "; " + Visible(f.Hint)
	}
	return s
}

func (s *short) Add(from *Sheaf) error { return from.stream(s.w) }

func (s *short) End(t *Totals) error {
	line := append(append(appendTotals(nil, t), "; on "...), s.on...)
	_, err := s.w.Write(append(line, '\n'))
	return err
}

// appendTotals appends the totals on one line.
func appendTotals(dst []byte, t *Totals) []byte {
	dst = strconv.AppendInt(append(dst, "rows read "...), int64(t.RowsJudged+t.RowsRefused), 10)
	dst = strconv.AppendInt(append(dst, ", judged "...), int64(t.RowsJudged), 10)
	dst = strconv.AppendInt(append(dst, ", refused "...), int64(t.RowsRefused), 10)
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
