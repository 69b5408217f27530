package check

// This file checks bounds: each of their quantities has the dimension of the value.

import (
	"fmt"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// bound checks a bound on a value. Where the value is faulty, only what stands in the bound
// is looked at.
func (c *checker) bound(b *ast.Bound, value ast.Expr, t book.Type, s scope) bool {
	sound := true
	s.bareSet, s.bareStep = true, false
	for _, part := range []struct {
		e     ast.Expr
		width string // what a half-width is called; "" for a limit
	}{
		{b.Q, map[ast.BoundKind]string{ast.Within: "the distance of within"}[b.Kind]},
		{b.Q2, ""}, {b.PlusMinus, "a tolerance"}, {b.Of, ""}, {b.Allowing, "an allowance"},
	} {
		if part.e == nil {
			continue
		}
		got := c.expr(part.e, s)
		if got.Kind == book.Faulty {
			sound = false
			continue
		}
		if t.Kind == book.Faulty {
			continue
		}
		if _, ok := like(got, t); !ok {
			c.fits(part.e, t, shown(value)+" is "+describe(t))
			sound = false
			continue
		}
		if part.width == "" {
			sound = c.oneMethod(b.Span, value, part.e) && sound
		} else if k := c.info.Constants[part.e]; k != nil {
			sound = c.sensible(part.e, k, notBelowZero, part.width) && sound
		}
	}
	if b.Kind == ast.Between {
		low, high := c.info.Constants[b.Q], c.info.Constants[b.Q2]
		if low != nil && high != nil && low.Exact.Cmp(high.Exact) > 0 {
			swapped := fmt.Sprintf("between %s and %s", text(b.Q2.Place()), text(b.Q.Place()))
			part := b.Q.Place().To(b.Q2.Place())
			c.report(diag.Diagnostic{Code: diag.SenselessFigure, Span: b.Span,
				Message: fmt.Sprintf("nothing is between %s and %s, which is smaller", text(b.Q.Place()),
					text(b.Q2.Place())),
				Expected: "the smaller limit first", Hint: swapped,
				Mend: diag.Mend{Span: part, Text: strings.TrimPrefix(swapped, "between "), Safe: true}})
			sound = false
		}
	}
	return sound
}
