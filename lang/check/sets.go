package check

// This file checks what is asked of more than one reading: values of a set, repeated
// readings of a club, and the drop or rise between neighbours.

import (
	"fmt"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// setCost is how much more a formula costs that is worked out for each club of a set.
const setCost = 8

// setValue checks "count of SELECTOR" and "longest of V among SELECTOR".
func (c *checker) setValue(e ast.Expr, s scope) book.Type {
	word := "count of"
	if v, ok := e.(*ast.SetValue); ok {
		word = v.How.String() + " of"
	}
	switch {
	case s.about == 0:
		return c.notConstant(e, s)
	case s.share != nil:
		return c.wrong(diag.MisplacedValue, e.Place(), "a condition on one property",
			"%s is of a set, and share of asks about the readings of one club", word)
	case !s.bareSet:
		s.bareSet = true // go on, to find what else is wrong
		defer c.setValue(e, s)
		return c.hinted(diag.BareSetValue, e.Place(), "parentheses around it", "("+text(e.Place())+")",
			"%s needs parentheses here, because its list could go on", word)
	}
	f := book.Facts{Bag: true}
	inner := s.each(word, &f)
	t := quantity(unit.Count)
	switch e := e.(type) {
	case *ast.CountOf:
		c.selector(e.Selector, inner)
	case *ast.SetValue:
		t = gathered(c.number(e.Of, inner, word), e.How)
		t.Bare = false
		c.selector(e.Among, inner)
	}
	f.Cost = min(f.Cost*setCost, 1<<40)
	s.facts.AddInner(f)
	return t
}

// readings checks a property whose repeated readings are asked for.
func (c *checker) readings(of *ast.Ref, s scope, word string) book.Type {
	if !c.ofOneClub(of, s, word) {
		return book.Type{}
	}
	var t book.Type
	if word == "count of readings" {
		t = c.anyProperty(of, s, "count of readings of")
	} else {
		t = c.expr(of, s)
	}
	s.facts.Own = true
	ref := c.info.Refs[of]
	if t.Kind == book.Faulty || ref == nil {
		return book.Type{}
	}
	if of.Ordered {
		return c.wrong(diag.NotOrdered, of.Span, "a property of the club, as in count of readings of lie",
			"an order has no repeated readings")
	}
	if ref.Kind != book.RefProperty || !ref.Property.Sort.Numeric() {
		return c.wrong(diag.NotAQuantity, of.Span, "a property that is measured, such as lie",
			"%s is read once, so it has no repeated readings", shown(of))
	}
	return t
}

// ofOneClub reports readings where no one club is meant.
func (c *checker) ofOneClub(e ast.Expr, s scope, word string) bool {
	switch {
	case s.about == 0:
		c.notConstant(e, s)
	case s.share != nil:
		c.wrong(diag.MisplacedValue, e.Place(), "a condition on one property",
			"%s is inside share of, which looks at each reading by itself", word)
	case s.about == ast.OfSet:
		c.wrong(diag.MisplacedValue, e.Place(), "a rule for every club, or a value of the set",
			"%s is about one club, and this rule is about a whole set", word)
	default:
		return true
	}
	return false
}

// shareOf gathers what a "share of" is about.
type shareOf struct {
	properties []*ast.Ref
	lets       []*ast.Ref
}

// share checks "share of (CONDITION) among readings", which is of exactly one property.
func (c *checker) share(e *ast.ShareOfReadings, s scope) book.Type {
	if !c.ofOneClub(e, s, "share of") {
		return book.Type{}
	}
	in := s.inner()
	in.share = &shareOf{}
	t := c.truth(e.Cond, in)
	s.facts.Own = true
	if t.Kind == book.Faulty {
		return book.Type{}
	}
	d := diag.Diagnostic{Code: diag.ShareOfOne, Span: e.Cond.Place(),
		Expected: "a condition on exactly one property, as in share of (lie <= 60 deg) among readings"}
	for _, l := range in.share.lets {
		d.Span, d.Message = l.Span, l.Name.Text+" is a let, and has no readings of its own"
		return c.report(d)
	}
	var first *ast.Ref
	for _, p := range in.share.properties {
		a, b := c.info.Refs[p], c.info.Refs[first]
		switch {
		case !a.Property.Sort.Numeric():
			d.Span, d.Message = p.Span, shown(p)+" is read once, so it has no repeated readings"
			return c.report(d)
		case first == nil:
			first = p
		case a.Property.ID != b.Property.ID || a.Method != b.Method || p.Pos != first.Pos:
			d.Span, d.Message = p.Span, fmt.Sprintf("this share is of %s and of %s", shown(first), shown(p))
			return c.report(d)
		}
	}
	if first == nil {
		d.Message = "this share names no property"
		return c.report(d)
	}
	c.info.SharesOf[e] = first
	return quantity(unit.Ratio)
}

// step checks "drop of V [per number]" and "rise of V [per number]".
func (c *checker) step(e *ast.Step, s scope) book.Type {
	word := "drop of"
	if e.Rise {
		word = "rise of"
	}
	switch {
	case s.about != ast.OfNeighbours:
		here := "there is one club here"
		switch {
		case s.inside != "":
			here = s.inside + " takes the clubs one by one"
		case s.about == ast.OfSet:
			here = "this rule is about a whole set"
		case s.about == 0:
			return c.notConstant(e, s)
		}
		return c.wrong(diag.MisplacedValue, e.Span, word+" in a rule for neighbours among ... by ...",
			"%s compares two neighbours, and %s", word, here)
	case !s.bareStep:
		return c.hinted(diag.BareSetValue, e.Span, "parentheses around it", "("+text(e.Span)+")",
			"%s needs parentheses here, as part of a formula", word)
	}
	var f book.Facts
	t := c.number(e.Of, s.each(word, &f), word)
	t.Bare, t.Places = false, 0
	f.Cost *= 2
	s.facts.AddInner(f)
	return t
}
