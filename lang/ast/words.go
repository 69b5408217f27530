package ast

import (
	"slices"
	"sync"
)

// This file holds the words of the language.

var declarationWords = []string{"rulebook", "use", "group", "property", "chart", "let", "method", "allowance", "head",
	"rule", "advice", "waive", "case"}

var ruleClauses = []string{"for", "require", "unless", "decision", "from", "until", "cite", "mend"}

var clauseWords = map[string][]string{
	"rulebook": {"edition", "language", "event", "decision", "contact", "butt-mass", "tip-mass", "extension"},
	"method":   {"covers", "stop", "top", "reads", "lie-set", "ruler"},
	"head":     ShapeWords[:],
	"rule":     ruleClauses,
	"advice":   ruleClauses,
	"waive":    {"on", "from", "until", "cite"},
	"case":     {"set", "club", "order", "on", "expect"},
}

// formulaWords are the words inside clauses and formulas, where a
// name could be written too.
var formulaWords = []string{
	"by", "of", "per", "at", "is", "in", "to", "among", "between", "within", "allowing", "where", "except",
	"and", "or", "not", "if", "then", "else", "first", "second", "readings", "clubs", "every", "each", "neighbours",
	"count", "longest", "shortest", "highest", "lowest", "spread", "mean", "total", "share", "drop", "rise",
	"has", "abs", "min", "max", "exempt", "most", "least", "below", "above",
	"simple", "guarded", "acceptance", "rejection", "three-way", "number", "left", "right", "yes", "no",
	"only", "without", "along", "value", "excepted", "today", "age", "ordered",
}

// openWords are words of the language in their own forms only, so that a name may be one of them.
var openWords = []string{"event", "language", "one", "order"}

// DeclarationWords lists the words that start a declaration.
func DeclarationWords() []string { return slices.Clone(declarationWords) }

// ClauseWords lists the words that start a clause of the declaration that
// starts with declaration; none for one that has no clauses. The rows of a chart start
// with a list of clubs, so a chart has no clause words.
func ClauseWords(declaration string) []string { return slices.Clone(clauseWords[declaration]) }

// ReservedWords lists, sorted, the words that no let, chart, property, group or
// method may have for a name: those that start a declaration or a clause, and
// those of formulas. Kinds of club and units are not among them.
func ReservedWords() []string { return slices.Clone(reservedWords()) }

// IsReserved reports whether word is one of ReservedWords.
func IsReserved(word string) bool {
	_, found := slices.BinarySearch(reservedWords(), word)
	return found
}

var reservedWords = sync.OnceValue(func() []string {
	words := slices.Concat(declarationWords, formulaWords)
	for _, clauses := range clauseWords {
		words = append(words, clauses...)
	}
	slices.Sort(words)
	return slices.DeleteFunc(slices.Compact(words), func(w string) bool { return slices.Contains(openWords, w) })
})

// IsDeclarationWord reports whether word starts a declaration.
func IsDeclarationWord(word string) bool { return slices.Contains(declarationWords, word) }

// IsClauseWord reports whether word starts a clause of any declaration and can be nothing else.
func IsClauseWord(word string) bool {
	if slices.Contains(openWords, word) {
		return false
	}
	for _, clauses := range clauseWords {
		if slices.Contains(clauses, word) {
			return true
		}
	}
	return false
}

// OfWords are the words that take a value of several clubs or readings.
var OfWords = []string{"count", "longest", "shortest", "highest", "lowest", "spread", "mean", "total", "share", "drop",
	"rise"}
