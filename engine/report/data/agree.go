package data

// This file writes whether two sheets of readings agree: the schema "ferrule.agree/1".

import (
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
	Setting    string      `json:"setting,omitempty"`
	Property   string      `json:"property"`
	En         *float64    `json:"en"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Agree      *bool       `json:"agree"`
	Needs      []string    `json:"needs"`
	Reasons    []string    `json:"reasons,omitempty"`
}

type jsonAgreements struct {
	top
	Results  []jsonAgreement `json:"results"`
	Refused  []jsonRefused   `json:"refused"`
	Doubtful []jsonDoubtful  `json:"doubtful,omitempty"`
	NotRead  []jsonRefused   `json:"not_read,omitempty"`
	Unused   []jsonUnused    `json:"columns_unused,omitempty"`
}

// Agree writes what was found.
func Agree(w io.Writer, t Tool, a *Agreements) error {
	out := jsonAgreements{topOf("ferrule.agree/1", t), []jsonAgreement{}, []jsonRefused{}, nil, nil, nil}
	for _, p := range a.Pairs {
		one := jsonAgreement{Set: p.Set, ID: p.ID, Setting: p.Setting, Property: p.Property.Name, En: Number(p.En),
			Difference: differenceOf(&p), Expanded: amountOf(p.Expanded, false),
			Needs: append([]string{}, value.Needs(p.Lacks)...), Reasons: wording.Reasons(p.Lacks)}
		if p.Told {
			one.Agree = &p.Same
		}
		out.Results = append(out.Results, one)
	}
	for _, f := range a.Refused {
		out.Refused = append(out.Refused, refusedOf(f))
	}
	for _, d := range a.Doubtful.List {
		out.Doubtful = append(out.Doubtful, doubtfulOf(d))
	}
	for _, f := range a.NotRead {
		out.NotRead = append(out.NotRead, refusedOf(f))
	}
	for _, u := range a.Unused {
		out.Unused = append(out.Unused, unusedOf(u))
	}
	return write(w, out)
}

// differenceOf is the difference with the text that a bench reads.
func differenceOf(p *compare.Agreement) *jsonAmount {
	d := amountOf(p.Difference, true)
	if d != nil {
		d.Text = p.Difference.String()
	}
	return d
}
