package editions

// This file finds rules of both editions whose waivers differ, and shows whom that affects: one that fails,
// under the name to which the waiver is granted.

import (
	"cmp"
	"slices"

	"ferrule/engine/contrast"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// waivers looks at the waivers of each rule that both editions have.
func (d *editions) waivers(old, new *judge.Program) {
	for _, p := range d.out.Pairs {
		if p.Old == nil || p.New == nil {
			continue
		}
		was, is := granted(old, p.Old), granted(new, p.New)
		c, differs := d.waived(p, [2]*judge.Program{old, new}, was, is)
		switch {
		case c != nil:
			d.out.Changes = append(d.out.Changes, Change{Pair: p, What: contrast.Waiver, Contrast: c,
				Message: "it is waived for others, or on other days: " + listed(lines(was), lines(is))})
		case differs:
			d.out.LeftOut = append(d.out.LeftOut, Open{p, []contrast.What{contrast.Waiver},
				"it is waived for others, or on other days; look at the waivers of both editions"})
		}
	}
}

// granted are the waivers of a rule.
func granted(p *judge.Program, r *book.Rule) []*book.Waiver {
	return slices.DeleteFunc(book.Waivers(p.Books), func(w *book.Waiver) bool { return w.Rule != r })
}

// lines are waivers in words: to whom they are granted, and for which days.
func lines(waivers []*book.Waiver) []string {
	return lists.Each(waivers, func(w *book.Waiver) string {
		return w.Decl.On.Span.OneLine() + " " + between(w.From, w.Until)
	})
}

// waived is a subject that fails, is named as one of the waivers names it, and is judged differently on some day; nil
// where none was found. differs reports whether on some day something is waived in one edition alone: if so, then what
// one of the waivers names.
func (d *editions) waived(
	p contrast.Pair, programs [2]*judge.Program, was, is []*book.Waiver,
) (_ *contrast.Contrast, differs bool) {
	all := slices.Concat(is, was)
	var days []book.Day
	for _, w := range all {
		days = append(days, w.Turns()...)
	}
	if on, together := space.Together(p.Old, p.New); together && (on != book.NoDay || len(days) == 0) {
		days = append(days, on)
	}
	var failed *contrast.Contrast
	for _, w := range all {
		for _, on := range days {
			if !w.Fits() || !p.Old.InForce(on) || !p.New.InForce(on) || w.Lifted(was, on) == w.Lifted(is, on) {
				continue
			}
			if !differs {
				d.Budget = max(d.Budget, leastWork)
				differs, failed = true, d.FailedByOne(nil, p.New)
			}
			if failed == nil {
				return nil, true
			}
			if c := named(failed, w, on); judged(c, p, programs) {
				return c, true
			}
		}
	}
	return nil, differs
}

// named is a subject under the names to which a waiver is granted, on a day.
func named(of *contrast.Contrast, w *book.Waiver, on book.Day) *contrast.Contrast {
	c := &contrast.Contrast{Example: space.Example{On: on, Of: of.Of, Clubs: slices.Clone(of.Clubs)}}
	ids := map[string]string{}
	for i, id := range w.Decl.On.Clubs {
		if i < len(c.Clubs) { // a club that had the name gets that of this one
			ids[id.Value], ids[c.Clubs[i]] = c.Clubs[i], id.Value
			c.Clubs[i] = id.Value
		}
	}
	c.Rows = of.Bag.Rows()
	for _, row := range c.Rows {
		row[0].Text = cmp.Or(ids[row[0].Text], row[0].Text)
	}
	if w.Decl.On.Set != nil {
		c.InSet(w.Decl.On.Set.Value)
	}
	return c
}

// judged has both editions judge a subject on its day, and reports whether they judge it differently.
func judged(c *contrast.Contrast, p contrast.Pair, programs [2]*judge.Program) bool {
	var ok, ok2 bool
	c.Old, ok = space.NewSide(programs[0], nil, p.Old).Read(c.Rows, c.On, c.Clubs)
	c.New, ok2 = space.NewSide(programs[1], nil, p.New).Read(c.Rows, c.On, c.Clubs)
	return ok && ok2 && c.Old.Verdict(true) != c.New.Verdict(true)
}
