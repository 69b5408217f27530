package book

// This file holds rules in their normal form: whatever way a rule is written, it says here in one way what it is about,
// what it holds against which ends, and what excepts from it.

import (
	"math/big"

	"ferrule/lang/ast"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Rule is a rule or an advice.
type Rule struct {
	Book     *Book
	Decl     *ast.Rule
	Facts    Facts
	Subject  ast.SubjectKind
	Among    Clubs        // that it is about, or among which it looks for neighbours; of sets at most a condition
	By       Part         // what neighbours are sorted by
	Value    Part         // a quantity with Bound, else a condition, each "not" carried inward; none if unread
	Bound    *Bound       // nil for a condition. One comparison of quantities and nothing else is a bound
	Unless   []*Exception // in the order of the book: those before the first "else unless" must agree where they hold
	Decision Decision     // its own, else its book's, else Simple
	Stated   bool         // a decision is written, in the rule or its book
	Unit     *unit.Unit   // the unit of its limit as written, for showing; nil for a rule without a quantity
	Period                // in which it is in force
}

// Exception is an exception of a rule.
type Exception struct {
	Decl  *ast.Unless
	When  Part
	Bound *Bound // nil where it exempts
}

// Plain returns how many exceptions come before the first "else unless". They have no order among them; each one after
// them is looked at only where none before it holds.
func (r *Rule) Plain() int {
	for i, e := range r.Unless {
		if e.Decl.Else {
			return i
		}
	}
	return len(r.Unless)
}

// Gives says what the exception brings: "exempt", or its bound.
func (e *Exception) Gives() string {
	if e.Bound == nil {
		return "exempt"
	}
	return e.Bound.Words()
}

// Bound is what a value is compared with: at least Low and at most High, each moved outward by all of Widen.
type Bound struct {
	Span     source.Span // as it is written
	Compared bool        // it is written as a comparison, of which Span is the whole
	Low      *End        // nil: however small
	High     *End        // nil: however large
	Widen    []Part      // the distance of "within", a tolerance, an allowance
	Unit     *unit.Unit  // in which its amounts are shown: the one written, where there is one
}

// Share is "within 2 % of X" worked out: a distance from X, or where X is a chart of figures above 0, both ends.
type Share struct {
	Width     ast.Expr
	Low, High ast.Expr
}

// End is one end of a bound.
type End struct {
	At    Part
	Open  bool      // a value just there does not pass
	Fixed *Constant // where it lies, moved outward; nil for both ends where a club has to be read for it
}

// NewBound returns the normal form of a bound. The facts about its formulas must be there.
func NewBound(b *ast.Bound, info *Info) *Bound {
	if b == nil {
		return nil
	}
	q := Part{b.Q, info}
	out := &Bound{Span: b.Span, Unit: q.unit(), Low: &End{At: q}, High: &End{At: q}}
	switch b.Kind {
	case ast.AtMost, ast.Below:
		out.Low, out.High.Open = nil, b.Kind == ast.Below
	case ast.AtLeast, ast.Above:
		out.High, out.Low.Open = nil, b.Kind == ast.Above
	case ast.Between:
		out.High.At.Expr = b.Q2
	case ast.Within:
		out.Low.At.Expr, out.High.At.Expr = b.Of, b.Of
		switch share := info.Shares[b]; {
		case share == nil:
			out.Widen = append(out.Widen, q)
		case share.Width != nil:
			out.Widen = append(out.Widen, q.In(share.Width))
		default:
			out.Low.At.Expr, out.High.At.Expr = share.Low, share.High
		}
	}
	for _, e := range []ast.Expr{b.PlusMinus, b.Allowing} {
		if e != nil {
			out.Widen = append(out.Widen, Part{e, info})
		}
	}
	out.fix()
	return out
}

// Comparison returns the bound that a comparison of quantities says, with the value that is bound; nil for any other
// formula. Where only the right side asks for a club, that is the value.
func Comparison(p Part) (value Part, b *Bound) {
	e, ok := ast.Unparen(p.Expr).(*ast.Binary)
	if !ok || p.In(e.X).Type().Kind != Number {
		return Part{}, nil
	}
	x, y, op := p.In(e.X), p.In(e.Y), e.Op
	if x.Constant() != nil && y.Constant() == nil {
		x, y, op = y, x, map[ast.Op]ast.Op{ast.Lt: ast.Gt, ast.Le: ast.Ge, ast.Gt: ast.Lt, ast.Ge: ast.Le}[op]
	}
	b = &Bound{Span: e.Place(), Compared: true, Unit: y.unit()}
	switch end := (&End{At: y, Open: op == ast.Lt || op == ast.Gt}); op {
	case ast.Lt, ast.Le:
		b.High = end
	case ast.Gt, ast.Ge:
		b.Low = end
	default:
		return Part{}, nil
	}
	b.fix()
	return x, b
}

// fix works the ends out where all parts are constant, exactly, rounding once.
func (b *Bound) fix() {
	for _, p := range b.Parts() {
		if p.Constant() == nil {
			return
		}
	}
	out := new(big.Rat)
	for _, w := range b.Widen {
		out.Add(out, w.Constant().Exact)
	}
	b.Low.fix(new(big.Rat).Neg(out))
	b.High.fix(out)
}

func (e *End) fix(move *big.Rat) {
	if e != nil {
		at := e.At.Constant()
		exact := new(big.Rat).Add(at.Exact, move)
		e.Fixed = &Constant{Exact: exact, Base: unit.RoundExact(exact), Unit: at.Unit, Span: at.Span}
	}
}

// Fixed reports whether the ends are known before any club is read.
func (b *Bound) Fixed() bool {
	return (b.Low == nil || b.Low.Fixed != nil) && (b.High == nil || b.High.Fixed != nil)
}

// OneFigure reports whether a value passes at just one figure, if at any.
func (b *Bound) OneFigure() bool {
	if b.Low == nil || b.High == nil || !b.Fixed() {
		return b.Low != nil && b.High != nil && b.Low.At == b.High.At && len(b.Widen) == 0
	}
	low, high := b.Exact()
	return low.Cmp(high) == 0
}

// Open reports whether an end does not pass itself.
func (b *Bound) Open() bool { return b.Low != nil && b.Low.Open || b.High != nil && b.High.Open }

// Exact returns the ends of a bound that is fixed, in base units; nil where it has none.
func (b *Bound) Exact() (low, high *big.Rat) {
	if b.Low != nil {
		low = b.Low.Fixed.Exact
	}
	if b.High != nil {
		high = b.High.Fixed.Exact
	}
	return low, high
}

// Parts returns the formulas of the bound; none of nil.
func (b *Bound) Parts() []Part {
	if b == nil {
		return nil
	}
	var out []Part
	if b.Low != nil {
		out = append(out, b.Low.At)
	}
	if b.High != nil && (b.Low == nil || b.High.At != b.Low.At) {
		out = append(out, b.High.At)
	}
	return append(out, b.Widen...)
}

// Words returns the bound on one line, in the words of the book; a comparison says what it bounds.
func (b *Bound) Words() string {
	if !b.Compared {
		return b.Span.OneLine()
	}
	end, word, open := b.High, "at most ", "below "
	if b.Low != nil {
		end, word, open = b.Low, "at least ", "above "
	}
	if end.Open {
		word = open
	}
	return word + end.At.Expr.Place().OneLine()
}

// Bounds returns the bound of the rule and those of its exceptions, as far as there are any.
func (r *Rule) Bounds() []*Bound {
	var out []*Bound
	if r.Bound != nil {
		out = append(out, r.Bound)
	}
	for _, e := range r.Unless {
		if e.Bound != nil {
			out = append(out, e.Bound)
		}
	}
	return out
}

// Visit calls formula and item as Part.Visit does for all that the rule speaks of.
func (r *Rule) Visit(formula func(Part) bool, item func(*ItemInfo)) {
	v := &visitor{formula, item, map[any]bool{}}
	v.clubs(r.Among)
	v.part(r.By)
	v.part(r.Value)
	for _, e := range r.Unless {
		v.part(e.When)
	}
	for _, b := range r.Bounds() {
		for _, p := range b.Parts() {
			v.part(p)
		}
	}
}
