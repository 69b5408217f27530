package check

// This file finds what a name in a formula means, and whether it may be there.

import (
	"fmt"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// ref works out what a name gives.
func (c *checker) ref(e *ast.Ref, s scope) book.Type {
	name := e.Name.Text
	ent := c.meant(e, s)
	switch {
	case ent == nil:
		return book.Type{}
	case ent.Property != nil:
		return c.measured(e, ent.Property, s, false)
	case e.Ordered:
		return c.wrong(diag.NotOrdered, e.Span, "a property, as in ordered lie",
			"%s is a %s, and an order has none", name, ent.what())
	}
	if e.By != nil {
		return c.hinted(diag.MisplacedMethod, e.Name.Span.To(e.By.Span), "by METHOD after a length", name,
			"%s is a %s, which takes no method", name, ent.what())
	}
	if ent.Chart != nil {
		s.facts.Add(ent.Chart.Facts.Named())
		c.info.Refs[e] = &book.RefInfo{Kind: book.RefChart, Chart: ent.Chart}
		c.placed(e, s, "the chart "+name+" has a row for one club", true)
		return quantity(ent.Chart.Of.Property.Sort.Dim())
	}
	l := ent.Let
	s.facts.Add(l.Facts.Named())
	c.info.Refs[e] = &book.RefInfo{Kind: book.RefLet, Let: l}
	switch {
	case l.Facts.Club:
		c.placed(e, s, "the let "+name+" is about one club", l.Facts.Own)
		if s.share != nil {
			s.share.lets = append(s.share.lets, e)
		}
	case s.about == 0 && c.letConstant(l) == nil:
		c.notConstant(e, s)
	}
	return l.Type
}

// meant is what a name in a formula means; nil where that is not known or cannot be there, which is reported.
func (c *checker) meant(e *ast.Ref, s scope) *entry {
	if !c.positioned(e, s) {
		return nil
	}
	ent := c.find(values, e.Name)
	if ent == nil {
		c.unknownValue(e)
	}
	if !c.sound(ent) {
		return nil
	}
	return ent
}

// letConstant is the value of a let that needs no club.
func (c *checker) letConstant(l *book.Let) *book.Constant { return l.Book.Info.Constants[l.Decl.Value] }

// positioned reports "first" and "second" outside of rules about neighbours.
func (c *checker) positioned(e *ast.Ref, s scope) bool {
	if e.Pos == ast.Here || s.about == ast.OfNeighbours {
		return true
	}
	word := "first"
	if e.Pos == ast.Second {
		word = "second"
	}
	why := "there is no " + word + " club here"
	if s.inside != "" {
		why = s.inside + " takes the clubs one by one, so there is no " + word + " here"
	}
	c.hinted(diag.MisplacedValue, e.Span,
		"first and second in a rule about neighbours, outside of drop of, rise of and where",
		text(e.Span)[len(word)+1:], "%s", why)
	return false
}

// placed reports a name that is about one club where none, or no certain one, is meant.
// ownClub says that it cannot be what a whole bag carries either.
func (c *checker) placed(e *ast.Ref, s scope, why string, ownClub bool) bool {
	before, name := c.faults, text(e.Span)
	switch {
	case s.about == 0:
		c.notConstant(e, s)
	case s.about == ast.OfNeighbours && e.Pos == ast.Here:
		c.hinted(diag.WhichClub, e.Span, "first "+name+" or second "+name+"; or drop of "+name, "first "+name,
			"a rule about neighbours has two clubs, and %s does not say of which", diag.Quote(name))
	case s.about == ast.OfSet && ownClub:
		c.wrong(diag.MisplacedValue, e.Span, "a value of the set, as in longest of "+name+" among club",
			"%s, and this rule is about a whole set", why)
	}
	return c.faults == before
}

func (c *checker) notConstant(e ast.Expr, s scope) book.Type {
	return c.wrong(diag.NotConstant, e.Place(), "a quantity, as in 1/8 in",
		"%s is the same for every club, and %s is not", s.constantFor, shown(e))
}

// measured works out what a property gives, of the club or of its order; with any a length by whatever method.
func (c *checker) measured(e *ast.Ref, of *book.Property, s scope, any bool) book.Type {
	p := c.o.Schema.Property(of.Of.ID) // as all books declare it
	if e.Ordered && p.ID <= catalogue.Mark {
		return c.report(diag.Diagnostic{Code: diag.NotOrdered, Span: e.Span,
			Message:  fmt.Sprintf("the %s of a club says which club it is, so it is not held against an order", p.Name),
			Expected: "a property of the club, as in ordered lie",
			Notes:    []string{"A check with --order lists each club of another kind, number or mark by itself."}})
	}
	if e.Ordered {
		p = p.AsOrdered()
	}
	info := &book.RefInfo{Kind: book.RefProperty, Property: p, Method: of.Method}
	c.info.Refs[e] = info
	if !c.placed(e, s, "an order has a row for each club", e.Ordered) || !c.byMethod(e, info, any) {
		return book.Type{}
	}
	s.facts.Club, s.facts.Own = true, s.facts.Own || e.Ordered
	if s.share != nil && !e.Ordered {
		s.share.properties = append(s.share.properties, e)
	}
	s.facts.Measured = s.facts.Measured || p.ByMethod && !e.Ordered && !any
	return typeOf(p)
}

// typeOf is what a property gives in a formula.
func typeOf(p catalogue.Property) book.Type {
	switch kind, worded := sortTypes[p.Sort]; {
	case p.ID == catalogue.Hand:
		return book.Type{Kind: book.HandType}
	case worded:
		return book.Type{Kind: kind}
	}
	return quantity(p.Sort.Dim())
}

var sortTypes = map[catalogue.Sort]book.TypeKind{catalogue.KindSort: book.KindType, catalogue.Date: book.DayType,
	catalogue.YesNo: book.Truth, catalogue.Text: book.TextType}

// byMethod checks the method of a name, and that a length has one where it needs one.
func (c *checker) byMethod(e *ast.Ref, info *book.RefInfo, any bool) bool {
	before, p := c.faults, info.Property
	switch {
	case e.By != nil && !p.ByMethod:
		why, after := "is not a length, so it", "a length"
		if p.Sort == catalogue.Length {
			why, after = "is the length of a part, which", "the length of a club"
		}
		c.hinted(diag.MisplacedMethod, e.Name.Span.To(e.By.Span), "by METHOD after "+after, p.Name,
			"%s %s takes no method", p.Name, why)
	case e.By != nil:
		info.Method = c.method(*e.By)
	case p.ByMethod && info.Method == nil && !any:
		c.bareLength(e.Span, p)
	}
	return c.faults == before
}

// bareLength reports a length that does not say by which method it is read.
func (c *checker) bareLength(at source.Span, p catalogue.Property) {
	names := c.all(methods)
	d := diag.Diagnostic{Code: diag.BareLength, Span: at,
		Message:  p.Name + " does not say by which method it is read",
		Expected: p.Name + " by METHOD"}
	if len(names) > 0 {
		d.Expected += "; " + expectedOf("the methods here are", names)
		d.Hint = text(at) + " by " + c.usual(names)
	} else if !c.blind {
		d.Notes = append(d.Notes, noMethods)
	}
	c.report(d)
}

const noMethods = "This book has no methods. Bring in the shipped ones with: use methods"

// anyProperty checks a name that must be a property, by whatever method: "has P" and "count of readings of P".
func (c *checker) anyProperty(e *ast.Ref, s scope, taker string) (t book.Type) {
	switch ent := c.meant(e, s); {
	case ent == nil:
	case ent.Property == nil:
		c.wrong(diag.MisplacedValue, e.Span, "a property, as in "+taker+" lie",
			"%s asks for a property, and %s is a %s", taker, e.Name.Text, ent.what())
	default:
		t = c.measured(e, ent.Property, s, true)
	}
	c.info.Types[e] = t
	return t
}

// unknownValue reports a name in a formula that means nothing.
func (c *checker) unknownValue(e *ast.Ref) {
	name := e.Name.Text
	var expected, hint string
	switch upper := strings.ToUpper(name); {
	case catalogue.KindOf(name) != catalogue.NoKind || c.names[key{groups, name}] != nil:
		expected, hint = "kind = "+name, "kind = "+name
	case name == "left" || name == "right":
		expected, hint = "hand = "+name, "hand = "+name
	case name == "yes" || name == "no":
		expected = "a yes-no property alone, or not and a yes-no property"
	case swingWeight(upper):
		expected, hint = "a swing weight with a capital letter, as in D2", upper
	default:
		c.unknown(values, e.Name, "property, let or chart")
		return
	}
	c.hinted(diag.UnknownName, e.Name.Span, expected, hint, "%s is not a value", diag.Quote(name))
}

// swingWeight reports whether a text is a swing weight such as D2.
func swingWeight(text string) bool {
	q, n, err := unit.Scan(text)
	return err == nil && n == len(text) && q.SwingWeight
}

// selector checks "LIST [except LIST] [where CONDITION]".
func (c *checker) selector(sel *ast.Selector, s scope) {
	c.items(sel.Items, s)
	c.items(sel.Except, s)
	c.where(sel.Where, s)
}

// where checks a condition about one club; there may be none.
func (c *checker) where(e ast.Expr, s scope) {
	if e != nil {
		c.truth(e, s.each("where", s.facts))
	}
}

func (c *checker) items(items []*ast.Item, s scope) {
	for _, item := range items {
		s.facts.Cost++
		c.item(item, s)
	}
}

// item finds what a member of a list means.
func (c *checker) item(item *ast.Item, s scope) {
	info := &book.ItemInfo{}
	c.info.Items[item] = info
	name := item.Name.Text
	numbered := item.From != nil || item.Mark != nil
	switch kind := catalogue.KindOf(name); {
	case name == "club" || name == "clubs":
		info.Any = true
	case kind != catalogue.NoKind:
		info.Kind = kind
	default:
		if info.Group = c.groupNamed(item, s); info.Group == nil {
			return
		}
	}
	if numbered && info.Kind == catalogue.NoKind {
		c.hinted(diag.WrongItem, item.Span, "a kind and its number, as in iron 5, or the name alone", name,
			"%s is not a kind of club, so it takes no number and no mark", name)
		return
	}
	if item.Mark != nil {
		info.Mark, info.HasMark = item.Mark.Value, true
	}
	if item.From == nil {
		return
	}
	info.Numbered, info.From = true, item.From.Value.Base()
	info.To = info.From
	if item.To == nil {
		return
	}
	if info.To = item.To.Value.Base(); info.To < info.From {
		upwards := fmt.Sprintf("%s %s to %s", name, item.To.Value.Text, item.From.Value.Text)
		c.report(diag.Diagnostic{Code: diag.WrongItem, Span: item.Span,
			Message:  fmt.Sprintf("%s has no club in it: its numbers run downwards", diag.Quote(text(item.Span))),
			Expected: "the smaller number first", Hint: upwards, Mend: diag.Mend{Span: item.Span,
				Text: upwards, Safe: true}})
	}
}

// groupNamed finds the group that a member of a list names; nil for one that is not there or faulty.
func (c *checker) groupNamed(item *ast.Item, s scope) *book.Group {
	g := c.find(groups, item.Name)
	if g == nil {
		c.unknownItem(item)
	}
	if !c.sound(g) {
		return nil
	}
	s.facts.Add(g.Group.Facts.Named())
	return g.Group
}

func (c *checker) unknownItem(item *ast.Item) {
	if _, known := c.known(item.Name.Text); known || c.names[key{values, item.Name.Text}] != nil {
		c.report(diag.Diagnostic{Code: diag.UnknownName, Span: item.Name.Span,
			Message:  item.Name.Text + " is a value, not a kind of club or group",
			Expected: expectedOf("a kind or a group", append(catalogue.KindNames(), c.all(groups)...)),
			Notes:    []string{"Write a condition after where, as in: iron where loft < 30 deg."}})
		return
	}
	c.unknown(groups, item.Name, "kind or group", append(catalogue.KindNames(), "club")...)
}
