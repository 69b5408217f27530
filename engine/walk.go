package engine

// This file is the recording walk: it works a formula out over the book's own tree,
// in Kleene's logic where measurements are missing, carries uncertainty along to
// first order, and writes down each fact that it uses. The same formulas compiled
// for execution (lower.go) give the same values where all data is there.

import (
	"fmt"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// env is where a formula is worked out.
type env struct {
	j             *Judge
	info          *book.Info
	bag           *bag
	club          *club.Club // the one club; nil in a rule about a set or a pair
	first, second *club.Club // of a pair
	deciding      *decide.Rule
	steps         *[]Step    // nil: nothing is recorded
	shown         *unit.Unit // the unit in which lengths and their like are shown; nil: their own

	// one reading of a property in the place of all of them
	oneOf   catalogue.ID
	reading float64
	single  bool
	asRead  bool // repeated readings count as they are, however far apart

	open *[]undecided // where comparisons that are too close to call are noted; nil: nowhere

	draws bool // uncertainty counts: what first order does not do for is kept, to be drawn

	lieOf *club.Club // whose lie serves for a club that has none
}

// record writes a fact down.
func (x *env) record(s Step) {
	if x.steps != nil {
		*x.steps = append(*x.steps, s)
	}
}

// within runs f on a copy of x whose facts are gathered apart, and returns them.
func (x *env) within(f func(y *env)) []Step {
	y := *x
	var sub []Step
	if x.steps != nil {
		y.steps = &sub
	}
	f(&y)
	return sub
}

// amount is a number of a dimension, in the unit in which x shows it.
func (x *env) amount(n float64, d unit.Dim) Amount {
	if x.shown != nil && x.shown.Dim == d {
		return Amount{Base: n, Unit: x.shown}
	}
	return Amount{Base: n, Unit: unit.Base(d)}
}

// condition works out a condition of where, unless or if: comparisons are simple.
func (x *env) condition(e ast.Expr) value {
	y := *x
	y.deciding, y.draws = nil, false
	return y.eval(e)
}

// eval works a formula out.
func (x *env) eval(e ast.Expr) value {
	if c, ok := x.info.Constants[e]; ok {
		return numberOf(c.Base)
	}
	switch e := e.(type) {
	case *ast.Paren:
		return x.eval(e.X)
	case *ast.Ref:
		return x.ref(e)
	case *ast.TextLit:
		return textOf(e.Value)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return value{kind: day, num: float64(d)}
	case *ast.Unary:
		if e.Op == ast.Not {
			return x.not(e.X)
		}
		v := x.eval(e.X)
		if v.kind == number {
			v = linear(-v.num, v, -1, value{}, 0)
		}
		return v
	case *ast.Binary:
		return x.binary(e)
	case *ast.If:
		return x.choice(e)
	case *ast.Call:
		return x.call(e)
	case *ast.Has:
		return x.has(e.Of)
	case *ast.CountOf, *ast.SetValue:
		return x.whole(e)
	case *ast.ReadingsValue:
		return x.readings(e.How, e.Of)
	case *ast.CountReadings:
		return x.countReadings(e.Of)
	case *ast.ShareOfReadings:
		return x.share(e)
	case *ast.Step:
		return x.step(e)
	}
	return lackOf(lack{"", "this formula cannot be worked out", nil})
}

func (x *env) binary(e *ast.Binary) value {
	if e.Op == ast.And || e.Op == ast.Or {
		a := x.eval(e.X)
		if a.bend == nil && (e.Op == ast.And && a.truth == False || e.Op == ast.Or && a.truth == True) {
			return a
		}
		b := x.eval(e.Y)
		v := or(a, b)
		if e.Op == ast.And {
			v = and(a, b)
		}
		return v.joined(e.Op, a, b)
	}
	if e.Op == ast.Eq || e.Op == ast.Ne {
		if v, ok := x.word(e); ok {
			if e.Op == ast.Ne {
				return not(v)
			}
			return v
		}
	}
	a, b := x.eval(e.X), x.eval(e.Y)
	if a.kind == lacking || b.kind == lacking {
		v := lackOf(merge(a.lacks, b.lacks)...)
		if e.Op.IsComparison() {
			v.kind = truth
			if t := x.compareSpans(e.Op, a, b); t != Unknown {
				return truthOf(t == True)
			}
		}
		return v
	}
	if e.Op.IsComparison() {
		return x.comparison(e.Op, a, b)
	}
	switch e.Op {
	case ast.Add:
		return linear(a.num+b.num, a, 1, b, 1).finite(outOfRange)
	case ast.Sub:
		return linear(a.num-b.num, a, 1, b, -1).finite(outOfRange)
	case ast.Mul:
		return x.product(a, b).finite(outOfRange)
	}
	if b.num == 0 {
		return lackOf(lack{"", fmt.Sprintf("%s is 0 and cannot divide", written(e.Y)), nil})
	}
	return x.quotient(a, b).finite(outOfRange)
}

const outOfRange = "the result is out of all range"

// comparison compares two values of one sort.
func (x *env) comparison(op ast.Op, a, b value) value {
	if a.kind == text {
		if a.meantFor(b) || b.meantFor(a) {
			return unknownOf(merge(a.lacks, b.lacks))
		}
		return truthOf(catalogue.Same(a.text, b.text) == (op == ast.Eq))
	}
	if a.kind == truth {
		return lackOf(lack{"", "two conditions cannot be compared", nil})
	}
	if op == ast.Ne { // each side is decided by itself
		below, above := x.comparison(ast.Lt, a, b), x.comparison(ast.Gt, a, b)
		return or(below, above).joined(ast.Or, below, above)
	}
	t := truthOf(orders[op].holds(unit.Compare(a.num, b.num)))
	switch {
	case x.deciding != nil && x.deciding.Kind != decide.Simple:
		return x.decided(t, linear(a.num-b.num, a, 1, b, -1), orders[op].limits)
	case x.draws && near(a, b):
		return t.bent(bend{op: comparing, compare: op, kink: true}, 0, a, b)
	}
	return t
}

// decided is whether d, a difference of two numbers, lies within limits that stand around 0; t is what
// it comes to as read.
func (x *env) decided(t, d value, limits decide.Limits) value {
	if d.unsure != nil {
		return unknownOf(d.unsure)
	}
	v, s := decide.Verdict(0), d.spread()
	switch {
	case d.rough():
		drawn := x.j.draw(d, d, limits, x.deciding.Level, nil)
		x.record(Step{What: StepSimulation})
		v = x.deciding.Verdict(drawn.inside, drawn.beyond)
		x.j.forget(drawn)
	case s.U == 0:
		return t
	default:
		v, _ = decide.Decide(*x.deciding, limits, d.num, s)
	}
	switch v {
	case decide.Pass:
		return truthOf(true)
	case decide.Fail:
		return truthOf(false)
	}
	if x.open != nil {
		*x.open = append(*x.open, undecided{d, d, limits, d.rough()})
	}
	return value{kind: truth, close: true}
}

// orders says for each comparison which order of the two sides holds, and which
// limits their difference is held against.
var orders = map[ast.Op]struct {
	holds  func(int) bool
	limits decide.Limits
}{
	ast.Eq: {func(o int) bool { return o == 0 }, decide.Limits{}},
	ast.Lt: {func(o int) bool { return o < 0 }, decide.Limits{Lower: math.Inf(-1), OpenUpper: true}},
	ast.Le: {func(o int) bool { return o <= 0 }, decide.Limits{Lower: math.Inf(-1)}},
	ast.Gt: {func(o int) bool { return o > 0 }, decide.Limits{Upper: math.Inf(1), OpenLower: true}},
	ast.Ge: {func(o int) bool { return o >= 0 }, decide.Limits{Upper: math.Inf(1)}},
}

// word answers "kind = iron 5" and "hand = left", where the right side is no
// value of its own.
func (x *env) word(e *ast.Binary) (value, bool) {
	left, ok := ast.Unparen(e.X).(*ast.Ref)
	if !ok {
		return value{}, false
	}
	about, at := x.info.Refs[left], x.at(left.Pos)
	if about == nil || about.Kind != book.RefProperty {
		return value{}, false
	}
	switch about.Property.ID {
	case catalogue.KindID:
		return at.isKind(e.Y)
	case catalogue.Hand:
		right, ok := ast.Unparen(e.Y).(*ast.Ref)
		if !ok || x.info.Refs[right] == nil || x.info.Refs[right].Kind != book.RefHand {
			return value{}, false
		}
		hand := x.ref(left)
		if hand.kind == lacking {
			return unknownOf(hand.lacks), true
		}
		return truthOf(hand.text == x.info.Refs[right].Hand), true
	}
	return value{}, false
}

// isKind tells whether the club of x is of the kind that e names.
func (x *env) isKind(e ast.Expr) (value, bool) {
	switch e := ast.Unparen(e).(type) {
	case *ast.ItemRef:
		return x.each(func(y *env) value { return y.isItem(e.Item) }), true
	case *ast.Ref:
		switch r := x.info.Refs[e]; {
		case r == nil:
		case r.Kind == book.RefGroup:
			return x.each(func(y *env) value { return y.isGroup(r.Group) }), true
		case r.Kind == book.RefKindWord:
			return x.each(func(y *env) value { return isClub(y.club, &book.ItemInfo{Kind: r.Club}) }), true
		}
	}
	return value{}, false
}

// each asks a question of the club of x, or in a rule about a set of all its
// clubs: where they differ it cannot be told.
func (x *env) each(ask func(*env) value) value {
	if x.club != nil {
		return ask(x)
	}
	var all value
	for i, c := range x.bag.clubs {
		y := *x
		y.club = c
		v := ask(&y)
		if i > 0 && !same(all, v) {
			return unknownOf([]lack{{"kind", "the clubs of the set differ", nil}})
		}
		all = v
	}
	if len(x.bag.clubs) == 0 {
		return unknownOf([]lack{{"kind", "the set has no clubs", nil}})
	}
	return all
}

// choice is "if A then B else C": where A cannot be told, both branches count.
func (x *env) choice(e *ast.If) value {
	y := *x
	y.deciding = nil
	c := y.eval(e.Cond)
	if c.truth != Unknown && c.bend == nil && c.unsure == nil {
		if c.truth == True {
			return x.eval(e.Then)
		}
		return x.eval(e.Else)
	}
	a, b := x.eval(e.Then), x.eval(e.Else)
	if same(a, b) {
		return a
	}
	if c.truth != Unknown {
		return either(c, a, b)
	}
	v := lackOf(c.lacks...)
	if x.info.Types[e].Kind == book.Truth {
		v.kind = truth
	}
	return v
}

func (x *env) call(e *ast.Call) value {
	vs := make([]value, 0, len(e.Args))
	var lacks []lack
	for _, arg := range e.Args {
		v := x.eval(arg)
		if v.kind == lacking {
			lacks = merge(lacks, v.lacks)
		}
		vs = append(vs, v)
	}
	switch {
	case lacks != nil:
		return lackOf(lacks...)
	case e.Func.Text == "abs":
		return x.magnitude(vs[0])
	case e.Func.Text == "max":
		return x.extreme(maximizing, vs)
	}
	return x.extreme(minimizing, vs)
}

// step is a drop or a rise between the two clubs of a pair.
func (x *env) step(e *ast.Step) value {
	var a, b value
	sub := x.within(func(y *env) {
		y.club = x.first
		a = y.eval(e.Of)
		y.club = x.second
		b = y.eval(e.Of)
	})
	record := func(v value) value {
		if x.steps != nil && v.kind == number {
			x.record(Step{What: StepDifference, Name: written(e), Amount: x.amount(v.num, x.info.Types[e].Dim), Line: e.Span, Sub: sub})
		} else if x.steps != nil {
			*x.steps = append(*x.steps, sub...)
		}
		return v
	}
	if a.kind == lacking || b.kind == lacking {
		return record(lackOf(merge(a.lacks, b.lacks)...))
	}
	v := linear(a.num-b.num, a, 1, b, -1)
	if e.Rise {
		v = linear(b.num-a.num, b, 1, a, -1)
	}
	if e.PerNumber {
		n, lacks := numbersApart(x.first, x.second)
		if lacks != nil {
			return record(lackOf(lacks...))
		}
		v = linear(v.num/n, v, 1/n, value{}, 0)
	}
	return record(v)
}

// numbersApart is how many numbers two clubs are apart.
func numbersApart(a, b *club.Club) (float64, []lack) {
	var lacks []lack
	for _, c := range []*club.Club{a, b} {
		if !c.Has(catalogue.Number) {
			lacks = merge(lacks, []lack{lackNumber(c)})
		}
	}
	if lacks != nil {
		return 0, lacks
	}
	m, _ := a.Amount(catalogue.Number)
	n, _ := b.Amount(catalogue.Number)
	if m == n {
		return 0, []lack{{"", fmt.Sprintf("%s and %s have the same number", a.ID, b.ID), nil}}
	}
	return math.Abs(n - m), nil
}

// written is the text of a formula on one line.
func written(e ast.Expr) string { return e.Place().OneLine() }
