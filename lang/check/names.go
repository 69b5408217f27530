package check

// This file holds the names of a book: its name spaces, what "use" brings in, and the
// words that no name may be.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// The name spaces.
const (
	rules   = book.RuleSpace
	values  = book.ValueSpace
	groups  = book.GroupSpace
	methods = book.MethodSpace
)

// key is a name in its space.
type key struct {
	space book.Space
	name  string
}

// entry is what a name means. Whatever follows from a faulty one is not reported.
type entry struct {
	book.Declared
	whole source.Span // of a declaration of the book itself
	facts *book.Facts // about it; nil where there are none
	book  *book.Book
	used  *ast.Use  // that brings it in; nil for a declaration of the book itself
	state workState // of a declaration of the book itself
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
	brought := map[*book.Rule]bool{}
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
		again := slices.ContainsFunc(c.book.Uses, func(v book.Use) bool { return v.Book == b })
		passing, known := c.filter(u, b)
		c.book.Uses = append(c.book.Uses, book.Use{Decl: u, Book: b, Rules: passing, Faulty: !known})
		if again && known && !slices.ContainsFunc(passing, func(r *book.Rule) bool { return !brought[r] }) {
			c.report(diag.Diagnostic{Code: diag.UsedTwice, Severity: diag.Warning, Span: u.Span,
				Message:  fmt.Sprintf("this book already uses %s; this line brings in nothing new", b.Name),
				Expected: "one use of each book"})
		}
		for _, r := range passing {
			brought[r] = true
		}
		for _, d := range b.Declared {
			if d.Rule == nil || d.Faulty || brought[d.Rule] {
				c.bring(&entry{Declared: d, book: b, used: u, state: worked})
			}
		}
	}
}

// filter is the rules of b that a use lets through, and whether each name of the use is one of b's.
func (c *checker) filter(u *ast.Use, b *book.Book) (passing []*book.Rule, known bool) {
	known = true
	var all []string
	there := map[string]source.Span{}
	for _, d := range b.Declared {
		if d.Rule != nil {
			there[d.Name.Text] = d.Name.Span
		}
	}
	for _, r := range b.Rules {
		all = append(all, r.Decl.Name.Text)
	}
	pick := func(names []ast.Name) map[string]bool {
		set := map[string]bool{}
		for _, n := range names {
			set[n.Text] = true
			if at, ok := there[n.Text]; ok {
				c.named(n.Span, at)
			} else {
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
func (c *checker) find(space book.Space, name ast.Name) *entry {
	if p, ok := c.known(name.Text); ok && space == values {
		return &entry{Declared: book.Declared{Space: values, Property: &book.Property{Of: p}}, state: worked}
	}
	e := c.names[key{space, name.Text}]
	if e != nil {
		c.named(name.Span, e.Name.Span)
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
func (c *checker) bring(e *entry) {
	at := key{e.Space, e.Name.Text}
	before := c.names[at]
	if before == nil {
		c.names[at] = e
		return
	}
	if alike(before, e) {
		c.named(e.Name.Span, before.Name.Span)
	}
	if before.Name.Span == e.Name.Span || alike(before, e) || before.Faulty || e.Faulty {
		return
	}
	c.report(diag.Diagnostic{Code: diag.RepeatedName, Span: e.used.Span,
		Message:  fmt.Sprintf("%s comes from %s and from %s", e.called(), before.book.Name, e.book.Name),
		Expected: "each name from one place" + ifRule(e.Space, "; only and without choose rules"),
		Related: []diag.Label{{Span: before.Name.Span, Text: "it is declared here"},
			{Span: e.Name.Span, Text: "and here"}}})
}

func ifRule(s book.Space, words string) string {
	if s == rules {
		return words
	}
	return ""
}

// alike reports whether two declarations are of one column of the sheet.
func alike(a, b *entry) bool {
	return a.Property != nil && b.Property != nil && a.Property.Of.ID == b.Property.Of.ID && a.Property.Of.ID != 0
}

// what says what an entry is.
func (e *entry) what() string {
	switch {
	case e.Property != nil:
		return "property"
	case e.Let != nil:
		return "let"
	case e.Chart != nil:
		return "chart"
	}
	if e.Space == values {
		return "value"
	}
	return e.Space.String()
}

// called is what an entry is, with its name.
func (e *entry) called() string { return "the " + e.what() + " " + e.Name.Text }

// declare gives a name of the book itself its entry. A name that cannot be is
// reported and its entry faulty; what is in the declaration is checked all the same.
func (c *checker) declare(space book.Space, n *ast.Named, d book.Declared, facts *book.Facts) *entry {
	e := &entry{Declared: d, whole: n.Span, facts: facts, book: c.book}
	name := n.Name
	e.Space, e.Name, e.Faulty = space, name, n.Broken
	c.own = append(c.own, e)
	if name.Text == "" {
		e.Faulty = true
		return e
	}
	if why, expected := c.forbidden(space, name.Text, e); why != "" {
		c.wrong(diag.ReservedWord, name.Span, expected, "%s %s", diag.Quote(name.Text), why)
		e.Faulty = true
	}
	before := c.names[key{space, name.Text}]
	c.named(name.Span, name.Span)
	switch {
	case before == nil:
		c.names[key{space, name.Text}] = e
	case alike(before, e) && (before.used != nil || n.Broken): // what is unlike in them is reported
		c.named(e.Name.Span, before.Name.Span)
		if n.Broken {
			c.names[key{space, name.Text}] = e
		}
	case before.used != nil && before.Faulty:
	default:
		twice := "twice"
		if before.used != nil {
			twice = "here and in " + before.book.Name
		}
		c.beside(diag.RepeatedName, name.Span, before.Name.Span, before.called()+" is declared here",
			"another name"+ifRule(space, ", or a use without that rule"), "the name %s is declared %s", name.Text,
			twice)
		before.Faulty = before.Faulty || before.used == nil
	}
	return e
}

// forbidden says why a name cannot be used.
func (c *checker) forbidden(space book.Space, name string, e *entry) (why, expected string) {
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
	case space == values && known && (e.Property == nil || e.Property.Of.ID != catalogue.Hand):
		return "is a property that ferrule already knows", "another name, or no declaration at all"
	case ast.IsReserved(name):
		return "is a word of the language", another
	case e.Property != nil && slices.Contains(catalogue.Columns(), name):
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
func (c *checker) all(space book.Space) []string {
	if names, ok := c.sorted[space]; ok || c.full() {
		return names
	}
	var names []string
	if space == values {
		names = append(names, c.o.Schema.Names()[:catalogue.KnownProperties]...)
	}
	for _, e := range c.names {
		if e.Space == space && e.Name.Text != "" {
			names = append(names, e.Name.Text)
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
		a, b := c.names[key{methods, name}], c.names[key{methods, first}]
		if a != nil && b != nil && a.Name.Span.File == b.Name.Span.File && a.Name.Span.Start < b.Name.Span.Start {
			first = name
		}
	}
	return first
}

// sortBeside is the sort that a property beside e most likely has; "" where e does not say.
func sortBeside(e ast.Expr) string {
	switch e := ast.Unparen(e).(type) {
	case *ast.TextLit:
		return catalogue.Text.String()
	case *ast.DateLit:
		return catalogue.Date.String()
	case *ast.Quantity:
		for s := catalogue.Length; s.Numeric(); s++ {
			if s.Dim() == e.Value.Dim() {
				return s.String()
			}
		}
	}
	return ""
}

// unknown reports a name that means nothing, unless a missing book may
// have held it. More are other words that could have been there.
func (c *checker) unknown(space book.Space, name ast.Name, what string, more ...string) {
	switch {
	case c.blind || name.Text == "":
		c.faults++
		return
	case c.full():
		c.report(diag.Diagnostic{})
		return
	}
	choices := slices.Concat(c.all(space), more)
	d := diag.Diagnostic{Code: diag.UnknownName, Span: name.Span,
		Message:  fmt.Sprintf("unknown %s %s", what, diag.Quote(name.Text)),
		Expected: "the name of a " + what, Hint: c.near(name.Text, choices)}
	if space == values && d.Hint == "" {
		declaration := "property " + name.Text + " " + cmp.Or(c.sort, "angle")
		d.Notes = append(d.Notes, "To use a column of the sheet that ferrule does not know, declare it: "+declaration)
	}
	if space == methods || space == rules {
		d.Expected = expectedOf("a "+what, choices)
	}
	if in, by := c.further(key{space, name.Text}); in != nil {
		use := in.Name
		if !in.Shipped {
			use = `"` + use[strings.LastIndexAny(use, `/\`)+1:] + `"`
		}
		d.Notes = append(d.Notes,
			fmt.Sprintf("%s, which %s uses, has one. What a used book itself uses is not passed on by name: "+
				"write use %s here too.", in.Name, by.Name, use))
	} else if space == methods && len(choices) == 0 {
		d.Expected, d.Notes = "a method", append(d.Notes, noMethods)
	}
	c.report(d)
}

// further looks for a name in the books that used books use.
func (c *checker) further(at key) (in, by *book.Book) {
	for _, by := range c.reached() {
		for _, u := range by.Uses {
			if slices.ContainsFunc(u.Book.Declared,
				func(d book.Declared) bool { return key{d.Space, d.Name.Text} == at && !d.Faulty }) {
				return u.Book, by
			}
		}
	}
	return nil, nil
}

// method is the method of that name; nil if there is none, which is reported.
func (c *checker) method(name ast.Name) *book.Method {
	e := c.find(methods, name)
	if e == nil {
		c.unknown(methods, name, "method")
		return nil
	}
	return e.Method
}
