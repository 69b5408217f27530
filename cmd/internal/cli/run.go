package cli

// This file takes a sheet through a command set by set, and the report of it to where it goes.

import (
	"io"
	"maps"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/sheet"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
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

// sets gives one set after the other to do, which must not keep it. Where one set was asked for, the others have no
// clubs. The error is that there is no such set.
func (r *run) sets(only []string, do func(set *club.Set)) error {
	seen := names{}
	for set, ok := r.reader.Next(); ok; set, ok = r.reader.Next() {
		seen.add(only, set.Name)
		if !among(only, set.Name) {
			leaveOut(set)
		}
		do(set)
		r.reader.Recycle(set)
	}
	r.done.faulty = r.readWhole(r.reader) != nil || r.done.faulty
	return seen.missing(only, "set", "sheet")
}

// leaveOut takes from a set what a call about another one leaves out. Rows that may belong to any set stay.
func leaveOut(set *club.Set) {
	var stay []club.Refusal
	for _, f := range set.Refused {
		if f.AnySet {
			stay = append(stay, f)
		}
	}
	set.Clubs, set.Rows, set.Superseded, set.Refused = nil, 0, 0, stay
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

// names are the names of sets or clubs that were seen.
type names map[string]bool

// add notes names where some are asked for: those, and others that may have been meant, as many as there is sense in.
func (n names) add(wanted []string, seen ...string) {
	const most = 10_000
	for _, name := range seen {
		if wanted != nil && (len(n) < most || among(wanted, name)) {
			n[strings.Clone(name)] = true
		}
	}
}

// missing is an error where a name that was asked for was not seen, however it is written.
func (n names) missing(wanted []string, what, where string) error {
	seen := slices.Sorted(maps.Keys(n))
	for _, name := range wanted {
		if !slices.ContainsFunc(seen, func(s string) bool { return catalogue.Same(s, name) }) {
			return mistake("no " + what + " " + diag.Quote(name) + " is on the " + where + didYouMean(name, seen))
		}
	}
	return nil
}

// named is a list of one name, empty where there is none.
func named(name string) []string {
	if name == "" {
		return nil
	}
	return []string{name}
}

// among reports whether a name is one of those asked for; each is where none is.
func among(asked []string, name string) bool {
	return asked == nil || slices.ContainsFunc(asked, func(a string) bool { return catalogue.Same(a, name) })
}
