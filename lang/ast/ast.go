// Package ast holds the tree of a rule book: clean nodes, each with its place,
// that say what a person wrote and nothing about what it means. Declarations
// are here, formulas in expr.go, the walk over them in walk.go.
//
// Every node's Span covers all of its source and lies inside its parent's.
// Optional parts are nil. A tree that came from a faulty book lacks what could
// not be read; Broken is then true, and the mistake was reported.
package ast

import (
	"slices"

	"ferrule/lang/source"
)

// Book is one rule book file.
type Book struct {
	File     *source.File
	Header   *Header // nil where the file does not start with "rulebook"
	Decls    []Decl  // without the header, in the order of the file
	Comments []Comment
}

// Comment is a comment from its "#" to the end of its line.
type Comment struct {
	Span source.Span
	Text string // with its "#", without trailing blanks
}

// Name is a name where it is written.
type Name struct {
	Span source.Span
	Text string
}

// Text is a text in quotation marks, or a day.
type Text struct {
	Span  source.Span
	Value string // without the marks
}

// Decl is a declaration: *Use, *Group, *Property, *Chart, *Let, *Method,
// *Allowance, *Head, *Rule, *Waive or *Case. (The *Header is a Decl too, but is kept
// apart in its Book.)
type Decl interface {
	Declared() *Declaration
	Place() source.Span
}

// Declaration is what each of them has: the word that starts it, and where it is broken, parts that could not be read,
// which was reported.
type Declaration struct {
	Span   source.Span
	Word   string
	Broken bool
}

// Declared returns d.
func (d *Declaration) Declared() *Declaration { return d }

// Place returns where the declaration is written.
func (d *Declaration) Place() source.Span { return d.Span }

// Named is what each declaration has that gives a name.
type Named struct {
	Declaration
	Name Name
}

func (n *Named) name() *Name { return &n.Name }

// NameOf returns the name that a declaration gives; nil for one that gives none.
func NameOf(d Decl) *Name {
	if n, ok := d.(interface{ name() *Name }); ok {
		return n.name()
	}
	return nil
}

// Header is
//
//	rulebook "TITLE"
//	  edition DATE  language N  event "..."  decision ...  contact "..."
//	  butt-mass Q  tip-mass Q  extension at most Q
type Header struct {
	Declaration
	Title     *Text
	Edition   *DateClause
	Language  *Language
	Event     *TextClause
	Decision  *Decision
	Contact   *TextClause
	ButtMass  *QuantityClause
	TipMass   *QuantityClause
	Extension *QuantityClause
}

// Edition is the newest edition of the language that this program knows.
const Edition = 1

// Language is the clause "language N", which says in which edition of the language a book is written.
type Language struct {
	Span    source.Span
	Edition Quantity
}

// Newer reports whether the book asks for an edition of the language that the program does not know.
func (b *Book) Newer() bool {
	if b.Header == nil || b.Header.Language == nil {
		return false
	}
	asked := b.Header.Language.Edition.Value
	return !asked.HasUnit && asked.Number.IsInt() && asked.Base() > Edition
}

// DateClause is a clause that holds a day: edition, from, until, on.
type DateClause struct {
	Span source.Span // from its keyword to the end of the day
	Date Text        // as written, 2026-04-18; it is a real day
}

// TextClause is a clause that holds a text: event, contact, cite.
type TextClause struct {
	Span source.Span
	Text Text
}

// QuantityClause is a clause that holds one quantity: butt-mass, reads to,
// lie-set within, ruler within, extension at most.
type QuantityClause struct {
	Span  source.Span
	Value Expr // a constant formula, mostly one *Quantity
}

// Use is
//
//	use NAME [only RULE, ...] [without RULE, ...]
//	use "FILE" [only RULE, ...] [without RULE, ...]
type Use struct {
	Declaration
	Shipped *Name // the name of a shipped book, or
	Path    *Text // the file, relative to the using book
	Only    []Name
	Without []Name
}

// Group is "group NAME = SELECTOR".
type Group struct {
	Named
	Selector *Selector
}

// Property is
//
//	property NAME SORT [by METHOD] [one of TEXT, ...] [else yes|no|TEXT]
//	property hand else left|right
type Property struct {
	Named
	Sort   *Name // nil of a property that the tool knows
	Method *Name
	Texts  []*Text  // the texts that there are; nil where it says nothing of them
	Else   *Default // what an empty cell means; nil: that it was not measured
}

// Default is "else WORD" or "else TEXT" of a property.
type Default struct {
	Span source.Span // from its keyword on
	Word *Name       // yes, no, left or right; or
	Text *Text
}

// Chart is
//
//	chart NAME of PROPERTY [by METHOD] per club
//	  LIST = Q [where CONDITION]
type Chart struct {
	Named
	Of   *Ref
	Rows []*ChartRow
}

// ChartRow is a row of a chart.
type ChartRow struct {
	Span  source.Span
	Items []*Item
	Value Expr
	Where Expr // nil where the row holds for each club of its list
}

// Let is "let NAME = FORMULA".
type Let struct {
	Named
	Value Expr
}

// Method is
//
//	method NAME "TITLE"
//	  covers every SELECTOR
//	  stop at lie | at Q | along axis
//	  top at cap edge | at cap end | at butt
//	  reads to Q
//	  lie-set within Q
//	  ruler within Q
type Method struct {
	Named
	Title  *Text
	Covers *Covers
	Stop   *Stop
	Top    *Top
	Reads  *QuantityClause
	LieSet *QuantityClause
	Ruler  *QuantityClause
}

// Covers is the clause that says which clubs a method can measure.
type Covers struct {
	Span     source.Span
	Selector *Selector
}

// StopKind is what stops the head. The zero value is invalid.
type StopKind int

// The stops.
const (
	StopAtLie     StopKind = iota + 1 // the ground, the club soled at its own lie
	StopAtAngle                       // a plane at a fixed angle to the shaft axis
	StopAlongAxis                     // the shaft axis itself or its straight extension
)

// Stop is the clause "stop at lie", "stop at Q" or "stop along axis".
type Stop struct {
	Span  source.Span
	Kind  StopKind
	Angle Expr // with StopAtAngle only
}

// TopKind is where a length ends at the top. The zero value is invalid.
type TopKind int

// The tops.
const (
	TopCapEdge TopKind = iota + 1
	TopCapEnd
	TopButt
)

// Top is the clause "top at cap edge", "top at cap end" or "top at butt".
type Top struct {
	Span source.Span
	Kind TopKind
}

// Allowance is "allowance cap|crown Q [within Q] [where CONDITION]".
type Allowance struct {
	Declaration
	Of     Name // cap or crown
	Amount Expr
	Within Expr // nil where it counts as exact
	Where  Expr
}

// Head is
//
//	head LIST [where CONDITION]
//	  reach Q [within Q]  camber ...  toe ...  toe-radius ...  heel ...  heel-radius ...
type Head struct {
	Declaration
	Items []*Item
	Where Expr
	Shape [6]*Measure // in the order of ShapeWords
}

// ShapeWords are the clause words of a head's shape, in the order of Head.Shape.
var ShapeWords = [6]string{"reach", "camber", "toe", "toe-radius", "heel", "heel-radius"}

// Measure is a clause of a head: a quantity with its half-width.
type Measure struct {
	Span   source.Span
	Value  Expr
	Within Expr // nil where it counts as exact
}

// Rule is
//
//	rule NAME "TITLE"      or      advice NAME "TITLE"
//	  for ...
//	  require ...
//	  unless CONDITION: exempt | BOUND
//	  decision ...
//	  from DATE  until DATE  cite "..."
//	  mend "..."  or  mend over "..."  and  mend under "..."
type Rule struct {
	Named
	Advice   bool
	Title    *Text
	For      *For
	Require  *Require
	Unless   []*Unless
	Decision *Decision
	From     *DateClause
	Until    *DateClause
	Cites    []*TextClause
	Mends    []*Mend
}

// Side is a side of a bound. The zero value is invalid.
type Side int

// The sides.
const (
	Over  Side = iota + 1 // too large
	Under                 // too small
)

// String returns the word for the side.
func (s Side) String() string { return [...]string{"", "over", "under"}[s] }

// Mend is mend "...", or for what lies beyond one side of the bound mend over "..." or
// mend under "...".
type Mend struct {
	Span source.Span
	Side Side // 0 for both
	Text Text
}

// Mend returns the mend for a side; nil where there is none.
func (d *Rule) Mend(s Side) *Mend {
	for _, m := range d.Mends {
		if m.Side == 0 || m.Side == s {
			return m
		}
	}
	return nil
}

// SubjectKind is what a rule is about. The zero value is invalid.
type SubjectKind int

// The subjects.
const (
	OfClub       SubjectKind = iota + 1 // for every SELECTOR
	OfSet                               // for each set [where CONDITION]
	OfNeighbours                        // for neighbours among SELECTOR by PROPERTY
)

// For is the clause that names a rule's subject.
type For struct {
	Span     source.Span
	Kind     SubjectKind
	Selector *Selector // for OfSet nil, or a condition on the set with no list
	By       *Ref      // the sort key, for OfNeighbours only
}

// Require is "require VALUE BOUND", or with a nil Bound "require FORMULA".
type Require struct {
	Span  source.Span
	Value Expr
	Bound *Bound
}

// BoundKind is the form of a bound. The zero value is invalid.
type BoundKind int

// The bounds. Is with a PlusMinus is "is Q +/- Q".
const (
	AtMost BoundKind = iota + 1
	AtLeast
	Below
	Above
	Between
	Is
	Within
)

// Bound is
//
//	at most Q | at least Q | below Q | above Q | between Q and Q2 |
//	is Q [+/- PlusMinus] | within Q of Of      each with  [allowing Allowing]
type Bound struct {
	Span      source.Span
	Kind      BoundKind
	Q         Expr
	Q2        Expr // of Between
	PlusMinus Expr // of Is
	Of        Expr // of Within
	Allowing  Expr
}

// Parts lists the formulas of a bound; a nil bound has none.
func (b *Bound) Parts() []Expr {
	if b == nil {
		return nil
	}
	return slices.DeleteFunc([]Expr{b.Q, b.Q2, b.PlusMinus, b.Of, b.Allowing}, func(e Expr) bool { return e == nil })
}

// Unless is "unless CONDITION: exempt" or "unless CONDITION: BOUND", with Else "else unless ...".
type Unless struct {
	Span      source.Span
	Else      bool
	Condition Expr
	Bound     *Bound // nil where it exempts
}

// DecisionKind is a decision rule. The zero value is invalid.
type DecisionKind int

// The decision rules.
const (
	Simple DecisionKind = iota + 1
	GuardedAcceptance
	GuardedRejection
	ThreeWay
)

// Decision is "decision simple" or "decision three-way at 95 %" and the like.
type Decision struct {
	Span  source.Span
	Kind  DecisionKind
	Level Expr // nil for Simple
}

// Selector is "LIST [except LIST] [where CONDITION]".
type Selector struct {
	Span   source.Span
	Items  []*Item
	Except []*Item
	Where  Expr
}

// Item is one member of a list: a kind, a group, "iron 5", "iron 5 to 9" or
// `wedge "PW"`.
type Item struct {
	Span source.Span
	Name Name
	From *Quantity // "iron 5"
	To   *Quantity // "iron 5 to 9"
	Mark *Text     // `wedge "PW"`
}

// Waive is
//
//	waive RULE "TEXT"
//	  on ...  from DATE  until DATE  cite "..."
type Waive struct {
	Declaration
	Rule  Name
	Text  *Text
	On    *WaiveOn
	From  *DateClause
	Until *DateClause
	Cites []*TextClause
}

// WaiveOn is what a waiver is granted to: "on CLUB [of SET]", "on CLUB and CLUB [of SET]" or "on set SET".
type WaiveOn struct {
	Span  source.Span
	Clubs []*ID // one club, or two neighbours in any order; none for a whole set
	Set   *ID   // nil on a sheet without sets
}

// Case is
//
//	case "TITLE"
//	  set ID
//	  club ID: KIND [NUMBER|TEXT], PROPERTY VALUE [+/- Q] [by METHOD], ...
//	  order ID: KIND ...
//	  on DATE
//	  expect ...
type Case struct {
	Declaration
	Title   *Text
	On      *DateClause
	Sets    []*CaseSet // in order; the first has a nil ID where clubs come before any "set"
	Expects []*Expect

	ClubsLost bool // a club or a set could not be read, so an id may be one of theirs
}

// CaseSet is a bag of a case.
type CaseSet struct {
	Span   source.Span
	ID     *ID
	Clubs  []*CaseClub
	Orders []*CaseClub // what was ordered for them
}

// ID is the id of a club or a set in a case: a name, a number or a text.
type ID struct {
	Span  source.Span
	Value string
}

// CaseClub is a club of a case, or what was ordered for one.
type CaseClub struct {
	Span  source.Span
	ID    *ID
	Club  *Item // the kind with its number or mark
	Props []*CaseProp
}

// CaseProp is a property of a club of a case with one reading.
type CaseProp struct {
	Span      source.Span
	Name      Name
	Value     Expr // *Quantity, *Unary of one, *TextLit, *DateLit or *Ref (left, right, yes, no)
	PlusMinus Expr
	By        *Name
}

// Expect is
//
//	expect RULE on ID[ of SETID][, ID]: VERDICT [value Q +/- Q] [excepted] [mend "..."]
//	expect RULE on set [ID]: VERDICT ...
type Expect struct {
	Span      source.Span
	Rule      Name
	OnSet     bool
	Set       *ID // the set of "on set ID"
	On        []*ExpectClub
	Verdict   Name
	Value     Expr
	PlusMinus Expr
	Excepted  bool
	Mend      *Text
}

// ExpectClub names a club of the case, with its set where two bags share the id.
type ExpectClub struct {
	Span source.Span
	ID   *ID
	Of   *ID
}
