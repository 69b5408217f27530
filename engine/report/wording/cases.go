package wording

// This file words the expectations of cases, and what came of them.

import (
	"fmt"
	"strings"

	"ferrule/engine/space"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/lists"
)

// CaseTitle is the title of a case; without one its line.
func CaseTitle(c *ast.Case) string {
	if c.Title != nil && c.Title.Value != "" {
		return Visible(c.Title.Value)
	}
	return fmt.Sprintf("line %d", c.Span.Line())
}

// OnCase is the subject of an expectation as the book writes it: "a, b", "set one".
func OnCase(e *ast.Expect) string {
	if e.OnSet {
		if e.Set != nil {
			return "set " + Visible(e.Set.Value)
		}
		return "set"
	}
	var ids []string
	for _, on := range e.On {
		id := Visible(on.ID.Value)
		if on.Of != nil {
			id += " of " + Visible(on.Of.Value)
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, ", ")
}

// Expected is what an expectation asks for, as the book writes it: "pass value 46 in +/- 0.1 in excepted".
func Expected(e *ast.Expect) string { return OneLine(e.Verdict.Span.To(e.Span)) }

// Got is what came of an expectation, in the same order; of what was not asked for the
// verdict alone is said.
func Got(o *trial.Outcome) string {
	if o.Got == nil {
		return "none"
	}
	s := o.Got.Verdict.String()
	if o.Expect.Value != nil && o.Got.Value.Known() {
		s += " value " + o.Got.Value.String()
	}
	if o.Expect.Excepted && o.Got.Exception != nil {
		s += " excepted"
	}
	if o.Expect.Mend != nil && o.Got.Mend != "" {
		s += ` mend "` + Visible(o.Got.Mend) + `"`
	}
	return s
}

// Gaps are the words for what no case shows.
func Gaps(gaps []trial.Gap) []string {
	return lists.Each(gaps, trial.Gap.String)
}

// Rows are the rows of a witness, a line for each club; like clubs share one.
func Rows(rows []space.Row) []string {
	var lines []string
	for i := 0; i < len(rows); {
		first, what := rowWords(rows[i])
		last := first
		for i++; i < len(rows); i++ {
			id, words := rowWords(rows[i])
			if words != what {
				break
			}
			last = id
		}
		if last != first {
			first += " to " + last
		}
		lines = append(lines, first+": "+what)
	}
	return lines
}

// rowWords is the id of a row and the club as a case of a book would describe it.
func rowWords(r space.Row) (id, words string) {
	var parts []string
	name := ""
	for _, c := range r {
		text := Visible(c.Text)
		switch c.Name {
		case "id":
			id = text
		case "club", "kind":
			name = text
		case "number", "mark":
			name += " " + text
		case "by", "ordered by":
			if len(parts) > 0 {
				parts[len(parts)-1] += " by " + text
			}
		default:
			if text == "" {
				c.Name, text = "no", c.Name
			}
			parts = append(parts, c.Name+" "+text)
		}
	}
	return id, strings.Join(append([]string{name}, parts...), ", ")
}
