package cli

// This file runs a call again when one of the files that it read changes.

import (
	"errors"
	"time"

	"ferrule/cmd/internal/watch"
)

// watch runs a call, and again whenever a file that it read has changed and rests. A mistake in the call itself ends it
// the first time.
func (s *Streams) watch(done *outcome, run func() error) error {
	out, _ := s.Out.(*sink)
	for first := true; ; first = false {
		*done, s.read, s.seen = outcome{}, nil, watch.Stamps{}
		err := run()
		s.undo()
		switch {
		case out != nil && out.err != nil, err != nil && first && (!errors.Is(err, errTold) || !s.seen.There()):
			return err
		case err != nil:
			s.say(err)
		}
		if first {
			s.note("ferrule: watching %s; end it with Ctrl-C", s.seen.Names(nil))
		}
		changed, more := s.seen.Changed(s.wait)
		if !more {
			return err
		}
		s.note("ferrule: judged again: %s changed", changed)
	}
}

func (s *Streams) wait() bool {
	if s.Wait != nil {
		return s.Wait()
	}
	time.Sleep(time.Second / 4)
	return true
}
