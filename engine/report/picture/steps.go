package picture

// This file gathers a set as it steps from club to club, as it is judged. Each rule about neighbours has the clubs in
// their order, with their values, where the rule allows each beside the club before, and what came of each step.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

const (
	mostPairs  = 1000 // bounds what is kept of a set for the chart of a rule; a set with more is not a bag
	mostStands = 20   // clubs of one chart
	clubRoom   = 18   // columns of a club's name
	valueRoom  = 16   // columns of an amount
)

// chart is a set in the order of a rule.
type chart struct {
	rule   *book.Rule
	pairs  []step
	more   int // pairs beyond those
	stands []stand
	beside []*judge.Result // of clubs that have no place in the order
	alone  int             // such clubs beyond those
}

// stand is a club in its place.
type stand struct {
	club       *club.Club
	key, value unit.Amount
	step       *step // from the club before it; nil where none was judged
}

// step leads from one club to the next.
type step struct {
	*judge.Pair
	clubs  []*club.Club
	result *judge.Result // nil where the books disagree with themselves
}

// allowed is where a rule allows the second club of a pair, beside the first; nothing where it does not say.
func (s *step) allowed() []doc.Stretch {
	r := s.result
	if r == nil || !s.Plain || s.Apart == 0 || !s.Value[0].Known() || !r.Lower.Known() && !r.Upper.Known() {
		return nil
	}
	low, high := ends(r.Lower, r.Upper)
	low, high = low*s.Apart, high*s.Apart
	from := s.Value[0].Base
	if s.Rise {
		low, high = from+low, from+high
	} else {
		low, high = from-high, from-low
	}
	if math.IsNaN(low) || math.IsNaN(high) || low > high {
		return nil
	}
	return []doc.Stretch{{From: low, To: high, At: from}}
}

func (s *step) passes() bool { return s == nil || s.result != nil && s.result.Verdict >= decide.Pass }

func (s *step) fails() bool { return s != nil && s.result != nil && s.result.Verdict == decide.Fail }

// Charts gathers the results about neighbours of a set, rule by rule.
type Charts struct{ all []*chart }

// of is the chart of a rule.
func (c *Charts) of(r *book.Rule) *chart {
	i := slices.IndexFunc(c.all, func(one *chart) bool { return one.rule == r })
	if i < 0 {
		i, c.all = len(c.all), append(c.all, &chart{rule: r})
	}
	return c.all[i]
}

// Result takes notice of a result.
func (c *Charts) Result(r *judge.Result) {
	if r.Subject.Kind != ast.OfNeighbours {
		return
	}
	to := c.of(r.Rule)
	kept := *r
	kept.Steps, kept.Budget = nil, nil
	switch {
	case r.Pair != nil:
		to.add(step{r.Pair, r.Subject.Clubs, &kept})
	case len(to.beside) < mostPairs:
		to.beside = append(to.beside, &kept)
	default:
		to.alone++
	}
}

// Conflict takes notice of neighbours about which the books disagree.
func (c *Charts) Conflict(k *judge.Conflict) {
	if k.Pair != nil {
		c.of(k.Rule).add(step{Pair: k.Pair, clubs: k.Subject.Clubs})
	}
}

func (c *chart) add(s step) {
	if len(c.pairs) < mostPairs {
		c.pairs = append(c.pairs, s)
	} else {
		c.more++
	}
}

// order lays the clubs of the pairs in their order.
func (c *chart) order() {
	if slices.ContainsFunc(c.pairs, func(s step) bool { return s.result == nil }) { // these come last
		slices.SortStableFunc(c.pairs, func(a, b step) int {
			return cmp.Or(cmp.Compare(a.Key[0].Base, b.Key[0].Base), cmp.Compare(a.Key[1].Base, b.Key[1].Base))
		})
	}
	for i := range c.pairs {
		s := &c.pairs[i]
		if n := len(c.stands); n == 0 || c.stands[n-1].club != s.clubs[0] {
			c.stands = append(c.stands, stand{s.clubs[0], s.Key[0], s.Value[0], nil})
		}
		c.stands = append(c.stands, stand{s.clubs[1], s.Key[1], s.Value[1], s})
	}
}

// Blocks are the charts of a set that were asked for: in full of each rule about neighbours, else of those with a step
// that does not pass.
func (c *Charts) Blocks(full bool) []doc.Block {
	var out []doc.Block
	for _, one := range c.all {
		one.order()
		known, passes := 0, len(one.beside) == 0
		for _, s := range one.stands {
			passes = passes && s.step.passes()
			if s.value.Known() {
				known++
			}
		}
		if len(one.stands) > 0 && (full || known >= 2 && !passes) {
			out = append(out, doc.Gap{}, one.block())
		}
	}
	return out
}

// block is the chart under the name of its rule.
func (c *chart) block() *doc.Steps {
	by := wording.OneLine(c.rule.Decl.For.By.Place())
	out := &doc.Steps{Title: Headline(c.rule), Sub: "in the order of " + by, Key: by}
	word := "step"
	valued := slices.IndexFunc(c.stands, func(s stand) bool { return s.step != nil && s.step.Of != "" })
	if valued >= 0 {
		s := c.stands[valued].step
		word = "drop"
		if s.Rise {
			word = "rise"
		}
		out.Sub = wording.Visible(s.Of) + " in the order of " + by + ", and the " + word + " to the next club"
	}
	next := 0 // the club after the one shown last
	for _, i := range c.chosen() {
		s := c.stands[i]
		one := doc.Stand{Key: inColumns(s.key), Name: c.name(s.club)}
		read := doc.Stretch{Look: doc.Read, Tone: doc.Pass}
		if i > next {
			one.Before = "... " + wording.Counted(i-next, "club", "clubs") + " left out, whose steps pass"
		}
		next = i + 1
		if s.step != nil {
			one.Step, one.Parts = s.step.shown(word), s.step.allowed()
			read.Tone = one.Step.Tone
		}
		if s.value.Known() {
			at := s.value.Base
			read.At, read.From, read.To = at, at, at
			one.Value, one.Parts = inColumns(s.value), append(one.Parts, read)
			out.Unit, out.Figure = s.value.Unit, columned(s.value)
		} else if valued >= 0 {
			one.Value = "not measured"
		}
		out.Stands = append(out.Stands, one)
	}
	c.after(out, len(c.stands)-next+c.more)
	return out
}

// after adds what is said below the clubs: what is left out, what has no place in the order, what to look at first.
func (c *chart) after(out *doc.Steps, left int) {
	var words []string
	if left > 0 {
		words = append(words, "... "+wording.Counted(left, "club", "clubs")+" more left out")
	}
	for _, r := range c.beside {
		words = append(words, "not in the order: "+wording.Visible(wording.JoinReasons(r.Lacks)))
	}
	if c.alone > 0 {
		words = append(words, "and "+wording.Counted(c.alone, "club", "clubs")+" more that are not in the order")
	}
	for _, w := range append(words, c.suspects()) {
		if w != "" {
			out.After = append(out.After, doc.Para{Text: w, Level: 2, Hang: 2})
		}
	}
}

// shown is a step with its word.
func (s *step) shown(word string) *doc.Step {
	if s.Of == "" || !s.Plain {
		word = "step"
	}
	out := &doc.Step{Size: word}
	if s.result == nil {
		out.Verdict = "the books disagree: no verdict"
		return out
	}
	out.Tone = Tone(s.result.Verdict)
	if s.result.Value.Known() {
		out.Size += " " + inColumns(s.result.Value)
	}
	if s.result.Verdict == decide.Unmeasured {
		out.Verdict = "not measured: " + wording.Visible(wording.Few(wording.Reasons(s.result.Lacks), 2))
		return out
	}
	out.Bound, out.Verdict = s.bound(), verdicts[s.result.Verdict]
	if words := wording.Distance(s.result); words != "" {
		out.Verdict += ", " + words
	}
	return out
}

// verdicts are the words of a step for those that are known.
var verdicts = [...]string{decide.Fail: "FAILS", decide.TooClose: "too close to call", decide.Pass: "passes",
	decide.Exempt: "exempt"}

// chosen are the clubs that are shown, at the most mostStands, in order: of a set with more
// of them those beside steps that do not pass, where there are any.
func (c *chart) chosen() []int {
	n := len(c.stands)
	wanted := make([]bool, n)
	all := true
	for i, s := range c.stands {
		if !s.step.passes() && n > mostStands {
			wanted[i-1], wanted[i], all = true, true, false
		}
	}
	var shown []int
	for i := range n {
		if (all || wanted[i]) && len(shown) < mostStands {
			shown = append(shown, i)
		}
	}
	return shown
}

// suspects names the clubs both of whose steps fail.
func (c *chart) suspects() string {
	var names []string
	for i := 0; i+1 < len(c.stands); i++ {
		if c.stands[i].step.fails() && c.stands[i+1].step.fails() {
			names = append(names, c.name(c.stands[i].club))
		}
	}
	if names == nil {
		return ""
	}
	return "The steps on both sides of " + wording.Few(names, 4) + " fail: look there first."
}

// bound is what a rule asks of a step.
func (s *step) bound() string {
	r := s.result
	words, amount := wording.Limit(r)
	switch words {
	case "between":
		words, amount = "", strings.Replace(amount, " and ", " to ", 1)
	case "exactly":
		words = "just"
	}
	bound := strings.TrimSpace(words + " " + amount)
	if bound != "" && s.PerNumber && s.Plain {
		bound += " a number"
		if s.Apart > 1 {
			bound += ", " + strconv.FormatFloat(s.Apart, 'g', 6, 64) + " apart"
		}
	}
	if r.Exception != nil && r.Bound != nil {
		bound += ", by an exception"
	}
	return bound
}

// name is the name of a club in the chart, with its id where another has the same name.
func (c *chart) name(of *club.Club) string {
	same := 0
	for _, s := range c.stands {
		if s.club.Spoken() == of.Spoken() {
			same++
		}
	}
	if same > 1 || of.Setting != "" {
		return doc.Shorten(wording.Called(of), clubRoom)
	}
	return doc.Shorten(wording.Visible(of.Spoken()), clubRoom)
}

// inColumns is an amount in at the most valueRoom columns, of which there are enough for six digits and a unit.
func inColumns(a unit.Amount) string {
	s := a.String()
	if doc.Width(s) <= valueRoom || !a.Known() {
		return doc.Shorten(s, valueRoom)
	}
	return doc.Shorten(strings.TrimSpace(fmt.Sprintf("%.6g %s", a.Unit.FromBase(a.Base), a.Unit.Name)), valueRoom)
}

// columned writes values of the scale like an amount in its column, without the unit.
func columned(like unit.Amount) func(base float64) string {
	return func(base float64) string {
		like.Base = base
		return like.Unit.Bare(inColumns(like))
	}
}
