package check

// This file holds what a book says of how clubs are measured against what the books say
// that it uses. All of them hold together when clubs are judged.

import (
	"fmt"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// reached lists the books that a book uses, directly and through others, each once.
func (c *checker) reached() []*book.Book { return book.Reach([]*book.Book{c.book})[1:] }

// allowanceElsewhere reports a used book's allowance that holds for every club as a does,
// and differs from it.
func (c *checker) allowanceElsewhere(a *book.Allowance) {
	if a.Decl.Where != nil {
		return
	}
	for _, other := range c.reached() {
		for _, b := range other.Allowances {
			if c.pairs--; c.pairs < 0 {
				return
			}
			if b.Decl.Where == nil && a.Crown == b.Crown && c.keys.Allowance(a) != c.keys.Allowance(b) {
				c.clashElsewhere(a.Decl.Span, b.Decl.Span, other, "allowances")
				return
			}
		}
	}
}

// headElsewhere reports a used book's head that is for a club that h is for, and differs
// from it.
func (c *checker) headElsewhere(h *book.Head) {
	if h.Decl.Where != nil {
		return
	}
	for _, other := range c.reached() {
		for _, b := range other.Heads {
			if b.Decl.Where == nil && c.keys.Head(h) != c.keys.Head(b) && c.inBoth(h.Decl.Items, b.Decl.Items, other) {
				c.clashElsewhere(h.Decl.Span, b.Decl.Span, other, "heads")
				return
			}
		}
	}
}

// inBoth reports whether some club surely belongs to a list of this book and to one of other.
func (c *checker) inBoth(own, others []*ast.Item, other *book.Book) bool {
	for _, x := range own {
		for _, y := range others {
			if c.pairs--; c.pairs < 0 {
				return false
			}
			if common(c.info.Items[x], other.Info.Items[y]) {
				return true
			}
		}
	}
	return false
}

func (c *checker) clashElsewhere(at, before source.Span, other *book.Book, what string) {
	c.report(diag.Diagnostic{Code: diag.RowsDiffer, Span: at,
		Message:  fmt.Sprintf("two %s hold for the same clubs and differ, this one and one of %s", what, other.Name),
		Expected: "one of them, or a where that tells them apart", Related: []diag.Label{{Span: before,
			Text: "this one holds for the same clubs"}}})
}
