package data

// This file writes how often a rule is wrong: the schema "ferrule.risk/1".

import (
	"io"

	"ferrule/engine/compare"
	"ferrule/engine/report/wording"
)

// RiskOf says what a risk was worked out for.
type RiskOf struct {
	Like  string         // the club, in words; empty for any that the rule is about
	Stock *compare.Stock // nil: none
}

type jsonChances struct {
	True     *jsonAmount `json:"true"`
	Pass     float64     `json:"pass"`
	Fail     float64     `json:"fail"`
	TooClose float64     `json:"too-close"`
}

type jsonStock struct {
	Mean      *jsonAmount `json:"mean"`
	Deviation *jsonAmount `json:"standard_deviation"`
}

type jsonRisk struct {
	top
	Rule        string        `json:"rule"`
	Book        string        `json:"book"`
	Line        int           `json:"line"`
	Decision    string        `json:"decision"`
	Method      string        `json:"method"`
	By          string        `json:"rule_method"`
	Like        *string       `json:"like"`
	Uncertainty *jsonAmount   `json:"standard_uncertainty"`
	Limit       *jsonLimit    `json:"limit"`
	Curve       []jsonChances `json:"curve"`
	Stock       *jsonStock    `json:"stock,omitempty"`
	Consumers   *float64      `json:"consumers_risk,omitempty"`
	Producers   *float64      `json:"producers_risk,omitempty"`
}

// Risk writes how often a rule is wrong.
func Risk(w io.Writer, t Tool, r *compare.Risk, o RiskOf) error {
	out := jsonRisk{
		top:  topOf("ferrule.risk/1", t),
		Rule: nameOf(r.Rule), Book: r.Rule.Book.Name, Line: r.Rule.Decl.Span.Line(),
		Decision: wording.Decision(r.Decision), Method: r.By, By: r.To, Like: textOrNull(o.Like), Uncertainty: amountOf(r.Uncertainty, false),
		Limit: &jsonLimit{Lower: amountOf(r.Lower, false), Upper: amountOf(r.Upper, false), Open: r.Open},
	}
	out.Curve = each(r.Curve(), func(c compare.Chances) jsonChances {
		return jsonChances{amountOf(c.True, false), c.Pass, c.Fail, c.TooClose}
	})
	if o.Stock != nil {
		consumers, producers := r.Global(*o.Stock)
		out.Stock = &jsonStock{amountOf(o.Stock.Mean, false), amountOf(o.Stock.Deviation, false)}
		out.Consumers, out.Producers = &consumers, &producers
	}
	return write(w, out)
}
