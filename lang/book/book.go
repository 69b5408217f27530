// Package book holds the checked book: its declarations with every name resolved, and its rules. What was found out
// about single nodes of its tree is kept in the side table Info, never in the nodes. lang/check fills it. Whoever
// judges, compares or shows rules asks it and does not look at syntax again.
//
// book.go holds the declarations, rule.go rules in their one normal form, part.go formulas with the facts by which they
// are read, info.go these facts. What two alike have in common is in key.go, calendar days are in day.go, waivers in
// waiver.go. What several books say together is in stated.go.
package book

import (
	"math/big"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Book is one checked rule book.
type Book struct {
	File    *source.File
	Name    string // the file's name as reports show it; the bare name for a shipped book
	Shipped bool
	Tree    *ast.Book
	Info    *Info // facts about the nodes of Tree

	Title     string // "" without a header
	Edition   string // "" where none is stated
	Event     string // the event that it is for; "" for none
	Contact   string
	Decision  *Decision // the default of its rules; nil where none is stated
	ButtMass  *Constant // nil where not stated
	TipMass   *Constant
	Extension *Constant

	Uses []Use

	// What the book declares itself, in the order of the file.
	Properties []*Property
	Groups     []*Group
	Charts     []*Chart
	Lets       []*Let
	Methods    []*Method
	Allowances []*Allowance
	Heads      []*Head
	Rules      []*Rule
	Waivers    []*Waiver
	Cases      []*ast.Case

	Declared []Declared // all that it declares by a name
}

// Space keeps names apart: a rule and a property may have one name.
type Space byte

// The name spaces.
const (
	RuleSpace Space = iota
	ValueSpace
	GroupSpace
	MethodSpace
)

// String says what a name of the space means.
func (s Space) String() string {
	return [...]string{"rule", "property, let or chart", "group", "method"}[s]
}

// Declared is what a book declares by a name, one of these. A faulty one has a mistake, which was reported.
type Declared struct {
	Space  Space
	Name   ast.Name
	Faulty bool

	Property *Property
	Let      *Let
	Chart    *Chart
	Group    *Group
	Method   *Method
	Rule     *Rule
}

// Use is a book that another brings in, with the rules that it takes from it.
type Use struct {
	Decl  *ast.Use
	Book  *Book
	Rules []*Rule // those that "only" and "without" let through

	Faulty bool // "only" or "without" names a rule that is not there, which was reported
}

// Judged returns the rules that are judged when the book is named: its own and
// those that its uses let through, each once.
func (b *Book) Judged() []*Rule {
	var rules []*Rule
	seen := map[*Rule]bool{}
	add := func(rs []*Rule) {
		for _, r := range rs {
			if !seen[r] {
				seen[r] = true
				rules = append(rules, r)
			}
		}
	}
	for _, u := range b.Uses {
		add(u.Rules)
	}
	add(b.Rules)
	return rules
}

// Constant is a quantity known before any club is read, exact in base units.
type Constant struct {
	Exact *big.Rat
	Base  float64    // Exact, rounded once
	Unit  *unit.Unit // as it was written, for showing
	Span  source.Span
}

// Decision is a decision rule with its level.
type Decision struct {
	Kind  ast.DecisionKind
	Level float64 // 0.95 for 95 %; 0 for Simple
	Span  source.Span
}

// Property is a property that a book declares.
type Property struct {
	Decl    *ast.Property
	Of      catalogue.Property // with its ID in the schema
	Method  *Method            // of a declared length by a method; else nil
	Default *Default           // nil where an empty cell was not measured
}

// Default is what an empty cell of a property means.
type Default struct {
	Decl *ast.Default
	Text string // the text, or the word: yes, no, left, right
	Yes  bool   // of a yes-no property
}

// String returns the default as a book writes it.
func (d *Default) String() string {
	if d.Decl.Text != nil {
		return `"` + d.Text + `"`
	}
	return d.Text
}

// Group is a named selector.
type Group struct {
	Book *Book
	Decl *ast.Group

	Facts Facts
}

// Chart is a table of a property per club.
type Chart struct {
	Book   *Book
	Decl   *ast.Chart
	Of     *RefInfo
	Values []Constant // one a row of Decl.Rows

	Facts Facts
}

// Let is a named formula.
type Let struct {
	Book *Book
	Decl *ast.Let
	Type Type

	Value    ast.Expr // that of Decl; of a condition, with each "not" carried inward
	Opposite ast.Expr // of a condition: "not" of it, carried inward

	Facts Facts
}

// Method is a measuring convention.
type Method struct {
	Book   *Book
	Decl   *ast.Method
	Faulty bool      // a mistake was reported in it
	Angle  *Constant // of "stop at 60 deg"
	Reads  *Constant
	LieSet *Constant
	Ruler  *Constant
}

// StopsAt is the angle of the plane that stops the head, in base units; 0 for the ground, which the axis meets in one
// point with it.
func (m *Method) StopsAt() float64 {
	if m.Angle == nil {
		return 0
	}
	return m.Angle.Base
}

// Allowance is an allowance for a cap or a crown.
type Allowance struct {
	Book   *Book
	Decl   *ast.Allowance
	Crown  bool // else a cap
	Amount Constant
	Within *Constant
}

// Head is the shape of the heads that its list takes.
type Head struct {
	Book   *Book
	Decl   *ast.Head
	Shape  [6]Constant // in the order of ast.ShapeWords
	Within [6]*Constant
}

// Sound returns the book without the rules that have a mistake, or need something that has one.
func (b *Book) Sound() *Book {
	faulty := func(r *Rule) bool { return r.Facts.Faulty }
	out := *b
	out.Rules = slices.DeleteFunc(slices.Clone(b.Rules), faulty)
	out.Uses = slices.Clone(b.Uses)
	for i, u := range out.Uses {
		out.Uses[i].Rules = slices.DeleteFunc(slices.Clone(u.Rules), faulty)
	}
	return &out
}
