package cli

import (
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/trial"
	"ferrule/lang/diag"
)

// testOptions is what "test" was asked for.
type testOptions struct {
	asked
	books []string
	write bool
}

func newTestCmd(s *Streams, done *outcome) *cobra.Command {
	var o testOptions
	cmd := command("test", takes{1, many, "a rule book", bookFiles}, func(args []string) error {
		o.books = args
		return runTest(s, &o, done)
	})
	o.options(cmd, "only")
	f := cmd.Flags()
	f.BoolVar(&o.write, "write", false, "add cases for what no case shows")
	o.reporting.flags(cmd, "expectation", report.TestFormats())
	return cmd
}

func runTest(s *Streams, o *testOptions, done *outcome) error {
	if err := s.settle(&o.reporting); err != nil {
		return err
	}
	o.narrowed()
	if o.write {
		for _, name := range o.books {
			if err := onlyFiles("--write", name); err != nil {
				return err
			}
		}
	}
	var tested []data.Tested
	var programs []*judge.Program
	for i, name := range o.books {
		if namedBefore(o.books[:i], name) {
			continue
		}
		p, err := s.loadProgram(o.colour, name)
		if err != nil {
			done.faulty = true
			s.say(err)
			continue
		}
		programs = append(programs, p)
		t := tests(p, o.only)
		tested = append(tested, t)
	}
	if err := knowsRules(o.only, programs...); err != nil && !done.faulty { // else it may be in a book that could not be read
		return err
	}
	if len(tested) == 0 {
		return nil
	}
	if _, err := s.open(&o.reporting); err != nil {
		return err
	}
	for i := range tested {
		t := &tested[i]
		if o.write {
			if err := s.addCases(t, programs[i], o, o.colour); err != nil {
				done.faulty = true
				s.say(err)
			} else if !slices.ContainsFunc(o.papers, func(p paper) bool { return p.Format == "text" }) {
				s.noteAdded(t)
			}
		}
		if len(t.Outcomes) == 0 {
			done.faulty = true
			s.note("ferrule: %s", noCases(t, o.only))
		}
		done.apart = done.apart || slices.ContainsFunc(t.Outcomes, func(o trial.Outcome) bool { return !o.Right() })
	}
	return s.draw(&o.reporting, new(outcome), func(w io.Writer, shown report.Options) error {
		return report.Tests(w, tested, shown)
	})
}

// namedBefore reports whether a book was named already, be it by another way to its file.
func namedBefore(names []string, name string) bool {
	info, err := os.Stat(name)
	return slices.ContainsFunc(names, func(n string) bool {
		if n == name || err != nil || isShipped(n) || isShipped(name) {
			return n == name
		}
		other, err := os.Stat(n)
		return err == nil && os.SameFile(info, other)
	})
}

// tests runs the cases of the book of a program; only names the rules to look at, none
// for all.
func tests(p *judge.Program, only []string) data.Tested {
	b := p.Books[0]
	t := data.Tested{Book: b, Outcomes: trial.Run(p, b)}
	wanted := func(rule string) bool { return len(only) == 0 || slices.Contains(only, rule) }
	t.Outcomes = slices.DeleteFunc(t.Outcomes, func(o trial.Outcome) bool { return !wanted(o.Expect.Rule.Text) })
	t.Coverage = slices.DeleteFunc(trial.Cover(b, t.Outcomes), func(c trial.Coverage) bool { return !wanted(c.Rule.Decl.Name.Text) })
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
