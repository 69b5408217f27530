package data

// This file writes what is to be said of rule books without clubs: the schema "ferrule.vet/1".

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"ferrule/engine/report/wording"
	"ferrule/engine/space"
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

// jsonRows are the rows of a witness, ready to be lines of a sheet and of an order.
type jsonRows struct {
	Rows  []space.Row `json:"rows"`
	Order []space.Row `json:"order,omitempty"`
}

func rowsOf(rows []space.Row) (out jsonRows) {
	out.Rows, out.Order = space.Split(rows)
	return out
}

type jsonWitness struct {
	On *string `json:"on"`
	jsonRows
	Subject  jsonShown       `json:"subject"`
	Verdicts json.RawMessage `json:"verdicts"`
}

// jsonSpan is a stretch of a book; its end is beyond it.
type jsonSpan struct {
	Line      int `json:"line"`
	Column    int `json:"column"`
	EndLine   int `json:"end_line"`
	EndColumn int `json:"end_column"`
}

func spanOf(s source.Span) jsonSpan {
	from, to := s.Pos(), s.EndPos()
	return jsonSpan{from.Line, from.Column, to.Line, to.Column}
}

// jsonMend is a change of text: the span is replaced.
type jsonMend struct {
	jsonSpan
	Text string `json:"text"`
	Safe bool   `json:"safe"`
}

type jsonRelated struct {
	File string `json:"file"`
	jsonSpan
	Message string `json:"message"`
}

type jsonDiagnostic struct {
	Code     string `json:"code"`
	Severity string `json:"severity"`
	File     string `json:"file"`
	jsonSpan
	Message  string        `json:"message"`
	Expected *string       `json:"expected"`
	Hint     *string       `json:"hint"`
	Notes    []string      `json:"notes,omitempty"`
	Mend     *jsonMend     `json:"mend,omitempty"`
	Related  []jsonRelated `json:"related"`
	Witness  *jsonWitness  `json:"witness,omitempty"`
}

func witnessOf(w *space.Witness) *jsonWitness {
	if w == nil {
		return nil
	}
	out := &jsonWitness{On: textOrNull(w.On.String()), jsonRows: rowsOf(w.Rows)}
	out.Subject = jsonShown{wording.Kind(w.Of), "", append([]string{}, w.Clubs...)}
	var verdicts []byte
	for _, v := range w.Verdicts {
		verdicts = append(append(verdicts, ','), inline(v.Rule.Decl.Name.Text)...)
		verdicts = append(append(verdicts, ':'), inline(verdictOrNull(v.Verdict))...)
	}
	out.Verdicts = slices.Concat([]byte{'{'}, bytes.TrimPrefix(verdicts, []byte{','}), []byte{'}'})
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
	out := struct {
		top
		Diagnostics []jsonDiagnostic `json:"diagnostics"`
		LeftOut     []string         `json:"left_out,omitempty"`
	}{topOf("ferrule.vet/1", t), []jsonDiagnostic{}, v.LeftOut}
	for _, f := range v.Findings {
		d := f.Diagnostic
		one := jsonDiagnostic{
			Code: string(d.Code), Severity: d.Severity.String(), Message: d.Message,
			Expected: textOrNull(d.Expected), Hint: textOrNull(d.Hint), Notes: d.Notes, Related: []jsonRelated{},
			Witness: witnessOf(f.Witness),
		}
		if !d.Span.IsZero() {
			one.File, one.jsonSpan = d.Span.File.Name, spanOf(d.Span)
		}
		if m := d.Mend; !m.Span.IsZero() {
			one.Mend = &jsonMend{spanOf(m.Span), m.Text, m.Safe}
		}
		for _, l := range d.Related {
			if l.Span.IsZero() {
				continue
			}
			one.Related = append(one.Related, jsonRelated{l.Span.File.Name, spanOf(l.Span), l.Text})
		}
		out.Diagnostics = append(out.Diagnostics, one)
	}
	return write(w, out)
}
