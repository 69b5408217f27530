package engine

// This file brings a subject to its verdict: exceptions first, then the bound or
// the formula, then the decision.

import (
	"math"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// bound is a bound with its limits where they are known before any club is read.
type bound struct {
	*book.Bound
	fixed  bool
	limits decide.Limits // of a fixed bound
}

func newBound(b *book.Bound) *bound {
	if b == nil {
		return nil
	}
	out := &bound{Bound: b, fixed: b.Fixed()}
	if out.fixed {
		var low, high float64
		if b.Low != nil {
			low = b.Low.Fixed.Base
		}
		if b.High != nil {
			high = b.High.Fixed.Base
		}
		out.limits = out.sided(low, high)
	}
	return out
}

// sided returns the limits of the bound with these two ends.
func (b *bound) sided(low, high float64) decide.Limits {
	l := decide.None()
	if b.Low != nil {
		l.Lower, l.OpenLower = low, b.Low.Open
	}
	if b.High != nil {
		l.Upper, l.OpenUpper = high, b.High.Open
	}
	return l
}

// limitValues works the ends of a bound out, with their uncertainty; where it has one end only, both are that one.
func (x *env) limitValues(b *bound) (low, high value) {
	if b.fixed {
		return numberOf(b.limits.Lower), numberOf(b.limits.Upper)
	}
	switch {
	case b.Low == nil:
		high = x.eval(b.High.At.Expr)
		low = high
	case b.High == nil || b.High.At == b.Low.At:
		low = x.eval(b.Low.At.Expr)
		high = low
	default:
		low, high = x.eval(b.Low.At.Expr), x.eval(b.High.At.Expr)
	}
	for _, widen := range b.Widen {
		w := x.eval(widen.Expr)
		low, high = plus(low, w, -1), plus(high, w, 1)
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
	bound     *bound
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
	var steps []Step
	if x.steps != nil {
		x.steps = &steps
	}
	branches, holds := make([]branch, len(r.unless)), make([]Truth, len(r.unless))
	for i, e := range r.unless {
		var c value
		sub := x.within(func(y *env) { c = y.condition(e.When.Expr) })
		x.record(Step{What: StepException, Name: written(e.When.Expr), Truth: c.truth, Line: e.Decl.Span, Sub: sub, Note: e.Gives()})
		branches[i], holds[i] = branch{exception: e, lacks: c.lacks}, c.truth
	}
	judged := false
	w := Weigh(holds, func(i, k int) Truth { return x.agree(&branches[i], &branches[k]) }, func(i int) decide.Verdict {
		var b *branch
		if i >= 0 {
			b = &branches[i]
		}
		if !judged {
			o, judged = x.branch(r, b), true
			return o.verdict
		}
		y := *x
		y.steps = nil
		return y.branch(r, b).verdict
	})
	switch {
	case w.Clash >= 0:
		return outcome{}, [2]*ast.Unless{r.unless[w.Held].Decl, r.unless[w.Clash].Decl}, false
	case !judged:
		var lacks []lack
		for _, i := range w.Apart {
			lacks = merge(lacks, merge(branches[w.Held].missing, branches[i].missing))
		}
		o = unmeasured(lacks)
	case w.Open != nil:
		var lacks []lack
		if o.verdict == decide.Unmeasured {
			lacks = o.lacks
		}
		for _, i := range w.Open {
			lacks = merge(lacks, branches[i].lacks)
		}
		o = unmeasured(lacks)
	}
	o.steps = steps
	return o, clash, true
}

// branch is one way in which a rule may apply: an exception that holds or may hold.
type branch struct {
	exception *exception
	worked    bool
	limits    decide.Limits // of its bound, once they are worked out; nothing for an exemption
	missing   []lack        // why these are not known
	lacks     []lack        // why it cannot be told whether it holds
}

// agree tells whether two exceptions come to the same: the same bound, or both exempt. Unknown where
// the limits of one are not known.
func (x *env) agree(b, c *branch) Truth {
	one, two := b.exception.bound, c.exception.bound
	if one == nil || two == nil {
		return truthFrom(one == two)
	}
	if one.Words() == two.Words() {
		return True
	}
	for _, b := range []*branch{b, c} {
		if !b.worked {
			b.limits, b.missing = x.edges(b.exception.bound)
			b.worked = true
		}
	}
	if b.missing != nil || c.missing != nil {
		return Unknown
	}
	return truthFrom(b.limits == c.limits)
}

// edges are the limits of a bound for the subject of x; missing tells why they are not known.
func (x *env) edges(b *bound) (l decide.Limits, missing []lack) {
	y := *x
	y.steps = nil
	low, high := y.limitValues(b)
	if low.kind != number || high.kind != number {
		return l, merge(low.lacks, high.lacks)
	}
	return b.sided(low.num, high.num), nil
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
		o.verdict, o.exception = decide.Exempt, held.exception.Decl
		return o
	}
	o := x.bounded(r, held.exception.bound)
	o.exception = held.exception.Decl
	return o
}

// formula judges "require FORMULA": each comparison is decided by itself.
func (x *env) formula(r *rule) outcome {
	y := *x
	y.deciding, y.draws = &r.decision, r.decision.Kind != decide.Simple
	var v value
	var open []undecided
	y.open = &open
	sub := y.within(func(z *env) { v = z.eval(r.Value.Expr) })
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
	v := y.eval(r.Value.Expr)
	low, high := y.limitValues(b)
	o := unmeasured(nil)
	o.bound = b
	if low.kind == number && high.kind == number {
		o.limits = b.sided(low.num, high.num)
		x.record(Step{What: StepLimit, Name: b.Words(), Line: b.Span})
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
		o.against = b.sided(0, 0)
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
		Probability: o.p, Decision: r.decision, Exception: o.exception,
		Steps: o.steps, Simulated: o.drawn != nil,
	}
	var shown *unit.Unit
	if o.bound != nil {
		res.Bound, shown = o.bound.Bound, o.bound.Unit
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
