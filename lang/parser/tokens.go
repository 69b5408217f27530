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
	scanned, _ := scan(file, func(mistake) {})
	tokens := make([]Token, 0, len(scanned)) // of all clauses, each of which has a part of them
	var all []Clause
	for segment := range segments(scanned) {
		word := ""
		if startsDeclaration(segment, 0) {
			word = segment[0].Value
		}
		words := ast.ClauseWords(word)
		for c := newCutter(segment); c.at < len(segment); {
			clause := Clause{Declaration: word, Starts: c.at == 0}
			first := len(tokens)
			for _, t := range c.next(words, word == "chart") {
				span := source.Span{File: file, Start: t.Pos.Offset, End: t.Pos.Column}
				tokens = append(tokens, Token{TokenKind(typeName - t.Type), strings.TrimSpace(t.Value), span})
			}
			clause.Tokens = tokens[first:len(tokens):len(tokens)]
			all = append(all, clause)
		}
	}
	return all
}

// startsDeclaration reports whether token i starts a line with a declaration's word.
func startsDeclaration(tokens []lexer.Token, i int) bool {
	return startsLine(tokens, i) && tokens[i].Type == typeName && ast.IsDeclarationWord(tokens[i].Value)
}
