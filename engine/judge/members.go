package judge

// This file gives all that becomes of a set, not the worst alone: each result at each combination of settings, and the
// clubs behind a value of the set. What a change of single clubs does depends on it (engine/constrain).

import (
	"encoding/binary"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Member is a club that counts for the spread or an extreme of a set.
type Member struct {
	Club  *club.Club
	Value float64 // its own, base units
	Group int     // members of one group are as unsure as each other, beside every other club too
	value value.Value
}

// Whole is what a spread or an extreme of a set comes from.
type Whole struct {
	Members []Member
	Empty   bool // no club counts for it, and no refused row could
	limits  [2]value.Value
}

// Every judges a set by some of the rules as Set does, and gives each result, passes included, at each combination of
// settings. Those on a spread or an extreme have their members.
func (j *Judge) Every(s *club.Set, about func(*book.Rule) bool, to Sink) {
	rules, all := j.rules, j.all
	j.rules, j.all, j.every = lists.Kept(rules, func(r *rule) bool { return about(r.Rule) }), true, true
	j.Set(s, to)
	j.rules, j.all, j.every = rules, all, false
}

// members notes in a result what the value of the set comes from.
func (x *task) members(r *rule, res *Result) {
	form, ok := r.Value.Form()
	if !ok || form.Set == nil {
		return
	}
	y := *x
	y.Info, y.Steps = form.Info, nil
	w := &Whole{Empty: true}
	for _, f := range x.Bag.Refused {
		y.Club = f.Club
		w.Empty = w.Empty && y.Takes(form.Set.Among).Truth == value.False
	}
	for _, c := range x.Bag.Clubs {
		y.Club = c
		in := y.Takes(form.Set.Among).Truth
		if w.Empty = w.Empty && in == value.False; in != value.True {
			continue
		}
		if v := y.Eval(form.Set.Of); v.Kind == value.Number {
			w.Members = append(w.Members, Member{Club: c, Value: v.Num, value: v})
		}
	}
	applied := r.bound
	for _, e := range r.unless {
		if e.bound != nil && e.Bound == res.Bound {
			applied = e.bound
		}
	}
	if applied != nil {
		y = *x
		y.Steps = nil
		w.limits[0], w.limits[1] = y.limitValues(applied)
	}
	w.group()
	res.Whole = w
}

// group puts members that have the same of what clubs share, and as much of what is their own, into one group.
func (w *Whole) group() {
	sources := map[value.Source]uint64{} // what is shared, and what is a club's own and is in the limit too
	for _, v := range w.limits {
		for _, p := range v.Parts {
			sources[p.Source] = uint64(len(sources)) + 1
		}
	}
	groups := map[string]int{}
	var key []byte
	for i := range w.Members {
		m := &w.Members[i]
		key = key[:0]
		for _, p := range m.value.Parts {
			id := sources[p.Source]
			if _, own := p.Source.Owner.(*club.Club); !own && id == 0 {
				id = uint64(len(sources)) + 1
				sources[p.Source] = id
			}
			for _, n := range []uint64{id, math.Float64bits(p.Contribution()), math.Float64bits(p.Freedom)} {
				key = binary.LittleEndian.AppendUint64(key, n)
			}
		}
		if m.value.Unsure != nil {
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
		v = value.Linear(a.Value-b.Value, a.value, 1, b.value, -1)
	}
	limit := w.limits[1]
	if how == ast.Shortest || how == ast.Lowest {
		limit = w.limits[0]
	}
	d := value.Plus(v, limit, -1)
	if d.Unsure != nil {
		return decide.Spread{U: math.NaN()}
	}
	return d.Spread()
}
