package check

// This file checks waivers.

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

func (c *checker) waive(d *ast.Waive) {
	w := &book.Waiver{Book: c.book, Decl: d, Period: c.period(d.From, d.Until, "this waiver")}
	c.lacking(d.Broken, d.Rule.Span, "the waiver of "+d.Rule.Text, clause{"on", d.On != nil})
	silent := d.Text == nil || strings.TrimSpace(d.Text.Value) == ""
	if silent && !d.Broken {
		c.wrong(diag.MissingClause, d.Rule.Span, `a text after the name of the rule, as in "Granted by the Committee"`,
			"the waiver of %s does not say why", d.Rule.Text)
	}
	e := c.find(rules, d.Rule)
	switch {
	case e == nil:
		c.unknown(rules, d.Rule, "rule")
		return
	case e.Rule == nil || d.On == nil || silent || w.Empty():
		return
	case e.Rule.Decl.Advice:
		c.wrong(diag.WaivedAdvice, d.Rule.Span, "the name of a rule", "%s is an advice, which nobody has to follow",
			d.Rule.Text)
		return
	}
	w.Rule = e.Rule
	for _, before := range book.Waivers([]*book.Book{c.book}) {
		if w.Meets(before) {
			c.beside(diag.WaivedTwice, d.On.Span, before.Decl.On.Span, "the other waiver",
				"one waiver of a rule for each subject on each day", "%s is waived twice for one and the same subject",
				d.Rule.Text)
			return
		}
	}
	if w.Rule.Decl.For != nil {
		c.book.Waivers = append(c.book.Waivers, w)
	}
}

// inVain warns of waivers that change nothing.
func (c *checker) inVain() {
	all := book.Waivers([]*book.Book{c.book})
	for _, w := range c.book.Waivers {
		c.idle(w)
		if i := slices.IndexFunc(all, w.Within); i >= 0 && w.Fits() {
			rule := w.Decl.Rule
			c.report(diag.Diagnostic{Code: diag.IdleWaiver, Severity: diag.Warning, Span: rule.Span,
				Message:  "this waiver lifts nothing that another waiver of " + rule.Text + " does not lift",
				Expected: "one of them, or days on which the other does not hold",
				Related:  []diag.Label{{Span: all[i].Decl.On.Span, Text: "the other waiver"}}})
		}
	}
}

// idle warns of a waiver without an end, and of one that can never lift its rule.
func (c *checker) idle(w *book.Waiver) {
	d, r := w.Decl, w.Rule
	warn := func(code diag.Code, expected, message string, args ...any) {
		c.report(diag.Diagnostic{Code: code, Severity: diag.Warning, Span: d.Rule.Span,
			Message: "this waiver " + fmt.Sprintf(message, args...), Expected: expected})
	}
	edition, _ := book.ParseDay(c.book.Edition)
	switch {
	case w.Until == book.NoDay:
		warn(diag.EndlessWaiver, "a line until with its last day", "has no end")
	case c.book.Edition != "" && w.Until < edition:
		warn(diag.IdleWaiver, "a later day in until, or the book without it",
			"is over on every day of the book, whose edition is of %s", c.book.Edition)
	}
	const never = "can never lift %s, which is "
	switch {
	case !w.Period.Meets(r.Period):
		warn(diag.IdleWaiver, "days on which the rule is in force",
			never+"not in force on any of its days", d.Rule.Text)
	case r.Decl.For.Kind == ast.OfSet && len(d.On.Clubs) > 0:
		warn(diag.IdleWaiver, "on set and the name of the set", never+"about whole sets", d.Rule.Text)
	case r.Decl.For.Kind == ast.OfClub && len(d.On.Clubs) > 1:
		warn(diag.IdleWaiver, "one club", never+"about one club at a time", d.Rule.Text)
	}
}
