package trim_test

// This file makes random bags with random books, and keeps beside them the same demands as plain
// whole numbers: sixty-fourths of an inch, written down as the book is, without the engine.

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

const sixtyFourth = 25.4e6 / 64 // nm

// demand is low <= length[plus] - length[minus] <= high in sixty-fourths, by the method edge; a club
// of -1 is none.
type demand struct {
	rule        string
	plus, minus int
	low, high   float64
}

// scene is a bag and a book.
type scene struct {
	text    string
	numbers []int
	lengths []int // by the method edge
	byEnd   []bool
	demands []demand
	grid    int // sixty-fourths
	extend  int // sixty-fourths
	inside  int // sixty-fourths that each club is kept inside each limit
}

const crown = 8 // what the end of a cap is above its edge, sixty-fourths

// uRead is the standard uncertainty of one reading, to 1/16 in: half of that, rectangular.
var uRead = 2 / math.Sqrt(3)

// z95 is the one-sided factor at 95 % (tables of the normal distribution, 1.64 in JCGM 106:2012, table 1).
const z95 = 1.6448536269514722

// newScene makes a bag of n irons with up to six rules.
func newScene(r *rand.Rand, n int, twoSided bool) *scene {
	s := &scene{grid: []int{2, 4, 4, 8}[r.IntN(4)], extend: []int{0, 0, 16, 32, 64}[r.IntN(5)]}
	number := 1 + r.IntN(3)
	for i := range n {
		s.numbers = append(s.numbers, number)
		s.lengths = append(s.lengths, 40*64-i*32+r.IntN(49)-24)
		s.byEnd = append(s.byEnd, r.IntN(3) == 0)
		number += 1 + r.IntN(5)/4
	}
	var b strings.Builder
	b.WriteString(`rulebook "Random"
method edge "To the edge of the cap"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/16 in
method end "To the end of the cap"
  covers every club
  stop   at lie
  top    at cap end
  reads  to 1/16 in
allowance crown 1/8 in
`)
	for k := range 1 + r.IntN(6) {
		s.rule(&b, r, fmt.Sprintf("r%d", k), twoSided)
	}
	s.text = b.String()
	return s
}

// rule writes a rule into the book and its demands beside it.
// Two-sided bounds are decided simply where twoSided is false.
func (s *scene) rule(b *strings.Builder, r *rand.Rand, name string, twoSided bool) {
	decision, guard := "simple", 0.0 // guard narrows what passes, in standard uncertainties
	switch r.IntN(4) {
	case 0:
		decision, guard = "guarded acceptance at 95 %", z95
	case 1:
		decision, guard = "guarded rejection at 95 %", -z95
	case 2:
		decision, guard = "three-way at 95 %", z95
	}
	method, shift := "edge", 0
	if r.IntN(3) == 0 {
		method, shift = "end", crown
	}
	in := func(n int) string { return fmt.Sprintf("%d/64 in", n) }
	from := r.IntN(3)
	where := fmt.Sprintf("iron where number >= %d", s.numbers[from])
	fmt.Fprintf(b, "rule %s\n", name)
	one := func(i int, low, high float64) { s.demands = append(s.demands, demand{name, i, -1, low, high}) }
	inf := math.Inf(1)
	switch r.IntN(7) {
	case 0: // each club, with an exception that has another bound, and one that exempts
		limit, other := 40*64-r.IntN(160), 40*64-r.IntN(60)
		last := s.numbers[len(s.numbers)-1]
		fmt.Fprintf(b, "  for every %s\n  require length by %s at most %s allowing 1/64 in\n  unless number = %d: at most %s\n  unless number = %d and number < %d: exempt\n",
			where, method, in(limit), last, in(other), s.numbers[from]+1, last)
		for i, n := range s.numbers {
			switch {
			case i < from || n == s.numbers[from]+1 && n < last:
			case n == last:
				one(i, -inf, float64(other-shift)-guard*uRead)
			default:
				one(i, -inf, float64(limit+1-shift)-guard*uRead)
			}
		}
	case 1:
		limit := 38*64 + r.IntN(128) - 96
		fmt.Fprintf(b, "  for every %s\n  require length by %s at least %s\n", where, method, in(limit))
		for i := from; i < len(s.numbers); i++ {
			one(i, float64(limit-shift)+guard*uRead, inf)
		}
	case 2: // neighbours, one-sided or two-sided; open where simple
		s.neighbours(b, r, name, method, where, from, guard, &decision, twoSided)
	case 3:
		most := 32 + r.IntN(200)
		fmt.Fprintf(b, "  for each set\n  require spread of length by %s among %s at most %s\n", method, where, in(most))
		for i := from; i < len(s.numbers); i++ {
			for k := from; k < len(s.numbers); k++ {
				if i != k {
					s.demands = append(s.demands, demand{name, i, k, -inf, float64(most) - guard*uRead*math.Sqrt2})
				}
			}
		}
	case 4:
		limit := 40*64 - r.IntN(120)
		fmt.Fprintf(b, "  for each set\n  require longest of length by %s among %s at most %s\n", method, where, in(limit))
		for i := from; i < len(s.numbers); i++ {
			one(i, -inf, float64(limit-shift)-guard*uRead)
		}
	case 5:
		limit := 38*64 + r.IntN(128) - 96
		fmt.Fprintf(b, "  for each set\n  require shortest of length by %s among %s at least %s\n", method, where, in(limit))
		for i := from; i < len(s.numbers); i++ {
			one(i, float64(limit-shift)+guard*uRead, inf)
		}
	default: // an open bound, through a let
		limit := 40*64 - r.IntN(120)
		decision = "simple"
		fmt.Fprintf(b, "  for every %s\n  require (played-%s) below %s\n", where, name, in(limit))
		for i := from; i < len(s.numbers); i++ {
			one(i, -inf, float64(limit-shift-1))
		}
		fmt.Fprintf(b, "  decision simple\nlet played-%s = (length by %s)\n", name, method)
		return
	}
	fmt.Fprintf(b, "  decision %s\n", decision)
}

// neighbours writes a rule about steps.
func (s *scene) neighbours(b *strings.Builder, r *rand.Rand, name, method, where string, from int, guard float64, decision *string, twoSided bool) {
	inf := math.Inf(1)
	least, most := float64(16+r.IntN(32)), float64(20+r.IntN(40))
	per, word := r.IntN(2) == 0, "drop of "
	bound := fmt.Sprintf("at most %v/64 in", most)
	switch kind := r.IntN(3); {
	case kind == 0:
		bound, most = fmt.Sprintf("at least %v/64 in", least), inf
	case kind == 1:
		least = -inf
	case !twoSided:
		most = max(most, least)
		bound, *decision, guard = fmt.Sprintf("between %v/64 in and %v/64 in", least, most), "simple", 0
	default:
		most = least + float64(r.IntN(24))
		bound = fmt.Sprintf("between %v/64 in and %v/64 in", least, most)
	}
	if r.IntN(3) == 0 { // the same, said the other way round
		word = "rise of "
		switch {
		case math.IsInf(most, 1):
			bound = fmt.Sprintf("at most -%v/64 in", least)
		case math.IsInf(least, -1):
			bound = fmt.Sprintf("at least -%v/64 in", most)
		default:
			bound = fmt.Sprintf("between -%v/64 in and -%v/64 in", most, least)
		}
	}
	perWord := ""
	if per {
		perWord = " per number"
	}
	fmt.Fprintf(b, "  for neighbours among %s by number\n  require %slength by %s%s %s\n", where, word, method, perWord, bound)
	for i := from; i+1 < len(s.numbers); i++ {
		apart := 1.0
		if per {
			apart = float64(s.numbers[i+1] - s.numbers[i])
		}
		s.demands = append(s.demands, demand{name, i, i + 1, least*apart + guard*uRead*math.Sqrt2, most*apart - guard*uRead*math.Sqrt2})
	}
}

// compiled is the program of a book.
func compiled(tb testing.TB, text string) *judge.Program {
	tb.Helper()
	schema := catalogue.NewSchema()
	tree, mistakes := parser.Parse(source.NewFile("random.ferrule", text))
	checked, more := check.Check(tree, check.Options{Name: "random.ferrule", Schema: schema})
	if mistakes.HasErrors() || more.HasErrors() {
		tb.Fatal(mistakes, more, text)
	}
	return judge.Compile([]*book.Book{checked}, schema)
}

// bag is the set of a scene as a sheet would give it.
func (s *scene) bag(p *judge.Program) *club.Set {
	sheet := &club.Sheet{File: "random.csv"}
	set := &club.Set{Name: "bag", File: "random.csv", Rows: len(s.lengths)}
	for i, n := range s.lengths {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Kind, c.Method, c.Sheet, c.Row = fmt.Sprintf("i%d", s.numbers[i]), catalogue.Iron, "edge", sheet, i+2
		if s.byEnd[i] {
			c.Method = "end"
			n += crown
		}
		c.SetAmount(catalogue.Number, float64(s.numbers[i]))
		c.SetAmount(catalogue.Lie, 60e6)
		c.SetAmount(catalogue.LengthID, float64(n)*sixtyFourth)
		set.Clubs = append(set.Clubs, c)
	}
	return set
}

func (s *scene) options() trim.Options {
	return trim.Options{Grid: float64(s.grid) * sixtyFourth, Extend: float64(s.extend) * sixtyFourth,
		Inside: float64(s.inside) * sixtyFourth}
}

// score is what a plan is measured by, the first first.
type score struct{ extended, added, cut int }

func scoreOf(steps []int) score {
	var s score
	for _, x := range steps {
		if x > 0 {
			s.extended++
			s.added += x
		} else {
			s.cut -= x
		}
	}
	return s
}

func (a score) compare(b score) int {
	return cmp.Or(cmp.Compare(a.extended, b.extended), cmp.Compare(a.added, b.added), cmp.Compare(a.cut, b.cut))
}

func stepsOf(p *trim.Plan) []int {
	var out []int
	for _, c := range p.Cuts {
		out = append(out, c.Steps)
	}
	return out
}

// meets reports which demand steps of the grid leave open; "" for none.
func (s *scene) meets(steps []int) string {
	at := func(i int) float64 {
		if i < 0 {
			return 0
		}
		return float64(s.lengths[i] + s.grid*steps[i])
	}
	for _, d := range s.demands {
		if v := at(d.plus) - at(d.minus); v < d.low-1e-9 || v > d.high+1e-9 {
			return fmt.Sprintf("%s: %v is not between %v and %v", d.rule, v, d.low, d.high)
		}
	}
	return ""
}
