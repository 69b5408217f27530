package judge

// This file holds what judging gives: results, the facts behind them, and their
// tally. Nothing here is text made for a reader; engine/report makes that.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Subject is what a result is about.
type Subject struct {
	Kind  ast.SubjectKind
	Set   string
	File  string
	Clubs []*club.Club // one club; two neighbours, first then second; of a set none
}

// IDs are the ids of its clubs; nil for a set.
func (s Subject) IDs() []string {
	return lists.Each(s.Clubs, func(c *club.Club) string { return c.ID })
}

// Name names what it is for a person: "i5 and i6", "the set blue".
func (s Subject) Name() string {
	switch len(s.Clubs) {
	case 0:
		if s.Set == "" {
			return "the set"
		}
		return "the set " + s.Set
	case 1:
		return s.Clubs[0].ID
	}
	return s.Clubs[0].ID + " and " + s.Clubs[1].ID
}

// Result is the verdict of one rule on one subject, with everything that led to it.
type Result struct {
	Rule    *book.Rule
	Subject Subject
	Verdict decide.Verdict

	Value                unit.Amount
	Uncertainty          unit.Amount // standard uncertainty; no amount where it is unknown or none is stated
	Freedom              float64     // its degrees of freedom where repeated readings count; 0 for infinitely many
	Lower                unit.Amount // limits that the value was held against, allowance included
	Upper                unit.Amount
	Open                 bool         // the limits themselves do not pass (below, above)
	Margin               unit.Amount  // positive inside
	Probability          float64      // conformance probability; NaN where u is 0 or unknown
	Decision             decide.Rule  // as it was applied
	Exception            *ast.Unless  // the exception that was taken; nil for none
	Waiver               *Lifted      // the waiver that lifted it, so that it is Exempt; nil for none
	Bound                *book.Bound  // the bound that was applied; nil for a formula or an exemption
	Lacks                []value.Lack // of Unmeasured, and where no value would pass
	Over, Under          unit.Amount  // how far the value lies beyond its upper or lower limit; no amount: not at all
	PassFrom, PassTo     unit.Amount  // acceptance limits of a decision that counts the uncertainty; no amount: none
	FailBelow, FailAbove unit.Amount  // rejection limits of such a decision
	NoneCanPass          bool         // no value at all passes under the decision with this uncertainty
	Simulated            bool         // the value was drawn, so there are no limits of acceptance and rejection
	Budget               []Component  // of the uncertainty, the largest share first; none where it was drawn
	Settle               *Settle      // of TooClose: what would decide it
	Steps                []eval.Step  // the facts in the order in which they were used
	Whole                *Whole       // of a spread or an extreme of a set, from Every; else nil
	Pair                 *Pair        // of two neighbours in their order, where the judge gives passes too; else nil
	Mend                 string       // the rule's mend filled in; "" where it has none or needs none
	SpokenMend           string       // the same with the clubs as a person calls them
}

// Apart reports whether all that it lacks is what was ordered, for a setting that the order says nothing of beside
// another: there the club is not held against the order. Where an exception may hold, that is not all.
func (r *Result) Apart() bool {
	if r.Verdict != decide.Unmeasured || r.Lacks == nil || r.Rule.Decl.Unless != nil {
		return false
	}
	return !slices.ContainsFunc(r.Lacks, func(l value.Lack) bool { return l.Kind != value.OrderedApart })
}

// Ends are the limits that there are, in base units.
func (r *Result) Ends() (ends []float64) {
	for _, a := range []unit.Amount{r.Lower, r.Upper} {
		if a.Known() {
			ends = append(ends, a.Base)
		}
	}
	return ends
}

// Spread returns how sure the value is.
func (r *Result) Spread() decide.Spread {
	if !r.Uncertainty.Known() {
		return decide.Spread{U: math.NaN()}
	}
	return decide.Spread{U: r.Uncertainty.Base, Freedom: r.Freedom}
}

// Limits are those that the value was held against.
func (r *Result) Limits() decide.Limits {
	l := decide.None()
	if r.Lower.Known() {
		l.Lower, l.OpenLower = r.Lower.Base, r.Open
	}
	if r.Upper.Known() {
		l.Upper, l.OpenUpper = r.Upper.Base, r.Open
	}
	return l
}

// Figure is an amount of the result as a bench reads it. It has as many decimals as it takes that the value as printed
// is on the same side of its limits as the value.
func (r *Result) Figure(a unit.Amount) string { return a.Text(r.Finer(), math.Round) }

// Written is Figure of an amount that somebody wrote down; see Amount.Written.
func (r *Result) Written(a unit.Amount) string { return a.Text(a.Places(r.Finer()), math.Round) }

// Finer is how many decimals more than usual the figures of the result need.
func (r *Result) Finer() int {
	if !r.Value.Known() {
		return 0
	}
	limit := func(a unit.Amount, n int) bool {
		return !a.Known() || unit.Compare(r.Value.Base, a.Base) ==
			unit.Compare(r.Value.Shown(n, math.Round), a.Shown(a.Places(n), math.Round))
	}
	return unit.Finer(func(n int) bool {
		return limit(r.Lower, n) && limit(r.Upper, n) &&
			r.beyond(r.PassFrom, n, math.Ceil) && r.beyond(r.FailAbove, n, math.Ceil) &&
			r.beyond(r.PassTo, n, math.Floor) && r.beyond(r.FailBelow, n, math.Floor)
	})
}

// beyond reports whether the value, printed with n decimals more, lies beyond a limit of acceptance or rejection just
// where the value does. The limit is rounded up or down by round.
func (r *Result) beyond(a unit.Amount, n int, round func(float64) float64) bool {
	if !a.Known() || !r.Value.Known() {
		return true
	}
	truly := unit.Compare(r.Value.Base, a.Base)
	printed := unit.Compare(r.Value.Shown(n, math.Round), a.Shown(n, round))
	if round(0.5) == 0 { // a limit rounded down holds what is at or below it
		return (truly <= 0) == (printed <= 0)
	}
	return (truly >= 0) == (printed >= 0)
}

// Conflict is a fault of a book that shows on a club: two exceptions of a rule
// hold and disagree, so that the subject has no result of that rule.
type Conflict struct {
	Rule    *book.Rule
	Subject Subject
	Between [2]*ast.Unless
	Rows    value.Lack // the rows of a chart, an allowance or a head, where these disagree
	Pair    *Pair      // as in a Result
}

// Tally counts the results of rules by verdict, and the advice that failed.
type Tally struct {
	Verdicts  [decide.Exempt + 1]int // by decide.Verdict
	Advice    int                    // results of advice, whatever their verdict
	Advised   int                    // advice that failed
	Conflicts int
}

// Results returns how many results were counted, those of advice too.
func (t *Tally) Results() int {
	n := t.Advice
	for _, of := range t.Verdicts {
		n += of
	}
	return n
}

// Count adds a result's verdict.
func (t *Tally) Count(r *book.Rule, v decide.Verdict) {
	if !r.Decl.Advice {
		t.Verdicts[v]++
		return
	}
	t.Advice++
	if v == decide.Fail {
		t.Advised++
	}
}

// Add adds another tally.
func (t *Tally) Add(o Tally) {
	for i, n := range o.Verdicts {
		t.Verdicts[i] += n
	}
	t.Advice += o.Advice
	t.Advised += o.Advised
	t.Conflicts += o.Conflicts
}
