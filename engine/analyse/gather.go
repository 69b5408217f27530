package analyse

// This file gathers what clubs can differ in as far as some rules care: kinds, numbers and marks,
// properties, and for each the values at which something may turn.

import (
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// axis is a property in which clubs differ.
type axis struct {
	prop   catalogue.Property
	unit   *unit.Unit // in which a quantity is written
	turns  []float64  // values of a quantity or a day at which something turns
	texts  []string   // texts that it is compared with
	absent bool       // it is asked whether it is there at all
	free   bool       // it stands in what a rule requires: a bench could change it so that the rule is met
}

// link is a comparison of two properties: it turns where the sum is 0.
type link struct{ sum sum }

// space is what clubs can differ in for a question about some rules, selectors or conditions.
type space struct {
	kinds   map[catalogue.Kind]bool
	numbers map[int]bool // at which something turns, whatever the kind
	ranges  map[catalogue.Kind]map[int]bool
	marks   map[catalogue.Kind][]string // catalogue.NoKind: of whatever kind
	axes    []*axis
	links   []link
	methods []*book.Method // by which lengths are asked for

	numberAbsent, markAbsent bool // it is asked whether there is one

	inexact bool // something turns where nobody can tell: a question that was not answered is open
	bags    bool // a formula holds a value of the whole bag
	repeats bool // a formula asks for the single readings

	seen map[any]bool
	pos  ast.Position // of the pair whose formulas are gathered
}

func newSpace() *space {
	return &space{kinds: map[catalogue.Kind]bool{}, numbers: map[int]bool{}, ranges: map[catalogue.Kind]map[int]bool{},
		marks: map[catalogue.Kind][]string{}, seen: map[any]bool{}}
}

// whole tells whether what is not found in the space is not there.
func (s *space) whole() bool { return !s.inexact && !s.bags && !s.repeats }

// rule gathers all that a rule speaks of.
func (s *space) rule(r *book.Rule) {
	s.clubs(r.Among)
	s.part(r.By, false)
	s.part(r.Value, true)
	s.bound(r.Bound, r.Value)
	for _, u := range r.Unless {
		s.part(u.When, false)
		s.bound(u.Bound, r.Value)
	}
	if r.Unit != nil {
		for _, a := range s.axes {
			if a.free && a.unit != r.Unit && r.Unit.Dim == a.prop.Sort.Dim() && a.prop.Sort.Numeric() {
				a.unit = r.Unit
			}
		}
	}
}

func (s *space) part(p book.Part, required bool) { s.formula(p.Expr, p.Info, required) }

func (s *space) clubs(c book.Clubs) {
	if c.Decl != nil {
		s.selector(c.Decl, c.Info)
	}
}

func (s *space) selector(sel *ast.Selector, info *book.Info) {
	s.items(sel.Items, info)
	s.items(sel.Except, info)
	if sel.Where != nil {
		s.formula(sel.Where, info, false)
	}
}

func (s *space) items(items []*ast.Item, info *book.Info) {
	for _, item := range items {
		s.item(info.Items[item])
	}
}

func (s *space) item(m *book.ItemInfo) {
	switch {
	case m == nil || m.Any:
		return
	case m.Group != nil:
		s.group(m.Group)
		return
	}
	s.kinds[m.Kind] = true
	if m.Numbered {
		if s.ranges[m.Kind] == nil {
			s.ranges[m.Kind] = map[int]bool{}
		}
		s.ranges[m.Kind][int(m.From)], s.ranges[m.Kind][int(m.To)] = true, true
	}
	if m.HasMark {
		s.mark(m.Kind, m.Mark)
	}
}

func (s *space) mark(k catalogue.Kind, mark string) {
	if mark = strings.ToUpper(strings.TrimSpace(mark)); mark != "" && !has(s.marks[k], mark) {
		s.marks[k] = append(s.marks[k], mark)
	}
}

// has reports whether a text is among some.
func has(texts []string, one string) bool {
	return slices.ContainsFunc(texts, func(t string) bool { return catalogue.Same(t, one) })
}

func (s *space) group(g *book.Group) {
	if !s.seen[g] {
		s.seen[g] = true
		s.selector(g.Decl.Selector, g.Book.Info)
	}
}

// axis is that of a property; nil for one that has none of its own.
func (s *space) axis(p catalogue.Property) *axis {
	switch p.ID {
	case catalogue.KindID, catalogue.Mark, catalogue.Number:
		return nil
	}
	for _, a := range s.axes {
		if a.prop.Name == p.Name {
			return a
		}
	}
	a := &axis{prop: p}
	if p.Sort.Numeric() {
		a.unit = unit.Base(p.Sort.Dim())
	}
	s.axes = append(s.axes, a)
	return a
}

// divided are the properties of a space but for the one that is moved last, which may be nil: those that decide whether and
// how a rule applies, those that it requires something of, and all in the order in which they are chosen.
func (s *space) divided(pivot *axis) (scope, free, order []*axis) {
	for _, x := range s.axes {
		switch {
		case x == pivot:
		case x.free:
			free = append(free, x)
		default:
			scope = append(scope, x)
		}
	}
	order = slices.Concat(scope, free)
	if pivot != nil {
		order = append(order, pivot)
	}
	return scope, free, order
}

// bound gathers where a value meets the ends of a bound.
func (s *space) bound(b *book.Bound, value book.Part) {
	if b == nil {
		return
	}
	for _, p := range b.Parts() {
		s.part(p, true)
	}
	x, ok := s.sums(value.Expr, value.Info, s.pos)
	y, ok2 := s.ends(b, s.pos)
	if !ok || !ok2 || len(x)*len(y) > mostSums {
		s.inexact = true
		return
	}
	s.turn(x, y)
}

// formula gathers what a formula speaks of; required tells that a rule requires it.
func (s *space) formula(e ast.Expr, info *book.Info, required bool) {
	ast.Walk(e, func(n ast.Expr) bool {
		switch n := n.(type) {
		case *ast.Ref:
			s.ref(n, info, required)
		case *ast.Has:
			s.has(n.Of, info, required)
			return false
		case *ast.If: // which branch counts is not required of anybody
			s.formula(n.Cond, info, false)
			s.formula(n.Then, info, required)
			s.formula(n.Else, info, required)
			return false
		case *ast.ItemRef:
			s.item(info.Items[n.Item])
		case *ast.CountOf:
			s.bags = true
			s.selector(n.Selector, info)
			return false
		case *ast.SetValue:
			s.bags = true
			s.formula(n.Of, info, required)
			s.selector(n.Among, info)
			return false
		case *ast.ReadingsValue, *ast.ShareOfReadings, *ast.CountReadings:
			s.repeats = true
		case *ast.Call:
			for i, a := range n.Args {
				for _, b := range n.Args[:i] {
					s.compare(a, b, info)
				}
				if n.Func.Text == "abs" {
					s.compare(a, nil, info)
				}
			}
		case *ast.Binary:
			if n.Op.IsComparison() {
				s.compare(n.X, n.Y, info)
			}
		}
		return true
	})
}

func (s *space) ref(n *ast.Ref, info *book.Info, required bool) {
	ref := info.Refs[n]
	if ref == nil {
		return
	}
	switch ref.Kind {
	case book.RefProperty:
		p := ref.Property
		if p.ID == catalogue.Number && required {
			for k := 1; k <= 12; k++ {
				s.numbers[k] = true
			}
		}
		a := s.axis(p)
		if a == nil {
			return
		}
		a.free = a.free || required
		if ref.Method != nil {
			s.method(ref.Method)
		}
	case book.RefLet:
		s.formula(ref.Let.Decl.Value, ref.Let.Book.Info, required)
	case book.RefChart:
		s.chart(ref.Chart)
	case book.RefGroup:
		s.group(ref.Group)
	case book.RefKindWord:
		s.kinds[ref.Club] = true
	}
}

func (s *space) chart(h *book.Chart) {
	if s.seen[h] {
		return
	}
	s.seen[h] = true
	for _, row := range h.Decl.Rows {
		s.items(row.Items, h.Book.Info)
		if row.Where != nil {
			s.formula(row.Where, h.Book.Info, false)
		}
	}
}

// method notes a method by which a length is asked for, and what its readings and conversions may
// depend on: which clubs it covers, heads and allowances.
func (s *space) method(m *book.Method) {
	if slices.Contains(s.methods, m) {
		return
	}
	s.methods = append(s.methods, m)
	if m.Decl.Covers != nil {
		s.selector(m.Decl.Covers.Selector, m.Book.Info)
	}
}

// tools gathers which clubs have another head or allowance than others, where lengths are converted or
// it counts how sure they are.
func (s *space) tools(p *engine.Program) {
	s.axis(p.Schema.Property(catalogue.Lie))
	for _, b := range book.Reach(p.Books) {
		for _, h := range b.Heads {
			s.items(h.Decl.Items, b.Info)
			if h.Decl.Where != nil {
				s.formula(h.Decl.Where, b.Info, false)
			}
		}
		for _, a := range b.Allowances {
			if a.Decl.Where != nil {
				s.formula(a.Decl.Where, b.Info, false)
			}
		}
	}
}

func (s *space) has(n *ast.Ref, info *book.Info, required bool) {
	ref := info.Refs[n]
	if ref == nil || ref.Kind != book.RefProperty {
		return
	}
	switch ref.Property.ID {
	case catalogue.Number:
		s.numberAbsent = true
	case catalogue.Mark:
		s.markAbsent = true
	default:
		if a := s.axis(ref.Property); a != nil {
			a.absent = true
			a.free = a.free || required
		}
	}
}

// compare gathers where two formulas are equal; a nil one is 0.
func (s *space) compare(x, y ast.Expr, info *book.Info) {
	if s.words(x, y, info) || s.words(y, x, info) {
		return
	}
	a, ok := s.sums(x, info, s.pos)
	b, ok2 := []sum{{}}, true
	if y != nil {
		b, ok2 = s.sums(y, info, s.pos)
	}
	if !ok || !ok2 || len(a)*len(b) > mostSums {
		s.inexact = true
		return
	}
	s.turn(a, b)
}

// words gathers what a property that is no quantity is compared with; false where x is none.
func (s *space) words(x, y ast.Expr, info *book.Info) bool {
	ref, ok := ast.Unparen(x).(*ast.Ref)
	if !ok || info.Refs[ref] == nil {
		return false
	}
	r := info.Refs[ref]
	if r.Kind == book.RefLet && info.Types[x].Kind != book.Number && info.Types[x].Kind != book.DayType {
		s.inexact = true
		return true
	}
	if r.Kind != book.RefProperty {
		return false
	}
	switch p := r.Property; {
	case p.ID == catalogue.KindID:
		return true // what stands on the other side is gathered by itself
	case p.ID == catalogue.Hand:
		s.axis(p).texts = []string{"left", "right"}
		return true
	case p.Sort == catalogue.YesNo:
		return true
	case p.Sort == catalogue.Text:
		lit, ok := ast.Unparen(y).(*ast.TextLit)
		switch {
		case !ok:
			s.inexact = true
		case p.ID == catalogue.Mark:
			s.mark(catalogue.NoKind, lit.Value)
		default:
			if a := s.axis(p); !has(a.texts, lit.Value) {
				a.texts = append(a.texts, lit.Value)
			}
		}
		return true
	}
	return false
}

// turn notes where the sums of two sides are equal.
func (s *space) turn(a, b []sum) {
	for _, x := range a {
		for _, y := range b {
			d := x.plus(y, -1)
			switch len(d.terms) {
			case 0:
			case 1:
				s.turnsAt(d.terms[0].prop, -d.fixed/d.terms[0].factor)
			case 2:
				if d.terms[0].prop.ID == catalogue.Number || d.terms[1].prop.ID == catalogue.Number {
					s.inexact = true
				}
				s.links = append(s.links, link{d})
			default:
				s.inexact = true
			}
		}
	}
}

func (s *space) turnsAt(p catalogue.Property, v float64) {
	if p.ID == catalogue.Number {
		if math.Abs(v) <= catalogue.HighestNumber {
			s.numbers[int(math.Floor(v))], s.numbers[int(math.Ceil(v))] = true, true
		}
		return
	}
	if a := s.axis(p); a != nil {
		a.turns = append(a.turns, v)
	}
}
