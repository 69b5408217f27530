package vet

// This file words what several kinds of finding tell alike: that rules contradict each other, and that one is idle
// beside another or looser.

import (
	"fmt"
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// named are the names of some rules, as a person lists them.
func named(rules []*book.Rule) string {
	var names []string
	for _, r := range rules {
		names = append(names, r.Decl.Name.Text)
	}
	return unit.Listed(names, "and")
}

// required shows what a rule requires.
func required(r *book.Rule) diag.Label {
	return diag.Label{Span: r.Decl.Require.Span, Text: "what " + r.Decl.Name.Text + " requires"}
}

// lastOwn is the last of some rules that the book itself has; nil for none.
func (a *analyst) lastOwn(rules []*book.Rule) *book.Rule {
	own := slices.DeleteFunc(slices.Clone(rules), func(r *book.Rule) bool { return !a.own[r] })
	if len(own) == 0 {
		return nil
	}
	return slices.MaxFunc(own, func(x, y *book.Rule) int { return x.Decl.Span.Start - y.Decl.Span.Start })
}

// contradict tells that some rules contradict each other, and what that means: at the last one of the book, or where
// the book brings the last one in.
func (a *analyst) contradict(rules []*book.Rule, w *space.Witness, means, expected string) {
	at := rules[len(rules)-1]
	place := a.useOf(at)
	if own := a.lastOwn(rules); own != nil {
		at, place = own, own.Decl.Require.Span
	}
	var related []diag.Label
	for _, r := range rules {
		if r != at {
			related = append(related, required(r))
		}
	}
	a.find(diag.Contradiction, place, w, named(rules)+" contradict each other: "+means, expected, related...)
}

// useOf is the declaration by which the book brings a rule in.
func (a *analyst) useOf(r *book.Rule) source.Span {
	for _, u := range a.book.Uses {
		if slices.Contains(u.Rules, r) {
			return u.Decl.Span
		}
	}
	return r.Decl.Name.Span
}

// tellIdle tells that a rule says nothing beside a stricter one, or that both say the same of some subjects.
func (a *analyst) tellIdle(loose, strict *book.Rule, same string, w *space.Witness) {
	name, other := loose.Decl.Name.Text, strict.Decl.Name.Text
	message := fmt.Sprintf("%s decides nothing: wherever it applies, whatever passes %s passes it too", name, other)
	if same != "" {
		message = fmt.Sprintf("%s decides nothing: %s says the same of %s", name, other, same)
	}
	a.idle[loose] = true
	a.find(diag.IdleRule, loose.Decl.Require.Span, w, message, "one rule for both", required(strict))
}

// looserThan says that a rule of the book is looser than one that it uses.
func looserThan(loose, strict *book.Rule, subjects string) string {
	return fmt.Sprintf("%s is looser than %s of %s, which also judges the same %s", loose.Decl.Name.Text, strict.Decl.Name.Text, strict.Book.Name, subjects)
}

// tellLooser tells that a rule of the book is looser than one that it uses, or is so by one exception.
func (a *analyst) tellLooser(loose, strict *book.Rule, by *ast.Unless, subjects string, w *space.Witness) {
	at, message, out := loose.Decl.Require.Span, looserThan(loose, strict, subjects), "rule"
	if by != nil {
		at, message, out = by.Span, "by this exception "+message, "exception"
	}
	a.find(diag.LooserRule, at, w, message, fmt.Sprintf("the use without %s, or this %s left out", strict.Decl.Name.Text, out),
		diag.Label{Span: strict.Decl.Require.Span, Text: "the stricter one"})
}
