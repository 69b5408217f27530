package parser

// This file reports characters that a rule book cannot have, and what people mean by them.

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// signs are what people write, and what a book has instead. A sure one can mean nothing else.
var signs = []struct {
	sign, mend string
	sure       bool
}{
	{"==", "=", true}, {"<>", "!=", true}, {"=<", "<=", false}, {"=>", ">=", false},
	{"≤", "<=", true}, {"≥", ">=", true}, {"≠", "!=", true},
	{"×", "*", true}, {"·", "*", true}, {"÷", "/", true},
	{"−", "-", true}, {"–", "-", false}, {"—", "-", false},
	{"“", `"`, false}, {"”", `"`, false}, {"„", `"`, false}, {"″", `"`, false},
	{"'", `"`, false}, {"’", `"`, false}, {"‘", `"`, false},
	{"&&", "and", true}, {"&", "and", false}, {"||", "or", true}, {"|", "or", false}, {"!", "not", false},
	{"\u00a0", " ", true}, {"\u202f", " ", true}, {"º", "°", true}, {"²", "2", true}, {"³", "3", true},
}

// pattern is a regular expression that is compiled when it is first used.
func pattern(s string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(?:` + s + `)`) })
}

var (
	otherText      = pattern(`[“”„″]([^“”„″"]*)[“”„″]|['‘’‚]([^'‘’‚"]*)['‘’‚]`)
	otherPlusMinus = pattern(`\+[ \t]*/[ \t]*[-–—−]|-[ \t]*/[ \t]*\+|\+[-–—−]`)
	numberRange    = pattern(`([0-9]+)[ \t]*(?:[-–—−]|\.\.)[ \t]*([0-9]+)`)
	feetAndInches  = pattern(`['’′]([ \t]*[0-9¼-¾⅐-⅞][0-9¼-¾⅐-⅞ \t/.-]*["”″])?`)
	day            = pattern(`[0-9]{4}-[0-9]{2}-[0-9]{2}`)
	otherDigits    = pattern(`\p{Nd}[\p{Nd}.．٫]*`)
)

// otherText reports a text in other quotation marks than a book's, and reads it as if it were in those.
func (s *scanner) otherText() bool {
	found := otherText().FindStringSubmatch(s.rest())
	if found == nil || s.touches() {
		return false // no text, an apostrophe, or the mark of feet or inches
	}
	text, end := found[1]+found[2], s.at+len(found[0])
	if s.unprintable(found[0], "the text") {
		s.add(typeBad, text, end)
		return true
	}
	s.report(mistake{code: diag.StrayCharacter, start: s.at, end: end,
		message:  diag.Quote(found[0]) + " is not in straight quotation marks",
		expected: "a text in straight quotation marks", hint: `"` + text + `"`, safe: true})
	s.add(typeText, `"`+text+`"`, end)
	return true
}

// touches reports whether the last token ends at s.at.
func (s *scanner) touches() bool {
	n := len(s.tokens)
	return n > 0 && s.tokens[n-1].Pos.Column == s.at
}

// numbers reports numbers of clubs from one to another as in iron 5-9.
func (s *scanner) numbers() bool {
	line := s.onLine()
	if len(line) == 0 || line[len(line)-1].Type != typeName || ast.IsReserved(line[len(line)-1].Value) {
		return false
	}
	rest := s.rest()
	found := numberRange().FindStringSubmatch(rest)
	if found == nil {
		return false
	}
	from, to := found[1], found[2]
	low, err := strconv.Atoi(from)
	high, err2 := strconv.Atoi(to)
	if q, _, err := unit.Scan(rest[len(found[0])-len(to):]); err != nil || q.Text != to {
		return false // a quantity, or not a number
	}
	if err != nil || err2 != nil || low >= high {
		return false
	}
	m := mistake{code: diag.FaultyNumber, start: s.at, end: s.at + len(found[0]),
		message:  diag.Quote(found[0]) + " is not a number",
		expected: "numbers from one to another as in iron 5 to 9", hint: from + " to " + to, safe: true}
	switch compared := len(line) > 2 && line[len(line)-3].Value == "kind"; {
	case line[0].Value == "club" || line[0].Value == "order":
		m.expected, m.hint, m.safe = "the one number of this club", "", false
	case compared:
		m.expected = "one number; a condition on several is number >= " + from + " and number <= " + to
		m.hint, m.safe = "", false
	}
	s.bad(m)
	return true
}

// id reports an id of a case such as 5i, which is neither a name nor a number, and reads it as if it were in
// quotation marks.
func (s *scanner) id() bool {
	line := s.onLine()
	if len(line) == 0 || !slices.Contains([]string{"club", "order", "set", "expect"}, line[0].Value) ||
		slices.ContainsFunc(line, func(t lexer.Token) bool { return t.Value == ":" }) {
		return false
	}
	text := s.rest()
	text = text[:wordEnd(text)]
	if text == "" {
		return false
	}
	end := s.at + len(text)
	s.report(mistake{code: diag.NameForm, start: s.at, end: end,
		message:  diag.Quote(text) + " is neither a name nor a number",
		expected: "an id: a name, which starts with a letter, a number, or a text in quotation marks",
		hint:     `"` + text + `"`, safe: true})
	s.add(typeText, `"`+text+`"`, end)
	return true
}

// plusMinus reports what people write for +/-, and reads it as that.
func (s *scanner) plusMinus() bool {
	found := otherPlusMinus().FindString(s.rest())
	stroke := strings.Contains(found, "/")
	halfWidth := slices.ContainsFunc(s.onLine(), func(t lexer.Token) bool {
		return t.Type == typeName && slices.Contains([]string{"is", "club", "order", "value"}, t.Value)
	})
	if found == "" || found == "+/-" || !stroke && !halfWidth {
		return false // a sum, and the sign of a number
	}
	end := s.at + len(found)
	s.report(mistake{code: diag.StrayCharacter, start: s.at, end: end,
		message:  diag.Quote(found) + " is not a sign that a rule book uses",
		expected: "+/- in one piece, before a half-width", hint: "+/-", safe: stroke})
	s.add(typeMark, "+/-", end)
	return true
}

// foreignNumber reports a number in the digits of another script.
func (s *scanner) foreignNumber() bool {
	found := otherDigits().FindString(s.rest())
	if found == "" {
		return false
	}
	digits := strings.Map(func(r rune) rune {
		if !unicode.IsDigit(r) {
			return '.'
		}
		zero := r // the digits of a script follow each other, in one or more rows of ten
		for unicode.IsDigit(zero - 1) {
			zero--
		}
		return '0' + (r-zero)%10
	}, found)
	s.bad(mistake{code: diag.StrayCharacter, start: s.at, end: s.at + len(found),
		message:  diag.Quote(found) + " has digits other than 0 to 9",
		expected: "the digits 0 to 9", hint: digits, safe: true})
	return true
}

// feet reports a length such as 3' 10" whose feet were read already: a book writes it in inches.
func (s *scanner) feet() bool {
	found := feetAndInches().FindString(s.rest())
	if found == "" || !s.touches() {
		return false
	}
	start, end := s.tokens[len(s.tokens)-1].Pos.Offset, s.at+len(found)
	length, err := unit.ParseCell(s.text[start:end], unit.CellFormat{Dim: unit.Length})
	var hint string
	switch {
	case err != nil && err.Hint == "":
		return false // not a number of feet
	case err != nil:
		hint = err.Hint
	default:
		hint = unit.Exact(length.Base, unit.Lookup("in"))
	}
	s.bad(mistake{code: diag.FaultyNumber, start: start, end: end,
		message:  diag.Quote(s.text[start:end]) + " is written in feet and inches",
		expected: "inches, or feet as in 3.5 ft", hint: hint, safe: true})
	return true
}

// stray reports the run of characters at s.at that a book cannot have.
func (s *scanner) stray() {
	if s.feet() || s.otherText() || s.foreignNumber() {
		return
	}
	rest := s.rest()
	for _, p := range signs {
		if strings.HasPrefix(rest, p.sign) {
			m := s.wrongSign(p.sign, diag.Quote(p.mend))
			m.hint, m.safe = p.mend, p.sure
			if p.mend == " " {
				m.message, m.expected, m.hint = "this is not an ordinary blank: "+diag.Visible(p.sign),
					"a plain blank", ""
				m.mend = &remark{m.start, m.end, " "}
			}
			s.bad(m)
			return
		}
	}
	c, n := utf8.DecodeRuneInString(rest)
	bad := c == utf8.RuneError && n == 1
	same := rest[:len(rest)-len(strings.TrimLeftFunc(rest, func(r rune) bool { return r == c }))]
	m := s.wrongSign(same, "words, quantities, texts in quotation marks, and + - * / = != < <= > >= ( ) , :")
	switch rest[0] {
	case '[':
		m.expected, m.hint = "a round parenthesis", "("
	case ']':
		m.expected, m.hint = "a round parenthesis", ")"
	case '{', '}':
		m.expected = "a line for each clause and no braces around them, and in a formula round parentheses"
		if s.braced {
			s.add(typeBad, same, m.end)
			return
		}
		s.braced = true
	case ';':
		m.expected = "a line for each clause, and nothing at its end"
	default:
		if bad {
			m.message, m.expected = diag.Quote(same)+" is not text", "a text file in UTF-8"
		}
	}
	s.bad(m)
}

// wrongSign is the mistake of a sign at s.at.
func (s *scanner) wrongSign(sign, expected string) mistake {
	return mistake{code: diag.StrayCharacter, start: s.at, end: s.at + len(sign),
		message: diag.Quote(sign) + " is not a sign that a rule book uses", expected: expected}
}
