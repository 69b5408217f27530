package parser

// This file holds the grammars of the parts of clauses that are neither formulas nor lists, the forms of all clauses,
// and the words for what may come next.

import (
	"io"
	"reflect"
	"slices"
	"strings"
	"sync"

	"ferrule/lang/ast"

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

// phrases say for a person what may come next in the grammar; after a clause's word,
// only in that clause. Parts that are parsed by hand say what they expect themselves.
var phrases = map[string]string{
	"<name>": "a name", "<text>": "a text in quotation marks", "<date>": "a day, as in 2026-04-18",
	"language <quantity>":               "a whole number from 1",
	"use <name> <text>":                 "the name of a shipped book, or a file in quotation marks",
	"use <name>":                        "the name of a rule",
	"decision simple three-way guarded": "simple, three-way, guarded acceptance or guarded rejection",
	"decision acceptance rejection":     "acceptance or rejection",
	"stop along at":                     "at lie, at an angle, or along axis",
	"top butt cap":                      "cap edge, cap end or butt",
	"top edge end":                      "edge or end",
	"for every each neighbours":         "every and a list of clubs, each set, or neighbours among a list of clubs",
	"unless exempt Bound":               "exempt, or another bound, as in at most 47 in",
}

// forms are the forms of the clauses, for messages about clauses in another form.
var forms = map[string]string{
	"rulebook": `rulebook "TITLE"`, "edition": "edition DATE", "language": "language NUMBER", "event": `event "TEXT"`,
	"contact":   `contact "TEXT"`,
	"butt-mass": "butt-mass QUANTITY", "tip-mass": "tip-mass QUANTITY",
	"extension": "extension at most QUANTITY",
	"use":       "use NAME [only RULE, ...] [without RULE, ...]",
	"group":     "group NAME = LIST [except LIST] [where CONDITION]",
	"property":  "property NAME SORT [by METHOD] [one of TEXT, ...] [else yes|no|TEXT]",
	"chart":     "chart NAME of PROPERTY [by METHOD] per club",
	"row":       "LIST = QUANTITY [where CONDITION]", "let": "let NAME = FORMULA",
	"method": `method NAME "TITLE"`, "covers": "covers every LIST [except LIST] [where CONDITION]",
	"stop": "stop at lie, stop at ANGLE or stop along axis",
	"top":  "top at cap edge, top at cap end or top at butt", "reads": "reads to QUANTITY",
	"lie-set": "lie-set within ANGLE", "ruler": "ruler within QUANTITY",
	"allowance": "allowance cap|crown QUANTITY [within QUANTITY] [where CONDITION]",
	"head":      "head LIST [where CONDITION]", "rule": `rule NAME "TITLE"`, "advice": `advice NAME "TITLE"`,
	"for":      "for every LIST, for each set [where CONDITION], or for neighbours among LIST by PROPERTY",
	"require":  "require VALUE BOUND, or require FORMULA",
	"unless":   "[else] unless CONDITION: exempt, or [else] unless CONDITION: BOUND",
	"decision": "decision simple, decision guarded acceptance|rejection at LEVEL, or decision three-way at LEVEL",
	"from":     "from DATE", "until": "until DATE", "on": "on DATE", "cite": `cite "TEXT"`,
	"mend": `mend "TEXT", or mend over "TEXT" and mend under "TEXT"`, "case": `case "TITLE"`,
	"waive": `waive RULE "TEXT"`, "whom": "on CLUB [of SET], on CLUB and CLUB [of SET], or on set SET",
	"set":    "set ID",
	"club":   "club ID: KIND [NUMBER|TEXT], PROPERTY VALUE [+/- QUANTITY] [by METHOD], ...",
	"order":  "order ID: KIND [NUMBER|TEXT], PROPERTY VALUE [+/- QUANTITY] [by METHOD], ...",
	"expect": "expect RULE on ID[, ID]: VERDICT [value QUANTITY +/- QUANTITY] [excepted] [mend \"TEXT\"]",
}

// Form returns the form of the clause of a declaration that starts with a word; "" if there is no such clause.
func Form(declaration, word string) string {
	if declaration == "waive" && word == "on" {
		word = "whom"
	}
	return form(word)
}

func form(clause string) string {
	if slices.Contains(ast.ShapeWords[:], clause) {
		return clause + " QUANTITY [within QUANTITY]"
	}
	return forms[clause]
}

// following are the words that may continue a clause that seems to be complete: those in brackets in its form, and some
// more.
func following(clause string) []string {
	words := slices.Clone(trailing[clause])
	for _, part := range strings.Split(form(clause), "[")[1:] {
		word, _, _ := strings.Cut(strings.ReplaceAll(part, "]", " "), " ")
		if word == strings.ToLower(word) {
			words = append(words, word)
		}
	}
	return words
}

var trailing = map[string][]string{
	"for": {"except"}, "let": {"and", "or", "by"}, "unless": {"allowing", "and", "or"},
	"require": {"and", "or", "allowing", "at", "below", "above", "between", "is", "within", "by"},
}
