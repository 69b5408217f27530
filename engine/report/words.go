package report

// This file holds the wording that the formats share.

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Visible returns s on one line with every character made visible that a terminal
// would obey or that does not show.
func Visible(s string) string {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c >= 0x7f {
			return strings.ReplaceAll(diag.Visible(s), "\t", " ")
		}
	}
	return s
}

// appendVisible appends Visible(s) to dst.
func appendVisible(dst []byte, s string) []byte { return append(dst, Visible(s)...) }

// counted is "1 row", "2 rows".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// oneLine is the text of a place in a book on one line, without comments.
func oneLine(s source.Span) string { return Visible(s.OneLine()) }

// bookLine is "spring.ferrule line 31": a line of a rule's book, or of another that
// it rests on.
func bookLine(s source.Span, b *book.Book) string {
	return fmt.Sprintf("%s line %d", bookOf(s, b), s.Line())
}

// bookOf is the name of the book that a place is in, where a rule of b rests on it.
func bookOf(s source.Span, b *book.Book) string {
	if s.File == nil || s.File == b.File {
		return Visible(b.Name)
	}
	return Visible(s.File.Name)
}

// spanLine is the file and the line of a place in a book.
func spanLine(s source.Span) string {
	return fmt.Sprintf("%s line %d", Visible(s.File.Name), s.Line())
}

// decisionWords is a decision rule as a book writes it: "three-way at 95 %".
func decisionWords(r decide.Rule) string {
	if r.Kind == decide.Simple || r.Level == 0 {
		return r.Kind.String()
	}
	return r.Kind.String() + " at " + strconv.FormatFloat(r.Level*100, 'g', 6, 64) + " %"
}

// place is the row that a result points at: the first club's, or of a set its first.
func place(s engine.Subject, bag *club.Set) club.Row {
	if len(s.Clubs) > 0 {
		return s.Clubs[0].Place()
	}
	first := club.Row{File: s.File}
	if bag != nil {
		for _, c := range bag.Clubs {
			if p := c.Place(); first.Row == 0 || p.Row < first.Row {
				first = p
			}
		}
	}
	if first.Row == 0 {
		first.Row = 1
	}
	return first
}

// fileWords is the name of a sheet for a person.
func fileWords(file string) string {
	if file == "-" {
		return "standard input"
	}
	return Visible(file)
}

// subjectOf is the word for what a result is about.
func subjectOf(k ast.SubjectKind) string {
	switch k {
	case ast.OfClub:
		return "club"
	case ast.OfNeighbours:
		return "neighbours"
	}
	return "set"
}

// ids are the names of a subject's clubs: "i5 and i6"; of a set "the set" with its
// name where it has one.
func appendSubject(dst []byte, s engine.Subject) []byte {
	if len(s.Clubs) == 0 {
		dst = append(dst, "the set"...)
		if s.Set != "" {
			dst = appendVisible(append(dst, ' '), s.Set)
		}
		return dst
	}
	for i, c := range s.Clubs {
		switch {
		case i > 0 && i == len(s.Clubs)-1:
			dst = append(dst, " and "...)
		case i > 0:
			dst = append(dst, ", "...)
		}
		dst = appendVisible(dst, c.ID)
		if c.Setting != "" {
			dst = append(dst, " at "...)
			dst = appendVisible(dst, c.Setting)
		}
	}
	return dst
}

// valueName is what a rule is about, as the book says it: "length by plane-60".
func valueName(r *book.Rule) string {
	switch {
	case r.Value.Expr == nil:
		return ""
	case r.Bound == nil: // in the book's own words, of which Value is the normal form
		return oneLine(r.Decl.Require.Value.Place())
	}
	return oneLine(r.Value.Expr.Place())
}

// ruleTitle is the name of a rule, with its title where it has one.
func ruleTitle(r *book.Rule) string {
	if r.Decl.Title == nil {
		return r.Decl.Name.Text
	}
	return r.Decl.Name.Text + ": " + Visible(r.Decl.Title.Value)
}

// limitWords splits the limits of a result into the words and the amount: "at
// most", "46.2 in". Both are empty where there is no limit.
func limitWords(r *engine.Result) (words, amount string) {
	switch lo, up := r.Lower.Known(), r.Upper.Known(); {
	case lo && up && r.Lower.Base == r.Upper.Base:
		return "exactly", r.Written(r.Upper)
	case lo && up:
		return "between", between(r)
	case up && r.Open:
		return "below", r.Written(r.Upper)
	case up:
		return "at most", r.Written(r.Upper)
	case lo && r.Open:
		return "above", r.Written(r.Lower)
	case lo:
		return "at least", r.Written(r.Lower)
	}
	return "", ""
}

// between is "3/8 and 5/8 in": the unit is said once.
func between(r *engine.Result) string {
	lower, upper := r.Written(r.Lower), r.Written(r.Upper)
	if r.Lower.Unit != nil && r.Lower.Unit == r.Upper.Unit && !r.Lower.Swing && r.Lower.Unit.Name != "" {
		lower = strings.TrimSuffix(lower, " "+r.Lower.Unit.Name)
	}
	return lower + " and " + upper
}

// appendMessage appends what a result says, on one line without the rule's name.
func appendMessage(dst []byte, r *engine.Result) []byte {
	if !saysItself(r) {
		dst = append(appendSubject(dst, r.Subject), ": "...)
	}
	switch {
	case r.Verdict == decide.Unmeasured:
		for i, why := range r.Reasons {
			if i > 0 {
				dst = append(dst, "; "...)
			}
			dst = appendVisible(dst, why)
		}
		if len(r.Reasons) == 0 {
			dst = append(append(dst, "it lacks "...), Visible(strings.Join(r.Needs, ", "))...)
		}
		return dst
	case r.Verdict == decide.Exempt:
		if r.Exception != nil {
			return append(append(dst, "exempt, "...), oneLine(r.Exception.Condition.Place())...)
		}
		return append(dst, "exempt"...)
	case valueWords(r) != "":
		dst = append(dst, valueName(r.Rule)...)
		dst = append(dst, ' ')
		dst = append(dst, valueWords(r)...)
		if words, amount := limitWords(r); words != "" {
			dst = append(append(append(append(dst, ", "...), words...), ' '), amount...)
		}
	default:
		dst = append(dst, valueName(r.Rule)...)
		if r.Verdict == decide.Fail {
			dst = append(dst, " does not hold"...)
		} else if r.Verdict == decide.Pass {
			dst = append(dst, " holds"...)
		}
		sep := " with "
		for _, s := range leaves(r.Steps, nil) {
			if s.What == engine.StepMissing || s.What == engine.StepCorrection {
				continue
			}
			dst = append(append(append(append(dst, sep...), Visible(s.Name)...), ' '), stepAmount(r, s)...)
			sep = ", "
		}
	}
	if r.Verdict == decide.TooClose {
		dst = append(dst, ", too close to call"...)
		if words := settled(r); words != "" {
			dst = append(append(dst, ". "...), strings.TrimSuffix(words, ".")...)
		}
		return dst
	}
	if words, amount := distance(r); words != "" {
		dst = append(append(append(append(dst, ", "...), words...), ' '), amount...)
	}
	for _, why := range r.Reasons {
		dst = appendVisible(append(dst, "; "...), why)
	}
	return dst
}

// valueWords is the value of a result, or what it is known to lie in: "9 to 12"; "" where nothing is known of it.
func valueWords(r *engine.Result) string {
	if r.Value.Known() {
		return r.Figure(r.Value)
	}
	for _, s := range r.Steps {
		if isSpan(s) {
			return Visible(s.Text)
		}
	}
	return ""
}

// isSpan reports whether a step says what a value of the set lies in.
func isSpan(s engine.Step) bool { return s.What == engine.StepSet && s.Text != "" }

// saysItself reports whether the reason of an unmeasured result starts with the club
// that it is about: "i8 has no length".
func saysItself(r *engine.Result) bool {
	return r.Verdict == decide.Unmeasured && len(r.Subject.Clubs) == 1 && len(r.Reasons) > 0 &&
		(strings.HasPrefix(r.Reasons[0], r.Subject.Clubs[0].ID+" ") || strings.HasPrefix(r.Reasons[0], r.Subject.Clubs[0].ID+": "))
}

// distance is how far a value lies beyond its limit: "over by", "0.3 in"; of one that fails inside, how
// far inside. Both are empty where there is nothing to say.
func distance(r *engine.Result) (words, amount string) {
	switch {
	case r.Over.Known():
		return "over by", r.Figure(r.Over)
	case r.Under.Known():
		return "under by", r.Figure(r.Under)
	case r.Verdict != decide.Fail || !r.Margin.Known():
	case r.Margin.Base > 0:
		return "inside by", r.Figure(r.Margin) + ", too little to be sure"
	case r.Open:
		return "on the limit", "which does not pass"
	default:
		return "on the limit", "which is too near to be sure"
	}
	return "", ""
}

// above is an uncertainty, rounded up.
func above(u engine.Amount) string { return u.Text(0, math.Ceil) }

// beside is an amount and what it is held against, rounded up, with as many decimals as it takes
// that their order shows. Signs do not count.
func beside(a, u engine.Amount) (amount, against string) {
	n := 0
	if a.Known() && u.Known() {
		order := unit.Compare(math.Abs(a.Base), u.Base)
		n = engine.Finer(func(n int) bool {
			return unit.Compare(math.Abs(a.Shown(n, math.Round)), u.Shown(n, math.Ceil)) == order
		})
	}
	return a.Text(n, math.Round), u.Text(n, math.Ceil)
}

// stepAmount is the value of a recorded fact as a bench reads it.
func stepAmount(r *engine.Result, s engine.Step) string {
	switch {
	case !s.Amount.Known():
		return Visible(s.Text)
	case s.What == engine.StepReading || s.What == engine.StepChart:
		return r.Written(s.Amount)
	}
	return r.Figure(s.Amount)
}

// Conflict says on one line what is wrong with the books where two places of them
// disagree on a subject, and which two.
func Conflict(c *engine.Conflict) string {
	at := conflictPlaces(c)
	message := Visible(c.Message)
	if name := c.Rule.Decl.Name.Text; !strings.Contains(message, name) {
		message += ", which " + name + " needs"
	}
	first, second := bookLine(at[0], c.Rule.Book), bookLine(at[1], c.Rule.Book)
	if bookOf(at[0], c.Rule.Book) == bookOf(at[1], c.Rule.Book) {
		return fmt.Sprintf("%s: %s lines %d and %d", message, bookOf(at[0], c.Rule.Book), at[0].Line(), at[1].Line())
	}
	return fmt.Sprintf("%s: %s and %s", message, first, second)
}

// conflictPlaces are the two places in the book that disagree.
func conflictPlaces(c *engine.Conflict) [2]source.Span {
	if c.Between[0] != nil && c.Between[1] != nil {
		return [2]source.Span{c.Between[0].Span, c.Between[1].Span}
	}
	return c.Other
}
