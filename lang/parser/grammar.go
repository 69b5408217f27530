package parser

// This file holds the grammars of the parts of clauses that are neither formulas nor lists, the forms of all clauses,
// and the words for what may come next.

import (
	_ "embed"
	"io"
	"reflect"
	"strings"
	"sync"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
)

// definition gives participle the types of token. It does no lexing itself:
// the parsers are fed from the token slice.
type definition struct{}

// Symbols returns the types of token by name.
func (definition) Symbols() map[string]lexer.TokenType { return symbols }

// Lex is only there for participle's interface; it gives no tokens.
func (definition) Lex(string, io.Reader) (lexer.Lexer, error) { return &feed{}, nil }

// feed gives the tokens of one clause.
type feed struct {
	tokens []lexer.Token
	at     int
}

// Next returns the next token of the clause, and its end ever after.
func (f *feed) Next() (lexer.Token, error) {
	if f.at == len(f.tokens) {
		end := lexer.Position{}
		if f.at > 0 {
			end = f.tokens[f.at-1].Pos
			end.Offset = end.Column
		}
		return lexer.EOFToken(end), nil
	}
	f.at++
	return f.tokens[f.at-1], nil
}

// parsers holds those that were built, by the type of their grammar.
var parsers sync.Map

// parserOf returns the parser of a grammar. It is built when it is first used: building all at once would cost more
// than judging a bag.
func parserOf[G any]() *participle.Parser[G] {
	of := reflect.TypeFor[G]()
	if p, ok := parsers.Load(of); ok {
		return p.(*participle.Parser[G])
	}
	p := participle.MustBuild[G](participle.Lexer(definition{}), participle.UseLookahead(0))
	parsers.Store(of, p)
	return p
}

// byGrammar reads a part of the clause that is neither a formula nor a list.
func byGrammar[G any](r *reader) *G {
	if r.err != nil {
		return new(G)
	}
	g, err := parserOf[G]().ParseFromLexer(r.lex, participle.AllowTrailing(true))
	if err != nil {
		r.err = err
		return new(G) // and not a part of one
	}
	at := r.lex.RawCursor()
	r.last, r.from = r.lex.Range(at-1, at)[0], -1
	return g
}

// In a field's grammar a quoted word is that word, Name and Text are any name and
// text, and @@ is the part of that field: a struct of these, or one parsed by hand (parts.go).
type (
	useLine struct {
		Shipped *lexer.Token  `parser:"'use' ( @Name"`
		Path    *lexer.Token  `parser:"| @Text )"`
		Only    []lexer.Token `parser:"( 'only' @( Name ( ',' Name )* ) )?"`
		Without []lexer.Token `parser:"( 'without' @( Name ( ',' Name )* ) )?"`
	}
	stopClause struct {
		Along bool `parser:"'stop' ( @( 'along' 'axis' )"`
		Lie   bool `parser:"| 'at' ( @'lie'"`
		Angle *sum `parser:"| @@ ) )"`
	}
	topClause struct {
		At []string `parser:"'top' 'at' @( 'butt' | 'cap' ( 'edge' | 'end' ) )"`
	}
	forClause struct {
		Every *selector `parser:"'for' ( 'every' @@"`
		Set   bool      `parser:"| @( 'each' 'set' )"`
		Where *formula  `parser:"( 'where' @@ )?"`
		Among *pairs    `parser:"| 'neighbours' 'among' @@ )"`
	}
	bound struct {
		Tokens    []lexer.Token
		Side      []string  `parser:"( @( 'at' ( 'most' | 'least' ) | 'below' | 'above' )"`
		Limit     *sum      `parser:"@@"`
		Between   *sum      `parser:"| 'between' @@"`
		And       *sum      `parser:"'and' @@"`
		Is        *sum      `parser:"| 'is' @@"`
		PlusMinus *sum      `parser:"( '+/-' @@ )?"`
		Within    *distance `parser:"| 'within' @@"`
		Of        *sum      `parser:"'of' @@ )"`
		Allowing  *sum      `parser:"( 'allowing' @@ )?"`
	}
	outcome struct { // of an exception
		Bound *bound `parser:"':' ( 'exempt' | @@ )"`
	}
	decisionClause struct {
		Kind  []string `parser:"'decision' ( @'simple' | @( 'three-way' | 'guarded' ( 'acceptance' | 'rejection' ) )"`
		Level *sum     `parser:"'at' @@ )"`
	}
	waiveOn struct {
		Whole *id `parser:"'on' ( 'set' @@"`
		Club  *id `parser:"| @@"`
		Other *id `parser:"( ( 'and' | ',' ) @@ )?"`
		Set   *id `parser:"( 'of' @@ )? )"`
	}
	outcomeDetails struct { // of what is expected
		Details []*detail `parser:"@@*"`
	}
	detail struct {
		Tokens    []lexer.Token
		Value     *sum         `parser:"( 'value' @@"`
		PlusMinus *sum         `parser:"( '+/-' @@ )?"`
		Excepted  bool         `parser:"| @'excepted'"`
		Mend      *lexer.Token `parser:"| 'mend' @Text )"`
	}
)

//go:embed forms.txt
var formsText string

// table is a table of forms.txt, of texts by words.
type table int

const (
	forms    table = iota // of clauses
	phrases               // for what may come next in the grammar; after a clause's word, only in that clause
	trailing              // words that may continue a complete clause, beside those in brackets in its form
	instead               // words for others that people write, after the clause's word or "of"
)

var tables = sync.OnceValue(func() (all [4]map[string]string) {
	for i, text := range strings.SplitN(formsText, "\n\n", len(all)) {
		all[i] = map[string]string{}
		for line := range strings.Lines(text) {
			words, text, _ := strings.Cut(strings.TrimSpace(line), ": ")
			all[i][words] = text
		}
	}
	return all
})

func (t table) of(words string) string { return tables()[t][words] }

// Form returns the form of the clause of a declaration that starts with a word; "" if there is no such clause.
func Form(declaration, word string) string {
	if declaration == "waive" && word == "on" {
		word = "whom"
	}
	return forms.of(word)
}

// following are the words that may continue a clause that seems to be complete.
func following(clause string) []string {
	words := strings.Fields(trailing.of(clause))
	for _, part := range strings.Split(forms.of(clause), "[")[1:] {
		word, _, _ := strings.Cut(strings.ReplaceAll(part, "]", " "), " ")
		if word == strings.ToLower(word) {
			words = append(words, word)
		}
	}
	return words
}
