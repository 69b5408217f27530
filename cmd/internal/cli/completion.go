package cli

// This file is the command "completion", which writes a completion script for a shell.

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/cmd/internal/watch"
	"ferrule/engine"
	"ferrule/lang/lists"
	"ferrule/rulesets"
)

// shells are those that a completion is written for.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func runCompletion(c *call) error {
	switch slices.Index(shells, c.args[0]) {
	case 0:
		return c.root.GenBashCompletionV2(c.Out, true)
	case 1:
		return c.root.GenZshCompletion(c.Out)
	case 2:
		return c.root.GenFishCompletion(c.Out, true)
	case 3:
		return c.root.GenPowerShellCompletionWithDesc(c.Out)
	}
	return mistake("completion is for " + choices(shells) + didYouMean(c.args[0], shells))
}

// completed are the options that complete the names that they take.
var completed = []string{"rules", "only", "rule", "by", "order-by", "to", "club", "set"}

// completion completes a name that an option takes.
func (c *call) completion(option string) cobra.CompletionFunc {
	files := cobra.ShellCompDirectiveNoFileComp
	if option == "rules" {
		files = cobra.ShellCompDirectiveDefault
	}
	return func(cmd *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
		other := func(name string) bool { return !strings.HasPrefix(name, begun) }
		sheets, books := args, c.rules
		if cmd.Name() == "test" || cmd.Name() == "diff" {
			sheets, books = []string{cmp.Or(c.beside, stdin)}, args
		}
		return slices.DeleteFunc(c.namesFor(option, sheets, books), other), files
	}
}

// namesFor are the names that an option may have, from the books and the sheets of a call that is being typed. What is
// wrong with these is not said.
func (c *call) namesFor(option string, sheets, books []string) (names []string) {
	if option == "rules" {
		return rulesets.Names()
	}
	none := new(bytes.Buffer)
	quiet := &call{Streams: &Streams{In: none, Out: none, Err: none, Now: c.Now, seen: watch.Stamps{}}, rules: books,
		by: c.by}
	sheets = slices.DeleteFunc(slices.Clone(sheets), func(name string) bool { return name == stdin })
	l, err := quiet.booksFor("equipment-rules", sheets...)
	switch {
	case err != nil:
		return nil
	case strings.HasSuffix(option, "by"), option == "to":
		return slices.Clone(l.Measuring.Methods())
	case option == "only", option == "rule":
		for _, r := range l.Rules() {
			names = lists.Also(names, r.Decl.Name.Text) // which both editions may have
		}
		return names
	}
	for _, name := range sheets {
		sets, _ := quiet.wholeSheet(name, engine.SheetOptions(c.by, l.Measuring))
		for _, set := range sets {
			if option == "set" {
				names = append(names, set.Name)
				continue
			}
			for _, club := range set.Clubs {
				names = append(names, club.ID)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}
