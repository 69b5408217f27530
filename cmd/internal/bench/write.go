package bench

// This file writes the sheet of a session. The order is such that a kill between any two steps loses nothing.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"ferrule/lang/diag"
)

// write writes the sheet and takes the readings away. Whole is false where some of them could not be put into it.
func (b *Bench) write() (whole bool, err error) {
	if !b.now.Changed() {
		b.say("Nothing was read, so the sheet is as it was.")
		return true, b.journal.remove()
	}
	begun, old, s := b.fresh, b.digest, b.now
	text, err := b.readSheet()
	switch {
	case err != nil:
		return false, err
	case b.fresh && !begun:
		return false, fmt.Errorf("%v; the readings stay in %s",
			unwritten(b.Sheet, errors.New("it is not there any more")), b.kept())
	}
	left := ""
	var replaced []string
	if b.digest != old || b.stale {
		over, entries, figures, err := s.Over(text, !b.stale)
		if err != nil {
			return false, err
		}
		if b.digest != old {
			b.say("The sheet was changed meanwhile. The readings are laid over it as it is now.")
		}
		s, replaced = over, figures
		for _, e := range entries {
			left += string(line(e.Entry))
			b.say("Not written, since %s: %s", e.Why, diag.Visible(e.Text))
		}
	}
	same := string(s.Text()) == string(text) && !b.fresh
	switch {
	case !same:
		if err := b.put(s.Text(), text); err != nil {
			return false, fmt.Errorf("%v; the readings stay in %s", err, b.kept())
		}
	case left == "": // a session was killed when all but its readings was done
		b.say("The sheet holds all of it already.")
	}
	for _, r := range replaced {
		b.say("%s.", r)
	}
	if left == "" {
		return true, b.journal.remove()
	}
	b.say("What is not written stays in %s.", b.kept())
	if b.journal.head.Digest = b.digest; !same {
		b.journal.head.Digest = digest(s.Text())
	}
	put, err := b.Beside(b.journal.Name(), append(line(b.journal.head), left...))
	if err == nil {
		err = put()
	}
	return false, err
}

// unwritten is the error of a file that could not be written.
func unwritten(name string, err error) error {
	return fmt.Errorf("could not write %s: %s", diag.Quote(name), cause(err))
}

// put puts a text into the place of the sheet, which holds old.
func (b *Bench) put(text, old []byte) error {
	put, err := b.Beside(b.Target, text)
	if err != nil {
		return err
	}
	said := "Written: " + diag.Visible(b.Sheet) + "."
	if !b.fresh {
		before := b.Target + ".before"
		said += " As it was before: " + diag.Visible(before)
		if info, err := os.Lstat(before); err == nil && info.IsDir() {
			return unwritten(before, errors.New("it is a folder"))
		}
		if err := os.Remove(before); err == nil {
			said += ", in place of an older one"
		} else if !errors.Is(err, fs.ErrNotExist) {
			return unwritten(before, err)
		}
		if os.Link(b.Target, before) != nil { // there are no links here
			aside, err := b.Beside(before, old)
			if err == nil {
				err = aside()
			}
			if err != nil {
				return err
			}
		}
		said += "."
	}
	if err := put(); err != nil {
		return err
	}
	// The names are written down, too, where they can be.
	if dir, err := os.Open(filepath.Dir(b.Target)); err == nil {
		dir.Sync()
		dir.Close()
	}
	b.say("%s", said)
	return nil
}

// unlink takes away the second name that a session gave the sheet which was killed before it wrote the new one.
func (b *Bench) unlink() {
	before, err := os.Stat(b.Target + ".before")
	now, gone := os.Stat(b.Target)
	if err == nil && gone == nil && os.SameFile(before, now) {
		os.Remove(b.Target + ".before")
	}
}
