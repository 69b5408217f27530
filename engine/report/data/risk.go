package data

// This file writes how often a rule is wrong: the schema "ferrule.risk/1".

import (
	"io"

	"ferrule/engine/compare"
	"ferrule/engine/report/wording"
	"ferrule/lang/lists"
)

// RiskOf says what a risk was worked out for.
type RiskOf struct {
	Like  string         // the club, in words; empty for any that the rule is about
	Stock *compare.Stock // nil: none
	On    string         // the day
}

// Risk writes how often a rule is wrong.
func Risk(w io.Writer, t Tool, r *compare.Risk, o RiskOf) error {
	d := newDocument(w, "json", "ferrule.risk/1", t)
	d.object(object{"rule", nameOf(r.Rule), "book", r.Rule.Book.Name, "line", r.Rule.Decl.Span.Line(),
		"decision", wording.Decision(r.Decision), "method", r.By, "rule_method", r.To, "like", textOrNull(o.Like),
		"on", o.On,
		"standard_uncertainty", amountOf(r.Uncertainty, false),
		"limit", jsonLimit{amountOf(r.Lower, false), amountOf(r.Upper, false), r.Open}})
	list(d, "curve", lists.Each(r.Curve(), func(c compare.Chances) object {
		return object{"true", amountOf(c.True, false), "pass", c.Pass, "fail", c.Fail, "too-close", c.TooClose}
	}))
	if s := o.Stock; s != nil {
		consumers, producers := r.Global(*s)
		of := object{"mean", amountOf(s.Mean, false), "standard_deviation", amountOf(s.Deviation, false)}
		d.object(object{"stock", of, "consumers_risk", consumers, "producers_risk", producers})
	}
	return d.End()
}
