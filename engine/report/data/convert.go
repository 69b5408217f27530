package data

// This file writes the lengths of a sheet by another method: the schema "ferrule.convert/1".

import (
	"io"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
)

type jsonLength struct {
	Set         string      `json:"set"`
	ID          string      `json:"id"`
	Club        string      `json:"-" csv:"club"`
	Setting     string      `json:"setting,omitempty"`
	From        *string     `json:"from"`
	To          string      `json:"to"`
	Value       *jsonAmount `json:"value"`
	Uncertainty *jsonAmount `json:"standard_uncertainty"`
	Expanded    *jsonAmount `json:"expanded_uncertainty"`
	Needs       []string    `json:"needs"`
	Reasons     []string    `json:"reasons,omitempty"`
	Steps       []jsonStep  `json:"steps"`
}

func lengthOf(set string, l judge.Length) jsonLength {
	out := jsonLength{Set: set, ID: l.Club.ID, Club: l.Club.Spoken(), Setting: l.Club.Setting, From: textOrNull(l.From), To: l.To,
		Value: amountOf(l.Value, true), Uncertainty: amountOf(l.U, false), Expanded: amountOf(l.Expanded, false),
		Needs: []string{}, Reasons: wording.Reasons(l.Lacks), Steps: stepsOf(&judge.Result{}, l.Steps)}
	if out.Value != nil {
		out.Value.Text = l.Value.String()
	} else if out.Needs = append(out.Needs, value.Needs(l.Lacks)...); len(out.Needs) == 0 {
		out.Needs = append(out.Needs, "method") // one that covers the club
	}
	return out
}

// Lengths writes them set by set as they come.
type Lengths struct{ sets }

// NewLengths begins a document of lengths.
func NewLengths(w io.Writer, format string, t Tool) *Lengths {
	d := newDocument(w, format, "ferrule.convert/1", t, jsonLength{})
	d.Open("results")
	return &Lengths{sets{Document: d}}
}

// Add writes the lengths of a set, one for each row that was read.
func (l *Lengths) Add(s *club.Set, lengths []judge.Length, doubtful []club.Doubt) {
	l.notes.Note(s, doubtful)
	for _, one := range lengths {
		l.element(lengthOf(s.Name, one))
	}
}
