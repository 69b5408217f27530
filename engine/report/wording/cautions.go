package wording

// This file holds the cautions below plans of work, and what the words of a page mean.

import (
	"ferrule/engine/decide"
	"ferrule/engine/judge"
)

// Cautions come below every plan of work on a shaft.
var Cautions = []string{
	"Measure again before you cut: a piece cut off does not come back, and a fine grid does not mean that you can cut to it.",
	"Eyes and lungs: wear eye protection and a mask made for fine dust; cut and sand graphite wet or with extraction, steel away from what sparks can light.",
	"Solvent and epoxy: gloves and fresh air, no flame near; follow what their makers say of cure and disposal.",
	"Heat: pull a head with the shaft held fast and nobody in line with it; a head that is not cured or seated flies off. Let it cool.",
	"A new grip and cap move the length: measure the finished club by the method that its rule asks for.",
	"Local codes and licensed practice come first.",
}

// Meanings explain the words of a report to a reader who is new to them, those that are in it.
func Meanings(t *judge.Tally) (out [][2]string) {
	v := t.Verdicts
	limits := v[decide.Fail]+v[decide.TooClose] > 0
	for _, w := range []struct {
		used        bool
		label, note string
	}{
		{v[decide.Fail] > 0, "Fails", "The value is outside what the rule allows, as the rule decides."},
		{v[decide.TooClose] > 0, "Too close to call", "The reading could be off by so much that either side of the limit is possible."},
		{v[decide.Unmeasured] > 0, "Missing", "The sheet does not have what the rule asks for. Nothing is assumed in its place."},
		{v[decide.Exempt] > 0, "Exempt", "An exception or a waiver lifts the rule. It counts as passing."},
		{t.Advised > 0, "Advice", "A hint of the book, which does not affect the result."},
		{limits, "Limit", "What the value is compared with. An allowance that the rule states is in it already."},
		{limits, "±", "How far the reading may be from the true value, about 95 times in 100."},
	} {
		if w.used {
			out = append(out, [2]string{w.label, w.note})
		}
	}
	return out
}
