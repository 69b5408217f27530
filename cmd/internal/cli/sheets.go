package cli

// This file opens sheets of clubs and says what is wrong with one.

import (
	"io"
	"os"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// sameID is what a second row of one id is, as an option.
type sameID sheet.SameID

var sameIDs = []string{"", "repeats", "latest"}

func (s *sameID) String() string { return sameIDs[*s] }

func (s *sameID) Type() string { return "string" }

// Set takes the word of the option.
func (s *sameID) Set(word string) error {
	i := slices.Index(sameIDs, word)
	if i < 1 {
		return mistake("--same-id takes repeats or latest, not "+diag.Quote(word), "")
	}
	*s = sameID(i)
	return nil
}

// sheetOptions says how the sheets of a command are read.
func (c *call) sheetOptions(measuring *judge.Program, asked func(catalogue.ID) bool) sheet.Options {
	options := engine.SheetOptions(c.by, measuring)
	options.SameID, options.Asked = sheet.SameID(c.same), asked
	return options
}

// openSheet starts to read a sheet. What is wrong with it as a whole is told.
func (s *Streams) openSheet(name string, o sheet.Options) (*sheet.Reader, io.Closer, error) {
	in, err := s.openInput(cells.FileOf(name))
	if err != nil {
		return nil, nil, err
	}
	o.Scratch = s.scratch
	reader, problem := sheet.Open(name, in, o)
	if problem != nil {
		in.Close()
		return nil, nil, problem
	}
	return reader, in, nil
}

// scratch opens a file for what is too much to be kept in memory. It has no name, so that nothing is left of it however
// the run ends, or where the system does not allow that it is removed at the end.
func (s *Streams) scratch() (spool.File, error) {
	f, err := os.CreateTemp("", "ferrule-")
	if err != nil {
		return nil, err
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	if os.Remove(f.Name()) != nil {
		s.unfinished = append(s.unfinished, &output{file: f, made: f.Name()})
	}
	return f, nil
}

// readWhole says what a person should look at in a sheet that was read, and of what
// kept it from being read to its end, which is an error.
func (s *Streams) readWhole(reader *sheet.Reader) error {
	for _, w := range reader.Warnings() {
		s.note("%s", warning(w))
	}
	if p := reader.Problem(); p != nil {
		s.tell(p)
		return errTold
	}
	return nil
}

// wholeSheet reads all sets of a sheet. What could be read is given with an error too.
func (s *Streams) wholeSheet(name string, o sheet.Options) ([]*club.Set, error) {
	reader, in, err := s.openSheet(name, o)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	var sets []*club.Set
	for set, ok := reader.Next(); ok; set, ok = reader.Next() {
		sets = append(sets, set)
	}
	return sets, s.readWhole(reader)
}

// tell tells of a sheet that cannot be read.
func (s *Streams) tell(p *sheet.Problem) {
	s.note("ferrule: %s", diag.Visible(p.Error()))
	if p.Hint != "" {
		s.note("  %s", diag.Visible(p.Hint))
	}
}

// noteRefused says that rows were refused, where some were.
func (s *Streams) noteRefused(n int) {
	if n == 1 {
		s.note("ferrule: 1 row could not be read and was not judged; the report lists it")
	} else if n > 1 {
		s.note("ferrule: %d rows could not be read and were not judged; the report lists them", n)
	}
}

// warning is a warning about a sheet on one line.
func warning(w sheet.Problem) string {
	s := "ferrule: warning: " + w.Error()
	if w.Hint != "" && !strings.Contains(w.Message, w.Hint) {
		s += "; " + w.Hint
	}
	return diag.Visible(s)
}
