package book

// This file holds formulas and lists of clubs with the facts by which they are read, and the one walk over all that
// they speak of.

import (
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Part is a formula with the facts by which it is read. The zero value is not a formula.
type Part struct {
	Expr ast.Expr
	Info *Info
}

// Clubs says which clubs are meant, with the facts by which it is read. The zero value takes no selector.
type Clubs struct {
	Decl *ast.Selector
	Info *Info
}

// In returns a formula inside the part.
func (p Part) In(e ast.Expr) Part { return Part{e, p.Info} }

// Constant returns the value of a formula that needs no club; nil for any other.
func (p Part) Constant() *Constant {
	if p.Expr == nil {
		return nil
	}
	return p.Info.Constants[p.Expr]
}

// unit is that of a formula that needs no club; nil for any other.
func (p Part) unit() *unit.Unit {
	if k := p.Constant(); k != nil {
		return k.Unit
	}
	return nil
}

// Type returns what the formula gives.
func (p Part) Type() Type {
	if p.Expr == nil {
		return Type{}
	}
	return p.Info.Types[p.Expr]
}

// Ref returns what a formula means that is nothing but a name; nil for any other.
func (p Part) Ref() *RefInfo {
	ref, ok := ast.Unparen(p.Expr).(*ast.Ref)
	if !ok {
		return nil
	}
	return p.Info.Refs[ref]
}

// Chooses reports whether a formula is the name of a group or a chart: what is inside it is not read, it only chooses.
func (p Part) Chooses() bool {
	r := p.Ref()
	return r != nil && (r.Kind == RefGroup || r.Kind == RefChart)
}

// Behind returns the formula without the parentheses and the names of lets around it.
func (p Part) Behind() Part {
	for {
		p.Expr = ast.Unparen(p.Expr)
		r := p.Ref()
		if r == nil || r.Kind != RefLet {
			return p
		}
		p = r.Let.Part()
	}
}

// Counts returns the clubs that a formula counts; false for one that is not a count and nothing else.
func (p Part) Counts() (Clubs, bool) {
	p = p.Behind()
	c, ok := p.Expr.(*ast.CountOf)
	if !ok {
		return Clubs{}, false
	}
	return Clubs{c.Selector, p.Info}, true
}

// Part returns the formula of the let, as it is written.
func (l *Let) Part() Part { return Part{l.Decl.Value, l.Book.Info} }

// Clubs returns the clubs of the group.
func (g *Group) Clubs() Clubs { return Clubs{g.Decl.Selector, g.Book.Info} }

// Form is a value that is one measured property of clubs, so that a change of a club's property shows at once what
// becomes of the value. It is the property itself, a step of it between neighbours, or its spread, highest or lowest in
// a set.
type Form struct {
	Property catalogue.Property
	Method   *Method       // of a length by a method; else nil
	Step     *ast.Step     // nil for no step
	Set      *ast.SetValue // nil for no value of a set
	Info     *Info         // of the formula that holds it
}

// Form returns the form of a formula, named ones in it looked through; false for any other formula, a mean and a total
// among them.
func (p Part) Form() (Form, bool) {
	var f Form
	ok := false
	switch e := ast.Unparen(p.Expr).(type) {
	case *ast.Ref:
		r := p.Info.Refs[e]
		switch {
		case r == nil || e.Pos != ast.Here:
		case r.Kind == RefLet:
			return r.Let.Part().Form()
		case r.Kind == RefProperty && !e.Ordered && r.Property.Sort.Numeric() && r.Property.ID != catalogue.Number:
			return Form{Property: r.Property, Method: r.Method, Info: p.Info}, true
		}
		return Form{}, false
	case *ast.Step:
		f, ok = p.In(e.Of).Form()
		ok = ok && f.Step == nil && f.Set == nil
		f.Step = e
	case *ast.SetValue:
		f, ok = p.In(e.Of).Form()
		ok = ok && f.Step == nil && f.Set == nil && e.How != ast.Mean && e.How != ast.Total
		f.Set = e
	}
	f.Info = p.Info
	return f, ok
}

// Visit calls formula for the formula itself and for each one inside it, in the order of the source; where it is false,
// not for those inside that one. It follows names: to the formula of a let, and to the lists and conditions of a group
// and of the rows of a chart, each once. Item, which may be nil, is called for each member of a list.
func (p Part) Visit(formula func(Part) bool, item func(*ItemInfo)) {
	(&visitor{formula, item, map[any]bool{}}).part(p)
}

// Visit calls formula and item as Part.Visit does for all that says which clubs are meant.
func (c Clubs) Visit(formula func(Part) bool, item func(*ItemInfo)) {
	(&visitor{formula, item, map[any]bool{}}).clubs(c)
}

// visitor walks over all that formulas and lists speak of.
type visitor struct {
	formula func(Part) bool
	item    func(*ItemInfo)
	seen    map[any]bool // lets, groups, charts
}

func (v *visitor) part(p Part) {
	ast.Walk(p.Expr, func(e ast.Expr) bool {
		if !v.formula(p.In(e)) {
			return false
		}
		switch e := e.(type) {
		case *ast.Ref:
			v.ref(p.Info.Refs[e])
		case *ast.ItemRef:
			v.items(p.Info, []*ast.Item{e.Item})
		case *ast.CountOf:
			v.items(p.Info, e.Selector.Items)
			v.items(p.Info, e.Selector.Except)
		case *ast.SetValue:
			v.items(p.Info, e.Among.Items)
			v.items(p.Info, e.Among.Except)
		}
		return true
	})
}

func (v *visitor) clubs(c Clubs) {
	if c.Decl != nil {
		v.items(c.Info, c.Decl.Items)
		v.items(c.Info, c.Decl.Except)
		v.part(Part{c.Decl.Where, c.Info})
	}
}

func (v *visitor) items(info *Info, items []*ast.Item) {
	for _, i := range items {
		m := info.Items[i]
		if m == nil {
			continue
		}
		if v.item != nil {
			v.item(m)
		}
		v.group(m.Group)
	}
}

func (v *visitor) group(g *Group) {
	if g != nil && !v.seen[g] {
		v.seen[g] = true
		v.clubs(g.Clubs())
	}
}

func (v *visitor) ref(r *RefInfo) {
	switch {
	case r == nil:
	case r.Kind == RefLet && !v.seen[r.Let]:
		v.seen[r.Let] = true
		v.part(r.Let.Part())
	case r.Kind == RefGroup:
		v.group(r.Group)
	case r.Kind == RefChart && !v.seen[r.Chart]:
		v.seen[r.Chart] = true
		for _, row := range r.Chart.Decl.Rows {
			v.items(r.Chart.Book.Info, row.Items)
			v.part(Part{row.Where, r.Chart.Book.Info})
		}
	}
}
