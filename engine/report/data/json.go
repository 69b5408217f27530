package data

// This file holds the formats of a check that are JSON: an object a line, and the document "ferrule.report/1".

import (
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/judge"
)

// JSON writes an object a line. The member "entry" says what it is: "result", "conflict", "doubtful", "refused",
// "not_read", "column_unused", "summary", and of an order "order_refused", "other_club", "not_on_sheet", "not_ordered".
// As elements they are those of the lists of the document, which say what they are by themselves.
type JSON struct {
	Elements bool
	Tool     Tool
}

// entry is where an object says what it is.
func (j JSON) entry(what string) string {
	if j.Elements {
		return ""
	}
	return what
}

// append appends an object.
func (j JSON) append(dst []byte, v any) []byte {
	if j.Elements {
		dst = appendJSON(append(dst, "\n    "...), v)
		return dst[:len(dst)-1]
	}
	return appendJSON(dst, v)
}

// Result gives a result.
func (j JSON) Result(dst []byte, r *judge.Result, bag *club.Set) []byte {
	one := resultOf(r, bag)
	one.Entry = j.entry("result")
	return j.append(dst, &one)
}

// Conflict gives a subject on which the books disagree.
func (j JSON) Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte {
	one := conflictOf(c, bag)
	one.Entry = j.entry("conflict")
	return j.append(dst, &one)
}

// Remark gives what is said of a row, a cell or a column of the sheet.
func (j JSON) Remark(dst []byte, m Remark) []byte {
	return j.append(dst, m.json(j.entry(m.Of.entry())))
}

// End gives the summary.
func (j JSON) End(dst []byte, h *Head, t *Totals) []byte {
	return appendJSON(dst, slices.Concat(object{"entry", "summary"}, topOf(schema, j.Tool), checkOf(h, t)))
}

// Document begins the document of a check, with all that comes before its lists.
func (j JSON) Document(w io.Writer, h *Head, t *Totals) *Document {
	d := newDocument(w, "json", schema, j.Tool)
	d.object(checkOf(h, t))
	return d
}
