package space

// This file says which values of the whole bag a rule depends on, and in which part of it they are. It also says
// whether bags can be laid out that stand for all. They can where counts, extremes and a spread are compared with
// figures alone, and where a rule holds one and the same value of a set against figures; bags.go lays them out.
// Everything else is searched as well as it can be, but a search that finds nothing has then shown nothing.

import (
	"math"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// BagValue is a value of the whole bag.
type BagValue struct {
	Clubs book.Clubs    // of which it is
	Set   *ast.SetValue // nil of a count
	side  *Side
	at    []float64 // figures with which it is compared
	of    *Axis     // what it is taken of, where clubs can be laid out on either side of the figures
}

// Holding is the values of the bag in a part of a rule.
type Holding struct {
	Values []BagValue
	Loose  bool // one of them is not compared with figures alone, or no bags stand for it
	side   *Side
}

// part gathers the values of the bag in a formula, named formulas, groups and charts included.
func (h *Holding) part(p book.Part) { p.Visit(h.look, nil) }

// look notes a value of the bag that a formula is.
func (h *Holding) look(p book.Part) bool {
	for v, other := range setValues(p) {
		if figure := other.Constant(); figure != nil {
			h.value(v, []float64{figure.Base})
			return false
		}
	}
	switch p.Expr.(type) {
	case *ast.CountOf, *ast.SetValue:
		h.Loose = true
		h.value(p, nil)
		return false
	}
	return true
}

// setValues are the values of the set that a formula itself compares with something, and with what.
func setValues(p book.Part) map[book.Part]book.Part {
	out := map[book.Part]book.Part{}
	if b, ok := p.Expr.(*ast.Binary); ok && b.Op.IsComparison() {
		for _, side := range [][2]book.Part{{p.In(b.X), p.In(b.Y)}, {p.In(b.Y), p.In(b.X)}} {
			switch v := side[0].Behind(); v.Expr.(type) {
			case *ast.CountOf, *ast.SetValue:
				out[v] = side[1]
			}
		}
	}
	return out
}

// value notes the value of the bag that a formula is, with the figures with which it is compared.
func (h *Holding) value(p book.Part, at []float64) {
	switch e := p.Expr.(type) {
	case *ast.CountOf:
		h.note(BagValue{Clubs: book.Clubs{Decl: e.Selector, Info: p.Info}, at: at})
	case *ast.SetValue:
		h.note(BagValue{Clubs: book.Clubs{Decl: e.Among, Info: p.Info}, Set: e, at: at})
		p.In(e.Of).Visit(h.inner, nil)
	}
}

// note takes down a value, once. What it is taken of may not depend on the bag in turn.
func (h *Holding) note(v BagValue) {
	v.side = h.side
	if !slices.ContainsFunc(h.Values, func(o BagValue) bool { return o.Clubs == v.Clubs && slices.Equal(o.at, v.at) }) {
		h.Values = append(h.Values, v)
		v.Clubs.Visit(h.inner, nil)
	}
}

// inner notes that a value of the bag depends on another.
func (h *Holding) inner(p book.Part) bool {
	switch p.Expr.(type) {
	case *ast.CountOf, *ast.SetValue:
		h.Loose = true
	}
	return !h.Loose
}

// Holdings is what the parts of a rule hold of the bag.
type Holdings struct {
	Scope, Exceptions, Limit Holding
	Set                      *BagValue // a value of a set that is held against figures; nil where none is
}

// holdings takes the rule of a side apart.
func (s *Side) holdings() (h Holdings) {
	if s.Rule == nil {
		return h
	}
	r := s.Rule
	h.Scope.side, h.Exceptions.side, h.Limit.side = s, s, s
	r.Among.Visit(h.Scope.look, nil)
	h.Scope.part(r.By)
	for _, x := range r.Unless {
		for _, p := range append([]book.Part{x.When}, x.Bound.Parts()...) {
			h.Exceptions.part(p)
		}
	}
	for _, p := range r.Bound.Parts() {
		h.Limit.part(p)
	}
	at, figures := figuresOf(r)
	value := r.Value.Behind()
	switch v := value.Expr.(type) {
	case *ast.CountOf:
		h.Limit.Loose = h.Limit.Loose || !figures
		h.Limit.value(value, at)
	case *ast.SetValue:
		h.Limit.Loose = h.Limit.Loose || !figures || v.How == ast.Total // which may take any number of clubs
		h.Limit.value(value, at)
		h.Set = &h.Limit.Values[len(h.Limit.Values)-1]
	default:
		h.Limit.part(r.Value)
	}
	return h
}

// figuresOf are the ends of all bounds of a rule; false where one is not a figure.
func figuresOf(r *book.Rule) (at []float64, ok bool) {
	for _, b := range r.Bounds() {
		if !b.Fixed() {
			return at, false
		}
		for _, e := range []*book.End{b.Low, b.High} {
			if e != nil {
				at = append(at, e.Fixed.Base)
			}
		}
	}
	return at, true
}

// told notes of which values of a set in a condition clubs can be laid out on either side of the figures; the others
// are loose. Where it counts only which clubs the rules are about, limits are left out.
func (t *Tour) told() {
	keys, spread := book.NewKeys(false), map[*Axis]string{}
	for i := range t.Holdings {
		h := &t.Holdings[i] // bags of so many are laid out with common readings
		h.Limit.Loose = h.Limit.Loose || h.Set != nil && (h.Scope.Values != nil || h.Exceptions.Values != nil)
		parts := []*Holding{&h.Scope, &h.Exceptions, &h.Limit}
		if t.scopeOnly {
			parts = parts[:2]
		}
		for _, of := range parts {
			for k := range of.Values {
				v := &of.Values[k]
				switch {
				case v.Set == nil:
					many := func(k float64) bool { return math.Abs(k) >= mostCounted }
					of.Loose = of.Loose || slices.ContainsFunc(v.at, many)
				case v.at != nil && h.Set != v:
					v.of = t.telling(v)
					if of.Loose = of.Loose || v.of == nil; v.Set.How == ast.Spread { // one of a property, and no other
						key := keys.Clubs(v.Clubs)
						of.Loose = of.Loose || spread[v.of] != "" && spread[v.of] != key
						spread[v.of] = key
					}
				}
			}
			t.values = append(t.values, of.Values...)
		}
	}
}

// telling is the property of which an extreme or a spread is taken, where nothing that is required moves it; nil for
// none.
func (t *Tour) telling(v *BagValue) *Axis {
	of := book.Part{Expr: v.Set.Of, Info: v.Clubs.Info}.Behind().Ref()
	if of == nil || of.Kind != book.RefProperty || !of.Property.Sort.Numeric() ||
		of.Property.ByMethod && len(t.by) > 1 {
		return nil
	}
	a := t.Axis(of.Property)
	spread := v.Set.How == ast.Spread && len(a.Turns) == 0
	if a.Free || !spread && v.Set.How.Plain() != ast.Highest && v.Set.How.Plain() != ast.Lowest {
		return nil
	}
	return a
}

// Whole reports whether what was not found among what was laid out is not there, as far as conditions go.
func (t *Tour) Whole() bool {
	return !t.Cut && !t.Blind && !t.Inexact && !t.days.turn() && !t.Between && !t.tied && !t.Converts()
}

// WholeAtLie reports whether what no club of one lie was found to do none does; false where a rule requires something
// of the lie itself.
func (t *Tour) WholeAtLie() bool {
	moved := func(a *Axis) bool { return a.Free && a != t.pivot && (a.Prop.ID == catalogue.Lie || a.Prop.ByMethod) }
	return !t.Cut && t.WholeButLengths() && !(t.Converts() && slices.ContainsFunc(t.Axes, moved))
}

// valuesOf are counts, and values of the set that clubs can be laid out for; or else the others.
func (t *Tour) valuesOf(told bool) []BagValue {
	others := func(v BagValue) bool { return (v.Set == nil || v.of != nil) != told }
	return slices.DeleteFunc(slices.Clone(t.values), others)
}
