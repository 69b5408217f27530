package contrast

// This file says of a subject that two editions judge differently which part of the rule the difference comes from,
// and makes a witness of it: as little as shows it, read and judged again as any other sheet is.

import (
	"slices"
	"strings"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// because lists the parts of a rule, of those whose forms differ, each of which alone makes a difference for a subject.
// Where none does, only several together, sure is false and these are listed.
func (u *Comparison) because(w window, b space.Bag, o, n space.Saying) (parts []What, sure bool) {
	vo, vn := o.Verdict(w.old), n.Verdict(w.new)
	if vo == vn {
		if vo != 0 && slices.Contains(u.parts, Weight) {
			parts = append(parts, Weight)
		}
		return parts, true
	}
	judging := slices.DeleteFunc(slices.Clone(u.parts), func(p What) bool { return p == Weight })
	if len(judging) == 1 {
		return judging, true
	}
	if x, ok := u.whatIf(w, b); ok {
		if parts = x.alone(0, judging); len(parts) > 0 {
			return parts, true
		}
		if slices.Contains(judging, Property) { // what else differs comes of it
			return []What{Property}, true
		}
		return x.alone(1, judging), false
	}
	if w.old != w.new {
		if !w.apart || o.Verdict(true) == n.Verdict(true) {
			return []What{Dates}, true
		}
		parts = append(parts, Dates)
	}
	led := func(p What) bool { return slices.Contains(judging, p) }
	if parts = append(parts, lists.Kept(difference(o, n), led)...); len(parts) > 0 {
		return parts, true
	}
	return judging[:1], false
}

// difference compares what led to two verdicts.
func difference(o, n space.Saying) []What {
	a, b := o.Result, n.Result
	switch {
	case o.Of == 0 || n.Of == 0:
		return []What{Scope}
	case a == nil || b == nil:
		return []What{Exception, Limit}
	case (a.Exception == nil) != (b.Exception == nil) || (a.Verdict == decide.Exempt) != (b.Verdict == decide.Exempt):
		return []What{Exception}
	}
	var out []What
	limits := apart(a.Value, a.Lower, b.Value, b.Lower) || apart(a.Value, a.Upper, b.Value, b.Upper) || a.Open != b.Open
	switch {
	case !a.Value.Known() || !b.Value.Known():
		if a.Exception != nil && limits {
			return []What{Exception}
		}
		return nil
	case limits && a.Exception != nil:
		out = append(out, Exception)
	case limits || unit.Compare(a.Uncertainty.Base, b.Uncertainty.Base) != 0:
		if a.Decision == b.Decision || decideAs(a.Decision, b) != a.Verdict {
			out = append(out, Limit)
		}
	}
	if a.Decision != b.Decision && decideAs(b.Decision, a) != a.Verdict {
		out = append(out, Decides)
	}
	return out
}

// apart reports whether two values are at unlike distances from a limit, rounding aside.
func apart(value, limit, value2, limit2 unit.Amount) bool {
	if !limit.Known() || !limit2.Known() {
		return limit.Known() != limit2.Known()
	}
	return unit.Compare(value.Base-limit.Base, value2.Base-limit2.Base) != 0
}

// decideAs is the verdict on a result's value under another decision.
func decideAs(d decide.Rule, r *judge.Result) decide.Verdict {
	v, _ := decide.Decide(d, r.Limits(), r.Value.Base, r.Spread())
	return v
}

// witness makes of a bag a witness that shows a change on a subject: without what is not needed, read as a sheet
// is and judged again. It is false where that gives other verdicts.
func (u *Comparison) witness(part What, w window, b space.Bag, key string) (*Contrast, bool) {
	o, n := u.Sides[0].Look(b)[key], u.Sides[1].Look(b)[key]
	vo, vn := o.Verdict(w.old), n.Verdict(w.new)
	clubs := o.Clubs
	of := o.Of
	if of == 0 {
		clubs, of = n.Clubs, n.Of
	}
	b = b.Shrunk(func(b space.Bag) bool {
		o, n := u.Sides[0].Look(b)[key], u.Sides[1].Look(b)[key]
		parts, _ := u.because(w, b, o, n)
		return slices.Contains(parts, part) && o.Verdict(w.old) == vo && n.Verdict(w.new) == vn
	})
	c := &Contrast{Example: b.Example(w.on, u.Sides[0].Program, u.Sides[1].Program)}
	c.Of, c.Clubs = of, slices.Clone(clubs)
	var ok, ok2 bool
	c.Old, ok = again(u.Sides[0], c, key)
	c.New, ok2 = again(u.Sides[1], c, key)
	return c, ok && ok2 && c.Old.Verdict(true) == vo && c.New.Verdict(true) == vn
}

// again reads the rows of a contrast as a sheet and has a rule judge them on its day. A sheet that cannot be read says
// nothing.
func again(s *space.Side, c *Contrast, key string) (space.Saying, bool) {
	said, ok := s.Read(c.Rows, c.On, strings.Fields(key))
	return said, ok || s.Rule == nil || !s.Legible(c.Bag)
}
