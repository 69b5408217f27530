package data

// This file writes what is to be said of rule books without clubs: the schema "ferrule.vet/1".

import (
	"encoding/json"
	"io"
	"slices"

	"ferrule/engine/space"
	"ferrule/engine/vet"
	"ferrule/lang/ast"
	"ferrule/lang/diag"
)

// Vetting is what is to be said of rule books.
type Vetting struct {
	Findings []vet.Finding // mistakes too, without a witness
	Books    int           // that were read
	LeftOut  []string      // what was not looked at, as whole sentences without full stop
}

// Add takes in mistakes.
func (v *Vetting) Add(list diag.List) {
	for _, d := range list {
		v.Findings = append(v.Findings, vet.Finding{Diagnostic: d})
	}
}

// Sort puts everything in the order of the books and of their text.
func (v *Vetting) Sort() {
	slices.SortStableFunc(v.Findings, func(a, b vet.Finding) int { return diag.Compare(a.Diagnostic, b.Diagnostic) })
}

// jsonWitness is a witness, its rows ready to be lines of a sheet.
type jsonWitness struct {
	On      *string     `json:"on"`
	Rows    []space.Row `json:"rows"`
	Subject struct {
		Of    string   `json:"of"`
		Set   string   `json:"set"`
		Clubs []string `json:"clubs"`
	} `json:"subject"`
	Verdicts json.RawMessage `json:"verdicts"`
}

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
	Witness   *jsonWitness  `json:"witness,omitempty"`
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

func witnessOf(w *space.Witness) *jsonWitness {
	if w == nil {
		return nil
	}
	out := &jsonWitness{On: textOrNull(w.On.String()), Rows: w.Rows}
	out.Subject.Of = map[ast.SubjectKind]string{ast.OfClub: "club", ast.OfNeighbours: "neighbours", ast.OfSet: "set"}[w.Of]
	out.Subject.Clubs = append([]string{}, w.Clubs...)
	verdicts := []byte{'{'}
	for i, v := range w.Verdicts {
		if i > 0 {
			verdicts = append(verdicts, ',')
		}
		name, _ := json.Marshal(v.Rule.Decl.Name.Text)
		verdicts = append(append(verdicts, name...), ':')
		if v.Verdict == 0 {
			verdicts = append(verdicts, "null"...)
		} else {
			verdicts = append(verdicts, '"')
			verdicts = append(append(verdicts, v.Verdict.String()...), '"')
		}
	}
	out.Verdicts = append(verdicts, '}')
	return out
}

// Vet writes what is to be said of rule books.
func Vet(w io.Writer, v *Vetting) error {
	out := struct {
		Schema      string           `json:"schema"`
		Diagnostics []jsonDiagnostic `json:"diagnostics"`
		LeftOut     []string         `json:"left_out,omitempty"`
	}{"ferrule.vet/1", []jsonDiagnostic{}, v.LeftOut}
	for _, f := range v.Findings {
		d := f.Diagnostic
		one := jsonDiagnostic{
			Code: string(d.Code), Severity: d.Severity.String(), Message: d.Message,
			Expected: textOrNull(d.Expected), Hint: textOrNull(d.Hint), Notes: d.Notes, Related: []jsonRelated{},
			Witness: witnessOf(f.Witness),
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
	return write(w, out)
}
