// Package decide holds the verdicts and the decision rules: given a value, how sure
// it is and the limits, what may be said. Terms and formulas are
// those of JCGM 106:2012.
package decide

import (
	"math"

	"ferrule/lang/unit"
)

// Verdict is what a rule says of its subject. The zero value is invalid.
type Verdict uint8

// The verdicts, from the worst; Exempt counts as Pass.
const (
	Fail Verdict = iota + 1
	TooClose
	Unmeasured
	Pass
	Exempt
)

var verdictNames = [...]string{"no verdict", "fail", "too-close", "unmeasured", "pass", "exempt"}

// String returns the word for the verdict.
func (v Verdict) String() string { return verdictNames[v] }

// Verdicts lists the five verdicts in the order in which a summary counts them.
func Verdicts() []Verdict { return []Verdict{Pass, Fail, TooClose, Unmeasured, Exempt} }

// Worse returns the worse of two verdicts in the order fail, too-close,
// unmeasured, pass; an invalid one gives the other.
func Worse(a, b Verdict) Verdict {
	if a == 0 || (b != 0 && b < a) {
		return b
	}
	return a
}

// Kind is a decision rule. The zero value is invalid.
type Kind uint8

// The decision rules of the language.
const (
	Simple Kind = iota + 1
	GuardedAcceptance
	GuardedRejection
	ThreeWay
)

var kindNames = [...]string{"no decision", "simple", "guarded acceptance", "guarded rejection", "three-way"}

// String returns the words for the decision rule.
func (k Kind) String() string { return kindNames[k] }

// Rule is a decision rule with its level of probability, 0.95 for 95 %; Simple
// has none.
type Rule struct {
	Kind  Kind
	Level float64
}

// Limits are the limits of a value in base units. An absent one is infinite;
// Open limits are not met by a value on them.
type Limits struct {
	Lower, Upper         float64
	OpenLower, OpenUpper bool
}

// None returns limits that everything meets.
func None() Limits { return Limits{Lower: math.Inf(-1), Upper: math.Inf(1)} }

// HasLower reports whether there is a lower limit.
func (l Limits) HasLower() bool { return !math.IsInf(l.Lower, -1) }

// HasUpper reports whether there is an upper limit.
func (l Limits) HasUpper() bool { return !math.IsInf(l.Upper, 1) }

// Contains reports whether y lies inside, edges as the limits say; rounding dust
// counts for nothing.
func (l Limits) Contains(y float64) bool {
	if l.HasLower() {
		if c := unit.Compare(y, l.Lower); c < 0 || c == 0 && l.OpenLower {
			return false
		}
	}
	if l.HasUpper() {
		if c := unit.Compare(y, l.Upper); c > 0 || c == 0 && l.OpenUpper {
			return false
		}
	}
	return true
}

// Margin returns the distance from y to the nearer limit, positive inside, 0 on
// a limit. It is infinite if there is no limit.
func (l Limits) Margin(y float64) float64 {
	m := math.Inf(1)
	if l.HasLower() {
		m = gap(l.Lower, y)
	}
	if l.HasUpper() {
		m = min(m, gap(y, l.Upper))
	}
	return m
}

// Beyond returns how far y lies above the upper and below the lower limit, 0 where it does not.
func (l Limits) Beyond(y float64) (over, under float64) {
	if l.HasUpper() {
		over = max(0, gap(l.Upper, y))
	}
	if l.HasLower() {
		under = max(0, gap(y, l.Lower))
	}
	return over, under
}

// gap is b - a without rounding dust.
func gap(a, b float64) float64 {
	if unit.Compare(a, b) == 0 {
		return 0
	}
	return b - a
}

// Conformance returns the probability that the true value lies inside the limits
// when y was measured with a spread s that is not exact (JCGM 106:2012, 7.2 to 7.4).
func (l Limits) Conformance(y float64, s Spread) float64 {
	low, high := math.Inf(-1), math.Inf(1)
	if l.HasLower() {
		low = (l.Lower - y) / s.U
	}
	if l.HasUpper() {
		high = (l.Upper - y) / s.U
	}
	if low > 0 { // the tail on the side where its digits are not lost
		low, high = -high, -low
	}
	return max(0, s.below(high)-s.below(low))
}

// exceeded returns the larger of the probabilities that one limit is exceeded.
func (l Limits) exceeded(y float64, s Spread) float64 {
	p := 0.0
	if l.HasUpper() {
		p = s.below((y - l.Upper) / s.U)
	}
	if l.HasLower() {
		p = max(p, s.below((l.Lower-y)/s.U))
	}
	return p
}

// Decide returns the verdict on a value y that is as sure as s under the rule, and the
// conformance probability. An exact value is decided simply whatever the rule, and
// then the probability is NaN (there is none to state).
func Decide(r Rule, l Limits, y float64, s Spread) (Verdict, float64) {
	p := math.NaN()
	if s.U > 0 {
		p = l.Conformance(y, s)
	}
	if r.Kind == Simple || !(s.U > 0) {
		if l.Contains(y) {
			return Pass, p
		}
		return Fail, p
	}
	return r.Verdict(p, l.exceeded(y, s)), p
}

// Verdict returns the verdict of a rule that is not simple on a value that conforms with a probability p and
// exceeds some one limit with another.
func (r Rule) Verdict(p, exceeded float64) Verdict {
	passes := p >= r.Level
	fails := exceeded > r.Level
	switch r.Kind {
	case GuardedAcceptance:
		fails = !passes
	case GuardedRejection:
		passes = !fails
	}
	switch {
	case passes:
		return Pass
	case fails:
		return Fail
	}
	return TooClose
}
