package check

// This file works out constant formulas, exactly, and tells whether two formulas are
// the same.

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// maxBits bounds the size of an exact constant.
const maxBits = 4096

// fold is the value of a sound formula that needs no club; nil where it needs one. It is
// false where the value is out of all range, which is reported.
func (c *checker) fold(e ast.Expr) (k *book.Constant, ok bool) {
	k = c.value(e)
	if k == nil {
		return nil, true
	}
	k.Span = e.Place()
	fits := k.Exact.Num().BitLen() <= maxBits && k.Exact.Denom().BitLen() <= maxBits
	if fits {
		k.Base = unit.RoundExact(k.Exact)
		fits = !math.IsInf(k.Base, 0) && (k.Base != 0) == (k.Exact.Sign() != 0)
	}
	if !fits {
		c.report(diag.Diagnostic{Code: diag.OutOfRange, Span: e.Place(), Message: shown(e) + " is a figure beyond all use", Expected: "figures of a size that is met in a shop"})
		return nil, false
	}
	return k, true
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

// key is a text that two formulas share exactly when they are the same but for
// parentheses, blanks and the spelling of quantities. The formulas must be of one book.
func (c *checker) key(e ast.Expr) string {
	if k, ok := c.keys[e]; ok {
		return k
	}
	var b strings.Builder
	writeKey(&b, e)
	c.keys[e] = b.String()
	return b.String()
}

func writeKey(b *strings.Builder, e ast.Expr) {
	switch e := e.(type) {
	case nil:
		b.WriteByte('_')
	case *ast.Paren:
		writeKey(b, e.X)
	case *ast.Quantity:
		fmt.Fprintf(b, "%s:%s", e.Value.Exact().RatString(), e.Value.Dim())
	case *ast.DateLit:
		b.WriteString(e.Date)
	case *ast.TextLit:
		fmt.Fprintf(b, "%q", catalogue.Key(e.Value))
	case *ast.Ref:
		fmt.Fprintf(b, "%d.%s", e.Pos, e.Name.Text)
		if e.By != nil {
			b.WriteString(" by " + e.By.Text)
		}
	case *ast.ItemRef:
		writeItems(b, []*ast.Item{e.Item})
	case *ast.Unary:
		write(b, e.Op.String()+"'", e.X)
	case *ast.Binary:
		write(b, e.Op.String(), e.X, e.Y)
	case *ast.If:
		write(b, "if", e.Cond, e.Then, e.Else)
	case *ast.Call:
		write(b, e.Func.Text, e.Args...)
	case *ast.Has:
		write(b, "has", e.Of)
	case *ast.CountOf:
		b.WriteString("count ")
		writeSelector(b, e.Selector)
	case *ast.SetValue:
		write(b, e.How.String(), e.Of)
		writeSelector(b, e.Among)
	case *ast.ReadingsValue:
		write(b, "readings "+e.How.String(), e.Of)
	case *ast.ShareOfReadings:
		write(b, "share", e.Cond)
	case *ast.CountReadings:
		write(b, "readings", e.Of)
	case *ast.Step:
		write(b, fmt.Sprint("step ", e.Rise, e.PerNumber), e.Of)
	}
}

func write(b *strings.Builder, word string, parts ...ast.Expr) {
	b.WriteString(word)
	for _, p := range parts {
		b.WriteByte('(')
		writeKey(b, p)
		b.WriteByte(')')
	}
}

func writeSelector(b *strings.Builder, s *ast.Selector) {
	writeItems(b, s.Items)
	b.WriteString(" except ")
	writeItems(b, s.Except)
	write(b, " where ", s.Where)
}

func writeItems(b *strings.Builder, items []*ast.Item) {
	for _, item := range items {
		b.WriteString("," + item.Name.Text)
		for _, q := range []*ast.Quantity{item.From, item.To} {
			if q != nil {
				b.WriteString(" " + q.Value.Number.RatString())
			}
		}
		if item.Mark != nil {
			fmt.Fprintf(b, " %q", catalogue.Key(item.Mark.Value))
		}
	}
}

// boundKey is key for a bound; "exempt" for none.
func (c *checker) boundKey(b *ast.Bound) string {
	if b == nil {
		return "exempt"
	}
	var s strings.Builder
	write(&s, fmt.Sprint(b.Kind), b.Q, b.Q2, b.PlusMinus, b.Of, b.Allowing)
	return s.String()
}
