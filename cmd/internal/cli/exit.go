package cli

// This file is the one place that maps what happened to an exit code.

import (
	"errors"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/lang/diag"
)

// The exit codes. unable wins over failed, failed over unsure.
const (
	fine   = 0 // everything that was judged passes
	failed = 1 // something fails, or would change
	unsure = 2 // nothing fails, but something is too close or not measured
	unable = 3 // a wrong call, a faulty book, an unreadable or refused row, nothing judged
)

// outcome is what came of a command that could do its work. The zero value is that all is fine.
type outcome struct {
	tally   judge.Tally
	checked bool // sheets were judged: the tally counts
	refused int  // rows
	order   club.Gaps
	faulty  bool // a mistake was reported already: in a book, a sheet, or the report itself
	// apart: fmt: something would change; agree: two readings disagree; build: a shaft is too short, a dry fit out;
	// trim: a set has no plan; test: a case is not as expected.
	apart  bool
	untold bool // convert, agree, build, trim: something is not measured
}

func (o outcome) code() int {
	v := o.tally.Verdicts
	switch {
	case o.faulty, o.refused > 0, o.order.Refused > 0, o.tally.Conflicts > 0, o.checked && o.tally.Results() == 0:
		return unable
	case v[decide.Fail] > 0, o.apart, o.order.Of[club.OtherClub] > 0:
		return failed
	case v[decide.TooClose]+v[decide.Unmeasured] > 0, o.untold, o.order.Of[club.NotOnSheet] > 0:
		return unsure
	}
	return fine
}

// callMistake is a mistake in how the command was called, in words for a person.
type callMistake struct{ message, help string }

func (m *callMistake) Error() string { return m.message }

// mistake returns a mistake in a call. Help is the call that says more, if there is one.
func mistake(message string, help ...string) error {
	return &callMistake{message, strings.Join(help, "")}
}

// errReported ends a command whose mistakes were reported already.
var errReported = errors.New("reported already")

// say writes to the error stream what went wrong, unless it was reported already.
func (s *Streams) say(err error) {
	var call *callMistake
	var problem *sheet.Problem
	switch {
	case errors.Is(err, errReported):
	case errors.As(err, &problem):
		s.note("ferrule: %s", diag.Visible(problem.Error()))
		if problem.Hint != "" {
			s.note("  %s", diag.Visible(problem.Hint))
		}
	case errors.As(err, &call):
		s.note("ferrule: %s", call.message)
		if call.help != "" {
			s.note("Try %q.", call.help)
		}
	default:
		s.note("ferrule: %s", fileTrouble(err))
	}
}
