package report

// This file tells in few lines what has to be measured: for each bag what is
// missing, of which clubs, and for which rules.

import (
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/check"
)

// want is something that is missing in a bag.
type want struct {
	needs  string   // the measurements, by name; empty where none would help
	of     []string // the clubs, pairs or the set that it is wanted of
	reason string   // why, where it is more than that nobody measured it
	rules  []*check.Rule
}

// wants gathers what the unmeasured findings of one bag lack: first by rule, then
// rules that want the same of the same clubs are laid together.
func wants(found []finding) []want {
	var byRule []want
	for _, f := range found {
		needs := Visible(strings.Join(f.Needs, ", "))
		of, reason := lacking(f)
		i := slices.IndexFunc(byRule, func(w want) bool {
			return w.needs == needs && w.rules[0] == f.Rule && (w.reason == "") == (reason == "")
		})
		if i < 0 {
			byRule = append(byRule, want{needs, nil, reason, []*check.Rule{f.Rule}})
			i = len(byRule) - 1
		}
		for _, id := range of {
			if !slices.Contains(byRule[i].of, id) {
				byRule[i].of = append(byRule[i].of, id)
			}
		}
	}
	var out []want
	for _, w := range byRule {
		i := slices.IndexFunc(out, func(o want) bool {
			return o.needs == w.needs && o.reason == w.reason && slices.Equal(o.of, w.of)
		})
		if i < 0 {
			out = append(out, w)
			continue
		}
		out[i].rules = append(out[i].rules, w.rules...)
	}
	return out
}

// lacking names the clubs on which a finding's measurements were not made. Where
// the finding has another reason it is that reason, and the subject itself.
func lacking(f finding) (of []string, reason string) {
	for _, why := range f.Reasons {
		id, need, ok := strings.Cut(why, " has no ")
		if !ok || !slices.Contains(f.Needs, need) {
			return []string{string(appendSubject(nil, f.Subject))}, Visible(why)
		}
		of = append(of, Visible(id))
	}
	if of == nil {
		of = []string{string(appendSubject(nil, f.Subject))}
	}
	return of, ""
}

// entries are the lines of what is wanted; where it is of few clubs, with their rows.
func (w want) entries(bag *club.Set) []entry {
	label, link := w.needs, "of "
	if label == "" {
		label, link = "undecided", ""
	}
	of := w.of
	const few = 3
	if len(of) <= few {
		of = slices.Clone(of)
		for i, id := range of {
			of[i] += rowOf(id, bag)
		}
	}
	out := []entry{{label: label, note: link + list(of)}, {note: "for " + ruleWords(w.rules)}}
	switch {
	case w.reason != "" && len(w.of) > 1:
		out = append(out, entry{note: "for example, " + w.reason})
	case w.reason != "":
		out = append(out, entry{note: w.reason})
	}
	return out
}

// rowOf is " (row 4)" for a club of the bag, and nothing for anything else.
func rowOf(id string, bag *club.Set) string {
	for _, c := range bag.Clubs {
		if Visible(c.ID) == id {
			return " (row " + strconv.Itoa(c.Row) + ")"
		}
	}
	return ""
}

// list is "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// ruleWords names rules with the lines of their books: "a and b, house.ferrule
// lines 4 and 9".
func ruleWords(rules []*check.Rule) string {
	var parts []string
	rules = slices.Clone(rules)
	slices.SortStableFunc(rules, func(a, b *check.Rule) int { return a.Decl.Span.Start - b.Decl.Span.Start })
	for len(rules) > 0 {
		book := rules[0].Book
		var names, lines []string
		rest := rules[:0:0]
		for _, r := range rules {
			if r.Book != book {
				rest = append(rest, r)
				continue
			}
			names = append(names, r.Decl.Name.Text)
			lines = append(lines, strconv.Itoa(r.Decl.Span.Line()))
		}
		word := " line "
		if len(lines) > 1 {
			word = " lines "
		}
		parts = append(parts, list(names)+", "+Visible(book.Name)+word+list(lines))
		rules = rest
	}
	return strings.Join(parts, "; ")
}
