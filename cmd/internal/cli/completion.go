package cli

import (
	"bytes"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/engine"
	"ferrule/rulesets"
)

// shells are those that completion can be written for.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func newCompletionCmd(s *Streams, root *cobra.Command) *cobra.Command {
	cmd := command("completion", takes{1, 1, "the name of a shell: " + choices(shells), nil}, func(args []string) error {
		switch args[0] {
		case "bash":
			return root.GenBashCompletionV2(s.Out, true)
		case "zsh":
			return root.GenZshCompletion(s.Out)
		case "fish":
			return root.GenFishCompletion(s.Out, true)
		case "powershell":
			return root.GenPowerShellCompletionWithDesc(s.Out)
		}
		return mistake("completion is for " + choices(shells) + didYouMean(args[0], shells))
	})
	cmd.ValidArgs = shells
	return cmd
}

// complete has every option of the commands that takes a name complete it, from the books and the sheets of the call.
func (s *Streams) complete(root *cobra.Command) {
	for _, cmd := range root.Commands() {
		for option, names := range map[string]func(*cobra.Command, []string) []string{
			"rules": func(*cobra.Command, []string) []string { return rulesets.Names() },
			"only":  s.ruleNames, "rule": s.ruleNames, "by": s.methodNames, "to": s.methodNames,
			"club": func(cmd *cobra.Command, args []string) []string { return s.namesOnSheets(cmd, args, false) },
			"set":  func(cmd *cobra.Command, args []string) []string { return s.namesOnSheets(cmd, args, true) },
		} {
			if cmd.Flags().Lookup(option) == nil {
				continue
			}
			files := cobra.ShellCompDirectiveNoFileComp
			if option == "rules" {
				files = cobra.ShellCompDirectiveDefault
			}
			cmd.RegisterFlagCompletionFunc(option, func(cmd *cobra.Command, args []string, begun string) (
				[]string, cobra.ShellCompDirective) {
				other := func(name string) bool { return !strings.HasPrefix(name, begun) }
				return slices.DeleteFunc(names(cmd, args), other), files
			})
		}
		if cmd.Name() == "books" {
			cmd.ValidArgs = rulesets.Names()
		}
	}
}

// lawsFor are the books of a call that is being typed, and a quiet place for what would be said of them.
func (s *Streams) lawsFor(cmd *cobra.Command, args []string) (*laws, *Streams) {
	quiet := &Streams{In: strings.NewReader(""), Out: new(bytes.Buffer), Err: new(bytes.Buffer), Now: s.Now, seen: stamps{}}
	var o asked
	o.rules, _ = cmd.Flags().GetStringArray("rules")
	l, _ := quiet.lawsOf(&o, "equipment-rules", slices.DeleteFunc(args, func(a string) bool { return a == stdin })...)
	return l, quiet
}

func (s *Streams) ruleNames(cmd *cobra.Command, args []string) []string {
	l, _ := s.lawsFor(cmd, args)
	var out []string
	if l != nil {
		for _, r := range l.Rules() {
			out = append(out, r.Decl.Name.Text)
		}
	}
	return out
}

func (s *Streams) methodNames(cmd *cobra.Command, args []string) []string {
	l, _ := s.lawsFor(cmd, args)
	if l == nil {
		return nil
	}
	return slices.Clone(l.Measuring.Methods())
}

// namesOnSheets are the names of the sets, or the ids of the clubs, on the sheets of a call.
func (s *Streams) namesOnSheets(cmd *cobra.Command, args []string, ofSets bool) []string {
	l, quiet := s.lawsFor(cmd, args)
	var out []string
	by, _ := cmd.Flags().GetString("by")
	for _, name := range args {
		if l == nil || name == stdin {
			continue
		}
		sets, _ := quiet.wholeSheet(name, engine.SheetOptions(by, l.Measuring))
		for _, set := range sets {
			if ofSets {
				out = append(out, set.Name)
			}
			for _, c := range set.Clubs {
				if !ofSets && !slices.Contains(out, c.ID) {
					out = append(out, c.ID)
				}
			}
		}
	}
	return out
}
