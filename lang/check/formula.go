package check

// This file works out what a formula gives: a quantity of some dimension, a condition,
// a day or a text.

import (
	"math"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// scope says where a formula is, and gathers what it asks for.
type scope struct {
	about       ast.SubjectKind // what a bare property is of; 0 where only constants may be
	constantFor string          // then: what the constant is, in words
	inside      string          // "drop of" and their like, which take the clubs one by one; else ""
	bareSet     bool            // a value of the set may be here as it is
	bareStep    bool            // a drop or a rise may be here
	share       *shareOf        // inside "share of": gathers the properties
	facts       *book.Facts
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
func (s scope) each(word string, f *book.Facts) scope {
	return scope{about: ast.OfClub, inside: word, facts: f}
}

// expr works out what a formula gives, and its value where it needs no club. A formula with a fault in it is Faulty,
// which fits everywhere, so that what follows from the fault is not reported.
func (c *checker) expr(e ast.Expr, s scope) book.Type {
	if c.nodes++; c.nodes > maxNodes {
		if c.nodes == maxNodes+1 {
			c.wrong(diag.TooMuchWork, e.Place(), "several books",
				"up to here the formulas of this book have more than %d parts", maxNodes)
		}
		c.faults++
		return book.Type{}
	}
	s.facts.Cost++
	before := c.faults
	t := c.infer(e, s)
	if t.Kind == book.Number && c.faults == before {
		c.fold(e)
	}
	switch {
	case c.faults > before:
		t = book.Type{}
	case t.Kind == book.Faulty:
		c.faults++
	}
	c.info.Types[e] = t
	return t
}

func (c *checker) infer(e ast.Expr, s scope) book.Type {
	switch e := e.(type) {
	case *ast.Quantity:
		return book.Type{Kind: book.Number, Dim: e.Value.Dim(), Bare: !e.Value.HasUnit, Places: places(e.Value)}
	case *ast.DateLit:
		return book.Type{Kind: book.DayType}
	case *ast.TextLit:
		return book.Type{Kind: book.TextType}
	case *ast.Paren:
		if e.List != nil && !c.enumerated(e.List, s.inner()) {
			return book.Type{}
		}
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
		return unplaced(c.number(e.X, s.inner(), "a minus"))
	case *ast.Binary:
		return c.binary(e, s.inner())
	case *ast.If:
		return c.choice(e, s.inner())
	case *ast.Call:
		return c.call(e, s.inner())
	case *ast.Has:
		c.anyProperty(e.Of, s.inner(), "has")
		return book.Type{Kind: book.Truth}
	case *ast.CountOf, *ast.SetValue:
		return c.setValue(e, s)
	case *ast.ReadingsValue:
		return gathered(c.readings(e.Of, s, e.How.String()+" of ... among readings"), e.How)
	case *ast.CountReadings:
		c.readings(e.Of, s, "count of readings")
		return quantity(unit.Count)
	case *ast.ShareOfReadings:
		return c.share(e, s)
	case *ast.Step:
		return c.step(e, s)
	case *ast.Today:
		s.facts.Today = true
		if s.about == 0 {
			return c.notConstant(e, s)
		}
		return book.Type{Kind: book.DayType}
	case *ast.Age:
		return c.age(e, s.inner())
	}
	return book.Type{}
}

// age checks "age DATE".
func (c *checker) age(e *ast.Age, s scope) book.Type {
	s.facts.Today = true
	c.sort = "date"
	t := c.expr(e.Of, s)
	c.sort = ""
	switch {
	case t.Kind == book.Faulty:
		return t
	case t.Kind != book.DayType:
		return c.wrong(diag.NotAQuantity, e.Of.Place(), "a day, as in age born or age 2010-04-18",
			"age counts the years from a day to today, and %s is %s", shown(e.Of), describe(t))
	case s.about == 0:
		return c.notConstant(e, s)
	}
	return quantity(unit.Count)
}

// truth works out a condition. A formula that is none is reported and Faulty.
func (c *checker) truth(e ast.Expr, s scope) book.Type {
	return c.asCondition(e, c.expr(e, s))
}

// asCondition reports a formula that gives no condition.
func (c *checker) asCondition(e ast.Expr, t book.Type) book.Type {
	if t.Kind == book.Truth || t.Kind == book.Faulty {
		return t
	}
	d := diag.Diagnostic{Code: diag.NotACondition, Span: e.Place(),
		Message:  shown(e) + " is " + describe(t) + ", not a condition",
		Expected: "a condition, such as a comparison"}
	ref, plain := ast.Unparen(e).(*ast.Ref)
	switch {
	case plain && t.Kind == book.Number:
		d.Expected, d.Hint = "a condition, such as a comparison, or has "+text(ref.Span), "has "+text(ref.Span)
	case t.Kind == book.KindType:
		d.Hint = text(e.Place()) + " = driver"
	case t.Kind == book.HandType:
		d.Hint = text(e.Place()) + " = left"
	case t.Kind == book.TextType && plain:
		d.Hint = text(e.Place()) + ` = "..."`
	}
	return c.report(d)
}

// number works out a quantity for something that takes nothing else.
func (c *checker) number(e ast.Expr, s scope, taker string) book.Type {
	return c.asNumber(e, c.expr(e, s), taker)
}

// asNumber reports a formula that gives no quantity.
func (c *checker) asNumber(e ast.Expr, t book.Type, taker string) book.Type {
	if t.Kind == book.Number || t.Kind == book.Faulty {
		return t
	}
	return c.wrong(diag.NotAQuantity, e.Place(), "a quantity",
		"%s takes a quantity, and %s is %s", taker, shown(e), describe(t))
}

func (c *checker) binary(e *ast.Binary, s scope) book.Type {
	switch {
	case e.Op == ast.And || e.Op == ast.Or:
		c.truth(e.X, s)
		return c.truth(e.Y, s)
	case e.Op.IsComparison():
		c.comparison(e, s)
		return book.Type{Kind: book.Truth}
	}
	word := map[ast.Op]string{ast.Add: `"+"`, ast.Sub: `"-"`, ast.Mul: `"*"`, ast.Div: `"/"`}[e.Op]
	a, b := c.expr(e.X, s), c.expr(e.Y, s)
	if (e.Op == ast.Add || e.Op == ast.Sub) && (a.Kind == book.DayType || b.Kind == book.DayType) {
		return c.dayMath(e, a, b)
	}
	a, b = c.asNumber(e.X, a, word), c.asNumber(e.Y, b, word)
	if a.Kind == book.Faulty || b.Kind == book.Faulty {
		return book.Type{}
	}
	switch e.Op {
	case ast.Add, ast.Sub:
		step := b
		step.Places = a.Places
		t, ok := like(a, step)
		if !ok {
			return c.unitClash(e, e.X, e.Y, unplaced(a), unplaced(b), joined[e.Op])
		}
		if t.Places = a.Places + b.Places; e.Op == ast.Sub {
			t.Places = a.Places - b.Places
		}
		return t
	case ast.Mul:
		return c.ranged(e, book.Type{Kind: book.Number, Dim: a.Dim.Mul(b.Dim), Bare: a.Bare && b.Bare})
	}
	if k := c.info.Constants[e.Y]; k != nil && k.Exact.Sign() == 0 {
		return c.wrong(diag.ZeroDivision, e.Y.Place(), "something other than 0 below the stroke", "%s divides by 0",
			shown(e))
	}
	if b.Bare && a.Dim.Pure() { // half a count is a count, half a ratio is a ratio
		return book.Type{Kind: book.Number, Dim: a.Dim, Bare: a.Bare}
	}
	return c.ranged(e, quantity(a.Dim.Div(b.Dim)))
}

var joined = map[ast.Op]string{ast.Add: "be added", ast.Sub: "be subtracted"}

// dayMath is what a day plus or less something gives: a day with days, and days with a day.
func (c *checker) dayMath(e *ast.Binary, a, b book.Type) book.Type {
	day := book.Type{Kind: book.DayType}
	of := func(t book.Type) bool { return t.Kind == book.Number && t.Dim == unit.Days }
	switch {
	case a.Kind == book.Faulty || b.Kind == book.Faulty:
		return book.Type{}
	case e.Op == ast.Sub && a == day && b == day:
		return quantity(unit.Days)
	case a == day && of(b) || e.Op == ast.Add && of(a) && b == day:
		return day
	}
	d := diag.Diagnostic{Code: diag.UnitClash, Span: e.Span,
		Message:  cannot(e.X, e.Y, a, b, joined[e.Op]),
		Expected: "a day and a number of days, as in made + 30 days, or a day less a day"}
	bare := e.X.Place()
	if b.Bare {
		bare = e.Y.Place()
	}
	if a.Bare || b.Bare {
		d.Span, d.Hint = bare, text(bare)+" days"
	}
	return c.report(d)
}

// ranged reports a product or quotient of a dimension beyond all use.
func (c *checker) ranged(e ast.Expr, t book.Type) book.Type {
	const most = 64
	for _, n := range t.Dim.Exponents {
		if n > most || n < -most {
			return c.wrong(diag.OutOfRange, e.Place(), "a formula with fewer factors",
				"this multiplies or divides more than %d like quantities", most)
		}
	}
	return unplaced(t)
}

// unplaced is a type of which it is not clear whether it is a place on the swing-weight scale or a step.
func unplaced(t book.Type) book.Type {
	if t.Dim == unit.Swing {
		t.Places = math.NaN()
	}
	return t
}

// places are those of a literal. What is off the scale of letters is written in points as well.
func places(q unit.Quantity) float64 {
	switch base := q.Base(); {
	case q.SwingWeight:
		return 1
	case q.Dim() == unit.Swing && (base < 0 || base >= 70):
		return math.NaN()
	}
	return 0
}

// gathered is what several values of a type give together.
func gathered(t book.Type, how ast.Aggregate) book.Type {
	if how == ast.Spread || how == ast.Total {
		t.Places = 0
	}
	return t
}

// quantity is what a formula gives that is a quantity of a dimension, a swing weight a place on its scale.
func quantity(d unit.Dim) book.Type { return book.Type{Kind: book.Number, Dim: d, Places: 1} }

// like is what two like quantities give together: a bare number is a count, or a ratio
// where the other side is one.
func like(a, b book.Type) (book.Type, bool) {
	switch {
	case a.Kind != b.Kind:
		return book.Type{}, false
	case a.Kind != book.Number:
		return a, true
	case a.Dim == b.Dim:
		t := book.Type{Kind: book.Number, Dim: a.Dim, Bare: a.Bare && b.Bare, Places: a.Places}
		return t, a.Dim != unit.Swing || !(a.Places < b.Places || a.Places > b.Places)
	case a.Bare && b.Dim.Pure():
		return b, true
	case b.Bare && a.Dim.Pure():
		return a, true
	}
	return book.Type{}, false
}

func (c *checker) choice(e *ast.If, s scope) book.Type {
	c.truth(e.Cond, s)
	a, b := c.expr(e.Then, s), c.expr(e.Else, s)
	if a.Kind == book.Faulty || b.Kind == book.Faulty {
		return book.Type{}
	}
	for _, branch := range []ast.Expr{e.Then, e.Else} {
		if t := c.info.Types[branch]; t.Kind == book.KindType || t.Kind == book.HandType {
			return c.wrong(diag.UnlikeValues, branch.Place(), "a quantity or a condition",
				"%s is %s, which only = and != can compare", shown(branch), describe(t))
		}
	}
	t, ok := like(a, b)
	if !ok {
		return c.mismatch(e, e.Then, e.Else, a, b, "both be what one if gives")
	}
	return t
}

func (c *checker) call(e *ast.Call, s scope) book.Type {
	name := e.Func.Text
	var first book.Type
	for i, arg := range e.Args {
		t := c.number(arg, s, name)
		switch {
		case t.Kind == book.Faulty:
		case i == 0 || first.Kind == book.Faulty:
			first = t
		default:
			both, ok := like(first, t)
			if !ok {
				return c.unitClash(e, e.Args[0], arg, first, t, "be compared by "+name)
			}
			first = both
		}
	}
	if name == "abs" && len(e.Args) != 1 {
		return c.wrong(diag.WrongArguments, e.Span, "one value, as in abs(lie - 60 deg)",
			"abs takes one value, and this has %d", len(e.Args))
	}
	if name != "abs" && len(e.Args) < 2 {
		return c.wrong(diag.WrongArguments, e.Span, "values separated by commas, as in "+name+"(lie, 60 deg)",
			"%s takes two values or more, and this has one", name)
	}
	return first
}
