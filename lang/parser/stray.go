package parser

// This file tells what is wrong with signs that no book has, and what people mean by them.

import (
	"math/big"
	"slices"
	"strings"
	"unicode/utf8"

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

// bent are quotation marks that word processors put in place of straight ones.
const bent = "“”„″"

// bentText is the length of a text in bent quotation marks at the start of s, 0 where there
// is none.
func bentText(s string) int {
	c, first := utf8.DecodeRuneInString(s)
	if !strings.ContainsRune(bent, c) {
		return 0
	}
	end := strings.IndexAny(s[first:], bent)
	if end < 0 {
		return 0
	}
	_, last := utf8.DecodeRuneInString(s[first+end:])
	return first + end + last
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
	hint := unit.Format(unit.RoundExact(new(big.Rat).Mul(inches, big.NewRat(25_400_000, 1))), unit.Lookup("in"))
	s.bad(mistake{code: diag.FaultyNumber, start: number.Pos.Offset, end: end, message: diag.Quote(s.text[number.Pos.Offset:end]) + " is written in feet and inches",
		expected: "inches, or feet as in 3.5 ft", hint: hint, safe: true})
	return true
}

// stray reports the run of characters at s.at that no book has.
func (s *scanner) stray() {
	rest := s.text[s.at:]
	if n := bentText(s.rest()); n > 0 {
		text := s.rest()[:n]
		s.bad(mistake{code: diag.StrayCharacter, start: s.at, end: s.at + n, message: diag.Quote(text) + " stands in bent quotation marks",
			expected: "a text in straight quotation marks", hint: `"` + strings.Trim(text, bent) + `"`, safe: true})
		return
	}
	if rest[0] == '\'' && s.feet() {
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
