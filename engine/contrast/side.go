package contrast

// This file has one edition's rule judge the clubs that are tried.

import (
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// side is the rule in one edition.
type side struct {
	program *judge.Program
	probe   *judge.Probe
	rule    *book.Rule // nil where the edition has none
	judge   *judge.Judge
	club    club.Club
	said    map[string]saying
}

// saying is what an edition says of one subject.
type saying struct {
	of     ast.SubjectKind
	clubs  []string
	result *judge.Result // nil where the book disagrees with itself
}

func newSide(p *judge.Program, probe *judge.Probe, r *book.Rule) *side {
	s := &side{program: p, probe: probe, rule: r, said: map[string]saying{}}
	if r != nil {
		s.judge = p.Only(book.NoDay, r)
	}
	return s
}

// covers reports whether the books know how a club's length is read, and that it can be read so.
func (s *side) covers(d *space.Draft) bool {
	if d.Method == "" {
		return true
	}
	d.LayInto(&s.club, s.program.Schema)
	return s.program.Method(d.Method) != nil && s.program.Covers(d.Method, &s.club) == nil
}

// legible reports whether a sheet with the clubs of a bag can be read with the books of the side.
func (s *side) legible(b space.Bag) bool {
	for i := range b {
		d := &b[i]
		if (d.Of("length") != nil || d.Of("ordered length") != nil) && !s.covers(d) {
			return false
		}
		for _, r := range d.Readings {
			if p, ok := s.program.Schema.Lookup(r.Prop.Column()); ok && p.Sort != r.Prop.Sort || ok && !r.On(p.Texts) {
				return false
			} else if ok && p.Method != "" {
				d.LayInto(&s.club, s.program.Schema)
				if s.program.Covers(p.Method, &s.club) != nil {
					return false
				}
			}
		}
	}
	return true
}

// limitsOf are the limits that a result was compared with.
func limitsOf(r *judge.Result) decide.Limits {
	l := decide.None()
	if r.Lower.Known() {
		l.Lower, l.OpenLower = r.Lower.Base, r.Open
	}
	if r.Upper.Known() {
		l.Upper, l.OpenUpper = r.Upper.Base, r.Open
	}
	return l
}

// sided is the value of a result with what it was compared with.
func sided(r *judge.Result) judge.Sided {
	return judge.Sided{HasBound: true, Value: r.Value.Base, Spread: r.Spread(), Limits: limitsOf(r)}
}

// look has the rule judge a bag. What it gives holds until the next look.
func (s *side) look(b space.Bag) map[string]saying {
	clear(s.said)
	if s.rule == nil || !s.legible(b) {
		return s.said
	}
	add := func(of judge.Subject, r *judge.Result) {
		one := saying{of: of.Kind, clubs: of.IDs(), result: r}
		s.said[strings.Join(one.clubs, " ")] = one
	}
	s.judge.Set(b.Lay(s.program.Schema), judge.Sink{
		Result:   func(r *judge.Result) { add(r.Subject, r) },
		Conflict: func(c *judge.Conflict) { add(c.Subject, nil) },
	})
	return s.said
}

// verdict is what is said on a day; 0 where the rule is not in force, or says nothing.
func (s saying) verdict(inForce bool) decide.Verdict {
	if s.result == nil || !inForce {
		return 0
	}
	return s.result.Verdict
}
