package value

// This file keeps how a number depends on others where first order may not be good enough: at
// kinks, and where it is curved. Such a number is drawn (simulate.go) before it is decided.

import (
	"math"
	"slices"
)

// Bend is a step of a calculation that is not a straight line, or depends on one.
type Bend struct {
	Op      Operation
	Holds   func(order int) bool // of comparing: which order of its two arguments makes it hold
	args    []Value
	factors []float64 // of summing
	second  float64   // half the sum of the second derivatives, each times the uncertainties that it belongs to
	Kink    bool      // a kink is near
}

// Operation is a step of a calculation. Truths count as 1 and 0.
type Operation uint8

const (
	summing     Operation = iota + 1 // the arguments times their factors, from the values as read
	multiplying                      // two factors
	dividing                         // the first by the second
	sizing                           // without its sign
	Maximizing
	Minimizing
	spreading // the largest less the least
	choosing  // the second where the first holds, else the third
	Comparing
	Conjoining // and
	Disjoining // or
	negating   // not
)

// second is the second-order term of a value.
func (v Value) second() float64 {
	if v.Bend == nil {
		return 0
	}
	return v.Bend.second
}

func (v Value) kinked() bool { return v.Bend != nil && v.Bend.Kink }

// Rough reports whether first order is not good enough for a number: a kink is near, or the second-order
// term is above a tenth of its uncertainty.
func (v Value) Rough() bool {
	return v.Bend != nil && (v.Bend.Kink || v.Bend.second > v.Uncertainty()/10)
}

// Bent is v as the result of a step whose own second-order term is given.
func (v Value) Bent(b Bend, own float64, args ...Value) Value {
	b.args, b.second = args, own
	for _, a := range args {
		b.Kink = b.Kink || a.kinked()
		v.Unsure = Merge(v.Unsure, a.Unsure)
	}
	v.Bend = &b
	return v
}

// summed is v as the sum of values times factors, where one of these is bent; as it is where none is.
func summed(v Value, factors []float64, args ...Value) Value {
	second, bends := 0.0, false
	for i, a := range args {
		second += math.Abs(factors[i]) * a.second()
		bends = bends || a.Bend != nil
	}
	if !bends {
		return v
	}
	return v.Bent(Bend{Op: summing, factors: factors}, second, args...)
}

// Sum is the sum of some numbers, of which there is at least one, divided by over.
func Sum(vs []Value, over float64) Value {
	v := total(vs)
	if over != 1 {
		v = Linear(v.Num/over, v, 1/over, Value{}, 0)
	}
	return summed(v, slices.Repeat([]float64{1 / over}, len(vs)), slices.Clone(vs)...).Finite()
}

// Product is a times b; with draws set, what first order does not do for is kept to be drawn.
func Product(a, b Value, draws bool) Value {
	v := Linear(a.Num*b.Num, a, b.Num, b, a.Num)
	if !draws || a.Exact() || b.Exact() {
		return v
	}
	return v.Bent(Bend{Op: multiplying}, b.size()*a.second()+a.size()*b.second()+a.Uncertainty()*b.Uncertainty(), a, b)
}

// Quotient is a divided by b, which is not 0.
func Quotient(a, b Value, draws bool) Value {
	v := Linear(a.Num/b.Num, a, 1/b.Num, b, -a.Num/(b.Num*b.Num))
	if !draws || b.Exact() {
		return v
	}
	n, ub := math.Abs(b.Num), b.Uncertainty()
	return v.Bent(Bend{Op: dividing}, (a.second()+v.size()*b.second()+a.Uncertainty()*ub/n+v.size()*ub*ub/n)/n, a, b)
}

func (v Value) size() float64 { return math.Abs(v.Num) }

// Near reports whether two numbers could change places: they are less than 4 times the uncertainty of
// their difference apart, twice the expanded one where readings repeat, or one has a kink, which may take it anywhere.
func Near(a, b Value) bool {
	if a.kinked() || b.kinked() {
		return true
	}
	s, t, gap := a.Spread(), b.Spread(), math.Abs(a.Num-b.Num)
	if s.Freedom == 0 && t.Freedom == 0 && gap >= 4*(s.U+a.second()+t.U+b.second()) {
		return false
	}
	d := Linear(a.Num-b.Num, a, 1, b, -1)
	s = d.Spread()
	return gap < 2*s.Coverage()*(s.U+d.second())
}

// Magnitude is a number without its sign.
func Magnitude(v Value, draws bool) Value {
	w := v
	if v.Num < 0 {
		w = Linear(-v.Num, v, -1, Value{}, 0)
	}
	if draws && Near(v, NumberOf(0)) {
		return w.Bent(Bend{Op: sizing, Kink: true}, v.second(), v)
	}
	return w
}

// Extreme is the largest of some numbers, or the least, the first of equal ones.
func Extreme(op Operation, vs []Value, draws bool) Value {
	find := slices.MaxFunc[[]Value]
	if op == Minimizing {
		find = slices.MinFunc[[]Value]
	}
	v := find(vs, ByNumber)
	if draws && contested(v, vs) {
		return v.Bent(Bend{Op: op, Kink: true}, v.second(), slices.Clone(vs)...)
	}
	return v
}

// contested reports whether another of some numbers, among which best is the extreme, could be it instead.
func contested(best Value, vs []Value) bool {
	own := false
	return slices.ContainsFunc(vs, func(v Value) bool {
		if !own && v.Num == best.Num {
			own = true // the first of equal ones is the extreme itself
			return false
		}
		return Near(best, v)
	})
}

// Extent is the spread of some numbers.
func Extent(vs []Value, draws bool) Value {
	high, low := slices.MaxFunc(vs, ByNumber), slices.MinFunc(vs, ByNumber)
	if high.Num == low.Num {
		low = vs[len(vs)-1] // still two of them, each as unsure as it is
	}
	v := Linear(high.Num-low.Num, high, 1, low, -1)
	if draws && (contested(high, vs) || contested(low, vs)) {
		return v.Bent(Bend{Op: spreading, Kink: true}, v.second(), slices.Clone(vs)...)
	}
	return v
}

// Either is "if c then a else b" where c, known as read, may be otherwise: the branch that is taken as read, drawn
// together with the other.
func Either(c, a, b Value) Value {
	v, other := a, b
	if c.Truth == False {
		v, other = b, a
	}
	switch {
	case v.Kind != Number:
		return v
	case c.settled():
		return v.Bent(Bend{Op: summing, factors: []float64{1}, Kink: true}, v.second(), v)
	case other.Kind != Number || c.Bend == nil:
		v.Unsure = Merge(v.Unsure, Merge(c.Unsure, other.Lacks))
		return v
	}
	return v.Bent(Bend{Op: choosing, Kink: true}, v.second(), c, a, b)
}

// settled reports whether no error can make a truth another, or a number that it depends on.
func (v Value) settled() bool {
	switch {
	case v.Unsure != nil || v.Kind == Condition && v.Truth == Unknown:
		return false
	case v.Bend == nil:
		return v.Kind == Condition
	case v.Bend.Op == Comparing:
		a, b := v.Bend.args[0], v.Bend.args[1]
		return math.Abs(a.Num-b.Num) > Linear(a.Num-b.Num, a, 1, b, -1).reach()
	}
	return !slices.ContainsFunc(v.Bend.args, func(a Value) bool { return !a.settled() })
}

// Joined is v, which two conditions give by "and" or "or", kept where they may be otherwise.
func (v Value) Joined(op Operation, a, b Value) Value {
	switch {
	case v.Truth == Unknown || a.Bend == nil && b.Bend == nil:
	case a.Truth == Unknown || b.Truth == Unknown:
		v.Unsure = Merge(a.Lacks, b.Lacks)
	default:
		return v.Bent(Bend{Op: op}, 0, a, b)
	}
	return v
}
