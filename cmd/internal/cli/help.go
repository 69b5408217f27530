package cli

// This file is the command "help", which explains commands and codes.

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"ferrule/cmd/internal/cli/schema"
	"ferrule/lang/diag"
)

func runHelp(c *call) error {
	word := strings.Join(c.args, " ")
	if word == "" || slices.Contains(commandNames(), word) {
		writeHelp(c.Out, word)
		return nil
	}
	if schema.Write(c.Out, word) {
		return nil
	}
	if e, ok := diag.Explain(diag.Code(word)); ok {
		io.WriteString(c.Out, e.Page())
		return nil
	}
	near := append(commandNames(), schema.Names()...)
	for _, code := range diag.Codes() {
		near = append(near, string(code))
	}
	return mistake("unknown command or error code "+diag.Quote(word)+didYouMean(word, near), "ferrule help")
}

// writeHelp shows how to call the command of that name, or which there are if there is none.
func writeHelp(w io.Writer, name string) {
	i := slices.Index(commandNames(), name)
	if i < 0 {
		writeOverview(w)
		return
	}
	t := commands()[i]
	use, _, long, examples := t.texts()
	fmt.Fprintf(w, "ferrule %s %s\n\n%s\n", name, use, long)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for i, option := range t.optionNames() {
		if i == 0 {
			fmt.Fprintln(table)
		}
		option, short, _ := strings.Cut(option, ",")
		value, says := t.optionTexts(option)
		if short != "" {
			short = "-" + short + ", "
		}
		fmt.Fprintf(table, "  %s\t%s\n", strings.TrimSpace(short+"--"+option+" "+value), says)
	}
	table.Flush()
	fmt.Fprintf(w, "\nFor example:\n\n%s", diag.Indented(examples))
}

func writeOverview(w io.Writer) {
	io.WriteString(w, "ferrule judges golf clubs by rule books.\n\n")
	for _, t := range commands() {
		_, short, _, _ := t.texts()
		fmt.Fprintf(w, "  %-10s %s\n", t.name, short)
	}
	io.WriteString(w, "\n\"ferrule help COMMAND\" shows the options of a command.\n")
}
