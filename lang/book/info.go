package book

// This file holds the facts about the nodes of a tree: what formulas give and what names mean.

import (
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// TypeKind says what a formula gives. The zero value is invalid: the formula
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
// which are a count or a ratio as the other side wants. Places is of swing weights: how often a place on their scale is
// in the formula, 1 for D2 and 0 for the step 3 pts; NaN where that is not clear.
type Type struct {
	Kind   TypeKind
	Dim    unit.Dim
	Bare   bool
	Places float64
}

// IsSwingWeight reports whether it is a swing weight, to be shown as D2, not a step between two.
func (t Type) IsSwingWeight() bool { return t.Dim == unit.Swing && t.Places == 1 }

// RefKind says what a name in a formula means. The zero value is unresolved.
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
	Property catalogue.Property // of RefProperty, of the club or of its order
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
	Texts     map[catalogue.ID][]string         // with which a property is compared, anywhere in the book
	Shares    map[*ast.Bound]*Share             // of each "within 2 % of X"
	SharesOf  map[*ast.ShareOfReadings]*ast.Ref // the property whose readings are meant
	Defaults  map[catalogue.ID]*Default         // what an empty cell means, as this book or one that it uses says
	Named     []Named                           // every name of the book that something declares
}

// Named is a name where it is written, and the name where it is declared: the same place for a declaration itself. One
// declaration names another where two books declare one property.
type Named struct{ At, Declared source.Span }

// Facts are what a formula asks for, through all the names in it.
type Facts struct {
	Cost     int  // nodes to work out
	Depth    int  // names that need each other one after the other
	Club     bool // it is about one club, or what all clubs of a bag carry
	Own      bool // it is about one club, and no bag as a whole can carry it: a chart, readings, what was ordered
	Measured bool // a length by a method, whose reading is never sure
	Bag      bool // a value of the set, anywhere in it
	Today    bool // it depends on the day of the check
	Faulty   bool // a mistake was reported in it, or in a name
}

// Add takes in the facts of a name in the formula.
func (f *Facts) Add(g Facts) {
	f.AddInner(g)
	f.Club = f.Club || g.Club
	f.Own = f.Own || g.Own
}

// AddInner takes in the facts of a formula about other clubs, as in "longest of V".
func (f *Facts) AddInner(g Facts) {
	f.Cost = min(f.Cost+g.Cost, 1<<40)
	f.Depth = max(f.Depth, g.Depth)
	f.Measured = f.Measured || g.Measured
	f.Bag = f.Bag || g.Bag
	f.Today = f.Today || g.Today
	f.Faulty = f.Faulty || g.Faulty
}

// Named returns the facts of a let whose formula has these facts.
func (f Facts) Named() Facts {
	f.Depth++
	f.Cost++
	return f
}
