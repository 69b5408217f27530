package check

// This file holds the names of a book: its name spaces, what "use" brings in, and the
// words that no name may be.

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// nameSpace keeps names apart: a rule and a property may have one name.
type nameSpace byte

const (
	rules nameSpace = iota
	values
	groups
	methods
)

// String says what a name of the space means.
func (s nameSpace) String() string {
	return [...]string{"rule", "property, let or chart", "group", "method"}[s]
}

func (s nameSpace) key(name string) string { return string('0'+rune(s)) + name }

// entry is what a name means. A faulty one was said to be wrong; whatever
// follows from it is not reported.
type entry struct {
	space  nameSpace
	name   string
	place  source.Span // of the name where it is declared
	whole  source.Span // of a declaration of the book itself
	book   *book.Book
	used   *ast.Use // that brings it in; nil for a declaration of the book itself
	faulty bool

	state    workState // of a declaration of the book itself
	property *book.Property
	let      *book.Let
	chart    *book.Chart
	group    *book.Group
	method   *book.Method
	rule     *book.Rule
}

// workState says how far a declaration is worked out.
type workState byte

const (
	untouched workState = iota
	inWork
	worked
)

// maxUses bounds how often a book may say use.
const maxUses = 64

// uses brings in what other books declare.
func (c *checker) uses(tree *ast.Book) {
	brought := map[*book.Book]map[*book.Rule]bool{}
	for _, d := range tree.Decls {
		u, ok := d.(*ast.Use)
		if !ok {
			continue
		}
		if u.Broken || c.o.Use == nil {
			c.blind = true
			continue
		}
		if len(c.book.Uses) == maxUses {
			c.wrong(diag.TooManyBooks, u.Span, "fewer use lines", "this book has more than %d lines with use", maxUses)
			c.blind = true
			return
		}
		b, ok := c.o.Use(u)
		if !ok {
			c.blind = true
			continue
		}
		passing, known := c.filter(u, b)
		use := book.Use{Decl: u, Book: b, Rules: passing, Faulty: !known}
		c.book.Uses = append(c.book.Uses, use)
		seen := brought[b]
		if seen != nil && known && !slices.ContainsFunc(use.Rules, func(r *book.Rule) bool { return !seen[r] }) {
			c.report(diag.Diagnostic{Code: diag.UsedTwice, Severity: diag.Warning, Span: u.Span,
				Message:  fmt.Sprintf("this book already uses %s; this line brings in nothing new", b.Name),
				Expected: "one use of each book"})
		}
		if seen == nil {
			seen = map[*book.Rule]bool{}
			brought[b] = seen
		}
		for _, e := range declared(b, use.Rules) {
			if e.rule != nil {
				seen[e.rule] = true
			}
			c.bring(u, e)
		}
		for _, key := range slices.Sorted(maps.Keys(b.Faulty)) {
			if c.names[key] == nil {
				c.names[key] = &entry{space: nameSpace(key[0] - '0'), name: key[1:], book: b, used: u, faulty: true,
					state: worked}
			}
		}
	}
}

// declared lists what a book declares itself, some of its rules first.
func declared(b *book.Book, some []*book.Rule) []*entry {
	var out []*entry
	add := func(space nameSpace, name ast.Name, e *entry) {
		e.space, e.name, e.place, e.book = space, name.Text, name.Span, b
		out = append(out, e)
	}
	for _, r := range some {
		add(rules, r.Decl.Name, &entry{rule: r})
	}
	for _, p := range b.Properties {
		add(values, p.Decl.Name, &entry{property: p})
	}
	for _, l := range b.Lets {
		add(values, l.Decl.Name, &entry{let: l})
	}
	for _, h := range b.Charts {
		add(values, h.Decl.Name, &entry{chart: h})
	}
	for _, g := range b.Groups {
		add(groups, g.Decl.Name, &entry{group: g})
	}
	for _, m := range b.Methods {
		add(methods, m.Decl.Name, &entry{method: m})
	}
	return out
}

// filter is the rules of b that a use lets through, and whether each name of the use is one of b's.
func (c *checker) filter(u *ast.Use, b *book.Book) (passing []*book.Rule, known bool) {
	known = true
	var all []string
	there := map[string]*book.Rule{}
	for _, r := range b.Rules {
		all = append(all, r.Decl.Name.Text)
		there[r.Decl.Name.Text] = r
	}
	pick := func(names []ast.Name) map[string]bool {
		set := map[string]bool{}
		for _, n := range names {
			set[n.Text] = true
			if r := there[n.Text]; r != nil {
				c.named(n.Span, r.Decl.Name.Span)
			} else if !b.Faulty[rules.key(n.Text)] {
				known = false
				near := c.near(n.Text, all)
				if near == "" && len(all) == 1 {
					near = all[0]
				}
				c.hinted(diag.UnknownName, n.Span, expectedOf("a rule of "+b.Name, all), near,
					"%s has no rule %s", b.Name, diag.Quote(n.Text))
			}
		}
		return set
	}
	only, without := pick(u.Only), pick(u.Without)
	for _, r := range b.Rules {
		name := r.Decl.Name.Text
		if (len(u.Only) == 0 || only[name]) && !without[name] {
			passing = append(passing, r)
		}
	}
	return passing, known
}

// find returns what a name means, and notes that where a book declares it; nil where it means nothing.
func (c *checker) find(space nameSpace, name ast.Name) *entry {
	if p, ok := c.known(name.Text); ok && space == values {
		return &entry{space: values, name: p.Name, property: &book.Property{Of: p}, state: worked}
	}
	e := c.names[space.key(name.Text)]
	if e != nil && !e.place.IsZero() {
		c.named(name.Span, e.place)
	}
	return e
}

func (c *checker) named(at, declared source.Span) {
	c.info.Named = append(c.info.Named, book.Named{At: at, Declared: declared})
}

// expectedOf is what was expected, with the choices where they are few.
func expectedOf(what string, choices []string) string {
	if len(choices) == 0 || len(choices) > 8 {
		return what
	}
	return what + ": " + unit.Listed(choices, "or")
}

// bring takes a name in from a used book.
func (c *checker) bring(u *ast.Use, e *entry) {
	e.used, e.state = u, worked
	key := e.space.key(e.name)
	before := c.names[key]
	if before == nil {
		c.names[key] = e
		return
	}
	if alike(before, e) {
		c.named(e.place, before.place)
	}
	if before.place == e.place || alike(before, e) || before.faulty {
		return
	}
	c.report(diag.Diagnostic{Code: diag.RepeatedName, Span: u.Span,
		Message:  fmt.Sprintf("the %s %s comes from %s and from %s", e.what(), e.name, before.book.Name, e.book.Name),
		Expected: "each name from one place" + ifRule(e.space, "; only and without choose rules"),
		Related:  []diag.Label{{Span: before.place, Text: "it is declared here"}, {Span: e.place, Text: "and here"}}})
}

func ifRule(s nameSpace, words string) string {
	if s == rules {
		return words
	}
	return ""
}

// alike reports whether two declarations are of one column of the sheet.
func alike(a, b *entry) bool {
	return a.property != nil && b.property != nil && a.property.Of.ID == b.property.Of.ID
}

// what says what an entry is.
func (e *entry) what() string {
	switch {
	case e.property != nil:
		return "property"
	case e.let != nil:
		return "let"
	case e.chart != nil:
		return "chart"
	}
	if e.space == values {
		return "value"
	}
	return e.space.String()
}

// declare gives a name of the book itself its entry. A name that cannot be is
// reported and its entry faulty; what is in the declaration is checked all the same.
func (c *checker) declare(space nameSpace, name ast.Name, broken bool, e *entry) *entry {
	e.space, e.name, e.place, e.book, e.faulty = space, name.Text, name.Span, c.book, broken
	c.own = append(c.own, e)
	if name.Text == "" {
		e.faulty = true
		return e
	}
	if why, expected := c.forbidden(space, name.Text, e); why != "" {
		c.wrong(diag.ReservedWord, name.Span, expected, "%s %s", diag.Quote(name.Text), why)
		e.faulty = true
	}
	key := space.key(name.Text)
	before := c.names[key]
	c.named(name.Span, name.Span)
	switch {
	case before == nil:
		c.names[key] = e
	case before.used != nil && alike(before, e):
		c.named(e.place, before.place)
	case before.place.IsZero(): // a faulty declaration of a used book
	default:
		twice := "twice"
		if before.used != nil {
			twice = "here and in " + before.book.Name
		}
		c.beside(diag.RepeatedName, name.Span, before.place, "the "+before.what()+" "+before.name+" is declared here",
			"another name"+ifRule(space, ", or a use without that rule"), "the name %s is declared %s", name.Text,
			twice)
		before.faulty = before.faulty || before.used == nil
	}
	return e
}

// forbidden says why a name cannot be used.
func (c *checker) forbidden(space nameSpace, name string, e *entry) (why, expected string) {
	if space == rules {
		if ast.IsDeclarationWord(name) || ast.IsClauseWord(name) {
			return "starts a declaration or a clause, so a rule cannot have that name", "another name, such as " +
				name + "-rule"
		}
		return "", ""
	}
	another := "another name, such as house-" + name
	switch _, known := c.known(name); {
	case catalogue.KindOf(name) != catalogue.NoKind || name == "club" || name == "clubs":
		return "is a kind of club", another
	case unit.Lookup(name) != nil:
		return "is a unit", another
	case space == values && known && (e.property == nil || e.property.Of.ID != catalogue.Hand):
		return "is a property that ferrule already knows", "another name, or no declaration at all"
	case ast.IsReserved(name):
		return "is a word of the language", another
	case e.property != nil && slices.Contains(catalogue.Columns(), name):
		return "is a column of every sheet, with a meaning of its own", another
	}
	return "", ""
}

// known is the property of that name that the tool knows by itself.
func (c *checker) known(name string) (catalogue.Property, bool) {
	p, ok := c.o.Schema.Lookup(name)
	return p, ok && p.ID < catalogue.KnownProperties
}

// all lists the names of a space, sorted, known properties among the values.
func (c *checker) all(space nameSpace) []string {
	if names, ok := c.sorted[space]; ok || c.full() {
		return names
	}
	var names []string
	if space == values {
		names = append(names, c.o.Schema.Names()[:catalogue.KnownProperties]...)
	}
	for _, e := range c.names {
		if e.space == space && e.name != "" {
			names = append(names, e.name)
		}
	}
	slices.Sort(names)
	if c.declared {
		c.sorted[space] = names
	}
	return names
}

// usual is the method, of those names, that the books declare first: the likeliest.
func (c *checker) usual(names []string) string {
	first := names[0]
	for _, name := range names {
		a, b := c.names[methods.key(name)], c.names[methods.key(first)]
		if a != nil && b != nil && a.place.File == b.place.File && a.place.Start < b.place.Start {
			first = name
		}
	}
	return first
}

// unknown reports a name that means nothing, unless a missing book may
// have held it. More are other words that could have been there.
func (c *checker) unknown(space nameSpace, name ast.Name, what string, more ...string) {
	if c.blind || name.Text == "" {
		return
	}
	if c.full() {
		c.report(diag.Diagnostic{})
		return
	}
	choices := slices.Concat(c.all(space), more)
	d := diag.Diagnostic{Code: diag.UnknownName, Span: name.Span,
		Message:  fmt.Sprintf("unknown %s %s", what, diag.Quote(name.Text)),
		Expected: "the name of a " + what, Hint: c.near(name.Text, choices)}
	if space == values && d.Hint == "" {
		d.Notes = append(d.Notes,
			"To use a column of the sheet that ferrule does not know, declare it: property "+name.Text+" angle")
	}
	if space == methods || space == rules {
		d.Expected = expectedOf("a "+what, choices)
	}
	if in, by := c.further(space.key(name.Text)); in != nil {
		use := in.Name
		if !in.Shipped {
			use = `"` + use[strings.LastIndexAny(use, `/\`)+1:] + `"`
		}
		d.Notes = append(d.Notes,
			fmt.Sprintf("%s, which %s uses, has one. What a used book itself uses is not passed on by name: "+
				"write use %s here too.", in.Name, by.Name, use))
	} else if space == methods && len(choices) == 0 {
		d.Expected, d.Notes = "a method", append(d.Notes,
			"This book has no methods. Bring in the shipped ones with: use methods")
	}
	c.report(d)
}

// further looks for a name in the books that used books use.
func (c *checker) further(key string) (in, by *book.Book) {
	for _, by := range c.reached() {
		for _, u := range by.Uses {
			if slices.ContainsFunc(declared(u.Book, u.Book.Rules),
				func(e *entry) bool { return e.space.key(e.name) == key }) {
				return u.Book, by
			}
		}
	}
	return nil, nil
}

// method is the method of that name; nil if there is none, which is reported.
func (c *checker) method(name ast.Name) (m *book.Method, ok bool) {
	e := c.find(methods, name)
	switch {
	case e == nil:
		c.unknown(methods, name, "method")
		return nil, false
	case e.method == nil:
		return nil, false
	}
	return e.method, true
}
