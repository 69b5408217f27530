package judge

// This file lifts what is waived: what a rule would fail or leave open for the uncertainty, and nothing else.

import (
	"ferrule/engine/decide"
	"ferrule/lang/book"
)

// WaiverState says what became of a waiver. The zero value is invalid; of two the later one says more.
type WaiverState uint8

// The states.
const (
	MetNothing WaiverState = iota + 1 // no result was about its subject
	NotNeeded                         // the rule passes, or is lifted otherwise
	Undecided                         // the rule is unmeasured there and stays so, or not all of its subject was judged
	Used                              // it lifted something
	NotYet                            // it begins on a later day
	Over                              // its last day is past
)

var stateNames = [...]string{"", "met-nothing", "not-needed", "undecided", "used", "not-yet", "over"}

// String returns the word for the state.
func (s WaiverState) String() string { return stateNames[s] }

// Waived is a waiver and what became of it.
type Waived struct {
	*book.Waiver
	State WaiverState
}

// Lifted is a waiver that lifted a result, and what the rule would have said.
type Lifted struct {
	*book.Waiver
	Would decide.Verdict
}

// waivers are those that hold on a day, by their rule.
func (p *Program) waivers(on book.Day) map[*book.Rule][]*book.Waiver {
	out := map[*book.Rule][]*book.Waiver{}
	for _, w := range book.Waivers(p.Books) {
		if w.Holds(on) {
			out[w.Rule] = append(out[w.Rule], w)
		}
	}
	return out
}

// waive lifts a result where a waiver of its rule is granted to its subject. What is unmeasured stays so, and so does
// what the book contradicts itself about. For Every, which asks what is required, nothing is required there.
func (j *Judge) waive(r *rule, res *Result) {
	for _, w := range j.waivers[r.Rule] {
		if j.trying || !w.Covers(res.Subject.Set, res.Subject.IDs()) {
			continue
		}
		state := NotNeeded
		switch res.Verdict {
		case decide.Unmeasured:
			state = Undecided
		case decide.Fail, decide.TooClose:
			state = Used
		}
		if j.waived == nil {
			j.waived = map[*book.Waiver]WaiverState{}
		}
		j.waived[w] = max(j.waived[w], state)
		if (state == Used || j.every) && res.Waiver == nil {
			res.Waiver, res.Verdict = &Lifted{w, res.Verdict}, decide.Exempt
			res.Mend, res.SpokenMend, res.Settle = "", "", nil
		}
	}
}

// Waived lists the waivers of the books of some judges, and what became of each in what these judged on a day. Where
// that was not the whole of the sheets, what a waiver did not meet may be in the rest.
func (p *Program) Waived(on book.Day, whole bool, judges ...*Judge) []Waived {
	var out []Waived
	for _, w := range book.Waivers(p.Books) {
		one := Waived{w, MetNothing}
		switch {
		case w.Over(on):
			one.State = Over
		case on != book.NoDay && on < w.From:
			one.State = NotYet
		}
		for _, j := range judges {
			one.State = max(one.State, j.waived[w])
		}
		if !whole && (one.State == MetNothing || one.State == NotNeeded && len(w.Decl.On.Clubs) != 1) {
			one.State = Undecided
		}
		out = append(out, one)
	}
	return out
}
