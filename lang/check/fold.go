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
	k := c.value(e)
	if k == nil {
		return
	}
	k.Span = e.Place()
	fits := k.Exact.Num().BitLen() <= maxBits && k.Exact.Denom().BitLen() <= maxBits
	if fits {
		k.Base = unit.RoundExact(k.Exact)
		fits = !math.IsInf(k.Base, 0) && (k.Base != 0) == (k.Exact.Sign() != 0)
	}
	if !fits {
		c.wrong(diag.OutOfRange, e.Place(), "figures of a size that a shop would use",
			"%s is too large or too small to use", shown(e))
		return
	}
	c.info.Constants[e] = k
}

// value is a constant without its rounding.
func (c *checker) value(e ast.Expr) *book.Constant {
	constant := func(e ast.Expr) *book.Constant { return c.info.Constants[e] }
	switch e := e.(type) {
	case *ast.Quantity:
		return &book.Constant{Exact: e.Value.Exact(), Unit: e.Value.Unit}
	case *ast.Paren:
		return again(constant(e.X))
	case *ast.Unary:
		if k := again(constant(e.X)); k != nil && e.Op == ast.Neg {
			k.Exact = new(big.Rat).Neg(k.Exact)
			return k
		}
	case *ast.Ref:
		if r := c.info.Refs[e]; r != nil && r.Kind == book.RefLet {
			return again(c.letConstant(r.Let))
		}
	case *ast.Call:
		var best *book.Constant
		for _, arg := range e.Args {
			k := again(constant(arg))
			switch {
			case k == nil:
				return nil
			case e.Func.Text == "abs":
				k.Exact = new(big.Rat).Abs(k.Exact)
				return k
			case best == nil || (k.Exact.Cmp(best.Exact) > 0) == (e.Func.Text == "max") && k.Exact.Cmp(best.Exact) != 0:
				best = k
			}
		}
		return best
	case *ast.Binary:
		x, y := constant(e.X), constant(e.Y)
		if x == nil || y == nil {
			return nil
		}
		return arithmetic(e.Op, x, y)
	}
	return nil
}

func again(k *book.Constant) *book.Constant {
	if k == nil {
		return nil
	}
	return &book.Constant{Exact: k.Exact, Unit: k.Unit}
}

// arithmetic is "x op y". Its unit is that of the side that has one; what has none, like
// an area made of two lengths, is shown in the usual unit of its dimension.
func arithmetic(op ast.Op, x, y *book.Constant) *book.Constant {
	k := &book.Constant{Exact: new(big.Rat), Unit: x.Unit}
	switch op {
	case ast.Add, ast.Sub:
		if op == ast.Add {
			k.Exact.Add(x.Exact, y.Exact)
		} else {
			k.Exact.Sub(x.Exact, y.Exact)
		}
		if x.Unit.Name == "" {
			k.Unit = y.Unit
		}
	case ast.Mul:
		k.Exact.Mul(x.Exact, y.Exact)
		switch {
		case x.Unit.Name == "":
			k.Unit = y.Unit
		case y.Unit.Name != "":
			k.Unit = unit.Base(x.Unit.Dim.Mul(y.Unit.Dim))
		}
	case ast.Div:
		k.Exact.Quo(x.Exact, y.Exact)
		if y.Unit.Name != "" {
			k.Unit = unit.Base(x.Unit.Dim.Div(y.Unit.Dim))
		}
	default:
		return nil
	}
	return k
}

// key is the key of a sound formula of the book.
func (c *checker) key(e ast.Expr) string {
	k, ok := c.keyed[e]
	if !ok {
		k = c.keys.Part(book.Part{Expr: e, Info: c.info})
		c.keyed[e] = k
	}
	return k
}
