package report

// This file is the view of whether two sheets of readings agree.

import (
	"cmp"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Agree writes what was found.
func Agree(w io.Writer, a *data.Agreements, o Options) error {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.Agree(w, o.Format, o.Tool, a)
	}
	return p.agree(a)
}

// agree writes it for a reader: what disagrees, what cannot be compared, and what agrees.
func (p *paper) agree(a *data.Agreements) error {
	var shown [doc.Fail + 1][]doc.Block
	var counts [doc.Fail + 1]int
	var bag picture.Bag
	var alone [2][]string // clubs that only the one or the other sheet has
	for i := range a.Pairs {
		pair := &a.Pairs[i]
		if pair.By != "" {
			bag.Converted(pair.Second, pair.By)
		}
		came := picture.Agreed(pair)
		counts[came]++
		if side := pair.Alone(); side >= 0 {
			alone[side] = lists.Also(alone[side], clubName(pair))
		} else {
			shown[came] = append(shown[came], agreement(pair, p.depth)...)
		}
	}
	lead := "NOT EVERYTHING COULD BE COMPARED:"
	if counts[doc.Fail]+counts[doc.Pass] == 0 {
		lead = "NOTHING COULD BE COMPARED:"
	}
	outcome := outcomeOf("THEY AGREE:",
		count{counts[doc.Fail], doc.Fail, "THEY DISAGREE:", "reading differs", "readings differ"},
		count{counts[doc.Pass], doc.Pass, "", "reading agrees", "readings agree"},
		count{counts[doc.Open], doc.Open, lead, "could not be compared", "could not be compared"},
		unread(len(a.Refused), lead))
	p.later(doc.Gap{}, doc.Section{Title: "Club by club"})
	p.later(slices.Concat(shown[doc.Fail], shown[doc.Open], shown[doc.Pass])...)
	for i, names := range alone {
		if names != nil {
			p.later(&doc.Finding{Stamp: "UNKNOWN", Tone: doc.Open,
				Text: "only in " + wording.File(a.Sheets[i]) + ": " + strings.Join(names, "; ")})
		}
	}
	p.later(doc.Beside(bag.Taken(new(club.Set), p.holding(a.Head))))
	means := "Within reason is how far two right readings may differ, 95 times in 100"
	if p.depth == Full {
		means += "; En is the difference divided by that, and two readings agree where En is between -1 and 1"
	}
	head := doc.Head{Title: "Two readings of each club",
		Right: wording.File(a.Sheets[0]) + " and " + wording.File(a.Sheets[1]) + ", " + a.On}
	return p.finish(head, outcome, &a.Notes, doc.Fact{Label: "means", Note: means})
}

// clubName is "Ada, driver (d1)".
func clubName(p *compare.Agreement) string {
	return setBefore(judge.Subject{Set: p.Set}) + wording.Called(cmp.Or(p.First, p.Second))
}

// agreement is one pair: a line, and where more is asked for all that led to it.
func agreement(p *compare.Agreement, depth Depth) []doc.Block {
	tone := picture.Agreed(p)
	stamps := [...]string{doc.Pass: "agree", doc.Open: "UNKNOWN", doc.Fail: "DISAGREE"}
	out := &doc.Finding{Stamp: stamps[tone], Tone: tone}
	var read []string
	for i, c := range []*club.Club{p.First, p.Second} {
		if c == nil {
			continue
		}
		e := readingEntry(p, i, c)
		if e.Amount != "" {
			read = append(read, strings.TrimSpace(e.Amount+" "+e.Note))
		}
		e.Note = wording.Join(", ", e.Note, rowWords(c.Place()))
		out.Facts = append(out.Facts, e)
	}
	out.Text = clubName(p) + ": "
	if p.Property.ID != catalogue.LengthID {
		out.Text += p.Property.Name + ": "
	}
	out.Text += wording.Join("; ", strings.Join(read, " and "), apartWords(p),
		wording.ReasonsOf(cmp.Or(p.First, p.Second), p.Lacks))
	if depth == Line {
		out.Facts = nil
		return []doc.Block{out}
	}
	if words := enWords(p.En); words != "" && depth == Full {
		off, within := signed(p.Difference.Value, p.Expanded)
		out.Facts = append(out.Facts, doc.Fact{Label: "difference", Amount: off, Note: within + ", " + words})
	}
	out.Facts, out.Line = append(out.Facts, suspects(p)...), picture.Agreement(p)
	blocks := []doc.Block{out, doc.Gap{}}
	if depth != Full || !p.Readings[0].Value.Known() || !p.Readings[1].Value.Known() {
		return blocks
	}
	for i, l := range p.Readings {
		if p.Property.ID == catalogue.LengthID {
			blocks = append(blocks, doc.Subject{Name: [...]string{"the first", "the second"}[i], Level: 2})
			blocks = append(append(blocks, built(l, true)...), doc.Gap{})
		}
	}
	if table := budgetTable(3, "", p.Budget); table != nil {
		blocks = append(blocks, doc.Subject{Name: "the difference", Level: 2}, table, doc.Gap{})
	}
	return blocks
}

// apartWords say how far two readings are apart, and how far they could be by chance; "" where that is not known.
func apartWords(p *compare.Agreement) string {
	off, within := wording.Beside(p.Difference.Value, p.Expanded)
	words := "the same"
	switch {
	case !p.Difference.Value.Known():
		return ""
	case p.Difference.Value.Base > 0:
		words = "the first is " + off + " more"
	case p.Difference.Value.Base < 0:
		words = "the first is " + strings.TrimPrefix(off, "-") + " less"
	}
	if !p.Expanded.Known() {
		return words
	}
	return words + "; " + within + " would be within reason"
}

// readingEntry is what was read of one of a pair; no amount where nothing was.
func readingEntry(p *compare.Agreement, i int, c *club.Club) doc.Fact {
	e := doc.Fact{Label: [...]string{"first", "second"}[i]}
	l := p.Readings[i]
	if p.Property.ID == catalogue.LengthID {
		var by string
		if e.Amount, by = readAs(c); e.Amount != "" {
			e.Note = "by " + by
		}
		if l.Value.Known() && (l.From != l.To || c.Metric != p.First.Metric) {
			same := unit.Amount{Base: l.Value.Base, Unit: p.First.LengthUnit()}
			e.Note += ", which is " + same.String() + " by " + l.To
		}
		return e
	}
	if l.Value.Known() {
		e.Amount = l.Value.Written()
		if r := c.Reading(p.Property.ID); r.HasHalf {
			e.Note = "+/- " + unit.Amount{Base: r.Half, Unit: l.Value.Unit}.Written()
		}
	}
	return e
}

// suspects says of two that disagree what would have to be wrong, by itself, and how far.
func suspects(p *compare.Agreement) []doc.Fact {
	if p.Told && !p.Same && p.Suspects == nil {
		return []doc.Fact{{Label: "because", Note: "nothing is stated that could be uncertain, and they differ"}}
	}
	var out []doc.Fact
	label := "unless"
	for _, one := range p.Suspects {
		off, half := wording.Beside(one.Off, one.Half)
		note := suspectName(one) + " is off by " + off
		if one.Half.Known() {
			note += ", where " + half + " is allowed for"
		}
		out = append(out, doc.Fact{Label: label, Note: note})
		label = "or"
	}
	return out
}

// suspectName says what may be wrong as a bench says it: "the lie as soled in bags.csv row 4".
func suspectName(s compare.Suspect) string {
	name, ok := map[string]string{"graduation": "reading", "stated with the reading": "reading",
		"repeats": "mean of the readings", "lie set": "lie as soled"}[s.Name]
	if !ok {
		name = wording.Visible(s.Name)
	}
	if size, ok := strings.CutPrefix(name, "head shape: "); ok {
		name = size + " of the head's shape"
	}
	if s.Of == nil {
		return "the " + name
	}
	return "the " + name + " in " + rowWords(s.Of.Place())
}

// signed is a difference with its sign, and its expanded uncertainty.
func signed(a, u unit.Amount) (off, within string) {
	off, within = wording.Beside(a, u)
	if a.Base > 0 {
		off = "+" + off
	}
	if !u.Known() {
		return off, "+/- unknown"
	}
	return off, "+/- " + within
}

// enWords is "En 0.42"; nothing where there is none.
func enWords(en float64) string {
	if data.Number(en) == nil {
		return ""
	}
	decimals := 2
	if d := math.Abs(math.Abs(en) - 1); d < 0.005 && d > 0 {
		decimals = min(6, int(math.Ceil(-math.Log10(d))))
	}
	return "En " + strconv.FormatFloat(en, 'f', decimals, 64)
}
