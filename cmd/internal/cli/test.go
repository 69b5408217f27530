package cli

// This file is the command "test", which runs the cases of rule books, and adds those that were worked out to a book.

import (
	"context"
	"io"
	"slices"
	"strings"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

func runTest(c *call) error {
	var tested []data.Tested
	var programs []*judge.Program
	for _, name := range c.args {
		loaded, list, err := c.loadBooks([]string{name})
		if err == nil && c.diagnose(list, c.colour) {
			err = errReported
		}
		if err != nil {
			c.done.faulty = true
			c.say(err)
			continue
		}
		p := judge.Compile(loaded.Roots, loaded.Schema)
		programs, c.ofBooks = append(programs, p), append(c.ofBooks, loaded.Roots...)
		tested = append(tested, tests(p, c.only))
	}
	// A rule that is not there may be in a book that could not be read.
	if err := knowsRules(c.only, programs...); err != nil && !c.done.faulty {
		return err
	}
	if len(tested) == 0 {
		return nil
	}
	if err := c.open(); err != nil {
		return err
	}
	for i := range tested {
		t := &tested[i]
		if c.write {
			if err := c.addCases(t, programs[i]); err != nil {
				c.done.faulty = true
				c.say(err)
			} else if !slices.ContainsFunc(c.papers, func(p paper) bool { return p.Format == "text" }) {
				c.noteAdded(t)
			}
		}
		if len(t.Outcomes) == 0 {
			c.done.faulty = true
			c.note("ferrule: %s", noCases(t, c.only))
		}
		c.done.apart = c.done.apart || slices.ContainsFunc(t.Outcomes, func(o trial.Outcome) bool { return !o.Right() })
	}
	return c.draw(func(w io.Writer, shown report.Options) error { return report.Tests(w, tested, shown) })
}

// tests runs the cases of the book of a program; only names the rules to look at, none
// for all.
func tests(p *judge.Program, only []string) data.Tested {
	b := p.Books[0]
	t := data.Tested{Book: b, Outcomes: trial.Run(p, b)}
	wanted := func(rule string) bool { return len(only) == 0 || slices.Contains(only, rule) }
	t.Outcomes = slices.DeleteFunc(t.Outcomes, func(o trial.Outcome) bool { return !wanted(o.Expect.Rule.Text) })
	other := func(c trial.Coverage) bool { return !wanted(c.Rule.Decl.Name.Text) }
	t.Coverage = slices.DeleteFunc(trial.Cover(b, t.Outcomes), other)
	for _, comment := range b.Tree.Comments {
		if strings.TrimSpace(comment.Text) == trial.Mark {
			t.Open++
		}
	}
	return t
}

// noCases says that nothing was run of a book.
func noCases(t *data.Tested, only []string) string {
	name := diag.Quote(t.Book.Name)
	if len(only) > 0 && len(t.Book.Cases) > 0 {
		return "no case of " + name + " expects anything of " + choices(only)
	}
	return name + " has no cases, so nothing was tested"
}

// addCases works out cases for what is missing and adds them at the end of the book's file. What t says is then about
// the book with them. A rule whose own cases do not all hold gets none.
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
