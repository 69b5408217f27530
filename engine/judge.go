package engine

// This file leads a judge through a set: which rules apply to which clubs, at
// which settings, and what is told of each.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Options says what a Judge is asked for.
type Options struct {
	Day   book.Day              // NoDay: days are ignored, every rule is in force
	Rules func(*book.Rule) bool // nil: all
	All   bool                  // give passes too, with their steps; else they are only counted
}

// Judge judges sets by a program. It is for one goroutine.
type Judge struct {
	program     *Program
	rules       []*rule // those in force and asked for
	all         bool
	every       bool                        // give each result in place of the worst, with what values of the set come from
	unread      map[*club.Club][]unread     // refused rows that are a setting of a club of the set in hand; nil where there are none
	known       map[known]value.Value       // values of the set in hand
	spent, most int                         // what it took so far to work with these, and what it may take
	selectors   map[*ast.Selector]*selector // those of values of a set, as far as met
	texts       map[textAt]*oddText         // texts that the books do not know, as far as met
	subjects    map[*club.Club]*subject     // what is known of the clubs of the set in hand
	corrections map[route]*correction       // how lengths are brought to other methods, as far as met
	clashed     *Conflict                   // rows of a chart or the like that disagree on the subject in hand
	lined       []member                    // scratch of pairs
	members     []value.Value               // scratch of a value.Value of the set
	run         machine
	draws       value.Simulator
}

// known is a value of a set, as it is worked out where uncertainty counts or not.
type known struct {
	of    ast.Expr
	draws bool
}

// forgetSet forgets the values of a set, before another or another rule is taken in hand.
func (j *Judge) forgetSet() {
	clear(j.known)
	j.spent = 0
}

// NewJudge returns a judge.
func (p *Program) NewJudge(o Options) *Judge {
	j := p.scratch()
	j.all = o.All
	for _, r := range p.rules {
		if r.InForce(o.Day) && (o.Rules == nil || o.Rules(r.Rule)) {
			j.rules = append(j.rules, r)
		}
	}
	return j
}

// scratch is a judge of no rules.
func (p *Program) scratch() *Judge {
	return &Judge{program: p, most: maxSpent, run: machine{operands: map[string]any{}},
		known: map[known]value.Value{}, selectors: map[*ast.Selector]*selector{}, subjects: map[*club.Club]*subject{}, corrections: map[route]*correction{}}
}

// Sink takes what judging gives, in the order of the rules and, within a rule, of
// the clubs. A Result may be kept, but the clubs that it names only as long as
// their set. Either function may be nil.
type Sink struct {
	Result   func(*Result)
	Conflict func(*Conflict)
}

// Set judges one set and returns the tally of its results.
func (j *Judge) Set(s *club.Set, to Sink) Tally {
	bags, large := j.combinations(s)
	clear(j.subjects)
	var t Tally
	for _, r := range j.rules {
		switch {
		case r.Subject == ast.OfClub && !r.Facts.Bag:
			x := env{j: j, info: r.info, bag: &bags[0]}
			j.forgetSet()
			for _, c := range s.Clubs {
				j.club(x, r, c, &t, to)
			}
		case large != nil:
			if s.Part < 2 { // it is told with the first part
				j.give(r, j.untried(r, &bags[0], large), nil, &t, to)
			}
		case len(bags) == 1 || j.every:
			for i := range bags {
				j.forgetSet()
				j.bag(r, &bags[i], &t, to)
			}
		default:
			j.settings(r, bags, &t, to)
		}
	}
	return t
}

// club judges a club by a rule at each of its settings; the worst counts. A setting that could not be read leaves open
// what passes at the others, unless what could be read of it tells.
func (j *Judge) club(x env, r *rule, c *club.Club, t *Tally, to Sink) {
	in := r.selector.quick(c)
	if j.every {
		j.give(r, j.atUnread(&x, r, c), nil, t, to)
		for s := c; s != nil && in != value.False; s = s.Next {
			res, clash := j.one(&x, r, s)
			j.give(r, res, clash, t, to)
		}
		return
	}
	if c.Next == nil && (j.unread == nil || j.unread[c] == nil) {
		if in == value.False {
			return
		}
		x.club = c
		if !j.all && in == value.True {
			if v := x.fast(r); v != 0 {
				t.Count(r.Rule, v)
				return
			}
		}
		res, clash := j.one(&x, r, c)
		j.give(r, res, clash, t, to)
		return
	}
	var worst *Result
	for s := c; s != nil; s = s.Next {
		x.club = s
		res, clash := j.one(&x, r, s)
		if clash != nil {
			j.give(r, nil, clash, t, to)
			return
		}
		worst = worse(worst, res)
	}
	j.give(r, worse(worst, j.atUnread(&x, r, c)), nil, t, to)
}

// worse returns the worse of two results of one subject; nil is none.
func worse(a, b *Result) *Result {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	case b.Verdict < a.Verdict:
		return b
	case b.Verdict == a.Verdict && b.Margin.Known() && a.Margin.Known() && b.Margin.Base < a.Margin.Base:
		return b
	}
	return a
}

func (j *Judge) give(r *rule, res *Result, clash *Conflict, t *Tally, to Sink) {
	if clash != nil {
		t.Conflicts++
		if to.Conflict != nil {
			to.Conflict(clash)
		}
		return
	}
	if res == nil {
		return
	}
	t.Count(r.Rule, res.Verdict)
	if to.Result != nil && (j.all || res.Verdict != decide.Pass && res.Verdict != decide.Exempt) {
		to.Result(res)
	}
}

// one judges a club at one setting; nil, nil where the rule is not about it.
func (j *Judge) one(x *env, r *rule, c *club.Club) (*Result, *Conflict) {
	x.club = c
	s := Subject{Kind: ast.OfClub, Set: x.bag.set.Name, File: x.bag.set.File, Clubs: []*club.Club{c}}
	switch in := x.takes(r.Among.Decl); in.Truth {
	case value.False:
		return nil, nil
	case value.Unknown:
		return x.result(r, s, unmeasured(in.Lacks)), nil
	}
	return j.subject(x, r, s)
}

// subject judges one subject, recording the facts.
func (j *Judge) subject(x *env, r *rule, s Subject) (*Result, *Conflict) {
	y := *x
	y.steps, y.shown = &[]Step{}, r.Unit
	j.clashed = nil
	o, between, ok := y.outcome(r)
	if o.verdict == decide.Unmeasured {
		j.blame(o.lacks)
	}
	switch {
	case !ok:
		return nil, &Conflict{Rule: r.Rule, Subject: s, Between: between}
	case j.clashed != nil:
		j.clashed.Rule, j.clashed.Subject = r.Rule, s
		return nil, j.clashed
	}
	res := y.result(r, s, o)
	if j.every {
		y.members(r, res)
	}
	return res, nil
}

// blame notes that two rows of a book disagree on the subject in hand, where that is among what is lacking.
func (j *Judge) blame(lacks []value.Lack) {
	for _, l := range lacks {
		if l.Kind == value.RowsDiffer && j.clashed == nil {
			j.clashed = &Conflict{Rows: l}
		}
	}
}

// bag judges a bag by a rule about pairs, about the whole set, or about clubs with
// a value of their set.
func (j *Judge) bag(r *rule, b *bag, t *Tally, to Sink) {
	x := env{j: j, info: r.info, bag: b}
	if b.unread != nil {
		to = x.doubt(r, to)
	}
	switch r.Subject {
	case ast.OfClub:
		for _, c := range b.clubs {
			if r.selector.quick(c) != value.False {
				res, clash := j.one(&x, r, c)
				j.give(r, res, clash, t, to)
			}
		}
	case ast.OfSet:
		if !j.all {
			if v := x.fast(r); v != 0 {
				t.Count(r.Rule, v)
				return
			}
		}
		res, clash := j.subject(&x, r, Subject{Kind: ast.OfSet, Set: b.set.Name, File: b.set.File})
		j.give(r, res, clash, t, to)
	default:
		j.pairs(&x, r, t, to)
	}
}

// The settings that are tried together in one set, and the clubs in all of these trials.
const (
	maxCombinations = 256
	maxTried        = 100_000
)

// combinations returns the bag at each combination of its clubs' settings, those that could not be read
// among them: one for a set without adjustable clubs. Where the set cannot be judged as a whole it says why, and gives
// the bag as it is read.
func (j *Judge) combinations(s *club.Set) (bags []bag, large []value.Lack) {
	unread, others := unreadSettings(s)
	j.unread = unread
	n := 1
	for _, c := range s.Clubs {
		settings := len(unread[c])
		for d := c; d != nil; d = d.Next {
			settings++
		}
		if n *= settings; n > maxCombinations || n > 1 && n*len(s.Clubs) > maxTried {
			return []bag{{set: s, clubs: s.Clubs, refused: s.Refused}}, []value.Lack{{Kind: value.ManySettings, Property: "setting"}}
		}
	}
	bags = []bag{{set: s, clubs: s.Clubs, refused: others}}
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
				b.clubs = slices.Clone(b.clubs)
				b.clubs[i] = d
				bags = append(bags, b)
			}
			for _, u := range unread[c] {
				b := bags[k]
				b.clubs, b.unread = slices.Clone(b.clubs), append(slices.Clone(b.unread), u)
				b.clubs[i] = u.club
				bags = append(bags, b)
			}
		}
	}
	return bags, nil
}

// settings judges a rule at each combination of settings; for each subject the
// worst counts.
func (j *Judge) settings(r *rule, bags []bag, t *Tally, to Sink) {
	var order []string
	var open []*Result // neighbours that may be
	worst := map[string]*Result{}
	clashes := map[string]*Conflict{}
	all := j.all
	j.all = true
	for i := range bags {
		j.forgetSet()
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
				if w := worst[key]; old != nil && w.Pair == nil { // at a setting that could not be read: it stands where the others do
					w.Pair, w.Subject = old.Pair, old.Subject
				}
			},
			Conflict: func(c *Conflict) { clashes[c.Subject.key()] = c },
		})
	}
	j.all = all
	for _, res := range open {
		res.leaveOpen(worst)
	}
	for _, key := range order {
		if clashes[key] == nil {
			j.give(r, worst[key], nil, t, to)
		}
	}
	for _, key := range sortedKeys(clashes) {
		j.give(r, nil, clashes[key], t, to)
	}
}

// leaveOpen leaves what passes between the first club of r and each other one open, since at one setting they may be neighbours.
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

// key tells subjects of one set apart, whatever the settings.
func (s Subject) key() string {
	key := ""
	for _, c := range s.Clubs {
		key += c.ID + "\x00"
	}
	return key
}

// untried is the result of a rule on a set that cannot be judged as a whole.
func (j *Judge) untried(r *rule, b *bag, why []value.Lack) *Result {
	x := env{j: j, info: r.info, bag: b}
	return x.result(r, Subject{Kind: ast.OfSet, Set: b.set.Name, File: b.set.File}, unmeasured(why))
}
