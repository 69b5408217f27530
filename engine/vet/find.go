package vet

// This file reports what is found in several ways: that rules contradict each other, that one is idle beside another
// or looser, and what shows on one rule.

import (
	"fmt"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// named are the names of some rules, as a person lists them.
func named(rules []*book.Rule) string {
	names := lists.Each(rules, func(r *book.Rule) string { return r.Decl.Name.Text })
	return unit.Listed(names, "and")
}

// seeRequired shows what a rule requires.
func (f *Finding) seeRequired(r *book.Rule) {
	f.see(r.Decl.Require.Span, "what "+r.Decl.Name.Text+" requires")
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
func (a *analyst) contradict(rules []*book.Rule, w *space.Witness, expected, means string, of ...any) {
	at := rules[len(rules)-1]
	place := a.useOf(at)
	if own := a.lastOwn(rules); own != nil {
		at, place = own, own.Decl.Require.Span
	}
	f := a.find(Contradiction, place, w, expected,
		"%s contradict each other: %s", named(rules), fmt.Sprintf(means, of...))
	for _, r := range rules {
		if r != at {
			f.seeRequired(r)
		}
	}
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
		a.find(ExceptionsClash, of[1].Span, w, "conditions that never hold together, or the same outcome",
			"two exceptions of %s hold for one %s and disagree, so the rule gives it no verdict",
			r.Decl.Name.Text, subject).see(of[0].Span, "the other exception")
	}
}

// findNeverShown reports that no readings can be sure to meet a rule, shown by a bag; false where the bag does not show
// it.
func (a *analyst) findNeverShown(r *book.Rule, b space.Bag, message string) bool {
	w := a.shows(r, b, decide.Fail, decide.TooClose)
	if w == nil {
		return false
	}
	const expected = "a wider tolerance, a finer method, or decision simple"
	f := a.find(NeverShown, r.Decl.Require.Span, w, expected, "%s", message)
	if !r.Decision.Span.IsZero() {
		f.see(r.Decision.Span, "it decides like this")
	}
	return true
}

// findLifted reports that the exceptions of a rule lift it wherever it would apply, shown by a bag.
func (a *analyst) findLifted(r *book.Rule, b space.Bag, subject string) {
	w := a.shows(r, b, decide.Exempt)
	if w == nil {
		return
	}
	f := a.find(NeverApplies, r.Decl.Require.Span, w, "exceptions that leave some of them",
		"%s can never apply: its exceptions exempt every %s that it is about", r.Decl.Name.Text, subject)
	for _, u := range r.Decl.Unless {
		if u.Bound == nil {
			f.see(u.Span, "what exempts them")
		}
	}
}

// findAboutNothing reports that no club is in the list of a rule and meets its condition.
func (a *analyst) findAboutNothing(r *book.Rule) {
	a.find(NeverApplies, r.Decl.For.Span, nil, "a list and a condition that some club meets",
		"%s can never apply: it is about no club", r.Decl.Name.Text)
}

// besides is a rule of the book that is looser than one that it uses, or decides nothing beside a stricter one.
type besides struct {
	loose, strict *book.Rule
	looser        bool
	by            *ast.Unless // it is looser by this exception alone; nil for none
	equal         bool        // the stricter one fails no more than the other
	same          string      // subjects of which both say the same; "" where they do not
}

// subjects are those of rules, several of them.
var subjects = map[ast.SubjectKind]string{
	ast.OfClub: "clubs", ast.OfNeighbours: "pairs of neighbours", ast.OfSet: "sets"}

// findBeside reports it, shown by a bag that the stricter rule fails and, where that fails more, the other passes.
// False where the bag does not bear that out.
func (a *analyst) findBeside(o besides, b space.Bag, on book.Day) bool {
	w, ok := a.borneOut(b, on, o.strict, o.loose)
	if !ok || w.Verdict(o.strict) != decide.Fail || !o.equal && rank(w.Verdict(o.loose)) == decide.Fail {
		return false
	}
	name, other := o.loose.Decl.Name.Text, o.strict.Decl.Name.Text
	if !o.looser {
		why := fmt.Sprintf("wherever it applies, whatever passes %s passes it too", other)
		if o.same != "" {
			why = fmt.Sprintf("%s says the same of %s", other, o.same)
		}
		a.idle[o.loose] = true
		a.find(IdleRule, o.loose.Decl.Require.Span, w, "one rule for both", "%s decides nothing: %s", name, why).
			seeRequired(o.strict)
		return true
	}
	at, by, out := o.loose.Decl.Require.Span, "", "rule"
	if o.by != nil {
		at, by, out = o.by.Span, "by this exception ", "exception"
	}
	a.find(LooserRule, at, w, fmt.Sprintf("the use without %s, or this %s left out", other, out),
		"%s%s is looser than %s of %s, which also judges the same %s",
		by, name, other, o.strict.Book.Name, subjects[o.strict.Subject]).
		see(o.strict.Decl.Require.Span, "the stricter one")
	return true
}
