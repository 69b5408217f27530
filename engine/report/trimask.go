package report

// This file says what rules ask of lengths, in numbers: what holds a club in a plan, and what
// cannot be had together if there is none.

import (
	"math"

	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// linksOf are those of a rule.
func linksOf(ring []constrain.Link, r *book.Rule) []constrain.Link {
	var out []constrain.Link
	for _, l := range ring {
		if l.Constraint.Rule == r {
			out = append(out, l)
		}
	}
	return out
}

// asked is what one side of a constraint asks: "i5 and i6: drop of length by soled 1/4 in as read, at
// least 3/8 in".
func asked(l constrain.Link, full bool) string {
	c := l.Constraint
	in := func(base float64) unit.Amount { return unit.Amount{Base: base, Unit: c.Shown} }
	r := judge.Result{Value: in(c.Value)} // with what it is told from
	words := string(wording.AppendSubject(nil, data.Linked(l))) + ": " + wording.ValueName(c.Rule) + " "
	sure := ""
	if full && c.Spread.U > 0 {
		sure = ", standard uncertainty " + wording.Above(in(c.Spread.U))
	}
	pass := c.Passing()
	if pass.Empty() {
		return words + r.Figure(r.Value) + " as read" + sure + ", and no value passes with so much uncertainty"
	}
	limit, edge, of, open := pass.Low, c.Limits.Lower, "at least", c.Limits.OpenLower
	if l.Upper {
		limit, edge, of, open = pass.High, c.Limits.Upper, "at most", c.Limits.OpenUpper
	}
	switch {
	case open && limit == edge && l.Upper:
		of = "below"
	case open && limit == edge:
		of = "above"
	}
	switch {
	case limit == edge:
		r.Upper = in(limit) // whichever it is
	case l.Upper:
		r.PassTo = in(limit)
	default:
		r.PassFrom = in(limit)
	}
	words += r.Figure(r.Value) + " as read" + sure + ", " + of + " "
	switch {
	case limit == edge:
		return words + r.Written(in(limit))
	case l.Upper:
		return words + in(limit).Text(r.Finer(), math.Floor) + " to pass with its uncertainty"
	}
	return words + in(limit).Text(r.Finer(), math.Ceil) + " to pass with its uncertainty"
}
