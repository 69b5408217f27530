package report

// This file writes what two editions of a book judge differently: for a person what changed, rule by rule, with
// a club that shows it, and for other programs the schema "ferrule.diff/1".

import (
	"fmt"
	"io"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/report/doc"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Editions is what was found out about two editions of a book.
type Editions struct {
	Old, New *book.Book
	*editions.Difference
	Stock *Stock // nil where no stock was judged
}

// Stock is what two editions judge differently of a real stock.
type Stock struct {
	Sheet   string
	On      book.Day
	Effects []editions.Effect
	Rows    int // that became clubs
	Refused []club.Refusal
}

type jsonContrast struct {
	On      *string     `json:"on"`
	Rows    []space.Row `json:"rows"`
	Subject jsonShown   `json:"subject"`
	Old     *string     `json:"old"`
	New     *string     `json:"new"`
}

// jsonShown is the subject of a witness.
type jsonShown struct {
	Of    string   `json:"of"`
	Set   string   `json:"set"`
	Clubs []string `json:"clubs"`
}

type jsonChange struct {
	Rule    string        `json:"rule"`
	What    string        `json:"what"`
	Message string        `json:"message"`
	Witness *jsonContrast `json:"witness"`
}

type jsonEffect struct {
	Rule      string      `json:"rule"`
	Subject   jsonSubject `json:"subject"`
	Old       *string     `json:"old"`
	New       *string     `json:"new"`
	OldMargin *jsonAmount `json:"old_margin"`
	NewMargin *jsonAmount `json:"new_margin"`
}

type jsonEditions struct {
	Schema  string        `json:"schema"`
	Same    bool          `json:"same"`
	Changes []jsonChange  `json:"changes"`
	LeftOut []string      `json:"left_out,omitempty"`
	On      *string       `json:"on,omitempty"`
	Clubs   *[]jsonEffect `json:"clubs,omitempty"`
	Refused []jsonRefused `json:"refused,omitempty"`
}

// Diff writes what was found.
func Diff(w io.Writer, e *Editions, o Options) error {
	p := newPaper(w, o)
	if p.draw == nil {
		return editionsJSON(w, e)
	}
	p.put(e.blocks()...)
	return p.end()
}

// editionsJSON writes what was found for another program. Where nothing was found but not everything was looked at, the
// changes are what was not told, without a witness, so that they are empty only where the editions are the same.
func editionsJSON(w io.Writer, e *Editions) error {
	out := jsonEditions{Schema: "ferrule.diff/1", Same: e.Same(), Changes: []jsonChange{}}
	for _, c := range e.Changes {
		k := c.Contrast
		out.Changes = append(out.Changes, jsonChange{c.Rule().Decl.Name.Text, c.What.String(), c.Message, &jsonContrast{
			On: textOrNull(k.On.String()), Rows: k.Rows, Subject: jsonShown{subjectOf(k.Of), "", append([]string{}, k.Clubs...)},
			Old: verdictOf(k.Old), New: verdictOf(k.New),
		}})
	}
	for _, o := range e.LeftOut {
		out.LeftOut = append(out.LeftOut, o.String())
		for _, w := range o.Parts {
			if len(e.Changes) == 0 {
				out.Changes = append(out.Changes, jsonChange{Rule: o.Name(), What: w.String(), Message: "it was not told whether this changed: " + o.Why})
			}
		}
	}
	if s := e.Stock; s != nil {
		out.On, out.Clubs = textOrNull(s.On.String()), &[]jsonEffect{}
		for _, x := range s.Effects {
			*out.Clubs = append(*out.Clubs, jsonEffect{x.Name(), subjectJSON(x.Subject, nil), verdictOf(x.Old), verdictOf(x.New),
				amountOf(marginOf(x.Old), true), amountOf(marginOf(x.New), true)})
		}
		for _, f := range s.Refused {
			out.Refused = append(out.Refused, refusedOf(f))
		}
	}
	return writeJSON(w, out)
}

// verdictOf is the word for a verdict; nil where there is none.
func verdictOf(s contrast.Said) *string {
	if s.Verdict == 0 {
		return nil
	}
	word := s.Verdict.String()
	return &word
}

// marginOf is how far inside its limits a value is; no amount where there is none.
func marginOf(s contrast.Said) engine.Amount {
	if s.Result == nil {
		return engine.Amount{}
	}
	return s.Result.Margin
}

// blocks are what was found for a reader.
func (e *Editions) blocks() []doc.Block {
	out := []doc.Block{doc.Head{Title: "Two editions", Right: editionName(e.Old) + " and " + editionName(e.New)}}
	switch {
	case len(e.Changes) > 0:
		out = append(out, doc.Section{Tone: doc.Fail, Title: numbered("Judged differently", len(e.Changes))})
	case len(e.LeftOut) > 0:
		out = append(out, doc.Outcome{Tone: doc.Open, Lead: "No difference was found, but not everything could be looked at."}, doc.Gap{})
	default:
		out = append(out, doc.Outcome{Tone: doc.Pass, Lead: "Same judgements:", Text: "no club, pair or set is judged differently, on any day."}, doc.Gap{})
	}
	for i := 0; i < len(e.Changes); {
		r := e.Changes[i].Rule()
		var list []doc.Fact
		for ; i < len(e.Changes) && e.Changes[i].Rule() == r; i++ {
			list = append(list, changeFacts(&e.Changes[i])...)
		}
		out = append(out, doc.Subject{Name: r.Decl.Name.Text, Place: bookLine(r.Decl.Span, r.Book)}, doc.Facts{Level: 1, List: list}, doc.Gap{})
	}
	if len(e.LeftOut) > 0 {
		out = append(out, doc.Section{Tone: doc.Open, Title: numbered("Not looked at", len(e.LeftOut))})
		for _, o := range e.LeftOut {
			out = append(out, doc.Para{Text: Visible(o.String()) + ".", Level: 1, Hang: 1})
		}
		out = append(out, doc.Gap{})
	}
	if e.Stock != nil {
		out = append(out, e.Stock.blocks()...)
	}
	return append(out, totals(e.totals()...)...)
}

// editionName is "spring.ferrule (2026-04-18)".
func editionName(b *book.Book) string {
	name := Visible(b.Name)
	if b.Edition != "" {
		name += " (" + b.Edition + ")"
	}
	return name
}

// changeFacts are a change with the clubs that show it.
func changeFacts(c *editions.Change) []doc.Fact {
	k := c.Contrast
	entries := []doc.Fact{{Label: c.What.String(), Note: Visible(c.Message)}}
	for i, line := range rowLines(k.Rows) {
		e := doc.Fact{Note: line, Level: 1}
		if i == 0 {
			e.Label = "shown by"
		}
		entries = append(entries, e)
	}
	if k.On != book.NoDay {
		entries = append(entries, doc.Fact{Label: "on", Note: k.On.String(), Level: 1})
	}
	old, new := saidFact("old", k.Old, c.Old), saidFact("new", k.New, c.New)
	old.Level, new.Level = 1, 1
	return append(entries, old, new)
}

// saidFact is what an edition says of a witness.
func saidFact(label string, s contrast.Said, r *book.Rule) doc.Fact {
	e := doc.Fact{Label: label, Note: silence(r)}
	if s.Result != nil {
		e.Note = s.Verdict.String() + ": " + string(appendMessage(nil, s.Result))
	}
	return e
}

// silence says why an edition has no verdict.
func silence(r *book.Rule) string {
	if r == nil {
		return "no such rule"
	}
	return "no verdict"
}

// rowLines are the rows of a witness, a line for each club; like clubs share one.
func rowLines(rows []space.Row) []string {
	var lines []string
	for i := 0; i < len(rows); i++ {
		first, what := rowWordsOf(rows[i])
		last := ""
		for i+1 < len(rows) {
			id, same := rowWordsOf(rows[i+1])
			if same != what {
				break
			}
			last = id
			i++
		}
		if last != "" {
			first += " to " + last
		}
		lines = append(lines, first+": "+what)
	}
	return lines
}

// rowWordsOf is the id of a row and the club as a case of a book would describe it.
func rowWordsOf(r space.Row) (id, words string) {
	var parts []string
	name := ""
	for _, c := range r {
		text := Visible(c.Text)
		switch c.Name {
		case "id":
			id = text
		case "club", "kind":
			name = text
		case "number", "mark":
			name += " " + text
		case "by":
			if len(parts) > 0 {
				parts[len(parts)-1] += " by " + text
			}
		default:
			parts = append(parts, c.Name+" "+text)
		}
	}
	return id, strings.Join(append([]string{name}, parts...), ", ")
}

// blocks are what became of the clubs of a stock.
func (s *Stock) blocks() []doc.Block {
	blocks := []doc.Block{doc.Section{Title: "The clubs of " + fileWords(s.Sheet), Right: "on " + s.On.String(), Page: true}, doc.Gap{}}
	if len(s.Effects) == 0 {
		blocks = append(blocks, doc.Para{Text: "None of them is judged differently."}, doc.Gap{})
	}
	var out, in, other []*editions.Effect
	for i := range s.Effects {
		x := &s.Effects[i]
		switch {
		case inside(x.Old) && x.New.Verdict == decide.Fail:
			out = append(out, x)
		case x.Old.Verdict == decide.Fail && inside(x.New):
			in = append(in, x)
		default:
			other = append(other, x)
		}
	}
	for _, g := range []struct {
		words   string
		tone    doc.Tone
		effects []*editions.Effect
	}{{"Were in, are out", doc.Fail, out}, {"Were out, are in", doc.Pass, in}, {"Otherwise different", doc.Open, other}} {
		if len(g.effects) == 0 {
			continue
		}
		blocks = append(blocks, doc.Section{Tone: g.tone, Title: numbered(g.words, len(g.effects))})
		for _, x := range g.effects {
			blocks = append(blocks, doc.Subject{Name: effectName(x), Place: x.Name()},
				doc.Facts{Level: 1, List: []doc.Fact{saidFact("old", x.Old, x.Pair.Old), saidFact("new", x.New, x.Pair.New)}})
		}
		blocks = append(blocks, doc.Gap{})
	}
	return append(blocks, refusedSection(s.Refused)...)
}

// inside tells whether a subject is not ruled out: it passes, is exempt, or no rule is about it.
func inside(s contrast.Said) bool {
	return s.Verdict == decide.Pass || s.Verdict == decide.Exempt || s.Verdict == 0
}

// effectName is "Ada, d1 (driver)".
func effectName(x *editions.Effect) string {
	name := bagName(x.Subject.Set, x.Subject.File)
	if x.Subject.Kind == ast.OfSet {
		return name
	}
	var clubs []string
	for _, c := range x.Subject.Clubs {
		clubs = append(clubs, clubName(c))
	}
	if x.Subject.Set == "" {
		return list(clubs)
	}
	return name + ", " + list(clubs)
}

// totals say how many rules there are, and how many changes.
func (e *Editions) totals() []doc.Fact {
	var both, renamed, added, removed int
	for _, p := range e.Pairs {
		switch {
		case p.Old == nil:
			added++
		case p.New == nil:
			removed++
		default:
			both++
			if p.Old.Decl.Name.Text != p.New.Decl.Name.Text {
				renamed++
			}
		}
	}
	words := fmt.Sprintf("%d in both, %d new, %d gone", both, added, removed)
	if renamed > 0 {
		words += fmt.Sprintf("; %d of them renamed", renamed)
	}
	entries := []doc.Fact{{Label: "rules", Note: words}, {Label: "changes", Note: changeWords(e.Changes)}}
	if s := e.Stock; s != nil {
		entries = append(entries, doc.Fact{Label: "rows", Note: rowTotals(s.Rows, len(s.Refused))},
			doc.Fact{Label: "clubs", Note: counted(len(s.Effects), "judgement differs", "judgements differ")})
	}
	return entries
}

// changeWords counts changes by what changed: "3: 2 limit, 1 scope".
func changeWords(changes []editions.Change) string {
	if len(changes) == 0 {
		return "none"
	}
	count := map[contrast.What]int{}
	for _, c := range changes {
		count[c.What]++
	}
	var parts []string
	for w := contrast.Added; w <= contrast.Weight; w++ {
		if count[w] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[w], w))
		}
	}
	return fmt.Sprintf("%d: %s", len(changes), strings.Join(parts, ", "))
}
