package report

// This file writes whether two sheets of readings agree: what disagrees first for the
// bench, or for other programs the schema "ferrule.agree/1".

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
)

// Agreements is what was found out about two sheets.
type Agreements struct {
	Sheets  [2]string // their names
	Pairs   []compare.Agreement
	Rows    int // that became clubs
	Refused []club.Refusal
}

type jsonAgreement struct {
	Set        string      `json:"set"`
	ID         string      `json:"id"`
	Setting    string      `json:"setting,omitempty"`
	En         *float64    `json:"en"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Agree      *bool       `json:"agree"`
	Needs      []string    `json:"needs"`
	Reasons    []string    `json:"reasons,omitempty"`
}

type jsonAgreements struct {
	Schema  string          `json:"schema"`
	Results []jsonAgreement `json:"results"`
	Refused []jsonRefused   `json:"refused"`
}

// AgreementsJSON writes what was found for another program.
func AgreementsJSON(w io.Writer, a *Agreements) error {
	out := jsonAgreements{"ferrule.agree/1", []jsonAgreement{}, []jsonRefused{}}
	for _, p := range a.Pairs {
		one := jsonAgreement{Set: p.Set, ID: p.ID, Setting: p.Setting, En: number(p.En),
			Difference: differenceOf(&p), Expanded: amountOf(p.Expanded, false), Needs: append([]string{}, p.Needs...), Reasons: p.Reasons}
		if p.Told {
			one.Agree = &p.Same
		}
		out.Results = append(out.Results, one)
	}
	for _, f := range a.Refused {
		out.Refused = append(out.Refused, refusedOf(f))
	}
	return writeJSON(w, out)
}

// differenceOf is the difference with the text that a bench reads.
func differenceOf(p *compare.Agreement) *jsonAmount {
	d := amountOf(p.Difference, true)
	if d != nil {
		d.Text = bench(p.Difference, p.Expanded)
	}
	return d
}

// AgreementsText writes what was found for the bench: what disagrees, what cannot be told
// and a line for each club whose readings agree.
func AgreementsText(w io.Writer, a *Agreements, o Options) error {
	b := bufio.NewWriter(w)
	b.WriteString(ends("Two readings of each club", fileWords(a.Sheets[0])+" and "+fileWords(a.Sheets[1])) + "\n")
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
	if len(apart) == 0 {
		b.WriteString("Nothing disagrees.\n\n")
	}
	for _, s := range []struct {
		words string
		pairs []compare.Agreement
	}{{"DISAGREE", apart}, {"CANNOT BE TOLD", untold}, {"AGREE", same}} {
		if len(s.pairs) == 0 {
			continue
		}
		b.WriteString(o.title(colourOf(s.pairs[0].Told, s.pairs[0].Same), fmt.Sprintf("%s: %d", s.words, len(s.pairs))))
		if s.pairs[0].Same && o.Depth != Steps && o.Depth != Full || o.Depth == Line {
			b.WriteString(agreementLines(s.pairs) + "\n")
			continue
		}
		for i := range s.pairs {
			b.WriteString(agreement(&s.pairs[i], o.Depth == Full) + "\n")
		}
	}
	if len(a.Refused) > 0 {
		b.WriteString(unread(a.Refused, o))
	}
	b.WriteString("TOTALS\n\n" + block(2, []entry{
		{label: "rows", note: rowTotals(a.Rows, len(a.Refused))},
		{label: "clubs", note: fmt.Sprintf("%d agree, %d disagree, %d cannot be told", len(same), len(apart), len(untold))},
		{label: "+/-", note: "expanded uncertainty of the difference at 95 %; En is the difference divided by it, and two readings agree where it is between -1 and 1"},
	}))
	return b.Flush()
}

// pairName is "Ada, d1 (driver)".
func pairName(p *compare.Agreement) string {
	c := p.First
	if c == nil {
		c = p.Second
	}
	name := clubName(c)
	if p.Set != "" {
		name = Visible(p.Set) + ", " + name
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
			e.amount, e.note = signed(p.Difference, p.Expanded), spread(p.Expanded)
			if words := enWords(p.En); words != "" {
				e.note += ", " + words
			}
		}
		entries = append(entries, e)
	}
	return block(2, entries)
}

// agreement is one pair with all that led to it.
func agreement(p *compare.Agreement, full bool) string {
	var places []string
	var entries []entry
	for i, c := range []*club.Club{p.First, p.Second} {
		if c == nil {
			continue
		}
		places = append(places, rowWords(c.Place()))
		if read, by := readAs(c); read != "" {
			e := entry{label: [...]string{"first", "second"}[i], amount: read, note: "by " + by}
			if l := p.Lengths[i]; l.Value.Known() && l.From != l.To {
				e.note += ", which is " + bench(l.Value, l.U) + " by " + l.To
			}
			entries = append(entries, e)
		}
	}
	if p.Difference.Known() {
		note := spread(p.Expanded)
		if words := enWords(p.En); words != "" {
			note += ", " + words
		}
		entries = append(entries, entry{label: "difference", amount: signed(p.Difference, p.Expanded), note: note})
	}
	entries = append(entries, suspects(p)...)
	for _, why := range p.Reasons {
		entries = append(entries, entry{label: "because", note: Visible(why)})
	}
	s := ends(pairName(p), list(places)) + block(2, entries)
	if !full || p.By == "" {
		return s
	}
	for i, l := range p.Lengths {
		s += "\n  " + [...]string{"the first", "the second"}[i] + "\n" + strings.TrimSuffix(built(l, true), "\n")
	}
	if len(p.Budget) > 0 {
		s += "\n  the difference\n" + budgetTable(6, p.Budget)
	}
	return s
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
		note := what + " is off by " + inFew(one.Off)
		if one.Half.Known() {
			note += ", where " + inFew(one.Half) + " is allowed for"
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

// signed is a difference with its sign.
func signed(a, u engine.Amount) string {
	if s := bench(a, u); a.Base > 0 {
		return "+" + s
	} else {
		return s
	}
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
