package cli

import (
	"embed"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"ferrule/lang/diag"
)

//go:embed starter
var starter embed.FS

// The files that "new" writes.
const (
	starterBook  = "house.ferrule"
	starterSheet = "clubs.csv"
)

func newNewCmd(s *Streams) *cobra.Command {
	return command("new", takes{0, 1, "one folder", nil}, func(args []string) error {
		dir := "."
		if len(args) == 1 {
			dir = args[0]
		}
		return runNew(s, dir)
	})
}

func runNew(s *Streams, dir string) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return mistake(diag.Quote(dir) +
			" is a file, and a folder is to hold the book and the sheet; nothing was written")
	}
	book, sheet := filepath.Join(dir, starterBook), filepath.Join(dir, starterSheet)
	for _, name := range []string{book, sheet} {
		if _, err := os.Lstat(name); err == nil {
			return mistake(diag.Quote(name) + " is there already; nothing was written")
		}
	}
	if err := s.makeFolder(dir); err != nil {
		return err
	}
	var outs []*output
	for _, name := range []string{book, sheet} {
		text, err := starter.ReadFile("starter/" + filepath.Base(name))
		if err != nil {
			return err
		}
		out, err := s.beside(&output{name: name, fresh: true})
		if err != nil {
			return err
		}
		out.Write(text) // the buffer remembers what goes wrong
		outs = append(outs, out)
	}
	said := s.writing(s.Out, &output{})
	fmt.Fprintf(said, "Written: %s and %s.\nNext: ferrule check %s --rules %s\n", diag.Visible(book), diag.Visible(sheet), diag.Visible(sheet), diag.Visible(book))
	return s.keep(append(outs, said)...)
}
