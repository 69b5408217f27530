package vet

// This file looks at one rule by itself: whether it can apply, whether its exceptions can hold, change
// something and agree, and whether what it requires can be met and shown.

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// study is what is known of one rule about single clubs.
type study struct {
	rule   *book.Rule
	takes  bool                       // it is surely about some club
	maybe  bool                       // nobody can tell whether it is about some other club
	judges bool                       // some club that it is about is not exempt
	whole  bool                       // all was looked at, but where lengths are converted; see surely
	atLie  bool                       // all clubs of one lie were looked at
	turned bool                       // it asks for lengths by several methods
	reach  map[catalogue.Kind]*[2]int // lowest and highest number of the clubs of each kind that it may be about

	// Where the limits stand, over all clubs that it is about; infinite where there is none.
	leastUpper, mostUpper, leastLower, mostLower float64
	straight                                     bool // it is a bound, and which one does not rest on the value itself

	exceptions []lifted
	telling    map[uint64]bool // as bits: exceptions that together change the verdict on some club
	clashes    []clash
	exempt     *space.Draft // a club that is exempt
	unmet      *space.Draft // all clubs that differ from this one in what is required alone fail
	unshown    *space.Draft // no reading of this one can be shown to be met
}

// lifted is what is known of an exception.
type lifted struct {
	decl  *ast.Unless
	holds *space.Draft // a club for which it holds
}

// clash is two exceptions that hold for a club and disagree.
type clash struct {
	of [2]*ast.Unless
	on space.Draft
}

// study looks at a rule about single clubs, once.
func (a *analyst) study(r *book.Rule) *study {
	if s := a.studies[r]; s != nil {
		return s
	}
	inf := math.Inf(1)
	moved := func(name string) bool { return a.moves(r, name) }
	s := &study{rule: r, telling: map[uint64]bool{}, reach: map[catalogue.Kind]*[2]int{},
		leastUpper: inf, mostUpper: -inf, leastLower: inf, mostLower: -inf,
		straight: r.Bound != nil && !slices.ContainsFunc(a.Requires(r), moved)}
	a.studies[r] = s
	for _, u := range r.Decl.Unless {
		s.exceptions = append(s.exceptions, lifted{decl: u})
	}
	q := a.Ask(r)
	q.Groups(func(cells iter.Seq[*space.Sample]) bool { s.group(cells); return true })
	for k, stands := range s.reach { // one kind that is not named stands for all of them
		if q.Kinds[k] || k == catalogue.Driver {
			continue
		}
		for _, other := range space.KindsInOrder {
			if !q.Kinds[other] && s.reach[other] == nil {
				reach := *stands
				s.reach[other] = &reach
			}
		}
		break
	}
	for k, reach := range s.reach { // beyond the outermost numbers that are told apart all are alike
		numbers := q.NumbersOf(k)
		if reach[0] <= numbers[0] {
			reach[0] = 0
		}
		if reach[1] >= slices.Max(numbers) {
			reach[1] = catalogue.HighestNumber
		}
	}
	s.whole, s.atLie, s.turned = !q.Cut && q.WholeButLengths(), q.WholeAtLie(), q.Converts()
	if q.Cut && a.Budget > 0 {
		const why = "too many combinations to check all of %s: the first %d were checked"
		a.Leave(why, r.Decl.Name.Text, space.MostCells)
	}
	return s
}

func (s *study) group(cells iter.Seq[*space.Sample]) {
	passes, fails, taken := false, false, true
	var failing, unshown *space.Draft
	within := false // unshown stands within its limits
	for c := range cells {
		g := &c.Says[0]
		if s.maybe = s.maybe || g.Takes == value.Unknown; g.Takes != value.True {
			continue
		}
		s.takes, s.judges = true, s.judges || g.Verdict != decide.Exempt
		s.extend(&c.Draft)
		var holding uint64
		for _, u := range g.Holding {
			k := slices.IndexFunc(s.exceptions, func(l lifted) bool { return l.decl == u })
			if e := &s.exceptions[k]; e.holds == nil {
				e.holds = &c.Draft
			}
			holding |= 1 << (k % 64)
			if g.Clash[0] != nil { // then it changes something, whatever else holds
				s.telling[1<<(k%64)] = true
			}
		}
		if holding != 0 && g.Clash[0] == nil && (g.Open || rank(g.Verdict) != rank(g.Plain.Verdict)) {
			s.telling[holding] = true
		}
		if g.Clash[0] != nil && !slices.ContainsFunc(s.clashes, func(k clash) bool { return k.of == g.Clash }) {
			s.clashes = append(s.clashes, clash{g.Clash, c.Draft})
		}
		switch g.Verdict {
		case decide.Pass:
			passes = true
		case decide.Exempt:
			passes = true
			s.exempt = &c.Draft
		case decide.Fail:
			fails = true
			failing = cmp.Or(failing, &c.Draft)
		case decide.Unmeasured, 0:
			taken = false
		}
		if g.NoneCanPass && (unshown == nil || !within && g.Limits.Contains(g.Value)) {
			unshown, within = &c.Draft, g.Limits.Contains(g.Value)
		}
		s.limits(g)
	}
	if unshown != nil && s.unshown == nil {
		s.unshown = unshown
	}
	if fails && taken && !passes && unshown == nil && s.unmet == nil {
		s.unmet = failing
	}
}

// idle are the exceptions of a rule without which no verdict is another: of two of which one will do, the later one.
func (s *study) idle() []lifted {
	var out []lifted
	kept := ^uint64(0)
	for k, e := range slices.Backward(s.exceptions) {
		counts := e.holds == nil
		for holding := range s.telling {
			counts = counts || holding&kept == 1<<(k%64)
		}
		if !counts {
			kept &^= 1 << (k % 64)
			out = append(out, e)
		}
	}
	slices.Reverse(out)
	return out
}

// surely reports whether no club of any lie shows what none showed of the clubs that the rule is about.
func (s *study) surely() bool {
	q := space.NewSpace()
	q.Clubs(s.rule.Among)
	return s.whole && !q.Converts()
}

// lifted reports whether exceptions exempt all clubs that the rule is about.
func (s *study) lifted() bool { return s.takes && !s.judges && s.whole && !s.turned }

// limits takes in the limits of a cell.
func (s *study) limits(g *judge.Glance) {
	if g.Verdict == decide.Exempt {
		return
	}
	upper, lower := math.Inf(1), math.Inf(-1)
	if g.HasBound {
		upper, lower = g.Limits.Upper, g.Limits.Lower
	}
	s.leastUpper, s.mostUpper = min(s.leastUpper, upper), max(s.mostUpper, upper)
	s.leastLower, s.mostLower = min(s.leastLower, lower), max(s.mostLower, lower)
}

// extend notes that the rule is about a club.
func (s *study) extend(d *space.Draft) {
	r := s.reach[d.Kind]
	if r == nil {
		s.reach[d.Kind] = &[2]int{d.Number, d.Number}
		return
	}
	r[0], r[1] = min(r[0], d.Number), max(r[1], d.Number)
}

// singles looks at each rule of the book about single clubs.
func (a *analyst) singles() {
	for _, r := range a.book.Rules {
		if r.Subject == ast.OfClub {
			a.single(a.study(r))
		}
	}
}

func (a *analyst) single(s *study) {
	r := s.rule
	name := r.Decl.Name.Text
	for _, k := range s.clashes {
		a.findClash(r, k.of, space.Bag{k.on}, "club, "+unit.Article(k.on.Name())+",")
	}
	if d := s.unshown; !a.neverSure(r) && d != nil {
		a.findNeverShown(r, space.Bag{*d}, fmt.Sprintf("no reading by %s can be sure that %s is met by %s: "+
			"it is not fine enough for so narrow a tolerance", d.Method, name, unit.Article(d.Name())))
	}
	if s.atLie && s.unmet != nil {
		if w := a.shows(r, space.Bag{*s.unmet}, decide.Fail); w != nil {
			a.find(NeverMet, r.Decl.Require.Span, w, "limits with room between them",
				"%s can never be met by %s, whatever is read of %s", name, a.phrase(s.unmet, r), a.what(r))
		}
	}
	if !s.takes {
		if s.surely() && !s.maybe {
			a.findAboutNothing(r)
		}
		return
	}
	if s.lifted() {
		a.findLifted(r, space.Bag{*s.exempt}, "club")
	}
	for _, e := range s.exceptions {
		if e.holds == nil && s.whole && !s.turned {
			a.neverHolds(r, e.decl, "club that the rule is about meets", "a condition that some club of the rule meets")
		}
	}
	if !s.whole || s.turned || !s.straight && r.Decision.Kind != ast.Simple { // a half-width may tell
		return
	}
	any := []decide.Verdict{decide.Pass, decide.Exempt, decide.TooClose, decide.Unmeasured, decide.Fail}
	for _, e := range s.idle() {
		w := a.shows(r, space.Bag{*e.holds}, any...)
		if w != nil {
			a.find(ExceptionIdle, e.decl.Span, w, "the rule without it, or another bound",
				"this exception of %s changes nothing: wherever it holds, the verdict is the same without it", name).
				see(r.Decl.Require.Span, "what the rule requires anyway")
		}
	}
}

// neverHolds reports an exception that holds for nothing; of one in an order, that is where none before it holds.
func (a *analyst) neverHolds(r *book.Rule, u *ast.Unless, nobody, expected string) {
	keys, own := book.NewKeys(false), ""
	for _, e := range slices.Backward(r.Unless) {
		switch key := keys.Part(e.When); {
		case e.Decl == u:
			own = key
		case own == key:
			return // the check of the book says it
		}
	}
	never, condition := "hold", "its condition"
	if u.Else {
		never, condition = "be reached", "its condition and that of none before it"
	}
	a.find(ExceptionNever, u.Span, nil, expected, "this exception of %s can never %s: no %s %s",
		r.Decl.Name.Text, never, nobody, condition).see(r.Decl.For.Span, "what the rule is about")
}

// neverSure reports bounds of a rule that a value meets at just one figure, of which no reading is ever sure; false
// where there are none.
func (a *analyst) neverSure(r *book.Rule) (told bool) {
	read, when := a.unsure(r)
	means := "this rule can never pass"
	if r.Decision.Kind == ast.GuardedRejection {
		means = "this rule passes whatever may be right"
	}
	for _, b := range r.Bounds() {
		if read == "" || !b.OneFigure() {
			continue
		}
		f := a.find(NeverSure, b.Span, nil, "a tolerance, or decision simple",
			"no %s is sure to be exactly this, so %s%s", read, means, when)
		if told = true; r.Value.Type().Dim == unit.Length {
			f.Hint = "is " + b.Low.At.Expr.Place().OneLine() + " +/- 1/16 in"
		}
	}
	return told
}

// unsure is what a rule that counts how sure it is requires something of, and of which a reading may be unsure: a
// length always is, and anything else when the sheet says so. "" for nothing.
func (a *analyst) unsure(r *book.Rule) (read, when string) {
	_, share := r.Value.Behind().Expr.(*ast.ShareOfReadings)
	if r.Decision.Kind == ast.Simple || r.Value.Type().Dim == unit.Count || share {
		return "", ""
	}
	for _, name := range a.Requires(r) {
		switch p, ok := a.Program.Schema.Lookup(name); { // of what was ordered one is sure
		case !ok || !p.Sort.Numeric() || p.Sort == catalogue.Count:
		case p.ByMethod:
			return "measured length", ""
		default:
			read, when = name+" with a stated +/-", " where it is read so"
		}
	}
	return read, when
}

// phrase is a club in a sentence about rules; where they look at more of it than what they require something of, it is
// one such as the witness shows.
func (a *analyst) phrase(d *space.Draft, rules ...*book.Rule) string {
	out := unit.Article(d.Name())
	for _, r := range d.Readings {
		requires := func(one *book.Rule) bool { return slices.Contains(a.Requires(one), r.Prop.Name) }
		if !slices.ContainsFunc(rules, requires) {
			return out + " such as this one"
		}
	}
	return out
}

// what is what a rule requires something of, in words.
func (a *analyst) what(r *book.Rule) string {
	if r.Bound != nil {
		return r.Value.Expr.Place().OneLine()
	}
	names := a.Requires(r)
	if len(names) == 0 {
		return "it"
	}
	return unit.Listed(names, "and")
}
