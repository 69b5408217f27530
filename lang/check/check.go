// Package check gives a rule book's tree its meaning: it resolves names, works
// out dimensions, checks days, exceptions and everything else that can be said
// before a club is read, and reports each mistake once. The result is a book.Book.
package check

// This file holds the order of the work and how mistakes are gathered. Names and
// where they come from are in names.go, the declarations in declare.go and shapes.go,
// rules in rules.go and bounds.go, cases in cases.go. What a formula gives is in
// formula.go, what a name in it means in refs.go. Comparisons are in compare.go, what
// does not fit together in clash.go, constants in fold.go. Values of sets, readings and
// pairs are in sets.go.

import (
	"fmt"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Options is what Check needs besides the tree.
type Options struct {
	Name     string            // of the book, as reports show it
	Shipped  bool              // it comes with the tool
	Mistakes diag.List         // of the parser
	Schema   *catalogue.Schema // takes the properties that the book declares; nil for a schema of its own

	// Use returns the checked book that a declaration brings in; false where it
	// could not be loaded, which was reported. Nil: no book can be used.
	Use func(*ast.Use) (*book.Book, bool)

	// Declared holds by name the properties that books of the same Schema declared
	// before; Check adds those of this book. Nil where there is no other book.
	Declared map[string][]*book.Property
}

// maxMistakes is how many mistakes are listed for one book.
const maxMistakes = 200

// Check gives the tree of a book its meaning. It returns what could be understood, and
// every mistake in the order of the text, each once: what follows from a mistake
// that was reported, by the parser or here, is not reported again. A book is fit to be judged by only where
// neither the parser nor Check reported an error.
func Check(tree *ast.Book, o Options) (*book.Book, diag.List) {
	if o.Schema == nil {
		o.Schema = catalogue.NewSchema()
	}
	if o.Declared == nil {
		o.Declared = map[string][]*book.Property{}
	}
	c := &checker{
		o: o,
		book: &book.Book{File: tree.File, Name: o.Name, Shipped: o.Shipped, Tree: tree,
			Info: &book.Info{Types: map[ast.Expr]book.Type{}, Constants: map[ast.Expr]*book.Constant{},
				Refs: map[*ast.Ref]*book.RefInfo{}, Items: map[*ast.Item]*book.ItemInfo{},
				Texts: map[catalogue.ID][]string{}, Defaults: map[catalogue.ID]*book.Default{},
				Shares: map[*ast.Bound]*book.Share{}, SharesOf: map[*ast.ShareOfReadings]*ast.Ref{}}},
		texts:  map[catalogue.ID][]string{},
		names:  map[key]*entry{},
		budget: maxComparisons,
		pairs:  maxPairs,
		claims: map[any][]claim{},
		sorted: map[book.Space][]string{},
		keys:   book.NewKeys(false),
	}
	c.info = c.book.Info
	c.header(tree.Header)
	c.uses(tree)
	c.served()
	c.claimsElsewhere()
	c.declareAll(tree)
	c.declared = true
	c.workAll(tree)
	return c.book, c.mistakes()
}

// checker checks one book.
type checker struct {
	o    Options
	book *book.Book
	info *book.Info

	names    map[key]*entry
	sort     string   // of property that is asked for in the formula in hand; "" for any
	own      []*entry // what the book declares itself, in the order of the file
	stack    []*entry // what is being worked out, outermost first
	declared bool     // every name has its entry
	blind    bool     // a used book is missing, so an unknown name may be one of its own

	list   diag.List
	said   [diag.Warning + 1]int     // how many mistakes there are of each severity
	faults int                       // errors in the declaration in hand, and names in it that have one
	sorted map[book.Space][]string   // the names of a space, as long as none is added
	budget int                       // comparisons of names left for did-you-mean
	pairs  int                       // comparisons of rows left
	claims map[any][]claim           // made so far, by their kind
	texts  map[catalogue.ID][]string // that a property may have, where this book or one that it uses lists them
	keys   *book.Keys
	nodes  int // of formulas, looked at so far
	work   int // what the rules cost to judge, in formula nodes
}

// report takes a mistake down, an error where nothing else is said. Beyond maxMistakes of
// errors, and of warnings, it only counts. It returns what a faulty formula gives.
func (c *checker) report(d diag.Diagnostic) book.Type {
	if d.Severity == 0 {
		d.Severity = diag.Error
	}
	if d.Mend.Text == "" && d.Hint != "" {
		d.Mend = diag.Mend{Span: d.Span, Text: d.Hint}
	}
	if c.said[d.Severity]++; c.said[d.Severity] <= maxMistakes {
		c.list.Add(d)
	}
	if d.Severity == diag.Error {
		c.faults++
	}
	return book.Type{}
}

// clash takes down that two do not go together, each of which is sound by itself.
func (c *checker) clash(d diag.Diagnostic) {
	defer func(before int) { c.faults = before }(c.faults)
	c.report(d)
}

// wrong takes an error down: what is wrong, as a format, and what was expected. It returns what a faulty formula gives.
func (c *checker) wrong(code diag.Code, at source.Span, expected, message string, args ...any) book.Type {
	return c.report(diag.Diagnostic{Code: code, Span: at, Message: fmt.Sprintf(message, args...), Expected: expected})
}

// hinted is wrong with the nearest right thing; there may be none.
func (c *checker) hinted(code diag.Code, at source.Span, expected, hint, message string, args ...any) book.Type {
	return c.report(diag.Diagnostic{Code: code, Span: at, Message: fmt.Sprintf(message, args...), Expected: expected,
		Hint: hint})
}

// oneOf reports a word that is not one of those that its place takes; what says what they are.
func (c *checker) oneOf(code diag.Code, word ast.Name, what string, words []string) {
	c.hinted(code, word.Span, "one of "+unit.Listed(words, "or"), c.near(word.Text, words), "%s is not a %s",
		diag.Quote(word.Text), what)
}

// beside is wrong with another place, which text is about.
func (c *checker) beside(code diag.Code, at, other source.Span, text, expected, message string, args ...any) {
	c.report(diag.Diagnostic{Code: code, Span: at, Message: fmt.Sprintf(message, args...), Expected: expected,
		Related: []diag.Label{{Span: other, Text: text}}})
}

// full reports whether no more errors are listed, so that nothing has to be looked up for
// them.
func (c *checker) full() bool { return c.said[diag.Error] >= maxMistakes }

// mistakes is the list in the order of the text.
func (c *checker) mistakes() diag.List {
	c.list.Sort()
	for _, s := range []diag.Severity{diag.Error, diag.Warning} {
		if more := c.said[s] - maxMistakes; more > 0 {
			c.list.Add(diag.Diagnostic{Code: diag.TooManyMistakes, Severity: s, Span: c.list[len(c.list)-1].Span,
				Message:  fmt.Sprintf("this book has %d more mistakes (%ss)", more, s),
				Expected: fmt.Sprintf("a rule book; only %d are listed", maxMistakes)})
		}
	}
	return c.list
}

// maxComparisons bounds the work of did-you-mean over a whole book.
const maxComparisons = 100_000

// near is the word of from that was most likely meant; "" where none is near.
func (c *checker) near(word string, from []string) string {
	if c.budget -= len(from); c.budget < 0 || c.full() {
		return ""
	}
	near, _ := diag.Nearest(word, from)
	return near
}

// text is the text at a place, on one line, without a comment.
func text(s source.Span) string { return s.OneLine() }

// shown is a formula as a message shows it: as written, shortened where it is long.
func shown(e ast.Expr) string {
	if _, quoted := e.(*ast.TextLit); quoted {
		return diag.Visible(text(e.Place()))
	}
	return diag.Quote(text(e.Place()))
}
