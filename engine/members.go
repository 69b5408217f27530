package engine

// This file tells all that becomes of a set, in place of the worst: each result at each combination of settings, and the
// clubs behind a value of the set. What a change of single clubs does rests on it (engine/constrain).

import (
	"encoding/binary"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Member is a club that counts for the spread or an extreme of a set.
type Member struct {
	Club  *club.Club
	Value float64 // its own, base units
	Group int     // members of one group are as unsure as each other, beside every other club too
	value value
}

// Whole is what a spread or an extreme of a set comes from.
type Whole struct {
	Members []Member
	Empty   bool // no club counts for it, and no refused row could
	limits  [2]value
}

// Every judges a set by some of the rules as Set does, and gives each result, passes included, at each combination of
// settings. Those on a spread or an extreme have their members.
func (j *Judge) Every(s *club.Set, about func(*book.Rule) bool, to Sink) {
	rules, all := j.rules, j.all
	j.rules, j.all, j.every = nil, true, true
	for _, r := range rules {
		if about(r.Rule) {
			j.rules = append(j.rules, r)
		}
	}
	j.Set(s, to)
	j.rules, j.all, j.every = rules, all, false
}

// members notes in a result what the value of the set comes from.
func (x *env) members(r *rule, res *Result) {
	form, ok := r.Value.Form()
	if !ok || form.Set == nil {
		return
	}
	y := *x
	y.info, y.steps = form.Info, nil
	w := &Whole{Empty: true}
	for _, c := range x.bag.clubs {
		y.club = c
		in := y.takes(form.Set.Among).truth
		w.Empty = w.Empty && in == False
		if v := (value{}); in == True {
			if v = y.eval(form.Set.Of); v.kind == number {
				w.Members = append(w.Members, Member{Club: c, Value: v.num, value: v})
			}
		}
	}
	for _, f := range x.bag.refused {
		y.club = f.Club
		w.Empty = w.Empty && y.takes(form.Set.Among).truth == False
	}
	applied := r.bound
	for _, e := range r.unless {
		if e.bound != nil && e.Bound == res.Bound {
			applied = e.bound
		}
	}
	if applied != nil {
		y = *x
		y.steps = nil
		w.limits[0], w.limits[1] = y.limitValues(applied)
	}
	w.group()
	res.Whole = w
}

// group puts members that have the same of what clubs share, and as much of what is their own, into one group.
func (w *Whole) group() {
	sources := map[origin]uint64{} // what is shared, and what is a club's own and stands in the limit too
	for _, v := range w.limits {
		for _, p := range v.parts {
			sources[p.source] = uint64(len(sources)) + 1
		}
	}
	groups := map[string]int{}
	var key []byte
	for i := range w.Members {
		m := &w.Members[i]
		key = key[:0]
		for _, p := range m.value.parts {
			id := sources[p.source]
			if _, own := p.source.owner.(*club.Club); !own && id == 0 {
				id = uint64(len(sources)) + 1
				sources[p.source] = id
			}
			for _, n := range []uint64{id, math.Float64bits(p.contribution()), math.Float64bits(p.freedom)} {
				key = binary.LittleEndian.AppendUint64(key, n)
			}
		}
		if m.value.unsure != nil {
			key = append(key, '?')
		}
		g, ok := groups[string(key)]
		if !ok {
			g = len(groups)
			groups[string(key)] = g
		}
		m.Group = g
	}
}

// Apart is how sure the value of a is, less that of b where there is one, less the upper limit, or the lower one of a
// shortest or lowest.
func (w *Whole) Apart(a, b *Member, how ast.Aggregate) decide.Spread {
	v := a.value
	if b != nil {
		v = linear(a.Value-b.Value, a.value, 1, b.value, -1)
	}
	limit := w.limits[1]
	if how == ast.Shortest || how == ast.Lowest {
		limit = w.limits[0]
	}
	d := plus(v, limit, -1)
	if d.unsure != nil {
		return decide.Spread{U: math.NaN()}
	}
	return d.spread()
}
