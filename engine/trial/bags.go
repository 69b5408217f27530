package trial

// This file lays out the bags that are tried for a rule: which clubs, and what was read of them.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
)

// scenes lays out the bags of a topic, the plainest first, until f is false: the clubs of a bag
// all with the same choice of readings, then those of two clubs each with a choice of
// its own, and at last those of the sorts that the rule counts.
func (t *topic) scenes(f func(scene) bool) {
	const ofMany, ofTwo = 60, 12 // choices for bags of more than one club
	every := t.plain()
	gatherings := t.gatherings()
	for _, shapes := range gatherings {
		rows := every
		switch n := len(shapes); {
		case n == 2:
			rows = every[:min(len(every), ofTwo)]
		case n > 2:
			rows = every[:min(len(every), ofMany)]
		}
		for _, row := range rows {
			if !f(t.scene(shapes, slices.Repeat([][]option{row}, len(shapes)))) {
				return
			}
		}
	}
	few := every[:min(len(every), ofTwo)]
	for _, shapes := range gatherings {
		if len(shapes) != 2 {
			continue
		}
		for i, a := range few {
			for k, b := range few {
				if i != k && !f(t.scene(shapes, [][]option{a, b})) {
					return
				}
			}
		}
	}
	if !t.bag {
		return
	}
	for _, shapes := range t.counted() {
		for _, row := range few {
			if !f(t.scene(shapes, slices.Repeat([][]option{row}, len(shapes)))) {
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
func (t *topic) scene(shapes []shape, rows [][]option) scene {
	out := make(scene, len(shapes))
	for i, sh := range shapes {
		out[i].shape = sh
		for k, f := range t.facets {
			o := rows[i][k]
			if o.absent {
				continue
			}
			d := datum{prop: f.prop, unit: f.unit, amount: o.amount, text: o.text}
			if n, ok := sh.build(f.prop); ok && o.common {
				d.amount = n
			}
			if f.prop.ID == catalogue.LengthID {
				d.by = t.method
			}
			if t.stated && f.prop.Sort == catalogue.Length {
				d.half = d.coarse()
			}
			if by := t.rule.Decl.For.By; i > 0 && by != nil && by.Name.Text == f.prop.Name {
				d.amount += float64(i) * f.unit.ToBase(1)
			}
			if o.readings > 1 {
				d.more = slices.Repeat([]float64{d.amount}, o.readings-1)
			}
			out[i].data = append(out[i].data, d)
		}
	}
	return out
}

// gatherings are the clubs of the bags that are tried, the plainest first.
func (t *topic) gatherings() [][]shape {
	var out [][]shape
	kind := t.rule.Subject
	if kind != ast.OfNeighbours {
		for _, s := range t.shapes {
			out = append(out, []shape{s})
		}
	}
	if kind == ast.OfSet {
		for i, s := range t.shapes[1:] {
			out = append(out, []shape{t.shapes[i], s})
		}
		for _, n := range t.sizes() {
			if n > 2 {
				out = append(out, mixed(n))
			}
			for _, s := range t.shapes {
				out = append(out, slices.Repeat([]shape{s}, n))
			}
		}
	}
	if kind != ast.OfClub || t.bag {
		for _, a := range t.shapes {
			for _, b := range t.shapes {
				if a != b {
					out = append(out, []shape{a, b})
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
func mixed(n int) []shape {
	bag := []shape{{kind: catalogue.Driver, number: 1}, {kind: catalogue.Fairway, number: 3}, {kind: catalogue.Fairway, number: 5}, {kind: catalogue.Hybrid, number: 4}}
	for number := 5; number <= 9; number++ {
		bag = append(bag, shape{kind: catalogue.Iron, number: number})
	}
	for _, mark := range []string{"PW", "GW", "SW", "LW"} {
		bag = append(bag, shape{kind: catalogue.Wedge, mark: mark})
	}
	bag = append(bag, shape{kind: catalogue.Putter})
	for len(bag) < n {
		bag = append(bag, shape{kind: catalogue.Wedge})
	}
	return bag[:n]
}
