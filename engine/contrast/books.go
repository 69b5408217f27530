package contrast

// This file makes two editions of a book, or one book, ready for rules to be compared with each other.

import (
	"slices"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// FailedByOne is a subject that one of two rules fails and the other, or where that is nil nothing, passes; nil where
// none was found.
func (d *Books) FailedByOne(passes, fails *book.Rule) *Contrast {
	p, part := Pair{Old: passes, New: fails}, Limit
	if passes == nil {
		part = Added
	}
	u := d.Compare(p, []What{part})
	u.Run()
	return u.Contrast(u.Best, part)
}

// Books compares two editions.
type Books struct {
	*space.Search
	old, new       *judge.Program
	oldAsk, newAsk *judge.Probe
	Written        map[*book.Rule]book.RuleKey
	simply         map[*book.Rule]book.RuleKey // of rules decided simply, where it counts nothing how sure a value is
	common         []string                    // methods that both know
	others         [2]measuring                // what differs, and what in more than how sure it is
}

// measuring is what is another of how lengths are measured.
type measuring struct {
	shops   bool     // heads and allowances
	methods []string // of those that both editions know
}

func (m *measuring) any() bool { return m.shops || len(m.methods) > 0 }

// NewBooks makes ready to hold rules of two programs, or of one, against each other, by the work of a search of the
// newer one.
func NewBooks(a *space.Search, old, new *judge.Program) *Books {
	d := &Books{Search: a, old: old, new: new, oldAsk: old.NewProbe(), newAsk: a.Probe,
		Written: map[*book.Rule]book.RuleKey{}, simply: map[*book.Rule]book.RuleKey{}}
	keys := [2]*book.Keys{book.NewKeys(false), book.NewKeys(true)}
	for _, r := range slices.Concat(old.Rules(), new.Rules()) {
		d.Written[r] = keys[0].Rule(r)
		if r.Decision.Kind == ast.Simple && !d.Written[r].Branches { // of two branches it counts whether they are alike
			d.simply[r] = keys[1].Rule(r)
		}
	}
	d.common = lists.Kept(old.Methods(), func(name string) bool { return new.Method(name) != nil })
	for i, n := range keys {
		d.others[i].shops = n.Shop(old.Books) != n.Shop(new.Books)
		d.others[i].methods = lists.Kept(d.common, func(name string) bool {
			return n.Method(old.Method(name)) != n.Method(new.Method(name))
		})
	}
	return d
}

// Parts are the parts of a rule whose forms differ between the editions.
func (d *Books) Parts(p Pair) []What {
	switch {
	case p.Old == nil:
		return []What{Added}
	case p.New == nil:
		return []What{Removed}
	}
	a, b, _ := d.inForm(p)
	var out []What
	for _, one := range []struct {
		what    What
		differs bool
	}{
		{Dates, a.Dates != b.Dates}, {Scope, a.Scope != b.Scope}, {Exception, a.Exceptions != b.Exceptions},
		{Limit, a.Limit != b.Limit || d.measured(p)}, {Decides, a.Decision != b.Decision},
		{Property, a.Properties != b.Properties}, {Weight, a.Advice != b.Advice},
	} {
		if one.differs {
			out = append(out, one.what)
		}
	}
	return out
}

// Differing are the parts of unlike form that are not known to mean the same: two selectors may take the same clubs.
func (d *Books) Differing(p Pair) []What {
	parts, n := d.Parts(p), book.NewKeys(false)
	same := slices.Contains(parts, Scope) && p.Old.Subject == p.New.Subject && p.Old.Subject != ast.OfSet &&
		n.Part(p.Old.By) == n.Part(p.New.By) && d.sameClubs(p.Old.Among, p.New.Among)
	return slices.DeleteFunc(parts, func(w What) bool { return w == Scope && same })
}

// inForm is the form of a rule in both editions, and what is another of measuring; where both are decided simply
// without what says how sure a value is.
func (d *Books) inForm(p Pair) (a, b book.RuleKey, m *measuring) {
	x, ok := d.simply[p.Old]
	y, ok2 := d.simply[p.New]
	if ok && ok2 {
		return x, y, &d.others[1]
	}
	return d.Written[p.Old], d.Written[p.New], &d.others[0]
}

// measured reports whether rules that ask for lengths by a method may find others, because a method, a head or an
// allowance is another.
func (d *Books) measured(p Pair) bool {
	a, b, m := d.inForm(p)
	return len(a.Methods)+len(b.Methods) > 0 && (!slices.Equal(a.Methods, b.Methods) || m.any())
}

// shifted reports whether how lengths are measured that a rule asks for is another.
func (d *Books) shifted(p Pair, parts []What) bool {
	_, _, m := d.inForm(p)
	return slices.Contains(parts, Limit) && d.measured(p) && m.any()
}

// hangs reports whether lengths may be others on clubs of shapes and lies that were not tried.
func (u *Comparison) hangs() bool { return u.shift && u.reached }

// readOtherwise reports whether a length of a bag is read, or asked for, by a method that is another, or brought to one
// by another shop.
func (u *Comparison) readOtherwise(b space.Bag) bool {
	m := &u.others[0]
	differs := func(name string) bool { return slices.Contains(m.methods, name) }
	for _, s := range u.Sides {
		if s.Rule != nil && slices.ContainsFunc(u.Written[s.Rule].Methods, differs) {
			return true
		}
	}
	return slices.ContainsFunc(b, func(d space.Draft) bool {
		read := d.Of("length") != nil || d.Of("ordered length") != nil
		return read && slices.Contains(m.methods, d.Method) || m.shops && u.turnedUp(&d)
	})
}

// turnedUp reports whether the head or an allowance of a club is another.
func (u *Comparison) turnedUp(d *space.Draft) bool {
	was, known := u.Sides[0].Probe.Shop(u.Sides[0].Lay(d), !u.sure)
	is, known2 := u.Sides[1].Probe.Shop(u.Sides[1].Lay(d), !u.sure)
	return !known || !known2 || was != is
}
