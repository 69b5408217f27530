package doc

// This file lays values out on a scale across the page.

import (
	"math"
	"slices"
	"strings"

	"ferrule/lang/unit"
)

// Scale is a stretch of values over a number of columns. The zero value shows nothing.
type Scale struct {
	low, high float64 // base units
	columns   int
}

// Scale is the scale of the steps of a set over a number of columns; the zero value where there is nothing to show. A
// value that lies so far off that it would press the others together is left beyond its end, with the band reckoned
// from it.
func (b *Steps) Scale(columns int) Scale {
	var values, narrow []float64
	for _, s := range b.Stands {
		if !math.IsNaN(s.At) && !math.IsInf(s.At, 0) {
			values = append(values, s.At)
		}
		if a := s.Allowed; a != nil && a.High > a.Low {
			narrow = append(narrow, a.High-a.Low)
		}
	}
	if b.Unit == nil || values == nil {
		return Scale{}
	}
	slices.Sort(values)
	values = near(values, slices.Min(append(narrow, math.Inf(1))))
	low, high := values[0], values[len(values)-1]
	from, to := low, high
	for _, s := range b.Stands {
		if a := s.Allowed; a != nil && a.From >= low && a.From <= high {
			for _, end := range []float64{a.Low, a.High} {
				if !math.IsInf(end, 0) {
					from, to = min(from, end), max(to, end)
				}
			}
		}
	}
	return span(from, to, 50, columns)
}

// near leaves of sorted values those that are no more than eight times as far apart as they are without the outermost, or
// as the narrowest band is wide.
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
	switch {
	case v < s.low:
		return -1
	case v > s.high:
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

// ruler is the scale itself: a line of figures, and one of marks below them. Where the figures of all marks do not fit,
// each second mark has one, or each third.
func (s Scale) ruler(all []Mark) (figures, marks string) {
	line := []byte(strings.Repeat("-", s.columns))
	for _, m := range all {
		line[m.At] = '+'
	}
each:
	for every := 1; every <= len(all); every++ {
		figures = ""
		for i := 0; i < len(all); i += every {
			n := Width(all[i].Text)
			gap := min(max(all[i].At-n/2, 0), s.columns-n) - Width(figures)
			if i > 0 && gap < 2 {
				continue each
			}
			figures += strings.Repeat(" ", max(gap, 0)) + all[i].Text
		}
		break
	}
	return figures, string(line)
}

// plot draws a band and a mark. What lies beyond an end is at it as < or >. before
// and after are the line on either side of the mark, which is "" if there is none.
func (s Scale) plot(b *Band, v float64, sign byte, inside bool) (before, mark, after string) {
	line := []byte(strings.Repeat(" ", s.columns))
	from, to := -1, s.columns
	if b != nil {
		from, to = s.Column(b.Low), s.Column(b.High)
		for i := max(from, 0); i <= min(to, s.columns-1); i++ {
			line[i] = '-'
		}
		if from == to && from >= 0 && to < s.columns {
			line[from] = '|'
		} else {
			if from >= 0 && from < s.columns {
				line[from] = '['
			}
			if to >= 0 && to < s.columns {
				line[to] = ']'
			}
		}
	}
	if sign == 0 {
		return strings.TrimRight(string(line), " "), "", ""
	}
	i := s.Column(v)
	if b != nil && !inside { // what lies just outside shows outside
		if v > b.High && i == to && i < s.columns-1 {
			i++
		} else if v < b.Low && i == from && i > 0 {
			i--
		}
	}
	switch {
	case i < 0:
		i, sign = 0, '<'
	case i >= s.columns:
		i, sign = s.columns-1, '>'
	}
	return string(line[:i]), string(rune(sign)), strings.TrimRight(string(line[i+1:]), " ")
}
