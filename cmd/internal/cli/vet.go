package cli

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
)

// vetOptions is what "vet" was asked for.
type vetOptions struct {
	reporting
	books []string
	fix   bool
	write bool
}

func newVetCmd(s *Streams, done *outcome) *cobra.Command {
	var o vetOptions
	cmd := command("vet", takes{1, many, "a rule book", bookFiles}, func(args []string) error {
		o.books = args
		return runVet(s, &o, done)
	})
	cmd.Flags().BoolVar(&o.fix, "fix", false, "make the mends that can mean nothing else in the files")
	cmd.Flags().BoolVar(&o.write, "write", false, "add the clubs that show a finding as cases of the book")
	o.reporting.flags(cmd, "", report.Formats("short", "json"))
	return cmd
}

func runVet(s *Streams, o *vetOptions, done *outcome) error {
	if err := s.settle(&o.reporting); err != nil {
		return err
	}
	for _, name := range o.books {
		var err error
		switch {
		case o.write:
			err = onlyFiles("--write", name)
		case o.fix:
			err = onlyFiles("--fix", name)
		}
		if err != nil {
			return err
		}
	}
	load := s.loadBooks
	if o.fix {
		load = s.mendBooks
	}
	loaded, list, err := load(o.books)
	if err != nil {
		return err
	}
	if _, err := s.open(&o.reporting); err != nil {
		return err
	}
	done.faulty = list.HasErrors()
	v := vetting(loaded, list)
	if o.write {
		if err := s.addWitnesses(v, loaded.Roots, o.colour, done); err != nil {
			return err
		}
	}
	return s.draw(&o.reporting, new(outcome), func(w io.Writer, shown report.Options) error {
		return report.Vet(w, v, shown)
	})
}

// vetting is what is to be said of books: their mistakes, and what the analysis of each that was named
// finds in its sound rules.
func vetting(loaded *load.Loaded, list diag.List) *data.Vetting {
	v := &data.Vetting{Books: len(loaded.All)}
	v.Add(list)
	seen := map[*book.Book]bool{}
	for _, b := range loaded.Roots {
		if seen[b] {
			continue
		}
		seen[b] = true
		if n := errorsIn(list); n > mostErrors {
			v.LeftOut = append(v.LeftOut, fmt.Sprintf("what the rules of %s do together: it has %d errors; mend them first", diag.Quote(b.Name), n))
			continue
		}
		sound := b
		if list.HasErrors() {
			sound = b.Sound()
		}
		found := vet.Book(context.Background(), judge.Compile([]*book.Book{sound}, loaded.Schema), sound)
		v.Findings = append(v.Findings, found.List...)
		v.LeftOut = append(v.LeftOut, found.LeftOut...)
	}
	v.Sort()
	return v
}

// mostErrors is how many errors a book may have whose sound rules are analysed.
const mostErrors = 50

// errorsIn counts the errors of a list.
func errorsIn(list diag.List) int {
	n := 0
	for _, d := range list {
		if d.Severity == diag.Error {
			n++
		}
	}
	return n
}

// number is "1 book", "2 books".
func number(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
