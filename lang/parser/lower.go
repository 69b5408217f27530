package parser

// This file reads declarations, clause by clause, into the nodes of the tree.

import (
	"cmp"
	"slices"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// lowerer makes one declaration.
type lowerer struct {
	*parser
	span       source.Span      // of the declaration
	word       string           // that starts it
	words      []string         // that start its clauses
	broken     bool             // a mistake in it was reported
	passedOver bool             // a line of it starts with no word of its clauses
	strays     map[int][]clause // these lines, as long as nothing claims them, by where the clause above starts
}

// declarations read the first line and the clauses of a declaration, by its word.
var declarations = map[string]func(l *lowerer, line clause, body []clause) ast.Decl{
	"rulebook": (*lowerer).header, "use": (*lowerer).use, "group": (*lowerer).group, "property": (*lowerer).property,
	"chart": (*lowerer).chart, "let": (*lowerer).let, "method": (*lowerer).method, "allowance": (*lowerer).allowance,
	"head": (*lowerer).head, "rule": (*lowerer).rule, "advice": (*lowerer).rule, "waive": (*lowerer).waive,
	"case": (*lowerer).testCase,
}

// declare reads a declaration and adds it to the book.
func (l *lowerer) declare(line clause, body []clause) {
	d := declarations[l.word](l, line, body)
	if name := ast.NameOf(d); name != nil {
		*name = l.secondWord(line)
	}
	*d.Declared() = ast.Declaration{Span: l.span, Word: l.word, Broken: l.broken}
	if h, ok := d.(*ast.Header); ok {
		l.book.Header = h
		return
	}
	l.book.Decls = append(l.book.Decls, d)
}

// read makes the node of a clause; nil where the clause is wrong, which breaks the declaration.
func read[N any](l *lowerer, c clause, how func(*reader) *N) *N { return readAs(l, c, c.word(), how) }

// readAs is read for a clause whose form goes by another name than its first word.
func readAs[N any](l *lowerer, c clause, name string, how func(*reader) *N) *N {
	n, m := parse(l.parser, c, name, how)
	if n == nil {
		l.broken = true
	}
	if all := l.strays[c[0].Pos.Offset]; len(all) > 0 && !c.bad() {
		return claim(l, c, name, all, how, n, m)
	}
	if m != nil {
		l.report(l.once(*m, c))
	}
	return n
}

func (p *parser) name(t lexer.Token) ast.Name { return ast.Name{Span: p.place(t), Text: t.Value} }

func (p *parser) text(t lexer.Token) ast.Text { return ast.Text{Span: p.place(t), Value: unquoted(t)} }

func (p *parser) place(t lexer.Token) source.Span {
	return source.Span{File: p.file, Start: t.Pos.Offset, End: t.Pos.Column}
}

// some is the node of a token that may be left out.
func some[N any](t *lexer.Token, node func(lexer.Token) N) *N {
	if t == nil {
		return nil
	}
	n := node(*t)
	return &n
}

// names are the names of a list, between its commas.
func (p *parser) names(list []lexer.Token) []ast.Name {
	var names []ast.Name
	for i := 0; i < len(list); i += 2 {
		names = append(names, p.name(list[i]))
	}
	return names
}

func (l *lowerer) dateClause(c clause) *ast.DateClause {
	return read(l, c, func(r *reader) *ast.DateClause {
		r.skip()
		return &ast.DateClause{Span: l.all(c), Date: l.text(r.must("<date>"))}
	})
}

func (l *lowerer) textClause(c clause) *ast.TextClause {
	return read(l, c, func(r *reader) *ast.TextClause {
		r.skip()
		return &ast.TextClause{Span: l.all(c), Text: l.text(r.must("<text>"))}
	})
}

func (l *lowerer) quantityClause(c clause) *ast.QuantityClause {
	return read(l, c, func(r *reader) *ast.QuantityClause {
		words := strings.Fields(forms.of(r.skip().Value))
		for _, word := range words[1 : len(words)-1] { // between its own word and the quantity
			r.must(word)
		}
		return &ast.QuantityClause{Span: l.all(c), Value: r.sum()}
	})
}

// fill reads a clause that holds one day, text or quantity into its place of those by their words.
func (l *lowerer) fill(places map[string]any, c clause) {
	switch at := places[c.word()].(type) {
	case **ast.DateClause:
		*at = l.dateClause(c)
	case **ast.TextClause:
		*at = l.textClause(c)
	case **ast.QuantityClause:
		*at = l.quantityClause(c)
	case *[]*ast.TextClause:
		add(at, l.textClause(c))
	}
}

// add adds a node to a list, unless there is none.
func add[N any](list *[]*N, n *N) {
	if n != nil {
		*list = append(*list, n)
	}
}

func (l *lowerer) header(line clause, body []clause) ast.Decl {
	h := &ast.Header{}
	if title := l.textClause(line); title != nil {
		h.Title = &title.Text
	}
	plain := map[string]any{"edition": &h.Edition, "event": &h.Event, "contact": &h.Contact, "butt-mass": &h.ButtMass,
		"tip-mass": &h.TipMass, "extension": &h.Extension}
	for _, c := range body {
		switch c.word() {
		case "decision":
			h.Decision = l.decision(c)
		case "language":
			h.Language = read(l, c, func(r *reader) *ast.Language {
				r.skip()
				edition := r.must("<quantity>")
				value, _, _ := unit.Scan(edition.Value)
				return &ast.Language{Span: l.all(c),
					Edition: ast.Quantity{Formula: ast.Formula{Span: l.place(edition)}, Value: value}}
			})
		default:
			l.fill(plain, c)
		}
	}
	return h
}

func (l *lowerer) use(line clause, _ []clause) ast.Decl {
	return cmp.Or(read(l, line, func(r *reader) *ast.Use {
		g := byGrammar[useLine](r)
		return &ast.Use{Shipped: some(g.Shipped, l.name), Path: some(g.Path, l.text), Only: l.names(g.Only),
			Without: l.names(g.Without)}
	}), &ast.Use{})
}

// secondWord is the name that a first line gives, which is known even where the rest of the line is wrong. It is empty
// where there is no name.
func (l *lowerer) secondWord(line clause) ast.Name {
	if len(line) > 1 && line[1].Type == typeName {
		return l.name(line[1])
	}
	return ast.Name{Span: l.place(line[0])}
}

// title is the text behind the name that a first line gives; nil where there is none.
func (l *lowerer) title(line clause) *ast.Text {
	text := read(l, line, func(r *reader) **ast.Text {
		r.declares()
		var text *ast.Text
		if r.peek().Type == typeText {
			text = r.text()
		}
		return &text
	})
	if text == nil {
		return nil
	}
	return *text
}

func (l *lowerer) group(line clause, _ []clause) ast.Decl {
	return cmp.Or(read(l, line, func(r *reader) *ast.Group {
		r.declares("=")
		return &ast.Group{Selector: r.selector()}
	}), &ast.Group{})
}

func (l *lowerer) property(line clause, _ []clause) ast.Decl {
	return cmp.Or(read(l, line, func(r *reader) *ast.Property {
		d := &ast.Property{}
		r.declares()
		if !r.is("else") {
			sort := r.property("what the property holds, as in angle, mass, text or length by METHOD")
			d.Sort, d.Method = &sort.Name, sort.By
			if r.take("one") {
				r.must("of")
				for more := true; more; more = r.take(",") {
					text := l.text(r.must("<text>"))
					d.Texts = append(d.Texts, &text)
				}
			}
		}
		if start := r.peek().Pos.Offset; r.take("else") {
			d.Else = &ast.Default{}
			t := r.peek()
			if t.Type == typeName || t.Type == typeQuantity { // what may stand there goes by the sort
				d.Else.Word = some(&t, l.name)
				r.skip()
			} else {
				t = r.must("<text>", "yes", "no", "left", "right")
				d.Else.Text = some(&t, l.text)
			}
			r.mark(&d.Else.Span, start)
		}
		return d
	}), &ast.Property{})
}

func (l *lowerer) chart(line clause, body []clause) ast.Decl {
	d := cmp.Or(read(l, line, func(r *reader) *ast.Chart {
		r.declares("of")
		of := r.ref()
		r.must("per")
		r.must("club")
		return &ast.Chart{Of: of}
	}), &ast.Chart{})
	for _, c := range body {
		add(&d.Rows, l.row(c))
	}
	return d
}

// row reads a row of a chart.
func (l *lowerer) row(c clause) *ast.ChartRow {
	return readAs(l, c, "row", func(r *reader) *ast.ChartRow {
		row := &ast.ChartRow{Span: l.all(c), Items: r.list()}
		r.must("=")
		row.Value, row.Where = r.sum(), r.after("where", r.formula)
		return row
	})
}

func (l *lowerer) let(line clause, _ []clause) ast.Decl {
	return cmp.Or(read(l, line, func(r *reader) *ast.Let {
		r.declares("=")
		return &ast.Let{Value: r.formula()}
	}), &ast.Let{})
}

// tops are where a length ends, by the words for it.
var tops = map[string]ast.TopKind{"butt": ast.TopButt, "cap edge": ast.TopCapEdge, "cap end": ast.TopCapEnd}

func (l *lowerer) method(line clause, body []clause) ast.Decl {
	d := &ast.Method{Title: l.title(line)}
	for _, c := range body {
		switch c.word() {
		case "covers":
			d.Covers = read(l, c, func(r *reader) *ast.Covers {
				r.skip()
				r.must("every")
				return &ast.Covers{Span: l.all(c), Selector: r.selector()}
			})
		case "stop":
			d.Stop = read(l, c, func(r *reader) *ast.Stop {
				g := byGrammar[stopClause](r)
				stop := &ast.Stop{Span: l.all(c), Kind: ast.StopAtAngle, Angle: optional(l, g.Angle)}
				if g.Along {
					stop.Kind = ast.StopAlongAxis
				} else if g.Lie {
					stop.Kind = ast.StopAtLie
				}
				return stop
			})
		case "top":
			d.Top = read(l, c, func(r *reader) *ast.Top {
				return &ast.Top{Span: l.all(c), Kind: tops[strings.Join(byGrammar[topClause](r).At, " ")]}
			})
		default:
			l.fill(map[string]any{"reads": &d.Reads, "lie-set": &d.LieSet, "ruler": &d.Ruler}, c)
		}
	}
	return d
}

func (l *lowerer) allowance(line clause, _ []clause) ast.Decl {
	d := cmp.Or(read(l, line, func(r *reader) *ast.Allowance {
		r.skip()
		r.must("cap", "crown")
		return &ast.Allowance{Amount: r.sum(), Within: r.after("within", r.sum), Where: r.after("where", r.formula)}
	}), &ast.Allowance{})
	d.Of = l.secondWord(line)
	return d
}

func (l *lowerer) head(line clause, body []clause) ast.Decl {
	d := cmp.Or(read(l, line, func(r *reader) *ast.Head {
		r.skip()
		return &ast.Head{Items: r.list(), Where: r.after("where", r.formula)}
	}), &ast.Head{})
	for _, c := range body {
		d.Shape[slices.Index(ast.ShapeWords[:], c.word())] = read(l, c, func(r *reader) *ast.Measure {
			r.skip()
			return &ast.Measure{Span: l.all(c), Value: r.sum(), Within: r.after("within", r.sum)}
		})
	}
	return d
}

func (l *lowerer) rule(line clause, body []clause) ast.Decl {
	d := &ast.Rule{Advice: l.word == "advice", Title: l.title(line)}
	for _, c := range body {
		switch c.word() {
		case "for":
			d.For = read(l, c, func(r *reader) *ast.For { return l.subject(c, byGrammar[forClause](r)) })
		case "require":
			d.Require = read(l, c, func(r *reader) *ast.Require {
				r.skip()
				n := &ast.Require{Span: l.all(c), Value: r.formula()}
				if t := r.peek(); t.Type == typeName && slices.Contains(boundWords, t.Value) {
					n.Bound = l.bound(byGrammar[bound](r))
				}
				return n
			})
		case "unless":
			add(&d.Unless, read(l, c, func(r *reader) *ast.Unless {
				n := &ast.Unless{Span: l.all(c), Else: r.take("else")}
				r.must("unless")
				n.Condition = r.formula()
				r.needs(":")
				n.Bound = l.bound(byGrammar[outcome](r).Bound)
				return n
			}))
		case "decision":
			d.Decision = l.decision(c)
		case "mend":
			add(&d.Mends, read(l, c, func(r *reader) *ast.Mend {
				r.skip()
				n := &ast.Mend{Span: l.all(c), Side: mendSides[r.peek().Value]}
				if n.Side != 0 {
					r.next()
				}
				n.Text = l.text(r.must("<text>"))
				return n
			}))
		default:
			l.fill(map[string]any{"from": &d.From, "until": &d.Until, "cite": &d.Cites}, c)
		}
	}
	return d
}

func (l *lowerer) subject(c clause, g *forClause) *ast.For {
	f := &ast.For{Kind: ast.OfSet}
	switch {
	case g.Every != nil:
		f.Kind, f.Selector = ast.OfClub, g.Every.in(l.file)
	case g.Among != nil:
		f = g.Among.in(l.file)
	case g.Where != nil:
		where := g.Where.in(l.file)
		f.Selector = &ast.Selector{Span: where.Place(), Where: where}
	}
	f.Span = l.all(c)
	return f
}

// The words of what has a kind.
var (
	mendSides = map[string]ast.Side{"over": ast.Over, "under": ast.Under}
	sides     = map[string]ast.BoundKind{"at most": ast.AtMost, "at least": ast.AtLeast, "below": ast.Below,
		"above": ast.Above}
	decisions = map[string]ast.DecisionKind{"simple": ast.Simple, "three-way": ast.ThreeWay,
		"guarded acceptance": ast.GuardedAcceptance, "guarded rejection": ast.GuardedRejection}
)

func (l *lowerer) bound(g *bound) *ast.Bound {
	if g == nil {
		return nil
	}
	b := &ast.Bound{Span: l.all(g.Tokens), Kind: sides[strings.Join(g.Side, " ")], Q: optional(l, g.Limit),
		Q2: optional(l, g.And), PlusMinus: optional(l, g.PlusMinus), Of: optional(l, g.Of),
		Allowing: optional(l, g.Allowing)}
	switch {
	case g.Between != nil:
		b.Kind, b.Q = ast.Between, g.Between.in(l.file)
	case g.Is != nil:
		b.Kind, b.Q = ast.Is, g.Is.in(l.file)
	case g.Within != nil:
		b.Kind, b.Q = ast.Within, g.Within.in(l.file)
	}
	return b
}

func (l *lowerer) decision(c clause) *ast.Decision {
	return read(l, c, func(r *reader) *ast.Decision {
		g := byGrammar[decisionClause](r)
		return &ast.Decision{Span: l.all(c), Kind: decisions[strings.Join(g.Kind, " ")], Level: optional(l, g.Level)}
	})
}

// optional is the formula of a part that may be left out.
func optional[P interface {
	comparable
	in(*source.File) ast.Expr
}](l *lowerer, p P) ast.Expr {
	var none P
	if p == none {
		return nil
	}
	return p.in(l.file)
}
