package space

// This file takes formulas apart into sums: where two sides of a comparison are sums of properties
// with fixed factors, it is known at which values the comparison turns.

import (
	"slices"

	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
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
	out.Terms = slices.DeleteFunc(out.Terms, func(t Term) bool { return t.Factor == 0 })
	return out
}

// AnyPos is either club of a pair.
const AnyPos ast.Position = -1

// toldApart is both clubs of a pair, each by itself: a property has to say of which of them it is.
const toldApart ast.Position = -2

// mostSums bounds how many sums one formula may stand for.
const mostSums = 256

// sums are what a formula at a position may come to, one sum for each row of a chart and each branch of an "if" in it;
// false where it is not a sum. First, Second and toldApart are those of a pair whose clubs are
// told apart.
func sums(p book.Part, at ast.Position) ([]Sum, bool) {
	if c := p.Constant(); c != nil {
		return []Sum{{Fixed: c.Base}}, true
	}
	apart := at != ast.Here && at != AnyPos
	switch e := p.Expr.(type) {
	case *ast.Paren:
		return sums(p.In(e.X), at)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return []Sum{{Fixed: float64(d)}}, true
	case *ast.Today:
		return []Sum{{Fixed: float64(judge.SomeDay)}}, true
	case *ast.Unary:
		x, ok := sums(p.In(e.X), at)
		return scaled(x, -1), ok && e.Op == ast.Neg
	case *ast.Ref:
		return refSums(p, e, at)
	case *ast.If:
		x, ok := sums(p.In(e.Then), at)
		y, ok2 := sums(p.In(e.Else), at)
		return few(append(x, y...), ok && ok2 && !apart)
	case *ast.Call:
		var out []Sum
		for _, a := range e.Args {
			x, ok := sums(p.In(a), at)
			if !ok || apart && e.Func.Text != "abs" {
				return nil, false
			}
			out = append(out, x...)
			if e.Func.Text == "abs" {
				out = append(out, scaled(x, -1)...)
			}
		}
		return few(out, true)
	case *ast.Step:
		x, ok := sums(p.In(e.Of), ast.Second)
		y, ok2 := sums(p.In(e.Of), ast.First)
		if !apart || !ok || !ok2 || e.PerNumber {
			return nil, false
		}
		if !e.Rise {
			x, y = y, x
		}
		return product(ast.Sub, x, y)
	case *ast.Binary:
		x, ok := sums(p.In(e.X), at)
		y, ok2 := sums(p.In(e.Y), at)
		if !ok || !ok2 {
			return nil, false
		}
		return product(e.Op, x, y)
	}
	return nil, false
}

// pairNames lead the names of the properties of either club of a pair.
var pairNames = map[ast.Position]string{ast.First: "first ", ast.Second: "second "}

func refSums(p book.Part, e *ast.Ref, at ast.Position) ([]Sum, bool) {
	ref := p.Info.Refs[e]
	if ref == nil || at == ast.Here && e.Pos != ast.Here {
		return nil, false
	}
	apart := at != ast.Here && at != AnyPos
	if apart && e.Pos != ast.Here {
		at = e.Pos
	}
	switch ref.Kind {
	case book.RefLet:
		return sums(ref.Let.Part(), at)
	case book.RefChart:
		return few(lists.Each(ref.Chart.Values, func(v book.Constant) Sum { return Sum{Fixed: v.Base} }), !apart)
	case book.RefProperty:
		of := ref.Property
		ok := of.Sort.Numeric() || of.Sort == catalogue.Date
		of.Name = pairNames[at] + of.Name
		return []Sum{{Terms: []Term{{of, 1}}}}, ok && at != toldApart
	}
	return nil, false
}

// product is what two formulas come to under an operator.
func product(op ast.Op, x, y []Sum) ([]Sum, bool) {
	if len(x)*len(y) > mostSums {
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

func few(x []Sum, ok bool) ([]Sum, bool) { return x, ok && len(x) <= mostSums }

func scaled(x []Sum, k float64) []Sum {
	out, _ := product(ast.Mul, []Sum{{Fixed: k}}, x)
	return out
}

// ends are the sums that the ends of a bound come to; false where one is not a sum.
func (s *Space) ends(b *book.Bound) ([]Sum, bool) {
	var out []Sum
	for _, side := range []struct {
		end     *book.End
		outward ast.Op
	}{{b.Low, ast.Sub}, {b.High, ast.Add}} {
		if side.end == nil {
			continue
		}
		at, ok := sums(side.end.At, s.Pos)
		for _, w := range b.Widen {
			by, ok2 := sums(w, s.Pos)
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
