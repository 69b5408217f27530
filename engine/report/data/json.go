package data

// This file holds the formats of a check that are JSON: an object a line, and the document "ferrule.report/1".

import (
	"io"

	"ferrule/engine"
	"ferrule/engine/club"
)

// Lines writes an object a line. The member "entry" says what it is: "result", "conflict", "doubtful", "refused",
// "summary".
type Lines struct{}

type jsonLast struct {
	Entry      string      `json:"entry"`
	Schema     string      `json:"schema"`
	Books      []jsonBook  `json:"books"`
	On         string      `json:"on"`
	Summary    jsonSummary `json:"summary"`
	NotInForce []jsonRest  `json:"not_in_force"`
}

func (Lines) Begin(dst []byte, _ *Head) []byte { return dst }

func (Lines) Result(dst []byte, r *engine.Result, bag *club.Set) []byte {
	one := resultOf(r, bag)
	one.Entry = "result"
	return appendJSON(dst, one)
}

func (Lines) Conflict(dst []byte, c *engine.Conflict, bag *club.Set) []byte {
	one := conflictOf(c, bag)
	one.Entry = "conflict"
	return appendJSON(dst, one)
}

func (Lines) Doubt(dst []byte, d club.Doubt) []byte {
	one := doubtfulOf(d)
	one.Entry = "doubtful"
	return appendJSON(dst, one)
}

func (Lines) Refusal(dst []byte, f club.Refusal) []byte {
	one := refusedOf(f)
	one.Entry = "refused"
	return appendJSON(dst, one)
}

func (Lines) End(dst []byte, h *Head, t *Totals) []byte {
	return appendJSON(dst, jsonLast{
		Entry: "summary", Schema: schema, Books: booksOf(h), On: h.On, Summary: summaryOf(t), NotInForce: restOf(h),
	})
}

// Elements are the elements of the lists of the document, each on a line of its own.
type Elements struct{}

func (Elements) Begin(dst []byte, _ *Head) []byte { return dst }

func (Elements) Result(dst []byte, r *engine.Result, bag *club.Set) []byte {
	return appendElement(dst, resultOf(r, bag))
}

func (Elements) Conflict(dst []byte, c *engine.Conflict, bag *club.Set) []byte {
	return appendElement(dst, conflictOf(c, bag))
}

func (Elements) Doubt(dst []byte, d club.Doubt) []byte { return appendElement(dst, doubtfulOf(d)) }

func (Elements) Refusal(dst []byte, f club.Refusal) []byte { return appendElement(dst, refusedOf(f)) }

func (Elements) End(dst []byte, _ *Head, _ *Totals) []byte { return dst }

func appendElement(dst []byte, v any) []byte {
	dst = appendJSON(append(dst, "\n    "...), v)
	return dst[:len(dst)-1]
}

// CheckDocument begins the document of a check, with all that comes before its lists.
func CheckDocument(w io.Writer, h *Head, t *Totals) *Document {
	d := NewDocument(w, schema)
	d.Member("books", booksOf(h))
	d.Member("on", h.On)
	d.Member("not_in_force", restOf(h))
	d.Member("summary", summaryOf(t))
	return d
}
