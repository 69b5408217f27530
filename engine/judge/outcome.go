package judge

// This file brings a subject to its verdict: exceptions first, then the bound or
// the formula, then the decision.

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// bound is a bound with its limits where they are known before any club is read.
type bound struct {
	*book.Bound
	words  string // of the book
	fixed  bool
	limits decide.Limits // of a fixed bound
}

func newBound(b *book.Bound) *bound {
	if b == nil {
		return nil
	}
	out := &bound{Bound: b, words: b.Words(), fixed: b.Fixed()}
	if out.fixed {
		one, other := cmp.Or(b.Low, b.High), cmp.Or(b.High, b.Low)
		out.limits = out.sided(one.Fixed.Base, other.Fixed.Base)
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
func (x *task) limitValues(b *bound) (low, high value.Value) {
	if b.fixed {
		return value.NumberOf(b.limits.Lower), value.NumberOf(b.limits.Upper)
	}
	one, other := cmp.Or(b.Low, b.High), cmp.Or(b.High, b.Low)
	low = x.Eval(one.At.Expr)
	if high = low; other.At != one.At {
		high = x.Eval(other.At.Expr)
	}
	for _, widen := range b.Widen {
		w := x.Eval(widen.Expr)
		low, high = value.Plus(low, w, -1), value.Plus(high, w, 1)
	}
	return low, high
}

// outcome is what judging one subject by one rule gives.
type outcome struct {
	verdict   decide.Verdict
	exception *ast.Unless
	bound     *bound
	value     value.Value
	limits    decide.Limits
	spread    decide.Spread
	p         float64 // NaN where there is none
	parts     []value.Part
	drawn     *value.Drawn  // nil of what first order is good enough for
	open      []value.Value // of too-close: what is too close to call
	lacks     []value.Lack
	steps     []eval.Step
}

func unmeasured(lacks []value.Lack) outcome {
	return outcome{verdict: decide.Unmeasured, lacks: lacks, limits: decide.None(), p: math.NaN(),
		spread: decide.Spread{U: math.NaN()}}
}

// blame notes where rows of the books disagree on what an outcome needs.
func (j *Judge) blame(o *outcome) {
	if o.verdict == decide.Unmeasured {
		j.Blame(o.lacks)
	}
}

// outcome judges the subject of x by a rule. ok is false where two exceptions hold
// and disagree; the two are then in clash.
func (x *task) outcome(r *rule) (o outcome, clash [2]*ast.Unless, ok bool) {
	var steps []eval.Step
	if x.Steps != nil {
		steps = make([]eval.Step, 0, 2) // a value and a limit
		x.Steps = &steps
	}
	branches, holds := make([]branch, 0, len(r.unless)), make([]value.Truth, 0, len(r.unless))
	for _, e := range r.unless {
		if e.Decl.Else && slices.Contains(holds, value.True) {
			break // one before it holds
		}
		var c value.Value
		sub := x.Within(func(y *eval.Env) { c = y.Condition(e.When.Expr) })
		x.Record(eval.Step{What: eval.StepException, Name: eval.Written(e.When.Expr), Truth: c.Truth, Line: e.Decl.Span,
			Sub: sub, Note: e.Gives()})
		branches, holds = append(branches, branch{exception: e, lacks: c.Lacks}), append(holds, c.Truth)
	}
	judged := false
	agree := func(i, k int) value.Truth { return x.agree(&branches[i], &branches[k]) }
	w := Weigh(holds, r.Plain(), agree, func(i int) decide.Verdict {
		var b *branch
		if i >= 0 {
			b = &branches[i]
		}
		if !judged {
			o, judged = x.branch(r, b), true
			return o.verdict
		}
		y := *x
		y.Steps = nil
		return y.branch(r, b).verdict
	})
	switch {
	case w.Clash >= 0:
		return outcome{}, [2]*ast.Unless{r.unless[w.Held].Decl, r.unless[w.Clash].Decl}, false
	case !judged:
		var lacks []value.Lack
		for _, i := range w.Apart {
			lacks = value.Merge(lacks, value.Merge(branches[w.Held].missing, branches[i].missing))
		}
		o = unmeasured(lacks)
	case w.Open != nil:
		var lacks []value.Lack
		if o.verdict == decide.Unmeasured {
			lacks = o.lacks
		}
		for _, i := range w.Open {
			lacks = value.Merge(lacks, branches[i].lacks)
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
	missing   []value.Lack  // why these are not known
	lacks     []value.Lack  // why it is not known whether it holds
}

// agree reports whether two exceptions have the same result: the same bound, or both exempt. Unknown where
// the limits of one are not known.
func (x *task) agree(b, c *branch) value.Truth {
	one, two := b.exception.bound, c.exception.bound
	if one == nil || two == nil {
		return value.TruthFrom(one == two)
	}
	if one.words == two.words {
		return value.True
	}
	for _, b := range []*branch{b, c} {
		if !b.worked {
			b.limits, b.missing = x.edges(b.exception.bound)
			b.worked = true
		}
	}
	if b.missing != nil || c.missing != nil {
		return value.Unknown
	}
	return value.TruthFrom(b.limits == c.limits)
}

// edges are the limits of a bound for the subject of x; missing says why they are not known.
func (x *task) edges(b *bound) (l decide.Limits, missing []value.Lack) {
	y := *x
	y.Steps = nil
	low, high := y.limitValues(b)
	if low.Kind != value.Number || high.Kind != value.Number {
		return l, value.Merge(low.Lacks, high.Lacks)
	}
	return b.sided(low.Num, high.Num), nil
}

// branch judges by the exception that holds, or with none by the rule's own
// requirement.
func (x *task) branch(r *rule, held *branch) outcome {
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
func (x *task) formula(r *rule) outcome {
	y := *x
	y.Deciding, y.Draws = &r.decision, r.decision.Kind != decide.Simple
	var v value.Value
	var open []value.Value
	y.Open = &open
	sub := y.Within(func(z *eval.Env) { v = z.Eval(r.Value.Expr) })
	required := r.Decl.Require.Value
	x.Record(eval.Step{What: eval.StepCondition, Name: eval.Written(required), Line: required.Place(), Truth: v.Truth,
		Sub: sub})
	o := unmeasured(v.Lacks)
	switch {
	case v.Truth == value.True:
		o.verdict = decide.Pass
	case v.Truth == value.False:
		o.verdict = decide.Fail
	case v.Close:
		o.verdict, o.open = decide.TooClose, open
	}
	if o.verdict != decide.Unmeasured {
		o.lacks = nil
	}
	return o
}

// bounded judges "require VALUE BOUND".
func (x *task) bounded(r *rule, b *bound) outcome {
	y := *x
	y.Draws = r.decision.Kind != decide.Simple && !x.judge.every // the limits of every club rest on first order
	v := y.Eval(r.Value.Expr)
	low, high := y.limitValues(b)
	o := unmeasured(nil)
	o.bound = b
	if low.Kind == value.Number && high.Kind == value.Number {
		o.limits = b.sided(low.Num, high.Num)
		x.Record(eval.Step{What: eval.StepLimit, Name: b.words, Line: b.Span})
	}
	o.value = v
	if v.Kind != value.Number || low.Kind != value.Number || high.Kind != value.Number {
		if o.lacks = value.Merge(v.Lacks, value.Merge(low.Lacks, high.Lacks)); !x.judge.every {
			x.spanned(r, &o, low, high)
		}
		return o
	}
	a, c, against := v, v, o.limits
	if !b.fixed {
		a, c, against = value.Plus(v, low, -1), value.Plus(v, high, -1), b.sided(0, 0)
	}
	if !o.limits.HasUpper() {
		c = a
	} else if !o.limits.HasLower() {
		a = c
	}
	if o.spread = a.Spread(); o.spread.U < c.Uncertainty() {
		o.spread = c.Spread()
	}
	if unsure := value.Merge(a.Unsure, c.Unsure); unsure != nil {
		o.spread.U = math.NaN()
		if r.decision.Kind != decide.Simple {
			o.lacks = unsure
			return o
		}
	}
	o.parts = a.Parts
	if o.spread.U > a.Uncertainty() {
		o.parts = c.Parts
	}
	if !y.Draws || !a.Rough() && !c.Rough() {
		if o.verdict, o.p = decide.Decide(r.decision, o.limits, v.Num, o.spread); o.verdict == decide.TooClose {
			v.Parts, v.Bend = o.parts, nil
			o.open = []value.Value{v}
		}
		return o
	}
	d := x.Bench.Draws.Draw(a, c, against, r.decision.Level)
	if o.spread = (decide.Spread{U: d.Uncertainty()}); !(o.spread.U <= math.MaxFloat64) { // no sheet can mean it
		o.spread.U, o.lacks = math.NaN(), []value.Lack{{Kind: value.OutOfRange}}
		return o
	}
	o.drawn, o.verdict, o.p = d, r.decision.Verdict(d.Inside, d.Beyond), d.Inside
	o.open = []value.Value{a, c}
	x.Record(eval.Step{What: eval.StepSimulation})
	return o
}

// result makes the result of an outcome.
func (x *task) result(r *rule, s Subject, o outcome) *Result {
	res := &Result{
		Rule: r.Rule, Subject: s, Verdict: o.verdict,
		Probability: o.p, Decision: r.decision, Exception: o.exception,
		Steps: o.steps, Simulated: o.drawn != nil,
	}
	var shown *unit.Unit
	at := func(base float64) unit.Amount {
		if math.IsInf(base, 0) {
			return unit.Amount{}
		}
		return unit.Amount{Base: base, Unit: shown, Swing: r.swing}
	}
	if o.bound != nil {
		res.Bound, shown = o.bound.Bound, o.bound.Unit
		res.Lower, res.Upper = at(o.limits.Lower), at(o.limits.Upper)
		res.Open = o.limits.OpenLower || o.limits.OpenUpper
		if o.value.Kind == value.Number {
			res.Value = at(o.value.Num)
			if o.spread.U > 0 {
				res.Uncertainty, res.Freedom = unit.Amount{Base: o.spread.U, Unit: shown}, o.spread.Freedom
			}
			if res.Lower.Known() || res.Upper.Known() {
				res.Margin = unit.Amount{Base: o.limits.Margin(o.value.Num), Unit: shown}
			}
		}
	}
	if o.verdict == decide.Unmeasured {
		res.Lacks = o.lacks
	}
	if res.Uncertainty.Known() && o.drawn == nil {
		res.Budget = x.judge.program.budget(o.parts, shown)
		if r.decision.Kind != decide.Simple {
			passing := r.decision.Passing(o.limits, o.spread)
			if res.NoneCanPass = passing.Empty(); !res.NoneCanPass {
				res.PassFrom, res.PassTo = at(passing.Low), at(passing.High)
			}
			below, above := r.decision.Failing(o.limits, o.spread)
			res.FailBelow, res.FailAbove = at(below), at(above)
		}
	}
	x.advise(r, &o, res, shown)
	return res
}

// advise says how far a value lies beyond its limits, and what to do about a result that fails or is too close to
// call.
func (x *task) advise(r *rule, o *outcome, res *Result, shown *unit.Unit) {
	if o.verdict == decide.TooClose && !x.judge.every {
		res.Settle = x.settle(r, o, shown)
	}
	if res.Value.Known() {
		over, under := o.limits.Beyond(o.value.Num)
		if over > 0 {
			res.Over = unit.Amount{Base: over, Unit: shown}
		}
		if under > 0 {
			res.Under = unit.Amount{Base: under, Unit: shown}
		}
	}
	if o.verdict != decide.Fail {
		return
	}
	side, toPass := ast.Side(0), unit.Amount{}
	if res.Value.Known() && (o.drawn != nil || len(r.Decl.Mends) > 0) {
		var none bool
		side, toPass, none = o.toPass(r.decision, shown)
		res.NoneCanPass = res.NoneCanPass || none && o.drawn != nil
	}
	if res.NoneCanPass {
		res.Lacks = []value.Lack{{Kind: value.NonePasses}}
		return
	}
	res.Mend = mend(res, side, toPass, func(c *club.Club) string { return c.ID })
	res.SpokenMend = mend(res, side, toPass, (*club.Club).Called)
}

// fast returns Pass or Exempt where the subject of x plainly has that verdict, and
// 0 where the recording walk must tell.
func (x *task) fast(r *rule) decide.Verdict {
	if x.judge.waivers[r.Rule] != nil { // what becomes of a waiver is recorded
		return 0
	}
	b := r.bound
	for i, e := range r.unless {
		switch x.Holds(e.formula) {
		case value.False:
			continue
		case value.Unknown:
			return 0
		}
		for _, later := range r.unless[i+1:] {
			if later.Decl.Else {
				break
			}
			if x.Holds(later.formula) != value.False {
				return 0
			}
		}
		if e.bound == nil {
			return decide.Exempt
		}
		b = e.bound
		break
	}
	certain := r.decision.Kind != decide.Simple
	if b == nil {
		if !certain && x.Holds(r.formula) == value.True {
			return decide.Pass
		}
		return 0
	}
	if !b.fixed {
		return 0
	}
	n, s, ok := x.Number(r.formula, certain)
	if !ok {
		return 0
	}
	if v, _ := decide.Decide(r.decision, b.limits, n, s); v == decide.Pass {
		return v
	}
	return 0
}

// spanned judges by a bound a value that is not known, or has a limit that is not, where all that they can be has one
// verdict.
func (x *task) spanned(r *rule, o *outcome, low, high value.Value) {
	simple := r.decision.Kind == decide.Simple
	s, lower, upper := o.value.Within(simple), low.Within(simple), high.Within(simple)
	if s == nil || lower == nil || upper == nil {
		return
	}
	tight, above := o.bound.sided(lower.High, upper.Low), o.bound.sided(lower.Low, upper.High)
	below := above
	above.Lower, below.Upper = math.Inf(-1), math.Inf(1)
	switch {
	case tight.Contains(s.Low) && tight.Contains(s.High):
		o.verdict, o.lacks = decide.Pass, nil
	case !above.Contains(s.Low) || !below.Contains(s.High):
		o.verdict, o.lacks = decide.Fail, nil
	default:
		return
	}
	if x.Steps != nil && o.value.Span != nil {
		e := r.Value.Expr
		words := x.spanWords(s, r.Value.Type().Dim)
		x.Record(eval.Step{What: eval.StepSet, Name: eval.Written(e), Line: e.Place(), Text: words})
	}
}

// spanWords is a span as a person says it: "9 to 12", "48 in or more".
func (x *task) spanWords(s *value.Span, dim unit.Dim) string {
	low, high := x.Amount(s.Low, dim).String(), x.Amount(s.High, dim).String()
	switch {
	case math.IsInf(s.High, 1):
		return low + " or more"
	case math.IsInf(s.Low, -1):
		return high + " or less"
	}
	return low + " to " + high
}
