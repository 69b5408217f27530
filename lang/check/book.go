// Package check gives a rule book's tree its meaning: it resolves names, works
// out dimensions, checks days, exceptions and everything else that can be said
// before a club is read, and reports each mistake once. The result is a Book of
// resolved declarations; what was found out about single nodes of the tree
// stands in the side table Info, never in the nodes.
package check

import (
	"math/big"
	"time"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Day is a calendar day, counted from 1970-01-01. NoDay stands for none.
type Day int

// NoDay is no day at all.
const NoDay Day = -1 << 40

// Book is one checked rule book.
type Book struct {
	File    *source.File
	Name    string // the file's name as reports show it; the bare name for a shipped book
	Shipped bool
	Tree    *ast.Book
	Info    *Info // facts about the nodes of Tree

	Title     string // "" without a header
	Edition   string // "" where none is stated
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
	Cases      []*ast.Case

	faulty map[string]bool // names that it declares with a mistake, as nameSpace and name
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
	Decl   *ast.Property
	Of     catalogue.Property // with its ID in the schema
	Method *Method            // of a declared length by a method; else nil
}

// Group is a named selector.
type Group struct {
	Book *Book
	Decl *ast.Group

	facts facts
}

// Chart is a table of a property per club.
type Chart struct {
	Book   *Book
	Decl   *ast.Chart
	Of     *RefInfo
	Values []Constant // one a row of Decl.Rows

	facts facts
}

// Let is a named formula.
type Let struct {
	Book *Book
	Decl *ast.Let
	Type Type

	Value, Opposite ast.Expr // of a condition, with each "not" carried inward: itself and "not" of it; else Value is that of Decl

	facts facts
}

// Method is a measuring convention.
type Method struct {
	Book   *Book
	Decl   *ast.Method
	Angle  *Constant // of "stop at 60 deg"
	Reads  *Constant
	LieSet *Constant
	Ruler  *Constant
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

// Rule is a rule or an advice.
type Rule struct {
	Book     *Book
	Decl     *ast.Rule
	Value    ast.Expr   // what is required: a quantity with Bound, else a condition with each "not" carried inward; nil where the rule requires nothing
	Bound    *ast.Bound // nil for a condition. One comparison of quantities and nothing else is a bound
	Decision Decision   // its own, else its book's, else Simple
	Stated   bool       // a decision is written, in the rule or its book
	From     Day        // NoDay where open
	Until    Day        // the last day, included; NoDay where open
	Unit     *unit.Unit // the unit of its limit as written, for showing; nil for a rule without a quantity
}

// TypeKind tells what a formula gives. The zero value is invalid: the formula
// is faulty, and that was said already.
type TypeKind int

// The types of a formula.
const (
	Faulty   TypeKind = iota
	Number            // a quantity of dimension Dim
	Truth             // a condition
	DayType           // a day
	TextType          // a text
	KindType          // the kind of a club, only fit for = and !=
	HandType          // the hand, only fit for = and != with left and right
)

// Type is what a formula gives. Bare is set for plain numbers without a unit,
// which are a count or a ratio as the other side wants.
type Type struct {
	Kind TypeKind
	Dim  unit.Dim
	Bare bool
}

// RefKind tells what a name in a formula means. The zero value is unresolved.
type RefKind int

// What names mean.
const (
	Unresolved RefKind = iota
	RefProperty
	RefLet
	RefChart
	RefKindWord // a kind of club, after "kind ="
	RefGroup    // a group, after "kind ="
	RefHand     // left or right, after "hand ="
)

// RefInfo is what a name in a formula means.
type RefInfo struct {
	Kind     RefKind
	Property catalogue.Property // of RefProperty
	Method   *Method            // of RefProperty: the method asked for; nil where the property has none
	Let      *Let
	Chart    *Chart
	Group    *Group
	Club     catalogue.Kind
	Hand     string // "left" or "right"
}

// ItemInfo is what a member of a list means: a group, or a kind with an
// optional range of numbers or a mark.
type ItemInfo struct {
	Group    *Group         // or
	Kind     catalogue.Kind // NoKind for the word "club": any kind
	Any      bool           // the word "club"
	Numbered bool           // From and To count
	From, To float64
	Mark     string // "" for none
	HasMark  bool
}

// Info is the side table of facts about a book's tree. Maps hold an entry for
// each node of a sound book.
type Info struct {
	Types     map[ast.Expr]Type      // of every formula node
	Constants map[ast.Expr]*Constant // of every formula node that needs no club, folded exactly
	Refs      map[*ast.Ref]*RefInfo
	Items     map[*ast.Item]*ItemInfo
	Texts     map[catalogue.ID][]string // with which a property is compared, anywhere in the book
}

// ParseDay reads a day written as 2026-04-18; false where it is no real day.
func ParseDay(s string) (Day, bool) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return NoDay, false
	}
	return Day(t.Unix() / 86400), true
}

// String returns the day as 2026-04-18; "" for NoDay.
func (d Day) String() string {
	if d == NoDay {
		return ""
	}
	return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly)
}

// Reach returns some books, each before those that it uses, and every one once. A use whose book could not be read
// has none.
func Reach(books []*Book) []*Book {
	var out []*Book
	seen := map[*Book]bool{nil: true}
	var add func(b *Book)
	add = func(b *Book) {
		if seen[b] {
			return
		}
		seen[b] = true
		out = append(out, b)
		for _, u := range b.Uses {
			add(u.Book)
		}
	}
	for _, b := range books {
		add(b)
	}
	return out
}
