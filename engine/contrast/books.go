package contrast

// This file makes two editions of a book, or one book, ready for rules to be compared with each other.

import (
	"maps"
	"slices"

	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
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
	old, new       *judge.Program
	oldAsk, newAsk *judge.Probe
	Written        map[*book.Rule]book.RuleKey
	simply         map[*book.Rule]book.RuleKey // of those rules that are decided simply, where it counts nothing how sure a value is
	shops          bool                        // heads and allowances differ
	moved          map[string]bool             // methods of one name that both know and that differ
	shopsAmount    bool                        // heads and allowances differ in more than how sure they are
	movedAmount    bool                        // and so does a method that both know
	common         []string                    // methods that both know
	Pay            func(work int) bool         // notes work and reports whether more may be done; nil where it is not counted
	spent          int                         // bags that were judged
}

// NewBooks makes ready to hold rules of two programs, or of one, against each other.
func NewBooks(old, new *judge.Program) *Books {
	d := &Books{old: old, new: new, oldAsk: old.NewProbe(), newAsk: new.NewProbe(), moved: map[string]bool{},
		Written: map[*book.Rule]book.RuleKey{}, simply: map[*book.Rule]book.RuleKey{}}
	d.readMeasuring()
	return d
}

// readMeasuring brings into normal form what the editions say about measuring, and their rules.
func (d *Books) readMeasuring() {
	n, simple := book.NewKeys(false), book.NewKeys(true)
	for _, p := range []*judge.Program{d.old, d.new} {
		for _, r := range p.Rules() {
			d.Written[r] = n.Rule(r)
			if r.Decision.Kind == ast.Simple && !d.Written[r].Branches { // of two branches it counts whether they are quite alike
				d.simply[r] = simple.Rule(r)
			}
		}
	}
	d.shops = n.Shop(d.old.Books) != n.Shop(d.new.Books)
	d.shopsAmount = d.shops && simple.Shop(d.old.Books) != simple.Shop(d.new.Books)
	for _, name := range d.old.Methods() {
		if m := d.new.Method(name); m != nil {
			d.common = append(d.common, name)
			d.moved[name] = n.Method(d.old.Method(name)) != n.Method(m)
			d.movedAmount = d.movedAmount || simple.Method(d.old.Method(name)) != simple.Method(m)
		}
	}
}

// Parts are the parts of a rule whose forms differ between the editions.
func (d *Books) Parts(p Pair) []What {
	switch {
	case p.Old == nil:
		return []What{Added}
	case p.New == nil:
		return []What{Removed}
	}
	moved := d.measured(p)
	a, b := d.inForm(p)
	var out []What
	for _, one := range []struct {
		what    What
		differs bool
	}{
		{Dates, a.Dates != b.Dates}, {Scope, a.Scope != b.Scope}, {Exception, a.Exceptions != b.Exceptions},
		{Limit, a.Limit != b.Limit || moved}, {Decides, a.Decision != b.Decision}, {Property, a.Properties != b.Properties}, {Weight, a.Advice != b.Advice},
	} {
		if one.differs {
			out = append(out, one.what)
		}
	}
	return out
}

// inForm is the form of a rule in both editions, where both are decided simply without what says how sure a value is.
func (d *Books) inForm(p Pair) (a, b book.RuleKey) {
	if x, ok := d.simply[p.Old]; ok {
		if y, ok := d.simply[p.New]; ok {
			return x, y
		}
	}
	return d.Written[p.Old], d.Written[p.New]
}

// measured reports whether rules that ask for lengths by a method may find others, because a
// method, a head or an allowance is another. Where both are decided simply it counts nothing how sure these are.
func (d *Books) measured(p Pair) bool {
	a, b := d.Written[p.Old], d.Written[p.New]
	if len(a.Methods) == 0 && len(b.Methods) == 0 {
		return false
	}
	if !slices.Equal(a.Methods, b.Methods) {
		return true
	}
	_, ok := d.simply[p.Old]
	if _, ok2 := d.simply[p.New]; ok && ok2 {
		return d.shopsAmount || d.movedAmount
	}
	return d.shops || d.anyMoved()
}

// anyMoved reports whether a method that both editions know is another.
func (d *Books) anyMoved() bool { return slices.Contains(slices.Collect(maps.Values(d.moved)), true) }
