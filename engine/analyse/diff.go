package analyse

// This file tells what two editions of a rule book judge differently. Rules are matched by name; what is left
// over and judges every subject alike is one rule renamed. normal.go brings rules into a form that tells
// at once of most rewrites that they change nothing, and sift.go tells it of more. duel.go holds the others against themselves
// on the clubs of tour.go, bags.go and fill.go, at what turns.go finds; holding.go says which values of the bag it rests on, shifted.go what
// moved where only heads, allowances and methods did. side.go has them judged, because.go and hybrid.go say which part of the rule a difference
// comes from, stock.go judges a real stock.

import (
	"fmt"
	"slices"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// What tells which part of a rule changed. The zero value is invalid.
type What uint8

// The parts of a rule that may change, in the order in which they are told.
const (
	Added What = iota + 1
	Removed
	Dates
	Scope
	Exception
	Limit
	Decides
	Weight
)

var whatWords = [...]string{"", "added", "removed", "dates", "scope", "exception", "limit", "decision", "weight"}

// String returns the word for the part.
func (w What) String() string { return whatWords[w] }

// Change is one part of a rule that two editions judge differently, with a subject that shows it.
type Change struct {
	Old, New *book.Rule // nil where the edition has none
	What     What
	Message  string // one line, without the rule's name
	Contrast *Contrast
}

// Rule is the rule in the newer edition that has it.
func (c *Change) Rule() *book.Rule {
	if c.New != nil {
		return c.New
	}
	return c.Old
}

// Contrast is a subject that two editions judge differently; of a change of weight, alike.
type Contrast struct {
	On       book.Day // NoDay: the day does not matter
	Rows     []Row
	Of       ast.SubjectKind
	Clubs    []string // ids of the subject; none of a set
	Old, New Said

	bag bag
}

// Said is what an edition says of a subject. The zero value says nothing: no rule of it is about the subject, or it
// disagrees with itself.
type Said struct {
	Verdict decide.Verdict
	Result  *engine.Result // nil without a verdict
}

// Difference is what two editions judge differently.
type Difference struct {
	Changes []Change
	LeftOut []Open
	Pairs   []Pair
}

// Same reports whether everything was looked at and nothing is judged differently.
func (d *Difference) Same() bool { return len(d.Changes) == 0 && len(d.LeftOut) == 0 }

// Open is a rule of which it was not told whether it judges differently by some of its parts.
type Open struct {
	Pair
	Parts []What
	Why   string // not all could be looked at
}

// String is the whole of it, a sentence without full stop.
func (o Open) String() string {
	return fmt.Sprintf("whether %s judges otherwise by its %s was not told: %s", o.Name(), unit.Listed(words(o.Parts), "or"), o.Why)
}

// Pair is a rule in both editions; either is nil where the edition has none.
type Pair struct{ Old, New *book.Rule }

// Name is the name of the rule in the newer edition that has it.
func (p Pair) Name() string {
	if p.New != nil {
		return p.New.Decl.Name.Text
	}
	return p.Old.Decl.Name.Text
}

// differ compares two editions.
type differ struct {
	old, new       *engine.Program
	oldAsk, newAsk *engine.Probe
	written        map[*book.Rule]book.RuleKey
	simply         map[*book.Rule]book.RuleKey // of those rules that are decided simply, where it counts nothing how sure a value is
	shops          bool                        // heads and allowances differ
	moved          map[string]bool             // methods of one name that both know and that differ
	shopsAmount    bool                        // heads and allowances differ in more than how sure they are
	movedAmount    bool                        // and so does a method that both know
	common         []string                    // methods that both know
	spent          int                         // bags that were judged
}

// editions is two editions that are compared rule by rule.
type editions struct {
	*differ
	out Difference
}

// Diff compares two editions of a book, each loaded by itself.
func Diff(old, new *engine.Program) Difference {
	d := &editions{differ: newDiffer(old, new)}
	pairs, oldRest, newRest := matched(old.Rules(), new.Rules())
	for _, p := range pairs {
		d.pair(p)
	}
	d.out.Pairs = append(pairs, d.renamed(oldRest, newRest)...)
	return d.out
}

// newDiffer makes ready to hold rules of two programs, or of one, against each other.
func newDiffer(old, new *engine.Program) *differ {
	d := &differ{old: old, new: new, oldAsk: old.NewProbe(), newAsk: new.NewProbe(), written: map[*book.Rule]book.RuleKey{}, simply: map[*book.Rule]book.RuleKey{}, moved: map[string]bool{}}
	d.measure()
	return d
}

// measure brings into normal form what the editions say about measuring, and their rules.
func (d *differ) measure() {
	n, simple := book.NewKeys(false), book.NewKeys(true)
	for _, p := range []*engine.Program{d.old, d.new} {
		for _, r := range p.Rules() {
			d.written[r] = n.Rule(r)
			if r.Decision.Kind == ast.Simple && !d.written[r].Branches { // of two branches it counts whether they are quite alike
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

// matched pairs rules of one name, in the order of the newer edition.
func matched(old, new []*book.Rule) (pairs []Pair, oldRest, newRest []*book.Rule) {
	byName := map[string]*book.Rule{}
	for _, r := range old {
		byName[r.Decl.Name.Text] = r
	}
	taken := map[*book.Rule]bool{}
	for _, r := range new {
		if o := byName[r.Decl.Name.Text]; o != nil {
			pairs = append(pairs, Pair{o, r})
			taken[o] = true
		} else {
			newRest = append(newRest, r)
		}
	}
	for _, r := range old {
		if !taken[r] {
			oldRest = append(oldRest, r)
		}
	}
	return pairs, oldRest, newRest
}

// mostRenamed bounds how many pairs of rules without a namesake are held against each other club by club.
const mostRenamed = 1000

// renamed finds among the rules without a namesake those that judge every subject alike, and tells of the others
// that they were added and removed.
func (d *editions) renamed(old, new []*book.Rule) []Pair {
	var pairs []Pair
	gone := map[*book.Rule]bool{}
	match := func(alike func(o, n *book.Rule) bool) {
		for _, r := range new {
			if gone[r] {
				continue
			}
			for _, o := range old {
				if !gone[o] && o.Decl.Advice == r.Decl.Advice && alike(o, r) {
					pairs = append(pairs, Pair{o, r})
					gone[o], gone[r] = true, true
					break
				}
			}
		}
	}
	match(func(o, n *book.Rule) bool { return len(d.parts(Pair{o, n})) == 0 })
	tries := 0
	match(func(o, n *book.Rule) bool {
		if o.Decl.For.Kind != n.Decl.For.Kind || tries >= mostRenamed {
			return false
		}
		tries++
		parts := d.sift(Pair{o, n}, d.parts(Pair{o, n}))
		u := d.duel(Pair{o, n}, parts)
		u.first = true
		u.run()
		return len(u.best)+len(u.mixed) == 0 && u.whole()
	})
	for _, r := range old {
		if !gone[r] {
			pairs = append(pairs, Pair{Old: r})
			d.pair(Pair{Old: r})
		}
	}
	for _, r := range new {
		if !gone[r] {
			pairs = append(pairs, Pair{New: r})
			d.pair(Pair{New: r})
		}
	}
	return pairs
}

// parts are the parts of a rule whose forms differ between the editions.
func (d *differ) parts(p Pair) []What {
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
		{Limit, a.Limit != b.Limit || moved}, {Decides, a.Decision != b.Decision}, {Weight, a.Advice != b.Advice},
	} {
		if one.differs {
			out = append(out, one.what)
		}
	}
	return out
}

// inForm is the form of a rule in both editions, where both are decided simply without what tells how sure a value is.
func (d *differ) inForm(p Pair) (a, b book.RuleKey) {
	if x, ok := d.simply[p.Old]; ok {
		if y, ok := d.simply[p.New]; ok {
			return x, y
		}
	}
	return d.written[p.Old], d.written[p.New]
}

// measured tells whether rules that ask for lengths by a method may find others, because a
// method, a head or an allowance is another. Where both are decided simply it counts nothing how sure these are.
func (d *differ) measured(p Pair) bool {
	a, b := d.written[p.Old], d.written[p.New]
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
	for _, differs := range d.moved {
		if differs {
			return true
		}
	}
	return d.shops
}

// pair looks for what is judged differently by a rule of both editions, or of one.
func (d *editions) pair(p Pair) {
	parts := d.sift(p, d.parts(p))
	if len(parts) == 0 {
		return
	}
	u := d.duel(p, parts)
	u.run()
	found := u.best
	if len(found) == 0 {
		found = u.mixed
	}
	var open []What // for which no subject was found
	for _, w := range parts {
		c := u.contrast(found, w)
		switch {
		case c != nil:
			d.out.Changes = append(d.out.Changes, Change{Old: p.Old, New: p.New, What: w, Contrast: c, Message: message(p, w, c)})
		case len(found[w]) > 0 || !u.whole():
			open = append(open, w)
		}
	}
	if len(open) > 0 {
		d.out.LeftOut = append(d.out.LeftOut, Open{p, open, u.why()})
	}
}

// words are the parts in words.
func words(parts []What) []string {
	var out []string
	for _, w := range parts {
		out = append(out, w.String())
	}
	return out
}
