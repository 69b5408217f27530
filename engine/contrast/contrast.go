// Package contrast holds two rules, or two editions of one, against each other on the clubs and bags that stand for
// all, and keeps for each part of the rule the subject that shows best that it is another.
//
// book.Keys brings rules into a form that tells at once of most rewrites that they change nothing, and same.go tells it
// of more. contrast.go holds the others against each other on the clubs of clubs.go, bags.go and counts.go, at what
// turns.go finds; values.go says which values of the bag a rule depends on, measuring.go what moved where only heads,
// allowances and methods did. side.go has them judged, because.go and parts.go say which part of the rule a difference
// comes from.
package contrast

// This file holds a rule of two editions against itself: it lays out the clubs that stand for all, has both editions
// judge them, and keeps for each part of the rule the subject that shows best that it changed.

import (
	"fmt"
	"maps"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

const (
	mostTried    = 60_000  // bags that are judged for one rule
	leastTried   = 500     // bags that are judged for each rule even then
	lookFurther  = 600     // how far a better witness is looked for when there is one for each part; see pace
	mostTogether = 400_000 // and for all rules of two editions
	ofBag        = 50      // work of judging a bag
	mostMembers  = 240     // different clubs of which bags are made
	mostCopies   = 30      // clubs of a bag
	mostReadings = 10      // of one property of a club
)

// Comparison is a rule in two editions, and what was found to be judged differently.
type Comparison struct {
	*Books
	*space.Walk
	rules     Pair
	parts     []What
	sides     [2]*side
	days      []window
	by        []string // methods by which lengths are read, those that the rule asks for first
	scope     []*space.Axis
	free      []*space.Axis
	asked     []*space.Axis // those of which it is asked whether they are measured
	pivot     *space.Axis   // the property that is moved last, to where a verdict turns; nil for none
	turning   bool          // where verdicts turn is not known from the formulas alone
	halves    bool          // readings may state a half-width
	decisions []decide.Rule // of both editions
	kind      ast.SubjectKind

	First bool             // one difference is enough
	Best  map[What][]shown // by part, the best last
	Mixed map[What][]shown // the same where only several parts together make a difference
	tried int
	spare int  // bags still to be looked at when all is found
	blind bool // conditions turn where nobody can tell

	roundabout bool // a value turns where the formulas do not tell

	values []bagValue // that the rule depends on
	loose  bool       // a part that changed depends on one for which not all bags can be laid out
	gaps   []gap      // between the clubs of a pair, where conditions turn
	open   bool       // a condition on pairs turns otherwise

	shift   shift // how lengths are measured is another
	sure    bool  // it counts nothing how sure lengths are
	reached bool  // a club was tried whose head or allowances are others
}

// shown is a subject that shows a change, and how well it does.
type shown struct {
	window
	bag    space.Bag
	key    string // of the subject
	score  int
	length int // of what is read of its clubs, as text
}

// window is a day that stands for all on which the same of the two rules are in force.
type window struct {
	on       book.Day
	old, new bool
	apart    bool // on no day are both in force: the verdicts are compared with each other as if they were
}

// Compare makes ready to hold a rule against itself, in the parts that are written differently.
func (d *Books) Compare(p Pair, parts []What) *Comparison {
	u := &Comparison{Books: d, Walk: &space.Walk{Space: space.NewSpace(), Known: map[string][]float64{}}, rules: p, parts: parts,
		Best: map[What][]shown{}, Mixed: map[What][]shown{}, spare: lookFurther,
		sides: [2]*side{newSide(d.old, d.oldAsk, p.Old), newSide(d.new, d.newAsk, p.New)}, kind: ast.OfClub}
	u.days = windows(p)
	lengths, unsure := false, false
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		u.gather(s.rule)
		u.decisions = append(u.decisions, judge.DecisionOf(s.rule))
		f := d.Written[s.rule]
		lengths = lengths || len(f.Methods) > 0
		unsure = unsure || s.rule.Decision.Kind != ast.Simple
		for _, m := range f.Methods {
			if !slices.Contains(u.by, m) {
				u.by = append(u.by, m)
			}
		}
		switch k := s.rule.Subject; {
		case k == ast.OfSet || u.Bags:
			u.kind = ast.OfSet
		case k == ast.OfNeighbours && u.kind == ast.OfClub:
			u.kind = ast.OfNeighbours
		}
	}
	if p.Old != nil && p.New != nil && lengths && d.measured(p) {
		for _, m := range d.common {
			if !slices.Contains(u.by, m) {
				u.by = append(u.by, m)
			}
		}
	}
	u.shift, u.sure = d.shifted(p, parts), !unsure
	if u.shift != nothingMoved && !unsure {
		u.lies()
	}
	if lengths && (unsure || len(u.by) > 1) {
		u.Tools(d.old)
		u.Tools(d.new)
	}
	if slices.Contains(parts, Decides) {
		u.spare, u.halves = 8*lookFurther, unsure
	}
	u.turning = unsure || len(u.by) > 1 || u.roundabout || u.kind != ast.OfClub
	u.blind = u.blind || u.roundabout && openly(p) || u.open && slices.Contains(parts, Exception)
	u.hold()
	u.choose()
	return u
}

// openly reports whether the limits themselves pass in one edition alone: that shows on readings only that give a limit
// exactly, which nobody can write down for every formula. Of counts they can be met.
func openly(p Pair) bool {
	if p.Old == nil || p.New == nil || p.Old.Value.Type().Dim == unit.Count {
		return false
	}
	open := func(r *book.Rule) bool { return r.Bound != nil && r.Bound.Open() }
	return open(p.Old) != open(p.New)
}

// gather notes what a rule speaks of. Where a value meets its limits is found by judging, where the formulas do not
// tell.
func (u *Comparison) gather(r *book.Rule) {
	if r.Subject == ast.OfNeighbours {
		u.Pos = space.AnyPos
	}
	if s := r.Among.Decl; s != nil {
		u.Clubs(book.Clubs{Decl: &ast.Selector{Items: s.Items, Except: s.Except}, Info: r.Among.Info})
		u.condition(book.Part{Expr: s.Where, Info: r.Among.Info})
	}
	for _, e := range r.Unless {
		u.condition(e.When)
	}
	if r.Bound == nil {
		u.condition(r.Value)
	}
	u.blind, u.Inexact = u.blind || u.Inexact, false
	u.Rule(r)
	u.roundabout, u.Inexact = u.roundabout || u.Inexact, false
	if r.Subject == ast.OfNeighbours && len(u.Numbers) == 0 {
		u.Numbers[6], u.Numbers[7] = true, true // two clubs have to be in an order
	}
}

// choose orders the properties: those that decide whether a rule applies, those that it requires something
// of, and of these the one that is moved last.
func (u *Comparison) choose() {
	rank := func(a *space.Axis) int {
		switch {
		case !a.Free || !a.Prop.Sort.Numeric():
			return 0
		case a.Prop.ID == catalogue.LengthID && !a.Prop.Ordered:
			return 3
		case len(a.Turns) > 0:
			return 2
		}
		return 1
	}
	for _, a := range u.Axes {
		if a.Absent {
			u.asked = append(u.asked, a)
		}
		a.Absent = true
		if r := rank(a); r > 0 && (u.pivot == nil || r > rank(u.pivot)) {
			u.pivot = a
		}
	}
	u.NumberAbsent = len(u.Numbers) > 0 || len(u.Ranges) > 0
	var order []*space.Axis
	u.scope, u.free, order = u.Divided(u.pivot)
	u.Forms = u.Project(order)
}

// windows are the days that count for two rules.
func windows(p Pair) []window {
	var all []book.Day
	for _, r := range []*book.Rule{p.Old, p.New} {
		if r == nil {
			continue
		}
		if r.From != book.NoDay {
			all = append(all, r.From, r.From-1)
		}
		if r.Until != book.NoDay {
			all = append(all, r.Until, r.Until+1)
		}
	}
	if len(all) == 0 {
		var both []*book.Rule
		for _, r := range []*book.Rule{p.Old, p.New} {
			if r != nil {
				both = append(both, r)
			}
		}
		on, _ := space.Together(both...)
		return []window{{on: on, old: p.Old != nil, new: p.New != nil}}
	}
	in := func(r *book.Rule, on book.Day) bool { return r != nil && r.InForce(on) }
	slices.Sort(all)
	var out []window
	both := false
	for _, on := range all {
		w := window{on: on, old: in(p.Old, on), new: in(p.New, on)}
		known := slices.ContainsFunc(out, func(v window) bool { return v.old == w.old && v.new == w.new })
		if (w.old || w.new) && !known {
			out = append(out, w)
			both = both || w.old && w.new
		}
	}
	if !both && p.Old != nil && p.New != nil {
		for i := range out {
			out[i].apart = true
		}
	}
	return out
}

// Whole reports whether what was not found is not there.
func (u *Comparison) Whole() bool {
	return !u.Cut && !u.blind && !u.Inexact && !u.loose && !tooMany(u.counts()) && !u.hangs() &&
		!(u.Repeats && slices.Contains(u.parts, Limit))
}

// Why says what kept the search from telling.
func (u *Comparison) Why() string {
	switch {
	case u.Cut:
		return fmt.Sprintf("there are too many combinations to check all; %d were checked", u.tried)
	case tooMany(u.counts()):
		return fmt.Sprintf("it counts more than %d clubs in a bag, and such bags are not tried", mostCounted)
	case u.hangs() && !u.loose:
		return "heads, allowances or methods changed, and not every lie and shape that this could affect can be tried"
	case u.loose:
		return "it depends on a value of all clubs of a set, and not every bag can be tried"
	case u.Repeats && !u.blind:
		return "it looks at the single readings of a club, and not every combination can be tried"
	}
	return "something in it changes at figures that cannot be worked out beforehand"
}

// pay notes work and reports whether more may be done.
func (u *Comparison) pay(work int) bool { return u.Books.Pay == nil || u.Books.Pay(work) }

// try has both editions judge a bag and keeps what shows a change; false where no more bags are to be tried.
func (u *Comparison) try(b space.Bag) bool {
	if u.shift == shopMoved && !u.reaches(b) {
		return true
	}
	u.spent++
	if u.tried++; u.tried > mostTried || u.spent > mostTogether && u.tried > leastTried || !u.pay(ofBag) {
		u.Cut = true
		return false
	}
	if len(u.Best) == len(u.parts) {
		if u.spare -= u.pace(); u.spare < 0 {
			return false
		}
	}
	old, new := u.sides[0].look(b), u.sides[1].look(b)
	if u.shift == moreMoved && !u.reached && len(old)+len(new) > 0 {
		u.reached = u.readOtherwise(b)
	}
	keys := slices.Collect(maps.Keys(old))
	for k := range new {
		if _, ok := old[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	for _, k := range keys {
		o, n := old[k], new[k]
		for _, w := range u.days {
			parts, sure := u.because(w, b, o, n)
			to := u.Best
			if !sure {
				to = u.Mixed
			}
			for _, part := range parts {
				u.keep(to, part, len(parts) == 1, w, b, k, o, n)
			}
		}
	}
	if u.First && len(u.Best)+len(u.Mixed) > 0 {
		return false
	}
	return true
}

// pace is how soon the search ends when there is a subject for each part: sooner where each shows it well.
func (u *Comparison) pace() int {
	const well = 7
	for _, s := range u.Best {
		if s[len(s)-1].score < well {
			return 1
		}
	}
	return 12
}

// keep keeps a subject that shows a change better than those that were found before.
func (u *Comparison) keep(to map[What][]shown, part What, alone bool, w window, b space.Bag, key string, o, n saying) {
	s := shown{window: w, bag: b, key: key, score: score(part, o.verdict(w.old), n.verdict(w.new))}
	if alone { // nothing else makes a difference here
		s.score += 2
	}
	before := to[part]
	if len(before) > 0 && before[len(before)-1].score > s.score {
		return
	}
	s.length = b.Length()
	if len(before) > 0 && before[len(before)-1].score == s.score && before[len(before)-1].length <= s.length {
		return
	}
	to[part] = append(before, s)
}

// Contrast is the best witness of a change, confirmed; nil if there is none.
func (u *Comparison) Contrast(from map[What][]shown, part What) *Contrast {
	for _, s := range slices.Backward(from[part]) {
		if c, ok := u.witness(part, s.window, s.bag, s.key); ok {
			return c
		}
	}
	return nil
}

// score says how well two verdicts show a person what changed.
func score(part What, o, n decide.Verdict) int {
	worth := [...]int{0: 2, decide.Fail: 3, decide.TooClose: 2, decide.Unmeasured: 0, decide.Pass: 3, decide.Exempt: 2}
	switch part {
	case Added, Removed, Dates: // of new rules what they forbid
		worth[decide.Pass] = 2
	case Decides: // what is near the limit
		worth[decide.TooClose] = 4
	}
	return min(worth[o], 1+worth[n]) + min(worth[n], 1+worth[o])
}
