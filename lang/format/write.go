package format

// This file writes the tokens of a clause on one line: where blanks go, where a long line may be broken, and which
// parts are columns.

import (
	"slices"
	"strings"

	"ferrule/lang/parser"
)

// A gap is a blank at which a long line may be broken, since what is before it or after it makes the line go on. A
// tight gap is beside an operator, and is broken only where no other is near.
const (
	gap      = "\x01"
	tightGap = "\x02"
)

var blanks = strings.NewReplacer(gap, " ", tightGap, " ")

// layout is how the lines of a declaration are laid out.
type layout struct {
	word   int      // the column to which the words of its clauses are padded; 0 for clauses that start with none
	name   bool     // it is one line, in which what follows the name is a column of its own
	before []string // a column starts before the first of each of these, in its clauses or in its one line
}

// layouts are those of the declarations; one that is not there is one line without columns.
var layouts = map[string]layout{
	"rulebook":  {word: 10},
	"group":     {name: true},
	"property":  {name: true},
	"let":       {name: true},
	"allowance": {name: true, before: []string{"within", "where"}},
	"chart":     {before: []string{"="}},
	"method":    {word: 9},
	"head":      {word: 13, before: []string{"within"}},
	"rule":      {word: 9},
	"advice":    {word: 9},
	"waive":     {word: 9},
	"case":      {word: 9},
}

// cells are the columns of a clause as text. The first of a clause that starts with a word is that word.
func cells(c parser.Clause) []string {
	l := layouts[c.Declaration]
	var cuts []int
	switch {
	case l.name:
		cuts = append(cuts, 2)
	case !c.Starts && l.word > 0 && c.Tokens[0].Text == "else": // unless
		cuts = append(cuts, min(2, len(c.Tokens)))
	case !c.Starts && l.word > 0:
		cuts = append(cuts, 1)
	}
	if !c.Starts || l.name {
		for _, word := range l.before {
			if i := outside(c.Tokens, word); i > 0 {
				cuts = append(cuts, i)
			}
		}
	}
	cuts = append(cuts, len(c.Tokens))
	slices.Sort(cuts)
	var all []string
	from := 0
	for _, to := range slices.Compact(cuts) {
		if to > from && to <= len(c.Tokens) {
			all = append(all, joinTokens(c.Tokens[from:to]))
			from = to
		}
	}
	return all
}

// outside is the index of the first of a word or mark outside parentheses; -1 for none.
func outside(tokens []parser.Token, word string) int {
	depth := 0
	for i, t := range tokens {
		switch {
		case t.Text == "(" && t.Kind == parser.Mark:
			depth++
		case t.Text == ")" && t.Kind == parser.Mark:
			depth--
		case t.Text == word && t.Kind != parser.Text && depth == 0:
			return i
		}
	}
	return -1
}

// joinTokens is tokens with one blank between words and none where none belongs.
func joinTokens(tokens []parser.Token) string {
	var b strings.Builder
	for i, t := range tokens {
		if i > 0 {
			b.WriteString(between(tokens[i-1], t))
		}
		b.WriteString(t.Text)
	}
	return b.String()
}

// between is what goes between two tokens: nothing, a blank, or one at which a line may be broken.
func between(a, b parser.Token) string {
	mark := func(t parser.Token, marks ...string) bool {
		return t.Kind == parser.Mark && slices.Contains(marks, t.Text)
	}
	word := func(t parser.Token, words ...string) bool {
		return t.Kind == parser.Word && slices.Contains(words, t.Text)
	}
	switch {
	case a.Kind == parser.Sign, mark(a, "("), mark(b, ")", ",", ":"), mark(b, "(") && word(a, "abs", "min", "max"):
		return ""
	case mark(a, ",", ":"), word(b, "and", "or", "then", "else"):
		return gap
	case mark(b, "+", "-", "*", "/", "=", "!=", "<", "<=", ">", ">="):
		return tightGap
	}
	return " "
}
