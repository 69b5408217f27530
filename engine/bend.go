package engine

// This file keeps how a number depends on others where first order may not be good enough: at
// kinks, and where it is curved. Such a number is drawn (simulate.go) before it is decided.

import (
	"math"
	"slices"

	"ferrule/lang/ast"
)

// bend is a step of a calculation that is not a straight line, or rests on one.
type bend struct {
	op      operation
	compare ast.Op // of comparing
	args    []value
	factors []float64 // of summing
	second  float64   // half the sum of the second derivatives, each times the uncertainties that it belongs to
	kink    bool      // a kink is near
}

// operation is a step of a calculation. Truths count as 1 and 0.
type operation uint8

const (
	summing     operation = iota + 1 // the arguments times their factors, from the values as read
	multiplying                      // two factors
	dividing                         // the first by the second
	sizing                           // without its sign
	maximizing
	minimizing
	spreading // the largest less the least
	choosing  // the second where the first holds, else the third
	comparing
	conjoining // and
	disjoining // or
	negating   // not
)

// second is the second-order term of a value.
func (v value) second() float64 {
	if v.bend == nil {
		return 0
	}
	return v.bend.second
}

func (v value) kinked() bool { return v.bend != nil && v.bend.kink }

// rough reports whether first order is not good enough for a number: a kink is near, or the second-order
// term is above a tenth of its uncertainty.
func (v value) rough() bool {
	return v.bend != nil && (v.bend.kink || v.bend.second > v.uncertainty()/10)
}

// bent is v as the result of a step whose own second-order term is given.
func (v value) bent(b bend, own float64, args ...value) value {
	b.args, b.second = args, own
	for _, a := range args {
		b.kink = b.kink || a.kinked()
		v.unsure = merge(v.unsure, a.unsure)
	}
	v.bend = &b
	return v
}

// summed is v as the sum of values times factors, where one of these is bent; as it is where none is.
func summed(v value, factors []float64, args ...value) value {
	second, bends := 0.0, false
	for i, a := range args {
		second += math.Abs(factors[i]) * a.second()
		bends = bends || a.bend != nil
	}
	if !bends {
		return v
	}
	return v.bent(bend{op: summing, factors: factors}, second, args...)
}

// product is a times b.
func (x *env) product(a, b value) value {
	v := linear(a.num*b.num, a, b.num, b, a.num)
	if !x.draws || len(a.parts) == 0 || len(b.parts) == 0 {
		return v
	}
	return v.bent(bend{op: multiplying}, math.Abs(b.num)*a.second()+math.Abs(a.num)*b.second()+a.uncertainty()*b.uncertainty(), a, b)
}

// quotient is a divided by b, which is not 0.
func (x *env) quotient(a, b value) value {
	v := linear(a.num/b.num, a, 1/b.num, b, -a.num/(b.num*b.num))
	if !x.draws || len(b.parts) == 0 {
		return v
	}
	n, ub := math.Abs(b.num), b.uncertainty()
	return v.bent(bend{op: dividing}, (a.second()+v.size()*b.second()+a.uncertainty()*ub/n+v.size()*ub*ub/n)/n, a, b)
}

func (v value) size() float64 { return math.Abs(v.num) }

// near reports whether two numbers could change places: they are less than 4 times the uncertainty of
// their difference apart.
func near(a, b value) bool {
	const reach = 4
	gap := math.Abs(a.num - b.num)
	if gap >= reach*(a.uncertainty()+a.second()+b.uncertainty()+b.second()) {
		return false
	}
	d := linear(a.num-b.num, a, 1, b, -1)
	return gap < reach*(d.uncertainty()+d.second())
}

// magnitude is a number without its sign.
func (x *env) magnitude(v value) value {
	w := v
	if v.num < 0 {
		w = linear(-v.num, v, -1, value{}, 0)
	}
	if x.draws && near(v, numberOf(0)) {
		return w.bent(bend{op: sizing, kink: true}, v.second(), v)
	}
	return w
}

// extreme is the largest of some numbers, or the least, the first of equal ones.
func (x *env) extreme(op operation, vs []value) value {
	find := slices.MaxFunc[[]value]
	if op == minimizing {
		find = slices.MinFunc[[]value]
	}
	v := find(vs, byNumber)
	if x.draws && contested(v, vs) {
		return v.bent(bend{op: op, kink: true}, v.second(), slices.Clone(vs)...)
	}
	return v
}

// contested reports whether another of some numbers, among which best is the extreme, could be it instead.
func contested(best value, vs []value) bool {
	own := false
	return slices.ContainsFunc(vs, func(v value) bool {
		if !own && v.num == best.num {
			own = true // the first of equal ones is the extreme itself
			return false
		}
		return near(best, v)
	})
}

// extent is the spread of some numbers.
func (x *env) extent(vs []value) value {
	high, low := slices.MaxFunc(vs, byNumber), slices.MinFunc(vs, byNumber)
	if high.num == low.num {
		low = vs[len(vs)-1] // still two of them, each as unsure as it is
	}
	v := linear(high.num-low.num, high, 1, low, -1)
	if x.draws && (contested(high, vs) || contested(low, vs)) {
		return v.bent(bend{op: spreading, kink: true}, v.second(), slices.Clone(vs)...)
	}
	return v
}

// either is "if c then a else b" where c, known as read, may be otherwise: the branch that is taken as read, drawn
// together with the other.
func either(c, a, b value) value {
	v, other := a, b
	if c.truth == False {
		v, other = b, a
	}
	switch {
	case v.kind != number:
		return v
	case c.settled():
		return v.bent(bend{op: summing, factors: []float64{1}, kink: true}, v.second(), v)
	case other.kind != number || c.bend == nil:
		v.unsure = merge(v.unsure, merge(c.unsure, other.lacks))
		return v
	}
	return v.bent(bend{op: choosing, kink: true}, v.second(), c, a, b)
}

// settled reports whether no error can make a truth another, or a number that it rests on.
func (v value) settled() bool {
	switch {
	case v.unsure != nil || v.kind == truth && v.truth == Unknown:
		return false
	case v.bend == nil:
		return v.kind == truth
	case v.bend.op == comparing:
		a, b := v.bend.args[0], v.bend.args[1]
		return math.Abs(a.num-b.num) > linear(a.num-b.num, a, 1, b, -1).reach()
	}
	return !slices.ContainsFunc(v.bend.args, func(a value) bool { return !a.settled() })
}

// joined is v, which two conditions come to by "and" or "or", kept where they may be otherwise.
func (v value) joined(op ast.Op, a, b value) value {
	switch {
	case v.truth == Unknown || a.bend == nil && b.bend == nil:
	case a.truth == Unknown || b.truth == Unknown:
		v.unsure = merge(a.lacks, b.lacks)
	case op == ast.And:
		return v.bent(bend{op: conjoining}, 0, a, b)
	default:
		return v.bent(bend{op: disjoining}, 0, a, b)
	}
	return v
}
