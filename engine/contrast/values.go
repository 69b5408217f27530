package contrast

// This file tells which values of the whole bag the two editions of a rule rest on, in which part of it they stand, and
// whether bags can be laid out that stand for all. They can where counts are compared with figures alone, and where a
// rule holds one and the same value of a set against figures in both editions; counts.go lays them out. Everything else
// is searched as well as it can be, but a search that finds nothing has then told nothing.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// bagValue is a value of the whole bag.
type bagValue struct {
	clubs   book.Clubs // of which it is
	edition int
	set     *ast.SetValue // nil of a count
	at      []float64     // figures with which it is compared
}

// holding is the values of the bag in a part of a rule.
type holding struct {
	edition int
	values  []bagValue
	loose   bool // one of them is not a count that is compared with figures alone
}

// part gathers the values of the bag in a formula, named formulas, groups and charts included.
func (h *holding) part(p book.Part) { p.Visit(h.look, nil) }

// look notes a value of the bag that a formula is.
func (h *holding) look(p book.Part) bool {
	switch e := p.Expr.(type) {
	case *ast.Binary:
		if clubs, k, ok := countBeside(p); ok {
			h.count(clubs, []float64{k})
			return false
		}
	case *ast.CountOf:
		h.loose = true
		h.count(book.Clubs{Decl: e.Selector, Info: p.Info}, nil)
		return false
	case *ast.SetValue:
		h.loose = true
		h.set(p, e, nil)
		return false
	}
	return true
}

// count notes a count and the figures with which it is compared. What it counts may not rest on the bag in turn.
func (h *holding) count(clubs book.Clubs, at []float64) {
	h.note(bagValue{clubs: clubs, edition: h.edition, at: at})
}

// set notes another value of a set.
func (h *holding) set(p book.Part, e *ast.SetValue, at []float64) {
	h.note(bagValue{clubs: book.Clubs{Decl: e.Among, Info: p.Info}, edition: h.edition, set: e, at: at})
	p.In(e.Of).Visit(h.inner, nil)
}

// note takes down a value, once.
func (h *holding) note(v bagValue) {
	if !slices.ContainsFunc(h.values, func(o bagValue) bool { return o.clubs == v.clubs && slices.Equal(o.at, v.at) }) {
		h.values = append(h.values, v)
		v.clubs.Visit(h.inner, nil)
	}
}

// inner notes that a value of the bag rests on another.
func (h *holding) inner(p book.Part) bool {
	switch p.Expr.(type) {
	case *ast.CountOf, *ast.SetValue:
		h.loose = true
	}
	return !h.loose
}

// countBeside is what a count counts that a comparison holds against a figure, and the figure.
func countBeside(p book.Part) (clubs book.Clubs, figure float64, ok bool) {
	e, ok := p.Expr.(*ast.Binary)
	if !ok || !e.Op.IsComparison() {
		return clubs, 0, false
	}
	for _, side := range [][2]book.Part{{p.In(e.X), p.In(e.Y)}, {p.In(e.Y), p.In(e.X)}} {
		if clubs, ok := side[0].Counts(); ok && side[1].Constant() != nil {
			return clubs, side[1].Constant().Base, true
		}
	}
	return clubs, 0, false
}

// holdings is what the parts of a rule in one edition hold of the bag.
type holdings struct {
	scope, exceptions, limit holding
	set                      *bagValue // a value of a set that is held against figures; nil where none is
}

// holds takes a rule apart.
func holds(r *book.Rule, edition int) holdings {
	fresh := func() holding { return holding{edition: edition} }
	h := holdings{scope: fresh(), exceptions: fresh(), limit: fresh()}
	r.Among.Visit(h.scope.look, nil)
	h.scope.part(r.By)
	for _, x := range r.Unless {
		for _, p := range append([]book.Part{x.When}, x.Bound.Parts()...) {
			h.exceptions.part(p)
		}
	}
	for _, p := range r.Bound.Parts() {
		h.limit.part(p)
	}
	at, figures := figuresOf(r)
	value := r.Value.Behind()
	switch v := value.Expr.(type) {
	case *ast.CountOf:
		h.limit.loose = h.limit.loose || !figures
		h.limit.count(book.Clubs{Decl: v.Selector, Info: value.Info}, at)
	case *ast.SetValue:
		h.limit.loose = h.limit.loose || !figures || v.How == ast.Total // which may take any number of clubs
		h.limit.set(value, v, at)
		h.set = &h.limit.values[len(h.limit.values)-1]
	default:
		h.limit.part(r.Value)
	}
	return h
}

// figuresOf are the ends of all bounds of a rule; false where one is no figure.
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

// hold notes what the rule rests on in both editions, and whether a part that changed rests on what no bags stand for.
func (u *Comparison) hold() {
	var parts [2]holdings
	for i, s := range u.sides {
		if s.rule == nil {
			continue
		}
		parts[i] = holds(s.rule, i)
		for _, h := range []*holding{&parts[i].scope, &parts[i].exceptions, &parts[i].limit} {
			u.values = append(u.values, h.values...)
		}
	}
	a, b := &parts[0], &parts[1]
	both := u.rules.Old != nil && u.rules.New != nil
	apart := both && u.rules.Old.Subject != u.rules.New.Subject // no subject is of both
	loose := func(of func(*holdings) bool) bool { return of(a) || of(b) }
	for _, w := range u.parts {
		switch {
		case loose(func(h *holdings) bool { return h.scope.loose }):
			u.loose = true
		case apart:
		case w == Exception:
			u.loose = u.loose || loose(func(h *holdings) bool { return h.exceptions.loose || h.limit.loose })
		case w == Limit, w == Decides:
			u.loose = u.loose || loose(func(h *holdings) bool { return h.limit.loose }) || !u.oneValue(a.set, b.set)
		}
	}
}

// oneValue reports whether a value of a set is the same in both editions: taken alike, of the same, of the same clubs.
func (u *Comparison) oneValue(a, b *bagValue) bool {
	if a == nil || b == nil {
		return a == b
	}
	n := book.NewKeys(false)
	of := func(v *bagValue) string { return n.Part(book.Part{Expr: v.set.Of, Info: v.clubs.Info}) }
	switch {
	case a.set.How.Plain() != b.set.How.Plain() || of(a) != of(b):
		return false
	case n.Clubs(a.clubs) == n.Clubs(b.clubs):
		return true
	}
	return u.sameClubs(a.clubs, b.clubs)
}

// takes reports whether a value of the bag takes in a club.
func (u *Comparison) takes(v *bagValue, d *space.Draft, c *club.Club) value.Truth {
	s := u.sides[v.edition]
	d.LayInto(c, s.program.Schema)
	return s.probe.Takes(v.clubs.Decl, v.clubs.Info, c)
}

// counts and others are the values of the bag of either sort.
func (u *Comparison) counts() []bagValue {
	return slices.DeleteFunc(slices.Clone(u.values), func(v bagValue) bool { return v.set != nil })
}

func (u *Comparison) others() []bagValue {
	return slices.DeleteFunc(slices.Clone(u.values), func(v bagValue) bool { return v.set == nil })
}
