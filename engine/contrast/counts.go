package contrast

// This file lays out the bags that a rule with values of the whole bag needs beyond those of bags.go: clubs in every
// number that a count may turn at, and two or three clubs of one sort that differ in what is read of them.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

const (
	mostCounted = 200    // clubs of one sort in a bag
	mostFilled  = 5000   // bags of clubs in unlike numbers
	mostUnlike  = 20_000 // bags with clubs that differ in what is read of them, for one rule
	mostPool    = 12     // different clubs of which these are made
)

// filling is what a bag has beside the clubs that a rule is about.
type filling struct {
	*Comparison
	members []space.Draft
	setOnly bool // the rule is about sets in both editions
	pairs   bool // it is about neighbours in one
	left    int  // bags still to be tried; nothing is said to be cut where none is left
}

// fill tries the bags that counts and other values of the set ask for.
func (u *Comparison) fill(members []space.Draft) {
	f := &filling{Comparison: u, members: members, setOnly: true}
	for _, s := range u.sides {
		if s.rule != nil {
			f.setOnly = f.setOnly && s.rule.Subject == ast.OfSet
			f.pairs = f.pairs || s.rule.Subject == ast.OfNeighbours
		}
	}
	if counts := u.counts(); len(counts) > 0 && !f.eachCount(counts) {
		return
	}
	if others := u.others(); len(others) > 0 {
		f.left = mostUnlike
		f.eachUnlike(others)
	}
}

// beside tries some clubs with each that the rule may be about, or by themselves where it is about sets; false where no
// more bags are to be tried.
func (f *filling) beside(some space.Bag) bool {
	if f.setOnly {
		return len(some) == 0 || f.sweep(some, f.one)
	}
	for i := range f.members {
		if !f.about(&f.members[i]) {
			continue
		}
		if !f.sweep(append(some.Clone(), f.members[i]), f.one) {
			return false
		}
		for k := i; f.pairs && k < len(f.members); k++ {
			if f.about(&f.members[k]) && !f.eachApart(f.members[i], f.members[k], func(a, b space.Draft) bool {
				return f.sweep(append(some.Clone(), a, b), f.one)
			}) {
				return false
			}
		}
	}
	return true
}

// one tries a bag.
func (f *filling) one(b space.Bag) bool {
	if f.left > 0 {
		if f.left--; f.left == 0 {
			return false
		}
	}
	return f.try(b)
}

// about reports whether a rule of either edition may be about a club.
func (f *filling) about(d *space.Draft) bool {
	for _, s := range f.sides {
		if s.rule == nil || s.rule.Among.Decl == nil {
			continue
		}
		d.LayInto(&s.club, s.program.Schema)
		if s.probe.Takes(s.rule.Among.Decl, s.rule.Book.Info, &s.club) != value.False {
			return true
		}
	}
	return false
}

// class is the clubs that counts cannot tell apart, one for all.
type class struct {
	space.Draft
	in []value.Truth // by count
}

// eachCount tries every number of clubs at which one of the counts may turn; false where no more bags are to be tried.
func (f *filling) eachCount(counts []bagValue) bool {
	classes := f.classes(counts)
	alone := true // each count is of one class, and each class in one count
	for i := range counts {
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
	var sorts []space.Sort
	for i := range classes {
		c := &classes[i]
		f.loose = f.loose || f.pairs && f.about(&c.Draft) // it may come between the two of a pair
		numbers := numbersAt(counts, c, alone)
		sorts = append(sorts, space.Sort{Club: c.Draft, Numbers: numbers})
		if all *= len(numbers); all > mostFilled {
			f.Cut = true
			return true
		}
	}
	for _, b := range space.Mixes(sorts, mostFilled) {
		switch {
		case f.setOnly && len(b) > 0:
			if !f.try(b) {
				return false
			}
		case !f.setOnly:
			if !f.beside(b) {
				return false
			}
		}
	}
	return true
}

// classes are the clubs that counts tell apart. Counts that take in the same clubs are one.
func (f *filling) classes(counts []bagValue) []class {
	var out []class
	seen := map[string]bool{}
	var c club.Club
	for _, d := range f.members {
		one := class{Draft: d}
		counted := false
		for i := range counts {
			t := f.takes(&counts[i], &d, &c)
			one.in = append(one.in, t)
			counted = counted || t != value.False
		}
		if key := fmt.Sprint(one.in); counted && !seen[key] {
			seen[key] = true
			out = append(out, one)
		}
	}
	return out
}

// numbersAt are the numbers of clubs of a class to lay out: those beside the figures that its counts are compared with,
// where nothing else is counted with them, else all up to there.
func numbersAt(counts []bagValue, c *class, alone bool) []int {
	at := map[int]bool{0: true, 1: true, 2: true}
	most := 3
	unknown := false
	for i, v := range counts {
		if c.in[i] == value.False {
			continue
		}
		unknown = unknown || c.in[i] == value.Unknown
		for _, k := range v.at {
			if math.Abs(k) >= mostCounted {
				continue
			}
			for n := int(math.Floor(k)) - 1; n <= int(math.Ceil(k))+1; n++ {
				if n >= 0 {
					at[n] = true
					most = max(most, n)
				}
			}
		}
	}
	var out []int
	for n := 0; n <= most; n++ {
		if unknown && n > 1 {
			break
		}
		if !alone || at[n] {
			out = append(out, n)
		}
	}
	return out
}

// tooMany reports whether a count turns where no bag is laid out.
func tooMany(counts []bagValue) bool {
	return slices.ContainsFunc(counts, func(v bagValue) bool {
		return slices.ContainsFunc(v.at, func(k float64) bool { return math.Abs(k) >= mostCounted })
	})
}

// eachUnlike tries bags with two or three clubs of which values of the set are taken, unlike in what is read of them.
func (f *filling) eachUnlike(values []bagValue) {
	var pool []space.Draft
	var c club.Club
	for _, d := range f.members {
		counts := func(v bagValue) bool { return f.takes(&v, &d, &c) == value.True }
		if len(pool) < mostPool && slices.ContainsFunc(values, counts) {
			pool = append(pool, d)
		}
	}
	of := f.measuredOf(values)
	for _, some := range f.unlike(pool, of) {
		if !f.beside(some) {
			return
		}
	}
	for _, v := range values {
		for _, d := range pool {
			if v.set.How != ast.Total || f.takes(&v, &d, &c) != value.True {
				continue
			}
			for _, n := range f.fits(&v, &d, of) {
				if !f.beside(slices.Repeat(space.Bag{d}, n)) {
					return
				}
			}
		}
	}
}

// measuredOf are the properties that values of the set are taken of.
func (f *filling) measuredOf(values []bagValue) []*space.Axis {
	s := space.NewSpace()
	for _, v := range values {
		s.Part(book.Part{Expr: v.set.Of, Info: v.clubs.Info}, true)
	}
	return slices.DeleteFunc(s.Axes, func(a *space.Axis) bool { return !a.Prop.Sort.Numeric() })
}

// unlike are bags of one to three clubs of a pool, the smallest first.
func (f *filling) unlike(pool []space.Draft, of []*space.Axis) []space.Bag {
	moved := func(d *space.Draft, k float64) space.Draft {
		out := *d
		for _, a := range of {
			if r := d.Of(a.Prop.Name); r != nil && r.Unit != nil {
				next := *r
				next.Amount += k * r.Step()
				if space.Plausible(r.Prop, next.Amount) {
					out = space.With(out, &next)
				}
			}
		}
		return out
	}
	var ones, twos, threes []space.Bag
	for i := range pool {
		a := &pool[i]
		ones = append(ones, space.Bag{*a})
		twos = append(twos, space.Bag{moved(a, -1), moved(a, 1)})
		threes = append(threes, space.Bag{moved(a, -2), moved(a, 1), *a})
		for k := range pool[:i] {
			b := &pool[k]
			twos = append(twos, space.Bag{*a, moved(b, 1)}, space.Bag{*a, moved(b, -1)})
			threes = append(threes, space.Bag{moved(a, -1), moved(a, 1), *b}, space.Bag{moved(b, -1), moved(b, 1), *a})
		}
	}
	return slices.Concat(ones, twos, threes)
}

// fits are the numbers of clubs of which a total may reach the figures that it is compared with.
func (f *filling) fits(v *bagValue, d *space.Draft, of []*space.Axis) []int {
	var out []int
	for _, a := range of {
		r := d.Of(a.Prop.Name)
		if r == nil || r.Amount <= 0 {
			continue
		}
		for _, k := range v.at {
			if n := int(math.Ceil(k / r.Amount)); n > 0 && n <= mostCounted && !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
}

// gap is how far the second club of a pair may stand from the first in a property where a condition on both turns.
type gap struct {
	property string
	by       float64
}

// eachApart gives pairs of two clubs: with another key where they would tie, and as far apart as conditions on both
// turn at; false where f is.
func (u *Comparison) eachApart(a, b space.Draft, f func(a, b space.Draft) bool) bool {
	if !f(a, u.apart(a, b)) {
		return false
	}
	for _, g := range u.gaps {
		first, second := a.Of(g.property), b.Of(g.property)
		if first == nil || second == nil || u.pivot != nil && u.pivot.Prop.Name == g.property {
			continue
		}
		step := space.Step(max(math.Abs(g.by), second.Unit.ToBase(1)), second.Unit) / 2
		for _, by := range []float64{g.by, -g.by} {
			for _, k := range []float64{-1, 0, 1} {
				if next, ok := b.Moved(second, first.Amount+by+k*step); ok && !f(a, next) {
					return false
				}
			}
		}
	}
	return true
}
