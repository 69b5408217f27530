package check

// This file checks the head of a book and what says how clubs are measured: methods,
// allowances and the shapes of heads.

import (
	"cmp"
	"fmt"
	"math/big"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// bounds says which figures make sense in a place.
type figureRange int

const (
	anyFigure figureRange = iota
	notBelowZero
	aboveZero
)

// figure is a constant formula; nil where it is faulty. what says what it is.
func (c *checker) figure(e ast.Expr, what string) *book.Constant {
	t := c.expr(e, scope{constantFor: what, facts: &book.Facts{}})
	k := c.info.Constants[e]
	if k == nil && t.Kind != book.Faulty {
		c.wrong(diag.NotConstant, e.Place(), "a quantity, as in 1/8 in",
			"%s is a plain quantity, and %s is %s", what, shown(e), describe(t))
	}
	return k
}

// amount is a constant of a dimension; nil where it is faulty.
func (c *checker) amount(e ast.Expr, d unit.Dim, allowed figureRange, what string) *book.Constant {
	before := c.faults
	k := c.figure(e, what)
	if k != nil && c.fits(e, quantity(d), what+" is "+unit.Article(d.String())) {
		c.sensible(e, k, allowed, what)
	}
	if c.faults > before {
		return nil
	}
	return k
}

// sensible reports a constant below zero, or zero, where that is senseless.
func (c *checker) sensible(e ast.Expr, k *book.Constant, allowed figureRange, what string) {
	sign := k.Exact.Sign()
	expected := "a quantity above 0"
	switch {
	case allowed == anyFigure || sign > 0 || sign == 0 && allowed == notBelowZero:
		return
	case allowed == notBelowZero:
		expected = "0 or more"
	}
	hint := ""
	if u, ok := e.(*ast.Unary); ok && u.Op == ast.Neg {
		hint = text(u.X.Place())
	}
	c.hinted(diag.SenselessFigure, e.Place(), expected, hint, "%s cannot be %s", what, text(e.Place()))
}

func (c *checker) quantity(q *ast.QuantityClause, d unit.Dim, allowed figureRange, what string) *book.Constant {
	if q == nil {
		return nil
	}
	return c.amount(q.Value, d, allowed, what)
}

func (c *checker) header(h *ast.Header) {
	if h == nil {
		return
	}
	b := c.book
	b.Event, b.Contact = said(h.Event), said(h.Contact)
	if h.Title != nil {
		b.Title = h.Title.Value
	}
	if h.Edition != nil {
		b.Edition = h.Edition.Date.Value
	}
	if l := h.Language; l != nil {
		v := l.Edition.Value
		if v.HasUnit || !v.Number.IsInt() || v.Number.Sign() <= 0 {
			c.wrong(diag.SenselessFigure, l.Edition.Span, "a whole number from 1",
				"%s is not an edition of the language", diag.Quote(v.Text))
		}
	}
	if h.Decision != nil {
		b.Decision = c.decision(h.Decision)
	}
	b.ButtMass = c.quantity(h.ButtMass, unit.LineMass, aboveZero, "butt-mass")
	b.TipMass = c.quantity(h.TipMass, unit.LineMass, aboveZero, "tip-mass")
	b.Extension = c.quantity(h.Extension, unit.Length, notBelowZero, "the extension")
}

func said(t *ast.TextClause) string {
	if t == nil {
		return ""
	}
	return t.Text.Value
}

// decision checks a decision with its level; nil where it is faulty.
func (c *checker) decision(d *ast.Decision) *book.Decision {
	if d.Kind == ast.Simple || d.Level == nil {
		return &book.Decision{Kind: d.Kind, Span: d.Span}
	}
	k := c.amount(d.Level, unit.Ratio, anyFigure, "the level of a decision")
	if k == nil {
		return nil
	}
	if k.Exact.Cmp(big.NewRat(1, 2)) <= 0 || k.Exact.Cmp(big.NewRat(1, 1)) >= 0 {
		hint := ""
		if q, ok := d.Level.(*ast.Quantity); ok && !q.Value.HasUnit && k.Base > 50 && k.Base < 100 {
			hint = q.Value.Text + " %"
		}
		c.hinted(diag.SenselessFigure, d.Level.Place(), "a level above 50 % and below 100 %", hint,
			"%s is not a level for a decision", text(d.Level.Place()))
		return nil
	}
	return &book.Decision{Kind: d.Kind, Level: k.Base, Span: d.Span}
}

// clause is one that a declaration must have.
type clause struct {
	word  string
	there bool
}

// lacking reports whether a declaration lacks a clause, and reports those that it lacks, unless it is broken.
func (c *checker) lacking(broken bool, at source.Span, what string, clauses ...clause) bool {
	var none, lines []string
	line := "a line that starts with "
	for _, one := range clauses {
		if !one.there {
			none, lines = append(none, "no "+one.word), append(lines, line+one.word)
			line = "one with "
		}
	}
	if none != nil && !broken {
		c.wrong(diag.MissingClause, at, unit.Listed(lines, "and"), "%s has %s", what, unit.Listed(none, "and"))
	}
	return none != nil
}

func (c *checker) methodDecl(e *entry) {
	m := e.Method
	d := m.Decl
	e.Faulty = c.lacking(d.Broken, d.Name.Span, "the method "+d.Name.Text, clause{"covers", d.Covers != nil},
		clause{"stop", d.Stop != nil}, clause{"top", d.Top != nil}, clause{"reads", d.Reads != nil}) || e.Faulty
	if d.Covers != nil {
		c.ofItsRow(d.Covers.Selector, d.Covers.Span, "which clubs a method covers")
	}
	if d.Stop != nil && d.Stop.Kind == ast.StopAtAngle {
		m.Angle = c.amount(d.Stop.Angle, unit.Angle, anyFigure, "the angle of the stop")
		if m.Angle != nil && (m.Angle.Base <= 0 || m.Angle.Base >= unit.Lookup("deg").ToBase(180)) {
			c.wrong(diag.SenselessFigure, d.Stop.Angle.Place(), "an angle above 0 and below 180 deg",
				"the plane of a stop cannot be at %s to the shaft", text(d.Stop.Angle.Place()))
		}
	}
	m.Reads = c.quantity(d.Reads, unit.Length, aboveZero, "the graduation")
	m.LieSet = c.quantity(d.LieSet, unit.Angle, notBelowZero, "a half-width")
	m.Ruler = c.quantity(d.Ruler, unit.Length, notBelowZero, "a half-width")
	if d.LieSet != nil && d.Stop != nil && d.Stop.Kind != ast.StopAtLie {
		c.beside(diag.NoLieSet, d.LieSet.Span, d.Stop.Span, "this is where it stops", "lie-set with stop at lie only",
			"lie-set says how well a club is soled at its lie, and %s does not stop it there",
			cmp.Or(d.Name.Text, "this method"))
	}
}

func (c *checker) allowance(d *ast.Allowance) {
	a := &book.Allowance{Book: c.book, Decl: d, Crown: d.Of.Text == "crown"}
	if d.Amount == nil {
		return // its line could not be read
	}
	before := c.faults
	amount := c.amount(d.Amount, unit.Length, notBelowZero, "an allowance")
	if d.Within != nil {
		a.Within = c.amount(d.Within, unit.Length, notBelowZero, "a half-width")
	}
	c.ofItsRow(&ast.Selector{Where: d.Where}, d.Span, "which allowance a club has")
	if d.Broken || c.faults > before {
		return
	}
	a.Amount = *amount
	c.contest(c.allowanceClaim(a), "allowances")
	c.book.Allowances = append(c.book.Allowances, a)
}

// ofItsRow checks which clubs something is for, and reports a condition that depends on other clubs of the set: lengths
// are read and converted one club at a time.
func (c *checker) ofItsRow(sel *ast.Selector, at source.Span, what string) {
	before, facts := c.faults, &book.Facts{}
	c.selector(sel, scope{about: ast.OfClub, facts: facts})
	if facts.Bag && c.faults == before {
		c.wrong(diag.MisplacedValue, at, "a condition on the club itself, such as hand = left",
			"%s cannot depend on the other clubs of its set", what)
	}
}

func (c *checker) head(d *ast.Head) {
	h := &book.Head{Book: c.book, Decl: d}
	before := c.faults
	c.ofItsRow(&ast.Selector{Items: d.Items, Where: d.Where}, d.Span, "which head a club has")
	var clauses []clause
	for i, word := range ast.ShapeWords {
		m := d.Shape[i]
		if clauses = append(clauses, clause{word, m != nil}); m == nil {
			continue
		}
		allowed := anyFigure
		if i == camber || i == toeRadius || i == heelRadius {
			allowed = aboveZero
		}
		if k := c.amount(m.Value, unit.Length, allowed, word); k != nil {
			h.Shape[i] = *k
		}
		if m.Within != nil {
			h.Within[i] = c.amount(m.Within, unit.Length, notBelowZero, "a half-width")
		}
	}
	if c.lacking(d.Broken, d.Span, "this head", clauses...) || d.Broken || c.faults > before {
		return
	}
	if c.makesShape(h); c.faults > before {
		return
	}
	c.contest(c.headClaim(h), "heads")
	c.book.Heads = append(c.book.Heads, h)
}

// The places of a head's figures, in the order of ast.ShapeWords.
const (
	reach = iota
	camber
	toe
	toeRadius
	heel
	heelRadius
)

// makesShape reports a head whose arcs do not join: the toe arc must touch the sole's
// arc from within on the toe's side of the contact, and the heel arc on the heel's.
func (c *checker) makesShape(h *book.Head) {
	for _, end := range []struct {
		name        string
		far, radius int
		sign        int64
		beyond      string
	}{
		{"toe", toe, toeRadius, -1, "toe - reach - toe-radius"},
		{"heel", heel, heelRadius, 1, "heel + reach - heel-radius"},
	} {
		x := new(big.Rat).Mul(big.NewRat(end.sign, 1), h.Shape[reach].Exact)
		x.Add(x, h.Shape[end.far].Exact).Sub(x, h.Shape[end.radius].Exact)
		room := new(big.Rat).Sub(h.Shape[camber].Exact, h.Shape[end.radius].Exact)
		d := diag.Diagnostic{Code: diag.NoShape, Span: h.Decl.Shape[end.far].Span}
		switch {
		case x.Sign() < 0:
			d.Message = fmt.Sprintf("these figures do not make a head: %s is below 0", end.beyond)
			d.Expected = fmt.Sprintf("a larger %s, or a smaller %s", end.name, ast.ShapeWords[end.radius])
		case x.Cmp(room) >= 0:
			d.Message = fmt.Sprintf("these figures do not make a head: %s is not below camber - %s", end.beyond,
				ast.ShapeWords[end.radius])
			d.Expected = fmt.Sprintf("a smaller %s, or a larger camber", end.name)
		default:
			continue
		}
		d.Related = append(d.Related, diag.Label{Span: h.Decl.Shape[camber].Span, Text: "the sole's arc"},
			diag.Label{Span: h.Decl.Shape[end.radius].Span, Text: "the arc of the " + end.name})
		c.report(d)
	}
}
