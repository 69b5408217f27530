package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

func newBooksCmd(s *Streams) *cobra.Command {
	return command("books", takes{0, 1, "one name of a shipped book", nil}, func(args []string) error {
		if len(args) == 1 {
			return runPrintBook(s, args[0])
		}
		return runListBooks(s)
	})
}

func runPrintBook(s *Streams, name string) error {
	name = strings.TrimSuffix(name, ".ferrule")
	if err := knownBook(name); err != nil {
		return err
	}
	text, err := s.bookText(name)
	if err != nil {
		return err
	}
	_, err = s.Out.Write(text)
	return err
}

func runListBooks(s *Streams) error {
	names := rulesets.Names()
	for _, n := range names {
		text, err := s.bookText(n)
		if err != nil {
			return err
		}
		tree, _ := parser.Parse(source.NewFile(n, string(text)))
		title := ""
		if h := tree.Header; h != nil {
			if h.Title != nil {
				title = h.Title.Value
			}
			if h.Edition != nil {
				title += ", edition " + h.Edition.Date.Value
			}
		}
		if _, err := fmt.Fprintf(s.Out, "%-15s  %s\n", n, title); err != nil {
			return err
		}
	}
	return nil
}
