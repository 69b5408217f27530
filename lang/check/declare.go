package check

// This file checks the declarations that give names to things: groups, lets and charts,
// each once and in the order in which they need each other. Properties are in properties.go.

import (
	"cmp"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// each calls f for the declarations of one sort, in the order of the file.
func each[D ast.Decl](tree *ast.Book, f func(D)) {
	for _, d := range tree.Decls {
		if d, ok := d.(D); ok {
			f(d)
		}
	}
}

// declareAll gives every name of the book its entry.
func (c *checker) declareAll(tree *ast.Book) {
	each(tree, func(d *ast.Method) {
		c.declare(methods, &d.Named, book.Declared{Method: &book.Method{Book: c.book, Decl: d}}, nil)
	})
	each(tree, func(d ast.Decl) {
		switch d := d.(type) {
		case *ast.Property:
			c.property(d)
		case *ast.Group:
			g := &book.Group{Book: c.book, Decl: d}
			c.declare(groups, &d.Named, book.Declared{Group: g}, &g.Facts)
		case *ast.Let:
			l := &book.Let{Book: c.book, Decl: d}
			c.declare(values, &d.Named, book.Declared{Let: l}, &l.Facts)
		case *ast.Chart:
			h := &book.Chart{Book: c.book, Decl: d}
			c.declare(values, &d.Named, book.Declared{Chart: h}, &h.Facts)
		case *ast.Rule:
			r := &book.Rule{Book: c.book, Decl: d}
			c.declare(rules, &d.Named, book.Declared{Rule: r}, &r.Facts)
		}
	})
	slices.SortStableFunc(c.own, func(a, b *entry) int { return cmp.Compare(a.Name.Span.Start, b.Name.Span.Start) })
}

// workAll works every declaration out and puts the sound ones into the book.
func (c *checker) workAll(tree *ast.Book) {
	b := c.book
	for _, e := range c.own {
		if e.Rule == nil {
			c.settle(e)
		}
	}
	each(tree, c.allowance)
	each(tree, c.head)
	for _, e := range c.own {
		c.settle(e)
		if e.Name.Text != "" {
			b.Declared = append(b.Declared, e.Declared)
		}
		switch {
		case e.Faulty:
		case e.Property != nil:
			b.Properties = append(b.Properties, e.Property)
		case e.Group != nil:
			b.Groups = append(b.Groups, e.Group)
		case e.Let != nil:
			b.Lets = append(b.Lets, e.Let)
		case e.Chart != nil:
			b.Charts = append(b.Charts, e.Chart)
		case e.Method != nil:
			b.Methods = append(b.Methods, e.Method)
		case e.Rule != nil:
			b.Rules = append(b.Rules, e.Rule)
		}
	}
	each(tree, c.waive)
	c.inVain()
	each(tree, c.testCase)
}

const (
	maxChain = 64     // names that need each other one after the other
	maxCost  = 10_000 // nodes of a formula, the names in it replaced by what they mean
	maxWork  = 2_000_000
	maxNodes = 300_000 // parts of all formulas of a book, as they are written
)

// settle works a declaration out, if it was not yet. It is false where the
// declaration is faulty.
func (c *checker) settle(e *entry) bool {
	switch {
	case e.state == worked:
		return !e.Faulty
	case e.state == inWork:
		c.ring(e)
		return false
	case len(c.stack) >= maxChain:
		c.wrong(diag.TooMuchWork, e.Name.Span, "a shorter chain",
			"%s needs a chain of more than %d names", e.Name.Text, maxChain)
		return false
	}
	e.state = inWork
	c.stack = append(c.stack, e)
	before, outer := c.said[diag.Error], c.faults
	c.faults = 0
	switch {
	case e.Group != nil && e.Group.Decl.Selector != nil:
		c.selector(e.Group.Decl.Selector, scope{about: ast.OfClub, facts: e.facts})
		c.bounded(e)
	case e.Let != nil && e.Let.Decl.Value != nil:
		c.let(e)
	case e.Chart != nil:
		c.chart(e)
	case e.Method != nil:
		c.methodDecl(e)
		e.Method.Faulty = e.Faulty || c.faults > 0
	case e.Rule != nil:
		c.rule(e)
		c.faults = 0 // others may name it all the same
	}
	e.Faulty = e.Faulty || c.faults > 0
	if e.facts != nil && (e.Faulty || c.said[diag.Error] > before || c.blamed(e)) {
		e.facts.Faulty = true
	}
	c.stack = c.stack[:len(c.stack)-1]
	e.state, c.faults = worked, outer
	return !e.Faulty
}

// sound reports whether a name means something and that has no fault; what needs another has a fault.
func (c *checker) sound(e *entry) bool {
	if e != nil && c.settle(e) {
		return true
	}
	c.faults++
	return false
}

// blamed reports whether an error of the parser, or about its name, lies in a declaration.
func (c *checker) blamed(e *entry) bool {
	in := func(d diag.Diagnostic) bool {
		return d.Severity == diag.Error && d.Span.File == e.whole.File && d.Span.Start >= e.whole.Start &&
			d.Span.Start < e.whole.End
	}
	return slices.ContainsFunc(c.o.Mistakes, in) || slices.ContainsFunc(c.list, in)
}

// ring reports names that need each other in a ring, e being one of them.
func (c *checker) ring(e *entry) {
	ring := slices.Clone(c.stack[slices.Index(c.stack, e):])
	if e.Faulty {
		return // one ring is said once
	}
	first := 0
	for i, r := range ring {
		r.Faulty = true
		if r.Name.Span.Start < ring[first].Name.Span.Start {
			first = i
		}
	}
	ring = append(ring[first:], ring[:first]...)
	d := diag.Diagnostic{Code: diag.Ring, Span: ring[0].Name.Span,
		Expected: "names that do not need themselves in the end"}
	d.Message = ring[0].called() + " needs itself"
	if len(ring) > 1 {
		d.Message = "names need each other in a ring: " + ring[0].Name.Text
		for _, r := range append(ring[1:], ring[0]) {
			d.Message += " needs " + r.Name.Text
			if r != ring[0] {
				d.Message += ", which"
				d.Related = append(d.Related, diag.Label{Span: r.Name.Span, Text: r.called()})
			}
		}
	}
	c.report(d)
}

// bounded reports a declaration that would take too much work to judge, and returns
// whether it is within bounds.
func (c *checker) bounded(e *entry) bool {
	f := e.facts
	c.work += f.Cost
	switch {
	case f.Cost > maxCost:
		c.wrong(diag.TooMuchWork, e.Name.Span, "a shorter formula",
			"with all its names written out, %s has more than %d parts", e.Name.Text, maxCost)
	case f.Depth > maxChain:
		c.wrong(diag.TooMuchWork, e.Name.Span, "a shorter chain",
			"%s needs a chain of more than %d names", e.Name.Text, maxChain)
	case c.work > maxWork && c.work-f.Cost <= maxWork:
		c.wrong(diag.TooMuchWork, e.Name.Span, "several books",
			"up to here this book has more than %d parts, with all names written out", maxWork)
	default:
		return true
	}
	return false
}

func (c *checker) let(e *entry) {
	l := e.Let
	t := c.expr(l.Decl.Value, scope{about: ast.OfClub, facts: e.facts, bareSet: true})
	if t.Kind == book.KindType || t.Kind == book.HandType {
		c.wrong(diag.NotAQuantity, l.Decl.Value.Place(),
			"a quantity, a day, a text or a condition, as in let left-handed = hand = left",
			"%s is %s, which a let cannot name", shown(l.Decl.Value), describe(t))
	}
	if !c.bounded(e) || c.faults > 0 {
		return
	}
	l.Type, l.Value = t, c.inward(l.Decl.Value, false)
	if t.Kind == book.Truth {
		l.Opposite = c.inward(l.Decl.Value, true)
	}
}

func (c *checker) chart(e *entry) {
	ch := e.Chart
	d := ch.Decl
	dim := c.charted(ch)
	if len(d.Rows) == 0 && !d.Broken {
		c.wrong(diag.MissingClause, d.Name.Span, "a row for each club, as in iron 5 = 38 in",
			"the chart %s has no rows", d.Name.Text)
	}
	for _, row := range d.Rows {
		ch.Facts.Cost++
		before, s := c.faults, scope{about: ast.OfClub, facts: &ch.Facts}
		c.items(row.Items, s)
		c.where(row.Where, s)
		var v *book.Constant
		if ch.Of != nil {
			v = c.figure(row.Value, "a figure of a chart")
		}
		if v == nil {
			v = &book.Constant{}
		} else {
			c.fits(row.Value, dim, "the chart "+d.Name.Text+" is of "+d.Of.Name.Text)
		}
		if ch.Values = append(ch.Values, *v); v.Exact != nil && c.faults == before {
			c.contest(claim{ch, row.Items, c.condition(row.Where), v.Exact.RatString(), row.Span, c.book}, "rows")
		}
	}
	ch.Facts.Club, ch.Facts.Own = true, true
	if !c.bounded(e) || c.faults > 0 {
		ch.Of = nil
	}
}

// charted resolves what a chart is of, and returns what that gives.
func (c *checker) charted(ch *book.Chart) book.Type {
	of := ch.Decl.Of
	if of == nil {
		c.faults++
		return book.Type{}
	}
	t := c.expr(of, scope{about: ast.OfClub, facts: &book.Facts{}})
	switch ref := c.info.Refs[of]; {
	case t.Kind == book.Faulty:
	case ref.Kind != book.RefProperty || t.Kind != book.Number || of.Pos != ast.Here || of.Ordered:
		return c.wrong(diag.NotAQuantity, of.Span, "a property with a quantity, as in loft or length by METHOD",
			"a chart is of a property that is measured, and %s is not", shown(of))
	default:
		ch.Of = ref
	}
	return t
}
