// Package constrain works out what rules ask of one property of the clubs of a set, so far as moving that property of
// each club answers it. A cut at the butt moves the length of a club by every method alike, a bend its lie. What the
// rules ask are constraints on single clubs and on differences of two, which engine/bounds solves.
//
// A rule counts whose value is the property, a drop or a rise of it, or its spread, highest or lowest in the set. Its
// bound must not move with the property; of a spread and a highest the upper side counts, of a lowest the lower one.
// Advice does not count. Which clubs, neighbours and exceptions a rule is about follows from the clubs as they are, at
// each combination of their settings.
//
// constrain.go gathers what is asked, system.go turns it into edges between numbers, a spread by way of helper numbers,
// so that there are about as many edges as clubs.
package constrain

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Constraint is what a rule asks of the property of one club, or of the difference of two.
type Constraint struct {
	Rule    *book.Rule
	Subject judge.Subject
	// the value grows with the property of Plus and falls with that of Minus; either may be nil
	Plus, Minus *club.Club
	Factor      float64       // of the value to the property, above 0: 1 over the numbers apart under "per number"
	Value       float64       // as read, base units
	Spread      decide.Spread // how sure it is, with the limits
	Shown       *unit.Unit    // the unit in which the rule shows it
	Limits      decide.Limits
	Decision    decide.Rule
}

// Passes reports whether the value passes under the rule's decision when it is larger by
// delta, in base units of the value.
func (c *Constraint) Passes(delta float64) bool {
	v, _ := decide.Decide(c.Decision, c.Limits, c.onLimit(c.Value+delta), c.Spread)
	return v == decide.Pass
}

// onLimit is the limit that a value is on except for what is lost in sums of lengths, a few
// millionths of a nanometre: a drop of 0 in between two equal clubs has nothing else to be measured by.
func (c *Constraint) onLimit(value float64) float64 {
	const lost = 1e-3 // nm
	for _, limit := range []float64{c.Limits.Lower, c.Limits.Upper} {
		if math.Abs(value-limit) < lost {
			return limit
		}
	}
	return value
}

// Passing returns the values that pass under the rule's decision.
func (c *Constraint) Passing() decide.Region { return c.Decision.Passing(c.Limits, c.Spread) }

// Demands is what rules ask of a property of the clubs of a set.
type Demands struct {
	Rules     []*book.Rule      // those that ask something of some subject, in the order of the books
	Open      []*judge.Result   // Unmeasured: what would have to be known to say what they ask
	Waived    []*judge.Result   // what is waived, so that nothing is asked there
	Conflicts []*judge.Conflict // faults of the books that show on the set
	TooMany   bool              // there are more than Most, and not all of them are here

	single []Constraint
	groups []among
	size   int // sides of all of them, with those of helpers
}

// Most is how many sides of constraints a set may have: far more than a bag has, and no more than a small machine can
// hold.
const Most = 500_000

// among is a constraint on the difference of any club of one group to any other of another, which may be the same
// group.
type among struct {
	of          *Constraint // except for Plus, Minus, Value and Spread
	spread      decide.Spread
	plus, minus []judge.Member
}

// pair is the constraint on two clubs of a spread.
func (s *among) pair(a, b *judge.Member) Constraint {
	c := *s.of
	c.Plus, c.Minus, c.Value, c.Spread = a.Club, b.Club, a.Value-b.Value, s.spread
	return c
}

// Find finds what the rules of a judge ask of the clubs of a set. moved are the property, and others that move with it.
func Find(j *judge.Judge, s *club.Set, moved ...catalogue.ID) *Demands {
	f := finder{forms: map[*book.Rule]book.Form{}}
	asks := func(r *book.Rule) bool {
		form, ok := r.Value.Form()
		ok = ok && form.Property.ID == moved[0] && fits(form, r.Subject) && !r.Decl.Advice && r.Bound != nil &&
			still(r, moved)
		if ok {
			f.forms[r] = form
		}
		return ok
	}
	j.Every(s, asks, judge.Sink{
		Conflict: func(c *judge.Conflict) {
			if f.once(c.Rule, c.Subject) {
				f.Conflicts = append(f.Conflicts, c)
			}
		},
		Result: func(r *judge.Result) {
			switch {
			case r.Waiver != nil:
				if f.once(r.Rule, r.Subject) {
					f.Waived = append(f.Waived, r)
				}
			case r.Verdict != decide.Unmeasured:
				f.result(r)
			case Waits(r) && f.once(r.Rule, r.Subject):
				f.Open = append(f.Open, r)
			}
		},
	})
	return &f.Demands
}

// finder gathers demands.
type finder struct {
	Demands
	forms map[*book.Rule]book.Form
	told  map[string]bool // of the rule in hand: subjects of what is open and of conflicts
	met   map[ask]bool    // of the rule in hand: what it asks, at whatever setting
	rule  *book.Rule      // the rule in hand
}

// ask is what distinguishes the constraints of one rule.
type ask struct {
	plus, minus   *club.Club
	factor, value float64
	spread        decide.Spread
	limits        decide.Limits
}

// hand starts on a rule.
func (f *finder) hand(r *book.Rule) {
	if f.rule != r {
		f.rule, f.told, f.met = r, map[string]bool{}, map[ask]bool{}
	}
}

// once reports whether a subject of a rule is met for the first time.
func (f *finder) once(r *book.Rule, s judge.Subject) bool {
	f.hand(r)
	key := ""
	for _, c := range s.Clubs {
		key += c.ID + "\x00"
	}
	seen := f.told[key]
	f.told[key] = true
	return !seen
}

// result adds what a result asks.
func (f *finder) result(r *judge.Result) {
	if r.Verdict == decide.Exempt || !r.Value.Known() || f.TooMany {
		return
	}
	f.hand(r.Rule)
	before := f.size
	c := Constraint{Rule: r.Rule, Subject: r.Subject, Factor: 1, Value: r.Value.Base, Shown: r.Value.Unit,
		Limits: r.Limits(), Decision: r.Decision, Spread: r.Spread()}
	form, clubs := f.forms[r.Rule], r.Subject.Clubs
	switch {
	case form.Set != nil:
		f.whole(form.Set.How, c, r.Whole)
	case form.Step != nil && len(clubs) == 2:
		c.Plus, c.Minus = clubs[0], clubs[1]
		if form.Step.Rise {
			c.Plus, c.Minus = c.Minus, c.Plus
		}
		if form.Step.PerNumber {
			m, _ := c.Plus.Amount(catalogue.Number)
			n, _ := c.Minus.Amount(catalogue.Number)
			c.Factor = 1 / math.Abs(m-n)
		}
		f.add(c)
	case form.Step == nil && len(clubs) == 1:
		c.Plus = clubs[0]
		f.add(c)
	}
	if f.size > before {
		f.Rules = lists.Also(f.Rules, r.Rule)
	}
}

// add adds a constraint on one club or two, unless it was met already, at other settings of other clubs.
func (f *finder) add(c Constraint) {
	key := ask{c.Plus, c.Minus, c.Factor, c.Value, c.Spread, c.Limits}
	if !f.met[key] && f.grow(2) {
		f.met[key] = true
		f.single = append(f.single, c)
	}
}

// grow makes room for so many edges more, and reports whether there is.
func (f *finder) grow(by int) bool {
	f.TooMany = f.TooMany || f.size+by > Most
	if !f.TooMany {
		f.size += by
	}
	return !f.TooMany
}

// whole turns what holds for the spread, the highest or the lowest into constraints on the members of a set.
func (f *finder) whole(how ast.Aggregate, c Constraint, w *judge.Whole) {
	if how == ast.Shortest || how == ast.Lowest {
		c.Limits.Upper, c.Limits.OpenUpper = math.Inf(1), false
	} else {
		c.Limits.Lower, c.Limits.OpenLower = math.Inf(-1), false
	}
	if !c.Limits.HasLower() && !c.Limits.HasUpper() {
		return
	}
	if how != ast.Spread {
		for i := range w.Members {
			m := &w.Members[i]
			d := c
			d.Plus, d.Value, d.Spread = m.Club, m.Value, w.Apart(m, nil, how)
			f.add(d)
		}
		return
	}
	var groups [][]judge.Member
	var first, second []*judge.Member // of each group; the first twice if there is no other
	for i := range w.Members {
		m := &w.Members[i]
		if m.Group == len(groups) {
			groups, first, second = append(groups, nil), append(first, m), append(second, m)
		}
		if len(groups[m.Group]) == 1 {
			second[m.Group] = m
		}
		groups[m.Group] = append(groups[m.Group], judge.Member{Club: m.Club, Value: m.Value})
	}
	for i, g := range groups {
		for k, h := range groups {
			if i == k && len(g) == 1 {
				continue
			}
			s := among{of: &c, spread: w.Apart(first[i], second[k], how), plus: g, minus: h}
			if !f.grow(s.size()) {
				return
			}
			f.groups = append(f.groups, s)
		}
	}
}

// fits reports whether moving the property of the clubs of a rule's subject answers a value of that form: a property is
// that of a club, and a step that of neighbours.
func fits(f book.Form, of ast.SubjectKind) bool {
	switch {
	case f.Step != nil:
		return of == ast.OfNeighbours
	case f.Set == nil:
		return of == ast.OfClub
	}
	return true
}

// still reports whether no limit of a rule, nor of its exceptions, moves with some properties.
func still(r *book.Rule, moved []catalogue.ID) bool {
	for _, b := range r.Bounds() {
		for _, p := range b.Parts() {
			if LooksAt(p, moved...) {
				return false
			}
		}
	}
	return true
}

// LooksAt reports whether a formula looks at one of some properties, of clubs as they are.
func LooksAt(p book.Part, of ...catalogue.ID) bool {
	looks := false
	p.Visit(func(n book.Part) bool {
		ref := n.Ref()
		looks = looks || ref != nil && ref.Kind == book.RefProperty && !ref.Property.Ordered &&
			slices.Contains(of, ref.Property.ID)
		return !looks
	}, nil)
	return looks
}

// Waits reports whether an unmeasured result waits for something that can be measured: it is not a value of clubs that
// the set has none of, nor about a setting that the order leaves out.
func Waits(r *judge.Result) bool {
	more := func(l value.Lack) bool { return l.Kind != value.NoMember }
	return !r.Apart() && (r.Whole == nil || !r.Whole.Empty) && slices.ContainsFunc(r.Lacks, more)
}
