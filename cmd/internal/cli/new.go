package cli

// This file is the command "new", which writes a rule book and a sheet to start from.

import (
	"bufio"
	"embed"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"ferrule/lang/diag"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

//go:embed starter
var starter embed.FS

// purposes are what a book to start from may be for. Each has its files in a folder of starter; the book for orders is
// the shipped one.
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
	book, clubs := filepath.Join(dir, purpose+bookEnding), filepath.Join(dir, "clubs.csv")
	files, next := []string{book, clubs}, "ferrule check "+clubs+" --rules "+book
	if purpose == "order" {
		order := filepath.Join(dir, "order.csv")
		files, next = append(files, order), next+" --order "+order
	}
	for _, name := range files {
		if _, err := os.Lstat(name); err == nil {
			return mistake(diag.Quote(name) + " is there already; nothing was written")
		}
	}
	if err := c.makeFolder(dir); err != nil {
		return err
	}
	var outs []*output
	for _, name := range files {
		text, err := starter.ReadFile("starter/" + purpose + "/" + filepath.Base(name))
		if name == book && purpose == "order" {
			text, err = fs.ReadFile(rulesets.FS(), "order-house"+bookEnding)
		}
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
	said := writing(c.Out, &output{})
	fmt.Fprintf(said, "Written: %s.\nNext: %s\n", diag.Visible(unit.Listed(files, "and")), diag.Visible(next))
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
