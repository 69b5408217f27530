package analyse

// This file takes formulas apart into sums: where two sides of a comparison are sums of properties
// with fixed factors, it is known at which values the comparison turns.

import (
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// term is a property with its factor.
type term struct {
	prop   catalogue.Property
	factor float64
}

// sum is a sum of properties and a constant, in base units.
type sum struct {
	terms []term
	fixed float64
}

// plus is a + k·b.
func (a sum) plus(b sum, k float64) sum {
	out := sum{fixed: a.fixed + k*b.fixed}
	out.terms = append(out.terms, a.terms...)
next:
	for _, t := range b.terms {
		for i := range out.terms {
			if out.terms[i].prop.Name == t.prop.Name {
				out.terms[i].factor += k * t.factor
				continue next
			}
		}
		out.terms = append(out.terms, term{t.prop, k * t.factor})
	}
	kept := out.terms[:0]
	for _, t := range out.terms {
		if t.factor != 0 {
			kept = append(kept, t)
		}
	}
	out.terms = kept
	return out
}

// anyPos is either club of a pair.
const anyPos ast.Position = -1

// mostSums bounds how many sums one formula may stand for.
const mostSums = 256

// sums are what a formula may come to, one sum for each row of a chart and each branch of an "if" in
// it; false where it is no sum.
func (s *space) sums(e ast.Expr, info *book.Info, pos ast.Position) ([]sum, bool) {
	if c := info.Constants[e]; c != nil {
		return []sum{{fixed: c.Base}}, true
	}
	switch e := e.(type) {
	case *ast.Paren:
		return s.sums(e.X, info, pos)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return []sum{{fixed: float64(d)}}, true
	case *ast.Unary:
		x, ok := s.sums(e.X, info, pos)
		return scaled(x, -1), ok && e.Op == ast.Neg
	case *ast.Ref:
		return s.refSums(e, info, pos)
	case *ast.If:
		x, ok := s.sums(e.Then, info, pos)
		y, ok2 := s.sums(e.Else, info, pos)
		return few(append(x, y...), ok && ok2)
	case *ast.Call:
		var out []sum
		for _, a := range e.Args {
			x, ok := s.sums(a, info, pos)
			if !ok {
				return nil, false
			}
			out = append(out, x...)
			if e.Func.Text == "abs" {
				out = append(out, scaled(x, -1)...)
			}
		}
		return few(out, true)
	case *ast.Binary:
		x, ok := s.sums(e.X, info, pos)
		y, ok2 := s.sums(e.Y, info, pos)
		if !ok || !ok2 {
			return nil, false
		}
		return product(e.Op, x, y)
	}
	return nil, false
}

func (s *space) refSums(e *ast.Ref, info *book.Info, pos ast.Position) ([]sum, bool) {
	ref := info.Refs[e]
	if ref == nil || pos != anyPos && e.Pos != pos && e.Pos != ast.Here {
		return nil, false
	}
	switch ref.Kind {
	case book.RefLet:
		return s.sums(ref.Let.Decl.Value, ref.Let.Book.Info, pos)
	case book.RefChart:
		out := make([]sum, len(ref.Chart.Values))
		for i, v := range ref.Chart.Values {
			out[i].fixed = v.Base
		}
		return few(out, true)
	case book.RefProperty:
		p := ref.Property
		ok := p.Sort.Numeric() || p.Sort == catalogue.Date
		return []sum{{terms: []term{{p, 1}}}}, ok
	}
	return nil, false
}

// product is what two formulas come to under an operator.
func product(op ast.Op, x, y []sum) ([]sum, bool) {
	if len(x)*len(y) > mostSums {
		return nil, false
	}
	var out []sum
	for _, a := range x {
		for _, b := range y {
			switch {
			case op == ast.Add:
				out = append(out, a.plus(b, 1))
			case op == ast.Sub:
				out = append(out, a.plus(b, -1))
			case op == ast.Mul && len(a.terms) == 0:
				out = append(out, sum{}.plus(b, a.fixed))
			case op == ast.Mul && len(b.terms) == 0:
				out = append(out, sum{}.plus(a, b.fixed))
			case op == ast.Div && len(b.terms) == 0 && b.fixed != 0:
				out = append(out, sum{}.plus(a, 1/b.fixed))
			default:
				return nil, false
			}
		}
	}
	return out, true
}

func few(x []sum, ok bool) ([]sum, bool) { return x, ok && len(x) <= mostSums }

func scaled(x []sum, k float64) []sum {
	out := make([]sum, len(x))
	for i := range x {
		out[i] = sum{}.plus(x[i], k)
	}
	return out
}

// ends are the sums that the ends of a bound come to; false where one is no sum.
func (s *space) ends(b *book.Bound, pos ast.Position) ([]sum, bool) {
	var out []sum
	for _, side := range []struct {
		end     *book.End
		outward ast.Op
	}{{b.Low, ast.Sub}, {b.High, ast.Add}} {
		if side.end == nil {
			continue
		}
		at, ok := s.sums(side.end.At.Expr, side.end.At.Info, pos)
		for _, w := range b.Widen {
			by, ok2 := s.sums(w.Expr, w.Info, pos)
			if !ok || !ok2 {
				return nil, false
			}
			at, ok = product(side.outward, at, by)
		}
		if !ok {
			return nil, false
		}
		out = append(out, at...)
	}
	return few(out, true)
}
