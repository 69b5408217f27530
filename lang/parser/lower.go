package parser

// This file lowers what the grammar read to the nodes of the tree.

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

// declare parses the first line and the clauses of a declaration and adds it to
// the book.
func (l *lowerer) declare(word string, line clause, body []clause) {
	switch word {
	case "rulebook":
		l.book.Header = l.header(line, body)
		return
	case "use":
		l.add(l.use(line))
	case "group":
		l.add(l.group(line))
	case "property":
		l.add(l.property(line))
	case "chart":
		l.add(l.chart(line, body))
	case "let":
		l.add(l.let(line))
	case "method":
		l.add(l.method(line, body))
	case "allowance":
		l.add(l.allowance(line))
	case "head":
		l.add(l.head(line, body))
	case "rule", "advice":
		l.add(l.rule(line, body))
	case "waive":
		l.add(l.waive(line, body))
	case "case":
		l.add(l.testCase(line, body))
	}
}

func (l *lowerer) add(d ast.Decl) {
	*d.Declared() = l.declaration()
	l.book.Decls = append(l.book.Decls, d)
}

// declaration is what every declaration has.
func (l *lowerer) declaration() ast.Declaration {
	return ast.Declaration{Span: l.span, Word: l.word, Broken: l.broken}
}

func (l *lowerer) named(line clause) ast.Named { return ast.Named{Name: l.secondWord(line)} }

// read parses a clause, and marks the declaration as broken where it is wrong.
func read[G any](l *lowerer, c clause) *G { return readAs[G](l, c, c.word()) }

// readAs is read for a clause whose form goes by another name than its first word.
func readAs[G any](l *lowerer, c clause, name string) *G {
	g, m := parse[G](c, name)
	if g == nil {
		l.broken = true
	}
	if all := l.strays[c[0].Pos.Offset]; len(all) > 0 && !c.bad() {
		return claim(l, c, name, all, g, m)
	}
	if m != nil {
		l.report(l.once(*m, c))
	}
	return g
}

func (l *lowerer) name(t lexer.Token) ast.Name {
	return ast.Name{Span: l.place(t), Text: t.Value}
}

// some is the node of a token that may be left out.
func some[N any](t *lexer.Token, node func(lexer.Token) N) *N {
	if t == nil {
		return nil
	}
	n := node(*t)
	return &n
}

func (l *lowerer) place(t lexer.Token) source.Span {
	return source.Span{File: l.file, Start: t.Pos.Offset, End: t.Pos.Column}
}

func (l *lowerer) text(t lexer.Token) ast.Text {
	return ast.Text{Span: l.place(t), Value: unquoted(t)}
}

// made is the node of a clause; nil where the clause is wrong.
func made[G, N any](l *lowerer, c clause, node func(*G) *N) *N {
	if g := read[G](l, c); g != nil {
		return node(g)
	}
	return nil
}

func (l *lowerer) dateClause(c clause) *ast.DateClause {
	return made(l, c, func(g *dateClause) *ast.DateClause {
		return &ast.DateClause{Span: l.all(c), Date: ast.Date{Span: l.place(g.Date), Value: g.Date.Value}}
	})
}

func (l *lowerer) textClause(c clause) *ast.TextClause {
	return made(l, c, func(g *textClause) *ast.TextClause {
		return &ast.TextClause{Span: l.all(c), Text: l.text(g.Text)}
	})
}

func (l *lowerer) quantity(c clause) *ast.QuantityClause {
	return made(l, c, func(g *quantityClause) *ast.QuantityClause {
		return &ast.QuantityClause{Span: l.all(c), Value: g.Value.in(l.file)}
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
		*at = l.quantity(c)
	case *[]*ast.TextClause:
		if t := l.textClause(c); t != nil {
			*at = append(*at, t)
		}
	}
}

func (l *lowerer) header(line clause, body []clause) *ast.Header {
	h := &ast.Header{}
	if g := read[textClause](l, line); g != nil {
		h.Title = some(&g.Text, l.text)
	}
	plain := map[string]any{"edition": &h.Edition, "event": &h.Event, "contact": &h.Contact, "butt-mass": &h.ButtMass,
		"tip-mass": &h.TipMass, "extension": &h.Extension}
	for _, c := range body {
		switch c.word() {
		case "decision":
			h.Decision = l.decision(c)
		case "language":
			if g := read[languageClause](l, c); g != nil {
				h.Language = &ast.Language{Span: l.all(c)}
				h.Language.Edition.Span = l.place(g.Edition)
				h.Language.Edition.Value, _, _ = unit.Scan(g.Edition.Value)
			}
		default:
			l.fill(plain, c)
		}
	}
	h.Declaration = l.declaration()
	return h
}

func (l *lowerer) use(line clause) *ast.Use {
	u := &ast.Use{}
	if g := read[useLine](l, line); g != nil {
		u.Shipped, u.Path = some(g.Shipped, l.name), some(g.Path, l.text)
		u.Only, u.Without = l.names(g.Only), l.names(g.Without)
	}
	return u
}

// names are the names of a list, between its commas.
func (l *lowerer) names(list []lexer.Token) []ast.Name {
	var names []ast.Name
	for i := 0; i < len(list); i += 2 {
		names = append(names, l.name(list[i]))
	}
	return names
}

func (l *lowerer) group(line clause) *ast.Group {
	d := &ast.Group{Named: l.named(line)}
	if g := read[groupLine](l, line); g != nil {
		d.Selector = g.Selector.in(l.file)
	}
	return d
}

// secondWord is the name that a first line gives, for when the rest of the line is wrong:
// the name is known even so. It is empty where there is no name.
func (l *lowerer) secondWord(line clause) ast.Name {
	if len(line) > 1 && line[1].Type == typeName {
		return l.name(line[1])
	}
	return ast.Name{Span: l.place(line[0])}
}

// title is the text behind the name that a first line gives; nil where there is none.
func (l *lowerer) title(line clause) *ast.Text {
	if g := read[titleLine](l, line); g != nil {
		return some(g.Title, l.text)
	}
	return nil
}

func (l *lowerer) property(line clause) *ast.Property {
	d := &ast.Property{Named: l.named(line)}
	if g := read[propertyLine](l, line); g != nil {
		if g.Sort != nil {
			sort := g.Sort.in(l.file)
			d.Sort, d.Method = &sort.Name, sort.By
		}
		for i := 0; i < len(g.Texts); i += 2 {
			d.Texts = append(d.Texts, some(&g.Texts[i], l.text))
		}
		if e := cmp.Or(g.Known, g.Else); e != nil {
			d.Else = &ast.Default{Span: l.all(e.Tokens), Text: some(e.Text, l.text), Word: some(e.Word, l.name)}
		}
	}
	return d
}

func (l *lowerer) chart(line clause, body []clause) *ast.Chart {
	d := &ast.Chart{Named: l.named(line)}
	if g := read[chartLine](l, line); g != nil {
		d.Of = g.Of.in(l.file)
	}
	for _, c := range body {
		if g := readAs[chartRow](l, c, "row"); g != nil {
			d.Rows = append(d.Rows, &ast.ChartRow{Span: l.all(c), Items: g.Items.in(l.file), Value: g.Value.in(l.file),
				Where: optional(l, g.Where)})
		}
	}
	return d
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

func (l *lowerer) let(line clause) *ast.Let {
	d := &ast.Let{Named: l.named(line)}
	if g := read[letLine](l, line); g != nil {
		d.Value = g.Value.in(l.file)
	}
	return d
}

func (l *lowerer) method(line clause, body []clause) *ast.Method {
	d := &ast.Method{Named: l.named(line), Title: l.title(line)}
	for _, c := range body {
		switch c.word() {
		case "covers":
			if g := read[coversClause](l, c); g != nil {
				d.Covers = &ast.Covers{Span: l.all(c), Selector: g.Selector.in(l.file)}
			}
		case "stop":
			if g := read[stopClause](l, c); g != nil {
				d.Stop = &ast.Stop{Span: l.all(c), Kind: ast.StopAtAngle, Angle: optional(l, g.Angle)}
				if g.Along {
					d.Stop.Kind = ast.StopAlongAxis
				} else if g.Lie {
					d.Stop.Kind = ast.StopAtLie
				}
			}
		case "top":
			if g := read[topClause](l, c); g != nil {
				d.Top = &ast.Top{Span: l.all(c), Kind: tops[strings.Join(g.At, " ")]}
			}
		default:
			l.fill(map[string]any{"reads": &d.Reads, "lie-set": &d.LieSet, "ruler": &d.Ruler}, c)
		}
	}
	return d
}

func (l *lowerer) allowance(line clause) *ast.Allowance {
	d := &ast.Allowance{Of: l.secondWord(line)}
	if g := read[allowanceLine](l, line); g != nil {
		d.Amount, d.Within, d.Where = g.Amount.in(l.file), optional(l, g.Within), optional(l, g.Where)
	}
	return d
}

func (l *lowerer) head(line clause, body []clause) *ast.Head {
	d := &ast.Head{}
	if g := read[headLine](l, line); g != nil {
		d.Items, d.Where = g.Items.in(l.file), optional(l, g.Where)
	}
	for _, c := range body {
		g := read[measureClause](l, c)
		if g == nil {
			continue
		}
		d.Shape[slices.Index(ast.ShapeWords[:], c.word())] = &ast.Measure{Span: l.all(c), Value: g.Value.in(l.file),
			Within: optional(l, g.Within)}
	}
	return d
}

func (l *lowerer) rule(line clause, body []clause) *ast.Rule {
	d := &ast.Rule{Advice: line.word() == "advice", Named: l.named(line), Title: l.title(line)}
	for _, c := range body {
		switch c.word() {
		case "for":
			if g := read[forClause](l, c); g != nil {
				d.For = l.subject(c, g)
			}
		case "require":
			if g := read[requireClause](l, c); g != nil {
				d.Require = &ast.Require{Span: l.all(c), Value: g.Value.in(l.file), Bound: l.bound(g.Bound)}
			}
		case "unless":
			if g := read[unlessClause](l, c); g != nil {
				d.Unless = append(d.Unless, &ast.Unless{Span: l.all(c), Else: g.Else, Condition: g.Condition.in(l.file),
					Bound: l.bound(g.Bound)})
			}
		case "decision":
			d.Decision = l.decision(c)
		case "mend":
			if g := read[mendClause](l, c); g != nil {
				m := &ast.Mend{Span: l.all(c), Text: l.text(g.Text)}
				if g.Side != nil {
					m.Side = mendSides[g.Side.Value]
				}
				d.Mends = append(d.Mends, m)
			}
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
	tops      = map[string]ast.TopKind{"butt": ast.TopButt, "cap edge": ast.TopCapEdge, "cap end": ast.TopCapEnd}
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
	return made(l, c, func(g *decisionClause) *ast.Decision {
		return &ast.Decision{Span: l.all(c), Kind: decisions[strings.Join(g.Kind, " ")], Level: optional(l, g.Level)}
	})
}
