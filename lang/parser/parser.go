// Package parser turns the text of a rule book into its tree, and reports every
// mistake of its form in one run.
//
// The text is cut into one slice of tokens (lexer.go). The slice is cut into declarations, at the lines that start with
// a declaration's word, and each declaration into clauses at its lines (this file). Each clause is read by itself
// (lower.go, cases.go), so a mistake never reaches past its clause. Formulas are read by precedence climbing
// (formula.go), other parts of clauses by small grammars (grammar.go).
package parser

import (
	"fmt"
	"slices"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const (
	maxBook     = 1 << 20 // bytes of a book
	maxTokens   = 300_000 // words, numbers and signs of a book: more than any page of 1 MiB that says something
	maxMistakes = 200     // mistakes listed for a book
)

// Parse returns the tree of a rule book and the mistakes of its form, in the order of
// the text. What could not be read is left out of the tree, and its declaration
// is Broken. A book of more than 1 MiB is one mistake and an empty tree; of more than 200
// mistakes the rest are counted.
func Parse(file *source.File) (*ast.Book, diag.List) {
	p := &parser{file: file, book: &ast.Book{File: file}}
	if len(file.Text) > maxBook {
		p.report(mistake{code: diag.BookTooLarge, message: fmt.Sprintf("this book has %d bytes", len(file.Text)),
			expected: fmt.Sprintf("at most %d bytes; a book can use others", maxBook)})
		return p.book, p.list
	}
	tokens, comments := scan(file, p.report)
	p.kept = 0
	if len(tokens) > maxTokens {
		p.list = nil
		p.report(mistake{code: diag.BookTooLarge,
			message:  fmt.Sprintf("this book has %d words, numbers and signs", len(tokens)),
			expected: fmt.Sprintf("at most %d; a book can use others", maxTokens)})
		return p.book, p.list
	}
	p.book.Comments = comments
	for segment := range segments(tokens) {
		p.segment(segment)
	}
	if p.book.Newer() {
		return p.newer()
	}
	return p.book, p.capped()
}

// newer is the head of a book that asks for an edition of the language that the program does not know, with that one
// mistake: nobody can tell what else in it is wrong.
func (p *parser) newer() (*ast.Book, diag.List) {
	asked := p.book.Header.Language
	head := ast.Declaration{Span: p.book.Header.Span, Broken: true}
	p.list = nil
	p.report(mistake{code: diag.NewerLanguage, start: asked.Span.Start, end: asked.Span.End,
		message: fmt.Sprintf("this book is written in edition %s of the language, and this ferrule knows edition %d",
			asked.Edition.Value.Text, ast.Edition),
		expected: fmt.Sprintf("a newer ferrule, or a book that is written in edition %d", ast.Edition)})
	return &ast.Book{File: p.file, Header: &ast.Header{Declaration: head, Language: asked}}, p.list
}

// capped is the list in the order of the text, with what is beyond maxMistakes
// summed up.
func (p *parser) capped() diag.List {
	list := p.list
	list.Sort()
	if len(list) <= maxMistakes {
		return list
	}
	for _, d := range list[maxMistakes:] {
		p.leftOut(d.Span)
	}
	lines := 0
	for _, out := range p.left {
		if out {
			lines++
		}
	}
	more := list[maxMistakes]
	list = list[:maxMistakes:maxMistakes]
	list.Add(diag.Diagnostic{Code: diag.TooManyMistakes, Severity: diag.Error, Span: more.Span,
		Message:  fmt.Sprintf("%d more lines are wrong from here on", lines),
		Expected: fmt.Sprintf("a rule book; only the first %d mistakes are listed", maxMistakes)})
	return list
}

// leftOut notes that a mistake is not listed.
func (p *parser) leftOut(s source.Span) {
	if p.left == nil {
		p.left = make([]bool, p.file.Lines()+1)
	}
	p.left[s.Line()] = true
}

type parser struct {
	file *source.File
	book *ast.Book
	list diag.List
	kept int    // how many the current pass over the text has put into list
	left []bool // by line: a mistake there is not listed
}

// report adds a mistake to the list. Each of the two passes, over characters and over
// clauses, goes along the text, so its mistakes beyond maxMistakes can never be listed.
func (p *parser) report(m mistake) {
	if p.kept > maxMistakes {
		p.leftOut(source.Span{File: p.file, Start: m.start, End: m.end})
		return
	}
	p.kept++
	p.list.Add(m.diagnostic(p.file))
}

// segment parses the lines from one declaration's word up to the next. Only the
// first segment of a book can start with another word, and a line within may start with a
// misspelt declaration's word.
func (p *parser) segment(tokens []lexer.Token) {
	c := newCutter(tokens)
	if tokens[0].Type != typeName || !ast.IsDeclarationWord(tokens[0].Value) {
		c.at = p.outside(tokens)
	}
	for c.at < len(tokens) {
		t := &tokens[c.at]
		broken := !ast.IsDeclarationWord(t.Value)
		if broken {
			t.Value = p.misspelt(*t)
		}
		p.declaration(t.Value, c, broken)
	}
}

// outside passes over the lines before the first declaration. It returns where a line at
// the margin starts with a declaration's word, misspelt.
func (p *parser) outside(tokens []lexer.Token) int {
	near := func(i int) bool {
		_, ok := diag.Nearest(tokens[i].Value, ast.DeclarationWords())
		return tokens[i].Type == typeName && (ok || p.column(tokens[i]) == 1 && named(tokens[i:]))
	}
	if near(0) {
		return 0
	}
	if tokens[0].Type != typeBad {
		m := unexpected(lexer.Token{}, tokens[0], aDeclaration(), nil)
		m.code, m.message, m.notes = diag.OutsideDeclaration,
			quoteOne(tokens[0].Value)+" comes before the first declaration of the book", nil
		p.report(m)
	}
	for i := 1; i < len(tokens); i++ {
		if startsLine(tokens, i) && p.column(tokens[i]) == 1 && near(i) {
			return i
		}
	}
	return len(tokens)
}

// misspelt reports a misspelt declaration's word and returns the one that was meant.
func (p *parser) misspelt(t lexer.Token) string {
	meant, ok := diag.Nearest(t.Value, ast.DeclarationWords())
	if !ok {
		meant = "rule" // it has the form of one
	}
	m := unexpected(lexer.Token{}, t, aDeclaration(), nil)
	m.code, m.message = diag.OutsideDeclaration, diag.Quote(t.Value)+" does not start a declaration"
	m.hint, m.notes = meant, nil
	p.report(m)
	return meant
}

func aDeclaration() string {
	return "a declaration, which starts with one of " + strings.Join(ast.DeclarationWords(), ", ")
}

// column is where t starts in its line, in bytes from 1.
func (p *parser) column(t lexer.Token) int {
	return t.Pos.Offset - strings.LastIndexAny(p.file.Text[:t.Pos.Offset], "\r\n")
}

// declaration parses the declaration that c is at, up to the next one. With broken, a
// mistake in it was reported already.
func (p *parser) declaration(word string, c *cutter, broken bool) {
	words := ast.ClauseWords(word)
	start := c.at
	first := c.next(words, word == "chart")
	var body []clause
	for c.at < len(c.tokens) {
		from := c.at
		line := c.next(words, word == "chart")
		if p.column(line[0]) == 1 && misspeltDeclaration(word, line, words) {
			c.at = from
			break
		}
		body = append(body, line)
	}
	tokens := c.tokens[start:c.at]
	if word == "rulebook" && (p.book.Header != nil || len(p.book.Decls) > 0) {
		p.misplacedHeader(tokens)
		return
	}
	l := &lowerer{parser: p, span: p.all(tokens), word: word, broken: broken, words: words,
		strays: map[int][]clause{}}
	l.declare(first, l.sound(first, body))
	l.unclaimed(body)
}

func (p *parser) misplacedHeader(tokens []lexer.Token) {
	m := mistakeAt(tokens[0], diag.MisplacedHeader, "the head of a book must come first",
		"rulebook as the first declaration")
	if p.book.Header != nil {
		m.related = []remark{{p.book.Header.Span.Start, p.book.Header.Span.Start + len("rulebook"),
			"the book has a head here"}}
	}
	p.report(m)
}

// named reports whether a line looks like the first one of a rule, WORD NAME "TITLE".
func named(c clause) bool {
	return len(c) > 2 && c[0].Type == typeName && c[1].Type == typeName && c[2].Type == typeText &&
		c[2].Pos.Line == c[0].Pos.Line
}

// misspeltDeclaration reports whether a line at the margin, below declaration, is the first of
// another, whose word is misspelt. A word of the language is spelt as it was meant.
func misspeltDeclaration(declaration string, c clause, words []string) bool {
	word := c.word()
	if word == "" || ast.IsReserved(word) {
		return false
	}
	if declaration == "chart" { // the rows of a chart start with any name
		_, ok := diag.Nearest(word, ast.DeclarationWords())
		return ok && !slices.ContainsFunc(c, isEquals)
	}
	near, ok := diag.Nearest(word, append(words, ast.DeclarationWords()...))
	return ok && ast.IsDeclarationWord(near) || !ok && named(c)
}

func isEquals(t lexer.Token) bool { return t.Type == typeMark && t.Value == "=" }

// sound sorts out the clauses that the declaration cannot have: lines that stray below a clause, and
// what is reported at once.
func (l *lowerer) sound(line clause, body []clause) []clause {
	first := map[string]lexer.Token{}
	var sound []clause
	margin := len(body) > 0 && l.column(body[0][0]) > 1
	above := line // the clause that the next line may have been meant to go on
	for _, c := range body {
		word := c.word()
		before, taken := clashing(first, c)
		switch {
		case c[0].Type == typeBad:
			l.broken, l.passedOver = true, true
			above = c
		case l.word == "chart" && word != "" && slices.ContainsFunc(c, isEquals):
			sound = append(sound, c)
			above = c
		case !slices.Contains(l.words, word):
			l.broken, l.passedOver = true, true
			if margin && l.column(c[0]) == 1 && word != "" && !ast.IsClauseWord(word) {
				l.unknownClause(c, body)
				return sound // the start of something else, at the margin: its clauses are not ours
			}
			l.stray(above, c)
		case !taken:
			first[word+side(c)] = c[0]
			sound = append(sound, c)
			above = c
		default: // the first one counts, so nothing of the declaration is lost
			above = c
			m := mistakeAt(c[0], diag.RepeatedClause,
				diag.Quote(word)+" is given twice in this declaration", "it once")
			if word == "mend" {
				m.expected = "it once, or once as mend over and once as mend under"
			}
			m.related = []remark{{before.Pos.Offset, before.Pos.Column, "it is given here first"}}
			l.report(m)
		}
	}
	return sound
}

// repeatable are the clauses that may be given more than once.
var repeatable = map[string]bool{"unless": true, "cite": true, "club": true, "order": true, "set": true,
	"expect": true}

// clashing returns the clause that c repeats, of those met first by their words and sides.
func clashing(first map[string]lexer.Token, c clause) (before lexer.Token, taken bool) {
	sides := []string{"", side(c)}
	switch {
	case repeatable[c.word()]:
		return before, false
	case c.word() == "mend" && side(c) == "":
		sides = []string{"", "over", "under"}
	}
	for _, s := range sides {
		if before, taken = first[c.word()+s]; taken {
			break
		}
	}
	return before, taken
}

// side is "over" or "under" of a mend for one side of a bound, else nothing.
func side(c clause) string {
	if c.word() == "mend" && len(c) > 1 && c[1].Type == typeName && (c[1].Value == "over" || c[1].Value == "under") {
		return c[1].Value
	}
	return ""
}

// unknownClause reports a clause with a word that starts none of the declaration's. Of two near words, the one meant is
// more likely one that the body does not have yet.
func (l *lowerer) unknownClause(c clause, body []clause) {
	if l.kept > maxMistakes { // not to be listed: spare the words
		l.leftOut(l.all(c[:1]))
		return
	}
	free := slices.DeleteFunc(slices.Clone(l.words), func(w string) bool {
		return !repeatable[w] && slices.ContainsFunc(body, func(b clause) bool { return b.word() == w })
	})
	first := c[0]
	if elseUnless(c, 0) {
		first = c[1]
	}
	m := unexpected(lexer.Token{}, first, "", free)
	if m.hint == "" {
		m = unexpected(lexer.Token{}, first, "", l.words)
	}
	m.code, m.notes = diag.UnknownClause, nil
	m.message = quoteOne(first.Value) + " does not start a clause of " + unit.Article(l.word)
	switch {
	case trails(c.word()):
		place := "the line above"
		if c.word() == "allowing" {
			place = "the line of its bound"
		}
		m.message, m.hint = diag.Quote(c.word())+" does not start a line", ""
		m.expected = diag.Quote(c.word()) + " on " + place
		m.notes = []string{goesOnBelow}
	case len(l.words) > 0:
		m.expected = "one of " + strings.Join(l.words, ", ")
	case l.word == "chart":
		m.message = quoteOne(c[0].Value) + " does not start a row of a chart"
		m.expected = "a list of clubs, as in iron 5 = 38 in"
	default:
		m.expected = aDeclaration()
		m.notes = []string{unit.Article(l.word) + " has no clauses; it ends with its line."}
	}
	l.report(m)
}

// all is the place of tokens.
func (p *parser) all(tokens []lexer.Token) source.Span {
	if len(tokens) == 0 {
		return source.Span{}
	}
	return source.Span{File: p.file, Start: tokens[0].Pos.Offset, End: tokens[len(tokens)-1].Pos.Column}
}

// parse parses one clause, whose form goes by name. It returns nil where the
// clause is wrong, and what is wrong unless that was reported already.
func parse[N any](p *parser, c clause, name string, how func(*reader) *N) (*N, *mistake) {
	if c.bad() {
		return nil, nil
	}
	if first, last := c[0].Pos, c[len(c)-1].Pos; last.Column-first.Offset > maxClause {
		return nil, &mistake{code: diag.FormulaTooLong, start: first.Offset, end: first.Column,
			message:  fmt.Sprintf("the clause that starts here is longer than %d characters", maxClause),
			expected: "a shorter clause"}
	}
	lex, _ := lexer.Upgrade(&feed{tokens: c}) // which has no error
	r := newReader(lex)
	n := how(r)
	if !r.peek().EOF() {
		r.fail(due(nil)) // the clause seems to be over
	}
	if r.err != nil {
		m := translate(r.err, *lex.Peek(), c, name)
		return nil, &m
	}
	for _, s := range r.places {
		s.File = p.file
	}
	return n, nil
}
