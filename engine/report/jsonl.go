package report

import (
	"bytes"
	"encoding/json"
	"io"
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
)

// jsonLines writes an object a line as soon as a set is judged: its results, the
// failures first, its conflicts and its refused rows; last the summary. The member
// "entry" tells them apart: "result", "conflict", "doubtful", "refused", "summary".
type jsonLines struct {
	w    io.Writer
	head *Head
}

type jsonLast struct {
	Entry      string      `json:"entry"`
	Schema     string      `json:"schema"`
	Books      []jsonBook  `json:"books"`
	On         string      `json:"on"`
	Summary    jsonSummary `json:"summary"`
	NotInForce []jsonRest  `json:"not_in_force"`
}

func (j *jsonLines) Gathers() bool     { return false }
func (j *jsonLines) WantsPasses() bool { return true }

func (j *jsonLines) Begin(h *Head) error {
	j.head = h
	return nil
}

func (j *jsonLines) Render(dst []byte, s *Set) []byte {
	results := slices.Clone(s.Results)
	slices.SortStableFunc(results, func(a, b *engine.Result) int { return int(a.Verdict) - int(b.Verdict) })
	for _, r := range results {
		one := resultOf(r, s.Bag)
		one.Entry = "result"
		dst = appendJSON(dst, one)
	}
	for _, c := range s.Conflicts {
		one := conflictOf(c, s.Bag)
		one.Entry = "conflict"
		dst = appendJSON(dst, one)
	}
	dst = appendDoubtful(dst, s.Doubtful)
	for _, f := range s.Refused {
		one := refusedOf(f)
		one.Entry = "refused"
		dst = appendJSON(dst, one)
	}
	return dst
}

func appendDoubtful(dst []byte, doubtful []club.Doubt) []byte {
	for _, d := range doubtful {
		one := doubtfulOf(d)
		one.Entry = "doubtful"
		dst = appendJSON(dst, one)
	}
	return dst
}

// appendJSON appends v on one line. The structs of this package hold nothing that
// JSON cannot say.
func appendJSON(dst []byte, v any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err)
	}
	return append(dst, escapeHidden(b.Bytes())...)
}

func (j *jsonLines) Add(rendered []byte, _ []*Set) error {
	_, err := j.w.Write(rendered)
	return err
}

func (j *jsonLines) End(t *Totals) error {
	_, err := j.w.Write(appendJSON(appendDoubtful(nil, t.Doubtful.List), jsonLast{
		Entry: "summary", Schema: schema, Books: booksOf(j.head), On: j.head.On, Summary: summaryOf(t), NotInForce: restOf(j.head),
	}))
	return err
}
