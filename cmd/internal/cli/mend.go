package cli

// This file mends books for "vet --fix".

import (
	"bytes"
	"os"

	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// mendBooks makes the safe mends in the files named, lists them on the error stream, and returns the books as they are
// then.
func (s *Streams) mendBooks(names []string) (*load.Loaded, diag.List, error) {
	roots, err := s.roots(names)
	if err != nil {
		return nil, nil, err
	}
	loaded, list, made := load.Mend(rulesets.FS(), roots)
	for _, r := range roots {
		text, changed := r.FS.(*load.Folder).Texts[r.Path]
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
		if err := s.replace(r.Show, text); err != nil {
			return nil, nil, err
		}
		for _, d := range made[r.Show] {
			at := d.Mend.Span.Pos()
			s.note("%s:%d:%d: mended: %s is now %s [%s]", diag.Visible(r.Show), at.Line, at.Column,
				diag.Quote(d.Mend.Span.Text()), diag.Quote(d.Mend.Text), d.Code)
		}
	}
	return loaded, list, nil
}
