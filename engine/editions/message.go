package editions

// This file puts into words what changed.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/source"
)

// message says what changed, on one line.
func message(p contrast.Pair, w contrast.What, c *contrast.Contrast) string {
	switch w {
	case contrast.Added:
		return "it is new"
	case contrast.Removed:
		return "it is gone"
	case contrast.Dates:
		return fmt.Sprintf("it is in force %s; it was %s", period(p.New), period(p.Old))
	case contrast.Scope:
		gained := "it is about other subjects"
		switch {
		case c.Old.Verdict(true) == 0 && c.New.Verdict(true) != 0:
			gained = "it covers more"
		case c.Old.Verdict(true) != 0 && c.New.Verdict(true) == 0:
			gained = "it covers less"
		}
		return gained + turned(p.Old.Decl.For.Span, p.New.Decl.For.Span, "a group or a named formula in it changed")
	case contrast.Exception:
		said := "an exception changed"
		switch {
		case c.New.Verdict(true) == decide.Exempt:
			said = "it exempts more"
		case c.Old.Verdict(true) == decide.Exempt:
			said = "it exempts less"
		}
		return said + exceptions(p)
	case contrast.Limit:
		return "the limit moved" + turned(p.Old.Decl.Require.Span, p.New.Decl.Require.Span,
			"something that it uses changed: a named formula, a chart, a head, an allowance or a method")
	case contrast.Decides:
		return fmt.Sprintf("it decides %s; it decided %s", decision(p.New), decision(p.Old))
	case contrast.Property:
		return properties(p)
	case contrast.Weight:
		if p.New.Decl.Advice {
			return "it only advises; it was a rule"
		}
		return "it is a rule; it only advised"
	}
	return ""
}

// properties says what the two editions of a rule take empty cells for, and which texts they know, where these differ.
func properties(p contrast.Pair) string {
	var names, out []string
	was, is := stated(p.Old, &names), stated(p.New, &names)
	forms := []string{"an empty cell of %s means %s; it meant %s", "the texts of %s are %s; they were %s"}
	for _, name := range names {
		for i, what := range forms {
			if was[name][i] != is[name][i] {
				out = append(out, fmt.Sprintf(what, name, or(is[name][i], i), or(was[name][i], i)))
			}
		}
	}
	return strings.Join(out, "; ")
}

// or is what is stated of a property, or what counts where nothing is.
func or(stated string, i int) string {
	return cmp.Or(stated, [...]string{"nothing", "any"}[i])
}

// stated is what a rule takes an empty cell of each property for, and which texts it knows; "" where its book says
// nothing. It adds to names what it finds.
func stated(r *book.Rule, names *[]string) map[string][2]string {
	out := map[string][2]string{}
	r.Visit(func(f book.Part) bool {
		if of := f.Ref(); of != nil && of.Kind == book.RefProperty {
			one := [2]string{1: strings.Join(of.Property.Texts, ", ")}
			if d := f.Info.Defaults[of.Property.ID]; d != nil && !of.Property.Ordered {
				one[0] = d.String()
			}
			out[of.Property.Name] = one
			*names = lists.Also(*names, of.Property.Name)
		}
		return true
	}, nil)
	return out
}

// turned shows two clauses, or says why equal ones mean another thing.
func turned(old, new source.Span, why string) string {
	a, b := bare(old), bare(new)
	if a == b {
		return ": " + why
	}
	return fmt.Sprintf(": %q; it said %q", b, a)
}

// bare is a clause without its keyword, on one line.
func bare(s source.Span) string {
	_, rest, _ := strings.Cut(s.OneLine(), " ")
	return strings.TrimSpace(rest)
}

// exceptions shows the exceptions that only one edition has.
func exceptions(p contrast.Pair) string {
	lines := func(r *book.Rule) []string {
		return lists.Each(r.Decl.Unless, func(u *ast.Unless) string { return u.Span.OneLine() })
	}
	if shown := listed(lines(p.Old), lines(p.New)); shown != "" {
		return ": " + shown
	}
	return ": a group, a chart or a named formula in it changed"
}

// listed shows the lines that only one edition has.
func listed(old, new []string) string {
	var parts []string
	for _, l := range new {
		if !slices.Contains(old, l) {
			parts = append(parts, fmt.Sprintf("new is %q", l))
		}
	}
	for _, l := range old {
		if !slices.Contains(new, l) {
			parts = append(parts, fmt.Sprintf("gone is %q", l))
		}
	}
	return strings.Join(parts, ", ")
}

// period is when a rule is in force.
func period(r *book.Rule) string { return between(r.From, r.Until) }

// between are the days from one to another, either of which may be open.
func between(from, until book.Day) string {
	switch {
	case from == book.NoDay && until == book.NoDay:
		return "on every day"
	case from == book.NoDay:
		return "until " + until.String()
	case until == book.NoDay:
		return "from " + from.String()
	}
	return "from " + from.String() + " until " + until.String()
}

// decision is a decision rule as a book writes it.
func decision(r *book.Rule) string {
	words := map[ast.DecisionKind]string{ast.Simple: "simply", ast.GuardedAcceptance: "by guarded acceptance",
		ast.GuardedRejection: "by guarded rejection", ast.ThreeWay: "three-way"}[r.Decision.Kind]
	if r.Decision.Kind != ast.Simple {
		words += fmt.Sprintf(" at %g %%", r.Decision.Level*100)
	}
	return words
}

// words are the parts in words.
func words(parts []contrast.What) []string {
	return lists.Each(parts, contrast.What.String)
}
