package cli

// This file runs a call again when one of the files that it read changes.

import (
	"errors"
	"time"

	"ferrule/cmd/internal/watch"
)

// watch runs a call, and again whenever a file that it read has changed and rests. A mistake in the call itself ends it
// the first time.
func (c *call) watch(run func() error) error {
	out, _ := c.Out.(*sink)
	for first := true; ; first = false {
		*c.done, c.read, c.seen = outcome{}, nil, watch.Stamps{}
		err := run()
		c.undo()
		switch {
		case out != nil && out.err != nil, err != nil && first && (!errors.Is(err, errReported) || !c.seen.There()):
			return err
		case err != nil:
			c.say(err)
		}
		if first {
			c.note("ferrule: watching %s; end it with Ctrl-C", c.seen.Names(nil))
		}
		changed, more := c.seen.Changed(c.wait)
		if !more {
			return err
		}
		c.note("ferrule: judged again: %s changed", changed)
	}
}

func (s *Streams) wait() bool {
	if s.Wait != nil {
		return s.Wait()
	}
	time.Sleep(time.Second / 4)
	return true
}
