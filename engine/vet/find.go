package vet

// This file words what several kinds of finding tell alike: that rules contradict each other, and that one is idle
// beside another or looser.

import (
	"fmt"
	"slices"

	"ferrule/engine/decide"
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

// contradict reports that some rules contradict each other, and what that means: at the last one of the book, or where
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

// borneOut is a bag as a witness on which some rule fails, about the subject of the first that does; false where none
// fails.
func (a *analyst) borneOut(b space.Bag, on book.Day, rules ...*book.Rule) (*space.Witness, bool) {
	w, ok := a.Witness(b, on, rules...)
	if !ok {
		return nil, false
	}
	for _, v := range w.Verdicts {
		if v.Verdict == decide.Fail {
			w.About(v.Rule.Subject, v.On)
			return w, true
		}
	}
	return nil, false
}

// shows is a bag as a witness on which a rule has one of some verdicts, about the subject that has it; nil where it has
// none of them.
func (a *analyst) shows(r *book.Rule, b space.Bag, of ...decide.Verdict) *space.Witness {
	on, _ := space.Together(r)
	w, ok := a.Witness(b, on, r)
	if !ok || len(w.Said) == 0 || !slices.Contains(of, w.Verdict(r)) {
		return nil
	}
	w.About(r.Subject, w.Verdicts[0].On)
	return w
}

// findClash reports that two exceptions of a rule hold for one subject of a bag and disagree.
func (a *analyst) findClash(r *book.Rule, of [2]*ast.Unless, b space.Bag, subject string) {
	if w := a.shows(r, b, 0); w != nil {
		message := fmt.Sprintf("two exceptions of %s hold for one %s and disagree, so the rule gives it no verdict",
			r.Decl.Name.Text, subject)
		a.find(diag.ExceptionsClash, of[1].Span, w, message, "conditions that never hold together, or the same outcome",
			diag.Label{Span: of[0].Span, Text: "the other exception"})
	}
}

// findNeverShown reports that no readings can be sure to meet a rule, shown by a bag; false where the bag does not show it.
func (a *analyst) findNeverShown(r *book.Rule, b space.Bag, message string) bool {
	w := a.shows(r, b, decide.Fail, decide.TooClose)
	if w == nil {
		return false
	}
	var decision []diag.Label
	if !r.Decision.Span.IsZero() {
		decision = append(decision, diag.Label{Span: r.Decision.Span, Text: "it decides like this"})
	}
	a.find(diag.NeverShown, r.Decl.Require.Span, w, message, "a wider tolerance, a finer method, or decision simple", decision...)
	return true
}

// findLifted reports that the exceptions of a rule lift it wherever it would apply, shown by a bag.
func (a *analyst) findLifted(r *book.Rule, b space.Bag, subject string) {
	w := a.shows(r, b, decide.Exempt)
	if w == nil {
		return
	}
	var related []diag.Label
	for _, u := range r.Decl.Unless {
		if u.Bound == nil {
			related = append(related, diag.Label{Span: u.Span, Text: "what exempts them"})
		}
	}
	message := fmt.Sprintf("%s can never apply: its exceptions exempt every %s that it is about", r.Decl.Name.Text, subject)
	a.find(diag.NeverApplies, r.Decl.Require.Span, w, message, "exceptions that leave some of them", related...)
}

// findAboutNothing reports that no club is in the list of a rule and meets its condition.
func (a *analyst) findAboutNothing(r *book.Rule) {
	a.find(diag.NeverApplies, r.Decl.For.Span, nil, r.Decl.Name.Text+" can never apply: it is about no club",
		"a list and a condition that some club meets")
}

// besides is a rule of the book that is looser than one that it uses, or decides nothing beside a stricter one.
type besides struct {
	loose, strict *book.Rule
	looser        bool
	by            *ast.Unless // it is looser by this exception alone; nil for none
	equal         bool        // the stricter one fails no more than the other
	same          string      // subjects of which both say the same; "" where they do not
	subjects      string      // that both judge
}

// findBeside reports it, shown by a bag that the stricter rule fails and, where that fails more, the other passes. False
// where the bag does not bear that out.
func (a *analyst) findBeside(o besides, b space.Bag, on book.Day) bool {
	w, ok := a.borneOut(b, on, o.strict, o.loose)
	if !ok || w.Verdict(o.strict) != decide.Fail || !o.equal && rank(w.Verdict(o.loose)) == decide.Fail {
		return false
	}
	name, other := o.loose.Decl.Name.Text, o.strict.Decl.Name.Text
	if !o.looser {
		message := fmt.Sprintf("%s decides nothing: wherever it applies, whatever passes %s passes it too", name, other)
		if o.same != "" {
			message = fmt.Sprintf("%s decides nothing: %s says the same of %s", name, other, o.same)
		}
		a.idle[o.loose] = true
		a.find(diag.IdleRule, o.loose.Decl.Require.Span, w, message, "one rule for both", required(o.strict))
		return true
	}
	at, out := o.loose.Decl.Require.Span, "rule"
	message := fmt.Sprintf("%s is looser than %s of %s, which also judges the same %s", name, other, o.strict.Book.Name, o.subjects)
	if o.by != nil {
		at, message, out = o.by.Span, "by this exception "+message, "exception"
	}
	a.find(diag.LooserRule, at, w, message, fmt.Sprintf("the use without %s, or this %s left out", other, out),
		diag.Label{Span: o.strict.Decl.Require.Span, Text: "the stricter one"})
	return true
}
