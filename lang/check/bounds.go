package check

// This file checks bounds: each of their quantities has the dimension of the value.

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// bound checks a bound on a value. Where the value is faulty, only what is in the bound
// is looked at.
func (c *checker) bound(b *ast.Bound, value ast.Expr, t book.Type, s scope) {
	before := c.faults
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
		got, want := c.expr(part.e, s), t
		k := c.info.Constants[part.e]
		if part.width != "" {
			want.Places = 0
		}
		_, alike := like(got, want)
		switch {
		case got.Kind == book.Faulty || t.Kind == book.Faulty:
		case part.e == b.Q && b.Kind == ast.Within && got.Kind == book.Number && got.Dim == unit.Ratio && !got.Bare:
			c.shareWithin(b, shown(value), t)
		case !alike:
			why := shown(value) + " is " + describe(t)
			if part.width != "" && got.Dim == t.Dim {
				why = part.width + " is " + describe(want)
			}
			c.fits(part.e, want, why)
		case part.width == "":
			c.oneMethod(b.Span, value, part.e)
		case k != nil:
			c.sensible(part.e, k, notBelowZero, part.width)
		}
	}
	if b.Kind == ast.Within && c.faults == before && t.Kind != book.Faulty {
		c.ends(b, s)
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
		}
	}
}

// shareWithin checks the 2 % of "within 2 % of X", which a ratio and a swing weight cannot have.
func (c *checker) shareWithin(b *ast.Bound, value string, t book.Type) {
	of, q := text(b.Of.Place()), text(b.Q.Place())
	switch k := c.info.Constants[b.Q]; {
	case t.Dim == unit.Swing:
		c.wrong(diag.UnitClash, b.Q.Place(), "points, as in within 1 pts of "+of,
			"%s is a swing weight, a scale without a zero, so %s of it says nothing", value, q)
	case t.Dim == unit.Ratio:
		c.wrong(diag.UnitClash, b.Q.Place(), "limits, as in between "+of+" - "+q+" and "+of+" + "+q,
			"%s is a ratio itself, so it is not clear of what %s is a share", value, q)
	case k != nil:
		c.sensible(b.Q, k, notBelowZero, "the distance of within")
	}
}

// ends works out the ends of a sound "within 2 % of X" as formulas of their own.
func (c *checker) ends(b *ast.Bound, s scope) {
	q := c.info.Types[b.Q]
	if q.Dim != unit.Ratio || q.Bare {
		return
	}
	s.facts = &book.Facts{}
	at := ast.Formula{Span: b.Span}
	join := func(x ast.Expr, op ast.Op, y ast.Expr) ast.Expr {
		return &ast.Binary{Formula: at, Op: op, OpSpan: b.Span, X: x, Y: y}
	}
	of := &ast.Paren{Formula: at, X: b.Of}
	size := &ast.Call{Formula: at, Func: ast.Name{Span: b.Span, Text: "abs"}, Args: []ast.Expr{of}}
	out := &book.Share{Width: join(b.Q, ast.Mul, size)}
	if c.above(b.Of) {
		one := &ast.Quantity{Formula: at}
		one.Value = unit.Quantity{Number: big.NewRat(1, 1), Unit: unit.Base(unit.Ratio), Text: "1"}
		less, more := join(one, ast.Sub, b.Q), join(one, ast.Add, b.Q)
		out = &book.Share{Low: join(less, ast.Mul, of), High: join(more, ast.Mul, of)}
	}
	for _, e := range []ast.Expr{out.Width, out.Low, out.High} {
		if e != nil {
			c.expr(e, s)
		}
	}
	c.info.Shares[b] = out
}

// above reports whether a formula is a chart of figures that are all above 0.
func (c *checker) above(e ast.Expr) bool {
	r := book.Part{Expr: e, Info: c.info}.Ref()
	return r != nil && r.Kind == book.RefChart && !slices.ContainsFunc(r.Chart.Values,
		func(k book.Constant) bool { return k.Base <= 0 })
}
