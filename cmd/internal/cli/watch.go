package cli

// This file runs a call again when one of the files that it read changes.

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"slices"
	"time"

	"ferrule/lang/unit"
)

// stamp is how a file is at a moment. The zero value is that of a file that is not there.
type stamp struct {
	size     int64
	modified int64 // nanoseconds
}

// stamps are those of files, by name.
type stamps map[string]stamp

func stampOf(info fs.FileInfo, err error) stamp {
	if err != nil {
		return stamp{}
	}
	return stamp{info.Size(), info.ModTime().UnixNano()}
}

// again looks at the files anew.
func (s stamps) again() stamps {
	now := stamps{}
	for name := range s {
		now[name] = stampOf(os.Stat(name))
	}
	return now
}

// there reports whether each file is there.
func (s stamps) there() bool {
	for _, one := range s {
		if one == (stamp{}) {
			return false
		}
	}
	return true
}

// whole reports whether each file is there and has something in it.
func (s stamps) whole() bool {
	for _, one := range s {
		if one.size == 0 {
			return false
		}
	}
	return true
}

// quiet is how many moments a file must not change before it counts as saved.
const quiet = 2

// patience is how many moments a file may be missing or empty while a program saves it. One that is so for longer is
// taken as it is.
const patience = 20

// watch runs a call, and again whenever a file that it read has changed and rests. A mistake in the call itself ends it
// the first time.
func (s *Streams) watch(done *outcome, run func() error) error {
	out, _ := s.Out.(*sink)
	for first := true; ; first = false {
		*done, s.read, s.seen = outcome{}, nil, stamps{}
		err := run()
		s.undo()
		switch {
		case out != nil && out.err != nil, err != nil && first && (!errors.Is(err, errTold) || !s.seen.there()):
			return err
		case err != nil:
			s.say(err)
		}
		if first {
			s.note("ferrule: watching %s; end it with Ctrl-C", s.seen.names(nil))
		}
		changed, more := s.changed()
		if !more {
			return err
		}
		s.note("ferrule: judged again: %s changed", changed)
	}
}

// names lists the files, or those of them that are not as they were before.
func (s stamps) names(before stamps) string {
	var names []string
	for _, name := range slices.Sorted(maps.Keys(s)) {
		if was, ok := before[name]; !ok || was != s[name] {
			names = append(names, name)
		}
	}
	return unit.Listed(visibleNames(names), "and")
}

// changed waits until files are not as they were read, and rest, and names them. It is false where there is no more
// waiting.
func (s *Streams) changed() (string, bool) {
	before := s.seen.again()
	maps.Copy(before, s.seen)
	last, resting := before, 0
	for {
		if !s.wait() {
			return "", false
		}
		now := before.again()
		if !maps.Equal(now, last) {
			last, resting = now, 0
			continue
		}
		resting++
		if !maps.Equal(now, before) && (resting >= quiet && now.whole() || resting >= patience) {
			return now.names(before), true
		}
	}
}

func (s *Streams) wait() bool {
	if s.Wait != nil {
		return s.Wait()
	}
	time.Sleep(time.Second / 4)
	return true
}
