package report

import (
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

func (s *short) Gathers() bool     { return false }
func (s *short) WantsPasses() bool { return false }

func (s *short) Render(dst []byte, set *Set) []byte {
	for v := decide.Fail; v <= decide.Unmeasured; v++ {
		for _, r := range set.Results {
			if r.Verdict == v && !r.Rule.Decl.Advice {
				dst = appendFinding(dst, set.Bag, r, v.String())
			}
		}
	}
	for _, c := range set.Conflicts {
		dst = appendPlace(dst, place(c.Subject, set.Bag))
		dst = append(dst, "conflict "...)
		dst = append(dst, c.Rule.Decl.Name.Text...)
		dst = append(append(append(dst, ": "...), Conflict(c)...), '\n')
	}
	dst = appendDoubts(dst, set.Doubtful)
	for _, f := range set.Refused {
		dst = appendPlace(dst, f.Row)
		dst = append(dst, "refused "...)
		if f.Column != "" {
			dst = appendVisible(dst, f.Column)
		} else {
			dst = append(dst, "row"...)
		}
		dst = append(append(append(dst, ": "...), refusalMessage(f)...), '\n')
	}
	for _, r := range set.Results {
		if r.Verdict == decide.Fail && r.Rule.Decl.Advice {
			dst = appendFinding(dst, set.Bag, r, "advice")
		}
	}
	return dst
}

func appendDoubts(dst []byte, doubtful []club.Doubt) []byte {
	for _, d := range doubtful {
		if d.Slip {
			continue // what needs it says so
		}
		dst = append(appendPlace(dst, d.Row), "doubtful "...)
		dst = append(appendVisible(dst, d.Column), ": "...)
		dst = append(appendVisible(dst, d.Message), '\n')
	}
	return dst
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

func (s *short) Add(rendered []byte, _ []*Set) error {
	if len(rendered) == 0 {
		return nil
	}
	_, err := s.w.Write(rendered)
	return err
}

func (s *short) End(t *Totals) error {
	line := append(append(appendTotals(appendDoubts(nil, t.Doubtful.List), t), "; on "...), s.on...)
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
