package analyse

// This file holds a rule of two editions against itself: it lays out the clubs that stand for all, has both editions
// judge them, and keeps for each part of the rule the subject that shows best that it changed.

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

const (
	mostTried    = 60_000 // bags that are judged for one rule
	lookFurther  = 50     // bags that are judged for a better witness when there is one for each part
	mostMembers  = 24     // different clubs of which bags are made
	mostCopies   = 30     // clubs of a bag
	mostReadings = 10     // of one property of a club
)

// duel is a rule in two editions, and what was found to be judged differently.
type duel struct {
	*differ
	*walk
	rules   Pair
	parts   []What
	sides   [2]*side
	days    []window
	by      []string // methods by which lengths are read, those that the rule asks for first
	scope   []*axis
	free    []*axis
	pivot   *axis // the property that is moved last, to where a verdict turns; nil for none
	turning bool  // where verdicts turn is not known from the formulas alone
	halves  bool  // readings may state a half-width
	kind    ast.SubjectKind

	first bool             // one difference is enough
	best  map[What][]shown // by part, the best last
	mixed map[What][]shown // the same where only several parts together make a difference
	tried int
	spare int  // bags still to be looked at when all is found
	blind bool // conditions turn where nobody can tell

	roundabout bool // a value turns where the formulas do not tell
}

// shown is a subject that shows a change, and how well it does.
type shown struct {
	window
	bag    bag
	key    string // of the subject
	score  int
	length int // of what is read of its clubs, as text
}

// window is a day that stands for all on which the same of the two rules are in force.
type window struct {
	on       check.Day
	old, new bool
	apart    bool // on no day are both in force: the verdicts are held against each other as if they were
}

// side is the rule in one edition.
type side struct {
	program *engine.Program
	probe   *engine.Probe
	rule    *check.Rule // nil where the edition has none
	judge   *engine.Judge
	club    club.Club
	said    map[string]saying
}

// saying is what an edition says of one subject.
type saying struct {
	of     ast.SubjectKind
	clubs  []string
	result *engine.Result // nil where the book disagrees with itself
}

func (d *differ) duel(p Pair, parts []What) *duel {
	u := &duel{differ: d, walk: &walk{space: newSpace()}, rules: p, parts: parts, best: map[What][]shown{}, mixed: map[What][]shown{}, spare: lookFurther,
		sides: [2]*side{newSide(d.old, d.oldAsk, p.Old), newSide(d.new, d.newAsk, p.New)}, kind: ast.OfClub}
	u.days = windows(p)
	lengths, unsure := false, false
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		u.gather(s.rule)
		f := d.written[s.rule]
		lengths = lengths || len(f.methods) > 0
		unsure = unsure || s.rule.Decision.Kind != ast.Simple
		for _, m := range f.methods {
			if !slices.Contains(u.by, m) {
				u.by = append(u.by, m)
			}
		}
		switch k := s.rule.Decl.For.Kind; {
		case k == ast.OfSet || u.bags:
			u.kind = ast.OfSet
		case k == ast.OfNeighbours && u.kind == ast.OfClub:
			u.kind = ast.OfNeighbours
		}
	}
	if p.Old != nil && p.New != nil && lengths && d.measured(d.written[p.Old], d.written[p.New]) {
		for _, m := range d.common {
			if !slices.Contains(u.by, m) {
				u.by = append(u.by, m)
			}
		}
	}
	if lengths && (unsure || len(u.by) > 1) {
		u.tools(d.old)
		u.tools(d.new)
	}
	if slices.Contains(parts, Decides) {
		u.spare, u.halves = 10*lookFurther, unsure
	}
	u.turning = unsure || len(u.by) > 1 || u.roundabout || u.kind != ast.OfClub
	u.choose()
	return u
}

func newSide(p *engine.Program, probe *engine.Probe, r *check.Rule) *side {
	s := &side{program: p, probe: probe, rule: r, said: map[string]saying{}}
	if r != nil {
		s.judge = p.NewJudge(engine.Options{Day: check.NoDay, All: true, Rules: func(one *check.Rule) bool { return one == r }})
	}
	return s
}

// gather notes what a rule speaks of. Where a value meets its limits is found by judging, where the formulas do not tell.
func (u *duel) gather(r *check.Rule) {
	info, d := r.Book.Info, r.Decl
	if d.For.Kind == ast.OfNeighbours {
		u.pos = anyPos
	}
	if d.For.Selector != nil {
		u.selector(d.For.Selector, info)
	}
	for _, e := range d.Unless {
		u.formula(e.Condition, info, false)
	}
	u.blind = u.blind || u.inexact
	u.rule(r)
	if d.Require.Bound == nil {
		u.blind = u.blind || u.inexact
	}
	u.roundabout, u.inexact = u.roundabout || u.inexact, false
	if d.For.Kind == ast.OfNeighbours && len(u.numbers) == 0 {
		u.numbers[6], u.numbers[7] = true, true // two clubs have to stand in an order
	}
}

// choose orders the properties: those that decide whether a rule applies, those that it requires something
// of, and of these the one that is moved last.
func (u *duel) choose() {
	rank := func(a *axis) int {
		switch {
		case !a.free || !a.prop.Sort.Numeric():
			return 0
		case a.prop.ID == catalogue.LengthID:
			return 3
		case len(a.turns) > 0:
			return 2
		}
		return 1
	}
	for _, a := range u.axes {
		a.absent = true
		if r := rank(a); r > 0 && (u.pivot == nil || r > rank(u.pivot)) {
			u.pivot = a
		}
	}
	u.numberAbsent = len(u.numbers) > 0 || len(u.ranges) > 0
	for _, a := range u.axes {
		switch {
		case a == u.pivot:
		case a.free:
			u.free = append(u.free, a)
		default:
			u.scope = append(u.scope, a)
		}
	}
	order := slices.Concat(u.scope, u.free)
	if u.pivot != nil {
		order = append(order, u.pivot)
	}
	u.forms = u.project(order)
}

// windows are the days that count for two rules.
func windows(p Pair) []window {
	var all []check.Day
	for _, r := range []*check.Rule{p.Old, p.New} {
		if r == nil {
			continue
		}
		if r.From != check.NoDay {
			all = append(all, r.From, r.From-1)
		}
		if r.Until != check.NoDay {
			all = append(all, r.Until, r.Until+1)
		}
	}
	if len(all) == 0 {
		return []window{{on: check.NoDay, old: p.Old != nil, new: p.New != nil}}
	}
	in := func(r *check.Rule, on check.Day) bool {
		return r != nil && (r.From == check.NoDay || r.From <= on) && (r.Until == check.NoDay || on <= r.Until)
	}
	slices.Sort(all)
	var out []window
	both := false
	for _, on := range all {
		w := window{on: on, old: in(p.Old, on), new: in(p.New, on)}
		if (w.old || w.new) && !slices.ContainsFunc(out, func(v window) bool { return v.old == w.old && v.new == w.new }) {
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

// whole tells whether what was not found is not there.
func (u *duel) whole() bool {
	return !u.cut && !u.blind && !u.inexact && !(u.repeats && slices.Contains(u.parts, Limit))
}

// why says what kept the search from telling.
func (u *duel) why() string {
	switch {
	case u.cut:
		return fmt.Sprintf("there are too many combinations to look at all; %d were", u.tried)
	case u.repeats && !u.blind:
		return "it asks for the single readings of a club, of which not all combinations can be tried"
	}
	return "something in it turns at figures that cannot be worked out beforehand"
}

// run tries the clubs that stand for all.
func (u *duel) run() {
	switch u.kind {
	case ast.OfClub:
		u.eachClub(func(d *draft) bool { return u.try(bag{*d}) })
	case ast.OfNeighbours:
		u.eachPair()
	default:
		u.eachBag()
	}
}

// eachClub calls f with every club that counts, until it is false.
func (u *duel) eachClub(f func(*draft) bool) bool {
	for _, d := range u.shapes() {
		if !u.vary(&d, slices.Concat(u.scope, u.free), func(d *draft) bool { return u.sweep(bag{*d}, func(b bag) bool { return f(&b[0]) }) }) {
			return false
		}
	}
	return true
}

// vary gives a club every combination of readings of some axes. Clubs that neither rule is about are left out.
func (u *duel) vary(d *draft, axes []*axis, f func(*draft) bool) bool {
	if !u.concerned(d) {
		return true
	}
	if len(axes) == 0 {
		return f(d)
	}
	a := axes[0]
	for _, e := range u.read(a, d, u.fallback(a, d)) {
		if !u.vary(&e, axes[1:], f) {
			return false
		}
	}
	return true
}

// fallback are values to try of a property that nothing is compared with by itself.
func (u *duel) fallback(a *axis, d *draft) []float64 {
	if a != u.pivot && len(a.turns) == 0 && a.prop.Sort.Numeric() && (u.kind != ast.OfClub || a.free && slices.Contains(u.parts, Limit)) {
		return []float64{typical(a.prop, d)}
	}
	return nil
}

// read is a club with each reading that a property may have, by each method, and without one.
func (u *duel) read(a *axis, d *draft, more []float64) []draft {
	var out []draft
	bare := false
	for _, e := range u.ways(a, d) {
		for _, r := range u.options(a, &e, more) {
			if r == nil && bare {
				continue
			}
			bare = bare || r == nil
			out = append(out, with(e, r))
		}
	}
	if !bare {
		out = append(out, *d)
	}
	return out
}

// ways is a club with each method by which its length may be read; the club as it is for another property.
func (u *duel) ways(a *axis, d *draft) []draft {
	if a.prop.ID != catalogue.LengthID {
		return []draft{*d}
	}
	var out []draft
	for _, m := range u.by {
		e := *d
		e.method = m
		if u.sides[0].covers(&e) || u.sides[1].covers(&e) {
			out = append(out, e)
		}
	}
	return out
}

// with is a club with one more reading.
func with(d draft, r *reading) draft {
	d.readings = slices.Clone(d.readings)
	if r != nil {
		d.put(*r)
	}
	return d
}

// covers tells whether the books know how a club's length is read, and that it can be read so.
func (s *side) covers(d *draft) bool {
	if d.method == "" {
		return true
	}
	d.layInto(&s.club, s.program.Schema)
	return s.program.Method(d.method) != nil && s.program.Covers(d.method, &s.club) == ""
}

// legible tells whether a sheet with the clubs of a bag can be read with the books of the side.
func (s *side) legible(b bag) bool {
	for i := range b {
		d := &b[i]
		if d.of("length") != nil && !s.covers(d) {
			return false
		}
		for _, r := range d.readings {
			if p, ok := s.program.Schema.Lookup(r.prop.Name); ok && p.Sort != r.prop.Sort {
				return false
			} else if ok && p.Method != "" {
				d.layInto(&s.club, s.program.Schema)
				if s.program.Covers(p.Method, &s.club) != "" {
					return false
				}
			}
		}
	}
	return true
}

// concerned tells whether either rule may be about a club.
func (u *duel) concerned(d *draft) bool {
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		sel := s.rule.Decl.For.Selector
		if sel == nil || u.kind == ast.OfSet {
			return true
		}
		d.layInto(&s.club, s.program.Schema)
		if s.probe.Takes(sel, s.rule.Book.Info, &s.club) != engine.False {
			return true
		}
	}
	return false
}

// sweep moves the pivot of the last club of a bag through all that makes a difference.
func (u *duel) sweep(b bag, f func(bag) bool) bool {
	if u.pivot == nil {
		return f(b)
	}
	last := len(b) - 1
	var more []float64 // what stands there, and what other clubs have
	for i := range b {
		if r := b[i].of(u.pivot.prop.Name); r != nil {
			more = append(more, r.amount)
		}
	}
	for _, e := range u.ways(u.pivot, &b[last]) {
		rough := u.options(u.pivot, &e, more)
		for _, before := range u.before(rough) {
			for _, half := range u.stated(rough) {
				options := rough
				if u.turning || half > 0 || len(before) > 0 {
					options = u.options(u.pivot, &e, append(u.roots(b, e, rough, half, before), more...))
				}
				for _, r := range options {
					if r == nil {
						continue
					}
					if r.half, r.more = half, before; !f(ending(b, with(e, r))) {
						return false
					}
				}
			}
		}
	}
	return f(ending(b, without(b[last], u.pivot)))
}

// without is a club without a reading.
func without(d draft, a *axis) draft {
	d.readings = slices.Clone(d.readings)
	d.take(a.prop.Name)
	return d
}

// before are the readings of the pivot that come before the one that is moved: none, and where a rule asks for single
// readings up to mostReadings of two amounts.
func (u *duel) before(options []*reading) [][]float64 {
	out := [][]float64{nil}
	var amounts []float64
	for _, r := range options {
		if r != nil {
			amounts = append(amounts, r.amount)
		}
	}
	if !u.repeats || len(amounts) == 0 {
		return out
	}
	low, high := amounts[:1], amounts[len(amounts)-1:]
	for n := 1; n < mostReadings; n++ {
		for k := 0; k <= n && (k == 0 || low[0] != high[0]); k++ {
			out = append(out, append(slices.Repeat(high, k), slices.Repeat(low, n-k)...))
		}
	}
	return out
}

// ending is a bag with another last club.
func ending(b bag, d draft) bag {
	out := slices.Clone(b)
	out[len(out)-1] = d
	return out
}

// stated are the half-widths that are stated with the pivot: none, and one where it counts how sure a value is.
func (u *duel) stated(options []*reading) []float64 {
	if u.halves && u.pivot.prop.Sort != catalogue.Count && len(options) > 0 && options[0] != nil {
		return []float64{0, u.pivot.unit.ToBase(stepBeside(u.pivot.unit.FromBase(options[0].amount)) / 16)}
	}
	return []float64{0}
}

// roots are the values of the pivot of the last club at which a verdict turns, found by judging at two values close
// together: between them both the value and its limits run straight.
func (u *duel) roots(b bag, d draft, options []*reading, half float64, before []float64) []float64 {
	const most = 12
	var out []float64
	for i, r := range options {
		if r == nil || len(options) > most && i%(len(options)/most+1) != 0 {
			continue
		}
		one, two := *r, *r
		step := u.pivot.unit.ToBase(stepBeside(u.pivot.unit.FromBase(r.amount))) / 64
		two.amount += step
		one.half, two.half = half, half
		one.more, two.more = before, before
		for _, s := range u.sides {
			near := maps.Clone(s.look(ending(b, with(d, &one))))
			for key, far := range s.look(ending(b, with(d, &two))) {
				n := near[key].result
				if n == nil || far.result == nil || n.Exception != far.result.Exception || !n.Value.Known() || !far.result.Value.Known() {
					continue
				}
				x, y := u.edges(n), u.edges(far.result)
				for k := range x {
					f0, f1 := n.Value.Base-x[k], far.result.Value.Base-y[k]
					if root := one.amount - f0*step/(f1-f0); f1 != f0 && !math.IsNaN(root) && !math.IsInf(root, 0) {
						out = append(out, root)
					}
				}
			}
		}
	}
	return out
}

// edges are the values at which a verdict turns: limits, and limits of acceptance and rejection under the decisions
// of both editions.
func (u *duel) edges(r *engine.Result) []float64 {
	l := limitsOf(r)
	out := []float64{l.Lower, l.Upper}
	for _, s := range u.sides {
		if s.rule == nil || s.rule.Decision.Kind == ast.Simple || !r.Uncertainty.Known() {
			out = append(out, math.NaN(), math.NaN(), math.NaN(), math.NaN())
			continue
		}
		d := decide.Rule{Kind: kindOf[s.rule.Decision.Kind], Level: s.rule.Decision.Level}
		p := d.Passing(l, r.Uncertainty.Base)
		below, above := d.Failing(l, r.Uncertainty.Base)
		out = append(out, p.Low, p.High, below, above)
	}
	return out
}

// limitsOf are the limits that a result was held against.
func limitsOf(r *engine.Result) decide.Limits {
	l := decide.None()
	if r.Lower.Known() {
		l.Lower, l.OpenLower = r.Lower.Base, r.Open
	}
	if r.Upper.Known() {
		l.Upper, l.OpenUpper = r.Upper.Base, r.Open
	}
	return l
}

// look has the rule judge a bag. What it gives holds until the next look.
func (s *side) look(b bag) map[string]saying {
	clear(s.said)
	if s.rule == nil || !s.legible(b) {
		return s.said
	}
	add := func(of engine.Subject, r *engine.Result) {
		one := saying{of: of.Kind, result: r}
		for _, c := range of.Clubs {
			one.clubs = append(one.clubs, c.ID)
		}
		s.said[strings.Join(one.clubs, " ")] = one
	}
	s.judge.Set(b.lay(s.program.Schema), engine.Sink{
		Result:   func(r *engine.Result) { add(r.Subject, r) },
		Conflict: func(c *engine.Conflict) { add(c.Subject, nil) },
	})
	return s.said
}

// try has both editions judge a bag and keeps what shows a change; false where no more bags are to be tried.
func (u *duel) try(b bag) bool {
	if u.tried++; u.tried > mostTried {
		u.cut = true
		return false
	}
	if len(u.best) == len(u.parts) {
		if u.spare--; u.spare < 0 {
			return false
		}
	}
	old, new := u.sides[0].look(b), u.sides[1].look(b)
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
			to := u.best
			if !sure {
				to = u.mixed
			}
			for _, part := range parts {
				u.keep(to, part, w, b, k, o, n)
			}
		}
	}
	if u.first && len(u.best)+len(u.mixed) > 0 {
		return false
	}
	return true
}

// keep keeps a subject that shows a change better than those that were found before.
func (u *duel) keep(to map[What][]shown, part What, w window, b bag, key string, o, n saying) {
	s := shown{window: w, bag: b, key: key, score: score(part, o.verdict(w.old), n.verdict(w.new))}
	before := to[part]
	if len(before) > 0 && before[len(before)-1].score > s.score {
		return
	}
	s.length = b.length()
	if len(before) > 0 && before[len(before)-1].score == s.score && before[len(before)-1].length <= s.length {
		return
	}
	to[part] = append(before, s)
}

// contrast is the best witness of a change, confirmed; nil where there is none.
func (u *duel) contrast(from map[What][]shown, part What) *Contrast {
	for _, s := range slices.Backward(from[part]) {
		if c, ok := u.witness(part, s.window, s.bag, s.key); ok {
			return c
		}
	}
	return nil
}

// length is that of what is read of the clubs of a bag, as text.
func (b bag) length() int {
	n := 0
	for i := range b {
		n += 8 // for the club itself
		for k := range b[i].readings {
			n += len(b[i].readings[k].words())
		}
	}
	return n
}

// verdict is what is said on a day; 0 where the rule is not in force, or says nothing.
func (s saying) verdict(inForce bool) decide.Verdict {
	if s.result == nil || !inForce {
		return 0
	}
	return s.result.Verdict
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
