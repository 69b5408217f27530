package trial

// This file finds what the cases of a book show of its rules, and what they leave open.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Coverage is what the cases of a book show of one of its own rules. Advice is treated
// as a rule is. Only expectations that were met show something.
type Coverage struct {
	Rule                 *book.Rule
	Pass, Fail, TooClose int   // expectations of that verdict
	Wrong                int   // expectations that were not met
	Missing              []Gap // what no expectation shows
}

// Gap is one thing that no case shows of a rule. The zero value is invalid.
type Gap struct {
	verdict decide.Verdict // Pass, Fail or TooClose; 0 where the gap is none of a verdict
	unless  *ast.Unless    // the exception to be taken; with edge the one whose bound it is; nil for none
	edge    edge
}

// edge is one side of one end of a bound. The zero value is none.
type edge uint8

const (
	noEdge edge = iota
	upperInside
	upperOutside
	lowerInside
	lowerOutside
)

var edgeWords = [...]string{"", "the upper edge from inside", "the upper edge from outside",
	"the lower edge from inside", "the lower edge from outside"}

// String says what is missing: "a fail", "too close to call", "the upper edge from
// inside", "the exception on line 12".
func (g Gap) String() string {
	exception := ""
	if g.unless != nil {
		exception = fmt.Sprintf("the exception on line %d", g.unless.Span.Line())
	}
	switch {
	case g.edge != noEdge && exception != "":
		return edgeWords[g.edge] + " under " + exception
	case g.edge != noEdge:
		return edgeWords[g.edge]
	case exception != "":
		return exception
	case g.verdict == decide.TooClose:
		return "too close to call"
	}
	return "a " + g.verdict.String()
}

// Cover tells for each of the book's own rules, in their order, what the outcomes of its
// cases show. Rules that it uses are covered by the cases of their own books.
//
// A case shows an edge from inside where a value passes within a small distance of where passing ends. It shows one
// from outside where a value fails within that distance of where failing begins. Where the decision counts the
// uncertainty, these are its limits of acceptance and rejection. The distance is one graduation of the method for a
// length by a method. It is one for a count, and none from inside where the limit itself passes. Else it is 1 % of the
// limit, but not less than 0.1 deg, 0.1 pts or 0.1 cpm, which is what a bench reads. Of a limit of nothing the other
// limit's 1 % counts, and if there is none 1/64 in, or 0.01 of the unit. From inside it is never more than a quarter of
// the way from one limit to the other.
func Cover(b *book.Book, outcomes []Outcome) []Coverage {
	var out []Coverage
	for _, r := range b.Rules {
		c := Coverage{Rule: r}
		var met []*judge.Result
		for i := range outcomes {
			o := &outcomes[i]
			if !o.Right() && o.Expect.Rule.Text == r.Decl.Name.Text {
				c.Wrong++
			}
			if o.Got == nil || o.Got.Rule != r || !o.Right() {
				continue
			}
			met = append(met, o.Got)
			switch o.Got.Verdict {
			case decide.Pass:
				c.Pass++
			case decide.Fail:
				c.Fail++
			case decide.TooClose:
				c.TooClose++
			}
		}
		c.Missing = lists.Kept(gaps(r), func(g Gap) bool { return !slices.ContainsFunc(met, g.shownBy) })
		out = append(out, c)
	}
	return out
}

// gaps is all that cases can show of a rule.
func gaps(r *book.Rule) []Gap {
	out := []Gap{{verdict: decide.Pass}, {verdict: decide.Fail}}
	if r.Decision.Kind == ast.ThreeWay && measured(r) {
		out = append(out, Gap{verdict: decide.TooClose})
	}
	for _, e := range edgesOf(r.Bound) {
		out = append(out, Gap{edge: e})
	}
	for _, u := range r.Unless {
		out = append(out, Gap{unless: u.Decl})
		for _, e := range edgesOf(u.Bound) {
			out = append(out, Gap{unless: u.Decl, edge: e})
		}
	}
	return out
}

// edgesOf are the edges of a bound; none of nil.
func edgesOf(b *book.Bound) []edge {
	var out []edge
	if b != nil && b.High != nil {
		out = append(out, upperInside, upperOutside)
	}
	if b != nil && b.Low != nil {
		out = append(out, lowerInside, lowerOutside)
	}
	return out
}

// measured reports whether something that a rule holds against its limits can have an
// uncertainty: a measurement, not a count.
func measured(r *book.Rule) bool {
	found := false
	for _, p := range required(r) {
		p.Visit(func(n book.Part) bool {
			switch n.Expr.(type) {
			case *ast.CountOf, *ast.CountReadings, *ast.ShareOfReadings:
				return false
			}
			of := n.Ref()
			if of != nil && of.Kind == book.RefProperty && of.Property.ID != catalogue.Number {
				found = found || of.Property.Sort.Numeric()
			}
			return !n.Chooses()
		}, nil)
	}
	return found
}

// required are the formulas that a rule requires, and those of its bounds.
func required(r *book.Rule) []book.Part {
	out := []book.Part{r.Value}
	for _, b := range r.Bounds() {
		out = append(out, b.Parts()...)
	}
	return out
}

// shownBy reports whether a result shows what is missing.
func (g Gap) shownBy(r *judge.Result) bool {
	switch {
	case g.verdict != 0:
		return r.Verdict == g.verdict
	case r.Exception != g.unless:
		return false
	case g.edge == noEdge:
		return r.Verdict != decide.Unmeasured
	}
	at, ok := g.edge.of(r)
	if !ok || !r.Value.Known() {
		return false
	}
	want, beyond := decide.Pass, unit.Compare(r.Value.Base, at)
	if g.edge == upperOutside || g.edge == lowerOutside {
		want = decide.Fail
		if g.edge == upperOutside && beyond < 0 || g.edge == lowerOutside && beyond > 0 {
			return false
		}
	}
	return r.Verdict == want && (beyond == 0 || unit.Compare(math.Abs(r.Value.Base-at), g.edge.reach(r, at)) <= 0)
}

// reach is how close to an edge, at a value, a case has to come to show it. Where the value was drawn, it hangs
// on more than the value from where on it passes.
func (e edge) reach(r *judge.Result, at float64) float64 {
	if r.Simulated {
		return math.Inf(1)
	}
	reach := near(r, at)
	if e == upperOutside || e == lowerOutside {
		return reach
	}
	if r.Value.Unit.Dim == unit.Count && !r.Open {
		reach = 0
	}
	if r.Lower.Known() && r.Upper.Known() {
		reach = min(reach, (r.Upper.Base-r.Lower.Base)/4)
	}
	return reach
}

// of is where an edge stands of a result: its limit, or the limit of acceptance or
// rejection. It is false where the result has none.
func (e edge) of(r *judge.Result) (float64, bool) {
	a := r.Lower
	if e == upperInside || e == upperOutside {
		a = r.Upper
	}
	if r.Uncertainty.Known() && r.Decision.Kind != decide.Simple && !r.Simulated {
		a = [...]unit.Amount{
			upperInside: r.PassTo, upperOutside: r.FailAbove, lowerInside: r.PassFrom, lowerOutside: r.FailBelow}[e]
	}
	return a.Base, a.Known()
}

// near is what a bench tells apart at a value.
func near(r *judge.Result, at float64) float64 {
	if m := methodOf(r.Rule); m != nil && m.Reads != nil && m.Reads.Base > 0 {
		return m.Reads.Base
	}
	dim := r.Value.Unit.Dim
	size := math.Abs(at)
	if size < 1e-6 {
		size = 0
		for _, end := range r.Ends() {
			size = max(size, math.Abs(end))
		}
	}
	least := 0.0
	switch dim {
	case unit.Count:
		return 1
	case unit.Angle, unit.Swing, unit.Frequency:
		least = unit.Base(dim).ToBase(0.1)
	}
	switch {
	case size == 0 && dim == unit.Length:
		return unit.Base(dim).ToBase(1.0 / 64)
	case size == 0 && least == 0:
		return unit.Base(dim).ToBase(0.01)
	}
	return max(size/100, least)
}

// methodOf is the method by which a rule's value is a length; nil if it is not one.
func methodOf(r *book.Rule) *book.Method {
	var found *book.Method
	r.Value.Visit(func(n book.Part) bool {
		if of := n.Ref(); of != nil && found == nil && r.Value.Type().Dim == unit.Length {
			found = of.Method
		}
		return !n.Chooses()
	}, nil)
	return found
}
