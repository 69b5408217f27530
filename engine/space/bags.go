package space

// This file lays out the bags of a tour for rules about neighbours and about sets: pairs, bags of a few clubs, and
// clubs in every number that a count may turn at. It also has two or three clubs of one sort that differ in what is
// read of them.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// mostCounted is how many clubs of one sort a bag has at the most.
const mostCounted = 200

const (
	mostFilled = 5000   // bags of clubs in unlike numbers
	mostUnlike = 20_000 // bags with clubs that differ in what is read of them, for one rule
	mostPool   = 12     // different clubs of which these are made
)

// members are clubs of which bags are made: one for each cell of what decides whether a rule is about them, with
// common readings of what it only requires something of.
func (t *Tour) members() []Draft {
	var out []Draft
	seen := map[string]bool{}
	required := slices.Clip(t.free)
	if t.pivot != nil {
		required = append(required, t.pivot)
	}
	decides := lists.Kept(required, func(a *Axis) bool { return a.picks })
	required = lists.Kept(required, func(a *Axis) bool { return !a.picks })
	t.eachDraft(slices.Concat(t.scope, decides), func(d *Draft) bool {
		e := t.Plain(*d, required...)
		if key := fmt.Sprint(Bag{e}.Rows()); !seen[key] {
			if t.short = len(out) == mostMembers; t.short {
				return false
			}
			seen[key] = true
			out = append(out, e)
		}
		return true
	})
	return out
}

// eachPair tries pairs of clubs, their order by whatever key, and each club by itself.
func (t *Tour) eachPair() bool {
	members := t.members()
	for by := range members { // two that are alike at last
		for i := range members {
			if k := i + 1 + by; k < len(members) && !t.eachApart(nil, members[i], members[k]) {
				return false
			}
		}
	}
	return !slices.ContainsFunc(members, func(d Draft) bool { return !t.eachApart(nil, d, d) || !t.try(Bag{d}) })
}

// eachApart tries two clubs beside some others: either way about where they are sorted, and as far apart as conditions
// on both turn at.
func (t *Tour) eachApart(some Bag, a, b Draft) bool {
	if !t.sweep(append(some.Clone(), a, b), t.try) || t.tied && !t.sweep(append(some.Clone(), b, a), t.try) {
		return false
	}
	for _, g := range append(t.sorted, t.Gaps...) {
		first, second := a.Of(g.Property), b.Of(g.Property)
		if first == nil || second == nil || t.pivot != nil && t.pivot.Prop.Name == g.Property {
			continue
		}
		step, order := Step(max(math.Abs(g.By), second.Unit.ToBase(1)), second.Unit)/2, 0
		if g.By == 0 {
			step, order = first.Step(), unit.Compare(second.Amount, first.Amount)
		}
		for _, by := range lists.Also(nil, g.By, -g.By) {
			for _, k := range []int{-1, 0, 1} {
				if g.By == 0 && (k == 0 || k == order) {
					continue // as they are
				}
				next, ok := b.Moved(second, first.Amount+by+float64(k)*step)
				if ok && !t.sweep(append(some.Clone(), a, next), t.try) {
					return false
				}
			}
		}
	}
	return true
}

// eachBag tries bags of a few clubs, and then as many as the values of the set that the rules depend on ask for.
func (t *Tour) eachBag() bool {
	f := &filling{Tour: t, members: t.members(), setOnly: true}
	for _, s := range t.Sides {
		if s.Rule != nil {
			f.setOnly = f.setOnly && s.Rule.Subject == ast.OfSet
			f.pairs = f.pairs || s.Rule.Subject == ast.OfNeighbours
		}
	}
	if !t.few(f.members) {
		return false
	}
	for _, f.members = range f.alike() {
		if values := t.valuesOf(true); len(values) > 0 && !f.eachMix(values) {
			return false
		}
		if others := t.valuesOf(false); len(others) > 0 && !f.eachUnlike(others) {
			return false
		}
	}
	return true
}

// alike are the members by what rules ask of the set itself: it has what all its clubs have that have something of it.
func (f *filling) alike() [][]Draft {
	var out [][]Draft
	seen := map[string]bool{}
	for i := range f.members {
		one, key := &f.members[i], ""
		var group []Draft
		for _, d := range f.members {
			if !slices.ContainsFunc(f.Axes, func(a *Axis) bool { return f.setOnly && a.own && !f.may(&d, one, a) }) {
				group, key = append(group, d), key+fmt.Sprint(Bag{d}.Rows())
			}
		}
		if !seen[key] {
			seen[key] = true
			out = append(out, group)
		}
	}
	return out
}

// may reports whether of a property the same is read of two clubs, or nothing of the first where that is asked for.
func (f *filling) may(d, other *Draft, a *Axis) bool {
	x, y := d.Of(a.Prop.Name), other.Of(a.Prop.Name)
	if x == nil {
		return y == nil || slices.Contains(f.asked, a)
	}
	return y != nil && x.words() == y.words()
}

// few tries bags of one club, of several of a kind, and of two kinds.
func (t *Tour) few(members []Draft) bool {
	if t.scopeOnly {
		return !slices.ContainsFunc(members, func(d Draft) bool { return !t.try(Bag{d}) })
	}
	copies := t.copies()
	for _, d := range members {
		if !t.sweep(Bag{d}, t.try) {
			return false
		}
		for n := 2; n <= copies; n++ {
			if !t.try(slices.Repeat(Bag{d}, n)) {
				return false
			}
		}
	}
	for i := range members {
		for k := range members {
			if !t.sweep(Bag{members[i], members[k]}, t.try) {
				return false
			}
			for _, n := range []int{copies - 1, copies} {
				for m := 1; m < n && i != k; m++ {
					if !t.try(append(slices.Repeat(Bag{members[i]}, m), slices.Repeat(Bag{members[k]}, n-m)...)) {
						return false
					}
				}
			}
		}
	}
	return true
}

// copies is how many clubs a bag has to have so that every count that a rule names is exceeded, within reason.
func (t *Tour) copies() int {
	most := 2
	for _, n := range t.turningCounts() {
		if n < mostCopies {
			most = max(most, n+1)
		}
	}
	return most
}

// turningCounts are the figures for counts that a rule names, rounded up.
func (t *Tour) turningCounts() []int {
	var out []int
	for _, s := range t.Sides {
		if s.Rule == nil {
			continue
		}
		s.Rule.Visit(func(p book.Part) bool {
			if c := p.Constant(); c != nil && p.Type().Dim == unit.Count && c.Base <= catalogue.HighestNumber {
				out = append(out, int(math.Ceil(c.Base)))
			}
			return !p.Chooses()
		}, nil)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// filling is what a bag has beside the clubs that a rule is about.
type filling struct {
	*Tour
	members []Draft
	setOnly bool // the rules are about sets
	pairs   bool // one of them is about neighbours
}

// beside tries some clubs with each that a rule may be about, or by themselves where they are about sets; false where
// no more bags are to be tried.
func (f *filling) beside(some Bag) bool {
	if f.setOnly {
		return len(some) == 0 || f.sweep(some, f.try)
	}
	for i := range f.members {
		if !f.about(&f.members[i]) {
			continue
		}
		if !f.sweep(append(some.Clone(), f.members[i]), f.try) {
			return false
		}
		for k := i; f.pairs && k < len(f.members); k++ {
			if f.about(&f.members[k]) && !f.eachApart(some, f.members[i], f.members[k]) {
				return false
			}
		}
	}
	return true
}

// class is the clubs that values of the bag cannot tell apart, one for all.
type class struct {
	Draft
	in      []value.Truth // by value
	numbers []int         // how many are laid out
}

// mixes are bags with each number of the clubs of each class, the smallest first.
func mixes(classes []class) []Bag {
	out := []Bag{nil}
	for _, c := range classes {
		var more []Bag
		for _, n := range c.numbers {
			for _, b := range out {
				more = append(more, append(b.Clone(), slices.Repeat(Bag{c.Draft}, n)...))
			}
		}
		out = more
	}
	slices.SortStableFunc(out, func(a, b Bag) int { return len(a) - len(b) })
	return out
}

// eachMix tries every number of clubs at which one of some values of the bag may turn; false where no more bags are to
// be tried.
func (f *filling) eachMix(values []BagValue) bool {
	classes := f.classes(values)
	alone := true // each value is of one class, and each class in one value
	for i := range values {
		n := 0
		for _, c := range classes {
			if c.in[i] != value.False {
				n++
			}
			alone = alone && c.in[i] != value.Unknown
		}
		alone = alone && n <= 1
	}
	all := 1
	for i := range classes {
		c := &classes[i]
		f.Between = f.Between || f.pairs && f.about(&c.Draft) // it may come between the two of a pair
		c.numbers = numbersAt(values, c, alone)
		if all *= len(c.numbers); all > mostFilled {
			f.Cut = true
			return true
		}
	}
	return !slices.ContainsFunc(mixes(classes), func(b Bag) bool {
		if f.setOnly && len(b) > 0 {
			return !f.try(b)
		}
		return !f.setOnly && !f.beside(b)
	})
}

// classes are the clubs that values of the bag tell apart: by what is read of them where it is an extreme, and for a
// spread as far apart as it turns at.
func (f *filling) classes(values []BagValue) []class {
	var out []class
	seen := map[string]bool{}
	for _, d := range f.apart(values) {
		one := class{Draft: d}
		key, counted := "", false
		for _, v := range values {
			in := v.side.takes(v.Clubs, &d)
			one.in = append(one.in, in)
			counted = counted || in != value.False
			if key += fmt.Sprint(in); v.of == nil || in == value.False {
				continue
			}
			r := d.Of(v.of.Prop.Name)
			for _, at := range v.at {
				switch {
				case r == nil:
					key += " none"
				case v.Set.How == ast.Spread:
					key += fmt.Sprint(" ", r.Amount)
				default:
					key += fmt.Sprint(" ", unit.Compare(r.Amount, at))
				}
			}
		}
		for _, a := range f.Axes {
			if f.setOnly && (a.some || a.own && slices.Contains(f.asked, a)) {
				counted = counted || d.Of(a.Prop.Name) != nil
				key += fmt.Sprint(" ", d.Of(a.Prop.Name) != nil)
			}
		}
		if counted && !seen[key] {
			seen[key] = true
			out = append(out, one)
		}
	}
	return out
}

// apart are the members; those of a spread with one reading, and as far from it as the spread turns at.
func (f *filling) apart(values []BagValue) []Draft {
	members := f.members
	for _, axis := range f.Axes {
		var v *BagValue
		var at []float64
		for i := range values {
			if values[i].of == axis && values[i].Set.How == ast.Spread {
				v, at = &values[i], append(at, values[i].at...)
			}
		}
		if v == nil {
			continue
		}
		var out []Draft
		var first *Reading
		for _, d := range members {
			r := d.Of(axis.Prop.Name)
			if r == nil || v.side.takes(v.Clubs, &d) == value.False {
				out = append(out, d)
				continue
			}
			first = cmp.Or(first, r)
			away := []float64{0}
			for _, at := range at {
				away = append(away, at-Step(at, r.Unit), at, at+Step(at, r.Unit))
			}
			for _, by := range lists.Also(nil, away...) {
				if next, ok := d.Moved(r, first.Amount+by); ok {
					out = append(out, next)
				}
			}
		}
		members = out
	}
	return members
}

// numbersAt are the numbers of clubs of a class to lay out. Of values of the set there is one. Of counts there are
// those beside the figures that they are compared with, where nothing else is counted with them, else all up to there.
func numbersAt(counts []BagValue, c *class, alone bool) []int {
	at, most := map[int]bool{0: true, 1: true}, 1
	for i, v := range counts {
		switch {
		case c.in[i] == value.False, v.Set != nil:
			continue
		case c.in[i] == value.Unknown:
			return []int{0, 1}
		}
		at[2], most = true, max(most, 3)
		for _, k := range v.at {
			if math.Abs(k) >= mostCounted {
				continue
			}
			for n := max(0, int(math.Floor(k))-1); n <= int(math.Ceil(k))+1; n++ {
				at[n] = true
				most = max(most, n)
			}
		}
	}
	var out []int
	for n := 0; n <= most; n++ {
		if !alone || at[n] {
			out = append(out, n)
		}
	}
	return out
}

// eachUnlike tries bags with two or three clubs of which values of the set are taken, unlike in what is read of them.
func (f *filling) eachUnlike(values []BagValue) bool {
	var pool []Draft
	for _, d := range f.members {
		counts := func(v BagValue) bool { return v.side.takes(v.Clubs, &d) == value.True }
		if len(pool) < mostPool && slices.ContainsFunc(values, counts) {
			pool = append(pool, d)
		}
	}
	of := measuredOf(values)
	bags := unlike(pool, of)
	for _, v := range values {
		for _, d := range pool {
			if v.Set.How == ast.Total && v.side.takes(v.Clubs, &d) == value.True {
				for _, n := range fits(&v, &d, of) {
					bags = append(bags, slices.Repeat(Bag{d}, n))
				}
			}
		}
	}
	until := f.Tried + mostUnlike
	for _, b := range bags {
		if f.Tried < until && !f.beside(b) {
			return false
		}
	}
	return true
}

// measuredOf are the properties that values of the set are taken of.
func measuredOf(values []BagValue) []*Axis {
	s := NewSpace()
	for _, v := range values {
		s.Part(book.Part{Expr: v.Set.Of, Info: v.Clubs.Info}, true)
	}
	return slices.DeleteFunc(s.Axes, func(a *Axis) bool { return !a.Prop.Sort.Numeric() })
}

// unlike are bags of one to three clubs of a pool, the smallest first.
func unlike(pool []Draft, of []*Axis) []Bag {
	moved := func(d *Draft, k float64) Draft {
		out := *d
		for _, a := range of {
			if r := d.Of(a.Prop.Name); r != nil && r.Unit != nil {
				out, _ = out.Moved(r, r.Amount+k*r.Step())
			}
		}
		return out
	}
	var ones, twos, threes []Bag
	for i := range pool {
		a := &pool[i]
		ones = append(ones, Bag{*a})
		twos = append(twos, Bag{moved(a, -1), moved(a, 1)})
		threes = append(threes, Bag{moved(a, -2), moved(a, 1), *a})
		for k := range pool[:i] {
			b := &pool[k]
			twos = append(twos, Bag{*a, moved(b, 1)}, Bag{*a, moved(b, -1)})
			threes = append(threes, Bag{moved(a, -1), moved(a, 1), *b}, Bag{moved(b, -1), moved(b, 1), *a})
		}
	}
	return slices.Concat(ones, twos, threes)
}

// fits are the numbers of clubs of which a total may reach the figures that it is compared with.
func fits(v *BagValue, d *Draft, of []*Axis) []int {
	var out []int
	for _, a := range of {
		r := d.Of(a.Prop.Name)
		if r == nil || r.Amount <= 0 {
			continue
		}
		for _, k := range v.at {
			if n := int(math.Ceil(k / r.Amount)); n > 0 && n <= mostCounted {
				out = append(out, n)
			}
		}
	}
	return lists.Also(nil, out...)
}
