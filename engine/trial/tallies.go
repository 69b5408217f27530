package trial

// This file makes bags for rules that count clubs, or speak of values of a set, of several sorts at once: so many of the
// one with so many of the other.

import (
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// tally is a sort of club that a rule counts or gathers a value among, with how many of it are tried.
type tally struct {
	club  space.Draft // stands for all of the sort
	sizes []int       // in their order
}

// tally notes a sort of club, and a number of clubs that it is held against, or -1 for none.
func (t *topic) tally(c book.Clubs, about int) {
	const most = 15 // clubs of one sort
	one, ok := standsFor(c.Decl.Items, c.Info)
	if !ok {
		return
	}
	i := slices.IndexFunc(t.tallies, func(y tally) bool { return y.club.Name() == one.Name() })
	if i < 0 {
		i = len(t.tallies)
		t.tallies = append(t.tallies, tally{club: one, sizes: []int{0, 1}})
	}
	y := &t.tallies[i]
	for n := about - 1; about >= 0 && n <= about+1; n++ {
		if n >= 0 && n <= most && !slices.Contains(y.sizes, n) {
			y.sizes = append(y.sizes, n)
		}
	}
	slices.Sort(y.sizes)
}

// standsFor is a club of the first entry of a list.
func standsFor(items []*ast.Item, info *book.Info) (space.Draft, bool) {
	if len(items) == 0 || info.Items[items[0]] == nil {
		return space.Draft{}, false
	}
	m := info.Items[items[0]]
	switch {
	case m.Any:
		return usual[0], true
	case m.Group != nil:
		return standsFor(m.Group.Decl.Selector.Items, m.Group.Book.Info)
	case m.Numbered:
		return space.Draft{Kind: m.Kind, Number: int(m.From)}, true
	case m.HasMark:
		return space.Draft{Kind: m.Kind, Mark: m.Mark}, true
	}
	i := slices.IndexFunc(usual, func(d space.Draft) bool { return d.Kind == m.Kind })
	return usual[max(i, 0)], i >= 0
}

// held notes the counts in a comparison, or in a value with its bound: x is held against y.
func (t *topic) held(x, y book.Part) {
	clubs, ok := x.Counts()
	if k := y.Constant(); ok && k != nil && k.Base >= 0 && k.Base < 100 {
		t.tally(clubs, int(k.Base))
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
