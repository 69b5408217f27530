package report

// This file is the view of plans of clubs that are to be built.

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Builds writes cutting plans.
type Builds = Plans[*build.Plan]

// builds are those for a reader.
type builds struct {
	paper
	o Options
	data.Notes

	clubs, short, out, lacking, swapped int
	failing, open, later                int // results of rules
}

// NewBuilds returns a writer of plans. The rules judged, if any, are those of the books.
func NewBuilds(w io.Writer, books []*book.Book, on string, o Options) Builds {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.NewBuilds(w, o.Format, o.Tool, books, on)
	}
	var names []string
	for _, k := range books {
		names = append(names, wording.Visible(k.Name))
	}
	p.put(doc.Head{Title: "Cutting plan", Right: "by " + list(names) + ", " + on})
	return &builds{paper: p, o: o}
}

func (b *builds) Add(p *build.Plan, doubtful []club.Doubt) {
	b.Note(p.Set, doubtful)
	for i := range p.Clubs {
		b.count(&p.Clubs[i])
	}
	b.swapped += len(p.Swaps)
	for _, r := range p.Results {
		if r.Rule.Decl.Advice {
			continue
		}
		if r.Verdict == decide.Fail {
			b.failing++
		} else {
			b.open++
		}
	}
	for _, r := range p.Later {
		if !r.Rule.Decl.Advice {
			b.later++
		}
	}
	if len(p.Clubs) > 0 {
		b.put(b.set(p)...)
	}
}

func (b *builds) count(k *build.Club) {
	b.clubs++
	switch {
	case k.Short():
		b.short++
	case !k.ButtCut.Known():
		b.lacking++
	}
	if k.Dry != nil && k.Dry.Fit == build.Out {
		b.out++
	}
}

// set is the plan of a set: what is wrong first, then each club.
func (b *builds) set(p *build.Plan) []doc.Block {
	out := []doc.Block{bagSection(p.Set)}
	for _, s := range p.Swaps {
		out = append(out, swapped(&s))
	}
	if b.o.Depth == Line {
		out = append(out, buildTable(p.Clubs))
	} else {
		for i := range p.Clubs {
			out = append(out, b.club(&p.Clubs[i])...)
		}
	}
	return append(append(out, doc.Gap{}), findings(p)...)
}

// buildTable is a line for each club.
func buildTable(clubs []build.Club) *doc.Table {
	table := &doc.Table{Level: 1, Heads: []string{"shaft", "head", "1 off tip", "2 off butt", "finished", "swing",
		"dry fit"}}
	said := func(a unit.Amount) string {
		if a.Known() {
			return a.String()
		}
		return "-"
	}
	for i := range clubs {
		k := &clubs[i]
		butt, dry := said(k.ButtCut), "-"
		if k.Short() {
			butt = "SHORT " + k.ShortBy.String()
		}
		if k.Dry != nil {
			dry = k.Dry.Fit.String()
		}
		table.Rows = append(table.Rows, doc.Row{Cells: []string{wording.Visible(k.Shaft), wording.Called(k.Club),
			said(k.TipTrim), butt, said(k.Finished),
			said(k.Swing.Weight), dry}})
	}
	return table
}

// swapped names shafts that are in one another's heads.
func swapped(s *build.Swap) doc.Facts {
	var moves []string
	for i := range s.Shafts {
		moves = append(moves, fmt.Sprintf("shaft %s, cut for %s, in %s", wording.Visible(s.Shafts[i]),
			wording.Visible(s.Heads[i]), wording.Visible(s.Found[i])))
	}
	return doc.Facts{Level: 1, List: []doc.Fact{
		{Label: "SWAPPED", Note: strings.Join(moves, "; ")},
		{Label: "how sure", Note: probably(s.Probability) +
			": the readings of the dry fit, as they are and with shafts exchanged, beside what the plan makes them, and " +
			"beside clubs cut or read wrong one by one. Put each shaft where it belongs and read again before you glue"},
	}}
}

// probably is a probability near 1 that is never said to be 1.
func probably(p float64) string {
	return strconv.FormatFloat(math.Min(math.Floor(p*1000)/10, 99.9), 'f', 1, 64) + " %"
}

// club is the plan of one club.
func (b *builds) club(k *build.Club) []doc.Block {
	subject := doc.Subject{Name: "shaft " + wording.Visible(k.Shaft) + " into " + wording.Called(k.Club),
		Place: "no target", Level: 1}
	if k.Unmarked {
		subject.Name = wording.Called(k.Club) + ", shaft not marked: mark it " + wording.Visible(k.Shaft)
	}
	if k.Target.Known() {
		subject.Place = "to " + k.Target.Written() + " by " + k.By
	}
	out := []doc.Block{subject, doc.Facts{Level: 2, List: work(k)}}
	if !b.o.full() {
		return out
	}
	if sum := cutSum(k); sum != nil {
		out = append(out, doc.Gap{}, doc.Subject{Name: "the cut", Level: 2}, doc.Facts{Level: 3, List: sum})
	}
	if table := budgetTable(2, "how sure the length is", k.Expected.Budget); table != nil {
		out = append(out, doc.Gap{}, table)
	}
	if d := k.Dry; d != nil && b.o.Depth == Full {
		if table := budgetTable(2, "the dry fit less the plan", d.Budget); table != nil {
			out = append(out, doc.Gap{}, table)
		}
	}
	return out
}

// work is the plan of one club, in the order of the work.
func work(k *build.Club) []doc.Fact {
	var e []doc.Fact
	add := func(label, amount, note string) { e = append(e, doc.Fact{Label: label, Amount: amount, Note: note}) }
	switch {
	case k.TipTrim.Known() && k.TipTrim.Base > 0:
		add("1 tip", k.TipTrim.Written(), "off the tip, before anything else")
	case k.TipTrim.Known():
		add("1 tip", "no trim", "")
	}
	switch {
	case k.Short():
		by, limit := wording.Beside(k.ShortBy, k.Limit)
		words := "by " + by + " (" + metric(k.ShortBy) + ")"
		switch {
		case k.Extension.Known():
			words += "; an extension of so much is within the " + limit + " that the book allows: nothing comes off"
		case k.Limit.Known():
			words += ", more than the extension of " + limit + " that the book allows: cut nothing, take a longer shaft"
		default:
			words += ", and no book allows an extension: cut nothing, take a longer shaft"
		}
		add("2 butt", "TOO SHORT", words)
	case k.ButtCut.Known() && k.ButtCut.Base == 0:
		add("2 butt", "no cut", "the shaft is as long as it has to be")
	case k.ButtCut.Known():
		add("2 butt", k.ButtCut.String(), metric(k.ButtCut)+" off the butt, in one piece left over")
	}
	if k.Finished.Known() {
		note := metric(k.Finished) + " from the trimmed tip to the cut: measure this before you cut"
		if k.Short() || !k.ButtCut.Known() || k.ButtCut.Base == 0 {
			note = metric(k.Finished) + " from the trimmed tip"
		}
		add("finished", k.Finished.String(), note)
	}
	if k.Expected.Value.Known() {
		note := spread(k.Expected.Expanded) + " by " + k.By
		if k.Short() {
			note += ", the whole shaft without an extension"
		}
		add("plays", k.Expected.Value.String(), note)
	}
	if w := k.Swing.Weight; w.Known() {
		note := swingWords(&k.Swing)
		if k.Short() {
			note += "; the whole shaft without an extension"
		}
		add("swing", w.String(), note)
	}
	if d := k.Dry; d != nil {
		e = append(e, dryWords(d)...)
	}
	if len(wording.Reasons(k.Lacks)) > 0 {
		add("lacking", "", wording.Visible(wording.JoinReasons(k.Lacks)))
	}
	return e
}

// dryWords tell a dry fit.
func dryWords(d *build.DryFit) []doc.Fact {
	if d.Fit == build.Unmeasured {
		return []doc.Fact{{Label: "dry fit", Amount: "unmeasured", Note: wording.Visible(wording.JoinReasons(d.Lacks))}}
	}
	off, within := signed(d.Difference, d.Expanded)
	read := fmt.Sprintf("reads %s by %s, planned %s", d.Reading.Written(), d.By, d.Expected)
	if d.Fit == build.Out {
		return []doc.Fact{{Label: "dry fit", Amount: "OUT",
			Note: "by " + off + " " + within + ": " + read + "; do not glue"}}
	}
	return []doc.Fact{{Label: "dry fit", Amount: "as planned", Note: read + ", difference " + off + " " + within}}
}

// swingWords say what brings a swing weight to its target, and what it rests on.
func swingWords(s *build.Swing) string {
	var words []string
	if s.AddToHead.Known() {
		g := s.AddToHead.Unit.FromBase(s.AddToHead.Base)
		switch n := strconv.FormatFloat(math.Abs(g), 'f', 1, 64) + " g"; {
		case n == "0.0 g":
			words = append(words, s.Target.String()+" is met")
		case g > 0:
			words = append(words, "add "+n+" to the head for "+s.Target.String())
		default:
			words = append(words, "the head is "+n+" too heavy for "+s.Target.String())
		}
	}
	if s.Butt != "" {
		words = append(words, "butt "+wording.Visible(s.Butt))
	}
	if s.Tip != "" {
		words = append(words, "tip "+wording.Visible(s.Tip))
	}
	return strings.Join(append(words, "without epoxy and ferrule"), "; ")
}

// metric is a length in millimetres.
func metric(a unit.Amount) string { return unit.Format(a.Base, unit.Lookup("mm")) }

// findings are what the rules of the books make of the plan.
func findings(p *build.Plan) (out []doc.Block) {
	for _, v := range []struct {
		words   string
		verdict decide.Verdict
	}{{"Fails on the plan", decide.Fail}, {"Too close on the plan", decide.TooClose},
		{"Not measured", decide.Unmeasured}} {
		var found []doc.Fact
		for _, r := range p.Results {
			if r.Verdict != v.verdict {
				continue
			}
			name := r.Rule.Decl.Name.Text
			if r.Rule.Decl.Advice {
				name += " (advice)"
			}
			words := string(wording.AppendMessage(nil, r))
			found = append(found, doc.Fact{Label: name,
				Note: words + " (" + wording.BookLine(r.Rule.Decl.Span, r.Rule.Book) + ")"})
		}
		out = append(out, factSection(toneOf(v.verdict), numbered(v.words, len(found)), found)...)
	}
	if len(p.Later) > 0 {
		out = append(out, doc.Para{Text: "Rules that the plan cannot answer, with the columns that they need: " +
			laterWords(p.Later) + ". Measure the finished clubs for them."}, doc.Gap{})
	}
	for _, c := range p.Conflicts {
		out = append(out, doc.Para{Text: wording.Conflict(c), Level: 1, Hang: 1}, doc.Gap{})
	}
	return out
}

// laterWords names the rules that wait for the finished clubs, each with the columns that it needs.
func laterWords(later []*judge.Result) string {
	var names []string
	needs := map[string][]string{}
	for _, r := range later {
		name := r.Rule.Decl.Name.Text
		if needs[name] == nil {
			names = append(names, name)
		}
		needs[name] = slices.Compact(slices.Sorted(slices.Values(append(needs[name], value.Needs(r.Lacks)...))))
	}
	for i, name := range names {
		names[i] = name + " (" + strings.Join(needs[name], ", ") + ")"
	}
	return list(names)
}

func (b *builds) End() error {
	b.put(rowSections(&b.Notes)...)
	entries := []doc.Fact{
		{Label: "rows", Note: rowTotals(b.clubs, len(b.Refused), b.Aside)},
		{Label: "shafts", Note: fmt.Sprintf("%d to cut, %d too short, %d not measured", b.clubs-b.short-b.lacking,
			b.short, b.lacking)},
	}
	if b.out+b.swapped > 0 {
		entries = append(entries, doc.Fact{Label: "dry fit",
			Note: fmt.Sprintf("%s out, %s", wording.Counted(b.out, "club", "clubs"),
				wording.Counted(b.swapped, "swap", "swaps"))})
	}
	if b.failing+b.open+b.later > 0 {
		entries = append(entries, doc.Fact{Label: "rules",
			Note: fmt.Sprintf("%s on the plan, %d not measured or too close, %d without a column that they need",
				wording.Counted(b.failing, "fails", "fail"), b.open, b.later)})
	}
	entries = append(entries,
		doc.Fact{Label: "bore", Note: groundToTip},
		doc.Fact{Label: "+/-", Note: "expanded uncertainty at 95 %: of a cap and a crown not yet fitted, of the head's shape and of the lie; the cut itself counts as exact"})
	b.put(append(append(totals(entries...), doc.Gap{}), cautions()...)...)
	return b.end()
}
