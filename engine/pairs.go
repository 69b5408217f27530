package engine

// This file lays the clubs of a bag in order and judges each with its neighbour.

import (
	"fmt"
	"slices"

	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/unit"
)

// member is a club among which neighbours are looked for.
type member struct {
	club  *club.Club
	key   float64
	lacks []lack // of a club that may or may not belong, or has no key: why
	keyed bool
}

// pairs judges each pair of adjacent clubs of the bag of x, sorted by the rule's
// key, lowest first, ties in the order of the sheet.
func (j *Judge) pairs(x *env, r *rule, t *Tally, to Sink) {
	sure, doubtful := j.lineUp(x, r)
	slices.SortStableFunc(sure, func(a, b member) int { return unit.Compare(a.key, b.key) })
	for i := 1; i < len(sure); i++ {
		a, b := sure[i-1], sure[i]
		x.first, x.second = a.club, b.club
		lacks := x.between(r, a, b, doubtful)
		if unit.Compare(a.key, b.key) == 0 {
			name := r.Decl.For.By.Name.Text
			lacks = append(lacks, lack{"", fmt.Sprintf("%s and %s have the same %s", a.club.ID, b.club.ID, name), nil})
		}
		if lacks == nil && !j.all {
			if v := x.fast(r); v != 0 {
				t.Count(r.Rule, v)
				continue
			}
		}
		s := Subject{Kind: ast.OfNeighbours, Set: x.bag.set.Name, File: x.bag.set.File, Clubs: []*club.Club{a.club, b.club}}
		var stand *Pair
		if j.all {
			stand = x.stand(r, a, b)
		}
		if lacks != nil {
			res := x.result(r, s, unmeasured(lacks))
			res.Pair = stand
			j.give(r, res, nil, t, to)
			continue
		}
		res, clash := j.subject(x, r, s)
		if clash != nil {
			clash.Pair = stand
		} else {
			res.Pair = stand
		}
		j.give(r, res, clash, t, to)
	}
	x.first, x.second = nil, nil
	j.lined = sure[:0]
	for _, d := range doubtful {
		beside := beside(d, sure, doubtful)
		if len(beside) == 0 {
			continue
		}
		s := Subject{Kind: ast.OfNeighbours, Set: x.bag.set.Name, File: x.bag.set.File, Clubs: append([]*club.Club{d.club}, beside...)}
		j.give(r, x.result(r, s, unmeasured(d.lacks)), nil, t, to)
	}
}

// lineUp finds the clubs that the rule is about: those that surely belong and have
// a key, and the others.
func (j *Judge) lineUp(x *env, r *rule) (sure, doubtful []member) {
	sure = j.lined[:0]
	for _, c := range x.bag.clubs {
		in := r.selector.quick(c)
		if in == False {
			continue
		}
		x.club = c
		m := member{club: c}
		if in == Unknown {
			v := x.takes(r.selector.decl)
			if in = v.truth; in == False {
				continue
			}
			m.lacks = v.lacks
		}
		key := x.key(r)
		m.key, m.keyed = key.num, key.kind == number
		if m.lacks = merge(m.lacks, key.lacks); m.keyed && in == True {
			sure = append(sure, m)
		} else {
			doubtful = append(doubtful, m)
		}
	}
	x.club = nil
	return sure, doubtful
}

// key is the value by which the rule sorts, of the club of x.
func (x *env) key(r *rule) value {
	if r.keyed {
		if n, ok := x.club.Amount(r.key); ok {
			return numberOf(n)
		}
	}
	return x.eval(r.Decl.For.By)
}

// between tells which clubs could stand between two neighbours: one of whose key
// something is known, but not whether it belongs, and refused rows. A club without
// a key is told of by itself.
func (x *env) between(r *rule, a, b member, doubtful []member) []lack {
	var lacks []lack
	for _, d := range doubtful {
		if d.keyed && unit.Compare(d.key, a.key) >= 0 && unit.Compare(d.key, b.key) <= 0 {
			lacks = merge(lacks, d.lacks)
		}
	}
	if len(x.bag.refused) == 0 {
		return lacks
	}
	y := *x
	y.first, y.second = nil, nil
	for _, f := range x.bag.refused {
		y.club = f.Club
		if y.takes(r.selector.decl).truth == False {
			continue
		}
		key := y.eval(r.Decl.For.By)
		if key.kind == number && (unit.Compare(key.num, a.key) < 0 || unit.Compare(key.num, b.key) > 0) {
			continue
		}
		name := r.Decl.For.By.Name.Text
		lacks = merge(lacks, []lack{{name, fmt.Sprintf("row %d was refused and could stand between them", f.Row.Row), nil}})
	}
	return lacks
}

// beside lists the clubs that a doubtful one could stand beside: with a key its
// nearest on either side, without one each other club, up to
// maxListed.
func beside(d member, sure, doubtful []member) []*club.Club {
	var out []*club.Club
	if d.keyed {
		i := 0
		for i < len(sure) && unit.Compare(sure[i].key, d.key) <= 0 {
			i++
		}
		if i > 0 {
			out = append(out, sure[i-1].club)
		}
		if i < len(sure) {
			out = append(out, sure[i].club)
		}
		return out
	}
	for _, members := range [][]member{sure, doubtful} {
		for _, m := range members {
			if m.club != d.club && len(out) < maxListed {
				out = append(out, m.club)
			}
		}
	}
	return out
}
