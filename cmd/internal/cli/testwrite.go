package cli

// This file adds cases that were worked out to the file of a book.

import (
	"context"
	"slices"
	"strings"

	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// addCases works out cases for what is missing and adds them at the end of the book's
// file, and t is then about the book with them. Nothing is written where a case does not
// hold before, or the book with the new ones would have a mistake or a case that does
// not hold.
func (c *call) addCases(t *data.Tested, p *judge.Program) error {
	name := t.Book.Name
	for _, of := range t.Coverage {
		if of.Wrong > 0 {
			c.note("ferrule: nothing was written into %s for %s: its own cases do not all hold yet", diag.Quote(name),
				of.Rule.Decl.Name.Text)
		}
	}
	made, left := trial.WorkOut(context.Background(), p, t.Book, t.Coverage)
	t.Left = left
	if len(made) == 0 {
		return nil
	}
	p, err := c.writeCases(t.Book, made)
	if err != nil {
		return err
	}
	after := tests(p, c.only)
	after.Added, after.Left = made, left
	*t = after
	return nil
}

// writeCases writes cases at the end of a book's file. Nothing is written where the file is not the book any more, or
// the book with them would have a mistake, or one of them does not hold.
func (c *call) writeCases(b *book.Book, made []trial.Made) (*judge.Program, error) {
	old, err := c.readBook(b.Name)
	if err != nil {
		return nil, err
	}
	nothing := "nothing was written into " + diag.Quote(b.Name) + ": "
	if strings.TrimPrefix(string(old), "\ufeff") != b.File.Text {
		return nil, mistake(diag.Quote(b.Name) +
			" was changed by somebody else in the meantime, so nothing was written into it")
	}
	cases := lists.Each(made, func(m trial.Made) string { return m.Text })
	text := load.WithCases(string(old), cases...)
	roots, err := c.roots([]string{b.Name})
	if err != nil {
		return nil, err
	}
	r := roots[0]
	r.FS = r.FS.(*load.Folder).With(r.Path, []byte(text))
	loaded, list := load.Load(rulesets.FS(), []load.Root{r})
	if list.HasErrors() {
		c.diagnose(list, c.colour)
		return nil, mistake(nothing + "with the cases that were worked out it would have these mistakes")
	}
	p := judge.Compile(loaded.Roots, loaded.Schema)
	fresh := p.Books[0].Cases[len(b.Cases):]
	for _, o := range trial.Run(p, p.Books[0]) {
		if slices.Contains(fresh, o.Case) && !o.Right() {
			return nil, mistake(nothing + "a case that was worked out does not hold: " + o.Expect.Rule.Text + ": " +
				wording.Visible(wording.Outcome(&o)))
		}
	}
	return p, c.replace(b.Name, []byte(text))
}

// noteAdded says on the error stream what was written and what was not found, for formats without a place for it.
func (c *call) noteAdded(t *data.Tested) {
	if len(t.Added) > 0 {
		c.note("ferrule: %s added to %s", wording.Counted(len(t.Added), "case", "cases"), diag.Quote(t.Book.Name))
	}
	for _, l := range t.Left {
		c.note("ferrule: no case was found for %s, %s: %s", l.Rule.Decl.Name.Text, l.Gap, l.Reason)
	}
}
