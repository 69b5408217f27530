package parser

// This file tells what is wrong with signs that no book has, and what people mean by them.

import (
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// stead holds signs that people write, and what stands for them in a book.
var stead = []struct{ sign, mend string }{
	{"==", "="}, {"<>", "!="}, {"=<", "<="}, {"=>", ">="}, {"≤", "<="}, {"≥", ">="}, {"≠", "!="},
	{"×", "*"}, {"·", "*"}, {"÷", "/"}, {"−", "-"}, {"–", "-"}, {"—", "-"}, {"“", `"`}, {"”", `"`}, {"„", `"`}, {"″", `"`},
	{"&&", "and"}, {"&", "and"}, {"||", "or"}, {"|", "or"}, {"!", "not"}, {"'", `"`}, {"’", `"`}, {"‘", `"`},
	{"\u00a0", " "}, {"\u202f", " "}, {"º", "°"}, {"²", "2"}, {"³", "3"},
}

// plain are the signs of stead that can mean nothing else.
var plain = []string{"==", "<>", "≤", "≥", "≠", "×", "·", "÷", "−", "&&", "||", "º", "²", "³"}

// bent are quotation marks that word processors put in place of straight ones, and single
// are those of one stroke.
const (
	bent   = "“”„″"
	single = "'‘’‚"
)

// otherText reports a text in other quotation marks than a book's, and goes on as if it stood in those.
func (s *scanner) otherText() bool {
	rest := s.rest()
	c, first := utf8.DecodeRuneInString(rest)
	marks, kind := bent, "bent"
	if strings.ContainsRune(single, c) {
		marks, kind = single, "single"
		if n := len(s.tokens); n > 0 && s.tokens[n-1].Pos.Column == s.at {
			return false // an apostrophe, or the mark of feet
		}
	}
	if !strings.ContainsRune(marks, c) {
		return false
	}
	within := strings.IndexAny(rest[first:], marks)
	if within < 0 {
		return false
	}
	_, last := utf8.DecodeRuneInString(rest[first+within:])
	text := rest[first : first+within]
	end := s.at + first + within + last
	m := mistake{code: diag.StrayCharacter, start: s.at, end: end, message: diag.Quote(rest[:first+within+last]) + " stands in " + kind + " quotation marks",
		expected: "a text in straight quotation marks", hint: `"` + text + `"`, safe: true}
	switch {
	case s.unprintable(text, "the text"):
		s.add(typeBad, text, end)
		return true
	case strings.Contains(text, `"`):
		return false
	}
	s.report(m)
	s.add(typeText, m.hint, end)
	return true
}

// farthestUnit is how many bytes behind a number are looked at for its unit.
const farthestUnit = 40

// numbers reports numbers of clubs from one to another as in iron 5-9, and goes on as if the
// word between them were there. c is the byte at s.at.
func (s *scanner) numbers(c byte) bool {
	if c != '-' && c < '0' || c > '9' && c < utf8.RuneSelf || len(s.tokens) == 0 {
		return false
	}
	rest, tokens := s.rest(), s.tokens
	from := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
	start := s.at
	behind := rest[len(from):]
	if from == "" { // the first number was read before
		number := tokens[len(tokens)-1]
		from, start, tokens = number.Value, number.Pos.Offset, tokens[:len(tokens)-1]
		if number.Type != typeQuantity || strings.Trim(from, "0123456789") != "" {
			return false
		}
	}
	dashed := strings.TrimLeft(behind, " \t")
	to := dashed
	for _, dash := range []string{"-", "–", "—", "−", ".."} {
		if to = strings.TrimPrefix(dashed, dash); to != dashed {
			break
		}
	}
	if to == dashed || len(tokens) == 0 {
		return false
	}
	dash := dashed[:len(dashed)-len(to)]
	to = strings.TrimLeft(to, " \t")
	tail := strings.TrimLeft(to, "0123456789")
	to = to[:len(to)-len(tail)]
	low, err := strconv.Atoi(from)
	high, err2 := strconv.Atoi(to)
	kind := tokens[len(tokens)-1]
	if err != nil || err2 != nil || low >= high || kind.Type != typeName || kind.Pos.Line != s.line || languageWords()[kind.Value] {
		return false
	}
	if q, _, err := unit.Scan(to + tail[:min(len(tail), farthestUnit)]); err != nil || q.Text != to {
		return false // a quantity, or no number
	}
	end := s.at + len(rest) - len(tail)
	m := mistake{code: diag.FaultyNumber, start: start, end: end, message: diag.Quote(s.text[start:end]) + " is no number",
		expected: "numbers from one to another as in iron 5 to 9", hint: from + " to " + to, safe: true}
	switch compared := len(tokens) > 2 && tokens[len(tokens)-3].Value == "kind"; {
	case s.onLine()[0].Value == "club":
		m.expected, m.hint, m.safe = "the one number of this club", "", false
	case compared:
		m.expected, m.hint, m.safe = "one number; a condition on several is number >= "+from+" and number <= "+to, "", false
	}
	if m.hint == "" {
		s.bad(m)
		return true
	}
	s.report(m)
	if start == s.at {
		s.add(typeQuantity, from, s.at+len(from))
	}
	s.at = end - len(to)
	s.tokens = append(s.tokens, lexer.Token{Type: typeName, Value: "to", Pos: lexer.Position{Offset: s.at - len(dash), Line: s.line, Column: s.at}})
	s.add(typeQuantity, to, end)
	return true
}

// id reports an id of a case such as 5i, which is neither a name nor a number, and goes on as if it stood in
// quotation marks.
func (s *scanner) id() bool {
	line := s.onLine()
	if len(line) == 0 {
		return false
	}
	before := line[len(line)-1].Value
	switch line[0].Value {
	case "club", "set":
		if len(line) > 1 {
			return false
		}
	case "expect":
		colon := slices.ContainsFunc(line, func(t lexer.Token) bool { return t.Value == ":" })
		if colon || before != "on" && before != "of" && before != "set" && before != "," {
			return false
		}
	default:
		return false
	}
	text := s.rest()
	text = text[:wordEnd(text)]
	if text == "" {
		return false
	}
	end := s.at + len(text)
	s.report(mistake{code: diag.NameForm, start: s.at, end: end, message: diag.Quote(text) + " is neither a name nor a number",
		expected: "an id: a name, which starts with a letter, a number, or a text in quotation marks", hint: `"` + text + `"`, safe: true})
	s.add(typeText, `"`+text+`"`, end)
	return true
}

// plusMinus reports what people write for +/-, and goes on as if that stood there. c is the byte at s.at.
func (s *scanner) plusMinus(c byte) bool {
	if c != '+' && c != '-' {
		return false
	}
	rest := s.rest()
	if strings.HasPrefix(rest, "+/-") {
		return false
	}
	other := []string{"-", "–", "—", "−"}
	if c == '-' {
		other = []string{"+"}
	}
	behind := strings.TrimLeft(rest[1:], " \t")
	after, stroke := strings.CutPrefix(behind, "/")
	after = strings.TrimLeft(after, " \t")
	if !stroke && (c == '-' || behind != rest[1:] || !s.halfWidth()) {
		return false // a sum, and the sign of a number
	}
	for _, o := range other {
		if tail, ok := strings.CutPrefix(after, o); ok {
			end := s.at + len(rest) - len(tail)
			s.report(mistake{code: diag.StrayCharacter, start: s.at, end: end, message: diag.Quote(s.text[s.at:end]) + " is no sign of a rule book",
				expected: "+/- in one piece, before a half-width", hint: "+/-", safe: stroke})
			s.add(typeMark, "+/-", end)
			return true
		}
	}
	return false
}

// halfWidth tells whether a half-width may stand at s.at: behind is, or in what a case says.
func (s *scanner) halfWidth() bool {
	return slices.ContainsFunc(s.onLine(), func(t lexer.Token) bool {
		return t.Type == typeName && (t.Value == "is" || t.Value == "club" || t.Value == "value")
	})
}

// foreignNumber reports a number in the digits of another script, and goes on as if it stood in those of
// a book. c is the byte at s.at.
func (s *scanner) foreignNumber(c byte) bool {
	if c < utf8.RuneSelf && (c < '0' || c > '9') {
		return false
	}
	rest := s.rest()
	n := strings.IndexFunc(rest, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' && r != '．' && r != '٫' })
	if n < 0 {
		n = len(rest)
	}
	digits := strings.Map(func(r rune) rune {
		if !unicode.IsDigit(r) {
			return '.'
		}
		zero := r // the digits of a script stand in a row, or some rows of ten
		for unicode.IsDigit(zero - 1) {
			zero--
		}
		return '0' + (r-zero)%10
	}, rest[:n])
	if digits == rest[:n] || digits[0] == '.' {
		return false
	}
	m := mistake{code: diag.StrayCharacter, start: s.at, end: s.at + n, message: diag.Quote(rest[:n]) + " is written in digits that are no digits of a rule book",
		expected: "the digits 0 to 9", hint: digits, safe: true}
	q, length, err := unit.Scan(digits + rest[n:min(len(rest), n+farthestUnit)])
	if err != nil || length < len(digits) {
		m.safe = false
		s.bad(m)
		return true
	}
	s.report(m)
	s.add(typeQuantity, q.Text, s.at+n+length-len(digits))
	return true
}

// brace reports the braces that other languages put around a block, once for both.
func (s *scanner) brace() bool {
	rest := s.rest()
	first := len(s.tokens) == 0 || s.tokens[len(s.tokens)-1].Pos.Line < s.line
	last := strings.TrimLeft(rest[1:], " \t")
	switch {
	case rest[0] == '}' && s.braces > 0:
		s.braces--
	case rest[0] == '{' && (first || last == "" || last[0] == '#'), rest[0] == '}' && first:
		if rest[0] == '{' {
			s.braces++
		}
		s.report(mistake{code: diag.StrayCharacter, start: s.at, end: s.at + 1, message: diag.Quote(rest[:1]) + " is no sign of a rule book",
			expected: "a line for each clause, and no braces around them"})
	default:
		return false
	}
	s.at++
	return true
}

// feet reports a length such as 3' 10" whose feet were read already: a book writes it in inches.
func (s *scanner) feet() bool {
	n := len(s.tokens)
	if n == 0 || s.tokens[n-1].Type != typeQuantity || s.tokens[n-1].Pos.Column != s.at {
		return false
	}
	number := s.tokens[n-1]
	feet, _, err := unit.Scan(number.Value)
	if err != nil || feet.HasUnit {
		return false
	}
	end := s.at + 1
	inches := feet.Number.Mul(feet.Number, big.NewRat(12, 1))
	rest := s.rest()[1:]
	blanks := len(rest) - len(strings.TrimLeft(rest, " \t"))
	if more, length, err := unit.Scan(rest[blanks:]); err == nil && length > 0 && more.HasUnit && more.Unit.Name == "in" {
		inches.Add(inches, more.Number)
		end += blanks + length
	}
	hint := unit.Exact(unit.RoundExact(new(big.Rat).Mul(inches, big.NewRat(25_400_000, 1))), unit.Lookup("in"))
	s.bad(mistake{code: diag.FaultyNumber, start: number.Pos.Offset, end: end, message: diag.Quote(s.text[number.Pos.Offset:end]) + " is written in feet and inches",
		expected: "inches, or feet as in 3.5 ft", hint: hint, safe: true})
	return true
}

// stray reports the run of characters at s.at that no book has.
func (s *scanner) stray() {
	rest := s.text[s.at:]
	if rest[0] == '\'' && s.feet() || s.otherText() || (rest[0] == '{' || rest[0] == '}') && s.brace() {
		return
	}
	for _, p := range stead {
		if strings.HasPrefix(rest, p.sign) {
			m := mistake{code: diag.StrayCharacter, start: s.at, end: s.at + len(p.sign),
				message: diag.Quote(p.sign) + " is no sign of a rule book", expected: diag.Quote(p.mend), hint: p.mend, safe: slices.Contains(plain, p.sign)}
			if p.mend == " " {
				m.message, m.expected, m.hint = "a blank of another kind stands here: "+diag.Visible(p.sign), "a plain blank", ""
				m.mend, m.safe = &mend{m.start, m.end, " "}, true
			}
			s.bad(m)
			return
		}
	}
	c, n := utf8.DecodeRuneInString(rest)
	end := n
	for end < len(rest) && strings.HasPrefix(rest[end:], rest[:n]) {
		end += n
	}
	m := mistake{code: diag.StrayCharacter, start: s.at, end: s.at + end, message: diag.Quote(rest[:end]) + " is no sign of a rule book"}
	switch {
	case c == utf8.RuneError && n == 1:
		for end < len(rest) {
			c, n := utf8.DecodeRuneInString(rest[end:])
			if c != utf8.RuneError || n != 1 {
				break
			}
			end++
		}
		m.end = s.at + end
		m.message, m.expected = diag.Quote(rest[:end])+" is no text", "a text file in UTF-8"
	case strings.IndexByte("[{", rest[0]) >= 0:
		m.expected, m.hint = "a round parenthesis", "("
	case strings.IndexByte("]}", rest[0]) >= 0:
		m.expected, m.hint = "a round parenthesis", ")"
	case rest[0] == ';':
		m.expected = "a line for each clause, and nothing at its end"
	default:
		m.expected = "words, quantities, texts in quotation marks, and + - * / = != < <= > >= ( ) , :"
	}
	s.bad(m)
}
