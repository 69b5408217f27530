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
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// sameIDs are the words of --same-id, by what they say of a second row of one id.
var sameIDs = []string{sheet.Repeats: "repeats", sheet.Latest: "latest"}

// sheetOptions says how the sheets of a command are read.
func (c *call) sheetOptions(measuring *judge.Program, asked func(catalogue.ID) bool) sheet.Options {
	options := engine.SheetOptions(c.by, measuring)
	options.SameID, options.Asked, options.Last = sheet.SameID(slices.Index(sameIDs, c.same)), asked, true
	return options
}

// readOrder reads the order that the clubs of a sheet are held against, where the call names one.
func (c *call) readOrder(options *sheet.Options, l *rulebooks) error {
	switch {
	case c.order == "" && c.orderBy == "":
		return nil
	case c.order == "":
		return mistake("--order-by is about the lengths of an order; add --order and its sheet")
	}
	if err := knowsMethod(l.Measuring, c.orderBy); err != nil {
		return err
	}
	in, err := c.openInput(cells.FileOf(c.order))
	if err != nil {
		return err
	}
	defer in.Close()
	how := l.OrderOptions(c.orderBy, c.day)
	how.Scratch = c.scratch
	if options.Target != 0 && c.target == "" { // a length that was ordered is one to build to
		how.Target = catalogue.LengthID
	}
	order, problem := sheet.ReadOrder(c.order, in, how)
	if problem != nil {
		return problem
	}
	c.warn(order.Warnings)
	options.Order = order
	return nil
}

// openSheet starts to read a sheet. The error says what is wrong with it as a whole.
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
	s.warn(reader.Warnings())
	if p := reader.Problem(); p != nil {
		s.say(p)
		return errReported
	}
	return nil
}

// warn says what a person should look at in a sheet.
func (s *Streams) warn(all []sheet.Problem) {
	for _, w := range all {
		text := "ferrule: warning: " + w.Error()
		if w.Hint != "" && !strings.Contains(w.Message, w.Hint) {
			text += "; " + w.Hint
		}
		s.note("%s", diag.Visible(text))
	}
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

// noteRefused says that rows were refused, where some were.
func (c *call) noteRefused() {
	const listed = "the report lists what is wrong"
	if n := c.done.refused; n > 0 {
		c.note("ferrule: %s could not be read or judged; %s", wording.Counted(n, "row", "rows"), listed)
	}
	if n := c.done.order.Refused; n > 0 {
		c.note("ferrule: %s of the order could not be read; %s", wording.Counted(n, "row", "rows"), listed)
	}
}
