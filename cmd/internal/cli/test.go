package cli

// This file is the command "test", which runs the cases of rule books.

import (
	"io"
	"slices"
	"strings"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/trial"
	"ferrule/lang/diag"
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
		programs, c.asked = append(programs, p), append(c.asked, loaded.Roots...)
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
