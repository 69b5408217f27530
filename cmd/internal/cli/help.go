package cli

import (
	"cmp"
	_ "embed"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ferrule/cmd/internal/cli/schema"
	"ferrule/lang/diag"
)

// commandTexts are what the help says of each command: its use behind "= ", a line on what it does, more about it, and
// examples, with a blank line between them.
//
//go:embed commands.txt
var commandTexts string

// command is the command of that name, with its help.
func command(name string, t takes, run func(args []string) error) *cobra.Command {
	_, text, _ := strings.Cut("\n"+commandTexts, "\n= "+name+" ")
	text, _, _ = strings.Cut(text, "\n= ")
	use, text, _ := strings.Cut(text, "\n")
	short, text, _ := strings.Cut(text, "\n\n")
	text = strings.TrimSpace(text)
	last := strings.LastIndex(text, "\n\n")
	return &cobra.Command{Use: name + " " + use, Short: short, Long: text[:last], Example: text[last+2:],
		RunE: func(_ *cobra.Command, args []string) error {
			args, err := t.words(name, args)
			if err != nil {
				return err
			}
			return run(args)
		}}
}

func newHelpCmd(s *Streams, root *cobra.Command) *cobra.Command {
	return command("help", takes{0, 2, "a command or a code", nil}, func(args []string) error { return runHelp(s, root, args) })
}

func runHelp(s *Streams, root *cobra.Command, args []string) error {
	if len(args) == 0 {
		writeHelp(s.Out, root)
		return nil
	}
	word := strings.Join(args, " ")
	if schema.Write(s.Out, word) {
		return nil
	}
	for _, c := range root.Commands() {
		if c.Name() == word && !c.Hidden {
			writeHelp(s.Out, c)
			return nil
		}
	}
	if e, ok := diag.Explain(diag.Code(word)); ok {
		_, err := io.WriteString(s.Out, e.Page())
		return err
	}
	near := append(commandNames(root), schema.Names()...)
	for _, c := range diag.Codes() {
		near = append(near, string(c))
	}
	return mistake("unknown command or error code "+diag.Quote(word)+didYouMean(word, near), "ferrule help")
}

// writeHelp shows how to call a command.
func writeHelp(w io.Writer, cmd *cobra.Command) {
	if !cmd.HasParent() {
		writeOverview(w, cmd)
		return
	}
	fmt.Fprintf(w, "ferrule %s\n\n%s\n", cmd.Use, strings.TrimSpace(cmd.Long))
	writeFlags(w, cmd)
	if cmd.Example != "" {
		fmt.Fprintf(w, "\nFor example:\n\n%s", diag.Indented(cmd.Example))
	}
}

func writeOverview(w io.Writer, root *cobra.Command) {
	io.WriteString(w, "ferrule judges golf clubs by rule books.\n\n")
	for _, c := range root.Commands() {
		if !c.Hidden {
			fmt.Fprintf(w, "  %-10s %s\n", c.Name(), c.Short)
		}
	}
	io.WriteString(w, "\n\"ferrule help COMMAND\" shows the options of a command.\n")
}

func writeFlags(w io.Writer, cmd *cobra.Command) {
	var names, says []string
	long := 0
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if f.Value.Type() != "bool" {
			name += " " + cmp.Or(placeholders[f.Name], strings.ToUpper(f.Name))
		}
		names, says = append(names, name), append(says, f.Usage)
		long = max(long, len(name))
	})
	if names != nil {
		io.WriteString(w, "\n")
	}
	for i, name := range names {
		fmt.Fprintf(w, "  %-*s  %s\n", long, name, says[i])
	}
}

// placeholders are what stands for the values of options in their help, where it is not the name of the option.
var placeholders = map[string]string{"rules": "BOOK", "on": "DATE", "only": "RULE", "club": "ID", "set": "ID", "by": "METHOD",
	"to": "METHOD", "output": "FILE", "explain": "DEPTH", "like": "CLUB", "same-id": "HOW",
	"of": "PROPERTY", "grid": "LENGTH", "extend": "LENGTH", "target": "CHART", "clubs": "SHEET", "who": "NAME"}
