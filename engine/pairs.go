package engine

// This file lays the clubs of a bag in order and judges each with its neighbour.

import (
	"fmt"
	"slices"
	"sort"

	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/unit"
)

// member is a club among which neighbours are looked for, or a refused row that may be one.
type member struct {
	club  *club.Club
	key   float64
	keyed bool
	lacks []lack // why it may or may not belong, or has no key
	row   int    // of a refused row; else 0
}

// line is what a rule about neighbours finds in a bag. Keyed members are sorted, lowest first, ties in the order of the sheet.
type line struct {
	by       string   // the name of the key
	sure     []member // clubs that surely belong and have a key
	doubtful []member // other clubs that may belong, in the order of the sheet
	refused  []member // rows that may belong
	keyed    []member // of doubtful and refused
	loose    []member // of doubtful and refused, those without a key
	anywhere []lack   // of refused rows without a key, which could stand between any two clubs
}

// pairs judges each pair of adjacent clubs of the bag of x, sorted by the rule's key. What else may be a pair, for all that is
// known of the clubs and of the refused rows, is unmeasured.
func (j *Judge) pairs(x *env, r *rule, t *Tally, to Sink) {
	l := j.lineUp(x, r)
	subject := func(clubs ...*club.Club) Subject {
		return Subject{Kind: ast.OfNeighbours, Set: x.bag.set.Name, File: x.bag.set.File, Clubs: clubs}
	}
	for i := 1; i < len(l.sure); i++ {
		a, b := l.sure[i-1], l.sure[i]
		x.first, x.second = a.club, b.club
		lacks := l.between(a, b)
		if lacks == nil && !j.all {
			if v := x.fast(r); v != 0 {
				t.Count(r.Rule, v)
				continue
			}
		}
		s := subject(a.club, b.club)
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
	open := func(clubs []*club.Club, lacks []lack) {
		if lacks != nil {
			j.give(r, x.result(r, subject(clubs...), unmeasured(lacks)), nil, t, to)
		}
	}
	for _, d := range l.doubtful {
		open(l.beside(d))
	}
	open(l.alone())
	j.lined = l.sure[:0]
}

// lineUp finds the clubs and rows that the rule is about.
func (j *Judge) lineUp(x *env, r *rule) *line {
	l := &line{by: r.Decl.For.By.Name.Text, sure: j.lined[:0]}
	for _, c := range x.bag.clubs {
		m, in := x.member(r, c)
		switch {
		case in == True && m.keyed:
			l.sure = append(l.sure, m)
		case in != False:
			l.doubtful = append(l.doubtful, m)
		}
	}
	for _, f := range x.bag.refused {
		if m, in := x.member(r, f.Club); in != False {
			m.row = f.Row.Row
			l.refused = append(l.refused, m)
		}
	}
	x.club = nil
	for _, m := range slices.Concat(l.doubtful, l.refused) {
		if m.keyed {
			l.keyed = append(l.keyed, m)
			continue
		}
		if l.loose = append(l.loose, m); m.row > 0 {
			l.anywhere = merge(l.anywhere, l.unread(m, "between them"))
		}
	}
	byKey := func(a, b member) int { return unit.Compare(a.key, b.key) }
	slices.SortStableFunc(l.sure, byKey)
	slices.SortStableFunc(l.keyed, byKey)
	return l
}

// member is a club as one that the rule lines up, and whether it belongs.
func (x *env) member(r *rule, c *club.Club) (m member, in Truth) {
	m.club, x.club = c, c
	if in = r.selector.quick(c); in == Unknown {
		v := x.takes(r.Among.Decl)
		m.lacks, in = v.lacks, v.truth
	}
	if in != False {
		key := x.key(r)
		m.key, m.keyed, m.lacks = key.num, key.kind == number, merge(m.lacks, key.lacks)
	}
	return m, in
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

// unread says where a refused row could stand.
func (l *line) unread(m member, where string) []lack {
	return []lack{{l.by, fmt.Sprintf("row %d was refused and could stand %s", m.row, where), nil}}
}

// place is where a key stands among sorted members: behind those that are lower, before those that are higher.
func place(ms []member, key float64) (low, high int) {
	low = sort.Search(len(ms), func(i int) bool { return unit.Compare(ms[i].key, key) >= 0 })
	return low, low + sort.Search(len(ms)-low, func(i int) bool { return unit.Compare(ms[low+i].key, key) > 0 })
}

// between tells what keeps two clubs of the line from being judged as neighbours: clubs that may stand between them, where a
// key is known of these, refused rows, and that the two tie. A club without a key is told of by itself.
func (l *line) between(a, b member) []lack {
	var lacks []lack
	if len(l.keyed) > 0 {
		low, _ := place(l.keyed, a.key)
		_, high := place(l.keyed, b.key)
		for _, m := range l.keyed[low:high] {
			if len(lacks) >= maxLacks {
				break
			}
			if m.row > 0 {
				m.lacks = l.unread(m, "between them")
			}
			lacks = merge(lacks, m.lacks)
		}
	}
	lacks = merge(lacks, l.anywhere)
	if unit.Compare(a.key, b.key) == 0 {
		lacks = append(slices.Clip(lacks), lack{"", fmt.Sprintf("%s and %s have the same %s", a.club.ID, b.club.ID, l.by), nil})
	}
	return lacks
}

// beside lists a doubtful club and those that it could stand beside, up to maxListed of them: without a key any other, with one
// those of its own key and the next on either side, and what may stand no farther off than these. lacks is why it cannot be
// told; nil where not even a refused row could stand beside it.
func (l *line) beside(d member) (clubs []*club.Club, lacks []lack) {
	sure, keyed := l.sure, l.keyed
	if d.keyed {
		low, high := place(sure, d.key)
		at, end := 0, len(keyed)
		if low > 0 {
			low--
			at, _ = place(keyed, sure[low].key)
		}
		if high < len(sure) {
			_, end = place(keyed, sure[high].key)
			high++
		}
		near, _ := place(keyed, d.key)
		sure, keyed = sure[low:high], keyed[max(at, near-maxListed/2):min(end, near+maxListed/2)]
	}
	clubs = append(clubs, d.club)
	var rows []lack
	for _, ms := range [][]member{sure, keyed, l.loose} {
		for _, m := range ms {
			switch {
			case len(clubs) > maxListed:
				return clubs, d.lacks
			case m.row > 0:
				if len(rows) < maxLacks {
					rows = merge(rows, l.unread(m, "beside it"))
				}
			case m.club != d.club:
				clubs = append(clubs, m.club)
			}
		}
	}
	if len(clubs) > 1 {
		return clubs, d.lacks
	}
	if rows != nil {
		lacks = merge(d.lacks, rows)
	}
	return clubs, lacks
}

// alone tells of refused rows where no club of the bag has a neighbour, judged or doubtful: they may be neighbours of the one
// club of the line, or of each other. lacks is nil where they may not.
func (l *line) alone() (clubs []*club.Club, lacks []lack) {
	if len(l.doubtful) > 0 || len(l.sure) > 1 || len(l.sure)+len(l.refused) < 2 {
		return nil, nil
	}
	where := "beside another"
	for _, m := range l.sure {
		clubs, where = append(clubs, m.club), "beside it"
	}
	for _, f := range l.refused {
		lacks = merge(lacks, l.unread(f, where))
	}
	return clubs, lacks
}
