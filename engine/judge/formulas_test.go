package judge_test

// Uncertainty carried through formulas, compared with Python's package "uncertainties", which
// works out derivatives by a way of its own.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// both is a formula as a rule says it and as Python does.
type both struct{ rule, python string }

func (f both) String() string { return f.rule }

func joined(format string, parts ...both) both {
	var r, p []any
	for _, f := range parts {
		r, p = append(r, f.rule), append(p, f.python)
	}
	return both{fmt.Sprintf(format, r...), fmt.Sprintf(format, p...)}
}

// scribe writes formulas that are sound by construction; n draws a whole number below its argument.
type scribe struct{ n func(below int) int }

func (s scribe) literal(dim string, numbers ...float64) both {
	x := numbers[s.n(len(numbers))]
	return both{fmt.Sprintf("%v %s", x, dim), fmt.Sprintf("%v", unit.Lookup(dim).ToBase(x))}
}

// property is an angle that was read; it is never 0.
func (s scribe) property() both {
	name := []string{"loft", "lie", "bounce"}[s.n(3)]
	return both{name, name}
}

func (s scribe) ratio() both {
	quotient := joined("(%s / %s)", s.property(), s.property())
	number := []string{"1/2", "0.75", "3"}[s.n(3)]
	literal := both{number, number}
	switch s.n(6) {
	case 0:
		return literal
	case 1:
		return joined("(%s + %s)", quotient, literal)
	case 2:
		return joined("(%s * %s)", quotient, joined("(%s / %s)", s.property(), s.property()))
	case 3:
		return joined("min(%s, %s)", quotient, literal)
	case 4:
		return joined("(mass / (mass + %s))", s.literal("g", 20, 150.5))
	}
	return quotient
}

func (s scribe) angle(depth int) both {
	if depth == 0 {
		if s.n(4) == 0 {
			return s.literal("deg", 4, 10.5, 60.1)
		}
		return s.property()
	}
	a, b := func() both { return s.angle(depth - 1) }, func() both { return s.angle(depth - 1) }
	switch s.n(10) {
	case 0:
		return joined("(%s + %s)", a(), b())
	case 1, 2:
		return joined("(%s - %s)", a(), b())
	case 3:
		return joined("abs(%s)", a())
	case 4:
		return joined([]string{"min(%s, %s)", "max(%s, %s)"}[s.n(2)], a(), b())
	case 5:
		c, then, other := s.truth(depth-1), a(), b()
		return both{fmt.Sprintf("(if %v then %v else %v)", c, then, other), fmt.Sprintf("(%s if %s else %s)", then.python, c.python, other.python)}
	case 6:
		return joined("(%s * %s)", a(), s.ratio())
	case 7:
		return joined("(%s / %s)", a(), joined("(%s / (%s + %s))", s.property(), s.property(), s.property()))
	case 8:
		return joined("(-(%s))", a())
	}
	return []both{{"twice", "(loft + loft)"}, {"gap", "(max(lie, loft) - bounce / 2)"}}[s.n(2)]
}

func (s scribe) comparison(depth int) both {
	op := []string{"<", "<=", ">", ">="}[s.n(4)]
	a, b := s.angle(depth), s.angle(depth)
	return both{fmt.Sprintf("(%v %s %v)", a, op, b), fmt.Sprintf("(order(%s, %s) %s 0)", a.python, b.python, op)}
}

func (s scribe) truth(depth int) both {
	if depth == 0 {
		return s.comparison(0)
	}
	switch s.n(4) {
	case 0:
		return joined("(%s and %s)", s.truth(depth-1), s.truth(depth-1))
	case 1:
		return joined("(%s or %s)", s.truth(depth-1), s.truth(depth-1))
	case 2:
		return joined("(not %s)", s.truth(depth-1))
	}
	return s.comparison(depth - 1)
}

const lets = `let twice = loft + loft
let gap   = max(lie, loft) - bounce / 2
`

// script answers each formula for each club with a value and its standard uncertainty. Values that
// differ by rounding alone are equal in a condition, as they are in a rule book.
const script = `
import json, sys
from uncertainties import ufloat, nominal_value as value, std_dev
def order(a, b):
    a, b = value(a), value(b)
    return 0 if abs(a - b) <= 2.0**-44 * max(abs(a), abs(b)) else (-1 if a < b else 1)
given = json.load(sys.stdin)
out = []
for club in given["clubs"]:
    names = {k: ufloat(v, half / 3**0.5) if half else v for k, (v, half) in club.items()}
    names["order"] = order
    for f in given["formulas"]:
        x = eval(f, names)
        out.append([value(x), std_dev(x)])
json.dump(out, sys.stdout)
`

// measured are the properties that formulas are about.
var measured = []struct {
	name         string
	id           catalogue.ID
	low, high    float64
	unit         string
	half         float64 // the largest half-width
	sometimesOff bool    // may have no half-width
}{
	{"loft", catalogue.Loft, 8, 64, "deg", 1.5, false}, {"lie", catalogue.Lie, 54, 72, "deg", 2, false},
	{"bounce", catalogue.Bounce, 1, 14, "deg", 1, true}, {"mass", catalogue.MassID, 280, 480, "g", 4, true},
}

// Each property has one error however often it is in a formula, so a loft less itself is sure
// and twice a loft is twice as unsure.
func TestFormulasAgainstPythonUncertainties(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import uncertainties").Run(); err != nil {
		t.Skip("Python's package uncertainties is not there to compare with (Debian: python3-uncertainties)")
	}
	random := rand.New(rand.NewPCG(100, 2008))
	s := scribe{random.IntN}
	var text strings.Builder
	text.WriteString("rulebook \"Formulas\"\n  decision simple\n" + lets) // so that nothing is drawn
	type ask struct {
		Clubs    []map[string][2]float64 `json:"clubs"`
		Formulas []string                `json:"formulas"`
	}
	var given ask
	var formulas []both
	for i := range 400 {
		f := s.angle(1 + i%4)
		formulas = append(formulas, f)
		given.Formulas = append(given.Formulas, f.python)
		fmt.Fprintf(&text, "rule r%d \"R\"\n  for every club\n  require (%v) at most 5 deg\n", i, f)
	}
	p, _ := compiled(t, text.String())
	var clubs []*club.Club
	for range 3 {
		c := &club.Club{}
		c.Reset(p.Schema.Len())
		c.ID, c.Kind = "c", catalogue.Iron
		drawn := map[string][2]float64{}
		for _, m := range measured {
			u := unit.Lookup(m.unit)
			v, half := u.ToBase(m.low+random.Float64()*(m.high-m.low)), u.ToBase(random.Float64()*m.half)
			if m.sometimesOff && random.IntN(2) == 0 {
				half = 0
			}
			c.SetAmount(m.id, v)
			if half > 0 {
				c.SetReading(club.Reading{Property: m.id, Half: half, HasHalf: true})
			}
			drawn[m.name] = [2]float64{v, half}
		}
		clubs, given.Clubs = append(clubs, c), append(given.Clubs, drawn)
	}
	in, err := json.Marshal(given)
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command(python, "-c", script)
	run.Stdin = bytes.NewReader(in)
	var trouble bytes.Buffer
	run.Stderr = &trouble
	answer, err := run.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, trouble.String())
	}
	var want [][2]float64
	if err := json.Unmarshal(answer, &want); err != nil {
		t.Fatal(err)
	}
	sure := 0
	for k, c := range clubs {
		j := p.NewJudge(judge.Options{Day: book.NoDay, All: true})
		i := 0
		j.Set(&club.Set{Clubs: []*club.Club{c}, Rows: 1}, judge.Sink{Result: func(r *judge.Result) {
			w := want[k*len(formulas)+i]
			// What cancels leaves rounding behind, of the size of the largest term.
			const dust = 1e-9 * 1000 * degree
			if !r.Value.Known() || math.Abs(r.Value.Base-w[0]) > 1e-9*math.Abs(w[0])+dust || math.Abs(r.Uncertainty.Base-w[1]) > 1e-9*w[1]+dust {
				t.Errorf("%v\nfor %v: the engine has %v ± %v, Python %v ± %v", formulas[i], given.Clubs[k], r.Value.Base, r.Uncertainty.Base, w[0], w[1])
			}
			if w[1] < dust {
				sure++
			}
			i++
		}})
		if i != len(formulas) {
			t.Fatalf("%d results for %d formulas", i, len(formulas))
		}
	}
	if sure > len(want)/5 {
		t.Errorf("%d of %d formulas have no uncertainty: too many to tell anything", sure, len(want))
	}
}
