package engine

// This file brings a subject to its verdict: exceptions first, then the bound or
// the formula, then the decision.

import (
	"math"
	"math/big"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// bound is a bound with its limits where they are known before any club is read.
type bound struct {
	decl   *ast.Bound
	fixed  bool
	limits decide.Limits // of a fixed bound, allowance included
}

// newBound folds a bound whose parts are all constant exactly, rounding once.
func newBound(decl *ast.Bound, info *book.Info) *bound {
	if decl == nil {
		return nil
	}
	b := &bound{decl: decl}
	q := exact(decl.Q, info)
	if q == nil || decl.Kind == ast.Within {
		return b
	}
	low, high := q, q
	if decl.Kind == ast.Between {
		if high = exact(decl.Q2, info); high == nil {
			return b
		}
	}
	for _, widen := range []ast.Expr{decl.PlusMinus, decl.Allowing} {
		if widen == nil {
			continue
		}
		w := exact(widen, info)
		if w == nil {
			return b
		}
		low, high = new(big.Rat).Sub(low, w), new(big.Rat).Add(high, w)
	}
	b.fixed = true
	b.limits = sided(decl.Kind, unit.RoundExact(low), unit.RoundExact(high))
	return b
}

func exact(e ast.Expr, info *book.Info) *big.Rat {
	if c := info.Constants[e]; c != nil {
		return c.Exact
	}
	return nil
}

// sided returns the limits of a bound of that kind with these two ends.
func sided(kind ast.BoundKind, low, high float64) decide.Limits {
	l := decide.None()
	switch kind {
	case ast.AtMost, ast.Below:
		l.Upper, l.OpenUpper = high, kind == ast.Below
	case ast.AtLeast, ast.Above:
		l.Lower, l.OpenLower = low, kind == ast.Above
	default:
		l.Lower, l.Upper = low, high
	}
	return l
}

// limitValues works the ends of a bound out, with their uncertainty.
func (x *env) limitValues(b *bound) (low, high value) {
	d := b.decl
	if b.fixed {
		return numberOf(b.limits.Lower), numberOf(b.limits.Upper)
	}
	low = x.eval(d.Q)
	high = low
	switch d.Kind {
	case ast.Between:
		high = x.eval(d.Q2)
	case ast.Within:
		of := x.eval(d.Of)
		low, high = plus(of, low, -1), plus(of, low, 1)
	}
	for _, widen := range []ast.Expr{d.PlusMinus, d.Allowing} {
		if widen != nil {
			w := x.eval(widen)
			low, high = plus(low, w, -1), plus(high, w, 1)
		}
	}
	return low, high
}

// plus is a + k·b.
func plus(a, b value, k float64) value {
	if a.kind == lacking || b.kind == lacking {
		return lackOf(merge(a.lacks, b.lacks)...)
	}
	return linear(a.num+k*b.num, a, 1, b, k).finite(outOfRange)
}

// outcome is what judging one subject by one rule comes to.
type outcome struct {
	verdict   decide.Verdict
	exception *ast.Unless
	bound     *ast.Bound
	value     value
	limits    decide.Limits
	spread    decide.Spread
	p         float64 // NaN where there is none
	parts     []part
	drawn     *drawn   // nil of what first order is good enough for
	weighed   [2]value // what is held against the lower and the upper limit of a bound
	against   decide.Limits
	open      []undecided // the comparisons of a formula that are too close to call
	lacks     []lack
	steps     []Step
}

func unmeasured(lacks []lack) outcome {
	return outcome{verdict: decide.Unmeasured, lacks: lacks, limits: decide.None(), spread: decide.Spread{U: math.NaN()}, p: math.NaN()}
}

// outcome judges the subject of x by a rule. ok is false where two exceptions hold
// and disagree; the two are then in clash.
func (x *env) outcome(r *rule) (o outcome, clash [2]*ast.Unless, ok bool) {
	var held *branch
	var open []*branch
	var steps []Step
	if x.steps != nil {
		x.steps = &steps
	}
	branches := make([]branch, len(r.unless))
	var apart []lack // why it cannot be told whether two that hold come to the same
	for i, e := range r.unless {
		var c value
		sub := x.within(func(y *env) { c = y.condition(e.decl.Condition) })
		x.record(Step{What: StepException, Name: written(e.decl.Condition), Truth: c.truth, Line: e.decl.Span, Sub: sub, Note: e.gives()})
		b := &branches[i]
		*b = branch{exception: e, lacks: c.lacks}
		switch {
		case c.truth == Unknown:
			open = append(open, b)
		case c.truth == True && held == nil:
			held = b
			b.limits, b.missing = x.edges(e.bound)
		case c.truth == True:
			b.limits, b.missing = x.edges(e.bound)
			switch held.agrees(b) {
			case False:
				return outcome{}, [2]*ast.Unless{held.exception.decl, e.decl}, false
			case Unknown:
				apart = merge(apart, merge(held.missing, b.missing))
			}
		}
	}
	if apart != nil {
		o = unmeasured(apart)
		o.steps = steps
		return o, clash, true
	}
	o = x.branch(r, held)
	for _, b := range open {
		b.limits, b.missing = x.edges(b.exception.bound)
		if held != nil && held.agrees(b) == True {
			continue
		}
		y := *x
		y.steps = nil
		if other := y.branch(r, b); held != nil || other.verdict != o.verdict {
			lacks := o.lacks
			if o.verdict != decide.Unmeasured {
				lacks = nil
			}
			for _, b := range open {
				lacks = merge(lacks, b.lacks)
			}
			o = unmeasured(lacks)
			break
		}
	}
	o.steps = steps
	return o, clash, true
}

// branch is one way in which a rule may apply: an exception that holds or may hold.
type branch struct {
	exception *exception
	limits    decide.Limits // of its bound; nothing for an exemption
	missing   []lack        // why these are not known
	lacks     []lack        // why it cannot be told whether it holds
}

// agrees tells whether two exceptions come to the same: the same bound, or both exempt. Unknown where
// the limits of one are not known.
func (b *branch) agrees(c *branch) Truth {
	one, two := b.exception.bound, c.exception.bound
	same := one == nil && two == nil
	if one != nil && two != nil {
		same = one.decl.Words() == two.decl.Words()
		if !same && (b.missing != nil || c.missing != nil) {
			return Unknown
		}
		same = same || b.limits == c.limits
	}
	return truthOf(same).truth
}

// edges are the limits of a bound for the subject of x; missing tells why they are not known.
func (x *env) edges(b *bound) (l decide.Limits, missing []lack) {
	if b == nil {
		return l, nil
	}
	y := *x
	y.steps = nil
	low, high := y.limitValues(b)
	if low.kind != number || high.kind != number {
		return l, merge(low.lacks, high.lacks)
	}
	return sided(b.decl.Kind, low.num, high.num), nil
}

// branch judges by the exception that holds, or with none by the rule's own
// requirement.
func (x *env) branch(r *rule, held *branch) outcome {
	if held == nil {
		if r.bound == nil {
			return x.formula(r)
		}
		return x.bounded(r, r.bound)
	}
	if held.exception.bound == nil {
		o := unmeasured(nil)
		o.verdict, o.exception = decide.Exempt, held.exception.decl
		return o
	}
	o := x.bounded(r, held.exception.bound)
	o.exception = held.exception.decl
	return o
}

// formula judges "require FORMULA": each comparison is decided by itself.
func (x *env) formula(r *rule) outcome {
	y := *x
	y.deciding, y.draws = &r.decision, r.decision.Kind != decide.Simple
	var v value
	var open []undecided
	y.open = &open
	sub := y.within(func(z *env) { v = z.eval(r.value) })
	x.record(Step{What: StepCondition, Name: written(r.Decl.Require.Value), Truth: v.truth, Line: r.Decl.Require.Value.Place(), Sub: sub})
	o := unmeasured(v.lacks)
	switch {
	case v.truth == True:
		o.verdict = decide.Pass
	case v.truth == False:
		o.verdict = decide.Fail
	case v.close:
		o.verdict, o.open = decide.TooClose, open
	}
	if o.verdict != decide.Unmeasured {
		o.lacks = nil
	}
	return o
}

// bounded judges "require VALUE BOUND".
func (x *env) bounded(r *rule, b *bound) outcome {
	y := *x
	y.draws = r.decision.Kind != decide.Simple && !x.j.every // what every club would have to be rests on first order
	v := y.eval(r.value)
	low, high := y.limitValues(b)
	o := unmeasured(nil)
	o.bound = b.decl
	if low.kind == number && high.kind == number {
		o.limits = sided(b.decl.Kind, low.num, high.num)
		x.record(Step{What: StepLimit, Name: b.decl.Words(), Line: b.decl.Span})
	}
	o.value = v
	if v.kind != number || low.kind != number || high.kind != number {
		if o.lacks = merge(v.lacks, merge(low.lacks, high.lacks)); !x.j.every { // which asks what each club would have to be
			x.spanned(r, &o, low, high)
		}
		return o
	}
	a, c := v, v
	o.against = o.limits
	if !b.fixed {
		a, c = plus(v, low, -1), plus(v, high, -1)
		o.against = sided(b.decl.Kind, 0, 0)
	}
	if !o.limits.HasUpper() {
		c = a
	} else if !o.limits.HasLower() {
		a = c
	}
	if o.spread = a.spread(); o.spread.U < c.uncertainty() {
		o.spread = c.spread()
	}
	if unsure := merge(a.unsure, c.unsure); unsure != nil {
		o.spread.U = math.NaN()
		if r.decision.Kind != decide.Simple {
			o.lacks = unsure
			return o
		}
	}
	o.parts, o.weighed = a.parts, [2]value{a, c}
	if o.spread.U > a.uncertainty() {
		o.parts = c.parts
	}
	if !y.draws || !a.rough() && !c.rough() {
		o.verdict, o.p = decide.Decide(r.decision, o.limits, v.num, o.spread)
		return o
	}
	d := x.j.draw(a, c, o.against, r.decision.Level, nil)
	if o.spread = (decide.Spread{U: d.uncertainty()}); !(o.spread.U <= math.MaxFloat64) { // no sheet can mean it
		x.j.forget(d)
		o.spread.U, o.lacks = math.NaN(), []lack{{"", outOfRange, nil}}
		return o
	}
	o.drawn, o.verdict, o.p = d, r.decision.Verdict(d.inside, d.beyond), d.inside
	x.record(Step{What: StepSimulation})
	return o
}

// result makes the result of an outcome.
func (x *env) result(r *rule, s Subject, o outcome) *Result {
	res := &Result{
		Rule: r.Rule, Subject: s, Verdict: o.verdict,
		Probability: o.p, Decision: r.decision, Exception: o.exception, Bound: o.bound,
		Steps: o.steps, Simulated: o.drawn != nil,
	}
	shown := r.shown(o.bound)
	if o.bound != nil && shown != nil {
		swing := r.swing
		if o.value.kind == number {
			res.Value = Amount{Base: o.value.num, Unit: shown, Swing: swing}
			if o.spread.U > 0 {
				res.Uncertainty, res.Freedom = Amount{Base: o.spread.U, Unit: shown}, o.spread.Freedom
			}
		}
		if o.limits.HasLower() {
			res.Lower = Amount{Base: o.limits.Lower, Unit: shown, Swing: swing}
			res.Open = res.Open || o.limits.OpenLower
		}
		if o.limits.HasUpper() {
			res.Upper = Amount{Base: o.limits.Upper, Unit: shown, Swing: swing}
			res.Open = res.Open || o.limits.OpenUpper
		}
		if res.Value.Known() && (res.Lower.Known() || res.Upper.Known()) {
			res.Margin = Amount{Base: o.limits.Margin(o.value.num), Unit: shown}
		}
	}
	if o.verdict == decide.Unmeasured {
		res.Needs, res.Reasons = spell(o.lacks)
	}
	if res.Uncertainty.Known() {
		res.Budget = x.j.program.budget(o.parts, shown)
		if r.decision.Kind != decide.Simple && o.drawn == nil {
			res.accept(r.decision, o.limits, o.spread, shown, r.swing)
		}
	}
	x.advise(r, &o, res, shown)
	x.j.forget(o.drawn)
	return res
}

// advise says how far a value lies beyond its limits, and what to do about a result that fails or is too close to
// call.
func (x *env) advise(r *rule, o *outcome, res *Result, shown *unit.Unit) {
	if o.verdict == decide.TooClose {
		res.Settle = x.settle(r, o, shown)
	}
	if res.Value.Known() {
		over, under := o.limits.Beyond(o.value.num)
		if over > 0 {
			res.Over = Amount{Base: over, Unit: shown}
		}
		if under > 0 {
			res.Under = Amount{Base: under, Unit: shown}
		}
	}
	if o.verdict != decide.Fail {
		return
	}
	side, toPass := ast.Side(0), Amount{}
	if res.Value.Known() && (o.drawn != nil || len(r.Decl.Mends) > 0) {
		var none bool
		side, toPass, none = o.toPass(r.decision, shown)
		res.NoneCanPass = res.NoneCanPass || none && o.drawn != nil
	}
	if res.NoneCanPass {
		res.Reasons = []string{"no value would pass, so large is the uncertainty: it takes a finer measurement"}
		return
	}
	res.Mend = mend(res, side, toPass)
}

// accept notes where values pass and fail under the decision.
func (r *Result) accept(rule decide.Rule, l decide.Limits, s decide.Spread, shown *unit.Unit, swing bool) {
	at := func(base float64) Amount {
		if math.IsInf(base, 0) {
			return Amount{}
		}
		return Amount{Base: base, Unit: shown, Swing: swing}
	}
	passing := rule.Passing(l, s)
	r.NoneCanPass = passing.Empty()
	if !r.NoneCanPass {
		r.PassFrom, r.PassTo = at(passing.Low), at(passing.High)
	}
	below, above := rule.Failing(l, s)
	r.FailBelow, r.FailAbove = at(below), at(above)
}
