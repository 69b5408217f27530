package space

// This file has the rule of one program judge the bags that are tried.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Side is a rule as one program has it.
type Side struct {
	Program *judge.Program
	Probe   *judge.Probe
	Rule    *book.Rule // nil where the program has none
	judge   *judge.Judge
	club    club.Club
}

// Saying is what a rule says of one subject of a bag.
type Saying struct {
	Rule     *book.Rule
	Of       ast.SubjectKind
	Clubs    []string
	Result   *judge.Result   // nil where the book disagrees with itself
	Conflict *judge.Conflict // nil where it does not
}

// NewSide makes a rule of a program ready, on any day on which it is in force.
func NewSide(p *judge.Program, probe *judge.Probe, r *book.Rule) *Side {
	return &Side{Program: p, Probe: probe, Rule: r}
}

// Side is a rule of the books of the search.
func (a *Search) Side(r *book.Rule) *Side { return NewSide(a.Program, a.Probe, r) }

// Lay lays a club out for the side. What it gives holds until it is called again.
func (s *Side) Lay(d *Draft) *club.Club {
	d.LayInto(&s.club, s.Program.Schema)
	return &s.club
}

// takes reports whether some clubs take in one.
func (s *Side) takes(clubs book.Clubs, d *Draft) value.Truth {
	return s.Probe.Takes(clubs.Decl, clubs.Info, s.Lay(d))
}

// reads reports whether the books know a method, and can read a club's length by it.
func (s *Side) reads(method string, d *Draft) bool {
	return s.Program.Method(method) != nil && s.Program.Covers(method, s.Lay(d)) == nil
}

// Legible reports whether a sheet with the clubs of a bag can be read with the books of the side.
func (s *Side) Legible(b Bag) bool {
	for i := range b {
		d := &b[i]
		if (d.Of("length") != nil || d.Of("ordered length") != nil) && d.Method != "" && !s.reads(d.Method, d) {
			return false
		}
		for k := range d.Readings {
			r := &d.Readings[k]
			p, ok := s.Program.Schema.Lookup(r.Prop.Column())
			if ok && (p.Sort != r.Prop.Sort || !r.On(p.Texts) || p.Method != "" && !s.reads(p.Method, d)) {
				return false
			}
		}
	}
	return true
}

// Look has the rule judge a bag. What it gives goes by the ids of the subject's clubs.
func (s *Side) Look(b Bag) map[string]Saying {
	out := map[string]Saying{}
	if s.Rule == nil || !s.Legible(b) {
		return out
	}
	if s.judge == nil {
		s.judge = s.Program.Only(book.NoDay, s.Rule)
	}
	set := b.Lay(s.Program.Schema)
	set.Name = "tried" // no waiver of a club alone is for it
	Listen(s.judge, set, func(one Saying) { out[strings.Join(one.Clubs, " ")] = one })
	return out
}

// Read reads rows as a sheet and has the rule judge them on a day: what it says of the subject of some clubs. ok is
// false where a row would be refused.
func (s *Side) Read(rows []Row, on book.Day, clubs []string) (said Saying, ok bool) {
	set, ok := ReadRows(s.Program, rows)
	if !ok || s.Rule == nil {
		return said, ok
	}
	Listen(s.Program.Only(on, s.Rule), set, func(one Saying) {
		if slices.Equal(one.Clubs, clubs) {
			said = one
		}
	})
	return said, true
}

// Listen has a judge judge a set.
func Listen(j *judge.Judge, set *club.Set, say func(Saying)) {
	j.Set(set, judge.Sink{
		Result: func(r *judge.Result) {
			say(Saying{Rule: r.Rule, Of: r.Subject.Kind, Clubs: r.Subject.IDs(), Result: r})
		},
		Conflict: func(c *judge.Conflict) {
			say(Saying{Rule: c.Rule, Of: c.Subject.Kind, Clubs: c.Subject.IDs(), Conflict: c})
		},
	})
}

// Subject is what it is about.
func (s Saying) Subject() judge.Subject {
	if s.Conflict != nil {
		return s.Conflict.Subject
	}
	return s.Result.Subject
}

// Measured reports whether the rule comes to a verdict on the subject.
func (s Saying) Measured() bool { return s.Result != nil && s.Result.Verdict != decide.Unmeasured }

// Verdict is what is said on a day; 0 where the rule is not in force, or says nothing.
func (s Saying) Verdict(inForce bool) decide.Verdict {
	if s.Result == nil || !inForce {
		return 0
	}
	return s.Result.Verdict
}
