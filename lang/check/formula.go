package check

// This file works out what a formula gives: a quantity of some dimension, a condition,
// a day or a text.

import (
	"fmt"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// scope says where a formula stands, and gathers what it asks for.
type scope struct {
	about       ast.SubjectKind // what a bare property is of; 0 where only constants may stand
	constantFor string          // then: what the constant is, in words
	inside      string          // "drop of" and their like, which take the clubs one by one; else ""
	bareSet     bool            // a value of the set may stand here as it is
	bareStep    bool            // a drop or a rise may stand here
	share       *shareOf        // inside "share of": gathers the properties
	facts       *facts
}

// inner is the scope of an operand.
func (s scope) inner() scope {
	s.bareSet, s.bareStep = false, false
	return s
}

// parenthesis is the scope inside parentheses.
func (s scope) parenthesis() scope {
	s.bareSet, s.bareStep = true, s.about == ast.OfNeighbours
	return s
}

// each is the scope of a formula that a word such as "drop of" or "longest of" asks of
// clubs one by one.
func (s scope) each(word string, f *facts) scope {
	return scope{about: ast.OfClub, inside: word, facts: f}
}

// expr works out what a formula gives, and its value where it needs no club.
func (c *checker) expr(e ast.Expr, s scope) Type {
	if c.nodes++; c.nodes > maxNodes {
		if c.nodes == maxNodes+1 {
			c.report(diag.Diagnostic{Code: diag.TooMuchWork, Span: e.Place(), Message: fmt.Sprintf("up to here the formulas of this book have more than %d parts", maxNodes),
				Expected: "several books"})
		}
		return Type{}
	}
	s.facts.cost++
	t := c.infer(e, s)
	if t.Kind == Number {
		if k, ok := c.fold(e); !ok {
			t = Type{}
		} else if k != nil {
			c.info.Constants[e] = k
		}
	}
	c.info.Types[e] = t
	return t
}

func (c *checker) infer(e ast.Expr, s scope) Type {
	switch e := e.(type) {
	case *ast.Quantity:
		return Type{Kind: Number, Dim: e.Value.Dim(), Bare: !e.Value.HasUnit}
	case *ast.DateLit:
		return Type{Kind: DayType}
	case *ast.TextLit:
		return Type{Kind: TextType}
	case *ast.Paren:
		return c.expr(e.X, s.parenthesis())
	case *ast.Ref:
		return c.ref(e, s)
	case *ast.ItemRef:
		c.item(e.Item, s)
		return c.unlikeKind(e)
	case *ast.Unary:
		if e.Op == ast.Not {
			return c.truth(e.X, s.inner())
		}
		return c.number(e.X, s.inner(), "a minus")
	case *ast.Binary:
		return c.binary(e, s.inner())
	case *ast.If:
		return c.choice(e, s.inner())
	case *ast.Call:
		return c.call(e, s.inner())
	case *ast.Has:
		return c.has(e, s.inner())
	case *ast.CountOf, *ast.SetValue:
		return c.setValue(e, s)
	case *ast.ReadingsValue:
		return c.readings(e.Of, s, e.How.String()+" of ... among readings")
	case *ast.CountReadings:
		if c.readings(e.Of, s, "count of readings").Kind == Faulty {
			return Type{}
		}
		return Type{Kind: Number, Dim: unit.Count}
	case *ast.ShareOfReadings:
		return c.share(e, s)
	case *ast.Step:
		return c.step(e, s)
	}
	return Type{}
}

// truth works out a condition. A formula that is none is reported and Faulty.
func (c *checker) truth(e ast.Expr, s scope) Type {
	return c.asCondition(e, c.expr(e, s))
}

// asCondition reports a formula that gives no condition.
func (c *checker) asCondition(e ast.Expr, t Type) Type {
	if t.Kind == Truth || t.Kind == Faulty {
		return t
	}
	d := diag.Diagnostic{Code: diag.NotACondition, Span: e.Place(), Message: shown(e) + " is " + t.describe() + ", not a condition",
		Expected: "a condition, such as a comparison"}
	ref, plain := ast.Unparen(e).(*ast.Ref)
	switch {
	case plain && t.Kind == Number:
		d.Expected, d.Hint = "a condition, such as a comparison, or has "+text(ref.Span), "has "+text(ref.Span)
	case t.Kind == KindType:
		d.Hint = text(e.Place()) + " = driver"
	case t.Kind == HandType:
		d.Hint = text(e.Place()) + " = left"
	case t.Kind == TextType && plain:
		d.Hint = text(e.Place()) + ` = "..."`
	}
	c.report(d)
	return Type{}
}

// number works out a quantity for something that takes nothing else.
func (c *checker) number(e ast.Expr, s scope, taker string) Type {
	t := c.expr(e, s)
	if t.Kind == Number || t.Kind == Faulty {
		return t
	}
	c.report(diag.Diagnostic{Code: diag.NotAQuantity, Span: e.Place(), Message: fmt.Sprintf("%s takes a quantity, and %s is %s", taker, shown(e), t.describe()), Expected: "a quantity"})
	return Type{}
}

func (c *checker) binary(e *ast.Binary, s scope) Type {
	switch {
	case e.Op == ast.And || e.Op == ast.Or:
		a, b := c.truth(e.X, s), c.truth(e.Y, s)
		if a.Kind == Faulty || b.Kind == Faulty {
			return Type{}
		}
		return Type{Kind: Truth}
	case e.Op.IsComparison():
		return c.comparison(e, s)
	}
	word := map[ast.Op]string{ast.Add: `"+"`, ast.Sub: `"-"`, ast.Mul: `"*"`, ast.Div: `"/"`}[e.Op]
	a, b := c.number(e.X, s, word), c.number(e.Y, s, word)
	if a.Kind == Faulty || b.Kind == Faulty {
		return Type{}
	}
	switch e.Op {
	case ast.Add, ast.Sub:
		t, ok := like(a, b)
		if !ok {
			c.unitClash(e, e.X, e.Y, a, b, map[ast.Op]string{ast.Add: "be added", ast.Sub: "be subtracted"}[e.Op])
			return Type{}
		}
		return t
	case ast.Mul:
		return c.ranged(e, Type{Kind: Number, Dim: a.Dim.Mul(b.Dim), Bare: a.Bare && b.Bare})
	}
	if k := c.info.Constants[e.Y]; k != nil && k.Exact.Sign() == 0 {
		c.report(diag.Diagnostic{Code: diag.ZeroDivision, Span: e.Y.Place(), Message: shown(e) + " divides by 0", Expected: "something other than 0 below the stroke"})
		return Type{}
	}
	if b.Bare && a.Dim.Pure() { // half a count is a count, half a ratio is a ratio
		return Type{Kind: Number, Dim: a.Dim, Bare: a.Bare}
	}
	return c.ranged(e, Type{Kind: Number, Dim: a.Dim.Div(b.Dim)})
}

// ranged reports a product or quotient of a dimension beyond all use.
func (c *checker) ranged(e ast.Expr, t Type) Type {
	const most = 64
	d := t.Dim
	for _, n := range [...]int8{d.Length, d.Angle, d.Mass, d.Time, d.Swing} {
		if n > most || n < -most {
			c.report(diag.Diagnostic{Code: diag.OutOfRange, Span: e.Place(), Message: fmt.Sprintf("this multiplies or divides more than %d like quantities", most),
				Expected: "a formula with fewer factors"})
			return Type{}
		}
	}
	return t
}

// like is what two like quantities give together: a bare number is a count, or a ratio
// where the other side is one.
func like(a, b Type) (Type, bool) {
	switch {
	case a.Kind != b.Kind:
		return Type{}, false
	case a.Kind != Number:
		return a, true
	case a.Dim == b.Dim:
		return Type{Kind: Number, Dim: a.Dim, Bare: a.Bare && b.Bare}, true
	case a.Bare && b.Dim.Pure():
		return b, true
	case b.Bare && a.Dim.Pure():
		return a, true
	}
	return Type{}, false
}

func (c *checker) choice(e *ast.If, s scope) Type {
	cond := c.truth(e.Cond, s)
	a, b := c.expr(e.Then, s), c.expr(e.Else, s)
	if a.Kind == Faulty || b.Kind == Faulty {
		return Type{}
	}
	for _, branch := range []struct {
		e ast.Expr
		t Type
	}{{e.Then, a}, {e.Else, b}} {
		if branch.t.Kind == KindType || branch.t.Kind == HandType {
			c.report(diag.Diagnostic{Code: diag.UnlikeValues, Span: branch.e.Place(), Message: shown(branch.e) + " is " + branch.t.describe() + ", which stands beside = and != only",
				Expected: "a quantity or a condition"})
			return Type{}
		}
	}
	t, ok := like(a, b)
	if !ok {
		c.mismatch(e, e.Then, e.Else, a, b, "both be what one if gives")
		return Type{}
	}
	if cond.Kind == Faulty {
		return Type{}
	}
	return t
}

func (c *checker) call(e *ast.Call, s scope) Type {
	name := e.Func.Text
	sound := true
	var first Type
	for i, arg := range e.Args {
		t := c.number(arg, s, name)
		switch {
		case t.Kind == Faulty:
			sound = false
		case i == 0 || first.Kind == Faulty:
			first = t
		default:
			both, ok := like(first, t)
			if !ok {
				c.unitClash(e, e.Args[0], arg, first, t, "be compared by "+name)
				return Type{}
			}
			first = both
		}
	}
	if name == "abs" && len(e.Args) != 1 {
		c.report(diag.Diagnostic{Code: diag.WrongArguments, Span: e.Span, Message: fmt.Sprintf("abs takes one value, and %d stand here", len(e.Args)), Expected: "one value, as in abs(lie - 60 deg)"})
		return Type{}
	}
	if name != "abs" && len(e.Args) < 2 {
		c.report(diag.Diagnostic{Code: diag.WrongArguments, Span: e.Span, Message: name + " takes two values or more, and one stands here", Expected: "values divided by commas, as in " + name + "(lie, 60 deg)"})
		return Type{}
	}
	if !sound {
		return Type{}
	}
	return first
}

// has checks "has PROPERTY".
func (c *checker) has(e *ast.Has, s scope) Type {
	t := c.anyProperty(e.Of, s, "has")
	c.info.Types[e.Of] = t
	if t.Kind == Faulty {
		return Type{}
	}
	return Type{Kind: Truth}
}
