package report

// This file writes whether two sheets of readings agree: for the bench what disagrees first, or for
// other programs the schema "ferrule.agree/1".

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/lang/catalogue"
)

// Agreements is what was found out about two sheets.
type Agreements struct {
	Sheets   [2]string // their names
	Pairs    []compare.Agreement
	Rows     int // that became clubs
	Refused  []club.Refusal
	Doubtful Doubtful
}

type jsonAgreement struct {
	Set        string      `json:"set"`
	ID         string      `json:"id"`
	Setting    string      `json:"setting,omitempty"`
	Property   string      `json:"property"`
	En         *float64    `json:"en"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Agree      *bool       `json:"agree"`
	Needs      []string    `json:"needs"`
	Reasons    []string    `json:"reasons,omitempty"`
}

type jsonAgreements struct {
	Schema   string          `json:"schema"`
	Results  []jsonAgreement `json:"results"`
	Refused  []jsonRefused   `json:"refused"`
	Doubtful []jsonDoubtful  `json:"doubtful,omitempty"`
}

// AgreementsJSON writes what was found for another program.
func AgreementsJSON(w io.Writer, a *Agreements) error {
	out := jsonAgreements{"ferrule.agree/1", []jsonAgreement{}, []jsonRefused{}, nil}
	for _, p := range a.Pairs {
		one := jsonAgreement{Set: p.Set, ID: p.ID, Setting: p.Setting, Property: p.Property.Name, En: number(p.En),
			Difference: differenceOf(&p), Expanded: amountOf(p.Expanded, false), Needs: append([]string{}, p.Needs...), Reasons: p.Reasons}
		if p.Told {
			one.Agree = &p.Same
		}
		out.Results = append(out.Results, one)
	}
	for _, f := range a.Refused {
		out.Refused = append(out.Refused, refusedOf(f))
	}
	for _, d := range a.Doubtful.List {
		out.Doubtful = append(out.Doubtful, doubtfulOf(d))
	}
	return writeJSON(w, out)
}

// differenceOf is the difference with the text that a bench reads.
func differenceOf(p *compare.Agreement) *jsonAmount {
	d := amountOf(p.Difference, true)
	if d != nil {
		d.Text = p.Difference.String()
	}
	return d
}

// AgreementsText writes what was found for the bench: what disagrees, what cannot be compared,
// and a line for each pair of readings that agree.
func AgreementsText(w io.Writer, a *Agreements, o Options) error {
	b := bufio.NewWriter(w)
	b.WriteString(ends("Two readings of each club", fileWords(a.Sheets[0])+" and "+fileWords(a.Sheets[1])) + "\n" + doubtfulText(a.Doubtful.List, o))
	var apart, untold, same []compare.Agreement
	for _, p := range a.Pairs {
		switch {
		case !p.Told:
			untold = append(untold, p)
		case p.Same:
			same = append(same, p)
		default:
			apart = append(apart, p)
		}
	}
	b.WriteString(agreementVerdict(len(same), len(apart), len(untold)) + "\n\n")
	full := o.Depth == Steps || o.Depth == Full
	for _, s := range []struct {
		words string
		pairs []compare.Agreement
	}{{"DISAGREE", apart}, {"COULD NOT BE COMPARED", untold}, {"AGREE", same}} {
		if len(s.pairs) == 0 {
			continue
		}
		b.WriteString(o.title(colourOf(s.pairs[0].Told, s.pairs[0].Same), fmt.Sprintf("%s: %d", s.words, len(s.pairs))))
		if s.pairs[0].Same && !full || o.Depth == Line {
			b.WriteString(agreementLines(s.pairs) + "\n")
			continue
		}
		for i := range s.pairs {
			b.WriteString(agreement(&s.pairs[i], o.Depth) + "\n")
		}
	}
	means := "how far two right readings may differ (expanded uncertainty of the difference, at 95 %)"
	if full {
		means += "; En is the difference divided by it, and two readings agree where En is between -1 and 1"
	}
	b.WriteString(unread(a.Refused, o) + "TOTALS\n\n" + block(2, []entry{
		{label: "rows", note: rowTotals(a.Rows, len(a.Refused))},
		{label: "readings", note: fmt.Sprintf("%d agree, %d disagree, %d could not be compared", len(same), len(apart), len(untold))},
		{label: "+/-", note: means},
	}))
	return b.Flush()
}

// agreementVerdict is the outcome in one line.
func agreementVerdict(same, apart, untold int) string {
	of := counted(same+apart+untold, "reading", "readings")
	switch {
	case apart > 0 && untold > 0:
		return fmt.Sprintf("THEY DISAGREE on %d of %s; %d could not be compared.", apart, of, untold)
	case apart > 0:
		return fmt.Sprintf("THEY DISAGREE on %d of %s.", apart, of)
	case same == 0:
		return "NOTHING COULD BE COMPARED."
	case untold > 0:
		return fmt.Sprintf("NOT EVERYTHING COULD BE COMPARED: %d of %s could not; the others agree.", untold, of)
	}
	return "They agree."
}

// pairName is "Ada, d1 (driver)", and behind that the property where it is not the length.
func pairName(p *compare.Agreement) string {
	c := p.First
	if c == nil {
		c = p.Second
	}
	name := clubName(c)
	if p.Set != "" {
		name = Visible(p.Set) + ", " + name
	}
	if p.Property.ID != catalogue.LengthID {
		name += ": " + p.Property.Name
	}
	return name
}

// agreementLines is a line for each pair.
func agreementLines(pairs []compare.Agreement) string {
	var entries []entry
	for i := range pairs {
		p := &pairs[i]
		e := entry{label: pairName(p), note: reasonsOf(p.Reasons)}
		if p.Told {
			e.amount, e.note = signed(p.Difference, p.Expanded)
		}
		entries = append(entries, e)
	}
	return block(2, entries)
}

// agreement is one pair with all that led to it.
func agreement(p *compare.Agreement, depth Depth) string {
	var places []string
	var entries []entry
	for i, c := range []*club.Club{p.First, p.Second} {
		if c == nil {
			continue
		}
		places = append(places, rowWords(c.Place()))
		if e := readingEntry(p, i, c); e.amount != "" {
			entries = append(entries, e)
		}
	}
	if p.Difference.Known() {
		off, note := signed(p.Difference, p.Expanded)
		if words := enWords(p.En); words != "" && depth != Usual {
			note += ", " + words
		}
		entries = append(entries, entry{label: "difference", amount: off, note: note})
	}
	entries = append(entries, suspects(p)...)
	for _, why := range p.Reasons {
		entries = append(entries, entry{label: "because", note: Visible(why)})
	}
	s := ends(pairName(p), list(places)) + block(2, entries)
	if depth != Full || !p.Readings[0].Value.Known() || !p.Readings[1].Value.Known() {
		return s
	}
	for i, l := range p.Readings {
		if p.Property.ID == catalogue.LengthID {
			s += "\n  " + [...]string{"the first", "the second"}[i] + "\n" + strings.TrimSuffix(built(l, true), "\n")
		}
	}
	if len(p.Budget) > 0 {
		s += "\n  the difference\n" + budgetTable(6, p.Budget)
	}
	return s
}

// readingEntry is what was read of one of a pair; no amount where nothing was.
func readingEntry(p *compare.Agreement, i int, c *club.Club) entry {
	e := entry{label: [...]string{"first", "second"}[i]}
	l := p.Readings[i]
	if p.Property.ID == catalogue.LengthID {
		var by string
		if e.amount, by = readAs(c); e.amount != "" {
			e.note = "by " + by
		}
		if l.Value.Known() && l.From != l.To {
			e.note += ", which is " + l.Value.String() + " by " + l.To
		}
		return e
	}
	if l.Value.Known() {
		e.amount = l.Value.Written()
		if r := c.Reading(p.Property.ID); r.HasHalf {
			e.note = "+/- " + engine.Amount{Base: r.Half, Unit: l.Value.Unit}.Written()
		}
	}
	return e
}

// suspects says of two that disagree what would have to be wrong, by itself, and how far.
// Two that would have to be equally far off share a line.
func suspects(p *compare.Agreement) []entry {
	if p.Told && !p.Same && p.Suspects == nil {
		return []entry{{label: "because", note: "nothing is stated that could be uncertain, and they differ"}}
	}
	var out []entry
	for i := 0; i < len(p.Suspects); i++ {
		one := p.Suspects[i]
		what := suspectName(one)
		for i+1 < len(p.Suspects) && p.Suspects[i+1].Name == one.Name && p.Suspects[i+1].Off == one.Off && p.Suspects[i+1].Half == one.Half {
			i++
			what += ", or " + suspectName(p.Suspects[i]) + ","
		}
		off, half := beside(one.Off, one.Half)
		note := what + " is off by " + off
		if one.Half.Known() {
			note += ", where " + half + " is allowed for"
		}
		if out == nil {
			out = append(out, entry{label: "unless", note: note})
		} else {
			out = append(out, entry{note: "or " + note})
		}
	}
	return out
}

// suspectName says what may be wrong as a bench says it: "the lie as soled in bags.csv row 4".
func suspectName(s compare.Suspect) string {
	name, ok := map[string]string{"graduation": "reading", "stated with the reading": "reading", "repeats": "mean of the readings", "lie set": "lie as soled"}[s.Name]
	if !ok {
		name = Visible(s.Name)
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
func signed(a, u engine.Amount) (off, within string) {
	off, within = beside(a, u)
	if a.Base > 0 {
		off = "+" + off
	}
	if !u.Known() {
		return off, spread(u)
	}
	return off, "+/- " + within
}

// enWords is "En 0.42"; nothing where there is none.
func enWords(en float64) string {
	if number(en) == nil {
		return ""
	}
	decimals := 2
	if d := math.Abs(math.Abs(en) - 1); d < 0.005 && d > 0 {
		decimals = min(6, int(math.Ceil(-math.Log10(d))))
	}
	return "En " + strconv.FormatFloat(en, 'f', decimals, 64)
}

// reasonsOf joins reasons on one line.
func reasonsOf(reasons []string) string { return Visible(strings.Join(reasons, "; ")) }

// splitLines cuts text at the ends of its lines.
func splitLines(s string) []string { return strings.Split(strings.TrimSuffix(s, "\n"), "\n") }
