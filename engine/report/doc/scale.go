package doc

// This file lays values out on a scale across the page.

import (
	"math"
	"strings"

	"ferrule/lang/unit"
)

// Scale is a stretch of values over a number of columns. The zero value shows nothing.
type Scale struct {
	low, high float64 // base units
	columns   int
}

// near leaves of sorted values those that are no more than eight times as far apart as they are without the outermost,
// or as the narrowest band is wide.
func near(vs []float64, narrow float64) []float64 {
	const far = 8
	for len(vs) > 2 {
		n := len(vs)
		last, first := vs[n-2]-vs[0], vs[n-1]-vs[1] // without the last, without the first
		rest := min(last, first)
		if !math.IsInf(narrow, 0) {
			rest = max(rest, narrow)
		}
		if rest == 0 || vs[n-1]-vs[0] < far*rest {
			break
		}
		if last < first {
			vs = vs[:n-1]
		} else {
			vs = vs[1:]
		}
	}
	return vs
}

// Column is where a value is: from 0; -1 and the number of columns beyond the ends.
func (s Scale) Column(v float64) int {
	switch s.Beyond(v) {
	case -1:
		return -1
	case 1:
		return s.columns
	}
	return int(math.Round((v - s.low) / (s.high - s.low) * float64(s.columns-1)))
}

// fractions are the divisions of a bench rule.
var fractions = []float64{1. / 64, 1. / 32, 1. / 16, 1. / 8, 1. / 4, 1. / 2, 1, 2, 5}

// division is the distance of the marks of a scale in a unit, so that there are six at the
// most, or eight where their figures are short.
func (s Scale) division(u *unit.Unit) float64 {
	length := u.FromBase(s.high) - u.FromBase(s.low)
	atLeast := length / 7
	if u == unit.Lookup("in") {
		atLeast = length / 5
		for _, f := range fractions {
			if f >= atLeast {
				return f
			}
		}
	}
	ten := math.Pow(10, math.Floor(math.Log10(atLeast)))
	for _, k := range []float64{1, 2, 5} {
		if k*ten >= atLeast {
			return k * ten
		}
	}
	return 10 * ten
}

// Mark is a mark of a scale, with its figure.
type Mark struct {
	At   int // its column
	Text string
}

// Marks are the marks of a scale in a unit, each with its figure.
func (s Scale) Marks(u *unit.Unit, figure func(base float64) string) []Mark {
	var marks []Mark
	step := s.division(u)
	first := math.Ceil(u.FromBase(s.low) / step)
	for k := range 8 {
		base := u.ToBase((first + float64(k)) * step)
		if i := s.Column(base); i >= 0 && i < s.columns {
			marks = append(marks, Mark{i, figure(base)})
		}
	}
	return marks
}

// ruler is the scale itself: a line of figures, and one of marks below them. Figures that would touch are left out.
func (s Scale) ruler(all []Mark) (figures, marks string) {
	line := []byte(strings.Repeat("-", s.columns))
	for _, m := range all {
		line[m.At] = '+'
		n := Width(m.Text)
		gap := min(max(m.At-n/2, 0), s.columns-n) - Width(figures)
		if figures == "" || gap >= 2 {
			figures += strings.Repeat(" ", max(gap, 0)) + m.Text
		}
	}
	return figures, string(line)
}

// signs of a club by the tone of the step to it.
var signs = [...]byte{Plain: 'o', Pass: 'o', Open: '?', Fail: 'x'}

// plot draws stretches, and a sign for a reading. What lies beyond an end is at it as < or >, and what fails just
// outside of a stretch is outside of it.
func (s Scale) plot(parts []Stretch) string {
	line := []byte(strings.Repeat(" ", s.columns))
	put := func(at int, sign byte) {
		if at >= 0 && at < s.columns {
			line[at] = sign
		}
	}
	var band Stretch
	from, to := -1, s.columns
	for _, p := range parts {
		if p.Look != Read {
			band, from, to = p, s.Column(p.From), s.Column(p.To)
			for i := from + 1; i < to; i++ {
				put(i, '-')
			}
			put(from, '[')
			put(to, ']')
			if from == to {
				put(from, '|')
			}
			continue
		}
		switch at := s.Column(p.At); {
		case at < 0:
			put(0, '<')
		case at >= s.columns:
			put(at-1, '>')
		case p.Tone == Fail && at == to && p.At >= band.To && at < s.columns-1:
			put(at+1, signs[Fail])
		case p.Tone == Fail && at == from && p.At <= band.From && at > 0:
			put(at-1, signs[Fail])
		default:
			put(at, signs[p.Tone])
		}
	}
	return string(line)
}
