package eval

// This file says which clubs a selector takes, in Kleene's logic: a club whose
// number was not measured may or may not be an iron 5.

import (
	"ferrule/engine/club"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Selector is a selector with what makes most answers quick: the kinds that it
// can take at all, and whether nothing but the kind counts.
type Selector struct {
	decl  *ast.Selector
	info  *book.Info
	kinds uint16 // bit 1<<Kind: a club of the kind may be taken
	plain bool   // the kind alone decides
}

const allKinds uint16 = 1<<(catalogue.Chipper+1) - 2

func NewSelector(decl *ast.Selector, info *book.Info) *Selector {
	s := &Selector{decl: decl, info: info, plain: decl.Where == nil}
	var exact bool
	s.kinds, exact = kindsOf(decl.Items, info)
	s.plain = s.plain && exact
	if not, exact := kindsOf(decl.Except, info); exact {
		s.kinds &^= not
	} else {
		s.plain = false
	}
	return s
}

// selector is the selector of a value of the set, made ready.
func (x *Env) selector(decl *ast.Selector) *Selector {
	s := x.Bench.selectors[decl]
	if s == nil {
		s = NewSelector(decl, x.Info)
		x.Bench.selectors[decl] = s
	}
	return s
}

// kindsOf returns the kinds that a list can take, and whether it takes every club
// of those kinds.
func kindsOf(items []*ast.Item, info *book.Info) (kinds uint16, exact bool) {
	exact = true
	for _, item := range items {
		m := info.Items[item]
		switch {
		case m == nil: // a name that means nothing, in a book that is analysed for its sound rules
			exact = false
		case m.Any:
			kinds |= allKinds
		case m.Group != nil:
			g := m.Group.Decl.Selector
			k, all := kindsOf(g.Items, m.Group.Book.Info)
			kinds |= k
			exact = exact && all && g.Where == nil && len(g.Except) == 0
		default:
			kinds |= 1 << m.Kind
			exact = exact && !m.Numbered && !m.HasMark
		}
	}
	return kinds, exact
}

// Quick answers where the kind alone decides; Unknown where it does not.
func (s *Selector) Quick(c *club.Club) value.Truth {
	if c.Kind == catalogue.NoKind {
		return value.Unknown
	}
	if s.kinds&(1<<c.Kind) == 0 {
		return value.False
	}
	if s.plain {
		return value.True
	}
	return value.Unknown
}

// Picks reports whether a selector takes the club of x, and why that is not known.
func (x *Env) Picks(s *Selector) (value.Truth, []value.Lack) {
	if in := s.Quick(x.Club); in != value.Unknown {
		return in, nil
	}
	in := x.Takes(s.decl)
	return in.Truth, in.Lacks
}

// Takes reports whether the selector takes the club of x.
func (x *Env) Takes(s *ast.Selector) value.Value {
	in := x.listed(s.Items)
	if in.Truth == value.False {
		return in
	}
	if len(s.Except) > 0 {
		in = value.And(in, value.Not(x.listed(s.Except)))
	}
	if s.Where != nil && in.Truth != value.False {
		in = value.And(in, x.Condition(s.Where))
	}
	return in
}

func (x *Env) listed(items []*ast.Item) value.Value {
	v := value.TruthOf(false)
	for _, item := range items {
		v = value.Or(v, x.isItem(item))
		if v.Truth == value.True {
			break
		}
	}
	return v
}

func (x *Env) isItem(item *ast.Item) value.Value {
	m := x.Info.Items[item]
	if m.Group != nil {
		return x.isGroup(m.Group)
	}
	return x.isClub(m)
}

func (x *Env) isGroup(g *book.Group) value.Value {
	y := *x
	y.Info, y.Steps = g.Book.Info, nil
	return y.Takes(g.Decl.Selector)
}

// isClub reports whether the club of x is the one that a list's member names.
func (x *Env) isClub(m *book.ItemInfo) value.Value {
	c := x.holding(catalogue.Property{ID: catalogue.KindID}).Club
	switch {
	case m.Any:
		return value.TruthOf(true)
	case c.Kind == catalogue.NoKind:
		return value.UnknownOf([]value.Lack{{Kind: value.NoKind, Property: "kind"}})
	case c.Kind != m.Kind:
		return value.TruthOf(false)
	case m.Numbered:
		n, ok := x.holding(catalogue.Property{ID: catalogue.Number}).Club.Amount(catalogue.Number)
		if !ok {
			return value.UnknownOf([]value.Lack{lackNumber(c)})
		}
		return value.TruthOf(n >= m.From && n <= m.To)
	case m.HasMark:
		mark, ok := x.holding(catalogue.Property{ID: catalogue.Mark}).Club.Text(catalogue.Mark)
		if !ok {
			return value.UnknownOf([]value.Lack{{Kind: value.NoReading, Property: "mark", Club: c.Called()}})
		}
		return value.TruthOf(catalogue.Same(mark, m.Mark))
	}
	return value.TruthOf(true)
}

func lackNumber(c *club.Club) value.Lack {
	return value.Lack{Kind: value.NoReading, Property: "number", Club: c.Called()}
}
