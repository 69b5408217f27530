package editor

// This file says what each token of a book is, for highlighting.

import (
	"cmp"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// tokenTypes are the names of what a token can be, in the order of the constants below.
var tokenTypes = []string{"keyword", "string", "comment", "number", "variable", "function", "type", "operator"}

const (
	keywordToken = iota
	stringToken
	commentToken
	numberToken
	variableToken
	functionToken
	typeToken
	operatorToken
)

// nameTokens are what names are, by the words that declare them.
var nameTokens = map[string]int{"rule": functionToken, "advice": functionToken, "method": functionToken,
	"group": typeToken, "property": variableToken, "chart": variableToken, "let": variableToken}

// colored is a token with what it is.
type colored struct {
	source.Span
	is int
}

// semanticTokens are the tokens of a book with what they are, each counted from the one before it.
func semanticTokens(r *request) (any, error) {
	data, before := []int{}, Position{}
	for _, t := range r.doc.colors() {
		at := r.doc.Range(t.Span)
		line, start := at.Start.Line-before.Line, at.Start.Character
		if line == 0 {
			start -= before.Character
		}
		data = append(data, line, start, at.End.Character-at.Start.Character, t.is, 0)
		before = at.Start
	}
	return map[string]any{"data": data}, nil
}

// colors are the tokens and comments of the book in the order of the text.
func (d *document) colors() []colored {
	var all []colored
	b := d.Books()
	root, declared, meant := b.Root(), map[source.Span]int{}, map[int]int{} // meant by where the name starts
	for _, b := range b.All {
		for _, d := range b.Tree.Decls {
			if name := ast.NameOf(d); name != nil {
				declared[name.Span] = nameTokens[d.Declared().Word]
			}
		}
	}
	for _, n := range root.Info.Named {
		if n.At.File == root.File {
			meant[n.At.Start] = declared[n.Declared]
		}
	}
	for _, c := range d.clauses() {
		for i, t := range c.Tokens {
			is, ok := meant[t.Span.Start]
			if !ok {
				is = colorOf(c, i)
			}
			if t.Kind != parser.Fault {
				all = append(all, colored{t.Span, is})
			}
		}
	}
	comment := func(c ast.Comment) colored { return colored{c.Span, commentToken} }
	all = append(all, lists.Each(root.Tree.Comments, comment)...)
	slices.SortFunc(all, func(a, b colored) int { return cmp.Compare(a.Start, b.Start) })
	return all
}

// colorOf is what a token of a clause is that no book declares.
func colorOf(c parser.Clause, i int) int {
	t := c.Tokens[i]
	switch {
	case t.Kind == parser.Text:
		return stringToken
	case t.Kind == parser.Quantity || t.Kind == parser.Date:
		return numberToken
	case t.Kind != parser.Word:
		return operatorToken
	case i == 0 && catalogue.KindOf(t.Text) == catalogue.NoKind, c.Declaration == "property" && t.Text == "one":
		return keywordToken
	case catalogue.KindOf(t.Text) != catalogue.NoKind, t.Text == "club", t.Text == "clubs",
		c.Starts && c.Declaration == "property" && i == 2:
		return typeToken
	case slices.Contains(catalogue.NewSchema().Names(), t.Text):
		return variableToken
	case slices.Contains(ast.ReservedWords(), t.Text), i > 0 && c.Tokens[i-1].Text == ":",
		slices.Contains([]string{"top", "stop", "mend", "allowance"}, c.Tokens[0].Text):
		return keywordToken
	}
	return variableToken
}
