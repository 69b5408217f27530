package report

// This file says what rules ask of lengths, in numbers: what holds a club in a plan, and what
// cannot be had together if there is none.

import (
	"math"

	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/lang/unit"
)

// asked is what one side of a constraint asks: "i5 and i6: drop of length by soled 1/4 in as read, at
// least 3/8 in".
func asked(l constrain.Link, full bool) string {
	c := l.Constraint
	in := func(base float64) unit.Amount { return unit.Amount{Base: base, Unit: c.Shown} }
	r := judge.Result{Value: in(c.Value)} // with what it is told from
	words := wording.Subject(data.Linked(l)) + ": " + wording.ValueName(c.Rule) + " "
	read := " as read, "
	if full && c.Spread.U > 0 {
		read = " as read, standard uncertainty " + wording.Above(in(c.Spread.U)) + ", "
	}
	pass := c.Passing()
	if pass.Empty() {
		return words + r.Figure(r.Value) + read + "and no value passes with so much uncertainty"
	}
	limit, edge, open := pass.Low, c.Limits.Lower, c.Limits.OpenLower
	of, beyond, round, guarded := "at least ", "above ", math.Ceil, &r.PassFrom
	if l.Upper {
		limit, edge, open = pass.High, c.Limits.Upper, c.Limits.OpenUpper
		of, beyond, round, guarded = "at most ", "below ", math.Floor, &r.PassTo
	}
	if limit != edge {
		*guarded = in(limit)
		of += in(limit).Text(r.Finer(), round)
		return words + r.Figure(r.Value) + read + of + " to pass with its uncertainty"
	}
	if open {
		of = beyond
	}
	r.Upper = in(limit) // whichever it is
	return words + r.Figure(r.Value) + read + of + r.Written(in(limit))
}
