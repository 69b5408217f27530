package data

// This file writes what is to be said of rule books without clubs: the schema "ferrule.vet/1".

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"ferrule/engine/report/wording"
	"ferrule/engine/vet"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// Vetting is what is to be said of rule books.
type Vetting struct {
	Findings []vet.Finding // mistakes too, without a witness
	Books    int           // that were read
	LeftOut  []string      // what was not looked at, as whole sentences without full stop
}

// Add takes in mistakes.
func (v *Vetting) Add(list diag.List) {
	found := each(list, func(d diag.Diagnostic) vet.Finding { return vet.Finding{Diagnostic: d} })
	v.Findings = append(v.Findings, found...)
}

// Sort puts everything in the order of the books and of their text.
func (v *Vetting) Sort() {
	slices.SortStableFunc(v.Findings, func(a, b vet.Finding) int { return diag.Compare(a.Diagnostic, b.Diagnostic) })
}

// spanOf are the members that say where a stretch of a book is; its end is beyond it.
func spanOf(s source.Span) object {
	var from, to source.Pos
	if !s.IsZero() {
		from, to = s.Pos(), s.EndPos()
	}
	return object{"line", from.Line, "column", from.Column, "end_line", to.Line, "end_column", to.Column}
}

// diagnosticOf is a finding.
func diagnosticOf(f vet.Finding) object {
	d, file := f.Diagnostic, ""
	if !d.Span.IsZero() {
		file = d.Span.File.Name
	}
	related := []object{}
	for _, l := range d.Related {
		if !l.Span.IsZero() {
			at := append(object{"file", l.Span.File.Name}, spanOf(l.Span)...)
			related = append(related, append(at, "message", l.Text))
		}
	}
	out := append(object{"code", d.Code, "severity", d.Severity.String(), "file", file}, spanOf(d.Span)...)
	out = append(out, "message", d.Message, "expected", textOrNull(d.Expected), "hint", textOrNull(d.Hint)).
		with(len(d.Notes) > 0, "notes", d.Notes)
	if m := d.Mend; !m.Span.IsZero() {
		out = append(out, "mend", append(spanOf(m.Span), "text", m.Text, "safe", m.Safe))
	}
	out = append(out, "related", related)
	if w := f.Witness; w != nil {
		verdicts := object{}
		for _, v := range w.Verdicts {
			verdicts = append(verdicts, nameOf(v.Rule), verdictOrNull(v.Verdict))
		}
		out = append(out, "witness", append(witnessOf(w.Example), "verdicts", verdicts))
	}
	return out
}

// vetShort writes a line for each finding.
func vetShort(w io.Writer, v *Vetting) error {
	var b bytes.Buffer
	for _, f := range v.Findings {
		d := f.Diagnostic
		if !d.Span.IsZero() {
			at := d.Span.Pos()
			fmt.Fprintf(&b, "%s:%d:%d: ", wording.Visible(d.Span.File.Name), at.Line, at.Column)
		}
		fmt.Fprintf(&b, "%s: %s [%s]\n", d.Severity, wording.Visible(d.Message), d.Code)
	}
	for _, what := range v.LeftOut {
		fmt.Fprintf(&b, "left out: %s\n", wording.Visible(what))
	}
	_, err := w.Write(b.Bytes())
	return err
}

// Vet writes what is to be said of rule books: short, or as JSON.
func Vet(w io.Writer, short bool, t Tool, v *Vetting) error {
	if short {
		return vetShort(w, v)
	}
	d := newDocument(w, "json", "ferrule.vet/1", t)
	list(d, "diagnostics", each(v.Findings, diagnosticOf))
	if len(v.LeftOut) > 0 {
		d.Member("left_out", v.LeftOut)
	}
	return d.End()
}
