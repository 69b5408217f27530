// Package wording holds the words that all formats of a report share: of clubs and places, limits and distances, and
// what came of a rule on one line.
//
// wording.go holds most of it, limits.go what is said of uncertainty, cases.go what is said of the cases of books.
package wording

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
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

// forbidden is what Visible and an escape made of the characters that XML cannot hold.
var forbidden = regexp.MustCompile(`(<|&lt;)U(\+|&#43;)(00(0[0-8BCEF]|1[0-9A-F])|FFF[EF])(>|&gt;)`)

// ForXML returns a text in which U+FFFD is in place of each character that XML cannot hold and Visible wrote out.
func ForXML(text []byte) []byte { return forbidden.ReplaceAll(text, []byte("\uFFFD")) }

// Counted is "1 row", "2 rows".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// Join joins those parts that are not empty.
func Join(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// Labelled is text behind its label; "" of no text.
func Labelled(label, text string) string {
	if text == "" {
		return ""
	}
	return label + " " + text
}

// Few names a few of several: "a, b, c and 2 more".
func Few(names []string, most int) string {
	if n := len(names) - most; n > 0 {
		names = append(slices.Clip(names[:most]), Counted(n, "more", "more"))
	}
	return unit.Listed(names, "and")
}

// OneLine is the text of a place in a book on one line, without comments.
func OneLine(s source.Span) string { return Visible(s.OneLine()) }

// BookLine is "spring.ferrule line 31", the book and the line of a place.
func BookLine(s source.Span) string { return fmt.Sprintf("%s line %d", Visible(s.File.Name), s.Line()) }

// Decision is a decision rule as a book writes it: "three-way at 95 %".
func Decision(r decide.Rule) string {
	if r.Kind == decide.Simple || r.Level == 0 {
		return r.Kind.String()
	}
	return r.Kind.String() + " at " + strconv.FormatFloat(r.Level*100, 'g', 6, 64) + " %"
}

// Place is the row that a result points at: the first club's, or of a set its first.
func Place(s judge.Subject, bag *club.Set) club.Row {
	switch {
	case len(s.Clubs) > 0:
		return s.Clubs[0].Place()
	case bag == nil || len(bag.Clubs) == 0:
		return club.Row{File: s.File, Row: 1}
	}
	byRow := func(a, b *club.Club) int { return cmp.Compare(a.Row, b.Row) }
	return slices.MinFunc(bag.Clubs, byRow).Place()
}

// File is the name of a sheet for a person.
func File(file string) string {
	if file == "-" {
		return "standard input"
	}
	return Visible(file)
}

// Kind is the word for what a result is about.
func Kind(k ast.SubjectKind) string {
	return [...]string{ast.OfClub: "club", ast.OfNeighbours: "neighbours", ast.OfSet: "set"}[k]
}

// Subject is what a result is about: "5 iron (i5) and 6 iron (i6)"; of a set "the set" with its name where it has one.
func Subject(s judge.Subject) string {
	if len(s.Clubs) == 0 {
		return strings.TrimSuffix("the set "+Visible(s.Set), " ")
	}
	return Clubs(s.Clubs)
}

// Clubs names clubs as a person does: "5 iron (i5), 6 iron (i6) and putter".
func Clubs(clubs []*club.Club) string {
	names := lists.Each(clubs, Called)
	return unit.Listed(names, "and")
}

// Called is the club as a person calls it: "5 iron (i5)".
func Called(c *club.Club) string { return Visible(c.Called()) }

// ValueName is what a rule is about, as the book says it: "length by plane-60".
func ValueName(r *book.Rule) string {
	switch {
	case r.Value.Expr == nil:
		return ""
	case r.Bound == nil: // in the book's own words, of which Value is the normal form
		return OneLine(r.Decl.Require.Value.Place())
	}
	return OneLine(r.Value.Expr.Place())
}

// Limit splits the limits of a result into the words and the amount: "at
// most", "46.2 in". Both are empty where there is no limit.
func Limit(r *judge.Result) (words, amount string) {
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
func between(r *judge.Result) string {
	lower, upper := r.Written(r.Lower), r.Written(r.Upper)
	if u := r.Upper.Unit; u == r.Lower.Unit && !r.Upper.Swing {
		return strings.TrimSuffix(u.Bare(lower)+" and "+u.Bare(upper)+" "+u.Name, " ")
	}
	return lower + " and " + upper
}

// Message is what a result says, on one line without the rule's name.
func Message(r *judge.Result) string {
	return Join(". ", Line(r), strings.TrimSuffix(Settled(r), "."))
}

// Line is what a result is about, and what it says.
func Line(r *judge.Result) string {
	if saysItself(r) {
		return Statement(r)
	}
	return Subject(r.Subject) + ": " + Statement(r)
}

// Statement is what a result says of its subject: "46 1/2 in by plane-60; at most 46.2 in; 0.3 in too long".
func Statement(r *judge.Result) string {
	why := Visible(JoinReasons(r.Lacks))
	switch r.Verdict {
	case decide.Unmeasured:
		return cmp.Or(why, "it lacks "+Visible(strings.Join(value.Needs(r.Lacks), ", ")))
	case decide.Exempt:
		if r.Waiver != nil {
			without := *r
			without.Verdict, without.Waiver = r.Waiver.Would, nil
			would := map[decide.Verdict]string{decide.Fail: "it would fail: ", decide.Pass: "it passes as it is: ",
				decide.TooClose: "it would be too close to call: "}[without.Verdict]
			return "waived: " + Visible(r.Waiver.Decl.Text.Value) + "; " + would + Statement(&without)
		}
		if r.Exception != nil {
			return "exempt, " + OneLine(r.Exception.Condition.Place())
		}
		return "exempt"
	}
	value, limit, over := valueWords(r), "", ""
	if value == "" {
		value = readings(r)
	} else {
		words, amount := Limit(r)
		value, limit = named(r, value), strings.TrimSpace(words+" "+amount)
	}
	if off := OffBy(r); off != "" && r.Verdict == decide.TooClose {
		value += ", could be off by " + off
	}
	if r.Verdict == decide.Fail {
		over = Distance(r)
	}
	return Join("; ", value, limit, over, why)
}

// named is a value with what it is of: "46 1/2 in by plane-60", "lie 61 deg".
func named(r *judge.Result, amount string) string {
	name := ValueName(r.Rule)
	if method, ok := strings.CutPrefix(name, lengthBy); ok && !strings.Contains(method, " ") {
		return amount + " by " + method
	}
	return name + " " + amount
}

const lengthBy = "length by "

// readings are what was read for a rule without a value, and what it requires: "loft 22 deg; required: loft > 24 deg";
// where that is as ordered "the grip is Cord; ordered: Soft".
func readings(r *judge.Result) string {
	required := ValueName(r.Rule)
	var read []string
	for _, s := range Leaves(r.Steps, nil) {
		name, amount := Visible(s.Name), StepAmount(r, s)
		switch {
		case s.What == eval.StepMissing || s.What == eval.StepCorrection:
		case len(read) == 1 && required == strings.TrimPrefix(name, "ordered ")+" = "+name:
			return "the " + read[0] + "; ordered: " + amount
		case required == name+" = ordered "+name:
			read = append(read, name+" is "+amount)
		default:
			read = append(read, name+" "+amount)
		}
	}
	return Join("; ", strings.Join(read, ", "), "required: "+required)
}

// valueWords is the value of a result, or what it is known to lie in: "9 to 12"; "" where nothing is known of it.
func valueWords(r *judge.Result) string {
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
func isSpan(s eval.Step) bool { return s.What == eval.StepSet && s.Text != "" }

// saysItself reports whether the reason of an unmeasured result starts with the club
// that it is about: "8 iron (i8) has no length".
func saysItself(r *judge.Result) bool {
	if r.Verdict != decide.Unmeasured || len(r.Subject.Clubs) != 1 || len(r.Lacks) == 0 {
		return false
	}
	l := r.Lacks[0]
	return (l.Kind == value.NoReading || l.Kind == value.Odd) && l.Club == r.Subject.Clubs[0].Called()
}

// Distance is how far a value lies beyond its limit: "0.3 in too long"; of one that fails inside, how far inside. It is
// empty where there is nothing to say.
func Distance(r *judge.Result) string {
	switch {
	case r.Over.Known():
		return r.Figure(r.Over) + beyond(r, " too long", " too heavy", " over")
	case r.Under.Known():
		return r.Figure(r.Under) + beyond(r, " too short", " too light", " under")
	case r.Verdict != decide.Fail || !r.Margin.Known():
	case r.Margin.Base > 0:
		return r.Figure(r.Margin) + " inside, too little to be sure"
	case r.Open:
		return "on the limit, which does not pass"
	default:
		return "on the limit, which is too near to be sure"
	}
	return ""
}

// beyond is the word for a length, a mass or another value beyond its limit.
func beyond(r *judge.Result, length, mass, other string) string {
	switch name := ValueName(r.Rule); {
	case name == "length" || strings.HasPrefix(name, lengthBy):
		return length
	case name == "mass":
		return mass
	}
	return other
}

// Above is an uncertainty, rounded up.
func Above(u unit.Amount) string { return u.Text(0, math.Ceil) }

// Beside is an amount and what it is held against, rounded up, with as many decimals as it takes
// that their order shows. Signs do not count.
func Beside(a, u unit.Amount) (amount, against string) {
	n := 0
	if a.Known() && u.Known() {
		order := unit.Compare(math.Abs(a.Base), u.Base)
		n = unit.Finer(func(n int) bool {
			return unit.Compare(math.Abs(a.Shown(n, math.Round)), u.Shown(n, math.Ceil)) == order
		})
	}
	return a.Text(n, math.Round), u.Text(n, math.Ceil)
}

// StepAmount is the value of a recorded fact as a bench reads it.
func StepAmount(r *judge.Result, s eval.Step) string {
	switch {
	case s.What == eval.StepDefault:
		return Visible(s.Text) + " (default)"
	case !s.Amount.Known():
		return Visible(s.Text)
	case s.What == eval.StepReading || s.What == eval.StepChart:
		return r.Written(s.Amount)
	}
	return r.Figure(s.Amount)
}

// Conflict says on one line what is wrong with the books where two places of them
// disagree on a subject, and which two.
func Conflict(c *judge.Conflict) string {
	at := ConflictPlaces(c)
	message := Visible(Conflicting(c))
	if name := c.Rule.Decl.Name.Text; !strings.Contains(message, name) {
		message += ", which " + name + " needs"
	}
	return message + ": " + bookLines(at[0], at[1])
}

// bookLines are "spring.ferrule lines 31 and 40"; of two books the line of each.
func bookLines(a, b source.Span) string {
	if a.File == b.File {
		return fmt.Sprintf("%s lines %d and %d", Visible(a.File.Name), a.Line(), b.Line())
	}
	return BookLine(a) + " and " + BookLine(b)
}

// ConflictPlaces are the two places in the book that disagree.
func ConflictPlaces(c *judge.Conflict) [2]source.Span {
	if c.Between[0] != nil && c.Between[1] != nil {
		return [2]source.Span{c.Between[0].Span, c.Between[1].Span}
	}
	return [2]source.Span{c.Rows.At, c.Rows.And}
}

// Leaves gathers the facts that come off a sheet or a chart, each once; those
// behind exceptions are left out.
func Leaves(steps, found []eval.Step) []eval.Step {
	for _, s := range steps {
		switch what := s.What; {
		case what == eval.StepReading, what == eval.StepDefault, what == eval.StepToday, what == eval.StepMean,
			what == eval.StepMissing, what == eval.StepChart, what == eval.StepCorrection, isSpan(s):
			same := func(f eval.Step) bool {
				return f.What == s.What && f.Name == s.Name && f.Club == s.Club && f.Place == s.Place &&
					f.Method == s.Method && f.Amount == s.Amount && f.Text == s.Text
			}
			if !slices.ContainsFunc(found, same) {
				found = append(found, s)
			}
		case what == eval.StepException:
			for _, leaf := range Leaves(s.Sub, nil) {
				if leaf.What == eval.StepDefault {
					found = append(found, leaf)
				}
			}
		default:
			found = Leaves(s.Sub, found)
		}
	}
	return found
}

// Waived says what became of a waiver: "of longest-club, used: Committee minute 12".
func Waived(w judge.Waived) string {
	became := map[judge.WaiverState]string{judge.MetNothing: "met nothing", judge.NotNeeded: "not needed",
		judge.Undecided: "open, as not everything was judged", judge.Used: "used",
		judge.NotYet: "begins on " + w.From.String(), judge.Over: "ended on " + w.Until.String()}
	return fmt.Sprintf("of %s, %s: %s", w.Rule.Decl.Name.Text, became[w.State], Visible(w.Decl.Text.Value))
}
