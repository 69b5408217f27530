package parser

// This file lowers what the grammar read to the nodes of the tree.

import (
	"strings"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/source"
)

// lowerer makes one declaration.
type lowerer struct {
	*parser
	span   source.Span // of the declaration
	broken bool
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
	case "case":
		l.add(l.testCase(line, body))
	}
}

func (l *lowerer) add(d ast.Decl) { l.book.Decls = append(l.book.Decls, d) }

// read parses a clause, and marks the declaration as broken where it is wrong.
func read[G any](l *lowerer, grammar func() *participle.Parser[G], c clause) *G {
	return readAs(l, grammar, c, c.word())
}

// readAs is read for a clause whose form goes by another name than its first word.
func readAs[G any](l *lowerer, grammar func() *participle.Parser[G], c clause, name string) *G {
	g := parse(l.parser, grammar, c, name)
	if g == nil {
		l.broken = true
	}
	return g
}

func (l *lowerer) name(t lexer.Token) ast.Name {
	return ast.Name{Span: l.place(t), Text: t.Value}
}

func (l *lowerer) place(t lexer.Token) source.Span {
	return source.Span{File: l.file, Start: t.Pos.Offset, End: t.Pos.Column}
}

func (l *lowerer) nameAt(t *lexer.Token) *ast.Name {
	if t == nil {
		return nil
	}
	n := l.name(*t)
	return &n
}

func (l *lowerer) text(t lexer.Token) ast.Text {
	return ast.Text{Span: l.place(t), Value: strings.Trim(t.Value, `"`)}
}

func (l *lowerer) textAt(t *lexer.Token) *ast.Text {
	if t == nil {
		return nil
	}
	x := l.text(*t)
	return &x
}

func (l *lowerer) id(t lexer.Token) *ast.ID {
	id := &ast.ID{Span: l.place(t), Value: t.Value, Quoted: t.Type == typeText}
	if id.Quoted {
		id.Value = strings.Trim(t.Value, `"`)
	}
	return id
}

func (l *lowerer) idAt(t *lexer.Token) *ast.ID {
	if t == nil {
		return nil
	}
	return l.id(*t)
}

func (l *lowerer) formula(f *formula) ast.Expr {
	if f == nil {
		return nil
	}
	f.in(l.file)
	return f.expr
}

func (l *lowerer) sum(s *sum) ast.Expr {
	if s == nil {
		return nil
	}
	s.in(l.file)
	return s.expr
}

func (l *lowerer) literal(x *literal) ast.Expr {
	if x == nil {
		return nil
	}
	x.in(l.file)
	return x.expr
}

func (l *lowerer) selector(s *selector) *ast.Selector {
	s.in(l.file)
	return s.selector
}

func (l *lowerer) items(x *list) []*ast.Item {
	x.in(l.file)
	return x.items
}

func (l *lowerer) dateClause(c clause) *ast.DateClause {
	g := read(l, dateParser, c)
	if g == nil {
		return nil
	}
	return &ast.DateClause{Span: l.parser.span(g.Tokens), Date: ast.Date{Span: l.place(g.Date), Value: g.Date.Value}}
}

func (l *lowerer) textClause(c clause) *ast.TextClause {
	g := read(l, textParser, c)
	if g == nil {
		return nil
	}
	return &ast.TextClause{Span: l.parser.span(g.Tokens), Text: l.text(g.Text)}
}

// quantity makes a clause of one quantity from what any of their grammars read.
func (l *lowerer) quantity(tokens []lexer.Token, value *sum) *ast.QuantityClause {
	return &ast.QuantityClause{Span: l.parser.span(tokens), Value: l.sum(value)}
}

func (l *lowerer) plainQuantity(c clause) *ast.QuantityClause {
	if g := read(l, quantityParser, c); g != nil {
		return l.quantity(g.Tokens, g.Value)
	}
	return nil
}

func (l *lowerer) withinQuantity(c clause) *ast.QuantityClause {
	if g := read(l, withinParser, c); g != nil {
		return l.quantity(g.Tokens, g.Value)
	}
	return nil
}

func (l *lowerer) header(line clause, body []clause) *ast.Header {
	h := &ast.Header{Span: l.span}
	if g := read(l, headerParser, line); g != nil {
		title := l.text(g.Title)
		h.Title = &title
	}
	for _, c := range body {
		switch c.word() {
		case "edition":
			h.Edition = l.dateClause(c)
		case "decision":
			h.Decision = l.decision(c)
		case "contact":
			h.Contact = l.textClause(c)
		case "butt-mass":
			h.ButtMass = l.plainQuantity(c)
		case "tip-mass":
			h.TipMass = l.plainQuantity(c)
		case "extension":
			if g := read(l, mostParser, c); g != nil {
				h.Extension = l.quantity(g.Tokens, g.Value)
			}
		}
	}
	h.Broken = l.broken
	return h
}

func (l *lowerer) use(line clause) *ast.Use {
	u := &ast.Use{Span: l.span}
	if g := read(l, useParser, line); g != nil {
		u.Shipped, u.Path = l.nameAt(g.Shipped), l.textAt(g.Path)
		for _, n := range g.Only {
			u.Only = append(u.Only, l.name(n.Name))
		}
		for _, n := range g.Without {
			u.Without = append(u.Without, l.name(n.Name))
		}
	}
	u.Broken = l.broken
	return u
}

func (l *lowerer) group(line clause) *ast.Group {
	d := &ast.Group{Span: l.span, Name: l.secondWord(line)}
	if g := read(l, groupParser, line); g != nil {
		d.Selector = l.selector(g.Selector)
	}
	d.Broken = l.broken
	return d
}

// secondWord is the name that a first line gives, for when the rest of the line is wrong:
// the name is known even so. It is empty where none stands there.
func (l *lowerer) secondWord(line clause) ast.Name {
	if len(line) > 1 && line[1].Type == typeName {
		return l.name(line[1])
	}
	return ast.Name{Span: l.place(line[0])}
}

func (l *lowerer) property(line clause) *ast.Property {
	d := &ast.Property{Span: l.span, Name: l.secondWord(line)}
	if g := read(l, propertyParser, line); g != nil {
		d.Sort, d.Method = l.name(g.Sort), l.nameAt(g.Method)
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) chart(line clause, body []clause) *ast.Chart {
	d := &ast.Chart{Span: l.span, Name: l.secondWord(line)}
	if g := read(l, chartParser, line); g != nil {
		d.Of = &ast.Ref{Span: l.parser.span(g.Of.Tokens), Name: l.name(g.Of.Name), By: l.nameAt(g.Of.By)}
	}
	for _, c := range body {
		if g := readAs(l, rowParser, c, "row"); g != nil {
			d.Rows = append(d.Rows, &ast.ChartRow{Span: l.parser.span(g.Tokens), Items: l.items(g.Items), Value: l.sum(g.Value), Where: l.formula(g.Where)})
		}
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) let(line clause) *ast.Let {
	d := &ast.Let{Span: l.span, Name: l.secondWord(line)}
	if g := read(l, letParser, line); g != nil {
		d.Value = l.formula(g.Value)
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) method(line clause, body []clause) *ast.Method {
	d := &ast.Method{Span: l.span, Name: l.secondWord(line)}
	if g := read(l, methodParser, line); g != nil {
		d.Title = l.textAt(g.Title)
	}
	for _, c := range body {
		switch c.word() {
		case "covers":
			if g := read(l, coversParser, c); g != nil {
				d.Covers = &ast.Covers{Span: l.parser.span(g.Tokens), Selector: l.selector(g.Selector)}
			}
		case "stop":
			d.Stop = l.stop(c)
		case "top":
			d.Top = l.top(c)
		case "reads":
			if g := read(l, toParser, c); g != nil {
				d.Reads = l.quantity(g.Tokens, g.Value)
			}
		case "lie-set":
			d.LieSet = l.withinQuantity(c)
		case "ruler":
			d.Ruler = l.withinQuantity(c)
		}
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) stop(c clause) *ast.Stop {
	g := read(l, stopParser, c)
	if g == nil {
		return nil
	}
	s := &ast.Stop{Span: l.parser.span(g.Tokens)}
	switch {
	case g.Lie:
		s.Kind = ast.StopAtLie
	case g.Along:
		s.Kind = ast.StopAlongAxis
	default:
		s.Kind, s.Angle = ast.StopAtAngle, l.sum(g.Angle)
	}
	return s
}

func (l *lowerer) top(c clause) *ast.Top {
	g := read(l, topParser, c)
	if g == nil {
		return nil
	}
	t := &ast.Top{Span: l.parser.span(g.Tokens), Kind: ast.TopButt}
	if g.Edge {
		t.Kind = ast.TopCapEdge
	} else if g.End {
		t.Kind = ast.TopCapEnd
	}
	return t
}

func (l *lowerer) allowance(line clause) *ast.Allowance {
	d := &ast.Allowance{Span: l.span, Of: l.secondWord(line)}
	if g := read(l, allowanceParser, line); g != nil {
		d.Amount, d.Within, d.Where = l.sum(g.Amount), l.sum(g.Within), l.formula(g.Where)
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) head(line clause, body []clause) *ast.Head {
	d := &ast.Head{Span: l.span}
	if g := read(l, headParser, line); g != nil {
		d.Items, d.Where = l.items(g.Items), l.formula(g.Where)
	}
	for _, c := range body {
		g := read(l, measureParser, c)
		if g == nil {
			continue
		}
		for i, word := range ast.ShapeWords {
			if word == c.word() {
				d.Shape[i] = &ast.Measure{Span: l.parser.span(g.Tokens), Value: l.sum(g.Value), Within: l.sum(g.Within)}
			}
		}
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) rule(line clause, body []clause) *ast.Rule {
	d := &ast.Rule{Span: l.span, Advice: line.word() == "advice", Name: l.secondWord(line)}
	if g := read(l, ruleParser, line); g != nil {
		d.Title = l.textAt(g.Title)
	}
	for _, c := range body {
		switch c.word() {
		case "for":
			d.For = l.subject(c)
		case "require":
			if g := read(l, requireParser, c); g != nil {
				d.Require = &ast.Require{Span: l.parser.span(g.Tokens), Value: l.formula(g.Value), Bound: l.bound(g.Bound)}
			}
		case "unless":
			if g := read(l, unlessParser, c); g != nil {
				d.Unless = append(d.Unless, &ast.Unless{Span: l.parser.span(g.Tokens), Condition: l.formula(g.Condition), Exempt: g.Exempt, Bound: l.bound(g.Bound)})
			}
		case "decision":
			d.Decision = l.decision(c)
		case "from":
			d.From = l.dateClause(c)
		case "until":
			d.Until = l.dateClause(c)
		case "cite":
			if t := l.textClause(c); t != nil {
				d.Cites = append(d.Cites, t)
			}
		case "mend":
			d.Mend = l.textClause(c)
		}
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) subject(c clause) *ast.For {
	g := read(l, forParser, c)
	if g == nil {
		return nil
	}
	f := &ast.For{Span: l.parser.span(g.Tokens)}
	switch {
	case g.Set:
		f.Kind = ast.OfSet
	case g.Every != nil:
		f.Kind, f.Selector = ast.OfClub, l.selector(g.Every)
	default:
		g.Pairs.in(l.file)
		f.Kind, f.Selector, f.By = ast.OfNeighbours, g.Pairs.selector, g.Pairs.by
	}
	return f
}

func (l *lowerer) bound(g *bound) *ast.Bound {
	if g == nil {
		return nil
	}
	b := &ast.Bound{Span: l.parser.span(g.Tokens), Allowing: l.sum(g.Allowing)}
	switch {
	case g.AtMost != nil:
		b.Kind, b.Q = ast.AtMost, l.sum(g.AtMost)
	case g.AtLeast != nil:
		b.Kind, b.Q = ast.AtLeast, l.sum(g.AtLeast)
	case g.Below != nil:
		b.Kind, b.Q = ast.Below, l.sum(g.Below)
	case g.Above != nil:
		b.Kind, b.Q = ast.Above, l.sum(g.Above)
	case g.Low != nil:
		b.Kind, b.Q, b.Q2 = ast.Between, l.sum(g.Low), l.sum(g.High)
	case g.Is != nil:
		b.Kind, b.Q, b.PlusMinus = ast.Is, l.sum(g.Is), l.sum(g.PlusMinus)
	default:
		b.Kind, b.Q, b.Of = ast.Within, l.sum(g.Within), l.sum(g.Of)
	}
	return b
}

func (l *lowerer) decision(c clause) *ast.Decision {
	g := read(l, decisionParser, c)
	if g == nil {
		return nil
	}
	d := &ast.Decision{Span: l.parser.span(g.Tokens), Level: l.sum(g.Level)}
	switch {
	case g.Simple:
		d.Kind = ast.Simple
	case g.Accept:
		d.Kind = ast.GuardedAcceptance
	case g.Reject:
		d.Kind = ast.GuardedRejection
	case g.ThreeWay:
		d.Kind = ast.ThreeWay
	}
	return d
}

func (l *lowerer) testCase(line clause, body []clause) *ast.Case {
	d := &ast.Case{Span: l.span}
	if g := read(l, caseParser, line); g != nil {
		title := l.text(g.Title)
		d.Title = &title
	}
	for _, c := range body {
		switch c.word() {
		case "set":
			if g := read(l, setParser, c); g != nil {
				d.Sets = append(d.Sets, &ast.CaseSet{Span: l.parser.span(g.Tokens), ID: l.id(g.ID)})
			}
		case "club":
			g := read(l, clubParser, c)
			if g == nil {
				continue
			}
			club := l.club(g)
			if len(d.Sets) == 0 {
				d.Sets = append(d.Sets, &ast.CaseSet{Span: club.Span})
			}
			set := d.Sets[len(d.Sets)-1]
			set.Clubs = append(set.Clubs, club)
			set.Span = set.Span.To(club.Span)
		case "on":
			d.On = l.dateClause(c)
		case "expect":
			if g := read(l, expectParser, c); g != nil {
				d.Expects = append(d.Expects, l.expect(g))
			}
		}
	}
	d.Broken = l.broken
	return d
}

func (l *lowerer) club(g *clubClause) *ast.CaseClub {
	g.Club.in(l.file)
	club := &ast.CaseClub{Span: l.parser.span(g.Tokens), ID: l.id(g.ID), Club: g.Club.item}
	for _, p := range g.Props {
		club.Props = append(club.Props, &ast.CaseProp{Span: l.parser.span(p.Tokens), Name: l.name(p.Name),
			Value: l.literal(p.Value), PlusMinus: l.literal(p.PlusMinus), By: l.nameAt(p.By)})
	}
	return club
}

func (l *lowerer) expect(g *expectClause) *ast.Expect {
	e := &ast.Expect{Span: l.parser.span(g.Tokens), Rule: l.name(g.Rule), OnSet: g.OnSet, Set: l.idAt(g.Set), Verdict: l.name(g.Verdict),
		Value: l.sum(g.Value), PlusMinus: l.sum(g.PlusMinus), Excepted: g.Excepted, Mend: l.textAt(g.Mend)}
	for _, c := range g.On {
		e.On = append(e.On, &ast.ExpectClub{Span: l.parser.span(c.Tokens), ID: l.id(c.ID), Of: l.idAt(c.Of)})
	}
	return e
}
