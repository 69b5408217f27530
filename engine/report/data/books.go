package data

// This file writes what is to be said of books: what two editions judge differently, "ferrule.diff/1", and findings
// about a book without clubs, "ferrule.vet/1".

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/space"
	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/source"
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
	Notes
}

// Note takes in what is to be said of the rows of a set, read once for either edition. A row that one of them cannot
// read is refused, a bad cell is not read where neither asks for it, and a column is unused where neither uses it.
func (s *Stock) Note(old, new *club.Set, doubtful []club.Doubt) {
	own := slices.Collect(old.NewlyRefused())
	refused := also(also(nil, own, sameRow), slices.Collect(new.NewlyRefused()), sameRow)
	notRead := also(also(nil, old.NotRead, sameCell), new.NotRead, sameCell)
	notRead = slices.DeleteFunc(notRead, func(f club.Refusal) bool {
		return slices.ContainsFunc(refused, func(g club.Refusal) bool { return sameRow(f, g) })
	})
	for _, u := range old.Unused {
		if slices.ContainsFunc(new.Unused, func(v club.Unused) bool { return v.Row == u.Row && v.Column == u.Column }) {
			s.Unused = append(s.Unused, u)
		}
	}
	s.Refused, s.NotRead = append(s.Refused, refused...), append(s.NotRead, notRead...)
	s.Doubtful.Add(doubtful)
	s.Rows += old.Rows + len(own) - len(refused)
	s.Order.Add(old.Order)
	s.Order.Refused = also(s.Order.Refused, new.Order.Refused, sameRow)
	s.Superseded, s.Skipped = s.Superseded+old.Superseded, s.Skipped+old.Skipped
}

func sameRow(f, g club.Refusal) bool { return f.Row == g.Row }

func sameCell(f, g club.Refusal) bool { return f.Row == g.Row && f.Column == g.Column }

// also adds to a list those that are the same as none in it.
func also(list, more []club.Refusal, same func(f, g club.Refusal) bool) []club.Refusal {
	for _, f := range more {
		if !slices.ContainsFunc(list, func(g club.Refusal) bool { return same(f, g) }) {
			list = append(list, f)
		}
	}
	return list
}

// witnessOf are the members of a witness: its day, its rows, ready to be lines of a sheet and of an order, and what it
// is about.
func witnessOf(w space.Example) object {
	sheet, order := space.Split(w.Rows)
	return append(object{"on", textOrNull(w.On.String()), "rows", sheet}.with(len(order) > 0, "order", order),
		"subject", jsonShown{wording.Kind(w.Of), w.Set, append([]string{}, w.Clubs...)})
}

// Diff writes what was found. The changes are empty only where the editions are the same. Where nothing was found but
// not everything was looked at, they are what was left out, without a witness.
func Diff(w io.Writer, t Tool, e *Editions) error {
	d := newDocument(w, "json", "ferrule.diff/1", t)
	d.Member("same", e.Same())
	changes := lists.Each(e.Changes, func(c editions.Change) object {
		k := c.Contrast
		return object{"rule", nameOf(c.Rule()), "what", c.What.String(), "message", c.Message,
			"witness", append(witnessOf(k.Example), verdictsOf(k.Old, k.New)...)}
	})
	var left []string
	for _, o := range e.LeftOut {
		left = append(left, o.String())
		for _, w := range o.Parts {
			if len(e.Changes) == 0 {
				why := "it was not checked whether this changed: " + o.Why
				changes = append(changes, object{"rule", o.Name(), "what", w.String(), "message", why, "witness", nil})
			}
		}
	}
	list(d, "changes", changes)
	if left != nil {
		d.Member("left_out", left)
	}
	if s := e.Stock; s != nil {
		d.Member("on", textOrNull(s.On.String()))
		list(d, "clubs", lists.Each(s.Effects, func(x editions.Effect) object {
			of := append(object{"rule", x.Name(), "subject", subjectJSON(x.Subject, nil)}, verdictsOf(x.Old, x.New)...)
			old, new := amountOf(marginOf(x.Old.Result), true), amountOf(marginOf(x.New.Result), true)
			return append(of, "old_margin", old, "new_margin", new)
		}))
		s.Notes.members(d)
	}
	return d.End()
}

// verdictsOf are the members that say what two editions say.
func verdictsOf(old, new space.Saying) object {
	return object{"old", verdictOrNull(old.Verdict(true)), "new", verdictOrNull(new.Verdict(true))}
}

// verdictOrNull is the word for a verdict; nil if there is none.
func verdictOrNull(v decide.Verdict) *string {
	if v == 0 {
		return nil
	}
	return textOrNull(v.String())
}

// marginOf is how far inside its limits a value is; no amount if there is none.
func marginOf(r *judge.Result) unit.Amount {
	if r == nil {
		return unit.Amount{}
	}
	return r.Margin
}

// Vetting is what is to be said of rule books.
type Vetting struct {
	Findings []vet.Finding // mistakes too, without a witness
	Books    int           // that were read
	LeftOut  []string      // what was not looked at, as whole sentences without full stop
}

// Add takes in mistakes.
func (v *Vetting) Add(list diag.List) {
	found := lists.Each(list, func(d diag.Diagnostic) vet.Finding { return vet.Finding{Diagnostic: d} })
	v.Findings = append(v.Findings, found...)
}

// Sort puts everything in the order of the books and of their text.
func (v *Vetting) Sort() {
	slices.SortStableFunc(v.Findings, func(a, b vet.Finding) int { return diag.Compare(a.Diagnostic, b.Diagnostic) })
}

// spanOf are the members that say where a stretch of a book is; its end is beyond it.
func spanOf(s source.Span) object {
	var from, to source.Pos
	if !s.IsZero() {
		from, to = s.Pos(), s.EndPos()
	}
	return object{"line", from.Line, "column", from.Column, "end_line", to.Line, "end_column", to.Column}
}

// diagnosticOf is a finding.
func diagnosticOf(f vet.Finding) object {
	d, file := f.Diagnostic, ""
	if !d.Span.IsZero() {
		file = d.Span.File.Name
	}
	related := []object{}
	for _, l := range d.Related {
		if !l.Span.IsZero() {
			at := append(object{"file", l.Span.File.Name}, spanOf(l.Span)...)
			related = append(related, append(at, "message", l.Text))
		}
	}
	out := append(object{"code", d.Code, "severity", d.Severity.String(), "file", file}, spanOf(d.Span)...)
	out = append(out, "message", d.Message, "expected", textOrNull(d.Expected), "hint", textOrNull(d.Hint)).
		with(len(d.Notes) > 0, "notes", d.Notes)
	if m := d.Mend; !m.Span.IsZero() {
		out = append(out, "mend", append(spanOf(m.Span), "text", m.Text, "safe", m.Safe))
	}
	out = append(out, "related", related)
	if w := f.Witness; w != nil {
		verdicts := object{}
		for _, v := range w.Verdicts {
			verdicts = append(verdicts, nameOf(v.Rule), verdictOrNull(v.Verdict))
		}
		out = append(out, "witness", append(witnessOf(w.Example), "verdicts", verdicts))
	}
	return out
}

// vetShort writes a line for each finding.
func vetShort(w io.Writer, v *Vetting) error {
	var b bytes.Buffer
	for _, f := range v.Findings {
		d := f.Diagnostic
		if !d.Span.IsZero() {
			at := d.Span.Pos()
			fmt.Fprintf(&b, "%s:%d:%d: ", wording.Visible(d.Span.File.Name), at.Line, at.Column)
		}
		fmt.Fprintf(&b, "%s: %s [%s]\n", d.Severity, wording.Visible(d.Message), d.Code)
	}
	for _, what := range v.LeftOut {
		fmt.Fprintf(&b, "left out: %s\n", wording.Visible(what))
	}
	_, err := w.Write(b.Bytes())
	return err
}

// Vet writes what is to be said of rule books: short, or as JSON.
func Vet(w io.Writer, short bool, t Tool, v *Vetting) error {
	if short {
		return vetShort(w, v)
	}
	d := newDocument(w, "json", "ferrule.vet/1", t)
	list(d, "diagnostics", lists.Each(v.Findings, diagnosticOf))
	if len(v.LeftOut) > 0 {
		d.Member("left_out", v.LeftOut)
	}
	return d.End()
}
