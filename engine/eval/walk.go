package eval

// This file is the recording walk: it works a formula out over the book's own tree, in Kleene's logic where
// measurements are missing. It carries uncertainty along to first order, and writes down each fact that it uses. The
// same formulas compiled for execution (lower.go) give the same values where all data is there.

import (
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Env is where a formula is worked out.
type Env struct {
	Bench         *Bench
	Info          *book.Info
	Bag           *Bag
	Club          *club.Club // the one club; nil in a rule about a set or a pair
	First, Second *club.Club // of a pair
	Deciding      *decide.Rule
	Steps         *[]Step    // nil: nothing is recorded
	Shown         *unit.Unit // the unit in which lengths and their like are shown; nil: their own

	// one reading of a property in the place of all of them
	oneOf   catalogue.ID
	reading float64
	single  bool
	asRead  bool // repeated readings count as they are, however far apart

	Open *[]value.Value // where comparisons that are too close to call are noted; nil: nowhere

	Draws bool // uncertainty counts: what first order does not do for is kept, to be drawn

	Carries bool // of a set, "has" asks whether a club has the property, not whether each one has

	Else *club.Club // whose cells count where the same club has none here, in what a conversion of its length asks
}

// Record writes a fact down.
func (x *Env) Record(s Step) {
	if x.Steps != nil {
		*x.Steps = append(*x.Steps, s)
	}
}

// recordNumber writes a number down with the facts behind it; of anything else these alone.
func (x *Env) recordNumber(v value.Value, d unit.Dim, s Step) {
	switch {
	case x.Steps == nil:
	case v.Kind == value.Number:
		s.Amount = x.Amount(v.Num, d)
		x.Record(s)
	default:
		*x.Steps = append(*x.Steps, s.Sub...)
	}
}

// Within runs f on a copy of x whose facts are gathered apart, and returns them.
func (x *Env) Within(f func(y *Env)) []Step {
	y := *x
	var sub []Step
	if x.Steps != nil {
		y.Steps = &sub
	}
	f(&y)
	return sub
}

// Amount is a number of a dimension, in the unit in which x shows it.
func (x *Env) Amount(n float64, d unit.Dim) unit.Amount {
	if x.Shown != nil && x.Shown.Dim == d {
		return unit.Amount{Base: n, Unit: x.Shown}
	}
	return unit.Amount{Base: n, Unit: unit.Base(d)}
}

// Condition works out a condition of where, unless or if: comparisons are simple.
func (x *Env) Condition(e ast.Expr) value.Value {
	y := *x
	y.Deciding, y.Draws = nil, false
	return y.Eval(e)
}

// Eval works a formula out.
func (x *Env) Eval(e ast.Expr) value.Value {
	if t, ok := e.(*ast.TextLit); ok {
		return value.TextOf(t.Value)
	}
	if c, ok := x.Info.Constants[e]; ok {
		return value.NumberOf(c.Base)
	}
	switch e := e.(type) {
	case *ast.Paren:
		return x.Eval(e.X)
	case *ast.Ref:
		return x.ref(e)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return value.Value{Kind: value.Day, Num: float64(d)}
	case *ast.Unary:
		if e.Op == ast.Not {
			return x.not(e.X)
		}
		v := x.Eval(e.X)
		if v.Kind == value.Number {
			v = value.Linear(-v.Num, v, -1, value.Value{}, 0)
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
	case *ast.Today:
		return x.today()
	case *ast.Age:
		return x.age(e)
	}
	return value.LackOf(value.Lack{Kind: value.NoFormula})
}

func (x *Env) binary(e *ast.Binary) value.Value {
	if e.Op == ast.And || e.Op == ast.Or {
		a := x.Eval(e.X)
		if a.Bend == nil && (e.Op == ast.And && a.Truth == value.False || e.Op == ast.Or && a.Truth == value.True) {
			return a
		}
		b := x.Eval(e.Y)
		if e.Op == ast.And {
			return value.And(a, b).Joined(value.Conjoining, a, b)
		}
		return value.Or(a, b).Joined(value.Disjoining, a, b)
	}
	if e.Op == ast.Eq || e.Op == ast.Ne {
		if v, ok := x.word(e); ok {
			if e.Op == ast.Ne {
				return value.Not(v)
			}
			return v
		}
	}
	a, b := x.Eval(e.X), x.Eval(e.Y)
	if a.Kind == value.Lacking || b.Kind == value.Lacking {
		v := value.LackOf(value.Merge(a.Lacks, b.Lacks)...)
		if e.Op.IsComparison() {
			v.Kind = value.Condition
			if t := x.compareSpans(e.Op, a, b); t != value.Unknown {
				return value.TruthOf(t == value.True)
			}
		}
		return v
	}
	if e.Op.IsComparison() {
		return x.comparison(e.Op, a, b)
	}
	switch e.Op {
	case ast.Add, ast.Sub:
		sign := 1.0
		if e.Op == ast.Sub {
			sign = -1
		}
		v := value.Linear(a.Num+sign*b.Num, a, 1, b, sign).Finite()
		if (a.Kind == value.Day) != (b.Kind == value.Day) && v.Kind == value.Number {
			v.Kind = value.Day
		}
		return v
	case ast.Mul:
		return value.Product(a, b, x.Draws).Finite()
	}
	if b.Num == 0 {
		return value.LackOf(value.Lack{Kind: value.Division, At: e.Y.Place()})
	}
	return value.Quotient(a, b, x.Draws).Finite()
}

// comparison compares two values of one sort.
func (x *Env) comparison(op ast.Op, a, b value.Value) value.Value {
	if a.Kind == value.Text {
		if meantFor(a, b) || meantFor(b, a) {
			return value.UnknownOf(value.Merge(a.Lacks, b.Lacks))
		}
		return value.TruthOf(catalogue.Same(a.Text, b.Text) == (op == ast.Eq))
	}
	if a.Kind == value.Condition {
		return value.LackOf(value.Lack{Kind: value.NoFormula})
	}
	if op == ast.Ne { // each side is decided by itself
		below, above := x.comparison(ast.Lt, a, b), x.comparison(ast.Gt, a, b)
		return value.Or(below, above).Joined(value.Disjoining, below, above)
	}
	t := value.TruthOf(orders[op].holds(unit.Compare(a.Num, b.Num)))
	switch {
	case x.Deciding != nil && x.Deciding.Kind != decide.Simple:
		return x.decided(t, value.Linear(a.Num-b.Num, a, 1, b, -1), orders[op].limits)
	case x.Draws && value.Near(a, b):
		return t.Bent(value.Bend{Op: value.Comparing, Holds: orders[op].holds, Kink: true}, 0, a, b)
	}
	return t
}

// decided is whether d, a difference of two numbers, lies within limits that are around 0; t is what
// it is as read.
func (x *Env) decided(t, d value.Value, limits decide.Limits) value.Value {
	if d.Unsure != nil {
		return value.UnknownOf(d.Unsure)
	}
	v, s := decide.Verdict(0), d.Spread()
	switch {
	case d.Rough():
		drawn := x.Bench.Draws.Draw(d, d, limits, x.Deciding.Level)
		x.Record(Step{What: StepSimulation})
		v = x.Deciding.Verdict(drawn.Inside, drawn.Beyond)
	case s.U == 0:
		return t
	default:
		v, _ = decide.Decide(*x.Deciding, limits, d.Num, s)
	}
	switch v {
	case decide.Pass:
		return value.TruthOf(true)
	case decide.Fail:
		return value.TruthOf(false)
	}
	if x.Open != nil {
		*x.Open = append(*x.Open, d)
	}
	return value.Value{Kind: value.Condition, Close: true}
}

// orders says for each comparison which order of the two sides holds, and which
// limits their difference is compared with.
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

// word answers "kind = iron 5", whose right side is no value of its own. Where nothing is recorded it also compares a
// text of the club.
func (x *Env) word(e *ast.Binary) (v value.Value, ok bool) {
	left, ok := ast.Unparen(e.X).(*ast.Ref)
	if !ok || x.Info.Refs[left].Kind != book.RefProperty {
		return v, false
	}
	p, at := x.Info.Refs[left].Property, x.at(left.Pos)
	if p.ID == catalogue.KindID {
		return at.isKind(e.Y)
	}
	if x.Steps != nil || at.Club == nil || p.Ordered {
		return v, false
	}
	text, ok := at.Club.Text(p.ID)
	other := x.Eval(e.Y)
	if !ok || other.Kind != value.Text {
		return v, false
	}
	return x.comparison(ast.Eq, at.text(p, text), other), true
}

// isKind reports whether the club of x is of the kind that e names.
func (x *Env) isKind(e ast.Expr) (value.Value, bool) {
	switch e := ast.Unparen(e).(type) {
	case *ast.ItemRef:
		return x.each(func(y *Env) value.Value { return y.isItem(e.Item) }), true
	case *ast.Ref:
		switch r := x.Info.Refs[e]; {
		case r == nil:
		case r.Kind == book.RefGroup:
			return x.each(func(y *Env) value.Value { return y.isGroup(r.Group) }), true
		case r.Kind == book.RefKindWord:
			return x.each(func(y *Env) value.Value { return y.isClub(&book.ItemInfo{Kind: r.Club}) }), true
		}
	}
	return value.Value{}, false
}

// each asks a question of the club of x, or in a rule about a set of all its
// clubs: where they differ it is not known.
func (x *Env) each(ask func(*Env) value.Value) value.Value {
	if x.Club != nil {
		return ask(x)
	}
	var all value.Value
	for i, c := range x.Bag.Clubs {
		y := *x
		y.Club = c
		v := ask(&y)
		if i > 0 && !same(all, v) {
			return value.UnknownOf([]value.Lack{{Kind: value.KindsDiffer, Property: "kind"}})
		}
		all = v
	}
	if len(x.Bag.Clubs) == 0 {
		return value.UnknownOf([]value.Lack{{Kind: value.NoClubs, Property: "kind"}})
	}
	return all
}

// choice is "if A then B else C": where A is not known, both branches count.
func (x *Env) choice(e *ast.If) value.Value {
	y := *x
	y.Deciding = nil
	c := y.Eval(e.Cond)
	if c.Truth != value.Unknown && c.Bend == nil && c.Unsure == nil {
		if c.Truth == value.True {
			return x.Eval(e.Then)
		}
		return x.Eval(e.Else)
	}
	a, b := x.Eval(e.Then), x.Eval(e.Else)
	if same(a, b) {
		return a
	}
	if c.Truth != value.Unknown {
		return value.Either(c, a, b)
	}
	v := value.LackOf(c.Lacks...)
	if x.Info.Types[e].Kind == book.Truth {
		v.Kind = value.Condition
	}
	return v
}

func (x *Env) call(e *ast.Call) value.Value {
	vs := make([]value.Value, 0, len(e.Args))
	var lacks []value.Lack
	for _, arg := range e.Args {
		v := x.Eval(arg)
		if v.Kind == value.Lacking {
			lacks = value.Merge(lacks, v.Lacks)
		}
		vs = append(vs, v)
	}
	switch {
	case lacks != nil:
		return value.LackOf(lacks...)
	case e.Func.Text == "abs":
		return value.Magnitude(vs[0], x.Draws)
	case e.Func.Text == "max":
		return value.Extreme(value.Maximizing, vs, x.Draws)
	}
	return value.Extreme(value.Minimizing, vs, x.Draws)
}

// step is a drop or a rise between the two clubs of a pair.
func (x *Env) step(e *ast.Step) value.Value {
	var a, b value.Value
	sub := x.Within(func(y *Env) {
		y.Club = x.First
		a = y.Eval(e.Of)
		y.Club = x.Second
		b = y.Eval(e.Of)
	})
	lacks := value.Merge(a.Lacks, b.Lacks)
	if e.Rise {
		a, b = b, a
	}
	v := value.Linear(a.Num-b.Num, a, 1, b, -1)
	if a.Kind == value.Lacking || b.Kind == value.Lacking {
		v = value.LackOf(lacks...)
	} else if e.PerNumber {
		n, lacks := NumbersApart(x.First, x.Second)
		if v = value.Linear(v.Num/n, v, 1/n, value.Value{}, 0); lacks != nil {
			v = value.LackOf(lacks...)
		}
	}
	x.recordNumber(v, x.Info.Types[e].Dim, Step{What: StepDifference, Name: Written(e), Line: e.Span, Sub: sub})
	return v
}

// NumbersApart is how many numbers two clubs are apart.
func NumbersApart(a, b *club.Club) (float64, []value.Lack) {
	var lacks []value.Lack
	for _, c := range []*club.Club{a, b} {
		if !c.Has(catalogue.Number) {
			lacks = value.Merge(lacks, []value.Lack{lackNumber(c)})
		}
	}
	if lacks != nil {
		return 0, lacks
	}
	m, _ := a.Amount(catalogue.Number)
	n, _ := b.Amount(catalogue.Number)
	if m == n {
		return 0, []value.Lack{{Kind: value.SameKey, Club: a.Called(), Other: b.Called(), Name: "number"}}
	}
	return math.Abs(n - m), nil
}

// Written is the text of a formula on one line.
func Written(e ast.Expr) string { return e.Place().OneLine() }

// same reports whether two values are one and the same known value.
func same(a, b value.Value) bool {
	if a.Kind != b.Kind {
		return false
	}
	switch a.Kind {
	case value.Number, value.Day:
		return unit.Compare(a.Num, b.Num) == 0 && a.Exact() && b.Exact()
	case value.Condition:
		return a.Truth == b.Truth && a.Truth != value.Unknown
	case value.Text:
		return catalogue.Same(a.Text, b.Text)
	}
	return false
}
