package cli

import (
	"bufio"
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ferrule/lang/diag"
)

//go:embed starter
var starter embed.FS

// purposes are what a book to start from may be for. Each has a book and a sheet in the folder starter.
var purposes = []string{"event", "house", "order"}

// usualPurpose is what a book is for where nobody says.
const usualPurpose = "house"

func runNew(c *call) error {
	dir, purpose := ".", c.purpose
	if len(c.args) == 1 {
		dir = c.args[0]
	}
	if purpose == "" {
		purpose = c.askPurpose()
	}
	if err := oneOf("--for", purpose, purposes); err != nil {
		return err
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
	if err := c.makeFolder(dir); err != nil {
		return err
	}
	var outs []*output
	for _, name := range []string{book, sheet} {
		text, err := starter.ReadFile("starter/" + from[name])
		if err != nil {
			return err
		}
		out, err := c.Streams.beside(&output{name: name, fresh: true})
		if err != nil {
			return err
		}
		out.Write(text) // the buffer remembers what goes wrong
		outs = append(outs, out)
	}
	said := c.writing(c.Out, &output{})
	fmt.Fprintf(said, "Written: %s and %s.\nNext: ferrule check %[2]s --rules %[1]s\n", diag.Visible(book), diag.Visible(sheet))
	return c.keep(append(outs, said)...)
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
