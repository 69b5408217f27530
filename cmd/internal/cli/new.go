package cli

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
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
	return &cobra.Command{
		Use:   "new [FOLDER]",
		Short: "writes a rule book to start from and a sheet to fill in",
		Long: `Writes house.ferrule, a small rule book with comments, and clubs.csv, a sheet to fill
in, into the folder, or into the current one. A file that is there already is never
written over.`,
		Example: "ferrule new shop",
		Args:    atMost(1, "one folder"),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "."
			if len(args) == 1 {
				dir = args[0]
			}
			return runNew(s, dir)
		},
	}
}

func runNew(s *Streams, dir string) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return mistake(diag.Quote(dir)+" is a file, and a folder is to hold the book and the sheet; nothing was written", "")
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	names := []string{starterBook, starterSheet}
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, name)); !errors.Is(err, fs.ErrNotExist) {
			return mistake(diag.Quote(filepath.Join(dir, name))+" is there already; nothing was written", "")
		}
	}
	for _, name := range names {
		text, err := starter.ReadFile("starter/" + name)
		if err != nil {
			return err
		}
		if err := writeNew(filepath.Join(dir, name), text); err != nil {
			return err
		}
	}
	book, sheet := filepath.Join(dir, starterBook), filepath.Join(dir, starterSheet)
	_, err := fmt.Fprintf(s.Out, "Written: %s and %s.\nNext: ferrule check %s --rules %s\n", diag.Visible(book), diag.Visible(sheet), diag.Visible(sheet), diag.Visible(book))
	return err
}

// writeNew writes a file that must not be there yet.
func writeNew(name string, text []byte) error {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}
