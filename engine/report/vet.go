package report

import (
	"io"

	"ferrule/lang/diag"
)

type jsonDiagnostic struct {
	Code      string        `json:"code"`
	Severity  string        `json:"severity"`
	File      string        `json:"file"`
	Line      int           `json:"line"`
	Column    int           `json:"column"`
	EndLine   int           `json:"end_line"`
	EndColumn int           `json:"end_column"`
	Message   string        `json:"message"`
	Expected  *string       `json:"expected"`
	Hint      *string       `json:"hint"`
	Notes     []string      `json:"notes,omitempty"`
	Mend      *jsonMend     `json:"mend,omitempty"`
	Related   []jsonRelated `json:"related"`
}

// jsonMend is a change of text: what stands from line and column up to the end is replaced.
type jsonMend struct {
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	EndLine   int    `json:"end_line"`
	EndColumn int    `json:"end_column"`
	Text      string `json:"text"`
	Safe      bool   `json:"safe"`
}

type jsonRelated struct {
	File      string `json:"file"`
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	EndLine   int    `json:"end_line"`
	EndColumn int    `json:"end_column"`
	Message   string `json:"message"`
}

// Diagnostics writes the mistakes of rule books as a document of the schema
// "ferrule.vet/1".
func Diagnostics(w io.Writer, list diag.List) error {
	out := struct {
		Schema      string           `json:"schema"`
		Diagnostics []jsonDiagnostic `json:"diagnostics"`
	}{"ferrule.vet/1", []jsonDiagnostic{}}
	for _, d := range list {
		one := jsonDiagnostic{
			Code: string(d.Code), Severity: d.Severity.String(), Message: d.Message,
			Expected: textOrNull(d.Expected), Hint: textOrNull(d.Hint), Notes: d.Notes, Related: []jsonRelated{},
		}
		if !d.Span.IsZero() {
			from, to := d.Span.Pos(), d.Span.EndPos()
			one.File = d.Span.File.Name
			one.Line, one.Column, one.EndLine, one.EndColumn = from.Line, from.Column, to.Line, to.Column
		}
		if m := d.Mend; !m.Span.IsZero() {
			from, to := m.Span.Pos(), m.Span.EndPos()
			one.Mend = &jsonMend{from.Line, from.Column, to.Line, to.Column, m.Text, m.Safe}
		}
		for _, l := range d.Related {
			if l.Span.IsZero() {
				continue
			}
			from, to := l.Span.Pos(), l.Span.EndPos()
			one.Related = append(one.Related, jsonRelated{l.Span.File.Name, from.Line, from.Column, to.Line, to.Column, l.Text})
		}
		out.Diagnostics = append(out.Diagnostics, one)
	}
	return writeJSON(w, out)
}
