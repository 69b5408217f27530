package cli

// This file is the command "help", which explains commands and codes.

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ferrule/cmd/internal/cli/schema"
	"ferrule/lang/diag"
)

func runHelp(c *call) error {
	if len(c.args) == 0 {
		writeHelp(c.Out, c.root)
		return nil
	}
	word := strings.Join(c.args, " ")
	if schema.Write(c.Out, word) {
		return nil
	}
	for _, cmd := range c.root.Commands() {
		if cmd.Name() == word {
			writeHelp(c.Out, cmd)
			return nil
		}
	}
	if e, ok := diag.Explain(diag.Code(word)); ok {
		_, err := io.WriteString(c.Out, e.Page())
		return err
	}
	near := append(commandNames(), schema.Names()...)
	for _, code := range diag.Codes() {
		near = append(near, string(code))
	}
	return mistake("unknown command or error code "+diag.Quote(word)+didYouMean(word, near), "ferrule help")
}

// writeHelp shows how to call a command.
func writeHelp(w io.Writer, cmd *cobra.Command) {
	if !cmd.HasParent() {
		writeOverview(w)
		return
	}
	fmt.Fprintf(w, "ferrule %s\n\n%s\n", cmd.Use, strings.TrimSpace(cmd.Long))
	writeFlags(w, cmd)
	if cmd.Example != "" {
		fmt.Fprintf(w, "\nFor example:\n\n%s", diag.Indented(cmd.Example))
	}
}

func writeOverview(w io.Writer) {
	io.WriteString(w, "ferrule judges golf clubs by rule books.\n\n")
	for _, name := range commandNames() {
		_, short, _, _ := textsOf(name)
		fmt.Fprintf(w, "  %-10s %s\n", name, short)
	}
	io.WriteString(w, "\n\"ferrule help COMMAND\" shows the options of a command.\n")
}

func writeFlags(w io.Writer, cmd *cobra.Command) {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	defer table.Flush()
	if cmd.HasAvailableLocalFlags() {
		io.WriteString(w, "\n")
	}
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if f.Value.Type() != "bool" {
			name += " " + cmp.Or(options[f.Name].value, strings.ToUpper(f.Name))
		}
		fmt.Fprintf(table, "  %s\t%s\n", name, f.Usage)
	})
}
