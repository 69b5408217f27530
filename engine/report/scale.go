package report

// This file lays values out on a scale across the page.

import (
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/lang/unit"
)

// scale is a stretch of values over a number of columns. The zero value shows nothing.
type scale struct {
	low, high float64 // base units
	columns   int
}

// band is where something may lie, in base units; its ends may be infinite.
type band struct{ low, high float64 }

func (b band) closed() bool { return !math.IsInf(b.low, 0) && !math.IsInf(b.high, 0) }

// newScale finds a scale for values and the bands around them. A value that lies so far
// off that it would press the others together is left beyond its end, and a band that
// is much wider than the values are apart runs out at it. It is the zero value where there is nothing
// to show.
func newScale(values []float64, bands []band, columns int) scale {
	vs := slices.Sorted(slices.Values(values))
	if len(vs) == 0 || math.IsInf(vs[len(vs)-1]-vs[0], 0) {
		return scale{}
	}
	wide := 0.0 // of the narrowest band
	for _, b := range bands {
		if w := b.high - b.low; b.closed() && w > 0 && (wide == 0 || w < wide) {
			wide = w
		}
	}
	const far = 20
	for len(vs) > 2 {
		n := len(vs)
		last, first := vs[n-2]-vs[0], vs[n-1]-vs[1] // without the last, without the first
		rest := max(min(last, first), wide)
		if rest == 0 || vs[n-1]-vs[0] < far*rest {
			break
		}
		if last < first {
			vs = vs[:n-1]
		} else {
			vs = vs[1:]
		}
	}
	low, high := vs[0], vs[len(vs)-1]
	room := high - low // for bands on either side
	if room == 0 {
		room = max(wide, math.Abs(low)/100, 1)
	} else {
		room = min(max(room, 4*wide), 3*room)
	}
	from, to := low, high
	for _, b := range bands {
		if b.high >= low-room && b.low <= high+room {
			from, to = min(from, max(b.low, low-room)), max(to, min(b.high, high+room))
		}
	}
	if from == to {
		from, to = from-room, to+room
	}
	edge := (to - from) / 50
	return scale{from - edge, to + edge, columns}
}

// column is where a value stands: from 0; -1 and columns beyond the ends.
func (s scale) column(v float64) int {
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
func (s scale) division(u *unit.Unit) float64 {
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

// ruler is the scale itself: a line of figures, and one of marks below them.
func (s scale) ruler(like engine.Amount) (figures, marks string) {
	u := like.Unit
	line := []byte(strings.Repeat("-", s.columns))
	step := s.division(u)
	at := 0 // where the next figure may begin
	first := math.Ceil(u.FromBase(s.low) / step)
	for k := range 8 {
		like.Base = u.ToBase((first + float64(k)) * step)
		i := s.column(like.Base)
		if i < 0 || i >= s.columns {
			continue
		}
		line[i] = '+'
		text := strings.TrimSuffix(inColumns(like, 12), " "+u.Name)
		from := min(max(i-width(text)/2, 0), s.columns-width(text))
		if from >= at {
			figures += strings.Repeat(" ", from-width(figures)) + text
			at = from + width(text) + 2
		}
	}
	return figures, string(line)
}

// plot draws a band and a mark. What lies beyond an end stands at it as < or >. before
// and after are the line on either side of the mark, which is "" where there is none.
func (s scale) plot(b *band, v float64, sign byte, inside bool) (before, mark, after string) {
	line := []byte(strings.Repeat(" ", s.columns))
	from, to := -1, s.columns
	if b != nil {
		from, to = s.column(b.low), s.column(b.high)
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
	i := s.column(v)
	if b != nil && !inside { // what lies just outside shows outside
		if v > b.high && i == to && i < s.columns-1 {
			i++
		} else if v < b.low && i == from && i > 0 {
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
