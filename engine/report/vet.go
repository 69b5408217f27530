package report

// This file is the view of what is to be said of rule books without clubs: their mistakes, and what their analysis
// found.

import (
	"bytes"
	"cmp"
	"io"
	"slices"
	"strings"

	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// shownList is everything as a person reads it.
func shownList(v *data.Vetting) diag.List {
	var out diag.List
	for _, f := range v.Findings {
		d := f.Diagnostic
		d.Shown, d.Says = sheetOf(f.Witness)
		out.Add(d)
	}
	return out
}

// sheetOf is a witness, a line for each club, and what comes of it.
func sheetOf(w *space.Witness) (lines []string, outcome string) {
	if w == nil {
		return nil, ""
	}
	own, order := space.Split(w.Rows)
	if lines = wording.Rows(own); order != nil {
		lines = slices.Concat(lines, []string{"and the order:"}, wording.Rows(order))
	}
	var says []string
	for _, v := range w.Verdicts {
		says = append(says, v.Rule.Decl.Name.Text+": "+v.Verdict.String())
	}
	outcome = strings.Join(says, ", ")
	if w.On != book.NoDay {
		outcome += ", on " + w.On.String()
	}
	return lines, outcome
}

// Vet writes what is to be said of rule books.
func Vet(w io.Writer, v *data.Vetting, o Options) error {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.Vet(w, o.Format == "short", o.Tool, v)
	}
	if p.page {
		p.put(doc.Head{Title: "What is to be said of rule books"})
	}
	p.put(vetBlocks(v, o.Colour)...)
	return p.end()
}

// vetBlocks are the findings, each with its place in the book, and how many there are.
func vetBlocks(v *data.Vetting, colour bool) []doc.Block {
	all := shownList(v)
	var out []doc.Block
	var text bytes.Buffer
	diag.Render(&text, all, diag.RenderOptions{Width: doc.Columns, Colour: colour})
	if text.Len() > 0 {
		out = append(out, doc.Verbatim(strings.Split(strings.TrimSuffix(text.String(), "\n"), "\n")))
	}
	for _, what := range v.LeftOut {
		out = append(out, doc.Verbatim{"left out: " + wording.Visible(what)})
	}
	return append(out, doc.Verbatim{vetTotal(all, v.Books)})
}

// vetTotal says how many mistakes there are in how many books.
func vetTotal(list diag.List, books int) string {
	errors := counted(list, func(d *diag.Diagnostic) bool { return d.Severity == diag.Error })
	some := func(n int, one string) string {
		if n == 0 {
			return ""
		}
		return wording.Counted(n, one, one+"s")
	}
	words := wording.Join(" and ", some(errors, "error"), some(len(list)-errors, "warning"))
	return cmp.Or(words, "no mistakes") + " in " + wording.Counted(books, "book", "books")
}
