package data

// This file writes what comes of readings: the lengths of a sheet by another method, "ferrule.convert/1", and whether
// two sheets agree, "ferrule.agree/1".

import (
	"cmp"
	"io"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/judge"
	"ferrule/lang/lists"
)

type jsonLength struct {
	jsonClub
	Setting     string      `json:"setting,omitempty"`
	From        *string     `json:"from"`
	To          string      `json:"to"`
	Value       *jsonAmount `json:"value"`
	Uncertainty *jsonAmount `json:"standard_uncertainty"`
	Expanded    *jsonAmount `json:"expanded_uncertainty"`
	jsonLacks
	Rows  []jsonRow  `json:"rows"`
	Steps []jsonStep `json:"steps"`
}

func lengthOf(set string, l judge.Length) jsonLength {
	out := jsonLength{jsonClub: clubOf(set, l.Club), Setting: l.Club.Setting, From: textOrNull(l.From), To: l.To,
		Value: amountOf(l.Value, true), Uncertainty: amountOf(l.U, false), Expanded: amountOf(l.Expanded, false),
		jsonLacks: lacksOf(l.Lacks), Rows: []jsonRow{rowOf(l.Club)}, Steps: stepsOf(&judge.Result{}, l.Steps)}
	if out.Value != nil {
		out.Value.Text, out.Needs = l.Value.String(), []string{}
	} else if len(out.Needs) == 0 {
		out.Needs = append(out.Needs, "method") // one that covers the club
	}
	return out
}

// Lengths writes them set by set as they come.
type Lengths struct{ sets }

// NewLengths begins a document of lengths.
func NewLengths(w io.Writer, format string, t Tool, head *Head) *Lengths {
	d := head.begin(w, format, "ferrule.convert/1", t, jsonLength{})
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

// Agreements is what was found out about two sheets.
type Agreements struct {
	*Head
	Sheets [2]string // their names
	Pairs  []compare.Agreement
	Notes
}

type jsonAgreement struct {
	jsonClub
	Setting    string      `json:"setting,omitempty"`
	Property   string      `json:"property"`
	En         *float64    `json:"en"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Agree      *bool       `json:"agree"`
	jsonLacks
	Rows []jsonRow `json:"rows"`
}

// Agree writes what was found.
func Agree(w io.Writer, format string, t Tool, a *Agreements) error {
	pairs := lists.Each(a.Pairs, func(p compare.Agreement) jsonAgreement {
		one := jsonAgreement{jsonClub: clubOf(p.Set, cmp.Or(p.First, p.Second)), Setting: p.Setting,
			Property: p.Property.Name, En: Number(p.En), Difference: amountOf(p.Difference.Value, true),
			Expanded: amountOf(p.Expanded, false), jsonLacks: lacksOf(p.Lacks)}
		one.ID = p.ID
		both := []*club.Club{p.First, p.Second}
		one.Rows = lists.Each(lists.Kept(both, func(c *club.Club) bool { return c != nil }), rowOf)
		if p.Told {
			one.Agree = &p.Same
		}
		return one
	})
	d := a.begin(w, format, "ferrule.agree/1", t, jsonAgreement{})
	list(d, "results", pairs)
	a.members(d)
	return d.End()
}
