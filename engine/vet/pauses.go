package vet

// This file makes families of the rules of a book: those that limit one value from one side. It looks for days between
// those on which rules of a family are in force.

import (
	"fmt"
	"regexp"
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// flank is a side from which a value is limited.
type flank int

const (
	fromAbove flank = iota
	fromBelow
)

// String is what limits a value from the side: "upper limit".
func (s flank) String() string { return [...]string{"upper limit", "lower limit"}[s] }

// limiting is a rule as a member of a family.
type limiting struct {
	rule  *book.Rule
	sides [2]bool
	words string // the value in the words of the book
	plain bool   // it is a bound, or a comparison with figures, and no condition of many parts
}

// family is the rules of a book on one value of clubs, neighbours or sets, in the order of the book.
type family []limiting

// on are the rules that limit the value from a side.
func (f family) on(s flank) []*book.Rule {
	limits := lists.Kept(f, func(l limiting) bool { return l.sides[s] })
	return lists.Each(limits, func(l limiting) *book.Rule { return l.rule })
}

// valueOf is the value in the words of a rule of the family.
func (f family) valueOf(r *book.Rule) string {
	return f[slices.IndexFunc(f, func(l limiting) bool { return l.rule == r })].words
}

// figures are the constants of a normal form.
var figures = regexp.MustCompile(`#-?[0-9/]+`)

// families are the book's rules by the value that they limit. Conditions of many parts are alike where they differ in
// figures alone.
func (a *analyst) families() []family {
	var out []family
	n := book.NewKeys(false)
	place := map[string]int{}
	for _, r := range a.book.Rules {
		d := r.Decl
		if d.Advice {
			continue
		}
		l, value := limitingOf(r)
		key := fmt.Sprint(d.For.Kind, " ")
		if r.By.Expr != nil {
			key += n.Part(r.By) + " "
		}
		key += n.Part(value)
		if !l.plain {
			key = "all of " + figures.ReplaceAllString(key, "#")
			l.words = a.what(r)
		}
		i, ok := place[key]
		if !ok {
			i = len(out)
			place[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], l)
	}
	return out
}

// limitingOf is a rule as a member of a family, and the value of that.
func limitingOf(r *book.Rule) (limiting, book.Part) {
	value := r.Value
	l := limiting{rule: r, sides: [2]bool{true, true}, plain: true}
	if b := r.Bound; b != nil {
		l.sides = [2]bool{b.High != nil, b.Low != nil}
		l.words = value.Expr.Place().OneLine()
		return l, value
	}
	c, ok := ast.Unparen(value.Expr).(*ast.Binary)
	if ok && c.Op == ast.Eq && value.In(c.X).Type().Kind == book.Number {
		switch {
		case value.In(c.Y).Constant() != nil:
			value = value.In(c.X)
		case value.In(c.X).Constant() != nil:
			value = value.In(c.Y)
		}
		if value != r.Value {
			l.words = value.Expr.Place().OneLine()
			return l, value
		}
	}
	l.plain = false
	return l, value
}

// hole looks for days between those on which rules of a family are in force.
func (a *analyst) hole(f family) {
	for _, before := range f {
		if before.rule.Until == book.NoDay || !a.Pay(1+len(f)/10) {
			continue
		}
		var found [2]*shared
		for _, s := range []flank{fromAbove, fromBelow} {
			if before.sides[s] {
				found[s] = a.begins(f.on(s), before.rule)
			}
		}
		switch x, y := found[fromAbove], found[fromBelow]; {
		case x != nil && y != nil && x.next == y.next:
			a.findHole(before, *x, "rule")
		default:
			for s, one := range found {
				if one != nil {
					a.findHole(before, *one, a.limitWord(f, before.rule, *one, flank(s)))
				}
			}
		}
	}
}

// shared is a rule that begins some days after another one has ended, with clubs that both are about, one after the
// other. In between no rule of their family is about them.
type shared struct {
	next *book.Rule
	bag  space.Bag
}

// begins is the first rule of a family that begins some days after one of them has ended; nil if there is none, or
// another one is in force meanwhile.
func (a *analyst) begins(rules []*book.Rule, before *book.Rule) *shared {
	day := before.Until + 1
	later := lists.Kept(rules, func(r *book.Rule) bool { return r.From > day })
	meanwhile := lists.Kept(rules, func(r *book.Rule) bool { return r.InForce(day) })
	slices.SortStableFunc(later, func(r, t *book.Rule) int { return int(r.From - t.From) })
	for _, next := range later {
		if !a.Pay(1 + len(meanwhile)/5) {
			return nil
		}
		b, met := a.inTurn(before, next, meanwhile)
		if b != nil {
			return &shared{next, b}
		}
		if met {
			break // something fills it
		}
	}
	return nil
}

// inTurn is a bag that a rule judges on its last day and another one on its first, and none of some others in between;
// nil where none is known. met tells that both judge some bag.
func (a *analyst) inTurn(before, next *book.Rule, meanwhile []*book.Rule) (found space.Bag, met bool) {
	akin := func(r *book.Rule) bool {
		return before.Subject != ast.OfClub || len(a.Requires(before)) == 0 || a.related(r, before)
	}
	if !akin(next) {
		return nil, false
	}
	sides := lists.Each(append([]*book.Rule{before, next}, lists.Kept(meanwhile, akin)...), a.Side)
	t := a.Tour(space.TourOptions{Scope: true}, sides...)
	t.Each(func(b space.Bag) bool {
		one, two := sides[0].Look(b), sides[1].Look(b)
		for key := range one {
			if !one[key].Measured() || !two[key].Measured() {
				continue
			}
			met = true
			if !slices.ContainsFunc(sides[2:], func(s *space.Side) bool { _, says := s.Look(b)[key]; return says }) {
				found = b
			}
		}
		return found == nil
	})
	if found == nil && t.Cut && a.Budget > 0 {
		a.Leave("whether another rule fills a pause between %s and %s was not checked for all clubs",
			before.Decl.Name.Text, next.Decl.Name.Text)
		return nil, true
	}
	return found, met
}

// limitWord is what is missing in a hole: a rule on the value, or, where another rule limits it from the other side, a
// limit from this one.
func (a *analyst) limitWord(f family, before *book.Rule, in shared, s flank) string {
	for _, r := range f.on(1 - s) {
		last := in.next.From - 1
		if r.From > last || r.Until != book.NoDay && r.Until <= before.Until {
			continue
		}
		if w, ok := a.Witness(in.bag, max(r.From, before.Until+1), r); ok && w.Verdict(r) != 0 {
			return s.String()
		}
	}
	return "rule"
}

// findHole reports days on which a rule has ended and the next one has not begun.
func (a *analyst) findHole(l limiting, in shared, missing string) {
	before, next := l.rule, in.next
	day, last := before.Until+1, next.From-1
	w, ok := a.Witness(in.bag, day, before, next)
	if !ok || w.Verdicts[0].Verdict != 0 || w.Verdicts[1].Verdict != 0 {
		return
	}
	days := fmt.Sprintf("from %s to %s", day, last)
	if day == last {
		days = "on " + day.String()
	}
	ended := before.Decl.Name.Text
	a.find(GapInTime, next.Decl.From.Span, w, "from "+day.String()+", unless the pause is on purpose",
		"%s no %s of this book on %s is in force: %s has ended, and %s has not begun", days, missing, l.words, ended,
		next.Decl.Name.Text).see(before.Decl.Until.Span, ended+" ends here")
}
