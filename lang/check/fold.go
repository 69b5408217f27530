package check

// This file works out constant formulas, exactly.

import (
	"math"
	"math/big"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// maxBits bounds the size of an exact constant.
const maxBits = 4096

// fold notes the value of a sound formula that needs no club, and reports one that is out of all range.
func (c *checker) fold(e ast.Expr) {
	exact, u := c.value(e)
	if exact == nil {
		return
	}
	k := &book.Constant{Exact: exact, Base: unit.RoundExact(exact), Unit: u, Span: e.Place()}
	if exact.Num().BitLen() > maxBits || exact.Denom().BitLen() > maxBits || math.IsInf(k.Base, 0) ||
		k.Base == 0 && exact.Sign() != 0 {
		c.wrong(diag.OutOfRange, e.Place(), "figures of a size that a shop would use",
			"%s is too large or too small to use", shown(e))
		return
	}
	c.info.Constants[e] = k
}

// value is a constant with the unit to show it in; nil where a club is needed.
func (c *checker) value(e ast.Expr) (*big.Rat, *unit.Unit) {
	constant := func(e ast.Expr) (*big.Rat, *unit.Unit) { return parts(c.info.Constants[e]) }
	switch e := e.(type) {
	case *ast.Quantity:
		return e.Value.Exact(), e.Value.Unit
	case *ast.Paren:
		return constant(e.X)
	case *ast.Unary:
		if x, u := constant(e.X); x != nil && e.Op == ast.Neg {
			return new(big.Rat).Neg(x), u
		}
	case *ast.Ref:
		if r := c.info.Refs[e]; r != nil && r.Kind == book.RefLet {
			return parts(c.letConstant(r.Let))
		}
	case *ast.Call:
		best, u := constant(e.Args[0])
		if best != nil && e.Func.Text == "abs" {
			return new(big.Rat).Abs(best), u
		}
		for _, arg := range e.Args {
			x, of := constant(arg)
			if x == nil {
				return nil, nil
			}
			if order := x.Cmp(best); order > 0 && e.Func.Text == "max" || order < 0 && e.Func.Text == "min" {
				best, u = x, of
			}
		}
		return best, u
	case *ast.Binary:
		x, y := c.info.Constants[e.X], c.info.Constants[e.Y]
		if x != nil && y != nil {
			return arithmetic(e.Op, x, y)
		}
	}
	return nil, nil
}

func parts(k *book.Constant) (*big.Rat, *unit.Unit) {
	if k == nil {
		return nil, nil
	}
	return k.Exact, k.Unit
}

// arithmetic is "x op y". Its unit is that of the side that has one; what has none, like
// an area made of two lengths, is shown in the usual unit of its dimension.
func arithmetic(op ast.Op, x, y *book.Constant) (*big.Rat, *unit.Unit) {
	out, u := new(big.Rat), x.Unit
	if u.Name == "" && op != ast.Div {
		u = y.Unit
	}
	switch op {
	case ast.Add:
		return out.Add(x.Exact, y.Exact), u
	case ast.Sub:
		return out.Sub(x.Exact, y.Exact), u
	case ast.Mul:
		if x.Unit.Name != "" && y.Unit.Name != "" {
			u = unit.Base(x.Unit.Dim.Mul(y.Unit.Dim))
		}
		return out.Mul(x.Exact, y.Exact), u
	case ast.Div:
		if y.Unit.Name != "" {
			u = unit.Base(x.Unit.Dim.Div(y.Unit.Dim))
		}
		return out.Quo(x.Exact, y.Exact), u
	}
	return nil, nil
}
