package cli

import (
	"io"
	"strings"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// fmtOptions is what "fmt" was asked for.
type fmtOptions struct {
	books  []string
	write  bool
	list   bool
	diff   bool
	colour string
}

func newFmtCmd(s *Streams, done *outcome) *cobra.Command {
	var o fmtOptions
	cmd := command("fmt", takes{1, many, "a rule book", bookFiles}, func(args []string) error {
		o.books = args
		return runFmt(s, &o, done)
	})
	f := cmd.Flags()
	f.SortFlags = false
	f.BoolVarP(&o.write, "write", "w", false, "write each book that changes back to its file")
	f.BoolVarP(&o.list, "list", "l", false, "list the books that would change")
	f.BoolVarP(&o.diff, "diff", "d", false, "show what would change")
	f.StringVar(&o.colour, "color", "auto", "colour: auto, always or never")
	return cmd
}

func runFmt(s *Streams, o *fmtOptions, done *outcome) error {
	c := colour(o.colour)
	if err := c.check(); err != nil {
		return err
	}
	for _, name := range o.books {
		if o.write {
			if err := onlyFiles("-w", name); err != nil {
				return err
			}
		}
		text, err := s.bookText(name)
		if err != nil {
			return err
		}
		tree, list := parser.Parse(source.NewFile(name, string(text)))
		if s.diagnose(list, c) {
			done.faulty = true
			continue
		}
		if err := formatted(s, o, name, string(text), tree, done); err != nil {
			return err
		}
	}
	return nil
}

// bookText is the text of a book: a file, standard input, or a shipped one.
func (s *Streams) bookText(name string) ([]byte, error) {
	if isShipped(name) {
		if err := knownBook(name); err != nil {
			return nil, err
		}
		f, err := rulesets.FS().Open(name + ".ferrule")
		if err != nil {
			return nil, err
		}
		defer f.Close()
		return io.ReadAll(f)
	}
	return s.readBook(name)
}

// formatted does with a book what was asked for.
func formatted(s *Streams, o *fmtOptions, name, text string, tree *ast.Book, done *outcome) error {
	laidOut := format.Format(tree)
	changed := laidOut != text
	if o.write && changed {
		if err := s.replace(name, laidOut); err != nil {
			return err
		}
	}
	var out []byte
	switch {
	case o.list || o.diff:
		done.changes = done.changes || changed && !o.write
		if o.list && changed {
			out = append(out, diag.Visible(name)+"\n"...)
		}
		if o.diff {
			out = append(out, difference(name, text, laidOut)...)
		}
	case !o.write:
		out = []byte(laidOut)
	}
	_, err := s.Out.Write(out)
	return err
}

// difference shows what would change, line by line; nothing where nothing would.
func difference(name, old, new string) string {
	d := diff.Diff(name, []byte(old), name+" (laid out)", []byte(new))
	_, lines, _ := strings.Cut(string(d), "\n") // the first line names the files, as the next two do
	return visibleLines(lines)
}

// visibleLines is text of several lines in which nothing commands a terminal.
func visibleLines(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		body := strings.TrimRight(line, "\r\n")
		b.WriteString(diag.Visible(body) + "\n")
	}
	return b.String()
}
