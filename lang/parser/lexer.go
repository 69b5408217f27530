package parser

// This file cuts a book's text into words, quantities, texts, days, marks and
// comments, and reports whatever is none of these.

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// The types of token. In the Pos of a token, Offset is where it starts, Column
// where it ends, both in bytes of the file, and Line is its line.
const (
	typeName     lexer.TokenType = -2 - iota
	typeQuantity                 // a number with its unit, or a swing weight
	typeText                     // with its quotation marks
	typeDate
	typeSign // a minus that is the sign of what follows
	typeMark // an operator or a punctuation mark
	typeBad  // what was reported already
)

// symbols are the names of the types in the grammar.
var symbols = map[string]lexer.TokenType{
	"EOF": lexer.EOF, "Name": typeName, "Quantity": typeQuantity, "Text": typeText, "Date": typeDate,
	"Sign": typeSign, "Mark": typeMark, "Bad": typeBad,
}

// scanner cuts the text of a file.
type scanner struct {
	file     *source.File
	text     string
	at       int
	line     int
	lineEnd  int // where the line ends, in bytes; at most at where it is not known
	tokens   []lexer.Token
	comments []ast.Comment
	report   func(mistake)
	saidCR   bool // a lone carriage return was reported
	braced   bool // a brace was reported
	first    int  // the first token on the last token's line
}

// scan cuts a whole file. Its mistakes go to report; the token of each is typeBad, or where
// it is clear what was meant, that.
func scan(file *source.File, report func(mistake)) ([]lexer.Token, []ast.Comment) {
	s := &scanner{file: file, text: file.Text, line: 1, report: report}
	s.tokens = make([]lexer.Token, 0, len(s.text)/4)
	for s.at < len(s.text) {
		startOfLine := s.at == 0 || s.text[s.at-1] == '\n' || s.text[s.at-1] == '\r'
		if startOfLine && len(s.rest()) > maxClause {
			s.bad(mistake{code: diag.FormulaTooLong, start: s.at, end: s.lineEnd,
				message:  fmt.Sprintf("this line is longer than %d characters", maxClause),
				expected: "shorter lines"})
			continue
		}
		s.next()
	}
	return s.tokens, s.comments
}

func (s *scanner) add(t lexer.TokenType, value string, end int) {
	if n := len(s.tokens); n > 0 && s.tokens[n-1].Pos.Line < s.line {
		s.first = n
	}
	s.tokens = append(s.tokens, lexer.Token{Type: t, Value: value,
		Pos: lexer.Position{Offset: s.at, Line: s.line, Column: end}})
	s.at = end
}

// onLine is the tokens before s.at on its line.
func (s *scanner) onLine() []lexer.Token {
	if n := len(s.tokens); n == 0 || s.tokens[n-1].Pos.Line < s.line {
		return nil
	}
	return s.tokens[s.first:]
}

// bad reports m and adds the text up to m.end as a token that cannot be used.
func (s *scanner) bad(m mistake) {
	s.report(m)
	s.add(typeBad, s.text[s.at:m.end], m.end)
}

// rest is the text from s.at to the end of its line.
func (s *scanner) rest() string {
	if s.lineEnd <= s.at {
		s.lineEnd = len(s.text)
		if i := strings.IndexAny(s.text[s.at:], "\r\n"); i >= 0 {
			s.lineEnd = s.at + i
		}
	}
	return s.text[s.at:s.lineEnd]
}

func (s *scanner) next() {
	c := s.text[s.at]
	digit := func(at int) bool { return at < len(s.text) && '0' <= s.text[at] && s.text[at] <= '9' }
	switch {
	case c == '\n':
		s.at++
		s.line++
	case c == ' ' || c == '\t':
		s.at++
	case c == '\r':
		s.carriageReturn()
	case c == '#':
		s.comment()
	case c == '"':
		s.quoted()
	case 'a' <= c && c <= 'z':
		s.word()
	case digit(s.at), (c == '.' || 'A' <= c && c <= 'G') && digit(s.at+1):
		s.number()
	case (c == '+' || c == '-') && s.plusMinus():
	case c == '-':
		s.minus()
	default:
		if n := markAt(s.text[s.at:]); n > 0 {
			s.add(typeMark, s.text[s.at:s.at+n], s.at+n)
			return
		}
		if strings.HasPrefix(s.text[s.at:], "±") {
			s.add(typeMark, "+/-", s.at+len("±"))
			return
		}
		if r, _ := utf8.DecodeRuneInString(s.text[s.at:]); unicode.IsLetter(r) || c == '_' {
			s.word()
			return
		}
		if c >= utf8.RuneSelf {
			if _, n, err := unit.Scan(s.rest()); n > 0 || err != nil {
				s.number()
				return
			}
		}
		s.stray()
	}
}

// markAt is the length of the operator or punctuation mark at the start of s.
// The minus is not among them.
func markAt(s string) int {
	for _, m := range [...]string{"+/-", "<=", ">=", "!="} {
		if strings.HasPrefix(s, m) {
			return len(m)
		}
	}
	for _, m := range [...]string{"==", "<>", "=<", "=>"} {
		if strings.HasPrefix(s, m) {
			return 0
		}
	}
	if strings.IndexByte("+*/=<>(),:", s[0]) >= 0 {
		return 1
	}
	return 0
}

func (s *scanner) carriageReturn() {
	if s.at+1 < len(s.text) && s.text[s.at+1] != '\n' && !s.saidCR {
		s.saidCR = true
		s.report(mistake{code: diag.StrayCharacter, start: s.at, end: s.at + 1,
			message:  "there is a carriage return here without a line feed",
			expected: "lines that end in a line feed, or in a carriage return and a line feed",
			notes:    []string{"Save the book again with the line ends of this system."}})
	}
	if s.at+1 < len(s.text) && s.text[s.at+1] != '\n' {
		s.line++ // the writer meant it so; what follows is read as the next line
	}
	s.at++
}

func (s *scanner) comment() {
	text := s.rest()
	s.unprintable(text, "the comment")
	text = strings.TrimRight(text, " \t")
	s.comments = append(s.comments, ast.Comment{Span: source.Span{File: s.file, Start: s.at, End: s.at + len(text)},
		Text: text})
	s.at += len(text)
}

// unprintable reports the first character of text, which starts at s.at, that cannot be printed.
func (s *scanner) unprintable(text, where string) bool {
	for i, c := range text {
		_, n := utf8.DecodeRuneInString(text[i:])
		if c == utf8.RuneError && n == 1 || c != '\t' && unicode.IsControl(c) {
			s.report(mistake{code: diag.StrayCharacter, start: s.at + i, end: s.at + i + n,
				message:  diag.Quote(text[i:i+n]) + " in " + where + " is not a character of text",
				expected: "letters, digits and signs in UTF-8"})
			return true
		}
	}
	return false
}

func (s *scanner) quoted() {
	rest := s.rest()
	end := strings.IndexByte(rest[1:], '"')
	if end < 0 {
		text := strings.TrimRight(rest, " \t")
		n := len(s.tokens)
		if text == `"` && n > 0 && s.tokens[n-1].Type == typeQuantity &&
			strings.TrimSpace(s.text[s.tokens[n-1].Pos.Column:s.at]) == "" {
			number := s.tokens[n-1]
			s.bad(mistake{code: diag.FaultyNumber, start: number.Pos.Offset, end: s.at + 1, safe: true,
				message:  "there is a blank between " + number.Value + " and its inch mark",
				expected: "the mark directly after the number", hint: number.Value + `"`})
			return
		}
		s.bad(mistake{code: diag.OpenText, start: s.at, end: s.at + len(text),
			message: diag.Quote(strings.TrimPrefix(text, `"`)) +
				" starts with a quotation mark but does not end with one",
			expected: "a text in quotation marks on one line",
			hint:     text + `"`})
		return
	}
	text := rest[:end+2]
	if s.unprintable(text, "the text") {
		s.add(typeBad, text, s.at+len(text))
		return
	}
	s.add(typeText, text, s.at+len(text))
}

// wordEnd is where the letters, digits, hyphens and underscores at the start of s end.
func wordEnd(s string) int {
	for i, c := range s {
		if c != '-' && c != '_' && (c < '0' || c > '9') && !unicode.IsLetter(c) {
			return i
		}
	}
	return len(s)
}

func (s *scanner) word() {
	text := s.text[s.at : s.at+wordEnd(s.text[s.at:])]
	end, low := s.at+len(text), strings.ToLower(text)
	if s.waived() || wellFormed(text) {
		s.add(typeName, text, end)
		return
	}
	m := mistake{start: s.at, end: end, message: diag.Quote(text)}
	as, value := typeName, low // what it is read as
	switch {
	case strings.Trim(text, "-_") == "":
		as, value = typeBad, text
		m.code, m.message = diag.NameForm, m.message+" is not a name"
		m.expected = "a name: a letter, then letters, digits and hyphens"
	case strings.HasSuffix(text, "-"):
		as, value = typeBad, text
		m.code, m.message, m.hint = diag.TightMinus, m.message+" ends in a minus", strings.Trim(low, "-_")+" -"
		m.expected = "a minus between two values has a blank on both sides; a name ends in a letter or a digit"
	case strings.Contains(text, "_"):
		value = strings.Trim(strings.ReplaceAll(low, "_", "-"), "-")
		m.code, m.message, m.hint, m.safe = diag.NameForm, m.message+" has an underscore", value, true
		m.expected = "a name of small letters, digits and hyphens"
	case s.swingWeightSlip(text):
		return
	case s.stamp(text):
		as, value = typeText, `"`+text+`"`
		m.code, m.message = diag.CapitalLetter, m.message+" has capital letters and no quotation marks"
		m.expected, m.hint, m.safe = "what is stamped on a club, in quotation marks", value, true
	case low != text:
		m.code, m.message = diag.CapitalLetter, m.message+" has a capital letter"
		m.expected, m.hint = "names and words in small letters", low
		if m.safe = text != strings.ToUpper(text) || ast.IsReserved(low); !m.safe {
			m.notes = []string{`What is stamped on a club is a text and goes in quotation marks, as in wedge "PW".`}
		}
	default: // letters beyond a to z
		s.add(typeName, text, end)
		return
	}
	s.report(m)
	s.add(as, value, end)
}

// wellFormed reports whether a word that starts with a letter has small letters, digits and hyphens alone.
func wellFormed(word string) bool {
	return strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789-") == "" && !strings.HasSuffix(word, "-")
}

// stamp reports whether a word in capitals at s.at is what is stamped on a club, as in
// wedge PW and mark = PW.
func (s *scanner) stamp(text string) bool {
	n := len(s.tokens)
	if text != strings.ToUpper(text) || n == 0 || s.tokens[n-1].Pos.Line != s.line {
		return false
	}
	before := s.tokens[n-1]
	if before.Type == typeMark && (before.Value == "=" || before.Value == "!=") {
		return n > 1 && s.tokens[n-2].Value == "mark"
	}
	low := strings.ToLower(text)
	return len(text) <= 4 && before.Type == typeName && !ast.IsReserved(before.Value) && !ast.IsReserved(low) &&
		unit.Lookup(low) == nil
}

// swingWeightSlip reports a swing weight with a blank in it, D 2, or of a letter that the scale
// has not, H1.
func (s *scanner) swingWeightSlip(text string) bool {
	before := ""
	if n := len(s.tokens); n > 0 {
		before = s.tokens[n-1].Value
	}
	if !slices.Contains([]string{"most", "least", "below", "above", "between", "and", "is", "of", "swingweight", "=",
		"!=", "<", "<=", ">", ">="}, before) {
		return false // a name
	}
	const expected = "a swing weight: a letter from A to G and its points without a blank, as in D2 or C9.5"
	m := mistake{code: diag.FaultyNumber, start: s.at, end: s.at + len(text), expected: expected}
	points := strings.TrimLeft(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	switch rest := strings.TrimLeft(s.rest()[len(text):], " "); {
	case len(text)-len(points) == 1 && points != "" && strings.Trim(points, "0123456789") == "":
		m.message = diag.Quote(text) + " is not a swing weight"
	case len(text) == 1 && text[0] >= 'A' && text[0] <= 'G' && rest != "" && '0' <= rest[0] && rest[0] <= '9':
		figure := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789."))]
		m.end = s.at + len(s.rest()) - len(rest) + len(figure)
		m.message, m.hint = "this swing weight has a blank in it", text+figure
	default:
		return false
	}
	s.bad(m)
	return true
}

// waived reports whether the line says whom a waiver is granted to: clubs and sets are written there as on the sheet.
func (s *scanner) waived() bool {
	line := s.onLine()
	return len(line) > 0 && line[0].Value == "on"
}

func (s *scanner) number() {
	rest := s.rest()
	d := dateAt(rest)
	if text := rest[:wordEnd(rest)]; d == 0 && s.waived() && strings.Trim(text, "0123456789") != "" {
		s.add(typeName, text, s.at+len(text))
		return
	}
	if s.numbers() {
		return
	}
	if d > 0 {
		wrong, expected := " is not a day in the calendar", "a day in the calendar"
		day, err := time.Parse(time.DateOnly, rest[:d])
		if err == nil && day.Year() < unit.FirstYear {
			wrong, expected = " is before 1900", "a day from 1900 on"
		} else if err == nil {
			s.add(typeDate, rest[:d], s.at+d)
			return
		}
		s.bad(mistake{code: diag.NoSuchDay, start: s.at, end: s.at + d, message: diag.Quote(rest[:d]) + wrong,
			expected: expected + ", written year-month-day"})
		return
	}
	_, n, err := unit.Scan(rest)
	if err != nil && s.id() {
		return
	}
	if err != nil {
		start := s.at + err.Offset
		m := mistake{code: diag.FaultyNumber, start: start, end: start + max(1, err.Length), message: err.Message,
			expected: err.Expected, hint: err.Hint, safe: !err.Guess}
		m.end = min(m.end, s.at+len(rest))
		number, kind := s.text[s.at:start], kindLetters[s.text[start:m.end]]
		if kind != "" && wordEnd(number) == len(number) {
			m.start, m.message = s.at, diag.Quote(s.text[s.at:m.end])+" is not how a book names a club"
			m.expected, m.hint, m.safe = "the kind before the number, as in iron 7", kind+" "+number, false
		}
		s.bad(m)
		return
	}
	if n == 0 { // cannot be: a digit starts a number
		s.stray()
		return
	}
	s.add(typeQuantity, rest[:n], s.at+n)
}

// kindLetters are the letters that people write behind the number of a club, as in 7i, with the kinds that they mean.
var kindLetters = map[string]string{"i": "iron", "w": "fairway", "h": "hybrid"}

// dateAt is the length of the day at the start of s, 2026-04-18.
func dateAt(s string) int {
	if n := len(day().FindString(s)); n == wordEnd(s) {
		return n
	}
	return 0
}

func (s *scanner) minus() {
	before, after := byte(' '), byte(' ')
	if s.at > 0 {
		before = s.text[s.at-1]
	}
	if s.at+1 < len(s.text) {
		after = s.text[s.at+1]
	}
	blank := func(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }
	open := blank(before) || before == '(' || before == ','
	switch {
	case open && !blank(after):
		s.add(typeSign, "-", s.at+1)
	case open:
		s.add(typeMark, "-", s.at+1)
	default:
		m := mistake{code: diag.TightMinus, start: s.at, end: s.at + 1,
			message:  "this minus touches what is before it",
			expected: "a minus between two values with a blank on both sides"}
		behind := s.rest()[1:]
		behind, _, _ = strings.Cut(strings.TrimLeft(behind[:min(len(behind), 40)], " \t"), " ")
		m.hint = string(before) + " - " + behind
		if strings.IndexByte("+*/=<>:", before) >= 0 {
			m.expected, m.hint = "a blank before the sign of a number", string(before)+" -"+behind
		}
		if before >= utf8.RuneSelf || before == '-' { // part of a character such as ¾, or no value
			m.hint = ""
		}
		s.bad(m)
	}
}
