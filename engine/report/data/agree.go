package data

// This file writes whether two sheets of readings agree: the schema "ferrule.agree/1".

import (
	"cmp"
	"io"

	"ferrule/engine/compare"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
)

// Agreements is what was found out about two sheets.
type Agreements struct {
	Sheets [2]string // their names
	Pairs  []compare.Agreement
	Rows   int // that became clubs
	Notes
}

type jsonAgreement struct {
	Set        string      `json:"set"`
	ID         string      `json:"id"`
	Club       string      `json:"-" csv:"club"`
	Setting    string      `json:"setting,omitempty"`
	Property   string      `json:"property"`
	En         *float64    `json:"en"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Agree      *bool       `json:"agree"`
	Needs      []string    `json:"needs"`
	Reasons    []string    `json:"reasons,omitempty"`
}

// Agree writes what was found.
func Agree(w io.Writer, format string, t Tool, a *Agreements) error {
	pairs := each(a.Pairs, func(p compare.Agreement) jsonAgreement {
		one := jsonAgreement{Set: p.Set, ID: p.ID, Club: cmp.Or(p.First, p.Second).Spoken(), Setting: p.Setting,
			Property: p.Property.Name, En: Number(p.En),
			Difference: amountOf(p.Difference, true), Expanded: amountOf(p.Expanded, false),
			Needs: append([]string{}, value.Needs(p.Lacks)...), Reasons: wording.Reasons(p.Lacks)}
		if p.Told {
			one.Agree = &p.Same
		}
		return one
	})
	return Results(w, format, "ferrule.agree/1", t, pairs, &a.Notes)
}
