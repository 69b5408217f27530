package cli

// This file is the command "fmt", which rewrites rule books in the standard layout.

import (
	"io"
	"io/fs"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
	"github.com/rogpeppe/go-internal/diff"
)

func runFmt(c *call) error {
	for _, name := range c.args {
		text, err := c.bookText(name)
		if err != nil {
			return err
		}
		tree, list := parser.Parse(source.NewFile(name, string(text)))
		if c.diagnose(list, c.colour) {
			c.done.faulty = true
			continue
		}
		if err := c.laidOut(name, string(text), tree); err != nil {
			return err
		}
	}
	return nil
}

// bookText is the text of a book: a file, standard input, or a shipped one.
func (s *Streams) bookText(name string) ([]byte, error) {
	if isShipped(name) {
		return shippedText(name)
	}
	return s.readBook(name)
}

// shippedText is the text of a shipped book.
func shippedText(name string) ([]byte, error) {
	if err := knownBook(name); err != nil {
		return nil, err
	}
	return fs.ReadFile(rulesets.FS(), name+bookEnding)
}

// laidOut does with a book what was asked for.
func (c *call) laidOut(name, text string, tree *ast.Book) error {
	laidOut := format.Format(tree)
	changed := laidOut != text
	if c.write && changed {
		if err := c.replace(name, []byte(laidOut)); err != nil {
			return err
		}
	}
	switch {
	case c.list || c.different:
		c.done.apart = c.done.apart || changed && !c.write
		if c.list && changed {
			io.WriteString(c.Out, diag.Visible(name)+"\n")
		}
		if c.different {
			io.WriteString(c.Out, difference(name, text, laidOut))
		}
	case !c.write:
		io.WriteString(c.Out, laidOut)
	}
	return nil
}

// difference shows what would change, line by line; nothing where nothing would.
func difference(name, old, new string) string {
	d := diff.Diff(name, []byte(old), name+" (laid out)", []byte(new))
	_, lines, _ := strings.Cut(string(d), "\n") // the first line names the files, as the next two do
	var b strings.Builder
	for line := range strings.Lines(lines) {
		b.WriteString(diag.Visible(strings.TrimRight(line, "\r\n")) + "\n")
	}
	return b.String()
}
