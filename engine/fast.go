package engine

// This file is the short way: where nothing is missing and everything is plain, a
// subject that passes is told so without a fact being recorded. What does not
// plainly pass is worked out again by the recording walk.

import (
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

// form is the form of a formula that tells how to get at its value quickly. The
// zero value is general.
type form uint8

const (
	general  form = iota // compiled for execution
	property             // a property of the club
	stepOf               // a drop or a rise of a property
	ofSet                // a value of the whole set
)

// formula is a formula made ready for the short way.
type formula struct {
	expr ast.Expr
	info *check.Info
	form form

	// of property and stepOf
	of        catalogue.Property
	asked     *check.Method
	rise      bool
	perNumber bool

	compiled
}

func newFormula(e ast.Expr, info *check.Info) *formula {
	f := &formula{expr: e, info: info}
	inner := unparen(e)
	switch inner.(type) {
	case *ast.CountOf, *ast.SetValue:
		f.form = ofSet
		return f
	}
	s, isStep := inner.(*ast.Step)
	if isStep {
		inner = unparen(s.Of)
	}
	ref, ok := inner.(*ast.Ref)
	if !ok || ref.Pos != ast.Here {
		return f
	}
	r := info.Refs[ref]
	if r == nil || r.Kind != check.RefProperty || !r.Property.Sort.Numeric() {
		return f
	}
	f.form, f.of, f.asked = property, r.Property, r.Method
	if isStep {
		f.form, f.rise, f.perNumber = stepOf, s.Rise, s.PerNumber
	}
	return f
}

// fast returns Pass or Exempt where the subject of x plainly has that verdict, and
// 0 where the recording walk must tell.
func (x *env) fast(r *rule) decide.Verdict {
	b := r.bound
	for i, e := range r.unless {
		switch x.holds(e.formula) {
		case False:
			continue
		case Unknown:
			return 0
		}
		for _, later := range r.unless[i+1:] {
			if x.holds(later.formula) != False {
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
		if !certain && x.holds(r.formula) == True {
			return decide.Pass
		}
		return 0
	}
	if !b.fixed {
		return 0
	}
	if n, ok := x.number(r.formula, certain); ok && b.limits.Contains(n) {
		return decide.Pass
	}
	return 0
}

// number is the value of a formula; false where the recording walk must tell. With
// certain set it is false also where the value has an uncertainty.
func (x *env) number(f *formula, certain bool) (float64, bool) {
	switch f.form {
	case property:
		if x.club != nil {
			return x.plain(f, x.club, certain)
		}
	case stepOf:
		a, ok := x.plain(f, x.first, certain)
		if !ok {
			return 0, false
		}
		b, ok := x.plain(f, x.second, certain)
		if !ok {
			return 0, false
		}
		d := a - b
		if f.rise {
			d = b - a
		}
		if !f.perNumber {
			return d, true
		}
		m, ok1 := x.first.Amount(catalogue.Number)
		n, ok2 := x.second.Amount(catalogue.Number)
		return d / math.Abs(n-m), ok1 && ok2 && m != n
	case ofSet:
		v := x.whole(unparen(f.expr))
		return v.num, v.kind == number && !(certain && (v.unsure != nil || len(v.parts) > 0))
	}
	n, _, ok := x.execute(f, certain)
	return n, ok
}

// plain is a property of a club read by the method asked for.
func (x *env) plain(f *formula, c *club.Club, certain bool) (float64, bool) {
	if f.of.ByMethod {
		if certain || f.asked == nil || methodOf(c, f.of) != f.asked.Decl.Name.Text {
			return 0, false
		}
		if s := x.j.program.covering[f.asked]; s != nil && s.quick(c) != True {
			return 0, false
		}
	}
	if certain && c.Reading(f.of.ID).HasHalf {
		return 0, false
	}
	return c.Amount(f.of.ID)
}

// holds tells whether a condition holds; Unknown where the recording walk must tell.
func (x *env) holds(f *formula) Truth {
	_, b, ok := x.execute(f, false)
	if !ok {
		return Unknown
	}
	return truthFrom(b)
}
