package vet

// This file finds, among the clubs of a stock, a bag that some rules on one property leave no room. What rules ask of
// two clubs that are beside each other they ask only where no club of the bag is between them. So the rules make a
// graph of constraints on all the clubs, each with the clubs that may not be in the bag with it. The bag is looked for
// as a ring of them, none of whose clubs is in the way of another's.

import (
	"fmt"
	"math/bits"
	"slices"

	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// demand is a constraint of the graph. Numbers are those of clubs of the stock.
type demand struct {
	bounds.Edge
	blocks uint64 // clubs that may not be in the bag with it
	line   int    // of a rule about neighbours: which line they are in; else -1
	up     bool   // it leads from a club to one that stands later in the line
	single bool   // of a rule about single clubs
}

// graph is what some rules ask of the clubs of a stock, whatever bag they are in.
type graph struct {
	*ringSearch
	stock   space.Bag
	twins   []uint64 // of each club: the same club with other figures, which is in no bag with it
	demands []demand
	lines   int
	left    int // ways to put bags together that may still be tried
}

// mostWays bounds how many ways to put bags together are tried in one graph.
const mostWays = 2000

// graph lays out what rules of some labels, which depend on no others of the bag, ask of the clubs of a stock.
func (s *ringSearch) graph(stock space.Bag, labels []int) *graph {
	w := &graph{ringSearch: s, stock: stock, twins: make([]uint64, len(stock)), left: mostWays}
	for i := range stock {
		for k := range stock {
			if i != k && stock[i].Name() == stock[k].Name() {
				w.twins[i] |= 1 << k
			}
		}
	}
	cost := s.costOf(labels)
	if !w.Pay(cost * len(stock)) {
		return w
	}
	clubs := stock.Lay(s.Program.Schema).Clubs
	unlined := func(l int) bool { return s.rules[l].form.Step == nil }
	alone := func(l int) bool { return unlined(l) && s.rules[l].form.Set == nil }
	lined := slices.DeleteFunc(slices.Clone(labels), unlined)
	joined := slices.DeleteFunc(slices.Clone(labels), alone)
	lines := w.linesOf(s.judge(lined), clubs)
	doubt := map[int]uint64{} // by label: clubs beside which nobody can tell what the rule asks
	j := s.judge(labels)
	for i := range clubs {
		if !w.Pay(10 + 2*cost) {
			return w
		}
		for _, r := range w.add(j, lines, clubs, i).Open {
			doubt[s.label[r.Rule]] |= 1 << i
		}
	}
	j = s.judge(joined)
	for i := range clubs {
		for k := range i {
			if w.twins[i]>>k&1 == 0 && w.Pay(10+2*cost) {
				w.add(j, lines, clubs, i, k)
			}
		}
	}
	for i := range w.demands {
		w.demands[i].blocks |= doubt[w.demands[i].Label]
	}
	return w
}

// line is how the clubs of a stock stand for a rule about neighbours.
type line struct {
	number  int
	members []int
	keys    []float64 // of the members
}

// linesOf are the lines of rules about neighbours, by label. Lines alike have one number.
func (w *graph) linesOf(j *judge.Judge, clubs []*club.Club) map[int]*line {
	index := map[*club.Club]int{}
	for i, c := range clubs {
		index[c] = i
	}
	out := map[int]*line{}
	next := func(r *book.Rule, s judge.Subject, p *judge.Pair) {
		if p == nil {
			return
		}
		l := out[w.label[r]]
		if l == nil {
			l = &line{members: []int{index[s.Clubs[0]]}, keys: []float64{p.Key[0].Base}}
			out[w.label[r]] = l
		}
		l.members, l.keys = append(l.members, index[s.Clubs[1]]), append(l.keys, p.Key[1].Base)
	}
	j.Set(&club.Set{Clubs: clubs}, judge.Sink{
		Result:   func(r *judge.Result) { next(r.Rule, r.Subject, r.Pair) },
		Conflict: func(c *judge.Conflict) { next(c.Rule, c.Subject, c.Pair) },
	})
	numbers := map[string]int{}
	for label := range w.rules {
		if l := out[label]; l != nil {
			key := fmt.Sprint(l.members)
			if _, ok := numbers[key]; !ok {
				numbers[key] = len(numbers)
			}
			l.number = numbers[key]
		}
	}
	w.lines = len(numbers)
	return out
}

// between are the clubs of a line that would be between two of it, or could; up tells that the second stands later.
func (l *line) between(i, k int) (blocks uint64, up bool) {
	a, b := slices.Index(l.members, i), slices.Index(l.members, k)
	if up = a < b; !up {
		a, b = b, a
	}
	for n, m := range l.members {
		if n != a && n != b && unit.Compare(l.keys[n], l.keys[a]) >= 0 && unit.Compare(l.keys[n], l.keys[b]) <= 0 {
			blocks |= 1 << m
		}
	}
	return blocks, up
}

// add takes in what a judge's rules ask of one club, or of two of each other.
func (w *graph) add(j *judge.Judge, lines map[int]*line, clubs []*club.Club, of ...int) *constrain.Demands {
	set := &club.Set{Clubs: lists.Each(of, func(i int) *club.Club { return clubs[i] })}
	asked := constrain.Find(j, set, w.rules[0].form.Property.ID)
	node := func(c *club.Club) int { return slices.Index(set.Clubs, c) }
	label := func(r *book.Rule) int { return w.label[r] }
	system := asked.System(len(of), node, label, ringSteps)
	for _, e := range system.Edges {
		t := demand{Edge: e, line: -1, single: w.rules[e.Label].rule.Subject == ast.OfClub}
		for _, end := range []*int{&t.Plus, &t.Minus} {
			if *end != bounds.Origin {
				*end = of[*end]
			}
		}
		if len(of) == 2 && (t.Plus == bounds.Origin || t.Minus == bounds.Origin) {
			continue // it was met with one club
		}
		if l := lines[e.Label]; l != nil {
			t.line = l.number
			t.blocks, t.up = l.between(t.Minus, t.Plus)
		}
		w.demands = append(w.demands, t)
	}
	return asked
}

// search finds a bag that rules of some labels leave no room, and of which of them that is known; nil where there is
// none.
func (w *graph) search(labels []int) (space.Bag, []int) {
	type ends struct {
		plus, minus, line int
		blocks            uint64
		single            bool
	}
	alike := map[ends]int{}  // of demands alike the one that asks most
	beside := map[ends]int{} // the same, whatever other clubs they block
	var demands []demand
	asked := w.choice(labels)
	w.Pay(len(w.demands) / 10)
	for _, t := range w.demands {
		if !asked[t.Label] {
			continue
		}
		key := ends{t.Plus, t.Minus, t.line, t.blocks, t.single}
		k, ok := alike[key]
		if !ok {
			k = len(demands)
			alike[key], demands = k, append(demands, t)
		} else if t.Most < demands[k].Most {
			demands[k] = t
		}
		key.blocks = 0
		if b, ok := beside[key]; !ok || demands[k].Most < demands[b].Most {
			beside[key] = k
		}
	}
	for _, t := range demands {
		back, ok := beside[ends{t.Minus, t.Plus, t.line, 0, false}]
		if ok && t.line >= 0 && t.Most+demands[back].Most < -1e-6 {
			return w.bag(1<<t.Plus | 1<<t.Minus), []int{t.Label, demands[back].Label}
		}
	}
	clubs, of := w.look(demands, 0, 0)
	return w.bag(clubs), of
}

// bag are some clubs of the stock.
func (w *graph) bag(clubs uint64) space.Bag {
	var out space.Bag
	for i, d := range w.stock {
		if clubs>>i&1 == 1 {
			out = append(out, d)
		}
	}
	return out
}

// look finds a ring of demands, and the clubs and labels on it, where some clubs are in the bag for good and others are
// out of it.
func (w *graph) look(demands []demand, in, out uint64) (clubs uint64, labels []int) {
	if w.left--; w.left < 0 {
		w.Leave("too many ways to make up bags to check all for rules on %s: the first %d were checked",
			w.rules[0].form.Property.Name, mostWays)
		return 0, nil
	}
	n, edges, from := w.layers(demands, in, out)
	if !w.Pay(len(edges) / 5) {
		return 0, nil
	}
	ring := bounds.Greatest(n, edges).Ring
	var blocks uint64
	for _, k := range ring {
		t := &demands[from[k]]
		labels = append(labels, t.Label)
		blocks |= t.blocks
		for _, i := range []int{t.Plus, t.Minus} {
			if i != bounds.Origin {
				clubs |= 1 << i
			}
		}
	}
	for rest := clubs; rest != 0; rest &= rest - 1 {
		blocks |= w.twins[bits.TrailingZeros64(rest)]
	}
	wrong := clubs & blocks
	if wrong == 0 {
		return clubs, labels
	}
	one := wrong & -wrong
	if clubs, labels = w.look(demands, in, out|one); labels != nil {
		return clubs, labels
	}
	return w.look(demands, in|one, out|w.twins[bits.TrailingZeros64(one)])
}

// layers are demands as edges between numbers: each club stands for itself as it is reached by a rule on single clubs,
// upward and downward in each line, and by other demands. In a line a ring never turns round: of three clubs one stands
// between the others, and a ring of two was looked for before. Nor does it go by rules on single clubs to one and back:
// they are compared with each other elsewhere.
func (w *graph) layers(demands []demand, in, out uint64) (n int, edges []bounds.Edge, from []int) {
	const fresh, free = 0, 1
	clubs, states := len(w.stock), 2+2*w.lines
	for k, t := range demands {
		gone := t.blocks & in
		to := free
		for _, i := range []int{t.Plus, t.Minus} {
			if i != bounds.Origin {
				gone |= 1 << i & out
			}
		}
		if gone != 0 {
			continue
		}
		add := func(plus, minus int) {
			edges, from = append(edges, bounds.Edge{Plus: plus, Minus: minus, Most: t.Most}), append(from, k)
		}
		back := -1 // the state from which the thread does not lead on
		switch {
		case t.single:
			to, back = fresh, fresh
		case t.line >= 0 && t.up:
			to, back = 2+2*t.line, 3+2*t.line
		case t.line >= 0:
			to, back = 3+2*t.line, 2+2*t.line
		}
		for s := range states {
			switch {
			case t.Minus == bounds.Origin && s == 0:
				add(to*clubs+t.Plus, bounds.Origin)
			case t.Minus == bounds.Origin, s == back:
			case t.Plus == bounds.Origin:
				add(bounds.Origin, s*clubs+t.Minus)
			default:
				add(to*clubs+t.Plus, s*clubs+t.Minus)
			}
		}
	}
	return clubs * states, edges, from
}
