package trial

// This file looks for bags on which a rule shows what no case shows: those that the rule tells apart are judged, and a
// reading is moved until the value is where it is wanted. Whatever is found was judged; nothing is inferred.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// search looks for bags that show something of one rule.
type search struct {
	*space.Search
	rule   *book.Rule
	judge  *judge.Judge
	hidden []string // properties of which a case of the book cannot give a reading
	stated bool     // lengths are tried with a stated half-width
	free   []string // properties of which the rule requires something
	open   []Gap
	found  []specimen
	tried  int // bags that were judged
	bound  int // of tried
	met    int // bags on which the rule gave a verdict
	ended  bool
}

func newSearch(a *space.Search, b *book.Book, r *book.Rule, bound int) *search {
	s := &search{Search: a, rule: r, bound: bound, judge: a.Program.Only(dayOf(r), r)}
	for _, x := range s.tour().Axes {
		if x.Prop.ID >= catalogue.KnownProperties && !visible(b, x.Prop.Column()) {
			s.hidden = append(s.hidden, x.Prop.Name)
		}
		if x.Free {
			s.free = append(s.free, x.Prop.Name)
		}
	}
	return s
}

// tour goes through what the rule tells apart.
func (s *search) tour() *space.Tour {
	return s.Tour(space.TourOptions{}, s.Side(s.rule))
}

// visible reports whether a book knows a declared property by name, so that a case of it can give one.
func visible(b *book.Book, name string) bool {
	has := func(b *book.Book) bool {
		return slices.ContainsFunc(b.Properties, func(p *book.Property) bool { return p.Of.Name == name })
	}
	return has(b) || slices.ContainsFunc(b.Uses, func(u book.Use) bool { return has(u.Book) })
}

// dayOf is the day of a case of a rule: NoDay where it makes no difference which day it is.
func dayOf(r *book.Rule) book.Day {
	if !r.Facts.Today {
		return book.NoDay
	}
	on, _ := space.Together(r)
	return on
}

// reason says why something was not found.
func (s *search) reason() string {
	switch {
	case s.Cancelled():
		return "the search was stopped early"
	case s.bound <= 0:
		return "the search through the book ended before it came to this rule"
	case s.ended:
		return fmt.Sprintf("the search ended at %d clubs and bags tried", s.bound)
	case s.met == 0:
		return fmt.Sprintf("%s gave no verdict on any of the %d clubs and bags tried", s.rule.Decl.Name.Text, s.tried)
	}
	return fmt.Sprintf("none of the %d clubs and bags tried shows it", s.tried)
}

// run looks for what is missing. Edges come first: they often show the rest as well.
func (s *search) run(missing []Gap) []specimen {
	s.open = slices.Clone(missing)
	s.look()
	if s.met == 0 { // how sure the lengths are may not be known unless it is stated
		s.stated = true
		s.look()
	}
	return s.found
}

// look goes through the bags of the tour, for edges up to half of what may be tried.
func (s *search) look() {
	s.each((s.tried+s.bound)/2, func(bag space.Bag, results []*judge.Result) {
		for _, r := range results {
			for _, g := range slices.Clone(s.open) {
				if g.edge != noEdge && r.Exception == g.unless && r.Value.Known() && slices.Contains(s.open, g) {
					s.approach(g, bag, r)
				}
			}
		}
	}, func(g Gap) bool { return g.edge != noEdge })
	s.each(s.bound, func(bag space.Bag, results []*judge.Result) {
		for _, r := range results {
			for _, g := range slices.Clone(s.open) {
				if g.edge != noEdge || !slices.Contains(s.open, g) {
					continue
				}
				if g.verdict == decide.TooClose || g.unless == nil && !g.shownBy(r) {
					s.nudge(g, bag, r)
				}
				if g.shownBy(r) && slices.Contains(s.open, g) {
					s.keep(g, bag, r)
				}
			}
		}
	}, func(g Gap) bool { return g.edge == noEdge })
}

// each calls f with each bag of the tour and what the rule says of it. It goes on as long as something is open that is
// looked for, and no more bags than some were tried.
func (s *search) each(most int, f func(space.Bag, []*judge.Result), wanted func(Gap) bool) {
	s.tour().Each(func(bag space.Bag) bool {
		if !slices.ContainsFunc(s.open, wanted) {
			return false
		}
		if s.ended = s.ended || s.tried >= most; s.tried >= most {
			return false
		}
		bag = bag.Clone()
		for i := range bag {
			for _, name := range s.hidden {
				bag[i].Take(name)
			}
			for k := range bag[i].Readings {
				if r := &bag[i].Readings[k]; s.stated && r.Prop.Sort == catalogue.Length && !r.Prop.Ordered {
					r.Half = coarse(r)
				}
			}
		}
		if results := s.judged(bag); len(results) > 0 {
			s.met++
			f(bag, results)
		}
		return true
	})
}

// judged is what the rule says of a bag, without what is unmeasured.
func (s *search) judged(bag space.Bag) []*judge.Result {
	if !settle(bag) {
		return nil
	}
	set := bag.Lay(s.Program.Schema)
	if slices.ContainsFunc(set.Clubs, func(c *club.Club) bool {
		return uncovered(s.Program, judge.Subject{Clubs: []*club.Club{c}}, set) != nil
	}) {
		return nil
	}
	s.tried++
	var out []*judge.Result
	s.judge.Set(set, judge.Sink{Result: func(r *judge.Result) {
		if r.Verdict != decide.Unmeasured {
			out = append(out, r)
		}
	}})
	return out
}

// subject are the clubs of a result by their places in the bag; nil for the whole set.
func subject(r *judge.Result) []int {
	return lists.Each(r.Subject.Clubs, func(c *club.Club) int { return c.Row - 1 })
}

// again judges a bag and finds the result on a subject.
func (s *search) again(bag space.Bag, on []int) *judge.Result {
	for _, r := range s.judged(bag) {
		if slices.Equal(subject(r), on) {
			return r
		}
	}
	return nil
}

// keep takes a bag that shows g down, without what it does not need, and crosses off all
// that it shows.
func (s *search) keep(g Gap, bag space.Bag, r *judge.Result) {
	on := subject(r)
	bag, on, r = s.strip(g, bag.Clone(), on, r)
	one := specimen{bag: bag, clubs: on, verdict: r.Verdict, taken: r.Exception != nil}
	s.open = slices.DeleteFunc(s.open, func(g Gap) bool {
		shown := g.shownBy(r)
		if shown {
			one.shows = append(one.shows, g)
		}
		return shown
	})
	s.found = append(s.found, one)
}

// strip takes away clubs and readings that are not needed to show g.
func (s *search) strip(g Gap, bag space.Bag, on []int, r *judge.Result) (space.Bag, []int, *judge.Result) {
	same := func(b space.Bag, on []int) *judge.Result {
		n := s.again(b, on)
		if n != nil && n.Verdict == r.Verdict && n.Exception == r.Exception && g.shownBy(n) {
			return n
		}
		return nil
	}
	for i := len(bag) - 1; i >= 0 && len(bag) > 1; i-- {
		if slices.Contains(on, i) {
			continue
		}
		fewer := slices.Delete(bag.Clone(), i, i+1)
		moved := slices.Clone(on)
		for k := range moved {
			if moved[k] > i {
				moved[k]--
			}
		}
		if n := same(fewer, moved); n != nil {
			bag, on, r = fewer, moved, n
		}
	}
	bag = bag.Shrunk(func(b space.Bag) bool {
		n := same(b, on)
		if n != nil {
			r = n
		}
		return n != nil
	})
	return bag, on, r
}

// handle is a reading that may be moved: the last of a club's property.
type handle struct{ club, reading int }

// handles are the readings that go into the value or the limits.
func (s *search) handles(bag space.Bag) []handle {
	var out []handle
	for i := len(bag) - 1; i >= 0; i-- {
		for k, r := range bag[i].Readings {
			if r.Prop.Sort.Numeric() && !r.None && slices.Contains(s.free, r.Prop.Name) {
				out = append(out, handle{i, k})
			}
		}
	}
	const most = 6
	return out[:min(len(out), most)]
}

func (h handle) of(bag space.Bag) *space.Reading { return &bag[h.club].Readings[h.reading] }

// moved is the bag with a reading at another amount.
func (h handle) moved(bag space.Bag, to float64) space.Bag {
	out := bag.Clone()
	h.of(out).Amount = to
	return out
}

// approach moves a reading until the value is at an edge, on the wanted side of it.
func (s *search) approach(g Gap, bag space.Bag, r *judge.Result) {
	if g.shownBy(r) {
		s.keep(g, bag, r)
		return
	}
	on := subject(r)
	for _, h := range s.handles(bag) {
		x, slope, at := s.solve(bag, h, on, func(r *judge.Result) (float64, bool) {
			edge, ok := g.edge.of(r)
			return r.Value.Base - edge, ok && r.Value.Known() && r.Exception == g.unless
		})
		if at == nil {
			if s.leap(g, bag, h, on) { // a value that moves in steps, as a share does
				return
			}
			continue
		}
		edge, ok := g.edge.of(at)
		if !ok {
			continue
		}
		for _, to := range beside(x, near(at, edge)/math.Abs(slope), h.of(bag).Unit) {
			try := h.moved(bag, to)
			if n := s.again(try, on); n != nil && g.shownBy(n) {
				s.keep(g, try, n)
				return
			}
		}
	}
}

// solve finds the amount of a reading at which f is 0, by secants. The result is that
// at the amount, nil if there is none; slope is that of f.
func (s *search) solve(
	bag space.Bag, h handle, on []int, f func(*judge.Result) (float64, bool),
) (x, slope float64, at *judge.Result) {
	d := h.of(bag)
	x = d.Amount
	step := d.Step() / 10
	value := func(x float64) (float64, *judge.Result) {
		if r := s.again(loose(h.moved(bag, x), h), on); r != nil {
			if y, ok := f(r); ok {
				return y, r
			}
		}
		return math.NaN(), nil
	}
	const rounds = 4
	y, r := value(x)
	for range rounds {
		if r == nil {
			return 0, 0, nil
		}
		y2, r2 := value(x + step)
		if r2 == nil {
			step = -step
			y2, r2 = value(x + step)
		}
		if r2 == nil || y2 == y {
			return 0, 0, nil
		}
		slope, at = (y2-y)/step, r
		x -= y / slope
		if y, r = value(x); r == nil || math.Abs(y) < 1e-9*math.Abs(slope*step) {
			break // where the edge itself cannot be used, what is beside it may be
		}
	}
	return x, slope, at
}

// loose rounds a reading to what can be written, so that it can be judged on the way.
func loose(bag space.Bag, h handle) space.Bag {
	d := h.of(bag)
	n := d.Unit.FromBase(d.Amount)
	if n != 0 {
		size := math.Pow(10, 8-math.Floor(math.Log10(math.Abs(n))))
		n = math.Round(n*size) / size
	}
	d.Amount = d.Unit.ToBase(n)
	return bag
}

// beside are amounts near x that can be written in few digits, within reach of it: x itself
// where it is short, then round ones, the roundest first.
func beside(x, reach float64, u *unit.Unit) []float64 {
	n, r := u.FromBase(x), math.Abs(u.FromBase(reach))
	if r == 0 || math.IsNaN(n) || math.IsInf(n, 0) || math.IsNaN(r) || math.IsInf(r, 0) {
		return nil
	}
	var grids []float64
	if u == unit.Base(unit.Length) {
		within := func(g float64) bool { return g <= r }
		grids = lists.Kept([]float64{1.0 / 8, 1.0 / 16, 1.0 / 32, 1.0 / 64}, within)
	}
	for i, k := 0, math.Floor(math.Log10(r)+1e-9); i < 5; i++ {
		grids = append(grids, math.Pow(10, k-float64(i)))
	}
	var out []float64
	add := func(n float64) { out = lists.Also(out, u.ToBase(n)) }
	for _, g := range grids[:len(grids)-2] { // on the very edge, where that is a round figure
		if on := math.Round(n/g) * g; math.Abs(on-n) < 1e-3*g {
			add(on)
		}
	}
	for _, g := range grids {
		k := math.Floor(n / g)
		for _, m := range []float64{k, k + 1, k - 1, k + 2} {
			if math.Abs(m*g-n) <= r*(1+1e-9) {
				add(roundOff(m*g, g))
			}
		}
	}
	return out
}

// roundOff takes the dust of a product away: m times 0.1 is 64.1 and not 64.10000000000001.
func roundOff(n, grid float64) float64 {
	switch {
	case grid >= 1:
		return math.Round(n/grid) * grid
	case math.Log2(grid) == math.Trunc(math.Log2(grid)):
		return n
	}
	size := math.Round(1 / grid)
	return math.Round(n*size) / size
}

// nudge moves a reading, or gives one a half-width, so that the rule comes to a verdict
// that is missing.
func (s *search) nudge(g Gap, bag space.Bag, r *judge.Result) {
	on := subject(r)
	for _, h := range s.handles(bag) {
		if g.verdict == decide.TooClose {
			if s.atLimit(g, bag, h, on) {
				return
			}
			continue
		}
		if s.leap(g, bag, h, on) {
			return
		}
	}
}

// atLimit moves a value to its limit, as sure as it is by itself, then with a half-width; true where that shows g.
func (s *search) atLimit(g Gap, bag space.Bag, h handle, on []int) bool {
	half := coarse(h.of(bag))
	amounts := []float64{}
	x, _, at := s.solve(bag, h, on, func(r *judge.Result) (float64, bool) {
		limit := r.Upper
		if !limit.Known() {
			limit = r.Lower
		}
		return r.Value.Base - limit.Base, limit.Known() && r.Value.Known()
	})
	if at != nil {
		amounts = beside(x, half/4, h.of(bag).Unit)
	}
	for _, to := range append(amounts, h.of(bag).Amount) {
		try := h.moved(bag, to)
		for range 2 {
			if n := s.again(try, on); n != nil && g.shownBy(n) {
				s.keep(g, try, n)
				return true
			}
			h.of(try).Half = half
		}
	}
	return false
}

// leap tries a reading far and near from what it is; true where that shows g.
func (s *search) leap(g Gap, bag space.Bag, h handle, on []int) bool {
	for _, factor := range []float64{0.99, 1.01, 0.8, 1.25, 0.5, 2} {
		try := loose(h.moved(bag, h.of(bag).Amount*factor), h)
		if n := s.again(try, on); n != nil && g.shownBy(n) {
			s.keep(g, try, n)
			return true
		}
	}
	return false
}
