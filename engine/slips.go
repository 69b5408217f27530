package engine

// This file tells which readings can hardly be right, as far as that rests on the books.

import (
	"math"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

// apart says that repeated readings of a length of the club of x lie too far apart for the method that they were taken
// by; a slip is too far to be used. What one reading varies by is its graduation and how the club is soled; where its
// lie or its head are not known, so that the second cannot be told, the graduation alone. Two marks of the method are
// never too far.
func (x *env) apart(p catalogue.Property, more club.Reading, taken *check.Method) (message string, slip bool) {
	if len(more.Values) < 2 {
		return "", false
	}
	m := *x.j.program.tools.methods[taken]
	m.Ruler = 0 // it errs alike each time
	budget, missing := measure.Budget(&m, measure.Reading{N: 1}, x.measuring().Subject)
	if missing != nil {
		m.LieSet = 0
		budget, _ = measure.Budget(&m, measure.Reading{N: 1}, measure.Subject{})
	}
	variance := 0.0
	for _, e := range budget {
		variance += e.Contribution() * e.Contribution()
	}
	return more.Apart(p, math.Sqrt(variance), 2*m.Reads)
}

// Doubts are the readings of a set that a person should look at again, in the order of the rows.
func (j *Judge) Doubts(s *club.Set) []club.Doubt {
	var out []club.Doubt
	clear(j.subjects)
	for _, c := range s.Clubs {
		for ; c != nil; c = c.Next {
			out = append(out, c.Doubts()...)
			for _, r := range c.Repeats() {
				p := j.program.Schema.Property(r.Property)
				taken := j.program.taken(methodOf(c, p))
				if !p.ByMethod || taken == nil {
					continue
				}
				x := env{j: j, club: c, bag: &bag{set: s}}
				if message, slip := x.apart(p, r, taken); message != "" {
					out = append(out, c.NewDoubt(p, r.Read, message, slip))
				}
			}
		}
	}
	return out
}
