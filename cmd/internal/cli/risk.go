package cli

// This file is the command "risk", which works out how often a rule is wrong.

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

const (
	exampleLike  = `--like "driver, lie 58 deg"`
	exampleStock = `--stock "45 in, 0.12 in"`
)

func runRisk(c *call) error {
	for _, need := range []struct{ value, says string }{
		{strings.Join(c.rules, ""), "--rules and a rule book"}, {c.rule, "--rule and the name of a rule"},
		{c.by, "--by and the method of the reading"},
	} {
		if need.value == "" {
			return mistake("risk needs "+need.says, "ferrule help risk")
		}
	}
	stock, err := stockOf(c.stock)
	if err != nil {
		return err
	}
	l, err := c.openBooks(c.rules, "")
	if err != nil {
		return err
	}
	rule, err := ruleOf(l, c.rule)
	if err != nil {
		return err
	}
	if !rule.InForce(c.day) {
		return mistake("the rule " + c.rule + " is not in force on " + c.day.String() +
			"; choose another day with --on")
	}
	c.notes = append(c.notes, "On "+c.day.String()+".")
	if err := knowsMethod(l.Program, c.by); err != nil {
		return err
	}
	like, err := lengthless(l, c.like)
	if err != nil {
		return err
	}
	words := compare.Words{Reasons: wording.JoinReasons, Conflict: wording.Conflicting}
	risk, err := compare.NewRisk(l.Program, rule, c.day, c.by, like, words)
	switch {
	case errors.Is(err, compare.ErrWhichClub):
		return mistake(err.Error() + "; say which, as in " + exampleLike)
	case err != nil:
		return mistake(err.Error())
	}
	return c.report(func(w io.Writer, shown report.Options) error {
		return report.Risk(w, risk, data.RiskOf{Like: c.like, Stock: stock, On: c.day.String()}, shown)
	})
}

// lengthless is the club that is described, whose length is tried out; nil where none is.
func lengthless(l *rulebooks, text string) (*club.Club, error) {
	if text == "" {
		return nil, nil
	}
	set, err := likeOf(l, text)
	if err != nil {
		return nil, err
	}
	c := set.Clubs[0]
	if c.Has(catalogue.LengthID) {
		return nil, wrongLike(text, "every length near the limits is tried, so leave its length out")
	}
	for _, d := range c.Doubts() {
		if d.Slip {
			return nil, wrongLike(text, d.Message)
		}
	}
	return c, nil
}

// ruleOf is the rule of that name, which must be one.
func ruleOf(l *rulebooks, name string) (*book.Rule, error) {
	if err := knowsRules([]string{name}, l.Program); err != nil {
		return nil, err
	}
	found := slices.DeleteFunc(slices.Clone(l.Rules()), func(r *book.Rule) bool { return r.Decl.Name.Text != name })
	if len(found) > 1 {
		return nil, mistake(fmt.Sprintf("%s is a rule of %s and of %s; name one of these books alone", name,
			found[0].Book.Name, found[1].Book.Name))
	}
	return found[0], nil
}

// stockOf reads "45 in, 0.12 in"; nil where no stock is named.
func stockOf(text string) (*compare.Stock, error) {
	if text == "" {
		return nil, nil
	}
	mean, deviation, _ := strings.Cut(text, ",")
	s, figure, given := new(compare.Stock), "mean", strings.TrimSpace(mean)
	var err error
	if s.Mean, err = positive("", given); err == nil {
		figure, given = "deviation", strings.TrimSpace(deviation)
		s.Deviation, err = lengthOf("", given)
	}
	if err == nil {
		return s, nil
	}
	wrong := " cannot be " + diag.Quote(given)
	if given == "" {
		wrong = " is missing"
	}
	return nil, mistake("--stock takes a mean and a standard deviation, as in " + exampleStock + "; the " +
		figure + wrong)
}
