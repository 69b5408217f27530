package eval

// This file is the short way: where nothing is missing and everything is plain, a
// subject is passed without a fact being recorded. What does not
// plainly pass is worked out again by the recording walk.

import (
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// form is the form of a formula that says how to get at its value quickly. The
// zero value is general.
type form uint8

const (
	general  form = iota // compiled for execution
	property             // a property of the club
	stepOf               // a drop or a rise of a property
	ofSet                // a value of the whole set
)

// Formula is a formula made ready for the short way.
type Formula struct {
	expr ast.Expr
	info *book.Info
	form form

	// of property and stepOf
	of        catalogue.Property
	asked     *book.Method
	rise      bool
	perNumber bool

	compiled
}

func NewFormula(e ast.Expr, info *book.Info) *Formula {
	f := &Formula{expr: e, info: info}
	inner := ast.Unparen(e)
	switch inner.(type) {
	case *ast.CountOf, *ast.SetValue:
		f.form = ofSet
		return f
	}
	s, isStep := inner.(*ast.Step)
	if isStep {
		inner = ast.Unparen(s.Of)
	}
	ref, ok := inner.(*ast.Ref)
	if !ok || ref.Pos != ast.Here {
		return f
	}
	r := info.Refs[ref]
	if r == nil || r.Kind != book.RefProperty || !r.Property.Sort.Numeric() || r.Property.Ordered {
		return f
	}
	f.form, f.of, f.asked = property, r.Property, r.Method
	if isStep {
		f.form, f.rise, f.perNumber = stepOf, s.Rise, s.PerNumber
	}
	return f
}

// Number is the value of a formula and, with certain set, how sure it is; false where the
// recording walk must tell.
func (x *Env) Number(f *Formula, certain bool) (n float64, s decide.Spread, ok bool) {
	switch f.form {
	case property:
		n, s.U, _, ok = x.plain(f, x.Club, certain)
		return n, s, ok
	case stepOf:
		n, s.U, ok = x.plainStep(f, certain)
		return n, s, ok
	case ofSet:
		y := *x
		y.Draws = certain
		v := y.whole(ast.Unparen(f.expr))
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
