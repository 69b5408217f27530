package cli

import (
	"bufio"
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/lang/diag"
)

//go:embed starter
var starter embed.FS

// purposes are what a book to start from may be for. Each has a book and a sheet in the folder starter.
var purposes = []string{"event", "house", "order"}

// usualPurpose is what a book is for where nobody says.
const usualPurpose = "house"

func newNewCmd(s *Streams) *cobra.Command {
	purpose := ""
	cmd := command("new", takes{0, 1, "one folder", nil}, func(args []string) error {
		dir := "."
		if len(args) == 1 {
			dir = args[0]
		}
		return runNew(s, dir, purpose)
	})
	cmd.Flags().StringVar(&purpose, "for", "", "what the book is for: "+choices(purposes))
	return cmd
}

func runNew(s *Streams, dir, purpose string) error {
	if purpose == "" {
		purpose = s.askPurpose()
	}
	if !slices.Contains(purposes, purpose) {
		return mistake("--for takes " + choices(purposes) + ", not " + diag.Quote(purpose) + didYouMean(purpose, purposes))
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return mistake(diag.Quote(dir) + " is a file; name a folder for the book and the sheet; nothing was written")
	}
	// The files, and which of the starter they are.
	book, sheet := filepath.Join(dir, purpose+bookEnding), filepath.Join(dir, "clubs.csv")
	from := map[string]string{book: purpose + bookEnding, sheet: purpose + ".csv"}
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
		text, err := starter.ReadFile("starter/" + from[name])
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
	fmt.Fprintf(said, "Written: %s and %s.\nNext: ferrule check %[2]s --rules %[1]s\n", diag.Visible(book), diag.Visible(sheet))
	return s.keep(append(outs, said)...)
}

// askPurpose asks a person at a terminal what the book is for. An empty answer is the usual.
func (s *Streams) askPurpose() string {
	in, ok := s.In.(*os.File)
	if !ok || !s.errTerminal || !isTerminal(in) {
		return usualPurpose
	}
	fmt.Fprintf(s.Err, "What is the rule book for: %s? [%s] ", choices(purposes), usualPurpose)
	answer, _ := bufio.NewReader(io.LimitReader(in, 100)).ReadString('\n')
	if answer = strings.ToLower(strings.TrimSpace(answer)); answer == "" {
		return usualPurpose
	}
	return answer
}
