// Package bench is a session at the bench as a process: it reads the lines, keeps each reading beside the sheet before
// it says what came of it, and writes the sheet at the end. What a line means is engine/session's.
//
// bench.go leads through the session, lines.go reads its lines, journal.go keeps the readings, lock_*.go locks them,
// and write.go writes the sheet.
package bench

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ferrule/engine/session"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Bench is what a session needs of the system.
type Bench struct {
	Options  *session.Options // but for File, which is read here
	Sheet    string           // the file of the sheet as it was named
	Target   string           // and behind its links
	Unit     string           // of lengths without one; "" where nobody said
	In       io.Reader
	Out      io.Writer
	Terminal bool // both are a terminal
	Now      func() time.Time

	// Writable is an error where the sheet must not be replaced.
	Writable func(info fs.FileInfo) error
	// Ending has a function called when a signal ends the process.
	Ending func(end func())
	// Beside writes a file beside its place. Put gives it its name.
	Beside func(name string, text []byte) (put func() error, err error)

	journal *journal
	now     *session.Session
	fresh   bool   // the sheet is not there yet
	digest  string // of the sheet
	again   string // the last line, to be corrected; "" where it need not be
	stale   bool   // the readings were begun for another sheet than was found
	unkept  bool   // a reading could not be kept
}

// Run leads through a session. Whole is false where a reading could not be kept, or not be put into the sheet.
func (b *Bench) Run() (whole bool, err error) {
	if b.Options.Unit = unit.Lookup(b.Unit); b.Unit == "" {
		b.Options.Unit = nil
	} else if b.Options.Unit == nil || b.Options.Unit.Dim != unit.Length {
		return false, fmt.Errorf("--unit takes a unit of length, such as in, mm or cm, not %s", diag.Quote(b.Unit))
	}
	if b.Sheet == "-" {
		return false, errors.New("bench writes the sheet, so it needs a file; what is typed comes from standard input")
	}
	b.unlink()
	if b.journal, err = openJournal(b.Target + ".readings"); err != nil {
		return false, err
	}
	defer b.journal.end()
	if err := b.begin(); err != nil {
		return false, err
	}
	next, end := b.lines()
	b.Ending(end)
	defer end()
	for {
		line, err := next()
		switch {
		case err == io.EOF && b.journal.size == 0:
			b.say("Nothing was read.")
			return !b.unkept, nil
		case err == io.EOF:
			b.say("The sheet is as it was. The readings are kept in %s.\n"+
				"Start again to go on, and type done to write the sheet.", b.kept())
			return !b.unkept, nil
		case err != nil:
			return false, err
		}
		if b.take(line) {
			whole, err := b.write()
			return whole && !b.unkept, err
		}
	}
}

// begin reads the sheet and what is kept, and starts the session with it.
func (b *Bench) begin() error {
	name := filepath.Base(b.Target) + strings.TrimPrefix(b.Options.Name, b.Sheet)
	text, err := b.readSheet()
	if err == nil {
		err = b.journal.load(name)
	}
	if err != nil {
		return err
	}
	b.Options.File, b.Options.Time = text, func() string { return b.Now().Format(time.RFC3339) }
	start, err := session.Start(b.Options)
	if err != nil {
		return err
	}
	if b.now, err = b.journal.replay(start); err != nil {
		return err
	}
	b.say("%s", b.now.Greeting())
	if n := len(b.journal.entries); n > 0 {
		b.say("Going on where it stopped, with what is kept in %s.", b.kept())
		if b.stale = b.journal.head.Digest != b.digest; b.stale {
			b.say("The sheet was changed since then. The readings are laid over it as it is now.")
		}
	} else {
		b.journal.head = head{schema, name, b.digest}
	}
	if b.journal.torn {
		b.say("The last line kept was not whole and is dropped. Type it again.")
	}
	return nil
}

// readSheet reads the sheet, or begins one.
func (b *Bench) readSheet() ([]byte, error) {
	info, err := os.Stat(b.Target)
	var text []byte
	if b.fresh = errors.Is(err, fs.ErrNotExist); !b.fresh {
		if err == nil {
			err = b.Writable(info)
		}
		if err == nil {
			text, err = os.ReadFile(b.Target)
		}
		if err != nil {
			return nil, err
		}
	}
	b.digest = digest(text)
	if len(strings.TrimSpace(string(text))) == 0 {
		begun, err := b.Options.Begin(b.Target + strings.TrimPrefix(b.Options.Name, b.Sheet))
		switch {
		case err == nil:
			text = begun
		case b.fresh:
			return nil, fmt.Errorf("there is no file %s; %w", diag.Quote(b.Sheet), err)
		}
	}
	return text, nil
}

func digest(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text)) }

// kept is the name of the file of readings.
func (b *Bench) kept() string { return diag.Visible(b.journal.Name()) }

func (b *Bench) say(format string, about ...any) {
	io.WriteString(b.Out, strings.TrimSuffix(fmt.Sprintf(format, about...), "\n")+"\n")
}

// take takes a line; true where the sheet is to be written.
func (b *Bench) take(line string) bool {
	a := b.now.Line(line)
	if a.Entry != nil {
		if err := b.journal.keep(*a.Entry); err != nil {
			b.unkept = true
			b.say("%s could not be written (%s).\nThis line was not kept. Make room, and type it again.", b.kept(),
				cause(err))
			return false
		}
	}
	b.now, b.again = a.Next, a.Again
	if !a.Done {
		b.say("%s", a.Text)
	}
	return a.Done
}

// cause is what went wrong with a file, without its name.
func cause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return diag.Visible(err.Error())
}
