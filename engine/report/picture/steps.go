package picture

// This file gathers a set as it steps from club to club, as it is judged: for each rule about neighbours the clubs in
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
	pairs  []pair
	more   int // pairs beyond those
	stands []stand
	beside []*judge.Result // of clubs that have no place in the order
	alone  int             // such clubs beyond those
}

// pair is two neighbours.
type pair struct {
	clubs []*club.Club
	step
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
	result *judge.Result // nil where the books disagree with themselves
	band   *doc.Band     // where the rule allows the second club; nil where it does not say
}

// allowed is where a rule allows the second club of a pair, beside the first; nil where it
// does not say.
func allowed(r *judge.Result) *doc.Band {
	p := r.Pair
	if !p.Plain || p.Apart == 0 || !p.Value[0].Known() || !r.Lower.Known() && !r.Upper.Known() {
		return nil
	}
	low, high := math.Inf(-1), math.Inf(1)
	if r.Lower.Known() {
		low = r.Lower.Base * p.Apart
	}
	if r.Upper.Known() {
		high = r.Upper.Base * p.Apart
	}
	from := p.Value[0].Base
	if p.Rise {
		low, high = from+low, from+high
	} else {
		low, high = from-high, from-low
	}
	if math.IsNaN(low) || math.IsNaN(high) || low > high {
		return nil
	}
	return &doc.Band{Low: low, High: high, From: from}
}

// passes reports whether nothing is to be said of any of its steps.
func (c *chart) passes() bool {
	return len(c.beside) == 0 && !slices.ContainsFunc(c.stands,
		func(s stand) bool { return s.step != nil && !s.step.passes() })
}

func (s *step) passes() bool { return s.result != nil && s.result.Verdict >= decide.Pass }

func (s *step) fails() bool { return s != nil && s.result != nil && s.result.Verdict == decide.Fail }

// known is how many clubs have a value.
func (c *chart) known() int {
	n := 0
	for _, s := range c.stands {
		if s.value.Known() {
			n++
		}
	}
	return n
}

// Charts gathers the results about neighbours of a set, rule by rule.
type Charts struct {
	all   []*chart
	known map[*book.Rule]*chart
}

// of is the chart of a rule.
func (c *Charts) of(r *book.Rule) *chart {
	if c.known[r] == nil {
		if c.known == nil {
			c.known = map[*book.Rule]*chart{}
		}
		c.known[r] = &chart{rule: r}
		c.all = append(c.all, c.known[r])
	}
	return c.known[r]
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
		to.add(pair{r.Subject.Clubs, step{r.Pair, &kept, allowed(r)}})
	case len(to.beside) < mostPairs:
		to.beside = append(to.beside, &kept)
	default:
		to.alone++
	}
}

// Conflict takes notice of neighbours about which the books disagree.
func (c *Charts) Conflict(k *judge.Conflict) {
	if k.Pair != nil {
		c.of(k.Rule).add(pair{k.Subject.Clubs, step{Pair: k.Pair}})
	}
}

func (c *chart) add(p pair) {
	if len(c.pairs) < mostPairs {
		c.pairs = append(c.pairs, p)
	} else {
		c.more++
	}
}

// order lays the clubs of the pairs in their order.
func (c *chart) order() {
	if slices.ContainsFunc(c.pairs, func(p pair) bool { return p.result == nil }) { // these come last
		slices.SortStableFunc(c.pairs, func(a, b pair) int {
			return cmp.Or(cmp.Compare(a.Key[0].Base, b.Key[0].Base), cmp.Compare(a.Key[1].Base, b.Key[1].Base))
		})
	}
	for i := range c.pairs {
		p := &c.pairs[i]
		if n := len(c.stands); n == 0 || c.stands[n-1].club != p.clubs[0] {
			c.stands = append(c.stands, stand{p.clubs[0], p.Key[0], p.Value[0], nil})
		}
		c.stands = append(c.stands, stand{p.clubs[1], p.Key[1], p.Value[1], &p.step})
	}
}

// Blocks are the charts of a set that were asked for: in full of each rule about neighbours, else of those with a step
// that does not pass; of a page those with a step that fails or is too close, and none of advice.
func (c *Charts) Blocks(full, page bool) []doc.Block {
	var out []doc.Block
	for _, one := range c.all {
		one.order()
		switch {
		case len(one.stands) == 0, !full && one.known() < 2:
		case !full && page && (one.rule.Decl.Advice || !slices.ContainsFunc(one.stands, stand.open)):
		case full || !one.passes():
			out = append(out, doc.Gap{}, one.block())
		}
	}
	return out
}

// open reports whether the step to a club fails, is too close to call, or is one that the books disagree about.
func (s stand) open() bool {
	return s.step != nil && (s.step.result == nil || s.step.result.Verdict <= decide.TooClose)
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
		one := doc.Stand{Key: inColumns(s.key), Name: c.name(s.club), At: math.NaN(), Tone: doc.Pass}
		if i > next {
			one.Before = "... " + wording.Counted(i-next, "club", "clubs") + " left out, whose steps pass"
		}
		next = i + 1
		if s.value.Known() {
			one.Value, one.At = inColumns(s.value), s.value.Base
			out.Unit, out.Figure = s.value.Unit, columned(s.value)
		} else if valued >= 0 {
			one.Value = "not measured"
		}
		if s.step != nil {
			one.Step, one.Allowed = s.step.shown(word), s.step.band
			if s.step.result != nil {
				one.Tone = Tone(s.step.result.Verdict)
			}
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
	out := &doc.Step{Word: word, Says: s.says()}
	if s.result != nil && s.result.Value.Known() {
		out.Amount = inColumns(s.result.Value)
	}
	if s.fails() {
		out.Strong = failWord
	}
	return out
}

// chosen are the clubs that are shown, at the most mostStands, in order: of a set with more
// of them those beside steps that do not pass, where there are any.
func (c *chart) chosen() []int {
	n := len(c.stands)
	wanted := make([]bool, n)
	all := true
	for i, s := range c.stands {
		if s.step != nil && !s.step.passes() && n > mostStands {
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
	const most = 4
	if n := len(names); n > most {
		names = append(names[:most:most], wording.Counted(n-most, "more", "more"))
	}
	if names == nil {
		return ""
	}
	return "The steps on both sides of " + unit.Listed(names, "and") + " fail: look there first."
}

const failWord = "FAILS"

// says is the bound of a step and its verdict.
func (s *step) says() string {
	r := s.result
	if r == nil {
		return "the books disagree: no verdict"
	}
	if r.Verdict == decide.Unmeasured {
		const most = 2
		why := wording.Reasons(r.Lacks)
		if len(why) > most {
			why = append(why[:most:most], "...")
		}
		return "not measured: " + wording.Visible(strings.Join(why, "; "))
	}
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
	verdict := "passes"
	switch r.Verdict {
	case decide.Fail:
		verdict = failWord
	case decide.TooClose:
		verdict = "too close to call"
	case decide.Exempt:
		verdict = "exempt"
	}
	if words := wording.Distance(r); words != "" {
		verdict += ", " + words
	}
	if bound == "" {
		return verdict
	}
	return bound + ": " + verdict
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
