package trial

// This file makes bags for rules that count clubs, or speak of values of a set, of several sorts at once: so many of
// the one with so many of the other.

import (
	"slices"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// counting is a count or another value of a set that a rule speaks of.
type counting struct {
	of    book.Clubs
	about int // the number of clubs that it is compared with, or -1 for none
}

// tally makes a sort of the clubs of a count: the first club that is tried and may be one of them stands for all.
func (t *topic) tally(p *judge.Program, c counting) {
	const most = 15 // clubs of one sort
	probe := p.NewProbe()
	s := slices.IndexFunc(t.shapes, func(d space.Draft) bool {
		return probe.Takes(c.of.Decl, c.of.Info, d.Club(p.Schema)) != value.False
	})
	if s < 0 {
		return
	}
	one := t.shapes[s]
	i := slices.IndexFunc(t.sorts, func(y space.Sort) bool { return y.Club.Name() == one.Name() })
	if i < 0 {
		i = len(t.sorts)
		t.sorts = append(t.sorts, space.Sort{Club: one, Numbers: []int{0, 1}})
	}
	y := &t.sorts[i]
	for n := c.about - 1; c.about >= 0 && n <= c.about+1; n++ {
		if n >= 0 && n <= most && !slices.Contains(y.Numbers, n) {
			y.Numbers = append(y.Numbers, n)
		}
	}
	slices.Sort(y.Numbers)
}

// held notes the counts in a comparison, or in a value with its bound: x is compared with y.
func (t *topic) held(x, y book.Part) {
	clubs, ok := x.Counts()
	if k := y.Constant(); ok && k != nil && k.Base >= 0 && k.Base < 100 {
		t.countings = append(t.countings, counting{clubs, int(k.Base)})
	}
}

// counted are bags with so many clubs of each sort that the rule counts, beside the clubs that it may be about.
func (t *topic) counted() []space.Bag {
	const most = 400
	var about []space.Bag
	switch t.rule.Subject {
	case ast.OfSet:
		about = []space.Bag{nil}
	case ast.OfClub:
		for _, s := range t.shapes {
			about = append(about, space.Bag{s})
		}
	default:
		for i, s := range t.shapes {
			for _, o := range t.shapes[:i] {
				if o.Kind == s.Kind {
					about = append(about, space.Bag{o, s})
				}
			}
		}
	}
	var out []space.Bag
	for _, m := range space.Mixes(t.sorts, most) {
		for _, a := range about {
			if bag := slices.Concat(a, m); len(bag) > 0 && len(out) < most {
				out = append(out, bag)
			}
		}
	}
	return out
}
