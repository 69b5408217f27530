package judge

// This file leads a judge through a set: which rules apply to which clubs, at
// which settings, and what is given of each.

import (
	"maps"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Options says what a Judge is asked for.
type Options struct {
	Day   book.Day              // NoDay: days are ignored, every rule is in force
	Rules func(*book.Rule) bool // nil: all
	About func(Subject) bool    // subjects whose results are counted and given; nil: all. It takes All
	All   bool                  // give passes too, with their steps; else they are only counted
	Bare  bool                  // give what plainly passes with its verdict alone. It takes All
}

// Judge judges sets by a program. It is for one goroutine.
type Judge struct {
	*eval.Bench
	program *Program
	rules   []*rule                       // those in force and asked for
	about   func(Subject) bool            // nil: all
	met     []bool                        // by the index of a rule: it gave a result
	waivers map[*book.Rule][]*book.Waiver // that hold on the day, by their rule
	waived  map[*book.Waiver]WaiverState
	trying  bool // what is given is one of several combinations of settings, of which the worst counts
	all     bool
	bare    bool                    // nothing is asked of what plainly passes but that it does, or not even that
	plain   Result                  // the last one that was given bare
	every   bool                    // give each result in place of the worst, with what values of the set come from
	unread  map[*club.Club][]unread // refused rows that are a setting of a club of the set in hand; nil for none
	lined   []member                // scratch of pairs
}

// task is a subject in hand: where its formulas are worked out, and its judge.
type task struct {
	eval.Env
	judge *Judge
}

// task is what to do about a bag.
func (j *Judge) task(info *book.Info, b *eval.Bag) task {
	return task{eval.Env{Bench: j.Bench, Info: info, Bag: b}, j}
}

// about is some clubs of the bag as the subject of a rule; none for the bag itself.
func (x *task) about(r *rule, clubs ...*club.Club) Subject {
	return Subject{Kind: r.Subject, Set: x.Bag.Set.Name, File: x.Bag.Set.File, Clubs: clubs}
}

// settled is a bag at one combination of its clubs' settings.
type settled struct {
	eval.Bag
	unread []unread // which of its clubs are what was read of a refused row
}

// NewJudge returns a judge.
func (p *Program) NewJudge(o Options) *Judge {
	j := p.scratch()
	j.Today = o.Day
	j.waivers = p.waivers(o.Day)
	j.all, j.about, j.bare = o.All, o.About, o.Bare || !o.All
	asked := func(r *rule) bool { return r.InForce(o.Day) && (o.Rules == nil || o.Rules(r.Rule)) }
	j.rules = lists.Kept(p.rules, asked)
	return j
}

// Only returns a judge of some rules, on a day, that gives passes too; on NoDay what is today is SomeDay.
func (p *Program) Only(on book.Day, rules ...*book.Rule) *Judge {
	j := p.NewJudge(Options{Day: on, All: true, Rules: func(r *book.Rule) bool { return slices.Contains(rules, r) }})
	if on == book.NoDay {
		j.Today = SomeDay
	}
	return j
}

// SomeDay is the day of the check, 2020-01-01, for questions about books that have the same answer on any day.
const SomeDay book.Day = 18262

// scratch is a judge of no rules.
func (p *Program) scratch() *Judge {
	return &Judge{Bench: p.NewBench(), program: p, met: make([]bool, len(p.rules))}
}

// Sink takes what judging gives, in the order of the rules and, within a rule, of
// the clubs. A Result may be kept unless it is bare, but the clubs that it names only as long as
// their set. Either function may be nil.
type Sink struct {
	Result   func(*Result)
	Conflict func(*Conflict)
}

// Set judges one set and returns the tally of its results.
func (j *Judge) Set(s *club.Set, to Sink) Tally {
	if s.Order.File != "" && len(s.Clubs)+len(s.Refused) == 0 { // it was ordered, and is on no sheet
		return Tally{}
	}
	bags, large := j.combinations(s)
	j.ForgetClubs()
	var t Tally
	x := j.task(nil, &bags[0].Bag)
	for _, r := range j.rules {
		switch {
		case r.Subject == ast.OfClub && !r.Facts.Bag:
			x.Info = r.Book.Info
			j.ForgetSet()
			for _, c := range s.Clubs {
				j.club(&x, r, c, &t, to)
			}
		case large != nil:
			if s.Part < 2 { // it is given with the first part
				j.give(r, j.untried(r, &bags[0].Bag, large), nil, &t, to)
			}
		case len(bags) == 1 || j.every:
			for i := range bags {
				j.ForgetSet()
				j.bag(r, &bags[i], &t, to)
			}
		default:
			j.settings(r, bags, &t, to)
		}
	}
	return t
}

// club judges a club by a rule at each of its settings; the worst counts. A setting that could not be read leaves open
// what passes at the others, unless what could be read of it decides.
func (j *Judge) club(x *task, r *rule, c *club.Club, t *Tally, to Sink) {
	in := r.selector.Quick(c)
	switch {
	case in == value.False:
		return
	case j.every:
		j.give(r, j.atUnread(x, r, c), nil, t, to)
		for s := c; s != nil; s = s.Next {
			res, clash := j.one(x, r, s)
			j.give(r, res, clash, t, to)
		}
		return
	}
	if x.Club = c; j.bare && c.Next == nil && (j.unread == nil || j.unread[c] == nil) {
		if in == value.Unknown {
			in, _ = x.Picks(r.selector)
		}
		if in == value.False || in == value.True && j.passes(x, r, t, to) {
			return
		}
	}
	var worst *Result
	for s := c; s != nil; s = s.Next {
		res, clash := j.one(x, r, s)
		if clash != nil {
			j.give(r, nil, clash, t, to)
			return
		}
		worst = worse(worst, res)
	}
	j.give(r, worse(worst, j.atUnread(x, r, c)), nil, t, to)
}

// worse returns the worse of two results of one subject; nil is none, and one that is Apart counts as none. If the
// other is open, too, a reading settles it only by making it fail.
func worse(a, b *Result) *Result {
	switch {
	case a == nil, b != nil && a.Apart():
		return b
	case b == nil || b.Apart():
		return a
	case b.Verdict < a.Verdict,
		b.Verdict == a.Verdict && b.Margin.Known() && a.Margin.Known() && b.Margin.Base < a.Margin.Base:
		a, b = b, a
	}
	switch s := a.Settle; {
	case s == nil || s.to == decide.Fail || b.Verdict > decide.Unmeasured:
	case b.Verdict == decide.TooClose:
		a.Settle = nil
	case s.to == decide.Pass:
		a.Settle = &Settle{}
	}
	return a
}

func (j *Judge) give(r *rule, res *Result, clash *Conflict, t *Tally, to Sink) {
	if clash != nil {
		if !j.wants(clash.Subject) {
			return
		}
		j.waive(r, &Result{Subject: clash.Subject, Verdict: decide.Unmeasured})
		j.met[r.index] = true
		t.Conflicts++
		if to.Conflict != nil {
			to.Conflict(clash)
		}
		return
	}
	if res == nil || !j.wants(res.Subject) {
		return
	}
	j.waive(r, res)
	j.count(r, res.Verdict, t)
	if to.Result != nil && (j.all || res.Waiver != nil || res.Verdict != decide.Pass && res.Verdict != decide.Exempt) {
		to.Result(res)
	}
}

// wants reports whether the results of a subject are asked for.
func (j *Judge) wants(s Subject) bool { return j.about == nil || j.about(s) }

// passes counts the subject of x where it plainly passes by a rule, or is exempt, and gives it bare where passes are
// given; else the recording walk must tell.
func (j *Judge) passes(x *task, r *rule, t *Tally, to Sink) bool {
	if !j.bare || j.every || j.trying {
		return false
	}
	v := x.fast(r)
	switch {
	case v == 0:
		return false
	case !j.all:
		j.count(r, v, t)
		return true
	}
	s := x.about(r)
	switch r.Subject {
	case ast.OfClub:
		s.Clubs = []*club.Club{x.Club}
	case ast.OfNeighbours:
		s.Clubs = []*club.Club{x.First, x.Second}
	}
	j.plain = Result{Rule: r.Rule, Subject: s, Verdict: v}
	j.give(r, &j.plain, nil, t, to)
	return true
}

// count counts a verdict.
func (j *Judge) count(r *rule, v decide.Verdict, t *Tally) {
	j.met[r.index] = true
	t.Count(r.Rule, v)
}

// MetNothing lists the rules that it judges by which gave no result of any set so far.
func (j *Judge) MetNothing() []*book.Rule {
	var out []*book.Rule
	for _, r := range j.rules {
		if !j.met[r.index] {
			out = append(out, r.Rule)
		}
	}
	return out
}

// one judges a club at one setting; nil, nil where the rule is not about it.
func (j *Judge) one(x *task, r *rule, c *club.Club) (*Result, *Conflict) {
	x.Club = c
	s := x.about(r, c)
	switch in, lacks := x.Picks(r.selector); in {
	case value.False:
		return nil, nil
	case value.Unknown:
		return x.result(r, s, unmeasured(lacks)), nil
	}
	return j.subject(x, r, s)
}

// subject judges one subject, recording the facts.
func (j *Judge) subject(x *task, r *rule, s Subject) (*Result, *Conflict) {
	y := *x
	y.Steps, y.Shown = &[]eval.Step{}, r.Unit
	j.Clashed = nil
	o, between, ok := y.outcome(r)
	j.blame(&o)
	switch {
	case !ok:
		return nil, &Conflict{Rule: r.Rule, Subject: s, Between: between}
	case j.Clashed != nil:
		return nil, &Conflict{Rule: r.Rule, Subject: s, Rows: *j.Clashed}
	}
	res := y.result(r, s, o)
	if j.every {
		y.members(r, res)
	}
	return res, nil
}

// bag judges a bag by a rule about pairs, about the whole set, or about clubs with
// a value of their set.
func (j *Judge) bag(r *rule, b *settled, t *Tally, to Sink) {
	x := j.task(r.Book.Info, &b.Bag)
	if b.unread != nil {
		to = x.doubt(r, b.unread, to)
	}
	switch r.Subject {
	case ast.OfClub:
		for _, c := range b.Clubs {
			res, clash := j.one(&x, r, c)
			j.give(r, res, clash, t, to)
		}
	case ast.OfSet:
		s := x.about(r)
		switch in := x.takesSet(r); {
		case in.Truth == value.True && j.passes(&x, r, t, to):
		case in.Truth == value.True:
			res, clash := j.subject(&x, r, s)
			j.give(r, res, clash, t, to)
		case in.Truth == value.Unknown:
			j.give(r, x.result(r, s, unmeasured(in.Lacks)), nil, t, to)
		}
	default:
		j.pairs(&x, r, t, to)
	}
}

// takesSet reports whether a rule about sets is about the set of x.
func (x *task) takesSet(r *rule) value.Value {
	if r.Among.Decl == nil {
		return value.TruthOf(true)
	}
	y := x.Env
	y.Carries = true
	return y.Condition(r.Among.Decl.Where)
}

// The settings that are tried together in one set, and the clubs in all of these trials.
const (
	maxCombinations = 256
	maxTried        = 100_000
)

// combinations returns the bag at each combination of its clubs' settings, those that could not be read
// among them: one for a set without adjustable clubs. Where the set cannot be judged as a whole it says why, and gives
// the bag as it is read.
func (j *Judge) combinations(s *club.Set) (bags []settled, large []value.Lack) {
	unread, others := unreadSettings(s)
	j.unread = unread
	n := 1
	for _, c := range s.Clubs {
		settings := len(unread[c])
		for d := c; d != nil; d = d.Next {
			settings++
		}
		if n *= settings; n > maxCombinations || n > 1 && n*len(s.Clubs) > maxTried {
			large = []value.Lack{{Kind: value.ManySettings, Property: "setting"}}
			return []settled{{Bag: eval.Bag{Set: s, Clubs: s.Clubs, Refused: s.Refused}}}, large
		}
	}
	bags = []settled{{Bag: eval.Bag{Set: s, Clubs: s.Clubs, Refused: others}}}
	if s.Part > 0 {
		return bags, []value.Lack{{Kind: value.InParts, Words: s.Large}}
	}
	if n == 1 {
		return bags, nil
	}
	for i, c := range s.Clubs {
		for k := len(bags) - 1; k >= 0; k-- {
			for d := c.Next; d != nil; d = d.Next {
				b := bags[k]
				b.Clubs = slices.Clone(b.Clubs)
				b.Clubs[i] = d
				bags = append(bags, b)
			}
			for _, u := range unread[c] {
				b := bags[k]
				b.Clubs, b.unread = slices.Clone(b.Clubs), append(slices.Clone(b.unread), u)
				b.Clubs[i] = u.club
				bags = append(bags, b)
			}
		}
	}
	return bags, nil
}

// settings judges a rule at each combination of settings; for each subject the
// worst counts.
func (j *Judge) settings(r *rule, bags []settled, t *Tally, to Sink) {
	var order []string
	var open []*Result // neighbours that may be
	worst := map[string]*Result{}
	clashes := map[string]*Conflict{}
	all := j.all
	j.all, j.trying = true, true
	for i := range bags {
		j.ForgetSet()
		j.bag(r, &bags[i], &Tally{}, Sink{
			Result: func(res *Result) {
				if r.Subject == ast.OfNeighbours && res.Pair == nil {
					open = append(open, res)
				}
				key := res.Subject.key()
				if _, ok := worst[key]; !ok {
					order = append(order, key)
				}
				old := worst[key]
				worst[key] = worse(old, res)
				if w := worst[key]; old != nil && w.Pair == nil { // a setting that could not be read
					w.Pair, w.Subject = old.Pair, old.Subject
				}
			},
			Conflict: func(c *Conflict) { clashes[c.Subject.key()] = c },
		})
	}
	j.all, j.trying = all, false
	for _, res := range open {
		res.leaveOpen(worst)
	}
	for _, key := range order {
		if clashes[key] == nil {
			j.give(r, worst[key], nil, t, to)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(clashes)) {
		j.give(r, nil, clashes[key], t, to)
	}
}

// leaveOpen leaves what passes between the first club of r and each other one open: at one setting they may be
// neighbours.
func (r *Result) leaveOpen(worst map[string]*Result) {
	if len(r.Subject.Clubs) == 0 {
		return
	}
	d := r.Subject.Clubs[0]
	for _, c := range r.Subject.Clubs[1:] {
		for _, pair := range [2]Subject{{Clubs: []*club.Club{d, c}}, {Clubs: []*club.Club{c, d}}} {
			if w := worst[pair.key()]; w != nil && w.Verdict > decide.Unmeasured {
				o := *r
				o.Subject, o.Pair = w.Subject, w.Pair
				worst[pair.key()] = &o
			}
		}
	}
}

// key is different for each subject of a set, whatever the settings.
func (s Subject) key() string {
	key := ""
	for _, c := range s.Clubs {
		key += c.ID + "\x00"
	}
	return key
}

// untried is the result of a rule on a set that cannot be judged as a whole.
func (j *Judge) untried(r *rule, b *eval.Bag, why []value.Lack) *Result {
	x := j.task(r.Book.Info, b)
	return x.result(r, Subject{Kind: ast.OfSet, Set: b.Set.Name, File: b.Set.File}, unmeasured(why))
}
