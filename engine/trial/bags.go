package trial

// This file lays out the bags that are tried for a rule: which clubs, and what was read of them.

import (
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
)

// scenes lays out the bags of a topic, the plainest first, until f is false: the clubs of a bag
// all with the same choice of readings, then those of two clubs each with a choice of
// its own, and at last those of the sorts that the rule counts.
func (t *topic) scenes(f func(space.Bag) bool) {
	const ofMany, ofTwo = 60, 12 // choices for bags of more than one club
	every := t.plain()
	gatherings := t.gatherings()
	for _, clubs := range gatherings {
		rows := every
		switch n := len(clubs); {
		case n == 2:
			rows = every[:min(len(every), ofTwo)]
		case n > 2:
			rows = every[:min(len(every), ofMany)]
		}
		for _, row := range rows {
			if !f(t.scene(clubs, slices.Repeat([][]option{row}, len(clubs)))) {
				return
			}
		}
	}
	few := every[:min(len(every), ofTwo)]
	for _, clubs := range gatherings {
		if len(clubs) != 2 {
			continue
		}
		for i, a := range few {
			for k, b := range few {
				if i != k && !f(t.scene(clubs, [][]option{a, b})) {
					return
				}
			}
		}
	}
	if !t.Bags {
		return
	}
	for _, clubs := range t.counted() {
		for _, row := range few {
			if !f(t.scene(clubs, slices.Repeat([][]option{row}, len(clubs)))) {
				return
			}
		}
	}
}

// plain are the readings that a club is tried with: each choice of options, those that
// differ little from the usual first.
func (t *topic) plain() [][]option {
	const most = 400
	out := [][]option{}
	choice := make([]int, len(t.facets))
	for len(out) < most {
		row := make([]option, len(t.facets))
		for i, f := range t.facets {
			row[i] = f.options[choice[i]]
		}
		out = append(out, row)
		i := len(choice) - 1
		for ; i >= 0; i-- {
			if choice[i]++; choice[i] < len(t.facets[i].options) {
				break
			}
			choice[i] = 0
		}
		if i < 0 {
			break
		}
	}
	return out
}

// scene is a bag of clubs with readings. Of neighbours the second has a little more of
// what they are sorted by, so that they do not tie.
func (t *topic) scene(clubs space.Bag, rows [][]option) space.Bag {
	out := clubs.Clone()
	for i := range out {
		d := &out[i]
		for k, f := range t.facets {
			o := rows[i][k]
			if o.absent && f.Prop.Ordered {
				d.Readings = append(d.Readings, space.Reading{Prop: f.Prop, Unit: f.Unit, None: true})
			}
			if o.absent {
				continue
			}
			r := space.Reading{Prop: f.Prop, Unit: f.Unit, Amount: o.amount, Text: o.text}
			if o.common {
				r.Amount = f.common(d)
			}
			if f.Prop.ID == catalogue.LengthID {
				d.Method = t.method
			}
			if t.stated && f.Prop.Sort == catalogue.Length && !f.Prop.Ordered {
				r.Half = coarse(&r)
			}
			if by, ok := space.SortedBy(t.rule); i > 0 && ok && by.Name == f.Prop.Name {
				r.Amount += float64(i) * f.Unit.ToBase(1)
			}
			if o.readings > 1 {
				r.More = slices.Repeat([]float64{r.Amount}, o.readings-1)
			}
			d.Readings = append(d.Readings, r)
		}
	}
	return out
}

// gatherings are the clubs of the bags that are tried, without readings, the plainest first.
func (t *topic) gatherings() []space.Bag {
	var out []space.Bag
	kind := t.rule.Subject
	if kind != ast.OfNeighbours {
		for _, s := range t.shapes {
			out = append(out, space.Bag{s})
		}
	}
	if kind == ast.OfSet {
		for i, s := range t.shapes[1:] {
			out = append(out, space.Bag{t.shapes[i], s})
		}
		for _, n := range t.sizes() {
			if n > 2 {
				out = append(out, mixed(n))
			}
			for _, s := range t.shapes {
				out = append(out, slices.Repeat(space.Bag{s}, n))
			}
		}
	}
	if kind != ast.OfClub || t.Bags {
		for i, a := range t.shapes {
			for k, b := range t.shapes {
				if i != k {
					out = append(out, space.Bag{a, b})
				}
			}
		}
	}
	return out
}

// sizes are how many clubs of one shape a bag is tried with: those about the counts that the rule
// speaks of, and two.
func (t *topic) sizes() []int {
	const most = 40
	out := []int{2}
	for _, c := range t.counts {
		for _, n := range []int{int(c), int(c) + 1, int(c) - 1} {
			if n > 1 && n <= most && !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
}

// mixed is a bag of n clubs as they are carried: woods, irons, wedges and a putter, and
// further wedges where that is not enough.
func mixed(n int) space.Bag {
	bag := slices.Clone(space.Bag(usual[:4])) // woods and a hybrid
	for number := 5; number <= 9; number++ {
		bag = append(bag, space.Draft{Kind: catalogue.Iron, Number: number})
	}
	for _, mark := range []string{"PW", "GW", "SW", "LW"} {
		bag = append(bag, space.Draft{Kind: catalogue.Wedge, Mark: mark})
	}
	bag = append(bag, space.Draft{Kind: catalogue.Putter})
	for len(bag) < n {
		bag = append(bag, space.Draft{Kind: catalogue.Wedge})
	}
	return bag[:n]
}
