// Package value holds what formulas give while they are worked out: a number with
// the components of its uncertainty, a truth value of Kleene's logic, a text, a day,
// or nothing, with what is lacking.
//
// Components of one source add before they are squared (JCGM 100:2008, first order).
// Where that is not good enough a number keeps the steps of its calculation (bend.go),
// which are drawn (simulate.go, draws.go) from errors whose distributions are in
// scatter.go (JCGM 101:2008).
package value

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/decide"
)

// Component says which of the errors of one owner it is, as its package names them.
type Component uint8

// Source is what varies: a property of a club as it was read, or a component of a
// length. What clubs share has the owner in common: a ruler its method, a cap or a crown
// its allowance, a shape its head.
type Source struct {
	What  Component // 0 for a property with a half-width of its own
	Owner any       // the club, or what is shared
	Index int       // of the property, the shape's number, or the reading
}

// Part is one component of a value's uncertainty: its source, the source's standard
// uncertainty, and the sensitivity of the value to it. Parts of one source add before
// they are squared, so what is shared cancels in a difference.
type Part struct {
	Source      Source
	Half        float64 // half-width of a rectangular distribution; 0 of repeats
	U           float64
	Sensitivity float64
	Freedom     float64 // degrees of freedom; 0 for infinitely many
}

// Contribution is to the standard uncertainty of the value, with the sign of the sensitivity.
func (p Part) Contribution() float64 { return p.U * p.Sensitivity }

// Variance is what it adds to the variance of the value.
func (p Part) Variance() float64 { return p.Contribution() * p.Contribution() }

// valueKind says what a value is. The zero value is nothing: it is lacking.
type valueKind uint8

const (
	Lacking valueKind = iota
	Number
	Condition
	Day
	Text
)

// Value is what a formula gives. The zero value lacks everything and says nothing
// of why.
type Value struct {
	Kind   valueKind
	Num    float64 // of a number in base units, of a day in days
	Truth  Truth
	Close  bool // an Unknown truth, because a comparison is too close to call
	Text   string
	Meant  []string // texts that a text may be meant for: whether it is one of them is not known, as lacks say
	Parts  []Part
	Bend   *Bend  // of what is not a straight line in what was read; nil: the parts tell all
	Unsure []Lack // a number whose uncertainty is not known: why
	Lacks  []Lack // of nothing and of an Unknown truth
	Span   *Span  // of a number that is lacking: what it lies in; nil where nothing is known of it
}

func NumberOf(n float64) Value { return Value{Kind: Number, Num: n} }

func TruthOf(b bool) Value { return Value{Kind: Condition, Truth: TruthFrom(b)} }

func TextOf(s string) Value { return Value{Kind: Text, Text: s} }

func LackOf(ls ...Lack) Value { return Value{Lacks: ls} }

func UnknownOf(ls []Lack) Value { return Value{Kind: Condition, Lacks: ls} }

func TruthFrom(b bool) Truth {
	if b {
		return True
	}
	return False
}

// Spread returns how sure a number is: it is exact where no component is known, and where
// all of them cancel whole.
func (v Value) Spread() decide.Spread {
	sum, fourth := 0.0, 0.0
	for _, p := range v.Parts {
		c := p.Contribution()
		sum += c * c
		if p.Freedom > 0 {
			fourth += c * c * c * c / p.Freedom
		}
	}
	return decide.Combine(sum, fourth)
}

// Exact reports whether nothing about a number is uncertain, as far as is known.
func (v Value) Exact() bool { return len(v.Parts) == 0 && v.Bend == nil }

// Uncertainty returns the standard uncertainty of a number.
func (v Value) Uncertainty() float64 { return v.Spread().U }

// combine adds the parts of a, scaled by ka, and of b, scaled by kb. No source is twice in either.
func combine(a []Part, ka float64, b []Part, kb float64) []Part {
	if len(a) == 0 && len(b) == 0 {
		return nil
	}
	out := make([]Part, 0, len(a)+len(b))
	for _, p := range a {
		p.Sensitivity *= ka
		out = append(out, p)
	}
	find := func(o Source) int { return slices.IndexFunc(out[:len(a)], func(p Part) bool { return p.Source == o }) }
	const many = 64
	if len(a) > many && len(b) > many {
		find = places(out)
	}
	for _, p := range b {
		p.Sensitivity *= kb
		if i := find(p.Source); i >= 0 {
			out[i].Sensitivity += p.Sensitivity
		} else {
			out = append(out, p)
		}
	}
	return out
}

// places finds the place of a source among parts; -1 where it is not there.
func places(parts []Part) func(Source) int {
	at := make(map[Source]int, len(parts))
	for i, p := range parts {
		at[p.Source] = i
	}
	return func(o Source) int {
		if i, ok := at[o]; ok {
			return i
		}
		return -1
	}
}

// total is the sum of numbers to first order.
func total(vs []Value) Value {
	if len(vs) == 1 {
		v := vs[0]
		v.Bend = nil
		return v
	}
	a, b := total(vs[:len(vs)/2]), total(vs[len(vs)/2:])
	return Linear(a.Num+b.Num, a, 1, b, 1)
}

// Linear is the number n whose derivatives by a and b are ka and kb.
func Linear(n float64, a Value, ka float64, b Value, kb float64) Value {
	v := Value{Kind: Number, Num: n, Parts: combine(a.Parts, ka, b.Parts, kb), Unsure: Merge(a.Unsure, b.Unsure)}
	if a.Bend != nil || b.Bend != nil {
		return summed(v, []float64{ka, kb}, a, b)
	}
	return v
}

// Finite turns a number that no sheet can mean, a quotient by nothing or a sum
// beyond all bounds, into nothing.
func (v Value) Finite() Value {
	finite := func(n float64) bool { return math.Abs(n) <= math.MaxFloat64 }
	if v.Kind == Number && !(finite(v.Num) && finite(v.Uncertainty())) {
		return LackOf(Lack{Kind: OutOfRange})
	}
	return v
}

func And(a, b Value) Value { return join(a, b, False) }

func Or(a, b Value) Value { return join(a, b, True) }

// join is what two conditions give of which either decides alone by being decides.
func join(a, b Value, decides Truth) Value {
	v := Value{Kind: Condition}
	switch {
	case a.Truth == decides || b.Truth == decides:
		v.Truth = decides
		return v
	case a.Truth != Unknown && b.Truth != Unknown:
		return Not(Value{Kind: Condition, Truth: decides})
	}
	if a.Truth == Unknown {
		v.Close, v.Lacks = a.Close, a.Lacks
	}
	if b.Truth == Unknown {
		v.Close, v.Lacks = v.Close || b.Close, Merge(v.Lacks, b.Lacks)
	}
	return v
}

func Not(a Value) Value {
	if a.Bend != nil {
		a = a.Bent(Bend{Op: negating}, 0, a)
	}
	switch a.Truth {
	case True:
		a.Truth = False
	case False:
		a.Truth = True
	}
	return a
}

func ByNumber(a, b Value) int { return cmp.Compare(a.Num, b.Num) }

// Weight is how much it takes to work with a value.
func (v Value) Weight() int {
	n := len(v.Parts)
	if v.Bend != nil {
		n += 250 * len(v.Bend.args)
	}
	return n
}

// Span is what a number that is not known lies in.
type Span struct {
	Low, High float64
	Exact     bool // whatever the number is, nothing about it is uncertain
}

// Within is the span of a value, of a number the number itself; nil where nothing is known of it, or where how sure it
// is counts and is not known.
func (v Value) Within(simple bool) *Span {
	s := v.Span
	if v.Kind == Number {
		s = &Span{v.Num, v.Num, v.Exact() && v.Unsure == nil}
	}
	if s == nil || !simple && !s.Exact {
		return nil
	}
	return s
}

// Truth is a truth value of Kleene's strong logic.
type Truth uint8

// The truth values. Unknown is the zero value: nothing is known at first.
const (
	Unknown Truth = iota
	False
	True
)

// String returns "holds", "does not hold" or "cannot be told".
func (t Truth) String() string { return [...]string{"cannot be told", "does not hold", "holds"}[t] }

// Plus is a + k·b.
func Plus(a, b Value, k float64) Value {
	if a.Kind == Lacking || b.Kind == Lacking {
		return LackOf(Merge(a.Lacks, b.Lacks)...)
	}
	return Linear(a.Num+k*b.Num, a, 1, b, k).Finite()
}
