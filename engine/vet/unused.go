package vet

// This file looks for what is in a book to no purpose: names that nothing needs, groups and methods that take no club,
// uses that bring nothing in, mends with a gap. It also looks for rules without a cite beside others that have one.

import (
	"slices"
	"strings"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/source"
)

func (a *analyst) idleness() {
	for _, g := range a.book.Groups {
		if a.empty(g.Decl.Selector) {
			a.find(EmptyGroup, g.Decl.Span, nil, "a list and a condition that some club meets",
				"the group %s is empty: no club is in its list and meets its condition", g.Decl.Name.Text)
		}
	}
	for _, m := range a.book.Methods {
		if a.empty(m.Decl.Covers.Selector) {
			a.find(NeverMeasured, m.Decl.Covers.Span, nil, "a list and a condition that some club meets",
				"the method %s covers no club, so it measures nothing", m.Decl.Name.Text)
		}
	}
	for _, u := range a.book.Uses {
		if len(u.Rules) == 0 && len(u.Book.Rules) > 0 && !u.Faulty {
			a.find(EmptyUse, u.Decl.Span, nil, "an only that names some rule, or a without that leaves one",
				"this use lets no rule of %s through", u.Book.Name)
		}
	}
	cited := slices.ContainsFunc(a.book.Rules, func(r *book.Rule) bool { return len(r.Decl.Cites) > 0 })
	for _, r := range a.book.Rules {
		if !a.Pay(5) {
			return
		}
		if cited && len(r.Decl.Cites) == 0 {
			a.find(MissingCite, r.Decl.Name.Span, nil, "a cite",
				"%s does not say where its figures come from, as other rules of the book do", r.Decl.Name.Text)
		}
		a.unmeasurable(r)
		a.mend(r)
	}
}

// empty reports whether a selector surely takes no club.
func (a *analyst) empty(sel *ast.Selector) bool {
	s := space.NewSpace()
	s.Clubs(book.Clubs{Decl: sel, Info: a.book.Info})
	w := a.Walk(s, s.Axes)
	for d := range w.All() {
		if a.Probe.Takes(sel, a.book.Info, d.Club(a.Program.Schema)) == value.True {
			return false
		}
	}
	return !w.Cut && s.Whole()
}

// unmeasurable looks for a rule that asks for lengths by a method that covers none of the clubs that count.
func (a *analyst) unmeasurable(r *book.Rule) {
	s, among := space.NewSpace(), r.Among
	if v := r.Value.Behind(); r.Subject == ast.OfSet {
		e, ok := v.Expr.(*ast.SetValue)
		if !ok {
			return
		}
		among = book.Clubs{Decl: e.Among, Info: v.Info}
	}
	s.Clubs(among)
	if s.Part(r.Value, true); len(s.Methods) == 0 && r.Subject == ast.OfClub {
		s.Rule(r)
	}
	if len(s.Methods) == 0 {
		return
	}
	for _, d := range s.Shapes() {
		c := d.Club(a.Program.Schema)
		covers := func(m *book.Method) bool { return a.Program.Covers(m.Decl.Name.Text, c) == nil }
		if a.MayBe(among, d) && slices.ContainsFunc(s.Methods, covers) {
			return
		}
	}
	side, m := a.Side(r), s.Methods[0].Decl
	a.Tour(space.TourOptions{Scope: true}, side).Each(func(b space.Bag) bool {
		for _, said := range side.Look(b) {
			if said.Result == nil || said.Of == ast.OfNeighbours && len(said.Clubs) != 2 {
				continue
			}
			if w := a.shows(r, b, decide.Unmeasured); w != nil {
				w.About(said.Of, said.Clubs)
				a.find(NeverMeasured, r.Decl.Require.Span, w, "a method that covers them",
					"%s can never be measured: the method %s covers none of the clubs that it is about",
					r.Decl.Name.Text, m.Name.Text).see(m.Covers.Span, "what "+m.Name.Text+" covers")
				return false
			}
		}
		return true
	})
}

// mend looks for words in braces that never have a value under a rule's bounds.
func (a *analyst) mend(r *book.Rule) {
	upper, lower, bounded := false, false, false
	for _, b := range r.Bounds() {
		bounded, upper, lower = true, upper || b.High != nil, lower || b.Low != nil
	}
	for _, m := range r.Decl.Mends {
		a.unfilled(r, m, bounded, upper && m.Side != ast.Under, lower && m.Side != ast.Over)
	}
}

// unfilled looks for words in braces of a mend that never have a value, where values may be too large, or too small; a
// mend for one side for which they cannot is never given.
func (a *analyst) unfilled(r *book.Rule, m *ast.Mend, bounded, upper, lower bool) {
	const noBound = "it has no bound"
	const notOver, notUnder = "nothing can be too large for it", "nothing can be too small for it"
	find := func(at source.Span, what, why, expected string) {
		a.find(EmptyMend, at, nil, expected, "%s of %s is never %s", what, r.Decl.Name.Text, why)
	}
	text := m.Text.Value
	// With both words in it, the other one is filled in as nothing.
	both := bounded && strings.Contains(text, "{over}") && strings.Contains(text, "{under}")
	switch {
	case m.Side == ast.Over && !upper:
		find(m.Span, "the mend over", "given: "+notOver, "a mend for the side that the rule has")
		return
	case m.Side == ast.Under && !lower:
		find(m.Span, "the mend under", "given: "+notUnder, "a mend for the side that the rule has")
		return
	}
	for _, w := range []struct {
		word string
		has  bool
		why  string
	}{
		{"{over}", upper || both, notOver}, {"{under}", lower || both, notUnder},
		{"{value}", bounded, noBound}, {"{limit}", bounded, noBound},
		{"{to-pass}", bounded, noBound}, {"{margin}", bounded, noBound},
	} {
		if at := strings.Index(text, w.word); at >= 0 && !w.has {
			span := m.Text.Span
			span.Start += 1 + at
			span.End = span.Start + len(w.word)
			find(span, w.word+" in the mend", "filled in: "+w.why, "a word in braces that the rule has a value for")
		}
	}
}

// unused looks for names that nothing in the book needs. A book without rules of its own is there for
// others, and so may be all its names.
func (a *analyst) unused() {
	if len(a.book.Rules) == 0 {
		return
	}
	needed := a.needed()
	say := func(seen any, at source.Span, what, name string) {
		if !needed[seen] {
			a.find(UnusedName, at, nil, "a rule that uses it, or the book without it",
				"the %s %s is declared and never used in this book", what, name)
		}
	}
	for _, g := range a.book.Groups {
		say(g, g.Decl.Name.Span, "group", g.Decl.Name.Text)
	}
	for _, l := range a.book.Lets {
		say(l, l.Decl.Name.Span, "let", l.Decl.Name.Text)
	}
	for _, h := range a.book.Charts {
		say(h, h.Decl.Name.Span, "chart", h.Decl.Name.Text)
	}
	for _, p := range a.book.Properties {
		say(p.Of.Name, p.Decl.Name.Span, "property", p.Decl.Name.Text)
	}
}

// needed are the groups, lets and charts, and properties by their names, that something in the book names.
func (a *analyst) needed() map[any]bool {
	out := map[any]bool{}
	for _, r := range a.book.Info.Refs {
		switch r.Kind {
		case book.RefGroup:
			out[r.Group] = true
		case book.RefLet:
			out[r.Let] = true
		case book.RefChart:
			out[r.Chart] = true
		case book.RefProperty:
			out[r.Property.Column()], out[r.Property.Name] = true, true
		}
	}
	for _, m := range a.book.Info.Items {
		if m.Group != nil {
			out[m.Group] = true
		}
	}
	for _, h := range a.book.Charts {
		if h.Of != nil { // an order may say how far off it is
			out[h.Of.Property.Name], out[h] = true, out[h] || out[h.Of.Property.AsOrdered().Name]
		}
	}
	return out
}
