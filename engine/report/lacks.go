package report

// This file says in few lines what has to be measured: in each bag each measurement once, with the rules that wait
// for it.

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// missing is what the unmeasured results of a bag lack.
type missing struct {
	all   []*gap
	known map[gapKey]*gap
	alike map[string]string // of a club the first of those that are alike, of which it is one
}

// gapKey is what is said before and after the names of those that it is missing of; alike is the first of several clubs
// that are alike.
type gapKey struct{ before, after, alike string }

// gap is something that is missing in a bag.
type gap struct {
	gapKey
	of    []lackingClub // the clubs, pairs or the set that it is missing of
	rules []*book.Rule
}

// lackingClub is what a measurement is missing of; row and kind say where its result belongs in the bag.
type lackingClub struct {
	row, kind int
	name      string
}

func (c lackingClub) compare(d lackingClub) int {
	return cmp.Or(cmp.Compare(c.row, d.row), cmp.Compare(c.kind, d.kind))
}

// add takes notice of an unmeasured result, in whose row its subject begins. It returns what the sheet has no columns
// for, and whether anything else is missing.
func (m *missing) add(r *judge.Result, row int) (columns []string, more bool) {
	more = r.Lacks == nil
	subject := wording.Subject(r.Subject)
	note := func(key gapKey, name string) {
		more = true
		m.of(key).add(lackingClub{row, int(r.Subject.Kind), name}, r.Rule)
	}
	for _, l := range r.Lacks {
		switch property := wording.Visible(l.Property); {
		case l.Kind == value.NoColumn:
			columns = append(columns, property)
		case l.Row > 0: // these come first
			more = true
			of := lackingClub{row: l.Row - math.MaxInt, name: "row " + strconv.Itoa(l.Row)}
			m.of(gapKey{after: ", which could not be read"}).add(of, r.Rule)
		case l.Kind == value.NoReading:
			note(gapKey{before: property + " of "}, wording.Visible(l.Club))
		case l.Kind == value.Odd:
			note(gapKey{after: ": " + wording.Visible(l.Words)}, wording.Visible(l.Club))
		case l.Kind == value.Wanted:
			if len(r.Lacks) == 1 {
				note(gapKey{before: property + " of "}, subject)
			}
		case l.Kind == value.SameKey: // neighbours that are alike are named together
			key := gapKey{after: " have the same " + wording.Visible(l.Name), alike: cmp.Or(m.alike[l.Club], l.Club)}
			if m.alike == nil {
				m.alike = map[string]string{}
			}
			m.alike[l.Other] = key.alike
			note(key, wording.Visible(l.Club))
			note(key, wording.Visible(l.Other))
		default:
			note(gapKey{after: ": " + strings.TrimPrefix(wording.Visible(wording.Reason(l)), subject+": ")}, subject)
		}
	}
	return columns, more
}

// told are results that do not pass, the worst first: a line each, what is missing once, and what the books disagree
// about.
func told(bag *club.Set, conflicts []*judge.Conflict, results ...*judge.Result) (out []doc.Block) {
	slices.SortStableFunc(results, func(a, b *judge.Result) int { return cmp.Compare(a.Verdict, b.Verdict) })
	var open []*judge.Result
	var rules []*book.Rule
	for _, r := range results {
		if r.Verdict == decide.Unmeasured {
			open = append(open, r)
			continue
		}
		one := finding(r, Line)
		if one.Title, one.Mend = titleAt(r.Rule), ""; slices.Contains(rules, r.Rule) {
			again(one, r.Rule)
		}
		rules = append(rules, r.Rule)
		out = append(out, one)
	}
	for _, f := range lacking(bag, open) {
		out = append(out, f)
	}
	for _, c := range conflicts {
		out = append(out, &doc.Finding{Tone: doc.Open, Stamp: "CONFLICT", Text: wording.Conflict(c)})
	}
	return out
}

// lacking is what is missing for results, columns too, each thing once with the rules that wait for it.
func lacking(bag *club.Set, results []*judge.Result) []*doc.Finding {
	var m missing
	for _, r := range results {
		row := wording.Place(r.Subject, bag).Row
		columns, _ := m.add(r, row)
		for _, c := range columns {
			of := lackingClub{row: row, name: wording.File(r.Subject.File)}
			m.of(gapKey{before: "the column " + c + " in "}).add(of, r.Rule)
		}
	}
	return m.lines()
}

// of returns the gap of a key.
func (m *missing) of(key gapKey) *gap {
	if m.known[key] == nil {
		if m.known == nil {
			m.known = map[gapKey]*gap{}
		}
		m.known[key] = &gap{gapKey: key}
		m.all = append(m.all, m.known[key])
	}
	return m.known[key]
}

func (g *gap) add(c lackingClub, r *book.Rule) {
	c.name = strings.Clone(c.name)
	g.of, g.rules = append(g.of, c), lists.Also(g.rules, r)
}

// rules are all that wait for something, by name.
func (m *missing) rules() string {
	var all []*book.Rule
	for _, g := range m.all {
		all = lists.Also(all, g.rules...)
	}
	return ruleNames(all)
}

// ruleNames are the names of rules, each once.
func ruleNames(rules []*book.Rule) string {
	names := lists.Each(rules, func(r *book.Rule) string { return r.Decl.Name.Text })
	return strings.Join(lists.Once(names), ", ")
}

// lines are all that is missing, in the order of the sheet.
func (m *missing) lines() (out []*doc.Finding) {
	for _, g := range m.all {
		slices.SortStableFunc(g.of, lackingClub.compare)
	}
	slices.SortStableFunc(m.all, func(a, b *gap) int { return a.of[0].compare(b.of[0]) })
	for _, g := range m.all {
		names := lists.Once(lists.Each(g.of, func(c lackingClub) string { return c.name }))
		most := 3
		if g.before != "" {
			most = len(names)
		}
		which := wording.Few(names, most)
		if g.before == "" && len(names) >= value.MaxLacks { // more than these a result does not name
			which = list(append(names[:most:most], "others"))
		}
		out = append(out, &doc.Finding{Stamp: "MISSING", Tone: doc.Open,
			Text: g.before + which + g.after + ", for " + ruleNames(g.rules)})
	}
	return out
}

// list is "a, b and c".
func list(words []string) string { return unit.Listed(words, "and") }
