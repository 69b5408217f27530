package cli

// This file holds the streams of the process: where text goes to, and whether a terminal is there.

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"sync"
	"time"

	"ferrule/cmd/internal/watch"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// pageWidth is how many columns mistakes are wrapped to.
const pageWidth = 80

// Streams is where a command reads from and writes to, and its clock, which is asked for today where a call
// names no day.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Version  string      // of the program
	Wait     func() bool // returns after a moment; false ends a call that goes on; nil waits a quarter of a second

	texts map[string][]byte // what is read in the place of files

	outTerminal, errTerminal bool
	taken                    bool // standard input was read

	outFile, errFile fs.FileInfo   // what is behind Out and Err, where they are files
	read             []fs.FileInfo // every file that was opened for reading
	seen             watch.Stamps  // those that have a name, as they were then
	lock             sync.Mutex    // held while files come, go and take their names, and for what follows
	unfinished       []*output     // what is removed again unless it is kept
	ending           func()        // what a signal does besides; or nil
}

// isTerminal reports whether the file is a terminal. TERM unset or "dumb" counts as no terminal.
func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && os.Getenv("TERM") != "dumb" && os.Getenv("TERM") != ""
}

// infoOf is the file behind a stream; nil if there is none.
func infoOf(stream any) fs.FileInfo {
	f, _ := stream.(*os.File)
	info, _ := f.Stat()
	return info
}

// oneOf is an error where the word of an option is none of those that it takes, if there are any.
func oneOf(option, word string, words []string) error {
	if words == nil || slices.Contains(words, word) {
		return nil
	}
	return mistake(option + " takes " + choices(words) + ", not " + diag.Quote(word) + didYouMean(word, words))
}

// colours are the words of --color.
var colours = []string{"auto", "always", "never"}

// coloured reports whether text for a stream is coloured: as --color says, else on a terminal, unless NO_COLOR is set.
func coloured(colour string, terminal bool) bool {
	return colour == "always" || colour != "never" && terminal && os.Getenv("NO_COLOR") == ""
}

// choices lists words: "line, steps or full".
func choices(words []string) string { return unit.Listed(words, "or") }

// diagnose writes mistakes of rule books to the error stream. It reports whether
// one of them is an error.
func (s *Streams) diagnose(list diag.List, colour string) bool {
	diag.Render(s.Err, list, diag.RenderOptions{Width: pageWidth, Colour: coloured(colour, s.errTerminal)})
	return list.HasErrors()
}

// note writes a line for a person to the error stream.
func (s *Streams) note(format string, args ...any) { fmt.Fprintf(s.Err, format+"\n", args...) }
