package picture

// This file makes the table of the clubs of a bag, what there is to do about them, and what else its page needs.

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// These bound what is kept of a set; a set with more is not a bag.
const (
	mostClubs = 400
	mostCells = 10 * mostClubs
)

// Bag gathers what a page says of a bag, result by result. The zero value is one of which nothing was told yet.
type Bag struct {
	Rules []*book.Rule // something fails them, or is too close to them
	Cuts  bool         // something asks for work with a saw, epoxy or heat

	cells  map[place]*cell
	heads  []string      // properties as they were met
	whole  []doc.ClubRow // what is said of the whole set
	tasks  []task
	routes []route
}

// place is where a cell is: the id of its club and its property.
type place struct{ id, property string }

// cell is a measurement of a club and what the rules said of it.
type cell struct {
	text     string
	by       []string       // and by other methods
	own, gap decide.Verdict // the worst of its own rules and of those about a neighbour; 0 for none
	advised  bool
	lacking  bool // it is missing
	waived   bool // a verdict on it was lifted
}

// task is something to do, and when in the order of the work.
type task struct {
	order int
	text  string
}

// route is a club whose length was brought to another method.
type route struct {
	club     *club.Club
	from, to string
	verdict  decide.Verdict
}

// Result takes notice of a result.
func (b *Bag) Result(r *judge.Result) {
	if r.Verdict < decide.Unmeasured {
		b.Rules = lists.Also(b.Rules, r.Rule)
		b.work(r)
	}
	if r.Subject.Kind == ast.OfSet {
		if len(b.whole) < mostClubs {
			b.whole = append(b.whole, wholeRow(r))
		}
		return
	}
	b.convert(r)
	about := b.read(r, r.Steps, false)
	if cells, ok := b.judged(r.Rule, r.Subject); ok {
		about = cells
	}
	for _, k := range about {
		k.judge(r.Rule, r.Subject, r.Verdict)
		k.waived = k.waived || r.Waiver != nil
	}
}

// Conflict takes notice of what the books contradict themselves about, so that no cell of it passes.
func (b *Bag) Conflict(k *judge.Conflict) {
	cells, _ := b.judged(k.Rule, k.Subject)
	for _, one := range cells {
		one.judge(k.Rule, k.Subject, decide.Unmeasured)
	}
}

// judged are the cells that a rule about one property judges; false of any other rule.
func (b *Bag) judged(r *book.Rule, s judge.Subject) (cells []*cell, ok bool) {
	f, ok := r.Value.Form()
	if !ok {
		return nil, false
	}
	for _, c := range s.Clubs {
		if k := b.cell(c.ID, f.Property.Name); k != nil {
			cells = append(cells, k)
		}
	}
	return cells, true
}

// judge notes what a rule says of the cell.
func (k *cell) judge(r *book.Rule, s judge.Subject, v decide.Verdict) {
	switch {
	case r.Decl.Advice:
		k.advised = k.advised || v < decide.Pass
	case s.Kind == ast.OfNeighbours:
		k.gap = decide.Worse(k.gap, v)
	default:
		k.own = decide.Worse(k.own, v)
	}
}

// read takes in the readings of steps. It returns the cells of the subject; not those of steps behind an exception.
func (b *Bag) read(r *judge.Result, steps []eval.Step, excepts bool) (about []*cell) {
	for _, s := range steps {
		switch s.What {
		case eval.StepReading, eval.StepMean, eval.StepMissing, eval.StepDefault:
			k := b.cell(s.Club, s.Name)
			if k == nil {
				continue
			}
			if s.What == eval.StepMissing {
				k.lacking = true
				if other := b.cell(s.Club, s.Lack.Property); other != nil && s.Lack.Kind == value.NoReading {
					other.lacking = true // of a conversion
				}
			} else {
				k.text = asRead(r, s)
			}
			if !excepts && slices.ContainsFunc(r.Subject.Clubs, func(c *club.Club) bool { return c.ID == s.Club }) {
				about = append(about, k)
			}
		default:
			about = append(about, b.read(r, s.Sub, excepts || s.What == eval.StepException)...)
		}
	}
	return about
}

// cell is that of a club's property; nil of one beyond those of a bag.
func (b *Bag) cell(id, property string) *cell {
	k := b.cells[place{id, property}]
	if k == nil && len(b.cells) < mostCells {
		if b.cells == nil {
			b.cells = map[place]*cell{}
		}
		k = &cell{}
		b.cells[place{strings.Clone(id), property}] = k
		b.heads = lists.Also(b.heads, property)
	}
	return k
}

// asRead is what was read, with how far it may be off where that is known.
func asRead(r *judge.Result, s eval.Step) string {
	text := wording.StepAmount(r, s)
	switch {
	case s.Half.Known():
		text = s.Half.Unit.Bare(text) + " ± " + s.Half.Written()
	case s.U.Known() && s.U.Base > 0:
		u := s.U
		u.Base *= 2
		text = u.Unit.Bare(text) + " ± " + wording.Rounded(u, math.Ceil)
	}
	if s.Method != "" {
		text += " by " + wording.Visible(s.Method)
	}
	return text
}

// convert notes a length that was brought to another method.
func (b *Bag) convert(r *judge.Result) {
	f, ok := r.Rule.Value.Form()
	if !ok || f.Method == nil || f.Property.ID != catalogue.LengthID || len(r.Subject.Clubs) != 1 || !r.Value.Known() {
		return
	}
	c, to := r.Subject.Clubs[0], f.Method.Decl.Name.Text
	k := b.cell(c.ID, f.Property.Name)
	if c.Method == to || k == nil || f.Set != nil {
		return
	}
	k.by = lists.Also(k.by, "= "+r.Figure(r.Value)+" by "+wording.Visible(to))
	if len(b.routes) < mostCells {
		b.routes = append(b.routes, route{c, c.Method, to, min(r.Verdict, decide.Pass)})
	}
}

// Converted takes notice of a club whose length was brought to a method.
func (b *Bag) Converted(c *club.Club, to string) {
	b.routes = append(b.routes, route{club: c, from: c.Method, to: to})
}

// wholeRow is what a rule says of the whole set.
func wholeRow(r *judge.Result) doc.ClubRow {
	k := doc.Cell{Tone: Tone(r.Verdict), Mark: marks[r.Verdict]}
	if r.Value.Known() {
		k.Text = r.Figure(r.Value)
	}
	if words, amount := wording.Limit(r); words != "" {
		k.More = "(" + words + " " + amount + ")"
	}
	if r.Rule.Decl.Advice && r.Verdict < decide.Pass {
		k.Tone, k.Mark = doc.Open, "advice"
	}
	return doc.ClubRow{Name: Title(r.Rule), Cells: []doc.Cell{k}}
}

// Title is what a rule says of itself, or its name.
func Title(r *book.Rule) string {
	if r.Decl.Title == nil {
		return r.Decl.Name.Text
	}
	return wording.Visible(r.Decl.Title.Value)
}

// Headline is what a rule says of itself, and its name: "Woods lie at 61 degrees at most [wood-lie]".
func Headline(r *book.Rule) string {
	name := "[" + r.Decl.Name.Text + "]"
	if r.Decl.Title == nil {
		return name
	}
	return wording.Visible(r.Decl.Title.Value) + "  " + name
}

var marks = [...]string{decide.Fail: "fails", decide.TooClose: "too close", decide.Unmeasured: "missing",
	decide.Pass: "passes", decide.Exempt: "exempt"}

// show is the cell as it is shown.
func (k *cell) show() doc.Cell {
	out := doc.Cell{Text: k.text, More: strings.Join(k.by, ", ")}
	worst := decide.Worse(k.own, k.gap)
	mark := marks[worst]
	if worst == decide.Unmeasured && k.text != "" {
		mark = "not judged"
	}
	if worst != k.own {
		mark = "step " + mark
	}
	switch {
	case k.text == "" && k.lacking:
		out.Tone, out.Mark = doc.Open, marks[decide.Unmeasured]
	case worst != 0 && worst < decide.Pass:
		out.Tone, out.Mark = Tone(worst), mark
	case k.waived:
		out.Tone, out.Mark = doc.Pass, "waived"
	case k.advised:
		out.Tone, out.Mark = doc.Open, "advice"
	case worst != 0:
		out.Tone, out.Mark = doc.Pass, marks[worst]
	}
	return out
}

// usual are the columns that come first, in their order.
var usual = []string{"length", "lie", "loft", "swingweight", "frequency", "mass", "balance"}

// Clubs is the table of the clubs of the bag.
func (b *Bag) Clubs(of *club.Set) *doc.Clubs {
	var heads []string
	for _, h := range b.heads {
		heads = lists.Also(heads, strings.TrimPrefix(h, ordered))
	}
	slices.SortStableFunc(heads, func(p, q string) int { return cmp.Compare(columnOf(p), columnOf(q)) })
	if len(b.routes) > 0 {
		heads = lists.Also(heads, "lie") // a conversion rests on it
	}
	heads = slices.DeleteFunc(heads, func(h string) bool {
		return !slices.ContainsFunc(of.Clubs, func(c *club.Club) bool { k := b.show(c, h); return k.Text+k.More != "" })
	})
	title := "The clubs of " + wording.Visible(of.File)
	if of.Name != "" {
		title = "The clubs of " + wording.Visible(of.Name) + ", " + wording.Visible(of.File)
	}
	out := &doc.Clubs{Title: title, Below: b.whole, Heads: lists.Each(heads, heading)}
	for i, c := range of.Clubs {
		if i == mostClubs {
			more := "and " + wording.Counted(len(of.Clubs)-i, "club", "clubs") + " more"
			out.Rows = append(out.Rows, doc.ClubRow{Name: more})
			break
		}
		cells := lists.Each(heads, func(h string) doc.Cell { return b.show(c, h) })
		out.Rows = append(out.Rows, doc.ClubRow{Name: wording.Called(c), Cells: cells})
	}
	return out
}

// columnOf is where the column of a property comes.
func columnOf(property string) int {
	if i := slices.Index(usual, property); i >= 0 {
		return i
	}
	return len(usual)
}

// heading is the name of a property as a person says it.
func heading(property string) string {
	name := strings.ReplaceAll(wording.Visible(property), "-", " ")
	if property == "swingweight" {
		name = "swing weight"
	}
	first, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(first)) + name[size:]
}

// known are the properties that are shown of clubs that no rule is about, too.
var known = map[string]struct {
	id  catalogue.ID
	dim unit.Dim
}{"length": {catalogue.LengthID, unit.Length}, "lie": {catalogue.Lie, unit.Angle}, "loft": {catalogue.Loft, unit.Angle}}

// ordered begins the name of a property on the order, which is shown with that of the club.
const ordered = "ordered "

// show is the cell of a club, with what was ordered.
func (b *Bag) show(c *club.Club, property string) doc.Cell {
	out := b.built(c, property)
	if k := b.cells[place{c.ID, ordered + property}]; k != nil && k.text != "" {
		out.More = strings.TrimSpace(out.More + " (" + ordered + k.text + ")")
	}
	return out
}

// built is the cell of a club without what was ordered. What was read is shown where it could not be used, too.
func (b *Bag) built(c *club.Club, property string) doc.Cell {
	text := ""
	p, ok := known[property]
	if n, has := c.Amount(p.id); ok && has {
		a := unit.Amount{Base: n, Unit: unit.Base(p.dim)}
		if p.id == catalogue.LengthID {
			a.Unit, text = c.LengthUnit(), wording.Visible(c.Method)
		}
		text = wording.Join(" by ", cmp.Or(wording.Visible(c.Reading(p.id).Read), a.Written()), text)
	}
	k := b.cells[place{c.ID, property}]
	if k == nil {
		return doc.Cell{Text: text}
	}
	k.text = cmp.Or(k.text, text)
	return k.show()
}

// The order of the work: measure first, for that may be all; then what is left at home, bending, cutting, and weights,
// which every cut changes.
const (
	toMeasure = iota
	toLeave
	toBend
	toCut
	toWeigh
	toDo
)

// work notes what a result asks for.
func (b *Bag) work(r *judge.Result) {
	if r.Rule.Decl.Advice || len(b.tasks) >= mostClubs {
		return
	}
	about := wording.Subject(r.Subject) + ": "
	switch r.Verdict {
	case decide.TooClose:
		b.tasks = append(b.tasks, task{toMeasure, about + cmp.Or(wording.Settled(r), "Measure again.")})
	case decide.Fail:
		text := wording.Visible(r.SpokenMend)
		b.Cuts = b.Cuts || cuts(text)
		if about += text; text == "" {
			about = wording.Line(r) + "."
		}
		b.tasks = append(b.tasks, task{orderOf(r.Rule), about})
	}
}

// orderOf is when the mend of a rule comes in the order of the work.
func orderOf(r *book.Rule) int {
	f, ok := r.Value.Form()
	switch {
	case r.Subject == ast.OfSet && !ok:
		return toLeave
	case !ok:
		return toDo
	}
	switch f.Property.Sort {
	case catalogue.Angle:
		return toBend
	case catalogue.Length, catalogue.Frequency:
		return toCut
	case catalogue.SwingWeight, catalogue.Mass, catalogue.Moment, catalogue.Inertia:
		return toWeigh
	}
	return toDo
}

// cuts reports whether a mend asks for work on a shaft, with a saw, epoxy or heat.
func cuts(mend string) bool {
	mend = strings.ReplaceAll(strings.ToLower(mend), "sand wedge", "")
	words := []string{"cut", "trim", "butt", "tip", "shaft", "extend", "epoxy", "sand ", "heat", "saw"}
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(mend, word) })
}

// Work is what there is to do about the bag, in its order; what is missing has to be measured first. It is false where
// there is nothing.
func (b *Bag) Work(missing []string) (doc.Work, bool) {
	slices.SortStableFunc(b.tasks, func(p, q task) int { return cmp.Compare(p.order, q.order) })
	steps := slices.Concat(missing, lists.Each(b.tasks, func(t task) string { return t.text }))
	return doc.Work{Title: "What it takes, in order", Steps: steps}, steps != nil
}

// Taken are pictures of how the lengths of the bag were taken: of a length that was brought to another method the two
// beside each other, and each other method once.
func (b *Bag) Taken(of *club.Set, h *Holder) (out []doc.Block) {
	var drawn []string
	add := func(c *club.Club, by string) {
		if slices.Contains(drawn, by) {
			return
		}
		if t := h.Taken(c, by); t != nil {
			out, drawn = append(out, t), append(drawn, by)
		}
	}
	slices.SortStableFunc(b.routes, func(p, q route) int { return cmp.Compare(p.verdict, q.verdict) })
	for _, r := range b.routes {
		add(r.club, r.from)
		add(r.club, r.to)
	}
	for _, c := range of.Clubs {
		if c.Method != "" {
			add(c, c.Method)
		}
	}
	return out
}
