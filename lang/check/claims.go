package check

// This file holds rows of charts, allowances and heads against each other, those of the books that a book uses
// included: all of them hold together when clubs are judged.

import (
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// reached lists the books that a book uses, directly and through others, each once.
func (c *checker) reached() []*book.Book { return book.Reach([]*book.Book{c.book})[1:] }

// claim is a row of a chart, an allowance or a head.
type claim struct {
	kind  any         // two of one kind cannot both hold for a club and differ
	items []*ast.Item // that it is for; nil: every club
	where string      // the key of its condition; "" for none
	says  string      // two that say the same have one
	span  source.Span
	book  *book.Book
}

func (c *checker) allowanceClaim(a *book.Allowance) claim {
	return claim{a.Crown, nil, c.condition(a.Decl.Where), c.keys.Allowance(a), a.Decl.Span, a.Book}
}

func (c *checker) headClaim(h *book.Head) claim {
	return claim{"head", h.Decl.Items, c.condition(h.Decl.Where), c.keys.Head(h), h.Decl.Span, h.Book}
}

// condition is the key of a sound condition of the book; "" for none.
func (c *checker) condition(e ast.Expr) string { return c.keys.Part(book.Part{Expr: e, Info: c.info}) }

// claimsElsewhere takes in what the used books claim without a condition.
func (c *checker) claimsElsewhere() {
	for _, b := range c.reached() {
		for _, a := range b.Allowances {
			if a.Decl.Where == nil {
				c.claims[a.Crown] = append(c.claims[a.Crown], c.allowanceClaim(a))
			}
		}
		for _, h := range b.Heads {
			if h.Decl.Where == nil {
				c.claims["head"] = append(c.claims["head"], c.headClaim(h))
			}
		}
	}
}

// maxPairs bounds how many claims are compared with each other in one book; beyond, what
// clashes is reported when clubs are judged.
const maxPairs = 2_000_000

// contest holds a claim against those made before, and notes it. It reports the first claim of this book that meets it:
// an error where they differ, a warning where they say the same. Of other books it reports the first that meets it and
// differs.
func (c *checker) contest(x claim, what string) {
	said := map[bool]bool{}
	for _, y := range c.claims[x.kind] {
		if c.pairs < 0 {
			break
		}
		own, same := y.book == c.book, x.says == y.says
		if said[own] || same && !own || !c.meet(x, y) {
			continue
		}
		said[own] = true
		d := diag.Diagnostic{Code: diag.RowsDiffer, Span: x.span,
			Message:  "two " + what + " hold for the same clubs and differ",
			Expected: "one of them, or a where that tells them apart",
			Related:  []diag.Label{{Span: y.span, Text: "this one holds for the same clubs"}}}
		switch {
		case same:
			d.Code, d.Severity = diag.RowsRepeat, diag.Warning
			d.Message = "two " + what + " hold for the same clubs and say the same"
		case !own:
			d.Message += ", this one and one of " + y.book.Name
		}
		c.clash(d)
	}
	c.claims[x.kind] = append(c.claims[x.kind], x)
}

// meet reports whether two claims both hold for some club under one condition. What groups and marks beside numbers
// have in common is reported when clubs are judged.
func (c *checker) meet(a, b claim) bool {
	c.pairs--
	if a.where != b.where {
		return false
	}
	for _, x := range a.items {
		for _, y := range b.items {
			if c.pairs--; c.pairs >= 0 && common(a.book.Info.Items[x], b.book.Info.Items[y]) {
				return true
			}
		}
	}
	return a.items == nil || b.items == nil
}

// common reports whether some club surely is both.
func common(a, b *book.ItemInfo) bool {
	switch {
	case a == nil || b == nil:
		return false
	case a.Group != nil || b.Group != nil:
		return a.Group == b.Group
	case a.Any || b.Any:
		return true
	case a.Kind != b.Kind:
		return false
	case a.HasMark && b.HasMark:
		return catalogue.Same(a.Mark, b.Mark)
	case a.Numbered && b.Numbered:
		return a.From <= b.To && b.From <= a.To
	}
	return !(a.HasMark && b.Numbered || a.Numbered && b.HasMark)
}
