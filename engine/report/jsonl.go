package report

import (
	"bytes"
	"encoding/json"
	"io"

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

func (j *jsonLines) WantsPasses() bool { return true }

func (j *jsonLines) Begin(h *Head) error {
	j.head = h
	return nil
}

func (j *jsonLines) Result(to *Sheaf, r *engine.Result) {
	one := resultOf(r, to.bag)
	one.Entry = "result"
	to.Tail = appendJSON(to.Tail, one)
	to.end(byVerdict(r.Verdict))
}

func (j *jsonLines) Conflict(to *Sheaf, c *engine.Conflict) {
	one := conflictOf(c, to.bag)
	one.Entry = "conflict"
	to.Tail = appendJSON(to.Tail, one)
	to.end(secConflicts)
}

func (j *jsonLines) Close(to *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	for _, d := range doubtful {
		one := doubtfulOf(d)
		one.Entry = "doubtful"
		to.Tail = appendJSON(to.Tail, one)
		to.end(secDoubtful)
	}
	for _, f := range refused {
		one := refusedOf(f)
		one.Entry = "refused"
		to.Tail = appendJSON(to.Tail, one)
		to.end(secRefused)
	}
	to.close()
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

func (j *jsonLines) Add(from *Sheaf) error { return from.stream(j.w) }

func (j *jsonLines) End(t *Totals) error {
	_, err := j.w.Write(appendJSON(nil, jsonLast{
		Entry: "summary", Schema: schema, Books: booksOf(j.head), On: j.head.On, Summary: summaryOf(t), NotInForce: restOf(j.head),
	}))
	return err
}
