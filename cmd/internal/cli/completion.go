package cli

import (
	"bytes"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/cmd/internal/watch"
	"ferrule/engine"
	"ferrule/rulesets"
)

func newCompletionCmd(s *Streams, root *cobra.Command) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	one := takes{1, 1, "the name of a shell: " + choices(shells), nil}
	cmd := command("completion", one, func(args []string) error {
		switch slices.Index(shells, args[0]) {
		case 0:
			return root.GenBashCompletionV2(s.Out, true)
		case 1:
			return root.GenZshCompletion(s.Out)
		case 2:
			return root.GenFishCompletion(s.Out, true)
		case 3:
			return root.GenPowerShellCompletionWithDesc(s.Out)
		}
		return mistake("completion is for " + choices(shells) + didYouMean(args[0], shells))
	})
	cmd.ValidArgs = shells
	return cmd
}

// complete has every option of the commands that takes a name complete it.
func (s *Streams) complete(root *cobra.Command) {
	for _, cmd := range root.Commands() {
		for _, option := range []string{"rules", "only", "rule", "by", "to", "club", "set"} {
			files := cobra.ShellCompDirectiveNoFileComp
			if option == "rules" {
				files = cobra.ShellCompDirectiveDefault
			}
			if cmd.Flags().Lookup(option) != nil {
				cmd.RegisterFlagCompletionFunc(option, func(cmd *cobra.Command, args []string, begun string) (
					[]string, cobra.ShellCompDirective) {
					other := func(name string) bool { return !strings.HasPrefix(name, begun) }
					return slices.DeleteFunc(s.namesFor(option, cmd, args), other), files
				})
			}
		}
		if cmd.Name() == "books" {
			cmd.ValidArgs = rulesets.Names()
		}
	}
}

// namesFor are the names that an option may have, from the books and the sheets of a call that is being typed. What is
// wrong with these is not said.
func (s *Streams) namesFor(option string, cmd *cobra.Command, sheets []string) (names []string) {
	if option == "rules" {
		return rulesets.Names()
	}
	none := new(bytes.Buffer)
	quiet := &Streams{In: none, Out: none, Err: none, Now: s.Now, seen: watch.Stamps{}}
	var o asked
	o.rules, _ = cmd.Flags().GetStringArray("rules")
	o.by, _ = cmd.Flags().GetString("by")
	sheets = slices.DeleteFunc(slices.Clone(sheets), func(name string) bool { return name == stdin })
	l, err := quiet.lawsOf(&o, "equipment-rules", sheets...)
	switch {
	case err != nil:
		return nil
	case option == "by", option == "to":
		return slices.Clone(l.Measuring.Methods())
	case option == "only", option == "rule":
		for _, r := range l.Rules() {
			names = append(names, r.Decl.Name.Text)
		}
		return names
	}
	for _, name := range sheets {
		sets, _ := quiet.wholeSheet(name, engine.SheetOptions(o.by, l.Measuring))
		for _, set := range sets {
			if option == "set" {
				names = append(names, set.Name)
				continue
			}
			for _, c := range set.Clubs {
				names = append(names, c.ID)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}
