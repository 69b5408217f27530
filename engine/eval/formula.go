package eval

// This file is the short way: where nothing is missing and everything is plain, a
// subject is passed without a fact being recorded. What does not
// plainly pass is worked out again by the recording walk.

import (
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Formula is a formula made ready for the short way.
type Formula struct {
	book.Part
	form  book.Form
	plain bool     // the form of a property, or a step of one, is all of it
	whole ast.Expr // the value of a set that is all of it; else nil
	compiled
}

// NewFormula makes a formula ready.
func NewFormula(p book.Part) *Formula {
	f := &Formula{Part: p}
	switch inner := ast.Unparen(p.Expr).(type) {
	case *ast.CountOf, *ast.SetValue:
		f.whole = inner
	default:
		f.form, f.plain = p.Form()
		f.plain = f.plain && f.form.Set == nil
	}
	return f
}

// Number is the value of a formula and, with certain set, how sure it is; false where the
// recording walk must tell.
func (x *Env) Number(f *Formula, certain bool) (n float64, s decide.Spread, ok bool) {
	switch {
	case f.plain && f.form.Step == nil:
		n, s.U, _, ok = x.plain(&f.form, x.Club, certain)
		return n, s, ok
	case f.plain:
		n, s.U, ok = x.plainStep(&f.form, certain)
		return n, s, ok
	case f.whole != nil:
		y := *x
		y.Draws = certain
		v := y.whole(f.whole)
		if certain {
			s = v.Spread()
		}
		return v.Num, s, v.Kind == value.Number && !(certain && (v.Unsure != nil || v.Rough()))
	}
	n, _, ok = x.execute(f, certain)
	return n, s, ok
}

// Holds reports whether a condition holds; Unknown where the recording walk must tell.
func (x *Env) Holds(f *Formula) value.Truth {
	_, b, ok := x.execute(f, false)
	if !ok {
		return value.Unknown
	}
	return value.TruthFrom(b)
}
