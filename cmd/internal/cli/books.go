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
		text, err := shippedText(strings.TrimSuffix(c.args[0], bookEnding))
		c.Out.Write(text)
		return err
	}
	for _, name := range rulesets.Names() {
		text, err := shippedText(name)
		if err != nil {
			return err
		}
		tree, _ := parser.Parse(source.NewFile(name, string(text)))
		h := tree.Header // a shipped book has a title and an edition
		fmt.Fprintf(c.Out, "%-15s  %s, edition %s\n", name, h.Title.Value, h.Edition.Date.Value)
	}
	return nil
}
