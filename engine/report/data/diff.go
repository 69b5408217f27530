package data

// This file writes what two editions of a book judge differently: the schema "ferrule.diff/1".

import (
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/unit"
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
	Notes
}

// Note takes in what is to be said of the rows of a set, read once for either edition. A row that one of them cannot read
// is refused, a bad cell is not read where neither asks for it, and a column is unused where neither uses it.
func (s *Stock) Note(old, new *club.Set, doubtful []club.Doubt) {
	var refused, notRead []club.Refusal
	own := 0
	for i, set := range []*club.Set{old, new} {
		for f := range set.NewlyRefused() {
			if own += 1 - i; !slices.ContainsFunc(refused, func(g club.Refusal) bool { return g.Row == f.Row }) {
				refused = append(refused, f)
			}
		}
	}
	for _, f := range slices.Concat(old.NotRead, new.NotRead) {
		same := func(g club.Refusal) bool { return g.Row == f.Row }
		if !slices.ContainsFunc(refused, same) &&
			!slices.ContainsFunc(notRead, func(g club.Refusal) bool { return same(g) && g.Column == f.Column }) {
			notRead = append(notRead, f)
		}
	}
	for _, u := range old.Unused {
		if slices.ContainsFunc(new.Unused, func(v club.Unused) bool { return v.Row == u.Row && v.Column == u.Column }) {
			s.Unused = append(s.Unused, u)
		}
	}
	s.Refused, s.NotRead = append(s.Refused, refused...), append(s.NotRead, notRead...)
	s.Doubtful.Add(doubtful)
	s.Rows += old.Rows + own - len(refused)
	s.Order.Add(old.Order)
	for _, f := range new.Order.Refused {
		if !slices.ContainsFunc(s.Order.Refused, func(g club.Refusal) bool { return g.Row == f.Row }) {
			s.Order.Refused = append(s.Order.Refused, f)
		}
	}
	s.Superseded, s.Skipped = s.Superseded+old.Superseded, s.Skipped+old.Skipped
}

type jsonContrast struct {
	On *string `json:"on"`
	jsonRows
	Subject jsonShown `json:"subject"`
	Old     *string   `json:"old"`
	New     *string   `json:"new"`
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

// Diff writes what was found. Where nothing was found but not everything was looked at, the
// changes are what was not told, without a witness, so that they are empty only where the editions are the same.
func Diff(w io.Writer, t Tool, e *Editions) error {
	d := newDocument(w, "json", "ferrule.diff/1", t)
	d.Member("same", e.Same())
	changes := each(e.Changes, func(c editions.Change) jsonChange {
		k := c.Contrast
		of := jsonShown{wording.Kind(k.Of), k.Set, append([]string{}, k.Clubs...)}
		return jsonChange{nameOf(c.Rule()), c.What.String(), c.Message, &jsonContrast{textOrNull(k.On.String()),
			rowsOf(k.Rows), of, verdictOrNull(k.Old.Verdict), verdictOrNull(k.New.Verdict)}}
	})
	var left []string
	for _, o := range e.LeftOut {
		left = append(left, o.String())
		for _, w := range o.Parts {
			if len(e.Changes) == 0 {
				changes = append(changes, jsonChange{Rule: o.Name(), What: w.String(),
					Message: "it was not checked whether this changed: " + o.Why})
			}
		}
	}
	list(d, "changes", changes)
	if left != nil {
		d.Member("left_out", left)
	}
	if s := e.Stock; s != nil {
		d.Member("on", textOrNull(s.On.String()))
		list(d, "clubs", each(s.Effects, func(x editions.Effect) jsonEffect {
			return jsonEffect{x.Name(), subjectJSON(x.Subject, nil), verdictOrNull(x.Old.Verdict),
				verdictOrNull(x.New.Verdict), amountOf(marginOf(x.Old), true), amountOf(marginOf(x.New), true)}
		}))
		s.Notes.members(d)
	}
	return d.End()
}

// verdictOrNull is the word for a verdict; nil if there is none.
func verdictOrNull(v decide.Verdict) *string {
	if v == 0 {
		return nil
	}
	return textOrNull(v.String())
}

// marginOf is how far inside its limits a value is; no amount if there is none.
func marginOf(s contrast.Said) unit.Amount {
	if s.Result == nil {
		return unit.Amount{}
	}
	return s.Result.Margin
}
