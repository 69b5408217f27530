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
	files := []string{purpose + bookEnding, "clubs.csv"}
	next := "ferrule check %[3]s --rules %[2]s"
	if purpose == "order" {
		files, next = append(files, "order.csv"), next+" --order %[4]s"
	}
	names, shown := make([]string, len(files)), make([]any, len(files))
	for i, name := range files {
		names[i] = filepath.Join(dir, name)
		if _, err := os.Lstat(names[i]); err == nil {
			return mistake(diag.Quote(names[i]) + " is there already; nothing was written")
		}
		shown[i] = diag.Visible(names[i])
	}
	if err := c.makeFolder(dir); err != nil {
		return err
	}
	var outs []*output
	for i, name := range files {
		text, err := starter.ReadFile("starter/" + purpose + "/" + name)
		if name == "order"+bookEnding {
			text, err = fs.ReadFile(rulesets.FS(), "order-house"+bookEnding)
		}
		if err != nil {
			return err
		}
		out, err := c.Streams.beside(&output{name: names[i], fresh: true})
		if err != nil {
			return err
		}
		out.Write(text) // the buffer remembers what goes wrong
		outs = append(outs, out)
	}
	said := writing(c.Out, &output{})
	written := diag.Visible(unit.Listed(names, "and"))
	fmt.Fprintf(said, "Written: %s.\nNext: "+next+"\n", append([]any{written}, shown...)...)
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
