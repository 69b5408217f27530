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
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Builds writes cutting plans.
type Builds = Plans[*build.Plan]

// builds are those for a reader.
type builds struct {
	paper
	head doc.Head
	data.Notes

	clubs, short, out, lacking, swapped int
	failing, open                       int // results of rules
}

// NewBuilds returns a writer of plans. The rules judged, if any, are those of the books.
func NewBuilds(w io.Writer, head *data.Head, o Options) Builds {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.NewBuilds(w, o.Format, o.Tool, head)
	}
	if o.Depth == Usual { // a page is to be taken to the saw
		p.depth = Line
	}
	names := lists.Each(head.Books, func(k *book.Book) string { return wording.Visible(k.Name) })
	top := doc.Head{Title: "Cutting plan", Right: "by " + list(names) + ", " + head.On}
	return &builds{paper: p, head: top}
}

func (b *builds) Add(p *build.Plan, doubtful []club.Doubt) {
	b.Note(p.Set, doubtful)
	b.clubs, b.swapped = b.clubs+len(p.Clubs), b.swapped+len(p.Swaps)
	b.short += counted(p.Clubs, (*build.Club).Short)
	b.lacking += counted(p.Clubs, func(k *build.Club) bool { return !k.Short() && !k.ButtCut.Known() })
	b.out += counted(p.Clubs, func(k *build.Club) bool { return k.Dry != nil && k.Dry.Fit == build.Out })
	for _, r := range p.Results {
		switch {
		case r.Rule.Decl.Advice:
		case r.Verdict == decide.Fail:
			b.failing++
		default:
			b.open++
		}
	}
	if len(p.Clubs) > 0 {
		b.later(b.set(p)...)
	} else {
		b.absent(p.Set)
	}
}

// set is the plan of a set: the cuts, a line a club, then what is wrong and what to do besides.
func (b *builds) set(p *build.Plan) []doc.Block {
	out := bagHead(p.Set)
	for _, s := range p.Swaps {
		out = append(out, swapped(&s))
	}
	plays, by := "plays", p.Clubs[0].By
	mixed := slices.ContainsFunc(p.Clubs, func(k build.Club) bool { return k.By != by })
	if !mixed {
		plays = wording.Join(" by ", plays, by)
	}
	table := &doc.Table{Level: 1, Heads: []string{"shaft", "head", "1 off tip", "2 off butt", "finished", plays}}
	said := func(a unit.Amount) string {
		if a.Known() {
			return a.String()
		}
		return "-"
	}
	for i := range p.Clubs {
		k := &p.Clubs[i]
		tip, butt := said(k.TipTrim), said(k.ButtCut)
		if k.Short() {
			butt = "TOO SHORT"
		}
		if !k.ButtCut.Known() {
			tip = "not yet"
		}
		plays := said(k.Expected.Value)
		if mixed && k.Expected.Value.Known() {
			plays += " by " + k.By
		}
		table.Rows = append(table.Rows, doc.Row{Cells: []string{wording.Visible(k.Shaft), wording.Called(k.Club),
			tip, butt, said(k.Finished), plays}})
	}
	if !b.page {
		out = append(out, table)
	}
	for i := range p.Clubs {
		if b.page {
			out = append(out, picture.Cutting(&p.Clubs[i]))
		}
		out = append(out, b.club(&p.Clubs[i])...)
	}
	return append(out, findings(p)...)
}

// swapped names shafts that are in one another's heads.
func swapped(s *build.Swap) *doc.Finding {
	var moves []string
	for i := range s.Shafts {
		moves = append(moves, fmt.Sprintf("shaft %s, cut for %s, is in %s", wording.Visible(s.Shafts[i]),
			wording.Called(s.Heads[i]), wording.Called(s.Found[i])))
	}
	return &doc.Finding{Stamp: "SWAPPED", Tone: doc.Fail,
		Text: strings.Join(moves, "; ") + ": " + share(s.Probability) + " sure",
		Next: "Put each shaft where it belongs and read again before you glue."}
}

// club is what is to be said of one club besides its cuts; in steps also the sum of the cut, in full how sure it is.
func (b *builds) club(k *build.Club) (out []doc.Block) {
	say := func(stamp string, tone doc.Tone, text string) {
		out = append(out, &doc.Finding{Stamp: stamp, Tone: tone, Text: wording.Called(k.Club) + ": " + text})
	}
	if k.Unmarked {
		say("mark", doc.Plain, "the shaft is not marked: mark it "+wording.Visible(k.Shaft))
	}
	if k.Short() {
		say("TOO SHORT", doc.Fail, short(k))
	}
	if why := wording.ReasonsOf(k.Club, k.Lacks); why != "" {
		say("MISSING", doc.Open, why)
	}
	if s := &k.Swing; s.Weight.Known() {
		say("swing", doc.Plain, s.Weight.String()+"; "+swingWords(s))
	}
	if k.Dry != nil {
		stamp, tone, text := dryWords(k.Club, k.Dry)
		say(stamp, tone, text)
	}
	if b.depth == Line {
		return out
	}
	name := "shaft " + wording.Visible(k.Shaft) + " into " + wording.Called(k.Club)
	if sum := picture.Sum(k); sum != nil {
		out = append(out, doc.Gap{}, doc.Subject{Name: name, Level: 1}, doc.Facts{Level: 2, List: sum}, doc.Gap{})
	}
	if b.depth == Full {
		if table := budgetTable(2, name+": how sure the length is", k.Expected.Budget); table != nil {
			out = append(out, doc.Gap{}, table)
		}
		if d := k.Dry; d != nil {
			if table := budgetTable(2, name+": the dry fit less the plan", d.Budget); table != nil {
				out = append(out, doc.Gap{}, table)
			}
		}
	}
	return out
}

// short says by how much a shaft is too short, and what to do.
func short(k *build.Club) string {
	by, limit := wording.Beside(k.ShortBy, k.Limit)
	words := "by " + by + ", and no book allows an extension: cut nothing, take a longer shaft"
	switch {
	case k.Extension.Known():
		words = "by " + by + "; the book allows an extension of up to " + limit +
			": cut nothing before you decide on one or on a longer shaft"
	case k.Limit.Known():
		words = "by " + by + ", more than the extension of " + limit +
			" that the book allows: cut nothing, take a longer shaft"
	}
	if v := k.Expected.Value; v.Known() {
		words += ". The whole shaft without an extension plays to " + v.String()
	}
	return words
}

// dryWords say what came of a dry fit.
func dryWords(c *club.Club, d *build.DryFit) (stamp string, tone doc.Tone, text string) {
	if d.Fit == build.Unmeasured {
		return "MISSING", doc.Open, "dry fit: " + wording.ReasonsOf(c, d.Lacks)
	}
	off, within := signed(d.Difference.Value, d.Expanded)
	text = fmt.Sprintf("dry fit %s by %s, planned %s: %s off, %s", d.Reading.Written(), d.By, d.Expected, off, within)
	if d.Fit == build.Out {
		return "OUT", doc.Fail, text + ". Do not glue."
	}
	return "dry fit", doc.Pass, text + ": as planned"
}

// swingWords say what brings a swing weight to its target, and what it rests on.
func swingWords(s *build.Swing) string {
	add := ""
	if s.AddToHead.Known() {
		g := s.AddToHead.Unit.FromBase(s.AddToHead.Base)
		switch n := strconv.FormatFloat(math.Abs(g), 'f', 1, 64) + " g"; {
		case n == "0.0 g":
			add = s.Target.String() + " is met"
		case g > 0:
			add = "add " + n + " to the head for " + s.Target.String()
		default:
			add = "the head is " + n + " too heavy for " + s.Target.String()
		}
	}
	return wording.Join("; ", add, wording.Labelled("butt", wording.Visible(s.Butt)),
		wording.Labelled("tip", wording.Visible(s.Tip)), "without epoxy and ferrule")
}

// findings are what the rules of the books make of the plan.
func findings(p *build.Plan) []doc.Block {
	out := told(p.Set, p.Conflicts, slices.Clone(p.Results)...)
	for _, f := range lacking(p.Set, p.Later) {
		f.Next = "Add the column, or measure the finished clubs for it."
		out = append(out, f)
	}
	return out
}

func (b *builds) End() error {
	const lead = "LOOK BEFORE YOU CUT:"
	counts := append([]count{{b.clubs - b.short - b.lacking, doc.Pass, "", "shaft to cut", "shafts to cut"}},
		gaps(b.Order.Gaps(), lead)...)
	out := outcomeOf("PLANNED:", append(counts,
		count{b.lacking, doc.Open, lead, "waits for a measurement", "wait for a measurement"},
		unread(len(b.Refused), lead),
		count{b.open, doc.Open, lead, "rule could not be judged", "rules could not be judged"},
		count{b.short, doc.Fail, lead, "shaft is too short", "shafts are too short"},
		count{b.failing, doc.Fail, lead, "rule fails on the plan", "rules fail on the plan"},
		count{b.out, doc.Fail, lead, "dry fit is out", "dry fits are out"},
		count{b.swapped, doc.Fail, lead, "swap of shafts", "swaps of shafts"})...)
	b.cuts = true
	return b.finish(b.head, out, &b.Notes,
		doc.Fact{Label: "finished", Note: "from the trimmed tip to the cut at the butt: measure this before you cut"},
		doc.Fact{Label: "bore", Note: groundToTip})
}

// groundToTip says what the bore is, since many builders use the word for how deep a shaft goes in.
const groundToTip = "from where the tip stops in the head to the ground, along the axis; " +
	"it is not how deep the shaft goes in"
