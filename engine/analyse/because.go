package analyse

// This file says of a subject that two editions judge differently which part of the rule the difference comes from,
// and makes a witness of it: as little as shows it, read and judged again as any other sheet is.

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// because lists the parts of a rule, of those whose forms differ, each of which alone makes a difference for a subject.
// Where none does, only several together, sure is false and these are listed.
func (u *duel) because(w window, b bag, o, n saying) (parts []What, sure bool) {
	vo, vn := o.verdict(w.old), n.verdict(w.new)
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
		return x.alone(1, judging), false
	}
	if w.old != w.new {
		if !w.apart || o.verdict(true) == n.verdict(true) {
			return []What{Dates}, true
		}
		parts = append(parts, Dates)
	}
	for _, p := range difference(o, n) {
		if slices.Contains(judging, p) {
			parts = append(parts, p)
		}
	}
	if len(parts) > 0 {
		return parts, true
	}
	return judging[:1], false
}

// difference compares what led to two verdicts.
func difference(o, n saying) []What {
	a, b := o.result, n.result
	switch {
	case o.of == 0 || n.of == 0:
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

// apart tells whether two values are at unlike distances from a limit, rounding aside.
func apart(value, limit, value2, limit2 engine.Amount) bool {
	return limit.Known() != limit2.Known() || limit.Known() && unit.Compare(value.Base-limit.Base, value2.Base-limit2.Base) != 0
}

// decideAs is the verdict on a result's value under another decision.
func decideAs(d decide.Rule, r *engine.Result) decide.Verdict {
	v, _ := decide.Decide(d, limitsOf(r), r.Value.Base, r.Spread())
	return v
}

// witness makes of a bag a witness that shows a change on a subject: without what is not needed, read as a sheet
// is and judged again. It is false where that gives other verdicts.
func (u *duel) witness(part What, w window, b bag, key string) (*Contrast, bool) {
	shows := func(b bag) bool {
		o, n := u.sides[0].look(b)[key], u.sides[1].look(b)[key]
		parts, _ := u.because(w, b, o, n)
		return slices.Contains(parts, part)
	}
	o, n := u.sides[0].look(b)[key], u.sides[1].look(b)[key]
	vo, vn := o.verdict(w.old), n.verdict(w.new)
	clubs := o.clubs
	of := o.of
	if of == 0 {
		clubs, of = n.clubs, n.of
	}
	b = b.clone()
	for i := range b {
		for k := len(b[i].readings) - 1; k >= 0; k-- {
			fewer := b.clone()
			fewer[i].readings = slices.Delete(fewer[i].readings, k, k+1)
			if shows(fewer) && u.sides[0].look(fewer)[key].verdict(w.old) == vo && u.sides[1].look(fewer)[key].verdict(w.new) == vn {
				b = fewer
			}
		}
		if b[i].of("length") == nil {
			b[i].method = ""
		}
	}
	c := &Contrast{On: w.on, Rows: b.rows(), Of: of, Clubs: slices.Clone(clubs), bag: b}
	var ok, ok2 bool
	c.Old, ok = u.sides[0].again(b, w.on, key)
	c.New, ok2 = u.sides[1].again(b, w.on, key)
	return c, ok && ok2 && c.Old.Verdict == vo && c.New.Verdict == vn
}

// again reads the rows of a bag as a sheet and judges them on a day. A sheet that cannot be read says
// nothing.
func (s *side) again(b bag, on book.Day, key string) (Said, bool) {
	if s.rule == nil {
		return Said{}, true
	}
	set, ok := read(s.program, b)
	if !ok {
		return Said{}, !s.legible(b)
	}
	var out Said
	j := s.program.NewJudge(engine.Options{Day: on, All: true, Rules: func(r *book.Rule) bool { return r == s.rule }})
	j.Set(set, engine.Sink{Result: func(r *engine.Result) {
		var ids []string
		for _, c := range r.Subject.Clubs {
			ids = append(ids, c.ID)
		}
		if strings.Join(ids, " ") == key {
			out = Said{r.Verdict, r}
		}
	}})
	return out, true
}

// message says what changed, on one line.
func message(p Pair, w What, c *Contrast) string {
	switch w {
	case Added:
		return "it is new"
	case Removed:
		return "it is gone"
	case Dates:
		return fmt.Sprintf("it is in force %s, where it was %s", period(p.New), period(p.Old))
	case Scope:
		gained := "it is about other subjects"
		switch {
		case c.Old.Verdict == 0 && c.New.Verdict != 0:
			gained = "it covers more"
		case c.Old.Verdict != 0 && c.New.Verdict == 0:
			gained = "it covers less"
		}
		return gained + turned(p.Old.Decl.For.Span, p.New.Decl.For.Span, "a group or a named formula in it is another")
	case Exception:
		said := "an exception is another"
		switch {
		case c.New.Verdict == decide.Exempt:
			said = "it exempts more"
		case c.Old.Verdict == decide.Exempt:
			said = "it exempts less"
		}
		return said + exceptions(p)
	case Limit:
		return "the limit moved" + turned(p.Old.Decl.Require.Span, p.New.Decl.Require.Span, "what it rests on is another: a named formula, a chart, a head, an allowance or a method")
	case Decides:
		return fmt.Sprintf("it decides %s, where it decided %s", decision(p.New), decision(p.Old))
	case Weight:
		if p.New.Decl.Advice {
			return "it only advises, where it was a rule"
		}
		return "it is a rule, where it only advised"
	}
	return ""
}

// turned shows two clauses, or says why equal ones mean another thing.
func turned(old, new source.Span, why string) string {
	a, b := bare(old), bare(new)
	if a == b {
		return ": " + why
	}
	return fmt.Sprintf(": %q, where it said %q", b, a)
}

// bare is a clause without its keyword, on one line.
func bare(s source.Span) string {
	_, rest, _ := strings.Cut(s.OneLine(), " ")
	return strings.TrimSpace(rest)
}

// exceptions shows the exceptions that only one edition has.
func exceptions(p Pair) string {
	lines := func(r *book.Rule) []string {
		var out []string
		for _, u := range r.Decl.Unless {
			out = append(out, u.Span.OneLine())
		}
		return out
	}
	old, new := lines(p.Old), lines(p.New)
	var parts []string
	for _, l := range new {
		if !slices.Contains(old, l) {
			parts = append(parts, fmt.Sprintf("new is %q", l))
		}
	}
	for _, l := range old {
		if !slices.Contains(new, l) {
			parts = append(parts, fmt.Sprintf("gone is %q", l))
		}
	}
	if len(parts) == 0 {
		return ": a group, a chart or a named formula in it is another"
	}
	return ": " + strings.Join(parts, ", ")
}

// period is when a rule is in force.
func period(r *book.Rule) string {
	switch {
	case r.From == book.NoDay && r.Until == book.NoDay:
		return "on every day"
	case r.From == book.NoDay:
		return "until " + r.Until.String()
	case r.Until == book.NoDay:
		return "from " + r.From.String()
	}
	return "from " + r.From.String() + " until " + r.Until.String()
}

// decision is a decision rule as a book writes it.
func decision(r *book.Rule) string {
	words := map[ast.DecisionKind]string{ast.Simple: "simply", ast.GuardedAcceptance: "by guarded acceptance", ast.GuardedRejection: "by guarded rejection", ast.ThreeWay: "three-way"}[r.Decision.Kind]
	if r.Decision.Kind != ast.Simple {
		words += fmt.Sprintf(" at %g %%", r.Decision.Level*100)
	}
	return words
}
