package trial

// This file makes bags for rules that count clubs, or speak of values of a set, of several sorts at once: so many of the
// one with so many of the other.

import (
	"slices"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// tally is a sort of club that a rule counts or gathers a value among, with how many of it are tried.
type tally struct {
	club  space.Draft // stands for all of the sort
	sizes []int       // in their order
}

// counting is a count or another value of a set that a rule speaks of.
type counting struct {
	of    book.Clubs
	about int // the number of clubs that it is held against, or -1 for none
}

// tally makes a sort of the clubs of a count: the first club that is tried and may be one of them stands for all.
func (t *topic) tally(p *judge.Program, c counting) {
	const most = 15 // clubs of one sort
	probe := p.NewProbe()
	s := slices.IndexFunc(t.shapes, func(d space.Draft) bool { return probe.Takes(c.of.Decl, c.of.Info, d.Club(p.Schema)) != value.False })
	if s < 0 {
		return
	}
	one := t.shapes[s]
	i := slices.IndexFunc(t.tallies, func(y tally) bool { return y.club.Name() == one.Name() })
	if i < 0 {
		i = len(t.tallies)
		t.tallies = append(t.tallies, tally{club: one, sizes: []int{0, 1}})
	}
	y := &t.tallies[i]
	for n := c.about - 1; c.about >= 0 && n <= c.about+1; n++ {
		if n >= 0 && n <= most && !slices.Contains(y.sizes, n) {
			y.sizes = append(y.sizes, n)
		}
	}
	slices.Sort(y.sizes)
}

// held notes the counts in a comparison, or in a value with its bound: x is held against y.
func (t *topic) held(x, y book.Part) {
	clubs, ok := x.Counts()
	if k := y.Constant(); ok && k != nil && k.Base >= 0 && k.Base < 100 {
		t.countings = append(t.countings, counting{clubs, int(k.Base)})
	}
}

// counted are bags with so many clubs of each sort that the rule counts, beside the clubs that it may be about.
func (t *topic) counted() []space.Bag {
	const most = 400
	mixes := []space.Bag{nil}
	for _, y := range t.tallies {
		var more []space.Bag
		for _, n := range y.sizes {
			for _, m := range mixes {
				if len(more) < most {
					more = append(more, append(slices.Clone(m), slices.Repeat(space.Bag{y.club}, n)...))
				}
			}
		}
		mixes = more
	}
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
	for _, m := range mixes {
		for _, a := range about {
			if bag := slices.Concat(a, m); len(bag) > 0 && len(out) < most {
				out = append(out, bag)
			}
		}
	}
	return out
}
