package engine

// This file holds the values that formulas give while they are worked out: a
// number with the components of its uncertainty, a truth value of Kleene's logic,
// a text, a day, or nothing, with what is lacking.

import (
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/measure"
	"ferrule/lang/catalogue"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// lack is one thing that is missing: the measurement's name, and the reason as a
// sentence without full stop.
type lack struct {
	need, reason string
	fault        *fault // two rows of the books that disagree; nil where it was not measured
}

// fault is two rows of the books that hold for a club and differ.
type fault struct {
	rows    [2]source.Span
	message string
}

// origin is what varies: a property of a club as it was read, or a component of a
// length. What clubs share has the owner in common: a ruler its method, a cap or a crown
// its allowance, a shape its head.
type origin struct {
	what  measure.Component // 0 for a property with a half-width of its own
	owner any               // the club, or what is shared
	index int               // of the property, the shape's number, or the reading
}

// part is one component of a value's uncertainty: its source, the source's standard
// uncertainty, and the sensitivity of the value to it. Parts of one source add before
// they are squared, so what is shared cancels in a difference.
type part struct {
	source      origin
	half        float64 // half-width of a rectangular distribution; 0 of repeats
	u           float64
	sensitivity float64
	freedom     float64 // degrees of freedom; 0 for infinitely many
}

func (p part) contribution() float64 { return p.u * p.sensitivity }

// valueKind tells what a value is. The zero value is nothing: it is lacking.
type valueKind uint8

const (
	lacking valueKind = iota
	number
	truth
	day
	text
)

// value is what a formula gives. The zero value lacks everything and says nothing
// of why.
type value struct {
	kind   valueKind
	num    float64 // of a number in base units, of a day in days
	truth  Truth
	close  bool // an Unknown truth, because a comparison is too close to call
	text   string
	meant  []string // texts that a text may be meant for: whether it is one of them cannot be told, as lacks say
	parts  []part
	bend   *bend  // of what is no straight line in what was read; nil: the parts tell all
	unsure []lack // a number whose uncertainty is not known: why
	lacks  []lack // of nothing and of an Unknown truth
	span   *span  // of a number that is lacking: what it lies in; nil where nothing is known of it
}

func numberOf(n float64) value  { return value{kind: number, num: n} }
func truthOf(b bool) value      { return value{kind: truth, truth: truthFrom(b)} }
func textOf(s string) value     { return value{kind: text, text: s} }
func lackOf(ls ...lack) value   { return value{lacks: ls} }
func unknownOf(ls []lack) value { return value{kind: truth, lacks: ls} }

func truthFrom(b bool) Truth {
	if b {
		return True
	}
	return False
}

// maxLacks is how many reasons a result gives at the most: nobody reads more, and a bag
// may have refused rows without number.
const maxLacks = 32

// merge joins what two values lack, each thing once, up to maxLacks.
func merge(a, b []lack) []lack {
	if len(a) == 0 {
		return b
	}
	out := slices.Clip(a)
	for _, l := range b {
		if len(out) >= maxLacks {
			break
		}
		if !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}

// spread returns how sure a number is: it is exact where no component is known, and where
// all of them cancel whole.
func (v value) spread() decide.Spread {
	sum, fourth := 0.0, 0.0
	for _, p := range v.parts {
		c := p.contribution()
		sum += c * c
		if p.freedom > 0 {
			fourth += c * c * c * c / p.freedom
		}
	}
	return decide.Combine(sum, fourth)
}

// exact reports whether nothing about a number is uncertain, as far as is known.
func (v value) exact() bool { return len(v.parts) == 0 && v.bend == nil }

// uncertainty returns the standard uncertainty of a number.
func (v value) uncertainty() float64 { return v.spread().U }

// combine adds the parts of a, scaled by ka, and of b, scaled by kb. No source is twice in either.
func combine(a []part, ka float64, b []part, kb float64) []part {
	if len(a) == 0 && len(b) == 0 {
		return nil
	}
	out := make([]part, 0, len(a)+len(b))
	for _, p := range a {
		p.sensitivity *= ka
		out = append(out, p)
	}
	find := func(o origin) int { return slices.IndexFunc(out[:len(a)], func(p part) bool { return p.source == o }) }
	const many = 64
	if len(a) > many && len(b) > many {
		find = places(out)
	}
	for _, p := range b {
		p.sensitivity *= kb
		if i := find(p.source); i >= 0 {
			out[i].sensitivity += p.sensitivity
		} else {
			out = append(out, p)
		}
	}
	return out
}

// places finds the place of a source among parts; -1 where it is not there.
func places(parts []part) func(origin) int {
	at := make(map[origin]int, len(parts))
	for i, p := range parts {
		at[p.source] = i
	}
	return func(o origin) int {
		if i, ok := at[o]; ok {
			return i
		}
		return -1
	}
}

// total is the sum of numbers to first order.
func total(vs []value) value {
	if len(vs) == 1 {
		v := vs[0]
		v.bend = nil
		return v
	}
	a, b := total(vs[:len(vs)/2]), total(vs[len(vs)/2:])
	return linear(a.num+b.num, a, 1, b, 1)
}

// linear is the number n whose derivatives by a and b are ka and kb.
func linear(n float64, a value, ka float64, b value, kb float64) value {
	v := value{kind: number, num: n, parts: combine(a.parts, ka, b.parts, kb), unsure: merge(a.unsure, b.unsure)}
	if a.bend != nil || b.bend != nil {
		return summed(v, []float64{ka, kb}, a, b)
	}
	return v
}

// finite turns a number that no sheet can mean, a quotient by nothing or a sum
// beyond all bounds, into nothing.
func (v value) finite(reason string) value {
	if v.kind == number && (math.IsNaN(v.num) || math.IsInf(v.num, 0) || math.IsInf(v.uncertainty(), 0) || math.IsNaN(v.uncertainty())) {
		return lackOf(lack{"", reason, nil})
	}
	return v
}

func and(a, b value) value {
	switch {
	case a.truth == False || b.truth == False:
		return truthOf(false)
	case a.truth == True && b.truth == True:
		return truthOf(true)
	}
	return unsettled(a, b)
}

func or(a, b value) value {
	switch {
	case a.truth == True || b.truth == True:
		return truthOf(true)
	case a.truth == False && b.truth == False:
		return truthOf(false)
	}
	return unsettled(a, b)
}

// unsettled is the unknown that two conditions give, at least one of them unknown.
func unsettled(a, b value) value {
	v := value{kind: truth}
	if a.truth == Unknown {
		v.close, v.lacks = a.close, a.lacks
	}
	if b.truth == Unknown {
		v.close, v.lacks = v.close || b.close, merge(v.lacks, b.lacks)
	}
	return v
}

func not(a value) value {
	if a.bend != nil {
		a = a.bent(bend{op: negating}, 0, a)
	}
	switch a.truth {
	case True:
		a.truth = False
	case False:
		a.truth = True
	}
	return a
}

// same reports whether two values are one and the same known value.
func same(a, b value) bool {
	if a.kind != b.kind {
		return false
	}
	switch a.kind {
	case number, day:
		return unit.Compare(a.num, b.num) == 0 && a.exact() && b.exact()
	case truth:
		return a.truth == b.truth && a.truth != Unknown
	case text:
		return catalogue.Same(a.text, b.text)
	}
	return false
}
