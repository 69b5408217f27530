package parser

// This file finds out what a line that starts no clause belongs to. Most often the clause above goes on there, where no
// clause can go on.

import (
	"maps"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

const goesOnBelow = `A clause goes on below where a line ends in an operator, ",", ":" or "(".`

// maxBelow is how many lines below a clause are tried.
const maxBelow = 8

// stray notes a line that starts no clause, and the clause above it.
func (l *lowerer) stray(above, line clause) {
	at := above[0].Pos.Offset
	l.strays[at] = append(l.strays[at], line)
}

// trails reports whether a word continues what is before it, so that it does not start a line.
func trails(word string) bool { return word != "" && (structural[word] || unit.Lookup(word) != nil) }

// claim reads a clause once more with the lines that stray below it, one by one. n and m are what
// came of it alone. Where the clause was cut short, a line that goes on with it is not reported
// by itself; where it was not, the line is reported, and the clause is that of both.
func claim[N any](l *lowerer, c clause, name string, lines []clause, how func(*reader) *N, n *N, m *mistake) *N {
	if m != nil && m.code != diag.CutShort {
		l.report(l.once(*m, c))
		return nil
	}
	whole, last, claimed := c, m, 0
	for _, line := range lines[:min(len(lines), maxBelow)] {
		if last == nil && !trails(line.word()) || line.bad() {
			break
		}
		joined := join(whole, line)
		more, wrong := parse(l.parser, joined, name, how)
		if wrong != nil && wrong.code != diag.CutShort &&
			(last == nil || wrong.start <= line[0].Pos.Offset || l.misspeltClause(line)) {
			break
		}
		if last != nil {
			claimed++
		}
		n, whole, last = more, joined, wrong
	}
	l.strays[c[0].Pos.Offset] = lines[claimed:]
	switch {
	case m == nil:
		return n
	case len(whole) > len(c):
		l.report(m.goesOn(whole[len(c):]))
		if last != nil && last.code != diag.CutShort {
			l.report(l.once(*last, whole))
		}
	default:
		l.report(*m)
	}
	return n
}

// misspeltClause reports whether a line starts with what is most likely a word of the declaration's clauses, misspelt.
func (l *lowerer) misspeltClause(line clause) bool {
	_, near := diag.Nearest(line.word(), l.words)
	return near && !ast.IsReserved(line.word())
}

// join is a clause with the line below it; a number at its end has the unit that the line starts with.
func join(c, line clause) clause {
	number, word := c[len(c)-1], line[0]
	joined := slices.Clone(c)
	if q, _, err := unit.Scan(number.Value); number.Type == typeQuantity && word.Type == typeName && err == nil &&
		!q.HasUnit {
		if q, n, err := unit.Scan(number.Value + " " + word.Value); err == nil && n > len(number.Value) && q.HasUnit {
			joined[len(joined)-1].Value = q.Text
			joined[len(joined)-1].Pos.Column = word.Pos.Column
			line = line[1:]
		}
	}
	return append(joined, line...)
}

// goesOn is the mistake of a clause that is cut short and goes on below.
func (m mistake) goesOn(below clause) mistake {
	m.expected = "the clause on one line"
	m.notes = append(m.notes, goesOnBelow)
	m.related = append(m.related, remark{below[0].Pos.Offset, below[len(below)-1].Pos.Column, "it goes on here"})
	return m
}

// unclaimed reports the stray lines of a declaration that go on no clause.
func (l *lowerer) unclaimed(body []clause) {
	for _, at := range slices.Sorted(maps.Keys(l.strays)) {
		for _, line := range l.strays[at] {
			word := line.word()
			if l.word == "chart" && word != "" && !structural[word] && !ast.IsClauseWord(word) {
				l.row(line)
				continue
			}
			l.unknownClause(line, body)
		}
	}
}
