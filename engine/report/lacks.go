package report

// This file tells in few lines what has to be measured: for each bag what is
// missing, of which clubs, and for which rules.

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// want is something that is missing in a bag.
type want struct {
	needs  string   // the measurements, by name; empty where none would help
	of     []string // the clubs, pairs or the set that it is wanted of
	reason string   // why, where it is more than that nobody measured it
	rules  []*book.Rule
}

// wants is what the unmeasured findings of a bag lack, by rule.
type wants struct {
	all   []*wanting
	known map[wantKey]*wanting
}

// wanting is what a rule lacks in a bag.
type wanting struct {
	wantKey
	of     []lackingClub
	first  lackingClub // in the order of the sheet
	reason string      // its reason
}

type wantKey struct {
	needs  string
	rule   *book.Rule
	reason bool // there is one
}

// lackingClub is what a measurement is wanted of; row and kind say where its finding stands among those of the bag.
type lackingClub struct {
	row, kind int
	name      string
}

func (c lackingClub) compare(d lackingClub) int {
	return cmp.Or(cmp.Compare(c.row, d.row), cmp.Compare(c.kind, d.kind))
}

// wantOf says to which wants a result belongs: 0 those of rules, 1 those of advice.
func wantOf(r *judge.Result) int {
	if r.Rule.Decl.Advice {
		return 1
	}
	return 0
}

// add takes notice of an unmeasured finding, in whose row its subject begins.
func (w *wants) add(r *judge.Result, row int) {
	of, reason := lacking(r)
	key := wantKey{wording.Visible(strings.Join(value.Needs(r.Lacks), ", ")), r.Rule, reason != ""}
	one := w.known[key]
	at := lackingClub{row: row, kind: int(r.Subject.Kind)}
	if one == nil {
		one = &wanting{wantKey: key, first: at, reason: reason}
		if w.known == nil {
			w.known = map[wantKey]*wanting{}
		}
		w.known[key], w.all = one, append(w.all, one)
	} else if at.compare(one.first) < 0 {
		one.first, one.reason = at, reason
	}
	for _, name := range of {
		at.name = strings.Clone(name)
		one.of = append(one.of, at)
	}
}

// facts are the lines of all that is wanted: what rules want alike of the same clubs is laid together.
func (w *wants) facts(bag *club.Set) (lines []doc.Fact) {
	var out []want
	slices.SortStableFunc(w.all, func(a, b *wanting) int { return a.first.compare(b.first) })
	for _, one := range w.all {
		slices.SortStableFunc(one.of, lackingClub.compare)
		next := want{one.needs, nil, one.reason, []*book.Rule{one.rule}}
		seen := map[string]bool{}
		for _, c := range one.of {
			if !seen[c.name] {
				seen[c.name] = true
				next.of = append(next.of, c.name)
			}
		}
		i := slices.IndexFunc(out, func(o want) bool {
			return o.needs == next.needs && o.reason == next.reason && slices.Equal(o.of, next.of)
		})
		if i < 0 {
			out = append(out, next)
		} else {
			out[i].rules = append(out[i].rules, one.rule)
		}
	}
	for _, one := range out {
		lines = append(lines, one.facts(bag)...)
	}
	return lines
}

// lacking names the clubs on which a finding's measurements were not made. Where
// the finding has another reason it is that reason, and the subject itself.
func lacking(r *judge.Result) (of []string, reason string) {
	for _, l := range r.Lacks {
		if l.Kind != value.NoReading && l.Kind != value.Wanted || l.So != 0 {
			return []string{string(wording.AppendSubject(nil, r.Subject))}, wording.Visible(wording.Reason(l))
		}
		if l.Kind == value.NoReading {
			of = append(of, wording.Visible(l.Club))
		}
	}
	if of == nil {
		of = []string{string(wording.AppendSubject(nil, r.Subject))}
	}
	return of, ""
}

// facts are the lines of what is wanted; where it is of few clubs, with their rows.
func (w want) facts(bag *club.Set) []doc.Fact {
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
	out := []doc.Fact{{Label: label, Note: link + list(of)}, {Note: "for " + ruleWords(w.rules)}}
	switch {
	case w.reason != "" && len(w.of) > 1:
		out = append(out, doc.Fact{Note: "for example, " + w.reason})
	case w.reason != "":
		out = append(out, doc.Fact{Note: w.reason})
	}
	return out
}

// rowOf is " (row 4)" for a club of the bag, and nothing for anything else.
func rowOf(id string, bag *club.Set) string {
	for _, c := range bag.Clubs {
		if wording.Visible(c.ID) == id {
			return " (row " + strconv.Itoa(c.Row) + ")"
		}
	}
	return ""
}

// list is "a, b and c".
func list(words []string) string { return unit.Listed(words, "and") }

// ruleWords names rules with the lines of their books: "a and b, house.ferrule
// lines 4 and 9".
func ruleWords(rules []*book.Rule) string {
	var parts []string
	rules = slices.Clone(rules)
	slices.SortStableFunc(rules, func(a, b *book.Rule) int { return a.Decl.Span.Start - b.Decl.Span.Start })
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
		parts = append(parts, list(names)+", "+wording.Visible(book.Name)+word+list(lines))
		rules = rest
	}
	return strings.Join(parts, "; ")
}
