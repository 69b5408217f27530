package cli

// This file takes a sheet through a command set by set, and the report of it to where it goes.

import (
	"io"

	"ferrule/engine/club"
	"ferrule/engine/sheet"
)

// run is a sheet on its way through a command.
type run struct {
	*Streams
	io.Closer // the sheet
	reader    *sheet.Reader
	papers    []paper
	done      *outcome
}

// begin opens a sheet, and then the place for the report of it.
func (s *Streams) begin(name string, o sheet.Options, r *reporting, done *outcome) (*run, error) {
	reader, in, err := s.openSheet(name, o)
	if err != nil {
		return nil, err
	}
	papers, err := s.open(r)
	if err != nil {
		in.Close()
		return nil, err
	}
	return &run{Streams: s, Closer: in, reader: reader, papers: papers, done: done}, nil
}

// sets gives one set after the other to do, which must not keep it. A set that was not asked for has no clubs. Which
// clubs are asked for is for do to heed. The error is that there is no such set or club.
func (r *run) sets(n *narrowing, do func(set *club.Set)) error {
	var met seen
	for set, ok := r.reader.Next(); ok; set, ok = r.reader.Next() {
		name := set.Name
		met.add(n, []string{name}, n.onlySets(set))
		do(set)
		r.reader.Recycle(set)
	}
	r.done.faulty = r.readWhole(r.reader) != nil || r.done.faulty
	return met.missing(n, "sheet")
}

// count counts the rows that a set refuses.
func (done *outcome) count(set *club.Set) {
	for range set.NewlyRefused() {
		done.refused++
	}
}

// finish ends the reports. Nothing says that there was nothing to do, where there was not.
func finish[W interface{ End() error }](r *run, reports []W, nothing string) error {
	for _, w := range reports {
		if err := w.End(); err != nil {
			return err
		}
	}
	r.noteRefused(r.done.refused)
	if nothing != "" && r.done.refused == 0 {
		r.done.faulty = true
		r.note("ferrule: there is no %s", nothing)
	}
	return r.keepAll(r.papers)
}
