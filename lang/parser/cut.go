package parser

// This file cuts declarations into clauses.

import (
	"iter"
	"slices"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/diag"
)

// clause is the tokens of one clause. The first of them starts a line.
type clause []lexer.Token

// word is the word that the clause starts with, empty where it starts with something else; that of "else unless" is
// unless.
func (c clause) word() string {
	switch {
	case c[0].Type != typeName:
		return ""
	case elseUnless(c, 0):
		return c[1].Value
	}
	return c[0].Value
}

// elseUnless reports whether tokens i and i+1 are "else unless", on one line. A misspelt unless counts where the line
// has the colon that an exception has and a formula has not.
func elseUnless(tokens []lexer.Token, i int) bool {
	onLine := func(j int) bool { return j < len(tokens) && tokens[j].Pos.Line == tokens[i].Pos.Line }
	if !onLine(i+1) || tokens[i].Type != typeName || tokens[i].Value != "else" || tokens[i+1].Type != typeName {
		return false
	}
	if _, near := diag.Nearest(tokens[i+1].Value, []string{"unless"}); near {
		for j := i + 2; onLine(j); j++ {
			if tokens[j].Type == typeMark && tokens[j].Value == ":" {
				return true
			}
		}
	}
	return tokens[i+1].Value == "unless"
}

// bad reports whether part of the clause was reported already.
func (c clause) bad() bool {
	return slices.ContainsFunc(c, func(t lexer.Token) bool { return t.Type == typeBad })
}

func startsLine(tokens []lexer.Token, i int) bool {
	return i == 0 || tokens[i].Pos.Line > tokens[i-1].Pos.Line
}

// segments cuts a book at each line that starts with a declaration's word.
func segments(tokens []lexer.Token) iter.Seq[[]lexer.Token] {
	return func(yield func([]lexer.Token) bool) {
		for end := 0; len(tokens) > 0; tokens = tokens[end:] {
			for end = 1; end < len(tokens) && !startsDeclaration(tokens, end); {
				end++
			}
			if !yield(tokens[:end]) {
				return
			}
		}
	}
}

// cutter cuts clauses off the tokens of a segment, one after the other.
type cutter struct {
	tokens []lexer.Token
	at     int    // where the next clause starts
	closed []bool // by token: a parenthesis that has a counterpart
}

func newCutter(tokens []lexer.Token) *cutter {
	c := &cutter{tokens: tokens, closed: make([]bool, len(tokens))}
	var open []int
	for i, t := range tokens {
		if t.Type != typeMark {
			continue
		}
		switch {
		case t.Value == "(":
			open = append(open, i)
		case t.Value == ")" && len(open) > 0:
			c.closed[i], c.closed[open[len(open)-1]] = true, true
			open = open[:len(open)-1]
		}
	}
	return c
}

// next cuts off the next clause of a declaration whose clauses start with words. A
// row of a chart ends with its line even where a parenthesis is left open.
func (c *cutter) next(words []string, row bool) clause {
	start, depth := c.at, 0
	open := false // this clause has an unmatched parenthesis
	for ; c.at < len(c.tokens); c.at++ {
		t := c.tokens[c.at]
		if c.at > start && startsLine(c.tokens, c.at) && depth == 0 &&
			(elseUnless(c.tokens, c.at) || !goesOn(c.tokens[c.at-1], t, words, open && !row)) {
			break
		}
		if t.Type != typeMark || t.Value != "(" && t.Value != ")" {
			continue
		}
		switch {
		case !c.closed[c.at]:
			open = open || t.Value == "("
		case t.Value == "(":
			depth++
		default:
			depth--
		}
	}
	return c.tokens[start:c.at]
}

// goesOn reports whether the line that starts with next goes on the clause that ends
// in last, in which a parenthesis may be open. A clause's word never does.
func goesOn(last, next lexer.Token, words []string, open bool) bool {
	if next.Type == typeName && slices.Contains(words, next.Value) {
		return false
	}
	if open {
		return true
	}
	joins := func(t lexer.Token) bool {
		switch t.Type {
		case typeMark:
			return t.Value != "(" && t.Value != ")" && t.Value != "," && t.Value != ":"
		case typeName:
			return t.Value == "and" || t.Value == "or" || t.Value == "then" || t.Value == "else"
		}
		return t.Type == typeSign
	}
	return joins(last) || joins(next) || last.Type == typeMark &&
		(last.Value == "," || last.Value == ":" || last.Value == "(")
}
