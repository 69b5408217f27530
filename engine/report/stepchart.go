package report

// This file draws a set as it steps from club to club: for each rule about neighbours a line
// for each club in their order, with its value, its mark on a scale and the band in which
// the rule allows it beside the club before, and between two clubs the step, its bound and
// its verdict.

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/book"
)

// The signs of a club in a chart.
const (
	signPass = 'o' // the step to it passes, or there is none
	signFail = 'x'
	signOpen = '?' // too close to call, or not measured
)

// stepLegend explains the signs.
const stepLegend = "  o passes or comes first, x fails, ? cannot be told; [---] is where the rule\n" +
	"  allows a club beside the one before it; < and > are beyond the scale.\n"

const (
	mostStands = 20 // clubs of one chart
	clubRoom   = 14 // columns of a club's name
	valueRoom  = 16 // columns of an amount
	plotRoom   = 41 // columns of a scale, at the most
)

// chart is a set in the order of a rule.
type chart struct {
	rule   *book.Rule
	pairs  []pair
	more   int // pairs beyond those
	stands []stand
	beside []*engine.Result // of clubs that have no place in the order
	alone  int              // such clubs beyond those
}

// pair is two neighbours.
type pair struct {
	clubs []*club.Club
	step
}

// stand is a club in its place.
type stand struct {
	club       *club.Club
	key, value engine.Amount
	step       *step // from the club before it; nil where none was judged
}

// step leads from one club to the next.
type step struct {
	*engine.Pair
	result *engine.Result // nil where the books disagree with themselves
	band   *band          // where the rule allows the second club; nil where it does not say
}

// allowed is where a rule allows the second club of a pair, beside the first; nil where it
// does not say.
func allowed(r *engine.Result) *band {
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
	return &band{low, high, from}
}

// passes reports whether nothing is to be said of any of its steps.
func (c *chart) passes() bool {
	return len(c.beside) == 0 && !slices.ContainsFunc(c.stands, func(s stand) bool { return s.step != nil && !s.step.passes() })
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

// draw is the chart under the name of its rule.
func (c *chart) draw(o Options) string {
	const indent = 4
	var b strings.Builder
	b.WriteString(wrap(ruleTitle(c.rule), 2, 4))
	by := oneLine(c.rule.Decl.For.By.Place())
	of, word := "", "step"
	for _, s := range c.stands {
		if s.step != nil && s.step.Of != "" {
			of, word = s.step.Of, "drop"
			if s.step.Rise {
				word = "rise"
			}
			break
		}
	}
	if of == "" {
		b.WriteString(wrap("in the order of "+by, indent, indent))
	} else {
		b.WriteString(wrap(Visible(of)+" in the order of "+by+", and the "+word+" to the next club", indent, indent))
	}
	b.WriteByte('\n')
	shown := c.chosen()
	stands := make([]stand, len(shown))
	for i, k := range shown {
		stands[i] = c.stands[k]
	}
	g := newGrid(by, of != "", stands)
	if g.scale.columns > 0 {
		figures, marks := g.ruler()
		b.WriteString(g.line(indent, shorten(by, clubRoom), "club", "", figures))
		b.WriteString(g.line(indent, "", "", "", marks))
	}
	next := 0 // the club after the one shown last
	for i, s := range stands {
		skipped := shown[i] - next
		next = shown[i] + 1
		switch {
		case skipped > 0:
			b.WriteString(wrap("... "+counted(skipped, "club", "clubs")+" left out, whose steps pass", indent, indent+4))
		case s.step != nil:
			b.WriteString(g.step(indent, s.step, word, o))
		case i > 0:
			b.WriteByte('\n')
		}
		b.WriteString(g.club(indent, s, o))
	}
	if left := len(c.stands) - next + c.more; left > 0 {
		b.WriteString(wrap("... "+counted(left, "club", "clubs")+" more left out", indent, indent+4))
	}
	for _, r := range c.beside {
		b.WriteString(wrap("not in the order: "+Visible(strings.Join(r.Reasons, "; ")), indent, indent+4))
	}
	if c.alone > 0 {
		b.WriteString(wrap("and "+counted(c.alone, "club", "clubs")+" more that are not in the order", indent, indent+4))
	}
	if words := c.suspects(); words != "" {
		b.WriteString(wrap(words, indent, indent))
	}
	return b.String()
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
			names = append(names, shorten(Visible(c.stands[i].club.ID), clubRoom))
		}
	}
	const most = 4
	switch n := len(names); {
	case n == 0:
		return ""
	case n == 1:
		return "The steps on both sides of " + names[0] + " fail: look at it first."
	case n > most:
		names = append(names[:most:most], counted(n-most, "more", "more"))
	}
	last := len(names) - 1
	return "The steps on both sides of " + strings.Join(names[:last], ", ") + " and of " + names[last] + " fail."
}

// grid are the columns of a chart.
type grid struct {
	scale             scale
	like              engine.Amount // a value of the scale
	valued            bool          // there is a value that steps
	keys, clubs, side int           // columns of the keys, the names, and the values
}

func newGrid(by string, valued bool, stands []stand) grid {
	g := grid{keys: width(shorten(by, clubRoom)), clubs: len("club"), valued: valued}
	var values []float64
	var bands []band
	for _, s := range stands {
		g.keys = max(g.keys, width(inColumns(s.key, valueRoom)))
		g.clubs = max(g.clubs, width(standName(s.club)))
		g.side = max(g.side, width(g.value(s)))
		if s.value.Known() && !math.IsNaN(s.value.Base) && !math.IsInf(s.value.Base, 0) {
			values, g.like = append(values, s.value.Base), s.value
		}
		if s.step != nil {
			g.side = max(g.side, width(inColumns(s.step.amount(), valueRoom)))
			if s.step.band != nil {
				bands = append(bands, *s.step.band)
			}
		}
	}
	const indent, gaps = 4, 6
	g.scale = newScale(values, bands, min(plotRoom, columns-indent-gaps-g.keys-g.clubs-g.side))
	return g
}

func (g grid) ruler() (figures, marks string) { return g.scale.ruler(g.like) }

// line is a line of the chart; what stands at its end is not wrapped.
func (g grid) line(indent int, key, name, value, plot string) string {
	return strings.TrimRight(g.left(indent, key, name, value)+plot, " ") + "\n"
}

// left are the columns before the scale: keys and values against their right edge.
func (g grid) left(indent int, key, name, value string) string {
	return strings.Repeat(" ", indent+g.keys-width(key)) + key + "  " + pad(name, g.clubs) + "  " +
		strings.Repeat(" ", max(0, g.side-width(value))) + value + "  "
}

// club is the line of a club.
func (g grid) club(indent int, s stand, o Options) string {
	left := g.left(indent, inColumns(s.key, valueRoom), standName(s.club), g.value(s))
	if g.scale.columns == 0 {
		return strings.TrimRight(left, " ") + "\n"
	}
	sign, verdict := byte(signPass), decide.Pass
	var allowed *band
	if s.step != nil {
		allowed = s.step.band
		if s.step.result != nil {
			verdict = s.step.result.Verdict
		}
		switch verdict {
		case decide.Fail:
			sign = signFail
		case decide.TooClose, decide.Unmeasured:
			sign = signOpen
		}
	}
	if !s.value.Known() {
		sign = 0
	}
	before, mark, after := g.scale.plot(allowed, s.value.Base, sign, verdict != decide.Fail)
	if o.Colour && mark != "" && sign != signPass {
		mark = coloured(verdict, mark)
	}
	return strings.TrimRight(left+before+mark+after, " ") + "\n"
}

// step is the line between two clubs.
func (g grid) step(indent int, s *step, word string, o Options) string {
	if s.Of == "" || !s.Plain {
		word = "step"
	}
	amount := ""
	if a := s.amount(); a.Known() {
		amount = inColumns(a, valueRoom)
	}
	text := hang(0, strings.TrimRight(g.left(indent, "", strings.Repeat(" ", max(0, g.clubs-len(word)))+word, amount), " "), s.says())
	if o.Colour && s.fails() {
		text = strings.Replace(text, failWord, coloured(decide.Fail, failWord), 1)
	}
	return text
}

// amount is the step itself.
func (s *step) amount() engine.Amount {
	if s.result == nil {
		return engine.Amount{}
	}
	return s.result.Value
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
		why := r.Reasons
		if len(why) > most {
			why = append(why[:most:most], "...")
		}
		return "not measured: " + Visible(strings.Join(why, "; "))
	}
	words, amount := limitWords(r)
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
		bound += ", as excepted"
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
	if words, amount := distance(r); words != "" {
		verdict += ", " + strings.TrimSpace(words+" "+amount)
	}
	if bound == "" {
		return verdict
	}
	return bound + ": " + verdict
}

// standName is the name of a club in a chart.
func standName(c *club.Club) string {
	name := Visible(c.ID)
	if c.Setting != "" {
		name += " at " + Visible(c.Setting)
	}
	return shorten(name, clubRoom)
}

// value is the value of a club.
func (g grid) value(s stand) string {
	switch {
	case s.value.Known():
		return inColumns(s.value, valueRoom)
	case g.valued:
		return "not measured"
	}
	return ""
}

// inColumns is an amount in at the most n columns, of which there are enough for six digits
// and a unit.
func inColumns(a engine.Amount, n int) string {
	s := a.String()
	if width(s) <= n || !a.Known() {
		return shorten(s, n)
	}
	return shorten(strings.TrimSpace(fmt.Sprintf("%.6g %s", a.Unit.FromBase(a.Base), a.Unit.Name)), n)
}
