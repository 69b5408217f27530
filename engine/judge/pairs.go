package judge

// This file sorts the clubs of a bag, judges each with its neighbour, and notes how the two compare.

import (
	"slices"
	"sort"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// member is a club among which neighbours are looked for, or a refused row that may be one.
type member struct {
	club  *club.Club
	key   float64
	keyed bool
	lacks []value.Lack // why it may or may not belong, or has no key
	row   int          // of a refused row; else 0
}

// line is what a rule about neighbours finds in a bag. Keyed members are sorted, lowest first, ties in the order of the
// sheet.
type line struct {
	by       string       // the name of the key
	sure     []member     // clubs that surely belong and have a key
	doubtful []member     // other clubs that may belong, in the order of the sheet
	refused  []member     // rows that may belong
	keyed    []member     // of doubtful and refused
	loose    []member     // of doubtful and refused, those without a key
	anywhere []value.Lack // of refused rows without a key, which could be between any two clubs
}

// pairs judges each pair of adjacent clubs of the bag of x, sorted by the rule's key. What else may be a pair, for all
// that is known of the clubs and of the refused rows, is unmeasured.
func (j *Judge) pairs(x *task, r *rule, t *Tally, to Sink) {
	l := j.lineUp(x, r)
	for i := 1; i < len(l.sure); i++ {
		a, b := l.sure[i-1], l.sure[i]
		x.First, x.Second = a.club, b.club
		lacks := l.between(a, b)
		if lacks == nil && j.passes(x, r, t, to) {
			continue
		}
		s := x.about(r, a.club, b.club)
		var pair *Pair
		if j.all {
			pair = x.compared(r, a, b)
		}
		if lacks != nil {
			res := x.result(r, s, unmeasured(lacks))
			res.Pair = pair
			j.give(r, res, nil, t, to)
			continue
		}
		res, clash := j.subject(x, r, s)
		if clash != nil {
			clash.Pair = pair
		} else {
			res.Pair = pair
		}
		j.give(r, res, clash, t, to)
	}
	x.First, x.Second = nil, nil
	open := func(clubs []*club.Club, lacks []value.Lack) {
		if lacks != nil {
			j.give(r, x.result(r, x.about(r, clubs...), unmeasured(lacks)), nil, t, to)
		}
	}
	for _, d := range l.doubtful {
		open(l.beside(d))
	}
	open(l.alone())
	j.lined = l.sure[:0]
}

// lineUp finds the clubs and rows that the rule is about.
func (j *Judge) lineUp(x *task, r *rule) *line {
	l := &line{by: r.Decl.For.By.Name.Text, sure: j.lined[:0]}
	for _, c := range x.Bag.Clubs {
		m, in := x.member(r, c)
		switch {
		case in == value.True && m.keyed:
			l.sure = append(l.sure, m)
		case in != value.False:
			l.doubtful = append(l.doubtful, m)
		}
	}
	for _, f := range x.Bag.Refused {
		if m, in := x.member(r, f.Club); in != value.False {
			m.row = f.Row.Row
			l.refused = append(l.refused, m)
		}
	}
	x.Club = nil
	for _, m := range slices.Concat(l.doubtful, l.refused) {
		if m.keyed {
			l.keyed = append(l.keyed, m)
			continue
		}
		if l.loose = append(l.loose, m); m.row > 0 {
			l.anywhere = value.Merge(l.anywhere, m.unread(value.RowBetween))
		}
	}
	byKey := func(a, b member) int { return unit.Compare(a.key, b.key) }
	slices.SortStableFunc(l.sure, byKey)
	slices.SortStableFunc(l.keyed, byKey)
	return l
}

// member is a club as one that the rule lines up, and whether it belongs.
func (x *task) member(r *rule, c *club.Club) (m member, in value.Truth) {
	m.club, x.Club = c, c
	if in, m.lacks = x.Picks(r.selector); in != value.False {
		key := x.key(r)
		m.key, m.keyed, m.lacks = key.Num, key.Kind == value.Number, value.Merge(m.lacks, key.Lacks)
	}
	return m, in
}

// key is the value by which the rule sorts, of the club of x.
func (x *task) key(r *rule) value.Value {
	if r.keyed {
		if n, ok := x.Club.Amount(r.key); ok {
			return value.NumberOf(n)
		}
	}
	return x.Eval(r.Decl.For.By)
}

// unread says where a refused row could be.
func (m member) unread(where value.LackKind) []value.Lack {
	return []value.Lack{{Kind: where, Row: m.row}}
}

// place is where a key belongs among sorted members: after those that are lower, before those that are higher.
func place(ms []member, key float64) (low, high int) {
	low = sort.Search(len(ms), func(i int) bool { return unit.Compare(ms[i].key, key) >= 0 })
	return low, low + sort.Search(len(ms)-low, func(i int) bool { return unit.Compare(ms[low+i].key, key) > 0 })
}

// between says what keeps two clubs of the line from being judged as neighbours: clubs with a key that may be between
// them, refused rows, and that the two tie. A club without a key has a result of its own.
func (l *line) between(a, b member) []value.Lack {
	var lacks []value.Lack
	if len(l.keyed) > 0 {
		low, _ := place(l.keyed, a.key)
		_, high := place(l.keyed, b.key)
		for _, m := range l.keyed[low:high] {
			if len(lacks) >= value.MaxLacks {
				break
			}
			if m.row > 0 {
				m.lacks = m.unread(value.RowBetween)
			}
			lacks = value.Merge(lacks, m.lacks)
		}
	}
	lacks = value.Merge(lacks, l.anywhere)
	if unit.Compare(a.key, b.key) == 0 {
		lacks = append(slices.Clip(lacks), value.Lack{Kind: value.SameKey, Club: a.club.Called(),
			Other: b.club.Called(), Name: l.by})
	}
	return lacks
}

// beside lists a doubtful club and those that it could be beside, up to MaxListed of them. Without a key that is any
// other. With one it is those of its own key, the next on either side, and what may be no farther off than these. lacks
// is why it cannot be told; nil where not even a refused row could be beside it.
func (l *line) beside(d member) (clubs []*club.Club, lacks []value.Lack) {
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
		sure, keyed = sure[low:high], keyed[max(at, near-eval.MaxListed/2):min(end, near+eval.MaxListed/2)]
	}
	clubs = append(clubs, d.club)
	var rows []value.Lack
	for _, ms := range [][]member{sure, keyed, l.loose} {
		for _, m := range ms {
			switch {
			case len(clubs) > eval.MaxListed:
				return clubs, d.lacks
			case m.row > 0:
				if len(rows) < value.MaxLacks {
					rows = value.Merge(rows, m.unread(value.RowBeside))
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
		lacks = value.Merge(d.lacks, rows)
	}
	return clubs, lacks
}

// alone lists refused rows where no club of the bag has a neighbour: they may be neighbours of the one
// club of the line, or of each other. lacks is nil where they may not.
func (l *line) alone() (clubs []*club.Club, lacks []value.Lack) {
	if len(l.doubtful) > 0 || len(l.sure) > 1 || len(l.sure)+len(l.refused) < 2 {
		return nil, nil
	}
	where := value.RowBesideAnother
	for _, m := range l.sure {
		clubs, where = append(clubs, m.club), value.RowBeside
	}
	for _, f := range l.refused {
		lacks = value.Merge(lacks, f.unread(where))
	}
	return clubs, lacks
}

// Pair is how two neighbours are in the order of their rule, the first before the second, whatever the verdict on them
// is. A rule may ask for no drop or rise, or for several: then nothing steps.
type Pair struct {
	Key       [2]unit.Amount // what they are sorted by
	Value     [2]unit.Amount // what steps from one to the other; no amount where it is not known
	Of        string         // what steps, as the book says it: "length by soled"; "" for nothing
	Rise      bool           // the step is second less first; else first less second
	PerNumber bool
	Apart     float64 // by what the step is divided: the numbers apart, or 1; 0 where it is not known
	Plain     bool    // the rule's value is the step itself, so that its limits bound the second club
}

// stepOf finds the drop or the rise that a rule about neighbours asks for; nil where it asks for none, or for several.
func stepOf(r *book.Rule) *ast.Step {
	var step *ast.Step
	several := false
	ast.Walk(r.Value.Expr, func(e ast.Expr) bool {
		s, ok := e.(*ast.Step)
		switch {
		case !ok:
		case step == nil:
			step = s
		default:
			several = several || eval.Written(s.Of) != eval.Written(step.Of) || s.Rise != step.Rise
		}
		return !ok
	})
	if several {
		return nil
	}
	return step
}

// compared says how the two clubs of a pair compare. Nothing is recorded.
func (x *task) compared(r *rule, first, second member) *Pair {
	out, step, info := &Pair{Apart: 1}, r.step, r.Book.Info
	for i, key := range [2]float64{first.key, second.key} {
		by := unit.Base(r.By.Type().Dim)
		out.Key[i] = unit.Amount{Base: key, Unit: by, Swing: r.By.Type().IsSwingWeight()}
	}
	if step == nil {
		return out
	}
	out.Of, out.Rise, out.PerNumber = eval.Written(step.Of), step.Rise, step.PerNumber
	out.Plain = ast.Unparen(r.Value.Expr) == ast.Expr(step)
	if step.PerNumber {
		out.Apart, _ = eval.NumbersApart(first.club, second.club)
	}
	y := *x
	y.Steps, y.First, y.Second = nil, nil, nil
	shown := unit.Base(info.Types[step.Of].Dim)
	if r.Bound != nil && r.Bound.Unit.Dim == shown.Dim {
		shown = r.Bound.Unit
	}
	for i, c := range [2]*club.Club{first.club, second.club} {
		y.Club = c
		if v := y.Eval(step.Of); v.Kind == value.Number {
			out.Value[i] = unit.Amount{Base: v.Num, Unit: shown, Swing: info.Types[step.Of].IsSwingWeight()}
		}
	}
	return out
}
