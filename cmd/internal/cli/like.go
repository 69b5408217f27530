package cli

// This file reads a club that is described on the command line, in the words of a case
// of a book.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// wrongLike is the error of a club that is not described as it should be.
func wrongLike(text, message string) error {
	return mistake("--like " + diag.Quote(text) + ": " + message)
}

// likeOf makes a set of one club, which is described as in a case of a book.
func likeOf(l *rulebooks, text string) (*club.Set, error) {
	if strings.ContainsAny(text, "\n\r#") {
		return nil, wrongLike(text, "a club is described on one line, without #; write it as in "+exampleLike)
	}
	kind := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '"' || r == '\t' })
	if len(kind) == 0 || catalogue.KindOf(kind[0]) == catalogue.NoKind {
		kinds := catalogue.KindNames()
		message, near := "a club begins with its kind (iron 7, not 7 iron)", ""
		if len(kind) > 0 {
			message, near = message+", and "+diag.Quote(kind[0])+" is not one", didYouMean(kind[0], kinds)
		}
		return nil, wrongLike(text, message+near+known(kinds))
	}
	// A book of one case, beside the properties and the methods that the books declare.
	const before = "use books\nrule judged\n  for every club\n  require loft at most 90 deg\n" +
		"case \"a club\"\n  expect judged on c: pass\n  club c: "
	tree, list := parser.Parse(source.NewFile("--like", before+text+"\n"))
	book, more := check.Check(tree, check.Options{Name: "--like", Schema: l.Schema,
		Use: func(*ast.Use) (*book.Book, bool) { return vocabulary(l), true }})
	for _, d := range append(list, more...) {
		if d.Severity != diag.Error {
			continue
		}
		switch {
		case d.Hint != "":
			return nil, wrongLike(text, d.Message+"; write "+d.Hint)
		case d.Expected != "":
			return nil, wrongLike(text, d.Message+"; expected "+d.Expected)
		}
		return nil, wrongLike(text, d.Message)
	}
	set := trial.Lay(l.Program, book, book.Cases[0].Sets[0])
	c := set.Clubs[0]
	c.ID, c.Named, c.Row = c.Name, false, 1
	for i := range c.Doubts() {
		c.Doubts()[i].Row = c.Place()
	}
	return set, nil
}

// vocabulary is a book of the properties and the methods that the books declare, each
// name once.
func vocabulary(l *rulebooks) *book.Book {
	all := &book.Book{Name: "the books", Info: &book.Info{}}
	for _, b := range book.Reach(l.Books) {
		for _, d := range b.Declared {
			same := func(e book.Declared) bool { return e.Space == d.Space && e.Name.Text == d.Name.Text }
			if (d.Property != nil || d.Method != nil) && !slices.ContainsFunc(all.Declared, same) {
				all.Declared = append(all.Declared, d)
			}
		}
	}
	return all
}
