// The dimensions of the trade, and how they multiply and divide.

package unit

import (
	"strconv"
	"strings"
)

// Dim is a dimension: the exponents of mass, length, angle, swing-weight points, time and days of the calendar.
// Where every exponent is 0, ratio separates a ratio (a quotient of like things) from a count; elsewhere it is false.
// Dims compare with ==. The zero value is Count.
type Dim struct {
	Exponents [6]int8 // in the order of basics
	ratio     bool
}

// basic is a dimension that others are made of, with the unit that a composed unit shows it in.
type basic struct{ word, unit string }

var basics = [6]basic{{"mass", "g"}, {"length", "in"}, {"angle", "deg"}, {"swing weight", "pts"}, {"time", "s"},
	{"day", "day"}}

// The dimensions that have a name in the trade.
var (
	Count     = Dim{}
	Ratio     = Dim{ratio: true}
	Mass      = Dim{Exponents: [6]int8{0: 1}}
	Length    = Dim{Exponents: [6]int8{1: 1}}
	Angle     = Dim{Exponents: [6]int8{2: 1}}
	Swing     = Dim{Exponents: [6]int8{3: 1}}
	Time      = Dim{Exponents: [6]int8{4: 1}}
	Days      = Dim{Exponents: [6]int8{5: 1}}
	Frequency = Count.Div(Time)
	Area      = Length.Mul(Length)
	Volume    = Area.Mul(Length)
	Inertia   = Mass.Mul(Area)
	Moment    = Mass.Mul(Length)
	LineMass  = Mass.Div(Length)
)

var dimNames = map[Dim]string{
	Count: "count", Ratio: "ratio", Length: "length", Angle: "angle", Mass: "mass", Time: "time",
	Swing: "swing weight", Days: "number of days", Frequency: "frequency", Area: "area", Volume: "volume",
	Inertia: "inertia", Moment: "moment", LineMass: "mass per length",
}

// Pure reports whether every exponent of d is 0, so that it is a count or a ratio.
func (d Dim) Pure() bool { return d.Exponents == [6]int8{} }

// Mul is the dimension of a product: the exponents add up. A count times a count is a count, a count times
// a ratio is a ratio, and what cancels altogether is a ratio. An exponent beyond what an int8 holds stays at
// the edge, so no formula, however long, comes round to a dimension that it does not have.
func (d Dim) Mul(e Dim) Dim {
	return d.join(e, 1, d.ratio || e.ratio)
}

// Div is the dimension of a quotient: the exponents are subtracted. A quotient of like things is a ratio, and
// so is a count by a count.
func (d Dim) Div(e Dim) Dim {
	return d.join(e, -1, true)
}

// join adds sign times the exponents of e to those of d; ratio says what two pure dimensions give.
func (d Dim) join(e Dim, sign int, ratio bool) Dim {
	var r Dim
	for i := range basics {
		r.Exponents[i] = int8(max(-128, min(127, int(d.Exponents[i])+sign*int(e.Exponents[i]))))
	}
	if r.Pure() {
		r.ratio = ratio || !d.Pure()
	}
	return r
}

// String is the dimension as a clubmaker says it: "length", "mass per length", "length cubed per time".
func (d Dim) String() string {
	if name, ok := dimNames[d]; ok {
		return name
	}
	above, below := d.factors(func(b basic, n int) string { return b.word + powerWord(n) })
	if len(above) == 0 {
		above = []string{"count"}
	}
	s := strings.Join(above, " times ")
	for _, b := range below {
		s += " per " + b
	}
	return s
}

// factors are what a dimension is a product of, and what it is divided by, by names for the powers of basics.
func (d Dim) factors(name func(b basic, n int) string) (above, below []string) {
	for i, b := range basics {
		if n := int(d.Exponents[i]); n > 0 {
			above = append(above, name(b, n))
		} else if n < 0 {
			below = append(below, name(b, -n))
		}
	}
	return above, below
}

func powerWord(n int) string {
	if words := [...]string{1: "", 2: " squared", 3: " cubed"}; n < len(words) {
		return words[n]
	}
	return " to the " + strconv.Itoa(n)
}
