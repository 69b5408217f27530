package check

// This file checks comparisons: of quantities, of days, of texts, and of the words
// that come only after "kind =" and "hand =".

import (
	"fmt"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

func (c *checker) comparison(e *ast.Binary, s scope) {
	if ref, ok := ast.Unparen(e.X).(*ast.Ref); ok {
		switch ref.Name.Text {
		case "kind":
			c.kindIs(e, s)
			return
		case "hand":
			c.handIs(e, s)
			return
		}
	}
	c.sort = sortBeside(e.Y)
	a := c.expr(e.X, s)
	c.sort = ""
	if a.Kind == book.Truth && c.yesNo(e) || a.Kind == book.TextType && c.bareText(e) {
		return
	}
	c.sort = sortBeside(e.X)
	b := c.expr(e.Y, s)
	c.sort = ""
	_, alike := like(a, b)
	switch {
	case a.Kind == book.Faulty || b.Kind == book.Faulty:
	case b.Kind == book.KindType || b.Kind == book.HandType:
		c.wrong(diag.UnlikeValues, e.Span, text(e.Y.Place())+" on the left, as in kind = iron or hand = left",
			"%s", cannot(e.X, e.Y, a, b, "be compared"))
	case !alike:
		c.mismatch(e, e.X, e.Y, a, b, "be compared")
	case a.Kind == book.Truth:
		c.wrong(diag.UnlikeValues, e.Span, "conditions joined by and, or and not", "two conditions cannot be compared")
	case a.Kind == book.TextType && e.Op != ast.Eq && e.Op != ast.Ne:
		c.wrong(diag.UnlikeValues, e.Span, "= or !=", "two texts cannot be compared by %q", e.Op.String())
	case a.Kind == book.Number:
		c.oneMethod(e.Span, e.X, e.Y)
	case a.Kind == book.TextType:
		c.textsOf(e)
	}
}

// enumerated reports a list for what is not one of a few: a measured quantity, or a condition.
func (c *checker) enumerated(l *ast.List, s scope) bool {
	before := c.faults
	t := c.expr(l.Of, s)
	d := diag.Diagnostic{Code: diag.UnlikeValues, Span: l.Of.Place(),
		Message: fmt.Sprintf("%s is %s, and in is for texts, kinds, marks, hands, days, numbers and counts",
			shown(l.Of), describe(t))}
	switch {
	case t.Kind == book.Truth:
		d.Expected = text(l.Of.Place()) + " alone, or not " + text(l.Of.Place())
	case t.Kind == book.Number && t.Dim != unit.Count:
		d.Expected = "what is measured within limits, as in " + text(l.Of.Place()) + " is " +
			text(l.Items[0].Place()) + " +/- " + tolerance(t.Dim)
	case t.Kind == book.Number:
		for _, item := range l.Items {
			c.expr(item, s)
			c.fits(item, t, text(l.Of.Place())+" is "+describe(t))
		}
	}
	if d.Expected != "" {
		c.report(d)
	}
	return c.faults == before
}

// tolerance is a small amount of a dimension.
func tolerance(d unit.Dim) string {
	switch u := unit.Base(d); {
	case d == unit.Length:
		return "1/8 in"
	case u.Name == "":
		return "0.1"
	default:
		return "1 " + u.Name
	}
}

// textsOf notes with which texts a comparison compares which properties, and reports one that is on no list of them.
// What a condition in it compares is noted by itself.
func (c *checker) textsOf(e *ast.Binary) {
	var of []catalogue.ID
	var texts []*ast.TextLit
	var visit func(book.Part) bool
	visit = func(p book.Part) bool {
		switch e := p.Expr.(type) {
		case *ast.If:
			p.In(e.Then).Visit(visit, nil)
			p.In(e.Else).Visit(visit, nil)
			return false
		case *ast.TextLit:
			texts = append(texts, e)
		case *ast.Ref:
			if r := p.Info.Refs[e]; r != nil && r.Kind == book.RefProperty {
				of = append(of, r.Property.ID)
			}
		}
		return true
	}
	book.Part{Expr: e, Info: c.info}.Visit(visit, nil)
	var listed []string
	open := len(of) == 0
	for _, id := range of {
		listed = append(listed, c.texts[id]...)
		open = open || c.texts[id] == nil
	}
	for _, t := range texts {
		for _, id := range of {
			c.info.Texts[id] = append(c.info.Texts[id], t.Value)
		}
		at := t.Span
		if at.File != c.book.File {
			at = e.Span
		}
		if !open {
			c.onList(at, c.o.Schema.Property(of[0]), t.Value, listed)
		}
	}
}

// yesNo reports a yes-no property beside = yes, which is alone.
func (c *checker) yesNo(e *ast.Binary) bool {
	right, ok := ast.Unparen(e.Y).(*ast.Ref)
	left, plain := ast.Unparen(e.X).(*ast.Ref)
	if !ok || !plain || right.Name.Text != "yes" && right.Name.Text != "no" {
		return false
	}
	d := diag.Diagnostic{Code: diag.UnlikeValues, Span: e.Span,
		Message: left.Name.Text + " is already a condition, and needs no comparison", Hint: text(left.Span)}
	if (right.Name.Text == "no") == (e.Op == ast.Eq) {
		d.Hint = "not " + d.Hint
	}
	d.Expected, d.Mend = d.Hint, diag.Mend{Span: d.Span, Text: d.Hint, Safe: true}
	c.report(d)
	return true
}

// bareText reports a name behind a text property, where a text in quotation marks was
// meant.
func (c *checker) bareText(e *ast.Binary) bool {
	right, ok := ast.Unparen(e.Y).(*ast.Ref)
	if !ok || right.Pos != ast.Here || right.Ordered || right.By != nil ||
		c.names[key{values, right.Name.Text}] != nil {
		return false
	}
	if _, known := c.known(right.Name.Text); known {
		return false
	}
	c.hinted(diag.UnlikeValues, right.Span, "a text in quotation marks", `"`+right.Name.Text+`"`,
		"%s is a text, and %s is not", shown(e.X), right.Name.Text)
	return true
}

// kindIs checks "kind = X", where X is a kind, a group, "iron 5" or `wedge "PW"`.
func (c *checker) kindIs(e *ast.Binary, s scope) {
	const form = "kind = or kind != and a kind, a group, or a kind with its number, as in kind = iron 5"
	sound := c.equals(e, s, form)
	switch right := ast.Unparen(e.Y).(type) {
	case *ast.ItemRef:
		c.item(right.Item, s)
	case *ast.Ref:
		c.kindWord(right, s)
	default:
		expected := form
		if _, ok := right.(*ast.TextLit); ok {
			expected = `a kind without quotation marks, or with a mark, as in kind = wedge "PW"`
		}
		c.notWord(e, s, sound, expected, "a kind of club")
		return
	}
	c.isWord(e.Y, book.KindType)
}

// equals works out the left side of "kind =" or "hand =", and reports a comparison by size of what can only be equal
// or not. It reports whether it is sound.
func (c *checker) equals(e *ast.Binary, s scope, form string) bool {
	before := c.faults
	if c.expr(e.X, s).Kind != book.Faulty && e.Op != ast.Eq && e.Op != ast.Ne {
		c.wrong(diag.UnlikeValues, e.Span, form, "%s cannot be compared by %q", shown(e.X), e.Op.String())
	}
	return c.faults == before
}

// notWord reports the right side of "kind =" or "hand =" that is not what belongs there, where the left is sound.
func (c *checker) notWord(e *ast.Binary, s scope, sound bool, expected, what string) {
	if t := c.expr(e.Y, s); t.Kind != book.Faulty && sound {
		c.wrong(diag.UnlikeValues, e.Y.Place(), expected, "%s is %s, not %s", shown(e.Y), describe(t), what)
	}
}

// isWord notes that a formula, which may be in parentheses, is a word of a kind.
func (c *checker) isWord(word ast.Expr, kind book.TypeKind) {
	c.info.Types[word] = book.Type{Kind: kind}
	if p, ok := word.(*ast.Paren); ok {
		c.isWord(p.X, kind)
	}
}

// kindWord finds what a name behind "kind =" means.
func (c *checker) kindWord(e *ast.Ref, s scope) {
	name := e.Name.Text
	kind := catalogue.KindOf(name)
	switch {
	case name == "kind":
		c.expr(e, s)
	case e.Pos != ast.Here || e.By != nil:
		c.wrong(diag.UnlikeValues, e.Span, "a kind or a group", "%s is not a kind of club", shown(e))
	case kind != catalogue.NoKind:
		c.info.Refs[e] = &book.RefInfo{Kind: book.RefKindWord, Club: kind}
	case name == "club" || name == "clubs":
		c.wrong(diag.UnlikeValues, e.Span, "one kind, or a group", "every kind is a club, so this says nothing")
	default:
		if g := c.groupNamed(&ast.Item{Span: e.Span, Name: e.Name}, s); g != nil {
			c.info.Refs[e] = &book.RefInfo{Kind: book.RefGroup, Group: g}
		}
	}
}

// unlikeKind reports "iron 5" anywhere but behind "kind =".
func (c *checker) unlikeKind(e *ast.ItemRef) book.Type {
	return c.wrong(diag.UnlikeValues, e.Span, "kind = "+text(e.Span), "%s can only come after kind =", shown(e))
}

// handIs checks "hand = left" and "hand = right".
func (c *checker) handIs(e *ast.Binary, s scope) {
	const form = "hand = left, hand = right, or one of them with !="
	sound := c.equals(e, s, form)
	switch right := ast.Unparen(e.Y).(type) {
	case *ast.Ref:
		word := right.Name.Text
		switch {
		case word == "hand":
			c.expr(e.Y, s)
			return
		case word != "left" && word != "right" || right.Pos != ast.Here || right.By != nil:
			c.hinted(diag.UnlikeValues, right.Span, form, c.near(word, []string{"left", "right"}),
				"%s is not a hand", shown(right))
			return
		}
		c.info.Refs[right] = &book.RefInfo{Kind: book.RefHand, Hand: word}
		c.isWord(e.Y, book.HandType)
	case *ast.TextLit:
		d := diag.Diagnostic{Code: diag.UnlikeValues, Span: right.Span,
			Message: "a hand is a word, and " + shown(right) + " is a text", Expected: form}
		if right.Value == "left" || right.Value == "right" {
			d.Hint, d.Mend = right.Value, diag.Mend{Span: d.Span, Text: right.Value, Safe: true}
		}
		c.report(d)
	default:
		c.notWord(e, s, sound, form, "a hand")
	}
}

// oneMethod reports two lengths that are read by two methods and compared.
func (c *checker) oneMethod(at source.Span, x, y ast.Expr) {
	if a, b := c.methodOf(x), c.methodOf(y); a != nil && b != nil && a != b {
		c.wrong(diag.MethodClash, at, "two lengths by one method",
			"%s is a length by %s and %s is one by %s; they cannot be compared", shown(x), a.Decl.Name.Text, shown(y),
			b.Decl.Name.Text)
	}
}

// methodOf is the method of a name, a drop of it and their like; nil where it has
// none.
func (c *checker) methodOf(e ast.Expr) *book.Method {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ref:
		switch r := c.info.Refs[e]; {
		case r == nil:
		case r.Kind == book.RefProperty:
			return r.Method
		case r.Kind == book.RefChart && r.Chart.Of != nil:
			return r.Chart.Of.Method
		}
	case *ast.SetValue:
		return c.methodOf(e.Of)
	case *ast.ReadingsValue:
		return c.methodOf(e.Of)
	}
	return nil
}
