// Package contrast compares two rules, or two editions of one, on the clubs and bags that stand for all (space.Tour).
// For each part of the rule it keeps the subject that shows the difference best.
//
// book.Keys brings rules into a form that shows at once that most rewrites change nothing. books.go compares
// these forms, and says what moved where only heads, allowances and methods did. contrast.go has both editions judge
// what stands for all, because.go and parts.go say which part of the rule a difference comes from.
package contrast

// This file compares two editions of a rule. It has both judge the clubs and bags that stand for all, and keeps for
// each part of the rule the subject that shows best that it changed.

import (
	"fmt"
	"maps"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// lookFurther is how far a better witness is looked for when there is one for each part; see pace.
const lookFurther = 600

// Comparison is a rule in two editions, and what was found to be judged differently.
type Comparison struct {
	*Books
	*space.Tour
	rules Pair
	parts []What
	days  []window

	First bool             // one difference is enough
	Best  map[What][]shown // by part, the best last
	Mixed map[What][]shown // the same where only several parts together make a difference
	spare int              // bags still to be looked at when all is found
	blind bool             // something turns where nobody can tell
	loose bool             // a part that changed depends on a value of the bag for which not all bags can be laid out

	shift   bool // how lengths are measured is another
	sure    bool // it counts nothing how sure lengths are
	reached bool // a club was tried whose head or allowances are others
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
	u := &Comparison{Books: d, rules: p, parts: parts, Best: map[What][]shown{}, Mixed: map[What][]shown{},
		spare: lookFurther, days: windows(p), shift: d.shifted(p, parts), sure: true}
	for _, r := range []*book.Rule{p.Old, p.New} {
		u.sure = u.sure && (r == nil || r.Decision.Kind == ast.Simple)
	}
	o := space.TourOptions{Lies: u.shift && u.sure, Halves: slices.Contains(parts, Decides)}
	if o.Halves {
		u.spare = 8 * lookFurther
	}
	if p.Old != nil && p.New != nil && d.measured(p) {
		o.Methods = d.common
	}
	u.Tour = d.Tour(o, space.NewSide(d.old, d.oldAsk, p.Old), space.NewSide(d.new, d.newAsk, p.New))
	u.blind = u.Roundabout && openly(p)
	u.hold()
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

// windows are the days that count for two rules.
func windows(p Pair) []window {
	var all []book.Day
	for _, r := range []*book.Rule{p.Old, p.New} {
		if r != nil {
			all = append(all, r.Turns()...)
		}
	}
	if len(all) == 0 {
		on, _ := space.Together(p.Old, p.New)
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

// hold notes whether a part that changed depends on a value of the bag for which no bags stand.
func (u *Comparison) hold() {
	a, b := &u.Holdings[0], &u.Holdings[1]
	both := u.rules.Old != nil && u.rules.New != nil
	apart := both && u.rules.Old.Subject != u.rules.New.Subject // no subject is of both
	limit := a.Limit.Loose || b.Limit.Loose
	for _, w := range u.parts {
		switch {
		case a.Scope.Loose || b.Scope.Loose:
			u.loose = true
		case apart:
		case w == Exception:
			u.loose = u.loose || a.Exceptions.Loose || b.Exceptions.Loose || limit
		case w == Limit, w == Decides:
			u.loose = u.loose || limit || !u.oneValue(a.Set, b.Set)
		}
	}
}

// oneValue reports whether a value of a set is the same in both editions: taken alike, of the same, of the same clubs.
func (u *Comparison) oneValue(a, b *space.BagValue) bool {
	if a == nil || b == nil {
		return a == b
	}
	n := book.NewKeys(false)
	of := func(v *space.BagValue) string { return n.Part(book.Part{Expr: v.Set.Of, Info: v.Clubs.Info}) }
	switch {
	case a.Set.How.Plain() != b.Set.How.Plain() || of(a) != of(b):
		return false
	case n.Clubs(a.Clubs) == n.Clubs(b.Clubs):
		return true
	}
	return u.sameClubs(a.Clubs, b.Clubs)
}

// mostClubs bounds the clubs that are laid out for two selectors.
const mostClubs = 20_000

// sameClubs reports whether two selectors of the two editions take the same clubs; false too where that is not known.
func (d *Books) sameClubs(a, b book.Clubs) bool {
	s := space.NewSpace()
	s.Clubs(a)
	s.Clubs(b)
	if !s.Whole() || len(s.Methods) > 0 && (d.others[0].shops || len(s.Methods) > 2) {
		return false
	}
	s.NumberAbsent, s.MarkAbsent = true, true
	for _, x := range s.Axes {
		x.Absent = true
	}
	w := d.Walk(s, s.Axes)
	w.Left = mostClubs
	for c := range w.All() {
		was := d.oldAsk.Takes(a.Decl, a.Info, c.Club(d.old.Schema))
		if was != d.newAsk.Takes(b.Decl, b.Info, c.Club(d.new.Schema)) {
			return false
		}
	}
	return !w.Cut
}

// Whole reports whether what was not found is not there.
func (u *Comparison) Whole() bool {
	return u.Tour.Whole() && !u.blind && !u.loose && !u.hangs() && !(u.Repeats && slices.Contains(u.parts, Limit))
}

// Why says what kept the search from telling.
func (u *Comparison) Why() string {
	switch {
	case u.Cancelled():
		return "the comparison was stopped early"
	case u.Cut:
		return fmt.Sprintf("there are too many combinations to check all; %d were checked", u.Tried)
	case u.hangs() && !u.loose:
		return "heads, allowances or methods changed, and not every lie and shape that this could affect can be tried"
	case u.loose, u.Between:
		return "it depends on a value of all clubs of a set, and not every bag can be tried"
	case u.Converts() && !u.blind && !u.Blind:
		return "it asks for lengths by several methods, and not every lie can be tried"
	case u.Repeats && !u.blind && !u.Blind:
		return "it looks at the single readings of a club, and not every combination can be tried"
	}
	return "something in it changes at figures that cannot be worked out beforehand"
}

// Run tries the clubs that stand for all.
func (u *Comparison) Run() { u.Each(u.try) }

// try has both editions judge a bag and keeps what shows a change; false where no more bags are to be tried.
func (u *Comparison) try(b space.Bag) bool {
	if len(u.Best) == len(u.parts) {
		if u.spare -= u.pace(); u.spare < 0 {
			return false
		}
	}
	old, new := u.Sides[0].Look(b), u.Sides[1].Look(b)
	if u.shift && !u.reached && len(old)+len(new) > 0 {
		u.reached = u.readOtherwise(b)
	}
	either := maps.Clone(old)
	maps.Copy(either, new)
	for _, k := range slices.Sorted(maps.Keys(either)) {
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
	return !u.First || len(u.Best)+len(u.Mixed) == 0
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
func (u *Comparison) keep(
	to map[What][]shown, part What, alone bool, w window, b space.Bag, key string, o, n space.Saying,
) {
	s := shown{window: w, bag: b, key: key, score: score(part, o.Verdict(w.old), n.Verdict(w.new))}
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
