package check

// This file checks rules and advice: their subject, exceptions, days, decision and
// mend.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

func (c *checker) rule(e *entry) {
	r := e.Rule
	d := r.Decl
	r.Decision = book.Decision{Kind: ast.Simple}
	own := c.book.Decision
	if d.Decision != nil {
		own = c.decision(d.Decision)
	}
	if r.Stated = own != nil; r.Stated {
		r.Decision = *own
	}
	r.Period = c.period(d.From, d.Until, cmp.Or(d.Name.Text, "this rule"))
	for _, m := range d.Mends {
		c.placeholders(m)
	}
	e.Faulty = c.lacking(d.Broken, d.Name.Span, "the rule "+d.Name.Text, clause{"for", d.For != nil},
		clause{"require", d.Require != nil}) || e.Faulty
	before := c.faults
	if d.For == nil {
		return // nobody knows of what the rest speaks
	}
	r.Subject, r.Among = d.For.Kind, book.Clubs{Decl: d.For.Selector, Info: c.info}
	if d.For.By != nil {
		r.By = book.Part{Expr: d.For.By, Info: c.info}
	}
	s := scope{about: d.For.Kind, facts: &r.Facts}
	c.subject(d.For, &r.Facts)
	var value book.Type
	if d.Require != nil {
		value = c.require(r, s)
	}
	c.exceptions(r, s, value)
	e.Faulty = !c.bounded(e) || e.Faulty
	if c.faults > before || d.Require == nil {
		r.Facts.Faulty = true
		return
	}
	r.Visit(func(p book.Part) bool {
		of := p.Ref()
		r.Facts.Faulty = r.Facts.Faulty || of != nil && of.Method != nil && of.Method.Faulty
		return true
	}, nil)
	c.units(r, value)
	for _, m := range d.Mends {
		c.fallsShort(r, m)
	}
}

// exceptions checks the exceptions of a rule whose value gives value.
func (c *checker) exceptions(r *book.Rule, s scope, value book.Type) {
	first := map[string]*book.Exception{}
	require := r.Decl.Require
	for _, u := range r.Decl.Unless {
		holds := c.truth(u.Condition, s).Kind != book.Faulty
		switch {
		case u.Bound == nil:
		case require == nil:
			c.bound(u.Bound, nil, book.Type{}, s)
		case require.Bound == nil:
			c.beside(diag.BoundForFormula, u.Bound.Span, require.Span, "it requires this",
				"exempt, or the exception as part of the condition",
				"this rule requires a condition, so an exception cannot give another bound")
		default:
			c.bound(u.Bound, require.Value, value, s)
		}
		e := &book.Exception{Decl: u, When: book.Part{Expr: u.Condition, Info: c.info}, Bound: book.NewBound(u.Bound,
			c.info)}
		c.inOrder(r, u)
		r.Unless = append(r.Unless, e)
		if holds && len(r.Decl.Unless) > 1 {
			c.twice(e, first)
		}
	}
}

// inOrder reports an "else unless" with nothing before it, and a plain "unless" behind one.
func (c *checker) inOrder(r *book.Rule, u *ast.Unless) {
	n := len(r.Unless)
	switch {
	case u.Else && n == 0:
		span := u.Span
		span.End = span.Start + len("else")
		c.report(diag.Diagnostic{Code: diag.ExceptionOrder, Span: span,
			Message:  "else unless needs an unless before it, and this is the first exception",
			Expected: "unless alone", Mend: diag.Mend{Span: source.Span{File: span.File, Start: span.Start,
				End: u.Condition.Place().Start}, Text: "unless ", Safe: true}})
	case !u.Else && n > 0 && r.Unless[n-1].Decl.Else:
		c.beside(diag.ExceptionOrder, u.Span, r.Unless[n-1].Decl.Span, "the else unless before it",
			"else unless, or all plain ones before the first else unless",
			"this unless comes after an else unless, so its place among the exceptions is not clear")
	}
}

// fallsShort warns of a mend that says how far a value is beyond its limit where that much is not enough
// to pass.
func (c *checker) fallsShort(r *book.Rule, m *ast.Mend) {
	why := ""
	for _, b := range r.Bounds() {
		switch {
		case r.Decision.Kind != ast.Simple:
			why = "the decision counts the uncertainty"
		case b.Open():
			why = "a value on the limit does not pass"
		}
	}
	if why == "" || strings.Contains(m.Text.Value, "{to-pass}") {
		return
	}
	for _, s := range []ast.Side{ast.Over, ast.Under} {
		word := "{" + s.String() + "}"
		at := strings.Index(m.Text.Value, word)
		if at < 0 {
			continue
		}
		span := m.Text.Span
		span.Start += 1 + at
		span.End = span.Start + len(word)
		c.report(diag.Diagnostic{Code: diag.MendFallsShort, Severity: diag.Warning, Span: span,
			Message: word + " is how far the value is beyond its limit, not how much has to change for it to pass: " +
				why,
			Expected: "{to-pass}", Hint: "{to-pass}"})
	}
}

// inward carries each "not" of a condition inward, so that every comparison is decided as it is meant: "not (X <= Y)"
// is "X > Y", and "not (A and B)" is "(not A) or (not B)". negated asks for the opposite of e. The condition of an "if"
// is never decided and stays as it is.
func (c *checker) inward(e ast.Expr, negated bool) ast.Expr {
	if c.info.Types[e].Kind != book.Truth {
		return e
	}
	out := e
	switch e := e.(type) {
	case *ast.Paren:
		return c.inward(e.X, negated)
	case *ast.Unary:
		return c.inward(e.X, !negated)
	case *ast.Binary:
		b := *e
		if negated {
			b.Op = opposites[e.Op]
		}
		if e.Op == ast.And || e.Op == ast.Or {
			b.X, b.Y = c.inward(e.X, negated), c.inward(e.Y, negated)
		}
		out = &b
	case *ast.If:
		out = &ast.If{Formula: e.Formula, Cond: e.Cond, Then: c.inward(e.Then, negated), Else: c.inward(e.Else,
			negated)}
	default:
		if negated {
			out = &ast.Unary{Formula: ast.Formula{Span: e.Place()}, Op: ast.Not, X: e}
		}
	}
	c.info.Types[out] = book.Type{Kind: book.Truth}
	return out
}

var opposites = map[ast.Op]ast.Op{ast.And: ast.Or, ast.Or: ast.And, ast.Eq: ast.Ne, ast.Ne: ast.Eq,
	ast.Lt: ast.Ge, ast.Le: ast.Gt, ast.Gt: ast.Le, ast.Ge: ast.Lt}

// period is the days from a first to a last one.
func (c *checker) period(first, last *ast.DateClause, what string) book.Period {
	p := book.Period{From: book.NoDay, Until: book.NoDay}
	if first != nil {
		p.From, _ = book.ParseDay(first.Date.Value)
	}
	if last != nil {
		p.Until, _ = book.ParseDay(last.Date.Value)
	}
	if p.Empty() {
		c.beside(diag.EmptyPeriod, last.Span, first.Span, "it begins here", "until on the day of from or after it",
			"%s ends on %s, before it begins on %s", what, p.Until, p.From)
	}
	return p
}

// subject checks what a rule is about.
func (c *checker) subject(f *ast.For, all *book.Facts) {
	s := scope{about: ast.OfClub, facts: all}
	switch {
	case f.Selector == nil:
	case f.Kind == ast.OfSet:
		c.truth(f.Selector.Where, scope{about: ast.OfSet, facts: all})
	default:
		c.selector(f.Selector, s)
	}
	if f.By == nil {
		return
	}
	switch t := c.expr(f.By, s.each("by", all)); {
	case t.Kind == book.Faulty:
	case t.Kind != book.Number || c.info.Constants[f.By] != nil:
		what := describe(t)
		if t.Kind == book.Number {
			what = "the same for every club"
		}
		c.wrong(diag.NotAQuantity, f.By.Span, "a property that is measured, such as number or loft",
			"neighbours cannot be sorted by %s, which is %s", shown(f.By), what)
	}
}

// require checks what a rule requires and brings it into its normal form; it returns what the value gives.
func (c *checker) require(r *book.Rule, s scope) (value book.Type) {
	req := r.Decl.Require
	r.Value = book.Part{Expr: req.Value, Info: c.info}
	in := s
	in.bareSet, in.bareStep = s.about == ast.OfSet, s.about == ast.OfNeighbours
	if req.Bound != nil {
		c.sort = sortBeside(req.Bound.Q)
	}
	value = c.expr(req.Value, in)
	c.sort = ""
	if req.Bound == nil {
		return c.requireCondition(r, value)
	}
	if value.Kind != book.Number && value.Kind != book.Faulty {
		c.noBound(req, value)
		value = book.Type{}
	}
	c.bound(req.Bound, req.Value, value, s)
	r.Bound = book.NewBound(req.Bound, c.info)
	return value
}

// requireCondition checks a requirement without a bound.
func (c *checker) requireCondition(r *book.Rule, t book.Type) book.Type {
	e := r.Value.Expr
	if t.Kind == book.Number {
		return c.wrong(diag.NotACondition, e.Place(), "a bound after it, such as at most 46 in, or a comparison",
			"%s is %s, and nothing says what it must be", shown(e), describe(t))
	}
	if t = c.asCondition(e, t); t.Kind != book.Faulty {
		r.Value.Expr = c.inward(e, false)
		if value, b := book.Comparison(r.Value); b != nil {
			r.Value, r.Bound = value, b
		}
	}
	return t
}

// boundSigns are the comparisons that say what bounds say.
var boundSigns = map[ast.BoundKind]string{ast.AtMost: "<=", ast.AtLeast: ">=", ast.Below: "<", ast.Above: ">",
	ast.Is: "="}

// noBound reports a bound behind a day, a text or a condition.
func (c *checker) noBound(req *ast.Require, t book.Type) {
	d := diag.Diagnostic{Code: diag.NotAQuantity, Span: req.Bound.Span,
		Message:  fmt.Sprintf("%s is %s, and a bound is for quantities", shown(req.Value), describe(t)),
		Expected: "a comparison"}
	if sign := boundSigns[req.Bound.Kind]; sign != "" && (t.Kind == book.DayType || sign == "=") &&
		t.Kind != book.Truth {
		d.Hint = text(req.Value.Place()) + " " + sign + " " + text(req.Bound.Q.Place())
		d.Mend = diag.Mend{Span: req.Value.Place().To(req.Bound.Span), Text: d.Hint, Safe: true}
	} else if t.Kind == book.Truth {
		d.Expected = "the condition alone"
	}
	c.report(d)
}

// twice reports exceptions with the same condition.
func (c *checker) twice(e *book.Exception, first map[string]*book.Exception) {
	key := c.keys.Part(e.When)
	before := first[key]
	if before == nil {
		first[key] = e
		return
	}
	d := diag.Diagnostic{Code: diag.ExceptionsDiffer, Span: e.Decl.Span,
		Message:  "two exceptions have the same condition and differ",
		Expected: "one of them, or two conditions that never hold together",
		Related:  []diag.Label{{Span: before.Decl.Span, Text: "the other one"}}}
	if e.Decl.Else {
		d.Code, d.Severity, d.Message, d.Expected = diag.NeverReached, diag.Warning,
			"this exception is never reached: an earlier one has the same condition", "another condition"
		d.Related[0].Text = "the earlier one"
	} else if c.keys.Bound(e.Bound) == c.keys.Bound(before.Bound) {
		d.Code, d.Severity, d.Message, d.Expected = diag.ExceptionsRepeat, diag.Warning, "this exception is here twice",
			"it once"
	}
	c.clash(d)
}

// placeholderNames are what a mend may have in braces.
var placeholderNames = []string{"club", "value", "limit", "over", "under", "to-pass", "margin"}

// placeholders checks the names in braces of a mend.
func (c *checker) placeholders(m *ast.Mend) {
	expected := "one of {" + strings.Join(placeholderNames, "} {") + "}"
	rest, at := m.Text.Value, m.Text.Span.Start+1
	for open := strings.IndexByte(rest, '{'); open >= 0; open = strings.IndexByte(rest, '{') {
		rest, at = rest[open:], at+open
		word := rest[:strings.IndexByte(rest, '}')+1]
		d := diag.Diagnostic{Code: diag.UnknownPlaceholder, Expected: expected,
			Span: source.Span{File: m.Text.Span.File, Start: at, End: at + max(1, len(word))}}
		if word == "" {
			d.Message = "this brace is not closed"
			c.report(d)
			return
		}
		rest, at = rest[len(word):], at+len(word)
		name := word[1 : len(word)-1]
		if slices.Contains(placeholderNames, name) {
			continue
		}
		d.Message = diag.Quote(word) + " means nothing in a mend"
		if n := strings.TrimSpace(name); slices.Contains(placeholderNames, n) {
			d.Hint, d.Mend = "{"+n+"}", diag.Mend{Span: d.Span, Text: "{" + n + "}", Safe: true}
		} else if near := c.near(n, placeholderNames); near != "" {
			d.Hint = "{" + near + "}"
		}
		c.report(d)
	}
}

// units finds the units in which the amounts of a rule are shown, whose requirement gives a value of a type: that of
// its limit as it is written first, none for a rule without a quantity.
func (c *checker) units(r *book.Rule, value book.Type) {
	for _, p := range append(r.Bound.Parts(), r.Value) {
		p.Visit(func(q book.Part) bool {
			var u *unit.Unit
			of := q.Ref()
			if e, ok := q.Expr.(*ast.Quantity); ok && e.Value.HasUnit {
				u = e.Value.Unit
			} else if of != nil && of.Kind == book.RefChart {
				u = of.Chart.Values[0].Unit
			}
			if r.Unit == nil && u != nil && (value.Kind != book.Number || u.Dim == value.Dim) {
				r.Unit = u
			}
			return r.Unit == nil && !q.Chooses()
		}, nil)
	}
	if r.Unit == nil && value.Kind == book.Number {
		r.Unit = unit.Base(value.Dim)
	}
	dim := r.Value.Type().Dim
	for _, b := range r.Bounds() {
		if b.Unit == nil || b.Unit.Dim != dim {
			b.Unit = unit.Base(dim)
			if r.Unit != nil && r.Unit.Dim == dim {
				b.Unit = r.Unit
			}
		}
	}
}
