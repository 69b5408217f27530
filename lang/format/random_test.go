package format_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// writer writes sound books at random, untidily: any number of blanks, comments
// on lines of their own and behind others, clauses over several lines.
type writer struct {
	*rapid.T
	strings.Builder
	depth int
}

func (w *writer) one(from ...string) string { return rapid.SampledFrom(from).Draw(w.T, "word") }
func (w *writer) often(n int) bool          { return rapid.IntRange(0, n).Draw(w.T, "often") > 0 }
func (w *writer) rarely(n int) bool         { return !w.often(n) }

// blank is some blanks.
func (w *writer) blank() string { return w.one(" ", " ", " ", "  ", "\t", " \t ") }

// gap is blanks, or where a clause may go on, a new line, with comments now and then.
func (w *writer) gap() string {
	if w.often(5) {
		return w.blank()
	}
	s := w.one("", " ", "  # behind", "# touching ")
	for {
		s += w.one("\n", "\r\n") + w.one("", " ", "      ")
		if w.often(2) {
			return s
		}
		s += w.one("# alone", "#", "   # at the side")
	}
}

func (w *writer) quantity() string {
	return w.one("46 in", "45 3/4 in", "45-3/4\"", "45¾ in", "3", "3/8", "58°", "95 %", "D2", "3 pts", "1.6 g/in", "5900 g cm2", "46   in", "0.5\tmm")
}

func (w *writer) name() string { return w.one("lie", "loft", "house-lengths", "made", "x1", "mass") }

func (w *writer) ref() string {
	switch rapid.IntRange(0, 5).Draw(w.T, "ref") {
	case 0:
		return "length" + w.blank() + "by" + w.blank() + w.one("soled", "plane-60")
	case 1:
		return w.one("first", "second") + w.blank() + w.name()
	case 2:
		return w.one("", "first ") + "ordered" + w.blank() + w.name()
	}
	return w.name()
}

func (w *writer) operand() string {
	if w.depth++; w.depth > 4 {
		w.depth--
		return w.quantity()
	}
	defer func() { w.depth-- }()
	switch rapid.IntRange(0, 12).Draw(w.T, "operand") {
	case 0, 1:
		return w.quantity()
	case 2:
		return "(" + w.one("", w.gap()) + w.formula() + w.one("", w.gap()) + ")"
	case 3:
		return "-" + w.one(w.quantity(), w.name(), "("+w.formula()+")")
	case 4:
		return w.one("min", "max", "abs") + w.one("", " ") + "(" + w.formula() + "," + w.gap() + w.formula() + ")"
	case 5:
		return "(" + "count of " + w.selector() + ")"
	case 6:
		return w.one("longest", "spread", "total") + " of " + w.one(w.ref(), "("+w.formula()+")") + " among " + w.list()
	case 7:
		return w.one("mean", "lowest") + w.blank() + "of " + w.ref() + " among readings"
	case 8:
		return w.one("drop", "rise") + " of " + w.ref() + w.one("", " per number")
	case 9:
		return w.one("2026-04-18", `"Corded"`, `"a # b"`, "has "+w.name(), "today", "age "+w.one("born", "first  born", "2010-04-18", "("+w.gap()+"born + 3 days)"), "count of readings of lie", "share of (lie > 3 deg) among readings")
	}
	return w.ref()
}

func (w *writer) sum() string {
	s := w.operand()
	for w.rarely(2) {
		s += w.gap() + w.one("+", "-", "*", "/") + w.gap() + w.operand()
	}
	return s
}

func (w *writer) comparison() string {
	if w.rarely(4) {
		if w.rarely(2) {
			return w.one("kind in (iron 5,", "mark not in (\"PW\",", "number in (3,") + w.gap() + w.one("putter", "5", `wedge "PW"`) + w.one("", w.gap()) + ")"
		}
		return "kind" + w.one(" = ", " != ", "=") + w.one("iron 5", "putter", `wedge "PW"`, "woods", "irons")
	}
	s := w.sum()
	if w.often(1) {
		s += w.gap() + w.one("=", "!=", "<", "<=", ">", ">=") + w.gap() + w.sum()
	}
	return s
}

func (w *writer) formula() string {
	if w.depth++; w.depth > 3 {
		w.depth--
		return w.name()
	}
	defer func() { w.depth-- }()
	if w.rarely(6) {
		return "if " + w.formula() + w.gap() + "then " + w.formula() + w.gap() + "else" + w.gap() + w.formula()
	}
	s := w.one("", "", "not ") + w.comparison()
	for op := w.one("and", "or"); w.rarely(2); {
		s += w.gap() + op + w.gap() + w.one("", "", "not ") + w.comparison()
	}
	return s
}

func (w *writer) list() string {
	s := ""
	for {
		s += w.one("iron", "clubs", "woods", "iron 5", "iron 5 to 9", `wedge "PW"`)
		if w.often(2) {
			return s
		}
		s += w.one(",", " ,") + w.gap()
	}
}

func (w *writer) selector() string {
	return w.list() + w.one("", " except "+w.list()) + w.one("", " where "+w.formula())
}

func (w *writer) bound() string {
	s := w.one("at most "+w.sum(), "at  least "+w.sum(), "between "+w.sum()+w.gap()+"and "+w.sum(), "is "+w.sum(), "is "+w.sum()+w.one(" +/- ", "±")+w.sum(),
		"within "+w.sum()+" of "+w.sum(), "below "+w.sum())
	return s + w.one("", " allowing "+w.sum())
}

// end ends a line, with comments and blank lines now and then.
func (w *writer) end() {
	w.WriteString(w.one("", "", " ", "  # behind", "#"))
	w.WriteString(w.one("\n", "\r\n"))
	for w.rarely(3) {
		w.WriteString(w.one("", " ", "   ") + w.one("# alone", "#", "", "") + "\n")
	}
}

func (w *writer) clause(parts ...string) {
	w.WriteString(w.one("", " ", "  ", "\t", "      "))
	for i, p := range parts {
		if i > 0 {
			w.WriteString(w.blank())
		}
		w.WriteString(p)
	}
	w.end()
}

func (w *writer) declaration(n int) {
	name := fmt.Sprintf("name-%d", n)
	switch rapid.IntRange(0, 10).Draw(w.T, "declaration") {
	case 0:
		w.clause("use", w.one("methods", `"a.ferrule"`), w.one("", "only a,"+w.gap()+"b"), w.one("", "without c"))
	case 1:
		w.clause("group", name, w.one("=", " = "), w.selector())
	case 2:
		w.clause("property", name, w.one("angle", "length by soled", "yes-no", "yes-no else no",
			`text one of "L", "A"`, `text one of "L",`+w.gap()+`"A"`+w.gap()+`else "A"`))
	case 3:
		w.clause("let", name+w.one("=", " = ")+w.gap()+w.formula())
	case 4:
		w.clause("allowance", w.one("cap", "crown"), w.sum(), w.one("", "within "+w.sum()), w.one("", "where "+w.formula()))
	case 5:
		w.clause("chart", name, "of", "length by soled", "per", "club")
		for w.often(2) {
			w.clause(w.list(), "=", w.sum(), w.one("", "where "+w.formula()))
		}
	case 6:
		w.clause("method", name, w.one("", `"A  title"`))
		for _, c := range []string{"covers every " + w.selector(), "stop " + w.one("at lie", "at 60 deg", "along axis"), "top at " + w.one("cap edge", "cap end", "butt"),
			"reads to " + w.sum(), "lie-set within 1 deg", "ruler within 1/64 in"} {
			if w.often(1) {
				w.clause(c)
			}
		}
	case 7:
		w.clause("head", w.list(), w.one("", "where "+w.formula()))
		for _, c := range []string{"reach", "toe-radius", "camber"} {
			if w.often(1) {
				w.clause(c, w.sum(), w.one("", "within "+w.sum()))
			}
		}
	case 8:
		w.clause("case", `"A case"`)
		for w.often(2) {
			w.clause(w.one("set s1", `set "b 1"`, w.one("club", "order")+" d1 :"+w.blank()+w.one("driver", "iron 5", `wedge "PW"`)+w.one("", ", lie -58 deg", ",\n lie 3 deg +/- 1 deg by soled , mark \"x\""),
				"expect r on d1, \"7i\" of s1: pass", "expect r on set: fail value "+w.sum()+" excepted mend \"x\""))
		}
	case 9:
		w.clause("waive", name, w.one("", `"Granted # once"`))
		for _, c := range []string{w.one("on", "on  ") + w.one(" D-1 of Birch", " 5i and  i6 of \"J. B\"", " set Birch", " d1, 7"), "until 2026-06-01", "cite \"x\""} {
			if w.often(1) {
				w.clause(c)
			}
		}
	default:
		w.clause(w.one("rule", "advice"), name, w.one("", `"A title # no comment"`))
		if w.often(1) {
			w.clause("for", w.one("every "+w.selector(), "each set", "each set where "+w.formula(), "neighbours among "+w.list()+" by number", "neighbours among iron where lie > 3 deg by length by soled"))
		}
		for w.rarely(2) {
			w.clause(w.one("unless", "unless", "else  unless"), w.formula()+w.one(":", " : ")+w.gap()+w.one("exempt", w.bound()))
		}
		if w.often(1) {
			w.clause("require", w.formula(), w.one("", w.bound()))
		}
		if w.often(1) {
			w.clause("decision", w.one("simple", "three-way at 95 %", "guarded acceptance at 0.9"))
		}
	}
}

// TestRandomBooks formats books written at random. What it asks is stated at check; there is
// nothing outside to hold a layout against.
func TestRandomBooks(t *testing.T) {
	sound := 0
	rapid.Check(t, func(t *rapid.T) {
		w := &writer{T: t}
		for w.rarely(1) {
			w.WriteString("# at the top\n" + w.one("", "\n"))
		}
		if w.often(1) {
			w.clause("rulebook", `"A book"`)
			for _, c := range []string{"edition 2026-04-18", "language 1", "event \"x\"", "contact \"x\"", "butt-mass 1.6 g/in", "extension at most 1 in"} {
				if w.often(1) {
					w.clause(c)
				}
			}
		}
		for n := range rapid.IntRange(0, 6).Draw(t, "declarations") {
			w.declaration(n)
		}
		if _, ok := check(t, w.String()); ok {
			sound++
		}
	})
	if sound < 50 {
		t.Errorf("only %d of the books were sound", sound)
	}
}
