package judge

// This file brings the exceptions of a rule together: which of them counts for a subject.

import (
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/value"
)

// Weighed says which of a rule's exceptions counts for a subject, each by its place among them.
type Weighed struct {
	Verdict decide.Verdict // 0 where two that hold disagree
	Held    int            // the first that holds; -1 for none: then the rule's own requirement counts
	Clash   int            // the first that holds and disagrees with that one; -1 for none
	Apart   []int          // those that hold, and of which it is not known whether they agree with it
	Open    []int          // all that may hold, where one of them would make a difference
}

// Weigh weighs exceptions, of which holds reports whether they hold. The first of them, plain in number, have no order;
// each other one counts only where none before it holds. agree reports whether two of them have the same result.
// verdict is what the rule says under one of them, or by its own requirement for -1. It is asked first for the one that
// counts, if at all.
func Weigh(holds []value.Truth, plain int, agree func(i, k int) value.Truth, verdict func(int) decide.Verdict) Weighed {
	w := Weighed{Held: -1, Clash: -1, Verdict: decide.Unmeasured}
	var open []int
	for i, truth := range holds {
		if w.Held >= 0 && i >= plain {
			break
		}
		switch {
		case truth == value.Unknown:
			open = append(open, i)
		case truth == value.True && w.Held < 0:
			w.Held = i
		case truth == value.True:
			switch agree(w.Held, i) {
			case value.False:
				return Weighed{Held: w.Held, Clash: i}
			case value.Unknown:
				w.Apart = append(w.Apart, i)
			}
		}
	}
	if w.Apart != nil {
		return w
	}
	w.Verdict = verdict(w.Held)
	for n, i := range open {
		apart := func(k int) bool { return agree(k, i) != value.True }
		if i < plain && slices.ContainsFunc(open[:n], apart) || (w.Held < 0 || apart(w.Held)) &&
			(w.Held >= 0 && w.Held < plain || verdict(i) != w.Verdict) {
			w.Verdict, w.Open = decide.Unmeasured, open
			break
		}
	}
	return w
}
