package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"ferrule/engine/report"
	"ferrule/lang/diag"
)

// vetOptions is what "vet" was asked for.
type vetOptions struct {
	books  []string
	format string
	output string
	colour string
	fix    bool
}

var vetFormats = []string{"text", "json"}

func newVetCmd(s *Streams, done *outcome) *cobra.Command {
	var o vetOptions
	cmd := &cobra.Command{
		Use:   "vet BOOK...",
		Short: "reads rule books without clubs and lists their mistakes",
		Long: `Reads rule books, files or shipped ones by name, with all that they use, and lists
every mistake with its place and its mend. "ferrule help CODE" explains the code
that stands at the end of a message. With --fix the mends that can mean nothing else
are made in the files, and told on the error stream; what is left is listed.

Exit codes: 0 nothing, or warnings only; 3 errors.`,
		Example: "ferrule vet house.ferrule",
		Args:    atLeast(1, "a rule book"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.books = args
			return runVet(s, &o, done)
		},
	}
	cmd.Flags().SortFlags = false
	cmd.Flags().BoolVar(&o.fix, "fix", false, "mend in the files what can mean nothing else, such as a capital or ≤")
	addReportFlags(cmd, &o.format, &o.output, &o.colour, "text or json")
	return cmd
}

func runVet(s *Streams, o *vetOptions, done *outcome) error {
	c := colour(o.colour)
	if err := c.check(); err != nil {
		return err
	}
	if err := formatIn(o.format, vetFormats); err != nil {
		return err
	}
	load := s.loadBooks
	if o.fix {
		load = s.mendBooks
	}
	loaded, list, err := load(o.books)
	if err != nil {
		return err
	}
	out, err := s.openOutput(o.output, o.books)
	if err != nil {
		return err
	}
	done.faulty = list.HasErrors()
	if o.format == "json" {
		err = report.Diagnostics(out, list)
	} else {
		diag.Render(out, list, diag.RenderOptions{Width: pageWidth, Colour: c.on(s.outTerminal && o.output == "")})
		_, err = fmt.Fprintln(out, vetTotals(list, len(loaded.All)))
	}
	if err != nil {
		out.drop()
		return err
	}
	return out.keep()
}

// vetTotals is the last line: how many mistakes there are in how many books.
func vetTotals(list diag.List, books int) string {
	errors := 0
	for _, d := range list {
		if d.Severity == diag.Error {
			errors++
		}
	}
	in := " in " + number(books, "book")
	switch warnings := len(list) - errors; {
	case len(list) == 0:
		return "no mistakes" + in
	case errors == 0:
		return number(warnings, "warning") + in
	case warnings == 0:
		return number(errors, "error") + in
	default:
		return number(errors, "error") + " and " + number(warnings, "warning") + in
	}
}

// number is "1 book", "2 books".
func number(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
