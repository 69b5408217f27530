// Package watch waits until files change and rest.
package watch

import (
	"io/fs"
	"maps"
	"os"
	"slices"

	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Stamp is how a file is at a moment. The zero value is that of a file that is not there.
type Stamp struct {
	size     int64
	modified int64 // nanoseconds
}

// Stamps are those of files, by name.
type Stamps map[string]Stamp

// StampOf is the stamp of a file as the system has it.
func StampOf(info fs.FileInfo, err error) Stamp {
	if err != nil {
		return Stamp{}
	}
	return Stamp{info.Size(), info.ModTime().UnixNano()}
}

// again looks at the files anew.
func (s Stamps) again() Stamps {
	now := Stamps{}
	for name := range s {
		now[name] = StampOf(os.Stat(name))
	}
	return now
}

// There reports whether each file is there.
func (s Stamps) There() bool { return !slices.Contains(slices.Collect(maps.Values(s)), Stamp{}) }

// whole reports whether each file is there and has something in it.
func (s Stamps) whole() bool {
	empty := func(one Stamp) bool { return one.size == 0 }
	return !slices.ContainsFunc(slices.Collect(maps.Values(s)), empty)
}

// quiet is how many moments a file must not change before it counts as saved.
const quiet = 2

// patience is how many moments a file may be missing or empty while a program saves it. One that is so for longer is
// taken as it is.
const patience = 20

// Names lists the files, or those of them that are not as they were before.
func (s Stamps) Names(before Stamps) string {
	var names []string
	for _, name := range slices.Sorted(maps.Keys(s)) {
		if was, ok := before[name]; !ok || was != s[name] {
			names = append(names, diag.Visible(name))
		}
	}
	return unit.Listed(names, "and")
}

// Changed waits until files are not as they were read, and rest, and names them. It is false where there is no more
// waiting for a moment.
func (s Stamps) Changed(wait func() bool) (string, bool) {
	before := s.again()
	maps.Copy(before, s)
	last, resting := before, 0
	for {
		if !wait() {
			return "", false
		}
		now := before.again()
		if !maps.Equal(now, last) {
			last, resting = now, 0
			continue
		}
		resting++
		if !maps.Equal(now, before) && (resting >= quiet && now.whole() || resting >= patience) {
			return now.Names(before), true
		}
	}
}
