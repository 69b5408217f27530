package report

// This file is the view of a check for a reader: what came of the whole, then bag by bag what does not pass, what is
// missing and what passes, then what was not read and not judged. It draws each set as it comes; the verdict of the
// whole is written first, so what was drawn waits for it.

import (
	"cmp"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// check keeps what was drawn of the sets, and counts.
type check struct {
	paper
	passes  bool // what passes is shown with its facts too
	holder  *picture.Holder
	head    *data.Head
	rows    [sections]rowsTold
	remarks remarks
	counts
}

// counts are what is counted in sets, and the names in them.
type counts struct {
	judged
	mends   bool // something asks for work with a saw, epoxy or heat
	charts  bool // a set is shown as it steps from club to club
	sheets  []string
	without []without
}

// add adds other counts.
func (n *counts) add(o *counts) {
	n.judged.add(&o.judged)
	n.mends, n.charts = n.mends || o.mends, n.charts || o.charts
	n.sheets = lists.Also(n.sheets, o.sheets...)
	for _, w := range o.without {
		for _, r := range w.rules {
			n.lacksColumn(w.sheet, w.columns, r)
		}
	}
}

func (c *check) WantsPasses() bool { return true }
func (c *check) WantsFacts() bool  { return c.depth != Line }

func (c *check) Begin(h *data.Head) error {
	c.head, c.holder, c.asked = h, c.holding(h), h.Books
	c.remarks.draw = func(dst []byte, m data.Remark) []byte {
		return c.draw(dst, c.rows[sectionOfRow(m)].next(m)...)
	}
	return nil
}

func (c *check) Result(s *Sheaf, r *judge.Result) {
	f, to, at := &s.facts, sectionOf(r), wording.Place(r.Subject, s.bag).Row
	r = wording.InUnits(r, s.bag)
	f.result(r)
	if c.page {
		f.page.Result(r)
	}
	if c.depth != Line {
		f.charts.Result(r)
	}
	if r.Verdict == decide.Unmeasured {
		of := &f.missing
		if r.Rule.Decl.Advice {
			of = &f.advice
		}
		columns, more := of.add(r, at)
		if columns != nil {
			s.counts.lacksColumn(wording.File(r.Subject.File), columns, r.Rule)
		}
		for _, c := range r.Subject.Clubs {
			if st := f.of(c); more && r.Subject.Kind == ast.OfClub && !r.Rule.Decl.Advice {
				st.waits = true
			}
		}
		if c.depth != Full {
			return
		}
	}
	switch {
	case r.Waiver != nil:
		to = secExempt
	case r.Verdict >= decide.Pass:
		if to = secShown; !c.passes {
			return
		}
	}
	one := finding(r, c.depth)
	if c.page {
		one = onPage(one, r, c.depth)
	} else if said := (ruleIn{r.Rule, to}); c.depth != Full && slices.Contains(f.said, said) && one.Title != "" {
		again(one, r.Rule)
	} else {
		f.said = lists.Also(f.said, said)
	}
	s.Tail = c.draw(s.Tail, one)
	s.endAt(to, at, int(r.Subject.Kind))
}

func (c *check) Conflict(s *Sheaf, k *judge.Conflict) {
	s.facts.conflicts++
	s.facts.note(k.Subject, torn)
	if c.page {
		s.facts.page.Conflict(k)
	}
	if c.depth != Line {
		s.facts.charts.Conflict(k)
	}
	f := &doc.Finding{Stamp: "CONFLICT", Tone: doc.Open, Title: picture.Headline(k.Rule),
		Text: wording.Subject(k.Subject) + ": " + wording.Conflict(k)}
	if c.depth != Line {
		f.Facts, f.Rule = placeFacts(k), &doc.Source{Place: wording.BookLine(k.Rule.Decl.Span)}
	}
	c.say(s, secConflicts, f)
}

// say draws a piece of a section; nothing where the drawing leaves it out.
func (c *check) say(s *Sheaf, to section, blocks ...doc.Block) { s.take(c.draw(s.Tail, blocks...), to) }

func (c *check) Close(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	if s.bag.File != "" {
		s.counts.sheets = lists.Also(s.counts.sheets, wording.File(s.bag.File))
	}
	if c.page {
		c.closePage(s, doubtful, refused)
		s.close()
		return
	}
	c.say(s, secOtherClub, orderLines(&s.bag.Order)...)
	for _, m := range data.Remarks(doubtful, refused, s.bag.Aside) {
		if m.Of < data.Mismatched {
			s.remark(m)
		}
	}
	for _, f := range s.facts.missing.lines() {
		c.say(s, secUnmeasured, f)
	}
	if rules := s.facts.advice.rules(); rules != "" {
		c.say(s, secAdviceUnmeasured, &doc.Finding{Stamp: "advice", Tone: doc.Open,
			Text: "not given, because measurements are missing: " + rules})
	}
	for _, f := range s.rest() {
		c.say(s, secRest, f)
	}
	charts := s.facts.charts.Blocks(c.depth == Full)
	s.counts.charts = s.counts.charts || charts != nil
	c.say(s, secCharts, charts...)
	if s.said() {
		c.say(s, secBag, doc.Gap{}, bagSection(s.bag))
	}
	s.close()
}

func (c *check) Add(from *Sheaf) error {
	c.add(&from.counts)
	return from.each(&c.remarks, func(p piece, text []byte) error {
		to := secBag
		if p.remark != nil {
			to = p.to
		}
		c.doc.add(to, text)
		return c.doc.Err()
	})
}

func (c *check) End(n *data.Totals) error {
	c.read, c.cuts = c.sheets, c.mends
	c.put(doc.Head{Title: c.name(), Right: c.head.On}, c.outcome(n.RowsRefused, n.Order))
	for _, of := range []section{secDoubtful, secBag, secRefused, secOrderRefused, secNotRead, secUnused} {
		c.doc.write(of, c)
		c.put(c.rows[of].rest()...)
	}
	if c.charts {
		c.put(doc.Gap{}, doc.Para{Level: 1, Text: stepsLegend})
	}
	return c.end(totals(c.totals(n)...)...)
}

// bagFacts are what is known of the set in hand.
type bagFacts struct {
	judged
	clubs           map[string]*standing
	pairs           map[string]decide.Verdict // the worst of each, by its clubs
	whole           decide.Verdict            // and of the set itself; 0 where no rule is about it
	missing, advice missing
	charts          picture.Charts
	said            []ruleIn // in the words of its book
	page            picture.Bag
}

// stepsLegend explains the signs of the charts.
const stepsLegend = "o passes or comes first, x fails, ? cannot be told; [---] is where the rule allows a club " +
	"beside the one before it; < and > are beyond the scale."

// ruleIn is a rule in a section of a bag.
type ruleIn struct {
	*book.Rule
	section
}

// standing is what came of a club.
type standing struct {
	own, pair decide.Verdict // the worst of its rules and of those about it and a neighbour; 0 where none is about it
	exempt    bool           // every rule of its own exempts it
	waits     bool           // a measurement is missing that the sheet has a column for
	some      bool           // a rule of its own could be judged
}

// of returns what came of a club.
func (f *bagFacts) of(c *club.Club) *standing {
	if f.clubs == nil {
		f.clubs = map[string]*standing{}
	}
	if f.clubs[c.ID] == nil {
		f.clubs[c.ID] = &standing{}
	}
	return f.clubs[c.ID]
}

// result takes notice of a result.
func (f *bagFacts) result(r *judge.Result) {
	verdict := min(r.Verdict, decide.Pass)
	if r.Waiver != nil {
		verdict = decide.Exempt
	}
	if r.Rule.Decl.Advice {
		f.advices++
		return
	}
	if r.Subject.Kind == ast.OfClub && len(r.Subject.Clubs) == 1 {
		c := f.of(r.Subject.Clubs[0])
		c.exempt = r.Verdict == decide.Exempt && (c.own == 0 || c.exempt)
	}
	f.note(r.Subject, verdict)
}

// note notes a verdict on a subject, torn where the books contradict themselves.
func (f *bagFacts) note(s judge.Subject, verdict decide.Verdict) {
	switch {
	case s.Kind == ast.OfClub && len(s.Clubs) == 1:
		c := f.of(s.Clubs[0])
		c.own, c.some = worst(c.own, verdict), c.some || verdict != decide.Unmeasured
	case s.Kind == ast.OfNeighbours:
		if f.pairs == nil {
			f.pairs = map[string]decide.Verdict{}
		}
		key := ""
		for _, one := range s.Clubs {
			key += one.ID + "\x00" + one.Setting + "\x00"
			c := f.of(one)
			c.pair = worst(c.pair, verdict)
		}
		f.pairs[key] = worst(f.pairs[key], verdict)
	default:
		f.whole = worst(f.whole, verdict)
	}
}

// worst is the worse of two verdicts, of which 0 is none and torn is worse than all but fail. What passes only by a
// waiver, Exempt, is worse than what passes.
func worst(a, b decide.Verdict) decide.Verdict {
	if a == torn || b == torn {
		if a == decide.Fail || b == decide.Fail {
			return decide.Fail
		}
		return torn
	}
	if min(a, b) == decide.Pass {
		return max(a, b)
	}
	return decide.Worse(a, b)
}

// passes reports whether a verdict is one that passes, by a waiver or without.
func passes(v decide.Verdict) bool { return v == decide.Pass || v == decide.Exempt }

// passing is the name of a club that passes, with what is to be said of that.
func (st *standing) passing(name string) string {
	switch alone := st.pair != 0 && !passes(st.pair); {
	case alone && st.exempt:
		return name + " (by itself, exempt)"
	case alone:
		return name + " (by itself)"
	case st.exempt:
		return name + " (exempt)"
	}
	return name
}

// rest counts the clubs of the set in hand, and gives a line for all that passes.
func (s *Sheaf) rest() (out []*doc.Finding) {
	many := map[string]int{}
	for _, c := range s.bag.Clubs {
		many[c.Spoken()]++
	}
	name := func(c *club.Club) string { // with the id where several have one name
		if many[c.Spoken()] > 1 {
			return doc.Glued(wording.Called(c))
		}
		return doc.Glued(wording.Visible(c.Spoken()))
	}
	var passing, none []string
	partly := map[bool][]string{}       // by whether anything could be judged
	own, came := false, &s.facts.judged // whether a club meets a rule of its own
	for _, c := range s.bag.Clubs {
		st := s.facts.of(c)
		came.tallies[0][st.own]++
		own = own || st.own != 0
		switch {
		case passes(st.own):
			passing = append(passing, st.passing(name(c)))
		case st.own == decide.Unmeasured && !st.waits:
			partly[st.some] = append(partly[st.some], name(c))
		case st.own == 0 && st.pair == 0:
			none = append(none, name(c))
		}
	}
	var pairs, whole string
	for _, v := range s.facts.pairs {
		came.tallies[1][v]++
	}
	if n := came.tallies[1][decide.Pass] + came.tallies[1][decide.Exempt]; n > 0 {
		pairs = wording.Counted(n, "pair", "pairs")
	}
	if passes(s.facts.whole) {
		whole = "the set"
	}
	came.tallies[2][s.facts.whole]++
	s.counts.judged.add(came)
	line := func(stamp string, tone doc.Tone, text, more string) {
		if text != "" {
			out = append(out, &doc.Finding{Tone: tone, Stamp: stamp, Text: text + more})
		}
	}
	const lacks = "columns are missing, see below"
	line("MISSING", doc.Open, strings.Join(partly[false], ", "), ": "+lacks)
	line("passes", doc.Pass, wording.Join("; ", strings.Join(passing, ", "), pairs, whole), "")
	line("in part", doc.Open, strings.Join(partly[true], ", "), ": what could be judged passes; "+lacks)
	if own {
		line("no rule", doc.Plain, strings.Join(none, ", "), "")
	}
	return out
}

// said reports whether anything is said of the set in hand but of its rows.
func (s *Sheaf) said() bool {
	return slices.ContainsFunc(s.pieces[s.first:], func(p piece) bool { return p.remark == nil })
}

// bagName names a bag: its set, else its sheet.
func bagName(set, file string) string { return cmp.Or(wording.Visible(set), wording.File(file)) }

// without is what a sheet has no columns for, and the rules that wait for them.
type without struct {
	sheet   string
	columns []string
	rules   []*book.Rule
}

// lacksColumn notes that a rule cannot be judged as a sheet has no columns for what it needs.
func (n *counts) lacksColumn(sheet string, columns []string, r *book.Rule) {
	i := slices.IndexFunc(n.without, func(w without) bool { return w.sheet == sheet })
	if i < 0 {
		i = len(n.without)
		n.without = append(n.without, without{sheet: sheet})
	}
	w := &n.without[i]
	w.columns, w.rules = lists.Also(w.columns, columns...), lists.Also(w.rules, r)
}
