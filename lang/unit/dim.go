// The dimensions of the trade, and how they multiply and divide.

package unit

import (
	"strconv"
	"strings"
)

// Dim is a dimension: the exponents of length, angle, mass, time, swing-weight points and days of the calendar.
// Where every exponent is 0, Ratio separates a ratio (a quotient of like things) from a count; elsewhere it is false.
// Dims compare with ==. The zero value is Count.
type Dim struct {
	Length, Angle, Mass, Time, Swing, Days int8
	Ratio                                  bool
}

// The dimensions that have a name in the trade.
var (
	Count     = Dim{}
	Ratio     = Dim{Ratio: true}
	Length    = Dim{Length: 1}
	Angle     = Dim{Angle: 1}
	Mass      = Dim{Mass: 1}
	Time      = Dim{Time: 1}
	Swing     = Dim{Swing: 1}
	Days      = Dim{Days: 1}
	Frequency = Dim{Time: -1}
	Area      = Dim{Length: 2}
	Volume    = Dim{Length: 3}
	Inertia   = Dim{Mass: 1, Length: 2}
	Moment    = Dim{Mass: 1, Length: 1}
	LineMass  = Dim{Mass: 1, Length: -1}
)

var dimNames = map[Dim]string{
	Count: "count", Ratio: "ratio", Length: "length", Angle: "angle", Mass: "mass", Time: "time",
	Swing: "swing weight", Days: "number of days", Frequency: "frequency", Area: "area", Volume: "volume",
	Inertia: "inertia", Moment: "moment", LineMass: "mass per length",
}

// Pure reports whether every exponent of d is 0, so that it is a count or a ratio.
func (d Dim) Pure() bool {
	return d.Length == 0 && d.Angle == 0 && d.Mass == 0 && d.Time == 0 && d.Swing == 0 && d.Days == 0
}

// Mul is the dimension of a product: the exponents add up. A count times a count is a count, a count times
// a ratio is a ratio, and what cancels altogether is a ratio. An exponent beyond what an int8 holds stays at
// the edge, so no formula, however long, comes round to a dimension that it does not have.
func (d Dim) Mul(e Dim) Dim {
	return d.join(e, 1, d.Ratio || e.Ratio)
}

// Div is the dimension of a quotient: the exponents are subtracted. A quotient of like things is a ratio, and
// so is a count by a count.
func (d Dim) Div(e Dim) Dim {
	return d.join(e, -1, true)
}

// join adds sign times the exponents of e to those of d; ratio says what two pure dimensions give.
func (d Dim) join(e Dim, sign int, ratio bool) Dim {
	r := Dim{
		Length: clamp(int(d.Length) + sign*int(e.Length)),
		Angle:  clamp(int(d.Angle) + sign*int(e.Angle)),
		Mass:   clamp(int(d.Mass) + sign*int(e.Mass)),
		Time:   clamp(int(d.Time) + sign*int(e.Time)),
		Swing:  clamp(int(d.Swing) + sign*int(e.Swing)),
		Days:   clamp(int(d.Days) + sign*int(e.Days)),
	}
	if r.Pure() {
		r.Ratio = ratio || !d.Pure()
	}
	return r
}

func clamp(n int) int8 {
	return int8(max(-128, min(127, n)))
}

// String is the dimension as a clubmaker says it: "length", "mass per length", "length cubed per time".
func (d Dim) String() string {
	if name, ok := dimNames[d]; ok {
		return name
	}
	var above, below []string
	for _, p := range d.parts() {
		if p.exponent > 0 {
			above = append(above, p.word+powerWord(p.exponent))
		} else if p.exponent < 0 {
			below = append(below, p.word+powerWord(-p.exponent))
		}
	}
	if len(above) == 0 {
		above = []string{"count"}
	}
	s := strings.Join(above, " times ")
	for _, b := range below {
		s += " per " + b
	}
	return s
}

// part is one base dimension of a Dim with the unit that a composed unit shows it in.
type part struct {
	word     string
	unit     string
	exponent int
}

// parts are the base dimensions of d in the order in which they are named.
func (d Dim) parts() [6]part {
	return [6]part{
		{"mass", "g", int(d.Mass)},
		{"length", "in", int(d.Length)},
		{"angle", "deg", int(d.Angle)},
		{"swing weight", "pts", int(d.Swing)},
		{"time", "s", int(d.Time)},
		{"day", "day", int(d.Days)},
	}
}

func powerWord(n int) string {
	switch n {
	case 1:
		return ""
	case 2:
		return " squared"
	case 3:
		return " cubed"
	}
	return " to the " + strconv.Itoa(n)
}
