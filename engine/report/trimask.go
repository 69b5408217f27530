package report

// This file says what rules ask of lengths, in numbers: what holds a club in a plan, and what
// cannot be had together where there is none.

import (
	"math"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/lang/book"
)

// ruleName is the name of a rule; nil of none.
func ruleName(r *book.Rule) *string {
	if r == nil {
		return nil
	}
	return &r.Decl.Name.Text
}

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

// how says more of what holds a club, where more was asked for.
func (t *Trims) how(l constrain.Link) string {
	if !t.o.full() {
		return ""
	}
	return ": " + asked(l, t.o.Depth == Full)
}

// asked is what one side of a constraint asks: "i5 and i6: drop of length by soled 1/4 in as read, at
// least 3/8 in".
func asked(l constrain.Link, full bool) string {
	c := l.Constraint
	in := func(base float64) engine.Amount { return engine.Amount{Base: base, Unit: c.Shown} }
	r := engine.Result{Value: in(c.Value)} // with what it is told from
	words := string(appendSubject(nil, linked(l))) + ": " + valueName(c.Rule) + " "
	sure := ""
	if full && c.Spread.U > 0 {
		sure = ", standard uncertainty " + above(in(c.Spread.U))
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

// linked are the clubs of a constraint, as its rule names them.
func linked(l constrain.Link) engine.Subject {
	c := l.Constraint
	s := engine.Subject{Kind: c.Subject.Kind}
	for _, k := range []*club.Club{c.Plus, c.Minus} {
		if k != nil {
			s.Clubs = append(s.Clubs, k)
		}
	}
	if len(c.Subject.Clubs) == len(s.Clubs) {
		return c.Subject
	}
	return s
}

func linkOf(l constrain.Link) jsonLink {
	c := l.Constraint
	out := jsonLink{Rule: c.Rule.Decl.Name.Text, Book: c.Rule.Book.Name, Line: c.Rule.Decl.Span.Line(), Clubs: []string{},
		Value: amountOf(engine.Amount{Base: c.Value, Unit: c.Shown}, true)}
	for _, k := range linked(l).Clubs {
		out.Clubs = append(out.Clubs, k.ID)
	}
	if pass := c.Passing(); l.Upper {
		out.AtMost = amountOf(engine.Amount{Base: pass.High, Unit: c.Shown}, true)
	} else {
		out.AtLeast = amountOf(engine.Amount{Base: pass.Low, Unit: c.Shown}, true)
	}
	return out
}
