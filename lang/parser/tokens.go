package parser

// This file gives a book's text as words and clauses, for formatting it or looking at
// it without knowing what it means.

import (
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/source"
)

// TokenKind says what a token is, in the order of the lexer's types. The zero value is a word.
type TokenKind uint8

// The kinds of token. A Sign is the minus of the number after it; a Mark is an operator or a punctuation mark; a Fault
// is text that is not a token of the language.
const (
	Word TokenKind = iota
	Quantity
	Text
	Date
	Sign
	Mark
	Fault
)

// Token is the smallest part of a book that has a meaning: a word, a number with its unit, a text with its quotation
// marks. Its text is as written, but ± is +/-.
type Token struct {
	Kind TokenKind
	Text string
	Span source.Span
}

// Clause is the tokens of a clause, or of the first line of a declaration, which Starts it.
type Clause struct {
	Declaration string // the word of the declaration that it belongs to
	Starts      bool
	Tokens      []Token
}

// Place is where the clause is.
func (c Clause) Place() source.Span { return c.Tokens[0].Span.To(c.Tokens[len(c.Tokens)-1].Span) }

// Clauses cuts a book into its clauses, in the order of the text. Together they hold each of its tokens. Lines before
// the first declaration belong to none.
func Clauses(file *source.File) []Clause {
	tokens, _ := scan(file, func(mistake) {})
	var all []Clause
	for segment := range segments(tokens) {
		all = append(all, clausesOf(file, segment)...)
	}
	return all
}

// clausesOf cuts the tokens of one declaration.
func clausesOf(file *source.File, tokens []lexer.Token) []Clause {
	word := ""
	if startsDeclaration(tokens, 0) {
		word = tokens[0].Value
	}
	var all []Clause
	words := ast.ClauseWords(word)
	for c := newCutter(tokens); c.at < len(tokens); {
		starts := c.at == 0
		clause := Clause{Declaration: word, Starts: starts}
		for _, t := range c.next(words, word == "chart") {
			span := source.Span{File: file, Start: t.Pos.Offset, End: t.Pos.Column}
			clause.Tokens = append(clause.Tokens, Token{TokenKind(typeName - t.Type), strings.TrimSpace(t.Value), span})
		}
		all = append(all, clause)
	}
	return all
}

// startsDeclaration reports whether token i starts a line with a declaration's word.
func startsDeclaration(tokens []lexer.Token, i int) bool {
	return startsLine(tokens, i) && tokens[i].Type == typeName && ast.IsDeclarationWord(tokens[i].Value)
}
