package parser

// This file turns mistakes into diagnostics.

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// mistake is a diagnostic before it knows its file. It is an error so that it
// can travel through participle.
type mistake struct {
	code       diag.Code
	start, end int
	message    string
	expected   string
	hint       string
	safe       bool    // putting the hint there cannot be wrong
	mend       *remark // the change, where it is another than the hint in place of start to end; 0 to 0 for none
	notes      []string
	related    []remark
}

// remark is a text about a place, or in the place of it.
type remark struct {
	start, end int
	text       string
}

// Error returns the message.
func (m mistake) Error() string { return m.message }

// mistakeAt is the mistake of a token.
func mistakeAt(t lexer.Token, code diag.Code, message, expected string) mistake {
	return mistake{code: code, start: t.Pos.Offset, end: t.Pos.Column, message: message, expected: expected}
}

func (m mistake) diagnostic(file *source.File) diag.Diagnostic {
	// The messages may quote the book, control characters included.
	d := diag.Diagnostic{Code: m.code, Severity: diag.Error, Message: diag.Visible(m.message),
		Expected: diag.Visible(m.expected), Hint: diag.Visible(m.hint),
		Span: source.Span{File: file, Start: m.start, End: m.end}}
	switch {
	case m.mend != nil && m.mend.end > 0:
		d.Mend = diag.Mend{Span: source.Span{File: file, Start: m.mend.start, End: m.mend.end}, Text: m.mend.text,
			Safe: m.safe}
	case m.mend == nil && m.hint != "":
		d.Mend = diag.Mend{Span: d.Span, Text: m.hint, Safe: m.safe}
	}
	for _, n := range m.notes {
		d.Notes = append(d.Notes, diag.Visible(n))
	}
	for _, r := range m.related {
		d.Related = append(d.Related, diag.Label{Span: source.Span{File: file, Start: r.start, End: r.end},
			Text: r.text})
	}
	return d
}

// unexpected is the mistake of finding t where something else was due; before
// is the token in front of it.
func unexpected(before, t lexer.Token, expected string, words []string) mistake {
	m := mistakeAt(t, diag.OutOfPlace, quoteOne(t.Value)+" is out of place here", expected)
	switch t.Type {
	case lexer.EOF:
		m.code, m.message = diag.CutShort, "the clause ends too early"
		if before.Value != "" {
			m.start = before.Pos.Column
			m.end = m.start
			m.message = fmt.Sprintf("the clause ends too early, after %s", diag.Quote(before.Value))
		}
		return m
	case typeName:
		if near, ok := diag.Nearest(t.Value, words); ok && (!ast.IsReserved(t.Value) || swapped(t.Value, near)) {
			m.hint = near
		} else if ast.IsDeclarationWord(t.Value) || ast.IsClauseWord(t.Value) {
			m.notes = append(m.notes, "Each clause goes on a line of its own.")
		}
	case typeSign:
		m.message = "this minus is the sign of a number, which is out of place here"
		m.notes = append(m.notes, "A minus between two values has a blank on both sides.")
	}
	if m.hint == "" && before.Type == typeQuantity && t.Type == typeName && t.Pos.Line == before.Pos.Line &&
		!ast.IsReserved(t.Value) && !strings.Contains(t.Value, "-") {
		noUnit(&m, before, t)
	}
	if before.Type == typeName && t.Type == typeName && t.Pos.Line == before.Pos.Line && unit.Lookup(t.Value) != nil {
		if i := strings.LastIndexByte(before.Value, '-'); i > 0 &&
			strings.Trim(before.Value[i+1:], "0123456789") == "" {
			m.hint = before.Value[:i] + " - " + before.Value[i+1:] + " " + t.Value
			m.mend = &remark{before.Pos.Offset, t.Pos.Column, m.hint}
			m.notes = []string{before.Value + " is read as one name: a minus between two values has a blank on both " +
				"sides."}
		}
	}
	return m
}

// swapped reports whether two words have the same letters. A word of the language counts as spelt on purpose,
// except for swapped letters.
func swapped(a, b string) bool {
	x, y := []byte(a), []byte(b)
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(x, y)
}

// noUnit makes m the mistake of a word after a number that is not a unit, as in 1 yd. It may also be that of two units
// that do not go together, as in 1 g cm.
func noUnit(m *mistake, number, t lexer.Token) {
	q, _, err := unit.Scan(number.Value)
	if err != nil || q.SwingWeight {
		return
	}
	word := t.Value
	near := unit.Suggest(word)
	if q.HasUnit {
		if unit.Lookup(t.Value) == nil {
			return
		}
		word = q.Unit.Name + " " + t.Value
		near = ""
	}
	m.code, m.message, m.hint, m.notes = diag.FaultyNumber, diag.Quote(word)+" is not a unit that the language knows",
		near, nil
	m.safe = near != ""
	if near == "" && !q.HasUnit && len(word) > 2 {
		m.hint, _ = diag.Nearest(word, unit.Names())
	}
	m.expected = "one of " + strings.Join(unit.Names(), ", ")
}

// quoteOne quotes what a person wrote, texts in their own marks.
func quoteOne(s string) string {
	if strings.HasPrefix(s, `"`) {
		return "the text " + diag.Quote(strings.Trim(s, `"`))
	}
	return diag.Quote(s)
}

// translate puts what is wrong with the clause of tokens into words. Its form goes by the name clause. The reader came
// as far as t.
func translate(err error, t lexer.Token, tokens []lexer.Token, clause string) mistake {
	var next []string
	switch err := err.(type) {
	case mistake:
		return err
	case due:
		next = err
	case *participle.UnexpectedTokenError:
		t, next = err.Unexpected, wanted(err.Message())
	default: // cannot be: the grammar captures texts and tokens alone
		return mistakeAt(tokens[0], diag.OutOfPlace, "this clause is not understood", forms.of(clause))
	}
	var before lexer.Token
	for _, b := range tokens {
		if b.Pos.Offset < t.Pos.Offset || t.EOF() {
			before = b
		}
	}
	expected, words := inWords(next, clause)
	if w := t.Value; expected == "" && clause == "require" && (w == "and" || w == "or") {
		m := unexpected(before, t, "the end of the bound", nil)
		m.notes = []string{"A rule has one bound. Write two rules, or comparisons joined by " + w +
			", as in require loft <= 30 deg " + w + " lie >= 60 deg."}
		return m
	}
	if (clause == "club" || clause == "order") && commaLeftOut(tokens, t) {
		m := mistakeAt(t, diag.OutOfPlace, diag.Quote(t.Value)+" has no comma before it",
			"a comma before each property")
		m.hint, m.mend, m.safe = ", "+t.Value, &remark{before.Pos.Column, before.Pos.Column, ","}, true
		return m
	}
	over := expected == "" // the clause seems to be
	switch {
	case over && forms.of(clause) != "":
		expected = "the end of the line; the form is: " + forms.of(clause)
	case over:
		expected = "the end of the line"
	}
	// what goes on before these is open too
	if w := strings.Join(words, " "); over || w == ":" || w == "=" || w == "per" {
		words = append(words, following(clause)...)
	}
	m := unexpected(before, t, expected, words)
	if m.code == diag.OutOfPlace && t.Type == typeName {
		switch near := instead.of(clause + " " + t.Value); {
		case clause == "for" && slices.Contains(words, "every"):
			if m.hint == "" && t.Value != "all" && t.Value != "any" {
				m.hint = "every " + t.Value
			}
			m.hint = cmp.Or(m.hint, "every")
		case near != "":
			m.hint, m.notes = near, nil
		case clause == "require" && m.hint == "" && over:
			m.notes = append(m.notes, "A bound is at most, at least, below, above, between A and B, is A +/- B, or "+
				"within A of B.")
		}
	}
	return m
}

// commaLeftOut reports whether t, which is out of place in the clause of a club, is the name of a property with
// its value.
func commaLeftOut(tokens []lexer.Token, t lexer.Token) bool {
	i := slices.Index(tokens, t)
	if t.Type != typeName || i < 0 || i+1 >= len(tokens) || ast.IsReserved(t.Value) && t.Value != "number" ||
		tokens[i-1].Type == typeMark {
		return false
	}
	next := tokens[i+1]
	return next.Type == typeQuantity || next.Type == typeText || next.Type == typeDate || next.Type == typeSign ||
		next.Type == typeName && !structural[next.Value]
}

// once makes m, of clause c, the only message about its place: a word that is out of place
// needs no message about its capitals. Where a text is due, the words there are most likely that text.
func (p *parser) once(m mistake, c clause) mistake {
	if m.code != diag.OutOfPlace || p.kept > maxMistakes {
		return m
	}
	end := m.end
	if last := c[len(c)-1].Pos; strings.HasPrefix(m.expected, phrases.of("<text>")) && last.Line == c[0].Pos.Line {
		if text := p.file.Text[m.start:last.Column]; !strings.Contains(text, `"`) {
			end = last.Column
			m.hint, m.notes = `"`+text+`"`, nil
			m.mend = &remark{m.start, end, m.hint}
		}
	}
	p.list = slices.DeleteFunc(p.list, func(d diag.Diagnostic) bool {
		if d.Code != diag.CapitalLetter && d.Code != diag.NameForm || d.Span.Start < m.start || d.Span.End > end {
			return false
		}
		if d.Span.Start == m.start {
			_, rest, _ := strings.Cut(m.message, " is ")
			m.message = diag.Quote(p.file.Text[d.Span.Start:d.Span.End]) + " is " + rest
		}
		return true
	})
	return m
}

// expectations are the parts of the EBNF in which participle writes what it expects. (The library's own reader of that
// is built at the start of each process, which takes longer than a small book does.)
var expectations = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`"[^"]*"|<?\w+>?|[()|?*+]`) })

// wanted is what participle says may come next: the words and names that its expectation can start with.
func wanted(message string) (next []string) {
	parts := expectations().FindAllString(message[max(0, strings.LastIndex(message, " (expected ")):], -1)
	if len(parts) < 2 || parts[1] != "expected" {
		return nil
	}
	first := []bool{true} // by group around a part: whether the part can come first
	for i, part := range parts[2 : len(parts)-1] {
		here, left := len(first)-1, strings.ContainsAny(parts[i+3], "?*") // the part may be left out
		switch part {
		case "(":
			first = append(first, first[here])
			continue
		case "|":
			first[here] = here == 0 || first[here-1]
			continue
		case "?", "*", "+":
			continue
		case ")":
			first = first[:here]
		default:
			if first[here] {
				next = append(next, strings.Trim(part, `"`))
			}
		}
		first[len(first)-1] = first[len(first)-1] && left
	}
	return next
}

// inWords is what may come next in clause, for people, and the plain words among it.
func inWords(next []string, clause string) (expected string, words []string) {
	var shown []string
	for _, w := range next {
		if w[0] != '<' && (w[0] < 'A' || w[0] > 'Z') {
			words = append(words, w)
			w = diag.Quote(w)
		}
		if w == "Bound" {
			words = append(words, boundWords...)
		}
		shown = append(shown, cmp.Or(phrases.of(w), w))
	}
	return cmp.Or(phrases.of(clause+" "+strings.Join(next, " ")), unit.Listed(shown, "or")), words
}
