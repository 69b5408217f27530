package cli

// This file mends books for "vet --fix": it makes the changes of text that can mean nothing
// else, and keeps those alone that leave fewer mistakes when the books are read again.

import (
	"bytes"
	"fmt"
	"os"

	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// maxRounds bounds how often the books are read again: one mend may uncover the next mistake.
const maxRounds = 20

// mendBooks makes the safe mends in the files named, tells each on the error stream, and
// returns the books as they are then.
func (s *Streams) mendBooks(names []string) (*load.Loaded, diag.List, error) {
	roots, err := s.roots(names)
	if err != nil {
		return nil, nil, err
	}
	loaded, list := load.Load(rulesets.FS(), roots)
	told := map[string]string{} // by file
	for changed, round := true, 0; changed && round < maxRounds; round++ {
		changed = false
		for _, r := range roots {
			text, mended := diag.Apply(fileOf(list, r.Show), list)
			if len(mended) == 0 {
				continue
			}
			f := r.FS.(*folder)
			before, had := f.texts[r.Path]
			f.texts[r.Path] = []byte(text)
			again, left := load.Load(rulesets.FS(), roots)
			if len(left) >= len(list) {
				if delete(f.texts, r.Path); had {
					f.texts[r.Path] = before
				}
				continue
			}
			for _, d := range mended {
				at := d.Mend.Span.Pos()
				told[r.Show] += fmt.Sprintf("%s:%d:%d: mended: %s is now %s [%s]\n", diag.Visible(r.Show), at.Line, at.Column, diag.Quote(d.Mend.Span.Text()), diag.Quote(d.Mend.Text), d.Code)
			}
			loaded, list, changed = again, left, true
		}
	}
	for _, r := range roots {
		text, changed := r.FS.(*folder).texts[r.Path]
		if !changed {
			continue
		}
		old, err := os.ReadFile(r.Show)
		if err != nil {
			return nil, nil, err
		}
		if mark := []byte("\ufeff"); bytes.HasPrefix(old, mark) {
			text = append(mark, text...)
		}
		if err := s.replace(r.Show, string(text)); err != nil {
			return nil, nil, err
		}
		fmt.Fprint(s.Err, told[r.Show])
	}
	return loaded, list, nil
}

// fileOf is the book of that name that a list is about; nil where it is about none.
func fileOf(list diag.List, name string) *source.File {
	for _, d := range list {
		if f := d.Mend.Span.File; f != nil && f.Name == name {
			return f
		}
	}
	return nil
}
