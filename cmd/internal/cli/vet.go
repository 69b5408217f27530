package cli

// This file is the command "vet", which finds mistakes in rule books, mends them, and adds what shows a finding to its
// book as a case.

import (
	"bytes"
	"context"
	"io"
	"os"
	"strings"

	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

func runVet(c *call) error {
	load := c.loadBooks
	if c.fix {
		load = c.mendBooks
	}
	loaded, list, err := load(c.args)
	if err != nil {
		return err
	}
	c.ofBooks = loaded.Roots
	if err := c.open(); err != nil {
		return err
	}
	c.done.faulty = list.HasErrors()
	v := vetting(loaded, list)
	if c.write {
		if err := c.addWitnesses(v, loaded.Roots); err != nil {
			return err
		}
	}
	return c.draw(func(w io.Writer, shown report.Options) error { return report.Vet(w, v, shown) })
}

// vetting is what is to be said of books: their mistakes, and what the analysis of each that was named
// finds in its sound rules.
func vetting(loaded *load.Loaded, list diag.List) *data.Vetting {
	v := &data.Vetting{Books: len(loaded.All)}
	v.Add(list)
	for _, b := range loaded.Roots {
		found := vet.Sound(context.Background(), b, loaded.Schema, list)
		v.Findings = append(v.Findings, found.List...)
		v.LeftOut = append(v.LeftOut, found.LeftOut...)
	}
	v.Sort()
	return v
}

// addWitnesses adds the witnesses of each book that was named at the end of its file, those that
// it does not hold already. A book with mistakes is left as it is.
func (c *call) addWitnesses(v *data.Vetting, books []*book.Book) error {
	for _, b := range books {
		if c.done.faulty {
			c.note("ferrule: nothing was written into %s: the books have mistakes", diag.Quote(b.Name))
			continue
		}
		made, unsaid := casesOf(v, b)
		if unsaid > 0 {
			c.note("ferrule: %s of %s cannot be a case, where each rule has to give a verdict",
				wording.Counted(unsaid, "finding", "findings"), diag.Quote(b.Name))
		}
		if len(made) == 0 {
			continue
		}
		if _, err := c.writeCases(b, made); err != nil {
			return err
		}
		c.note("ferrule: %s added to %s", wording.Counted(len(made), "case", "cases"), diag.Quote(b.Name))
	}
	return nil
}

// casesOf are the witnesses of a book as cases, without those that it holds, and how many no case can say.
func casesOf(v *data.Vetting, b *book.Book) (made []trial.Made, unsaid int) {
	laid := format.Format(b.Tree)
	for i := range v.Findings {
		f := &v.Findings[i]
		if f.Witness == nil || f.Span.File != b.File {
			continue
		}
		switch text := load.Case(f.Case()); {
		case text == "":
			unsaid++
		case !strings.Contains(laid, strings.TrimSpace(text)):
			laid += "\n" + text
			made = append(made, trial.Made{Text: trial.Mark + "\n" + text})
		}
	}
	return made, unsaid
}

// mendBooks makes the safe mends in the files named, lists them on the error stream, and returns the books as they are
// then.
func (s *Streams) mendBooks(names []string) (*load.Loaded, diag.List, error) {
	roots, err := s.roots(names)
	if err != nil {
		return nil, nil, err
	}
	loaded, list, made := load.Mend(rulesets.FS(), roots)
	for _, r := range roots {
		text, changed := r.FS.(*load.Folder).Texts[r.Path]
		if !changed {
			continue
		}
		old, err := os.ReadFile(r.Show)
		if err != nil {
			return nil, nil, err
		}
		if mark := []byte("\ufeff"); bytes.HasPrefix(old, mark) {
			text = append(mark, text...)
		}
		if err := s.replace(r.Show, text); err != nil {
			return nil, nil, err
		}
		for _, d := range made[r.Show] {
			at := d.Mend.Span.Pos()
			s.note("%s:%d:%d: mended: %s is now %s [%s]", diag.Visible(r.Show), at.Line, at.Column,
				diag.Quote(d.Mend.Span.Text()), diag.Quote(d.Mend.Text), d.Code)
		}
	}
	return loaded, list, nil
}
