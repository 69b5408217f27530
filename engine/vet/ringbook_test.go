package vet_test

// This file makes random books on the lengths of irons and hybrids, and keeps beside each rule what it asks as plain figures,
// eighths of an inch by the method bench, without the engine.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// stick is a club of a ring book.
type stick struct {
	kind   string
	number int
}

// apart is x[plus] - x[minus] <= most, of clubs by their places; -1 is none.
type apart struct {
	plus, minus int
	most        float64
}

// ringRule gives what a rule asks of clubs that are all of one hand.
type ringRule func(clubs []stick, left bool) []apart

// ringBook is a random book.
type ringBook struct {
	text   string
	clubs  []stick
	handed bool
	names  []string
	rules  []ringRule
}

// u is that of one reading to 1/8 in, rectangular, in eighths; z and z90 are the one-sided factors at 95 and 90 % (tables of
// the normal distribution; 1.64 and 1.28 in JCGM 106:2012, table 1).
var u = 0.5 / math.Sqrt(3)

const z, z90 = 1.6448536269514722, 1.2815515655446004

// newRingBook makes a book of three to six rules.
func newRingBook(r *rand.Rand) *ringBook {
	b := &ringBook{}
	for n := 3; n <= 9; n++ {
		b.clubs = append(b.clubs, stick{"iron", n})
	}
	var text strings.Builder
	text.WriteString(bench + "method end \"To the end of the cap\"\n  covers   every club\n  stop     along axis\n  top      at cap end\n  reads    to 1/8 in\nallowance crown 1/8 in\n")
	hybrids := r.IntN(5) == 0
	if hybrids {
		b.clubs = append(b.clubs, stick{"hybrid", 2}, stick{"hybrid", 3})
	}
	for i := range 4 + r.IntN(4) {
		name := fmt.Sprintf("r%d", i)
		b.names = append(b.names, name)
		fmt.Fprintf(&text, "rule %s \"R\"\n", name)
		b.rule(&text, r, hybrids)
	}
	b.text = text.String()
	return b
}

// selector is a list of clubs, and which clubs it takes.
func (b *ringBook) selector(r *rand.Rand, hybrids bool) (string, func(stick, bool) bool) {
	low := 3 + r.IntN(6)
	high := low + r.IntN(10-low)
	in := func(numbers ...int) func(stick, bool) bool {
		return func(s stick, _ bool) bool { return s.kind == "iron" && slices.Contains(numbers, s.number) }
	}
	switch r.IntN(7) {
	case 0, 1:
		return "iron", func(s stick, _ bool) bool { return s.kind == "iron" }
	case 2:
		return fmt.Sprintf("iron %d to %d", low, high), func(s stick, _ bool) bool { return s.kind == "iron" && s.number >= low && s.number <= high }
	case 3:
		return fmt.Sprintf("iron %d, iron %d, iron 8", low, high), in(low, high, 8)
	case 4:
		if hybrids {
			return "hybrid 2 to 3, iron", func(stick, bool) bool { return true }
		}
		return fmt.Sprintf("iron except iron %d", low), func(s stick, _ bool) bool { return s.kind == "iron" && s.number != low }
	case 5:
		if r.IntN(3) == 0 {
			b.handed = true
			return "iron where hand = left", func(s stick, left bool) bool { return s.kind == "iron" && left }
		}
		return fmt.Sprintf("iron where number >= %d", low), func(s stick, _ bool) bool { return s.kind == "iron" && s.number >= low }
	}
	return fmt.Sprintf("iron %d", low), in(low)
}

// side is a limit: the value is at most it where upper, else at least it.
type side struct {
	upper bool
	at    float64
}

// bound writes "VALUE BOUND" and gives its sides, and whether its decision may be a guarded one; low and high are about where
// its limits stand.
func bound(r *rand.Rand, value string, low, high int) (string, []side, bool) {
	q := func(n int) string { return fmt.Sprintf("%d/8 in", n) }
	l, h := low+r.IntN(6)-2, high-r.IntN(6)+2
	compared := value
	if strings.Contains(value, " of ") {
		compared = "(" + value + ")"
	}
	const open = 1e-5
	switch r.IntN(8) {
	case 0, 1:
		return value + " at most " + q(h), []side{{true, float64(h)}}, true
	case 2, 3:
		return value + " at least " + q(l), []side{{false, float64(l)}}, true
	case 4:
		return compared + " < " + q(h), []side{{true, float64(h) - open}}, false
	case 5:
		return q(l) + " <= " + compared, []side{{false, float64(l)}}, true
	case 6:
		h = max(l, h)
		return value + " between " + q(l) + " and " + q(h), []side{{false, float64(l)}, {true, float64(h)}}, false
	}
	return q(h) + " >= " + compared, []side{{true, float64(h)}}, true
}

// usual is about what an iron measures: 38 in a 5 iron, and half an inch less with each number.
func usual(number int) int { return 8*38 - 4*(number-5) }

// span are the lengths of the irons that a selector takes, from the shortest to the longest.
func (b *ringBook) span(takes func(stick, bool) bool) (low, high int) {
	low, high = usual(3), usual(9)
	for _, c := range b.clubs {
		if takes(c, true) {
			low, high = min(low, usual(c.number)), max(high, usual(c.number))
		}
	}
	return low, high
}

// part is what is drawn of a rule before its sort: which clubs it is about, and how their lengths are read.
type part struct {
	*rand.Rand
	list     string
	takes    func(stick, bool) bool
	method   string
	shift    float64 // of the method to bench
	guard    float64 // in standard uncertainties, off either side of what passes
	decision string
}

// guarded may give a rule a guarded decision.
func (p *part) guarded() {
	switch {
	case p.IntN(4) == 0:
		p.guard, p.decision = z, "  decision guarded acceptance at 95 %\n"
	case p.IntN(5) == 0:
		p.guard, p.decision = -z90, "  decision guarded rejection at 90 %\n"
	}
}

// rule writes a rule behind its name.
func (b *ringBook) rule(text *strings.Builder, r *rand.Rand, hybrids bool) {
	p := &part{Rand: r, method: "bench"}
	p.list, p.takes = b.selector(r, hybrids)
	if r.IntN(3) == 0 {
		p.method, p.shift = "end", 1 // the crown is an eighth
	}
	of := [](func(*strings.Builder, *part) ringRule){b.steps, b.steps, b.single, b.single, b.whole, b.whole}[r.IntN(6)]
	b.rules = append(b.rules, of(text, p))
}

// steps writes a rule on drops or rises.
func (b *ringBook) steps(text *strings.Builder, p *part) ringRule {
	per, rise := p.IntN(2) == 0, p.IntN(4) == 0
	value, sign, low, high := "drop of length by "+p.method, 1.0, 2, 6
	if rise {
		value, sign, low, high = "rise of length by "+p.method, -1, -6, -2
	}
	if per {
		value += " per number"
	}
	written, sides, free := bound(p.Rand, value, low, high)
	if free {
		p.guarded()
	}
	lifted := 0
	if p.IntN(3) == 0 {
		lifted = 3 + p.IntN(7)
	}
	fmt.Fprintf(text, "  for neighbours among %s by number\n  require %s\n%s", p.list, written, p.decision)
	if lifted > 0 {
		fmt.Fprintf(text, "  unless first number = %d: exempt\n", lifted)
	}
	return func(clubs []stick, left bool) []apart {
		var line []int
		for i, c := range clubs {
			if p.takes(c, left) {
				line = append(line, i)
			}
		}
		slices.SortStableFunc(line, func(i, k int) int { return clubs[i].number - clubs[k].number })
		var out []apart
		for n := 1; n < len(line); n++ {
			i, k := line[n-1], line[n]
			numbers := float64(clubs[k].number - clubs[i].number)
			if numbers == 0 || clubs[i].number == lifted {
				continue
			}
			if !per {
				numbers = 1
			}
			for _, s := range sides { // sign * (x[i] - x[k]) / numbers against the limit
				room := sign * s.at * numbers
				if s.upper == (sign > 0) {
					out = append(out, apart{i, k, room - p.guard*u*math.Sqrt2})
				} else {
					out = append(out, apart{k, i, -room - p.guard*u*math.Sqrt2})
				}
			}
		}
		return out
	}
}

// single writes a rule on single clubs.
func (b *ringBook) single(text *strings.Builder, p *part) ringRule {
	low, high := b.span(p.takes)
	written, sides, free := bound(p.Rand, "length by "+p.method, low, high)
	if free {
		p.guarded()
	}
	fmt.Fprintf(text, "  for every %s\n  require %s\n%s", p.list, written, p.decision)
	lifted, at := 0, 0
	if p.IntN(4) == 0 && !strings.ContainsAny(written, "<>") {
		lifted = 3 + p.IntN(7)
		at = usual(lifted) + p.IntN(7) - 3
		fmt.Fprintf(text, "  unless number = %d: at most %d/8 in\n", lifted, at)
	}
	return func(clubs []stick, left bool) []apart {
		var out []apart
		for i, c := range clubs {
			if !p.takes(c, left) {
				continue
			}
			of := sides
			if c.number == lifted {
				of = []side{{true, float64(at)}}
			}
			for _, s := range of {
				if s.upper {
					out = append(out, apart{i, -1, s.at - p.shift - p.guard*u})
				} else {
					out = append(out, apart{-1, i, -(s.at - p.shift) - p.guard*u})
				}
			}
		}
		return out
	}
}

// whole writes a rule on a spread or an extreme.
func (b *ringBook) whole(text *strings.Builder, p *part) ringRule {
	p.guarded()
	how := p.IntN(4)
	limit, high := b.span(p.takes)
	switch of := fmt.Sprintf("of length by %s among %s", p.method, p.list); how {
	case 0:
		limit = high - p.IntN(6) + 2
		fmt.Fprintf(text, "  for each set\n  require longest %s at most %d/8 in\n%s", of, limit, p.decision)
	case 1:
		limit += p.IntN(6) - 2
		fmt.Fprintf(text, "  for each set\n  require shortest %s at least %d/8 in\n%s", of, limit, p.decision)
	default:
		limit = max(0, high-limit-p.IntN(8)+3)
		fmt.Fprintf(text, "  for each set\n  require %d/8 in >= (spread %s)\n%s", limit, of, p.decision)
	}
	return func(clubs []stick, left bool) []apart {
		var out []apart
		for i, c := range clubs {
			if !p.takes(c, left) {
				continue
			}
			switch how {
			case 0:
				out = append(out, apart{i, -1, float64(limit) - p.shift - p.guard*u})
			case 1:
				out = append(out, apart{-1, i, -(float64(limit) - p.shift) - p.guard*u})
			default:
				for k, d := range clubs {
					if i != k && p.takes(d, left) {
						out = append(out, apart{i, k, float64(limit) - p.guard*u*math.Sqrt2})
					}
				}
			}
		}
		return out
	}
}
