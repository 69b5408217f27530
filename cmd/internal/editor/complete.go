package editor

// This file finds what may be written at a place. It writes each word and name there, closes the clause, and keeps
// those that neither the parser nor the checker has anything against.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

// The kinds of completion items of the protocol.
const (
	functionItem = 3
	variableItem = 6
	classItem    = 7
	unitItem     = 11
	textItem     = 12
	keywordItem  = 14
	fileItem     = 17
)

// item is something that may be written.
type item struct {
	Label  string   `json:"label"`
	Kind   int      `json:"kind"`
	Detail string   `json:"detail,omitempty"`
	Sort   string   `json:"sortText"`
	Format int      `json:"insertTextFormat"` // 1 a text, 2 a snippet
	Edit   TextEdit `json:"textEdit"`
}

// gap is a place in a book where something is to be written.
type gap struct {
	*books
	declaration string         // the word of the declaration; "" before the first one
	clause      []parser.Token // of the unfinished clause, up to the place; none where a line starts
	before      string         // the declaration up to there, its other clauses before the unfinished one
	after       string         // they, where its first line is unfinished
	written     int            // bytes of the unfinished clause up to the place
	last        int            // bytes of the last clause and of what is behind it, up to the place
	head        string         // the head of the book and its lines with "use"
	others      string         // the other declarations that names come from
}

// completion lists what may be written at a place.
func completion(r *request) (any, error) {
	b, offset := r.doc.Books(), r.doc.Offset(r.Position)
	text := b.Root().File.Text
	offset = min(offset, len(text)) // a book that is too large has no text
	begun := word.FindString(text[:offset])
	start := offset - len(begun)
	g, ok := b.gapAt(start, offset)
	if !ok {
		return []item{}, nil
	}
	items, all := g.fixed(r.doc), true
	if items == nil {
		items, all = g.tried(r.doc, begun)
	}
	at := Range{r.doc.Text.Position(start), r.Position}
	for i := range items {
		it := &items[i]
		it.Format, it.Sort, it.Edit = 1, fmt.Sprintf("%04d", i), TextEdit{at, it.Label}
		form := ""
		if it.Kind == keywordItem && len(g.clause) == 0 {
			form = parser.Form(g.declaration, it.Label)
		} else if it.Kind == keywordItem {
			form = wordForm(it.Label)
		}
		if it.Detail == "" {
			it.Detail = form
		}
		if form != "" && r.client.TextDocument.Completion.CompletionItem.SnippetSupport {
			it.Format, it.Edit.NewText = 2, snippet(form)
		}
	}
	if !all {
		return map[string]any{"isIncomplete": true, "items": items}, nil
	}
	return items, nil
}

// word is a word that ends where the text does.
var word = regexp.MustCompile(`[a-z][a-z0-9-]*$`)

var (
	optional = regexp.MustCompile(` ?\[[^\[\]]*\] ?`)
	capitals = regexp.MustCompile(`[A-Z]+`)
)

// snippet is a form to be filled in: its first way, without what may be left out.
func snippet(form string) string {
	for optional.MatchString(form) {
		form = strings.TrimSpace(optional.ReplaceAllStringFunc(form, func(s string) string {
			return strings.Repeat(" ", min(1, strings.Count(s, " ")))
		}))
	}
	form, _, _ = strings.Cut(form, ", or ")
	form, _, _ = strings.Cut(form, ", "+strings.Fields(form)[0])
	form = strings.TrimSuffix(form, ", ...")
	n := 0
	return capitals.ReplaceAllStringFunc(form, func(s string) string { n++; return fmt.Sprintf("${%d:%s}", n, s) })
}

// gapAt is the gap between two places of the book; false inside comments and texts.
func (b *books) gapAt(start, end int) (g gap, ok bool) {
	file := b.Root().File
	cut := source.NewFile("", file.Text[:start])
	line := strings.LastIndexByte(cut.Text, '\n') + 1
	for _, c := range b.Root().Tree.Comments {
		if line <= c.Span.Start && c.Span.Start < start {
			return g, false
		}
	}
	g = gap{books: b}
	from, first, last := 0, 0, 0 // the declaration, the end of its first clause, and the last clause
	for _, c := range parser.Clauses(cut) {
		at := c.Place()
		if token := c.Tokens[len(c.Tokens)-1]; token.Kind == parser.Fault && at.End > line {
			return g, false
		}
		if c.Starts {
			g.declaration, from, first = c.Declaration, at.Start, at.End
		}
		if g.clause, last = c.Tokens, at.Start; at.End <= line {
			g.clause = nil
		}
	}
	others := "" // clauses, but for what is expected: there may be much of it, and it limits nothing
	for _, c := range parser.Clauses(file) {
		at := c.Place()
		if c.Starts && (g.declaration == "" || at.Start > from) {
			break
		}
		near := at.Start > from && at.Start < last || at.Start >= end && strings.Contains(file.Text[end:at.Start], "\n")
		if near && !c.Starts && c.Tokens[0].Text != "expect" {
			others += "\n  " + at.Text()
		}
	}
	if g.last = start - last; len(g.clause) > 0 {
		g.written = g.last
	}
	switch {
	case last > from:
		g.before = cut.Text[from:first] + others + "\n  " + cut.Text[last:]
	case g.clause == nil:
		g.before = cut.Text[from:first] + others + cut.Text[first:]
	default:
		g.before, g.after = cut.Text[from:], others
	}
	g.beside(from, end, len(g.clause) > 0 && g.clause[0].Text == "expect")
	return g, true
}

// beside takes in the declarations that are not between two places; rules only where they are asked for.
func (g *gap) beside(from, end int, rules bool) {
	switch d := g.Root().Tree.Header; {
	case d != nil && (d.Span.End < from || end < d.Span.Start):
		g.head = d.Span.Text() + "\n"
	case d == nil && g.declaration == "":
		return // a head may be written, which comes before everything
	}
	for _, d := range g.Root().Tree.Decls {
		at := d.Place()
		if d.Declared().Broken || at.Start <= end && from <= at.End {
			continue
		}
		switch word := d.Declared().Word; {
		case word == "use":
			g.head += at.Text() + "\n"
		case word != "waive" && word != "case" && (rules || word != "rule" && word != "advice"):
			g.others += at.Text() + "\n"
		}
	}
}

// fixed are the items of a place that takes names which are not looked for in formulas; nil for any other place.
func (g *gap) fixed(d *document) (items []item) {
	items = []item{}
	n := len(g.clause)
	is := func(clause string) bool { return n > 0 && g.clause[0].Text == clause }
	colon := slices.ContainsFunc(g.clause, func(t parser.Token) bool { return t.Text == ":" })
	switch {
	case is("use") && n == 1:
		items = itemsOf(fileItem, rulesets.Names()...)
		folder, opened := d.Folder()
		defer opened.Close()
		names, _ := bookNames(folder)
		for _, name := range names {
			if name != d.show() {
				items = append(items, item{Label: `"` + name + `"`, Kind: fileItem})
			}
		}
	case is("use") && (g.clause[n-1].Text == "only" || g.clause[n-1].Text == "without" || g.clause[n-1].Text == ","):
		folder, opened := d.Folder() // the line itself is unfinished, so nothing was brought in by it
		defer opened.Close()
		folder.Texts[d.show()] = []byte("use " + g.clause[1].Text)
		loaded, _ := load.Load(rulesets.FS(), d.root(folder))
		for _, u := range loaded.Roots[0].Uses {
			items = rulesOf(u.Book)
		}
	case n == 1 && (is("waive") || is("expect")):
		items = rulesOf(g.Root())
		for _, u := range g.Root().Uses {
			items = append(items, rulesOf(u.Book)...)
		}
	case is("expect") && !colon && n > 2:
		items = g.ids(g.clause[n-1].Text)
		if g.clause[n-1].Text == "on" {
			items = append(items, itemsOf(keywordItem, "set")...)
		}
	case is("order") && n == 1:
		items = g.ids("on")
	case n == 2 && g.declaration == "property" && g.clause[1].Text == "hand":
		items = itemsOf(keywordItem, "else")
	case g.declaration == "waive" && is("on"):
		switch last := g.clause[n-1].Text; {
		case n == 1:
			items = itemsOf(keywordItem, "set")
		case g.clause[1].Text != "set" && last != "of" && last != "and":
			items = itemsOf(keywordItem, "of", "and")
		}
	case is("set") || (is("club") || is("order")) && !colon,
		n == 1 && slices.Contains([]string{"rule", "advice", "group", "property", "chart", "let", "method"},
			g.clause[0].Text):
	default:
		return nil
	}
	return items
}

// ids are the ids of the clubs of the case, of its sets behind "of" and "set", and of behind an id.
func (g *gap) ids(last string) []item {
	var ids []string
	for _, d := range g.Root().Tree.Decls {
		c, ok := d.(*ast.Case)
		if !ok || g.clause[0].Span.Start < c.Span.Start || g.clause[0].Span.Start > c.Span.End {
			continue
		}
		for _, set := range c.Sets {
			if set.ID != nil && (last == "of" || last == "set") {
				ids = lists.Also(ids, set.ID.Span.Text())
			}
			for _, club := range set.Clubs {
				if last == "on" || last == "," {
					ids = lists.Also(ids, club.ID.Span.Text())
				}
			}
		}
	}
	if len(ids) == 0 && !slices.Contains([]string{"on", ",", "of", "set"}, last) {
		return itemsOf(keywordItem, "of")
	}
	return itemsOf(variableItem, ids...)
}

// itemsOf are items of one kind.
func itemsOf(kind int, labels ...string) []item {
	return lists.Each(labels, func(label string) item { return item{Label: label, Kind: kind} })
}

// declares reports whether a name is that which the clause declares.
func (g *gap) declares(name ast.Name) bool {
	return len(g.clause) > 1 && g.clause[1].Span.Start == name.Span.Start && name.Span.File == g.Root().File
}

func rulesOf(b *book.Book) []item {
	items := []item{}
	for _, r := range b.Rules {
		it := item{Label: r.Decl.Name.Text, Kind: functionItem}
		if r.Decl.Title != nil {
			it.Detail = r.Decl.Title.Value
		}
		items = append(items, it)
	}
	return items
}

// candidates are all words and names that a clause could have.
func (g *gap) candidates() []item {
	var all []item
	seen := map[string]bool{"clubs": true} // the same as club
	add := func(kind int, detail string, labels ...string) {
		for _, l := range labels {
			if !seen[l] {
				seen[l] = true
				all = append(all, item{Label: l, Kind: kind, Detail: detail})
			}
		}
	}
	books := []*book.Book{g.Root()}
	for _, u := range g.Root().Uses {
		books = append(books, u.Book)
	}
	for _, b := range books {
		for _, m := range b.Methods {
			add(variableItem, "length", "length by "+m.Decl.Name.Text)
		}
		for _, d := range b.Tree.Decls {
			name, word := ast.NameOf(d), d.Declared().Word
			if name != nil && word != "rule" && word != "advice" && !g.declares(*name) {
				add(map[int]int{functionToken: functionItem, typeToken: classItem,
					variableToken: variableItem}[nameTokens[word]], word, name.Text)
			}
		}
		for _, p := range b.Properties {
			for _, t := range p.Of.Texts {
				behind := []string{"=", "!=", "(", ",", p.Decl.Name.Text}
				if n := len(g.clause); n > 0 && slices.Contains(behind, g.clause[n-1].Text) {
					add(textItem, p.Decl.Name.Text, `"`+t+`"`)
				}
			}
		}
	}
	for _, name := range catalogue.NewSchema().Names() {
		p, _ := catalogue.NewSchema().Lookup(name)
		add(variableItem, p.Sort.String(), name)
	}
	add(classItem, "kind of club", append(catalogue.KindNames(), "club")...)
	if n := len(g.clause); n == 0 {
		add(keywordItem, "", ast.ClauseWords(g.declaration)...)
		add(keywordItem, "", "else unless", "mend over", "mend under")
		add(keywordItem, "", ast.DeclarationWords()...)
	} else if g.clause[n-1].Kind == parser.Quantity {
		for _, name := range unit.Names() {
			first, second, two := strings.Cut(name, " ")
			if add(unitItem, "unit", name); two && strings.HasSuffix(g.clause[n-1].Text, " "+first) {
				add(unitItem, "unit", second)
			}
		}
	}
	add(keywordItem, "", ast.ReservedWords()...)
	add(keywordItem, "", "cap", "crown", "edge", "end", "butt", "axis", "over", "under", "one", "pass", "fail",
		"too-close", "unmeasured")
	add(classItem, "sort of property", catalogue.SortNames()...)
	return all
}

// closers are what closes a clause that ends too early, by what was expected there, the first that fits.
var closers = [][2]string{
	{"an id", " a"}, {`":"`, ":"}, {"exempt, or", " exempt"}, {`"most"`, " most 1"}, {`"among"`, " among"},
	{"by and the property", " by number"}, {`"="`, " = 1"},
	{`"then"`, " then lie else lie"}, {`"else"`, " else lie"}, {`"and"`, " and lie"}, {`"of"`, " of"},
	{"in and a list", " in (1)"}, {"a text in quotation", ` "A"`},
	{`"per"`, " per club"}, {`"number"`, " number"}, {`"on"`, " on set: pass"}, {`"readings"`, " readings"},
	{"a kind of club", " iron"}, {"every and a list", " every iron"}, {"name of a method", " soled"},
	{"a value", " lie"}, {"name of a property", " lie"}, {"a day,", " 2020-01-01"}, {"a property", " lie"},
	{"a list in parentheses", " (1)"}, {"a condition in parentheses", " (lie > 1 deg)"}, {"what was read", " 1"},
	{`"("`, " (lie, lie)"},
}

// ofReadings is what ends in a value over the readings of one club, in a rule about clubs.
var ofReadings = regexp.MustCompile(`for\s+every[^(]*\b((highest|lowest|spread|mean)\s+of[^()]*among|count\s+of)$`)

// maxTried is how many candidates are tried. Where there are more, those count that start as the word that was begun.
const maxTried = 400

// tried are the candidates that may be written, and whether all were tried.
func (g *gap) tried(d *document, begun string) (items []item, all bool) {
	folder, opened := d.Folder()
	defer opened.Close()
	const beside = "~others.ferrule" // read once for all
	folder.Texts[beside] = []byte(g.head + g.others)
	head := g.head
	if g.others != "" {
		head += "use \"" + beside + "\"\n"
	}
	var roots []load.Root
	var left []item
	candidates := g.candidates()
	if all = len(candidates) <= maxTried; !all {
		candidates = slices.DeleteFunc(candidates, func(it item) bool { return !strings.HasPrefix(it.Label, begun) })
		candidates = candidates[:min(len(candidates), maxTried)]
	}
	for _, it := range candidates {
		text, ok := g.closed(it)
		if !ok {
			continue
		}
		name := fmt.Sprintf("~%d.ferrule", len(left))
		if folder.Texts[name] = []byte(head + text + g.after + "\n"); g.declaration == "rulebook" { // which comes first
			folder.Texts[name] = []byte(text + g.after + "\n" + head)
		}
		roots = append(roots, load.Root{FS: folder, Path: name, Show: name})
		left = append(left, it)
	}
	_, list := load.Load(rulesets.FS(), roots)
	at := len(head) + len(g.before)
	if g.declaration == "rulebook" {
		at = len(g.before)
	}
	items = []item{}
	for i, it := range left {
		if !slices.ContainsFunc(list, func(m diag.Diagnostic) bool {
			return m.Span.File != nil && m.Span.File.Name == roots[i].Show && g.refuses(m, it, at)
		}) {
			items = append(items, it)
		}
	}
	return items, all
}

// closed is the unfinished declaration with a candidate, and what closes its clause; false where the parser has
// something against the candidate.
func (g *gap) closed(it item) (text string, ok bool) {
	text = g.before + it.Label
	at, from := len(g.before), len(text)
	if it.Label == "in" && it.Kind == keywordItem {
		text += " (1)"
	}
	for range 8 {
		_, list := parser.Parse(source.NewFile("", text+"\n"))
		expected := ""
		for _, m := range list {
			switch {
			case m.Code == diag.OpenParenthesis && m.Span.Start < at,
				m.Code == diag.CutShort && m.Span.Start >= from:
				expected = "a parenthesis"
				if m.Code == diag.CutShort {
					expected = m.Expected
				}
			case m.Severity == diag.Error && m.Span.Start < from && m.Span.End > at-g.written,
				m.Code == diag.OutOfPlace && m.Span.Start >= from:
				return "", false
			}
		}
		more := ")"
		if expected != "a parenthesis" {
			i := slices.IndexFunc(closers, func(c [2]string) bool { return strings.Contains(expected, c[0]) })
			if i < 0 {
				return text, true
			}
			switch more = closers[i][1]; {
			case it.Label == "abs" && len(text) == from:
				more = " (lie)"
			case strings.HasSuffix(text, "yes-no else"):
				more = " no"
			case ofReadings.MatchString(text):
				more = " readings"
			}
		}
		text += more
	}
	return text, true
}

// refuses reports whether a mistake speaks against a candidate, which starts at a place, as what closes it may.
func (g *gap) refuses(m diag.Diagnostic, it item, from int) bool {
	at, form := from, wordForm(it.Label)
	closing := []diag.Code{diag.MisplacedDefault, diag.MisplacedMethod}
	tolerated := []diag.Code{diag.NotACondition, diag.CutShort, diag.MissingClause, diag.EmptyPeriod, diag.RowsDiffer,
		diag.UnlikeColumns} // with what another candidate makes of the property
	switch valued := []string{"first", "second", "of", "ordered"}; {
	case g.declaration == "case": // the method comes behind the number
		tolerated = append(tolerated, diag.BareLength)
	case it.Kind == keywordItem && (strings.Contains(form, "VALUE") || slices.Contains(valued, it.Label)):
		tolerated = append(tolerated, diag.UnitClash) // that of the lie that closes it
		if it.Label != "at" && !strings.HasPrefix(form, it.Label+" VALUE") {
			tolerated = append(tolerated, diag.NotAQuantity)
		}
	}
	switch label := it.Label; {
	case it.Kind != keywordItem:
	case label == "and" || label == "or": // no formula before them may be anything but a condition
		at, tolerated = at-g.last, nil
	case label == "in" || label == "not": // nor what is measured
		at -= g.written
		fallthrough
	case label == "ordered":
		if closing = append(closing, diag.UnknownName); m.Span.End > from {
			tolerated = append(tolerated, diag.UnlikeValues)
		}
	case label == "by":
		closing = append(closing, diag.CaseReading)
	case slices.Contains([]string{"has", "count", "highest", "lowest", "mean", "spread"}, label): // nothing of a figure
		closing = append(closing, diag.NotConstant)
	case label == "share" || label == "readings": // a rule is not about one club
		closing = append(closing, diag.MisplacedValue, diag.WhichClub)
	}
	return m.Severity == diag.Error && m.Span.End > at && !slices.Contains(tolerated, m.Code) &&
		(m.Span.Start < from+len(it.Label) || slices.Contains(closing, m.Code))
}
