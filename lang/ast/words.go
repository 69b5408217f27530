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

// OfWords are the words that take a value of several clubs or readings, and InsteadOfWords what people write for them.
var (
	OfWords = []string{
		"count", "longest", "shortest", "highest", "lowest", "spread", "mean", "total", "share", "drop", "rise",
	}
	InsteadOfWords = map[string]string{
		"average": "mean", "avg": "mean", "median": "mean", "sum": "total", "number": "count",
		"amount": "count", "range": "spread", "variation": "spread", "largest": "highest",
		"biggest": "highest", "greatest": "highest", "top": "highest", "maximum": "highest", "max": "highest",
		"smallest": "lowest", "least": "lowest", "minimum": "lowest", "min": "lowest", "bottom": "lowest",
		"tallest": "longest", "part": "share", "percentage": "share", "proportion": "share",
		"fraction": "share", "decrease": "drop", "difference": "drop", "gap": "drop", "step": "drop",
		"fall": "drop", "increase": "rise",
	}
)

// Instead are words that people write in a clause, and the word of the language for each.
var Instead = map[string]map[string]string{
	"require": {
		"atmost": "at most", "atleast": "at least", "max": "at most", "maximum": "at most", "min": "at least",
		"minimum": "at least", "under": "below", "over": "above", "exceeds": "above", "equals": "is", "equal": "is",
		"exactly": "is",
	},
	"for":   {"and": ",", "with": "where"},
	"group": {"and": ",", "with": "where"}, "covers": {"and": ",", "with": "where"},
}
