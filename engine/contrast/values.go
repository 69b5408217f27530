package contrast

// This file tells which values of the whole bag the two editions of a rule rest on, in which part of it they stand, and
// whether bags can be laid out that stand for all. They can where counts are compared with figures alone, and where a
// rule holds one and the same value of a set against figures in both editions; fill.go lays them out. Everything else
// is searched as well as it can be, but a search that finds nothing has then told nothing.

import (
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// bagValue is a value of the whole bag.
type bagValue struct {
	selector *ast.Selector
	info     *book.Info
	edition  int
	set      *ast.SetValue // nil of a count
	at       []float64     // figures with which it is compared
}

// holding is the values of the bag in a part of a rule.
type holding struct {
	edition int
	values  []bagValue
	loose   bool // one of them is not a count that is compared with figures alone
	seen    map[any]bool
}

// formula gathers the values of the bag in a formula, named formulas, groups and charts included.
func (h *holding) formula(e ast.Expr, info *book.Info) {
	ast.Walk(e, func(e ast.Expr) bool {
		switch e := e.(type) {
		case *ast.Ref:
			h.ref(info.Refs[e])
		case *ast.ItemRef:
			h.items([]*ast.Item{e.Item}, info)
		case *ast.Binary:
			if v, k, ok := countBeside(e, info); ok {
				h.count(v, []float64{k})
				return false
			}
		case *ast.CountOf:
			h.loose = true
			h.count(bagValue{selector: e.Selector, info: info}, nil)
			return false
		case *ast.SetValue:
			h.loose = true
			h.set(e, info, nil)
			return false
		}
		return true
	})
}

// count notes a count and the figures with which it is compared. What it counts may not rest on the bag in turn.
func (h *holding) count(v bagValue, at []float64) {
	v.edition, v.at = h.edition, at
	h.values = append(h.values, v)
	h.within(v.selector, v.info)
}

// set notes another value of a set.
func (h *holding) set(e *ast.SetValue, info *book.Info, at []float64) {
	h.values = append(h.values, bagValue{selector: e.Among, info: info, edition: h.edition, set: e, at: at})
	h.within(e.Among, info)
	inner := holding{seen: map[any]bool{}}
	inner.formula(e.Of, info)
	h.loose = h.loose || len(inner.values) > 0
}

// within looks for values of the bag in what chooses the clubs of one.
func (h *holding) within(s *ast.Selector, info *book.Info) {
	inner := holding{seen: map[any]bool{}}
	inner.selector(s, info)
	h.loose = h.loose || len(inner.values) > 0
}

func (h *holding) ref(r *book.RefInfo) {
	if r == nil {
		return
	}
	switch r.Kind {
	case book.RefLet:
		if !h.seen[r.Let] {
			h.seen[r.Let] = true
			h.formula(r.Let.Decl.Value, r.Let.Book.Info)
		}
	case book.RefGroup:
		h.group(r.Group)
	case book.RefChart:
		if !h.seen[r.Chart] {
			h.seen[r.Chart] = true
			for _, row := range r.Chart.Decl.Rows {
				h.items(row.Items, r.Chart.Book.Info)
				h.formula(row.Where, r.Chart.Book.Info)
			}
		}
	}
}

func (h *holding) group(g *book.Group) {
	if g != nil && !h.seen[g] {
		h.seen[g] = true
		h.selector(g.Decl.Selector, g.Book.Info)
	}
}

func (h *holding) items(items []*ast.Item, info *book.Info) {
	for _, item := range items {
		if m := info.Items[item]; m != nil {
			h.group(m.Group)
		}
	}
}

func (h *holding) selector(s *ast.Selector, info *book.Info) {
	if s == nil {
		return
	}
	h.items(s.Items, info)
	h.items(s.Except, info)
	h.formula(s.Where, info)
}

// bound gathers the values of the bag in a bound.
func (h *holding) bound(b *book.Bound) {
	for _, p := range b.Parts() {
		h.formula(p.Expr, p.Info)
	}
}

// behind is a formula without parentheses and names before it.
func behind(e ast.Expr, info *book.Info) (ast.Expr, *book.Info) {
	p := book.Part{Expr: e, Info: info}.Behind()
	return p.Expr, p.Info
}

// countBeside is a count that a comparison holds against a figure, and the figure.
func countBeside(e *ast.Binary, info *book.Info) (bagValue, float64, bool) {
	if !e.Op.IsComparison() {
		return bagValue{}, 0, false
	}
	for _, side := range [][2]ast.Expr{{e.X, e.Y}, {e.Y, e.X}} {
		x, in := behind(side[0], info)
		if n, ok := x.(*ast.CountOf); ok && info.Constants[side[1]] != nil {
			return bagValue{selector: n.Selector, info: in}, info.Constants[side[1]].Base, true
		}
	}
	return bagValue{}, 0, false
}

// holdings is what the parts of a rule in one edition hold of the bag.
type holdings struct {
	scope, exceptions, limit holding
	set                      *bagValue // a value of a set that is held against figures; nil where none is
}

// holds takes a rule apart.
func holds(r *book.Rule, edition int) holdings {
	fresh := func() holding { return holding{edition: edition, seen: map[any]bool{}} }
	h := holdings{scope: fresh(), exceptions: fresh(), limit: fresh()}
	h.scope.selector(r.Among.Decl, r.Among.Info)
	h.scope.formula(r.By.Expr, r.By.Info)
	for _, x := range r.Unless {
		h.exceptions.formula(x.When.Expr, x.When.Info)
		h.exceptions.bound(x.Bound)
	}
	h.limit.bound(r.Bound)
	at, figures := figuresOf(r)
	value := r.Value.Behind()
	switch v := value.Expr.(type) {
	case *ast.CountOf:
		h.limit.loose = h.limit.loose || !figures
		h.limit.count(bagValue{selector: v.Selector, info: value.Info}, at)
	case *ast.SetValue:
		h.limit.loose = h.limit.loose || !figures || v.How == ast.Total // which may take any number of clubs
		h.limit.set(v, value.Info, at)
		h.set = &h.limit.values[len(h.limit.values)-1]
	default:
		h.limit.formula(r.Value.Expr, r.Value.Info)
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
	apart := u.rules.Old != nil && u.rules.New != nil && u.rules.Old.Decl.For.Kind != u.rules.New.Decl.For.Kind // no subject is of both
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

// oneValue tells whether a value of a set is the same in both editions: taken alike, of the same, of the same clubs.
func (u *Comparison) oneValue(a, b *bagValue) bool {
	if a == nil || b == nil {
		return a == b
	}
	n := book.NewKeys(false)
	of := func(v *bagValue) string { return n.Part(book.Part{Expr: v.set.Of, Info: v.info}) }
	clubs := func(v *bagValue) string { return n.Clubs(book.Clubs{Decl: v.selector, Info: v.info}) }
	switch {
	case a.set.How.Plain() != b.set.How.Plain() || of(a) != of(b):
		return false
	case clubs(a) == clubs(b):
		return true
	}
	return u.sameClubs(a.selector, a.info, b.selector, b.info)
}

// takes tells whether a value of the bag takes in a club.
func (u *Comparison) takes(v *bagValue, d *space.Draft, c *club.Club) engine.Truth {
	s := u.sides[v.edition]
	d.LayInto(c, s.program.Schema)
	return s.probe.Takes(v.selector, v.info, c)
}

// counts and others are the values of the bag of either sort.
func (u *Comparison) counts() []bagValue {
	return slices.DeleteFunc(slices.Clone(u.values), func(v bagValue) bool { return v.set != nil })
}

func (u *Comparison) others() []bagValue {
	return slices.DeleteFunc(slices.Clone(u.values), func(v bagValue) bool { return v.set == nil })
}
