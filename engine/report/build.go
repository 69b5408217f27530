package report

// This file writes the plans of clubs that are to be built: a block a club for the bench, or
// for other programs the schema "ferrule.build/1".

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Builds writes plans set by set as they come. Add is called for each set, End once after
// all.
type Builds struct {
	w     *bufio.Writer
	o     Options
	json  bool
	begun bool
	rowNotes
	swaps jsonList
	rules jsonList

	clubs, short, out, lacking, swapped int
	failing, open, later                int // results of rules
}

// NewBuilds returns a writer of plans, for another program where json is set. The rules
// judged, if any, are those of the books.
func NewBuilds(w io.Writer, json bool, books []*book.Book, on string, o Options) *Builds {
	b := &Builds{w: bufio.NewWriter(w), o: o, json: json}
	if json {
		b.w.WriteString("{\n  \"schema\": \"ferrule.build/1\",\n  \"books\": ")
		b.element(booksOf(&Head{Books: books}))
		b.w.WriteString(",\n  \"on\": ")
		b.element(on)
		b.w.WriteString(",\n  \"results\": [")
		return b
	}
	var names []string
	for _, k := range books {
		names = append(names, Visible(k.Name))
	}
	b.w.WriteString(ends("Cutting plan", "by "+list(names)+", "+on) + "\n")
	return b
}

func (b *Builds) element(v any) {
	line := appendJSON(nil, v)
	b.w.Write(line[:len(line)-1])
}

// Add writes the plan of a set.
func (b *Builds) Add(p *build.Plan, doubtful []club.Doubt) {
	b.note(p.Set, doubtful)
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
	if b.json {
		b.addJSON(p)
	} else if len(p.Clubs) > 0 {
		b.addText(p)
	}
}

func (b *Builds) count(k *build.Club) {
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

// addText writes a set for the bench: what is wrong first, then a block a club.
func (b *Builds) addText(p *build.Plan) {
	b.w.WriteString(ends(bagName(p.Set.Name, p.Set.File), sheetName(p.Set.Name, p.Set.File)))
	for _, s := range p.Swaps {
		b.w.WriteString(swapText(&s))
	}
	if b.o.Depth == Line {
		b.w.WriteString(table(2, buildLines(p.Clubs)))
	} else {
		for i := range p.Clubs {
			b.w.WriteString(b.block(&p.Clubs[i]))
		}
	}
	b.w.WriteByte('\n')
	b.findings(p)
}

// buildLines is a line for each club.
func buildLines(clubs []build.Club) [][]string {
	rows := [][]string{{"shaft", "head", "1 off tip", "2 off butt", "finished", "swing", "dry fit"}}
	said := func(a engine.Amount) string {
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
		rows = append(rows, []string{Visible(k.Shaft), Visible(k.Club.ID), said(k.TipTrim), butt, said(k.Finished),
			said(k.Swing.Weight), dry})
	}
	return rows
}

// swapText names shafts that stand in one another's heads.
func swapText(s *build.Swap) string {
	var moves []string
	for i := range s.Shafts {
		moves = append(moves, fmt.Sprintf("shaft %s, cut for %s, in %s", Visible(s.Shafts[i]), Visible(s.Heads[i]), Visible(s.Found[i])))
	}
	return block(2, []entry{
		{label: "SWAPPED", note: strings.Join(moves, "; ")},
		{label: "how sure", note: probably(s.Probability) + ": the readings of the dry fit, as they are and with shafts exchanged, beside what the plan makes them, and beside clubs cut or read wrong one by one. Put each shaft where it belongs and read again before you glue"},
	})
}

// probably is a probability near 1 that is never said to be 1.
func probably(p float64) string {
	return strconv.FormatFloat(math.Min(math.Floor(p*1000)/10, 99.9), 'f', 1, 64) + " %"
}

// block is the plan of one club.
func (b *Builds) block(k *build.Club) string {
	c := k.Club
	left := "  shaft " + Visible(k.Shaft) + " into " + clubName(c)
	if k.Unmarked {
		left = "  " + clubName(c) + ", shaft not marked: mark it " + Visible(k.Shaft)
	}
	right := "no target"
	if k.Target.Known() {
		right = "to " + k.Target.Written() + " by " + k.By
	}
	text := ends(left, right) + block(4, entries(k))
	if b.o.Depth != Steps && b.o.Depth != Full {
		return text
	}
	text += cutSum(k)
	if len(k.Expected.Budget) > 0 {
		text += "\n    how sure the length is\n" + budgetTable(6, k.Expected.Budget)
	}
	if d := k.Dry; d != nil && len(d.Budget) > 0 && b.o.Depth == Full {
		text += "\n    the dry fit less the plan\n" + budgetTable(6, d.Budget)
	}
	return text
}

// entries are the lines of the plan of one club, in the order of the work.
func entries(k *build.Club) []entry {
	var e []entry
	add := func(label, amount, note string) { e = append(e, entry{label: label, amount: amount, note: note}) }
	switch {
	case k.TipTrim.Known() && k.TipTrim.Base > 0:
		add("1 tip", k.TipTrim.Written(), "off the tip, before anything else")
	case k.TipTrim.Known():
		add("1 tip", "no trim", "")
	}
	switch {
	case k.Short():
		by, limit := beside(k.ShortBy, k.Limit)
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
	if len(k.Reasons) > 0 {
		add("lacking", "", reasonsOf(k.Reasons))
	}
	return e
}

// dryWords tell a dry fit.
func dryWords(d *build.DryFit) []entry {
	if d.Fit == build.Unmeasured {
		return []entry{{label: "dry fit", amount: "unmeasured", note: reasonsOf(d.Reasons)}}
	}
	off, within := signed(d.Difference, d.Expanded)
	read := fmt.Sprintf("reads %s by %s, planned %s", d.Reading.Written(), d.By, d.Expected)
	if d.Fit == build.Out {
		return []entry{{label: "dry fit", amount: "OUT", note: "by " + off + " " + within + ": " + read + "; do not glue"}}
	}
	return []entry{{label: "dry fit", amount: "as planned", note: read + ", difference " + off + " " + within}}
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
		words = append(words, "butt "+Visible(s.Butt))
	}
	if s.Tip != "" {
		words = append(words, "tip "+Visible(s.Tip))
	}
	return strings.Join(append(words, "without epoxy and ferrule"), "; ")
}

// metric is a length in millimetres.
func metric(a engine.Amount) string { return unit.Format(a.Base, unit.Lookup("mm")) }

// findings writes what the rules of the books make of the plan.
func (b *Builds) findings(p *build.Plan) {
	for _, v := range []struct {
		words   string
		verdict decide.Verdict
	}{{"FAILS ON THE PLAN", decide.Fail}, {"TOO CLOSE ON THE PLAN", decide.TooClose}, {"NOT MEASURED", decide.Unmeasured}} {
		var found []entry
		for _, r := range p.Results {
			if r.Verdict != v.verdict {
				continue
			}
			name := r.Rule.Decl.Name.Text
			if r.Rule.Decl.Advice {
				name += " (advice)"
			}
			words := string(appendMessage(nil, r))
			found = append(found, entry{label: name, note: words + " (" + bookLine(r.Rule.Decl.Span, r.Rule.Book) + ")"})
		}
		if len(found) > 0 {
			b.w.WriteString(b.o.title(v.verdict, fmt.Sprintf("%s: %d", v.words, len(found))) + block(2, found) + "\n")
		}
	}
	if len(p.Later) > 0 {
		var names []string
		needs := map[string][]string{}
		for _, r := range p.Later {
			name := r.Rule.Decl.Name.Text
			if needs[name] == nil {
				names = append(names, name)
			}
			needs[name] = slices.Compact(slices.Sorted(slices.Values(append(needs[name], r.Needs...))))
		}
		for i, name := range names {
			names[i] = name + " (" + strings.Join(needs[name], ", ") + ")"
		}
		b.w.WriteString(wrap("Rules that the plan cannot answer, with the columns that they need: "+list(names)+". Measure the finished clubs for them.", 0, 0) + "\n")
	}
	for _, c := range p.Conflicts {
		b.w.WriteString(wrap(Conflict(c), 2, 4) + "\n")
	}
}

// End writes the refused rows, what was found in all sets and, for the bench, the totals.
func (b *Builds) End() error {
	if b.json {
		b.w.WriteString("\n  ],\n  \"swaps\": " + listed(&b.swaps) + ",\n  \"rules\": " + listed(&b.rules) + b.members())
		return b.w.Flush()
	}
	b.w.WriteString(b.text(b.o))
	entries := []entry{
		{label: "rows", note: rowTotals(b.clubs, len(b.refused))},
		{label: "shafts", note: fmt.Sprintf("%d to cut, %d too short, %d not measured", b.clubs-b.short-b.lacking, b.short, b.lacking)},
	}
	if b.out+b.swapped > 0 {
		entries = append(entries, entry{label: "dry fit", note: fmt.Sprintf("%s out, %s", counted(b.out, "club", "clubs"), counted(b.swapped, "swap", "swaps"))})
	}
	if b.failing+b.open+b.later > 0 {
		entries = append(entries, entry{label: "rules", note: fmt.Sprintf("%s on the plan, %d not measured or too close, %d without a column that they need", counted(b.failing, "fails", "fail"), b.open, b.later)})
	}
	entries = append(entries,
		entry{label: "bore", note: groundToTip},
		entry{label: "+/-", note: "expanded uncertainty at 95 %: of a cap and a crown not yet fitted, of the head's shape and of the lie; the cut itself counts as exact"})
	b.w.WriteString("TOTALS\n\n" + block(2, entries) + "\n" + cautionList())
	return b.w.Flush()
}
