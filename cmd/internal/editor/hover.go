package editor

// This file explains what is at a place: quantities, names, properties, words of the language and mistakes.

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"ferrule/engine/compare"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// hover explains what is at a place, and what is wrong there.
func hover(r *request) (any, error) {
	b, offset := r.doc.Books(), r.doc.Offset(r.Position)
	c, i, ok := clauseAt(r.doc.clauses(), offset)
	var parts []string
	at := source.Span{}
	if ok {
		at = c.Tokens[i].Span
		parts = append(parts, b.explained(c, i)...)
	}
	for _, f := range r.concerning(r.doc.URI, r.doc) {
		if f.Span.Start <= offset && offset <= f.Span.End {
			parts = append(parts, told(f.Diagnostic))
			at = at.To(source.Span{File: b.Root().File, Start: f.Span.Start, End: f.Span.End})
		}
	}
	if len(parts) == 0 {
		return nil, nil
	}
	return map[string]any{"range": r.doc.Range(at),
		"contents": map[string]string{"kind": "markdown", "value": strings.Join(parts, "\n\n")}}, nil
}

// told is what a mistake says beside its message, and what is to be said of its code, in Markdown. There four blanks
// set examples off as they do on a page.
func told(d diag.Diagnostic) string {
	var lines []string
	if d.Expected != "" {
		lines = append(lines, "Expected: "+d.Expected)
	}
	if d.Hint != "" {
		lines = append(lines, "Did you mean: `"+d.Hint+"`")
	}
	e, _ := diag.Explain(d.Code)
	return strings.Join(append(append(lines, d.Notes...), e.Page()), "\n\n")
}

// fenced is a text unchanged, in Markdown.
func fenced(text string) string { return "```ferrule\n" + strings.TrimRight(text, "\n") + "\n```" }

// explained says what a token of a clause is; nothing where there is nothing to say.
func (b *books) explained(c parser.Clause, i int) []string {
	t := c.Tokens[i]
	if n, ok := b.named(t.Span.Start); ok && n.At.Start == t.Span.Start {
		return b.declared(n)
	}
	switch p, known := catalogue.NewSchema().Lookup(t.Text); {
	case t.Kind == parser.Quantity:
		return otherUnits(t.Text)
	case i == 0 && parser.Form(c.Declaration, t.Text) != "":
	case c.Declaration == "use" && i == 1:
		for _, u := range b.Root().Uses {
			if u.Decl.Span.Start <= t.Span.Start && t.Span.End <= u.Decl.Span.End && u.Book.Tree.Header != nil {
				return []string{fenced(u.Book.Tree.Header.Span.Text())}
			}
		}
	case t.Kind != parser.Word:
		return nil
	case known && !(i > 0 && c.Tokens[i-1].Text == "per"):
		return []string{property(p)}
	case catalogue.KindOf(t.Text) != catalogue.NoKind, t.Text == "club", t.Text == "clubs":
		return []string{"A kind of club; `club` is any of " + unit.Listed(catalogue.KindNames(), "and") + "."}
	}
	word := t.Text
	form := wordForm(word)
	if i == 0 || form == "" {
		form = parser.Form(c.Declaration, first(c))
	}
	example := example(c.Declaration, word)
	if form == "" || example == "" ||
		wordForm(word) == "" && colorOf(c, i) == variableToken && c.Tokens[i-1].Text != "per" { // an id
		return nil
	}
	return []string{"`" + form + "`", "For example:\n" + fenced(example)}
}

// first is the word that a clause starts with; that of a row of a chart is "row".
func first(c parser.Clause) string {
	switch {
	case c.Declaration == "chart" && !c.Starts:
		return "row"
	case c.Tokens[0].Text == "else" && len(c.Tokens) > 1:
		return c.Tokens[1].Text
	}
	return c.Tokens[0].Text
}

// examples are the clauses of the examples in the reference of the language.
var examples = sync.OnceValue(func() (all []parser.Clause) {
	for _, block := range strings.Split(lang.Reference, "\n```ferrule\n")[1:] {
		text, _, _ := strings.Cut(block, "\n```")
		all = append(all, parser.Clauses(source.NewFile("", text))...)
	}
	return all
})

// example is a clause that shows a word, best one of such a declaration that starts with it.
func example(declaration, word string) string {
	best, show := 0, ""
	for _, c := range examples() {
		fit := 0
		for i, t := range c.Tokens {
			if t.Kind == parser.Word && t.Text == word {
				fit = max(fit, 1)
				if i == 0 {
					fit = 2
				}
			}
		}
		if fit > 0 && c.Declaration == declaration {
			fit += 3
		}
		if fit > best {
			best, show = fit, c.Place().Text()
		}
	}
	return show
}

// property says what a property that ferrule knows is.
func property(p catalogue.Property) string {
	out := fmt.Sprintf("**%s**: %s", p.Name, aboutProperty(p.Name))
	if !p.Sort.Numeric() || p.ID == catalogue.Number {
		return out
	}
	if u := unit.Base(p.Sort.Dim()).Name; p.Sort == catalogue.SwingWeight {
		out += " Written like D2; a difference in pts."
	} else {
		out += " Unit: " + u + " or another one of the same kind."
	}
	if r := catalogue.RangeOf(&p, catalogue.NoKind); !math.IsInf(r.Usual.High, 0) {
		if r.Usual != r.Possible {
			out += " Usual: " + r.Usual.Text(p) + "."
		}
		out += " Possible: " + r.Possible.Text(p) + "."
	}
	return out
}

// unitsShown are the units in which a quantity is shown besides its own.
var unitsShown = []string{"in", "mm", "ft", "g", "oz", "lb", "kg", "grain", "us", "ms", "s", "cpm", "Hz", "in2", "mm2",
	"cm3", "in3", "g cm2", "oz in2", "oz in", "g in", "g/in", "g/cm"}

// otherUnits is a quantity in the other units; nothing for a number without a unit.
func otherUnits(text string) []string {
	q, _, err := unit.Scan(text)
	if err != nil || !q.HasUnit {
		return nil
	}
	if q.SwingWeight {
		return []string{text + " = " + unit.Format(q.Base(), unit.Lookup("pts")) + " above A0"}
	}
	out := text
	for _, name := range unitsShown {
		u := unit.Lookup(name)
		if u.Dim != q.Dim() || u == q.Unit {
			continue
		}
		shown := unit.Format(q.Base(), u)
		if name == "ft" {
			feet := math.Floor(u.FromBase(q.Base()))
			if feet < 1 {
				continue
			}
			shown = fmt.Sprintf("%g ft %s", feet, unit.Format(q.Base()-u.ToBase(feet), unit.Lookup("in")))
		}
		out += " = " + shown
	}
	if out == text {
		return nil
	}
	return []string{out}
}

// declared says what a name means: its declaration, how a method takes a length, and what a rule lets pass.
func (b *books) declared(n book.Named) []string {
	var out []string
	for _, of := range b.All {
		if of.File != n.Declared.File {
			continue
		}
		for _, d := range of.Tree.Decls {
			if at := d.Place(); at.Start <= n.Declared.Start && n.Declared.End <= at.End && n.At != n.Declared {
				out = append(out, fenced(at.Text()))
			}
		}
		for _, m := range of.Methods {
			if m.Decl.Name.Span == n.Declared && !m.Faulty {
				out = append(out, picture.MethodInWords(m))
			}
		}
		for _, r := range of.Rules {
			if r.Decl.Name.Span == n.Declared && !r.Facts.Faulty {
				out = append(out, limits(r, b.Loaded)...)
			}
		}
	}
	return out
}

// limits says what a rule lets pass as it decides, and what its exceptions do; nothing for a condition.
func limits(r *book.Rule, l *load.Loaded) []string {
	if r.Bound == nil {
		return nil
	}
	by := judge.DecisionOf(r)
	out := []string{passes(r, r.Bound, l) + ".", "Decision: " + wording.Decision(by)}
	if !r.Stated {
		out[1] += " (the book states none)"
	}
	out[1] += "."
	for _, e := range r.Unless {
		gives := "exempt"
		if e.Bound != nil {
			gives = passes(r, e.Bound, l)
		}
		out = append(out, "Unless "+e.When.Expr.Place().OneLine()+": "+strings.ToLower(gives[:1])+gives[1:]+".")
	}
	return out
}

// passes says which values a bound of a rule lets pass. For the length of a club it counts how sure a reading by the
// rule's own method is, if that is the same for all clubs.
func passes(r *book.Rule, bound *book.Bound, l *load.Loaded) string {
	alone, of := *r, r.Book.Sound()
	alone.Book, alone.Bound, alone.Unless = of, bound, nil
	of.Rules, of.Waivers = []*book.Rule{&alone}, nil
	if r.Among.Decl != nil {
		every := *r.Among.Decl
		every.Where = nil
		alone.Among.Decl = &every
	}
	if f, ok := r.Value.Form(); ok && f.Method != nil && f.Property.ID == catalogue.LengthID {
		method := f.Method.Decl.Name.Text
		risk, err := compare.NewRisk(judge.Compile([]*book.Book{of}, l.Schema), &alone, book.NoDay, method, nil,
			compare.Words{Reasons: wording.JoinReasons, Conflict: wording.Conflicting})
		if err == nil && risk.Decision.Kind != decide.Simple {
			up, fails, _ := strings.Cut(wording.Acceptance(&risk.Result, false), ", fails")
			return "Passes " + up + " by " + method + strings.TrimSuffix(", fails"+fails, ", fails")
		}
	}
	limit := bound.Words()
	if low, high := bound.Low, bound.High; bound.Fixed() {
		res := judge.Result{Open: bound.Open()}
		if low != nil {
			res.Lower = unit.Amount{Base: low.Fixed.Base, Unit: bound.Unit}
		}
		if high != nil {
			res.Upper = unit.Amount{Base: high.Fixed.Base, Unit: bound.Unit}
		}
		words, amount := wording.Limit(&res)
		limit = words + " " + amount
	}
	return "Limit: " + limit
}

// clauseAt is the clause at a place, with the number of its token there.
func clauseAt(clauses []parser.Clause, offset int) (at parser.Clause, i int, ok bool) {
	for _, c := range clauses {
		for n, t := range c.Tokens {
			if t.Span.Start <= offset && offset <= t.Span.End && (!ok || at.Tokens[i].Kind == parser.Mark) {
				at, i, ok = c, n, true
			}
		}
	}
	return at, i, ok
}
