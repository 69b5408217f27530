package editor

// This file offers changes of a book: mends of mistakes, and cases for what no case shows.

import (
	"context"
	"slices"
	"strings"
	"sync"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// The kinds of code actions.
const (
	quickFix = "quickfix"
	fixAll   = "source.fixAll.ferrule"
	rewrite  = "refactor.rewrite"
)

// action is a change that a person may choose.
type action struct {
	Title       string        `json:"title"`
	Kind        string        `json:"kind"`
	Diagnostics []diagnostic  `json:"diagnostics,omitempty"`
	IsPreferred bool          `json:"isPreferred,omitempty"`
	Edit        WorkspaceEdit `json:"edit"`
}

// actions are the changes that are offered for a range, of the kinds that the client asks for.
func actions(r *request) (any, error) {
	d, all := r.doc, []action{}
	offer := func(title, kind string, preferred bool, of []finding, edits []TextEdit) {
		edit := WorkspaceEdit{map[string][]TextEdit{d.URI: edits}}
		a := action{Title: title, Kind: kind, IsPreferred: preferred, Edit: edit}
		a.Diagnostics = lists.Each(of, finding.shown)
		if len(edits) > 0 {
			all = append(all, a)
		}
	}
	start, end := d.Offset(r.Range.Start), d.Offset(r.Range.End)
	var safe bool
	for _, f := range r.server.concerning(d.URI, d) {
		m := f.Mend
		mends := m.Fits(m.Span.File) && f.by.fileOf(m.Span.File) == d.URI
		safe = safe || mends && m.Safe
		if f.Span.Start > end || f.Span.End < start {
			continue
		}
		if mends && r.wants(quickFix) {
			offer(mending(m), quickFix, true, []finding{f}, []TextEdit{{d.Range(m.Span), m.Text}})
		}
		if f.Witness != nil && r.wants(rewrite) {
			offer("Write a case from this witness", rewrite, false, []finding{f}, d.witness(f))
		}
	}
	if r.wants(rewrite) {
		offer("Write the missing cases of this rule", rewrite, false, nil, d.missing(r.ctx, r.Range))
	}
	if safe && r.wants(fixAll) {
		offer("Make all safe mends", fixAll, false, nil, d.mended())
	}
	return all, nil
}

// wants reports whether the client asks for a kind of action, or for all of them.
func (r *request) wants(kind string) bool {
	return len(r.Context.Only) == 0 || slices.ContainsFunc(r.Context.Only, func(only string) bool {
		return only == "" || kind == only || strings.HasPrefix(kind, only+".")
	})
}

// mending says what a mend does.
func mending(m diag.Mend) string {
	was, now := m.Span.Text(), diag.Quote(m.Text)
	switch {
	case was == "":
		return "Write " + now
	case m.Text == "":
		return "Take away " + diag.Quote(was)
	}
	return "Write " + now + " for " + diag.Quote(was)
}

// mended are the edits that make all safe mends.
func (d *document) mended() []TextEdit {
	folder, opened := d.Folder()
	defer opened.Close()
	load.Mend(rulesets.FS(), d.root(folder))
	return d.edits(string(folder.Texts[d.show()]))
}

// facts are what is worked out of a document when it is first asked for.
type facts struct {
	program  func() *judge.Program
	outcomes func() []trial.Outcome // of the cases; none where the book has a mistake
	made     sync.Map               // by rule: func() []TextEdit that write its missing cases
}

// prepare makes ready what is worked out when it is first asked for.
func (b *books) prepare() {
	b.program = sync.OnceValue(func() *judge.Program { return judge.Compile(b.Roots, b.Schema) })
	b.outcomes = sync.OnceValue(func() []trial.Outcome {
		if b.Mistakes.HasErrors() {
			return nil
		}
		return trial.Run(b.program(), b.Root())
	})
}

// missing are the edits that write the missing cases of the rule at a range; none where its own do not hold.
func (d *document) missing(ctx context.Context, at Range) []TextEdit {
	b := d.Books()
	i := slices.IndexFunc(b.Root().Rules, func(r *book.Rule) bool { return at.touches(d.Range(r.Decl.Span)) })
	if i < 0 || b.Mistakes.HasErrors() {
		return nil
	}
	rule := b.Root().Rules[i]
	edits, _ := b.made.LoadOrStore(rule, sync.OnceValue(func() []TextEdit {
		ofOthers := func(c trial.Coverage) bool { return c.Rule != rule }
		cover := slices.DeleteFunc(trial.Cover(b.Root(), b.outcomes()), ofOthers)
		made, _ := trial.WorkOut(ctx, b.program(), b.Root(), cover)
		return d.with(lists.Each(made, func(m trial.Made) string { return m.Text })...)
	}))
	found := edits.(func() []TextEdit)()
	if ctx.Err() != nil { // it is not whole
		b.made.Delete(rule)
	}
	return found
}

// witness are the edits that write the witness of a finding as a case, unless the book has it.
func (d *document) witness(f finding) []TextEdit {
	b := d.Books()
	text := load.Case(f.Case())
	if text == "" || b.Mistakes.HasErrors() || strings.Contains(format.Format(b.Root().Tree), strings.TrimSpace(text)) {
		return nil
	}
	return d.with(trial.Mark + "\n" + text)
}

// with are the edits that write cases behind the last declaration; none where the book would have a mistake with them,
// or one of them would not hold.
func (d *document) with(cases ...string) []TextEdit {
	folder, opened := d.Folder()
	defer opened.Close()
	text := load.WithCases(d.All, cases...)
	folder.Texts[d.show()] = []byte(text)
	loaded, list := load.Load(rulesets.FS(), d.root(folder))
	if list.HasErrors() {
		return nil
	}
	after := loaded.Roots[0]
	for _, o := range trial.Run(judge.Compile(loaded.Roots, loaded.Schema), after) {
		if !o.Right() && slices.Index(after.Cases, o.Case) >= len(d.Books().Root().Cases) {
			return nil
		}
	}
	return d.edits(text)
}
