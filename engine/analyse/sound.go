package analyse

// This file keeps the sound rules of a book with mistakes, so that they are analysed all the same.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// Sound returns a book without the rules that have a mistake, or need something that has one. The mistakes
// are those of the book and of all that it uses; a book without errors is returned as it is.
func Sound(b *book.Book, mistakes diag.List) *book.Book {
	if !mistakes.HasErrors() {
		return b
	}
	return (&sieve{mistakes: mistakes, known: map[any]bool{}}).book(b)
}

// sieve tells the sound from the faulty.
type sieve struct {
	mistakes diag.List
	known    map[any]bool // of groups, charts and lets: whether they are sound
}

func (s *sieve) book(b *book.Book) *book.Book {
	out := *b
	faulty := func(r *book.Rule) bool { return !s.rule(r) }
	out.Rules = slices.DeleteFunc(slices.Clone(b.Rules), faulty)
	out.Uses = slices.Clone(b.Uses)
	for i, u := range out.Uses {
		out.Uses[i].Rules = slices.DeleteFunc(slices.Clone(u.Rules), faulty)
	}
	return &out
}

// blamed tells whether an error stands in a part of a book.
func (s *sieve) blamed(part source.Span) bool {
	return slices.ContainsFunc(s.mistakes, func(d diag.Diagnostic) bool {
		return d.Severity == diag.Error && d.Span.File == part.File && part.File != nil && d.Span.Start >= part.Start && d.Span.Start < part.End
	})
}

func (s *sieve) rule(r *book.Rule) bool {
	d, info := r.Decl, r.Book.Info
	if d.Broken || d.For == nil || d.Require == nil || s.blamed(d.Span) {
		return false
	}
	sound := s.selector(d.For.Selector, info) && s.formula(r.Value.Expr, info) && s.formula(r.By.Expr, info)
	for _, u := range r.Unless {
		sound = sound && s.formula(u.When.Expr, info)
	}
	for _, b := range r.Bounds() {
		sound = sound && !slices.ContainsFunc(b.Parts(), func(p book.Part) bool { return !s.formula(p.Expr, info) })
	}
	return sound
}

func (s *sieve) selector(sel *ast.Selector, info *book.Info) bool {
	return sel == nil || s.items(sel.Items, info) && s.items(sel.Except, info) && (sel.Where == nil || s.formula(sel.Where, info))
}

func (s *sieve) items(items []*ast.Item, info *book.Info) bool {
	for _, item := range items {
		m := info.Items[item]
		nothing := m == nil || !m.Any && m.Group == nil && m.Kind == catalogue.NoKind // the name has a mistake of its own
		if nothing || m.Group != nil && !s.group(m.Group) {
			return false
		}
	}
	return true
}

func (s *sieve) group(g *book.Group) bool {
	return s.once(g, g.Decl.Span, func() bool { return !g.Decl.Broken && s.selector(g.Decl.Selector, g.Book.Info) })
}

// once answers for a declaration, and remembers it.
func (s *sieve) once(decl any, at source.Span, ask func() bool) bool {
	if sound, ok := s.known[decl]; ok {
		return sound
	}
	s.known[decl] = false // a ring is not sound
	s.known[decl] = !s.blamed(at) && ask()
	return s.known[decl]
}

func (s *sieve) formula(e ast.Expr, info *book.Info) bool {
	sound := true
	ast.Walk(e, func(n ast.Expr) bool {
		switch n := n.(type) {
		case *ast.Ref:
			sound = sound && s.ref(info.Refs[n])
		case *ast.ItemRef:
			sound = sound && s.items([]*ast.Item{n.Item}, info)
		case *ast.CountOf:
			sound = sound && s.selector(n.Selector, info)
		case *ast.SetValue:
			sound = sound && s.selector(n.Among, info)
		}
		return sound
	})
	return sound
}

func (s *sieve) ref(r *book.RefInfo) bool {
	if r == nil {
		return false
	}
	switch r.Kind {
	case book.Unresolved:
		return false
	case book.RefGroup:
		return s.group(r.Group)
	case book.RefLet:
		return s.once(r.Let, r.Let.Decl.Span, func() bool { return s.formula(r.Let.Decl.Value, r.Let.Book.Info) })
	case book.RefChart:
		return s.once(r.Chart, r.Chart.Decl.Span, func() bool {
			for _, row := range r.Chart.Decl.Rows {
				if !s.items(row.Items, r.Chart.Book.Info) || row.Where != nil && !s.formula(row.Where, r.Chart.Book.Info) {
					return false
				}
			}
			return len(r.Chart.Values) == len(r.Chart.Decl.Rows)
		})
	}
	return true
}
