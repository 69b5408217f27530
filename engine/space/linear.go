package space

// This file takes formulas apart into sums: where two sides of a comparison are sums of properties
// with fixed factors, it is known at which values the comparison turns.

import (
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Term is a property with its factor.
type Term struct {
	Prop   catalogue.Property
	Factor float64
}

// Sum is a sum of properties and a constant, in base units.
type Sum struct {
	Terms []Term
	Fixed float64
}

// Plus is a + k·b.
func (a Sum) Plus(b Sum, k float64) Sum {
	out := Sum{Fixed: a.Fixed + k*b.Fixed}
	out.Terms = append(out.Terms, a.Terms...)
next:
	for _, t := range b.Terms {
		for i := range out.Terms {
			if out.Terms[i].Prop.Name == t.Prop.Name {
				out.Terms[i].Factor += k * t.Factor
				continue next
			}
		}
		out.Terms = append(out.Terms, Term{t.Prop, k * t.Factor})
	}
	kept := out.Terms[:0]
	for _, t := range out.Terms {
		if t.Factor != 0 {
			kept = append(kept, t)
		}
	}
	out.Terms = kept
	return out
}

// AnyPos is either club of a pair.
const AnyPos ast.Position = -1

// MostSums bounds how many sums one formula may stand for.
const MostSums = 256

// Sums are what a formula may come to, one sum for each row of a chart and each branch of an "if" in
// it; false where it is no sum.
func (s *Space) Sums(e ast.Expr, info *book.Info, pos ast.Position) ([]Sum, bool) {
	if c := info.Constants[e]; c != nil {
		return []Sum{{Fixed: c.Base}}, true
	}
	switch e := e.(type) {
	case *ast.Paren:
		return s.Sums(e.X, info, pos)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return []Sum{{Fixed: float64(d)}}, true
	case *ast.Unary:
		x, ok := s.Sums(e.X, info, pos)
		return Scaled(x, -1), ok && e.Op == ast.Neg
	case *ast.Ref:
		return s.refSums(e, info, pos)
	case *ast.If:
		x, ok := s.Sums(e.Then, info, pos)
		y, ok2 := s.Sums(e.Else, info, pos)
		return Few(append(x, y...), ok && ok2)
	case *ast.Call:
		var out []Sum
		for _, a := range e.Args {
			x, ok := s.Sums(a, info, pos)
			if !ok {
				return nil, false
			}
			out = append(out, x...)
			if e.Func.Text == "abs" {
				out = append(out, Scaled(x, -1)...)
			}
		}
		return Few(out, true)
	case *ast.Binary:
		x, ok := s.Sums(e.X, info, pos)
		y, ok2 := s.Sums(e.Y, info, pos)
		if !ok || !ok2 {
			return nil, false
		}
		return Product(e.Op, x, y)
	}
	return nil, false
}

func (s *Space) refSums(e *ast.Ref, info *book.Info, pos ast.Position) ([]Sum, bool) {
	ref := info.Refs[e]
	if ref == nil || pos != AnyPos && e.Pos != pos && e.Pos != ast.Here {
		return nil, false
	}
	switch ref.Kind {
	case book.RefLet:
		return s.Sums(ref.Let.Decl.Value, ref.Let.Book.Info, pos)
	case book.RefChart:
		out := make([]Sum, len(ref.Chart.Values))
		for i, v := range ref.Chart.Values {
			out[i].Fixed = v.Base
		}
		return Few(out, true)
	case book.RefProperty:
		p := ref.Property
		ok := p.Sort.Numeric() || p.Sort == catalogue.Date
		return []Sum{{Terms: []Term{{p, 1}}}}, ok
	}
	return nil, false
}

// Product is what two formulas come to under an operator.
func Product(op ast.Op, x, y []Sum) ([]Sum, bool) {
	if len(x)*len(y) > MostSums {
		return nil, false
	}
	var out []Sum
	for _, a := range x {
		for _, b := range y {
			switch {
			case op == ast.Add:
				out = append(out, a.Plus(b, 1))
			case op == ast.Sub:
				out = append(out, a.Plus(b, -1))
			case op == ast.Mul && len(a.Terms) == 0:
				out = append(out, Sum{}.Plus(b, a.Fixed))
			case op == ast.Mul && len(b.Terms) == 0:
				out = append(out, Sum{}.Plus(a, b.Fixed))
			case op == ast.Div && len(b.Terms) == 0 && b.Fixed != 0:
				out = append(out, Sum{}.Plus(a, 1/b.Fixed))
			default:
				return nil, false
			}
		}
	}
	return out, true
}

func Few(x []Sum, ok bool) ([]Sum, bool) { return x, ok && len(x) <= MostSums }

func Scaled(x []Sum, k float64) []Sum {
	out := make([]Sum, len(x))
	for i := range x {
		out[i] = Sum{}.Plus(x[i], k)
	}
	return out
}

// ends are the sums that the ends of a bound come to; false where one is no sum.
func (s *Space) ends(b *book.Bound, pos ast.Position) ([]Sum, bool) {
	var out []Sum
	for _, side := range []struct {
		end     *book.End
		outward ast.Op
	}{{b.Low, ast.Sub}, {b.High, ast.Add}} {
		if side.end == nil {
			continue
		}
		at, ok := s.Sums(side.end.At.Expr, side.end.At.Info, pos)
		for _, w := range b.Widen {
			by, ok2 := s.Sums(w.Expr, w.Info, pos)
			if !ok || !ok2 {
				return nil, false
			}
			at, ok = Product(side.outward, at, by)
		}
		if !ok {
			return nil, false
		}
		out = append(out, at...)
	}
	return Few(out, true)
}
