package cli

// This file is the command "books", which lists the shipped rule books, or prints one.

import (
	"fmt"
	"strings"

	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

func runBooks(c *call) error {
	if len(c.args) == 1 {
		return printBook(c.Streams, c.args[0])
	}
	return listBooks(c.Streams)
}

func printBook(s *Streams, name string) error {
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

func listBooks(s *Streams) error {
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
