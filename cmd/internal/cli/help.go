package cli

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ferrule/lang/diag"
)

func newHelpCmd(s *Streams) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND | CODE]",
		Short: "tells of a command, or what an error code means",
		Long: `Tells how a command is called; with the code of a mistake, "ferrule help bare-length",
what it means, with an example and its mend.`,
		Args: takes(0, 1, "a command or a code"),
		RunE: func(cmd *cobra.Command, args []string) error { return runHelp(s, cmd.Root(), args) },
	}
}

func runHelp(s *Streams, root *cobra.Command, args []string) error {
	if len(args) == 0 {
		writeHelp(s.Out, root)
		return nil
	}
	word := args[0]
	for _, c := range root.Commands() {
		if c.Name() == word && !c.Hidden {
			writeHelp(s.Out, c)
			return nil
		}
	}
	if e, ok := diag.Explain(diag.Code(word)); ok {
		_, err := io.WriteString(s.Out, explanation(e))
		return err
	}
	near := commandNames(root)
	for _, c := range diag.Codes() {
		near = append(near, string(c))
	}
	return mistake("there is no command and no error code "+diag.Quote(word)+didYouMean(word, near), "ferrule help")
}

// explanation is an entry of the catalogue of codes as a page.
func explanation(e diag.Entry) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n%s\n", e.Code, e.Title, strings.TrimSpace(e.Why))
	if e.Failing != "" {
		b.WriteString("\nFor example, this is wrong:\n\n" + indented(e.Failing))
	}
	if e.Mended != "" {
		b.WriteString("\nand this is right:\n\n" + indented(e.Mended))
	}
	return b.String()
}

// indented sets a text in by four blanks.
func indented(text string) string {
	var b strings.Builder
	for line := range strings.Lines(strings.Trim(text, "\n")) {
		line = strings.TrimRight(line, "\n")
		if line != "" {
			line = "    " + diag.Visible(line)
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

// writeHelp tells how a command is called.
func writeHelp(w io.Writer, cmd *cobra.Command) {
	if !cmd.HasParent() {
		writeOverview(w, cmd)
		return
	}
	fmt.Fprintf(w, "ferrule %s\n\n%s\n", cmd.Use, strings.TrimSpace(cmd.Long))
	writeFlags(w, cmd)
	if cmd.Example != "" {
		fmt.Fprintf(w, "\nFor example:\n\n%s", indented(cmd.Example))
	}
}

func writeOverview(w io.Writer, root *cobra.Command) {
	io.WriteString(w, "ferrule judges golf clubs by rule books.\n\n")
	for _, c := range root.Commands() {
		if !c.Hidden {
			fmt.Fprintf(w, "  %-8s %s\n", c.Name(), c.Short)
		}
	}
	io.WriteString(w, "\n\"ferrule help COMMAND\" tells how a command is called.\n")
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
	if names == nil {
		return
	}
	io.WriteString(w, "\n")
	for i, name := range names {
		fmt.Fprintf(w, "  %-*s  %s\n", long, name, says[i])
	}
}

// placeholders are what stands for the values of options in their help, where it is not the name of the option.
var placeholders = map[string]string{"rules": "BOOK", "on": "DATE", "only": "RULE", "club": "ID", "set": "ID", "by": "METHOD",
	"to": "METHOD", "output": "FILE", "explain": "DEPTH", "like": "CLUB"}
