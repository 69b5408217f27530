// Package catalogue names what the tool knows about clubs before any rule book
// is read: the kinds of club, the sorts of property, the properties themselves
// and the columns of a sheet. A Schema adds what rule books declare.
package catalogue

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Kind is a kind of club. The zero value is not a kind.
type Kind uint8

// The kinds of club, from the longest to the shortest as a bag is laid out.
const (
	NoKind Kind = iota
	Driver
	Fairway
	Hybrid
	Iron
	Wedge
	Putter
	Chipper
)

var kindNames = [...]string{"", "driver", "fairway", "hybrid", "iron", "wedge", "putter", "chipper"}

// Kinds lists every kind in order.
func Kinds() []Kind { return []Kind{Driver, Fairway, Hybrid, Iron, Wedge, Putter, Chipper} }

// KindNames lists the words for the kinds, in order.
func KindNames() []string { return slices.Clone(kindNames[Driver:]) }

// String returns the word for the kind; "" for none.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return ""
}

// KindOf returns the kind of that name, singular or plural; NoKind where there
// is none.
func KindOf(name string) Kind {
	return Kind(1 + slices.Index(kindNames[Driver:], strings.TrimSuffix(name, "s")))
}

// Plural returns the word for several clubs of the kind.
func (k Kind) Plural() string { return k.String() + "s" }

// Article is the kind with its article: "an iron"; "a club" for no kind.
func (k Kind) Article() string {
	if k == NoKind {
		return "a club"
	}
	return unit.Article(k.String())
}

// Sort is what a property holds. The zero value is not a sort.
type Sort uint8

// The sorts of property, in the words of the language.
const (
	NoSort      Sort = iota
	Length           // a length; with a method unless it is a part's own (a grip's)
	Angle            // "angle"
	Mass             // "mass"
	Time             // "time"
	Frequency        // "frequency"
	Area             // "area"
	Volume           // "volume"
	Inertia          // "inertia"
	Moment           // "moment"
	LineMass         // "line-mass"
	SwingWeight      // "swingweight"
	Count            // "count"
	Ratio            // "ratio"
	Date             // "date"
	YesNo            // "yes-no"
	Text             // "text"
	KindSort         // the kind of the club itself; no book can declare it
)

// sorts are the sorts with their words, their dimensions, and a common figure of a property that a book declares, in
// the unit that unit.Base shows. That of days is the first of 2020.
var sorts = [...]struct {
	name   string
	dim    unit.Dim
	common float64
}{
	Length: {"length", unit.Length, 2}, Angle: {"angle", unit.Angle, 5}, Mass: {"mass", unit.Mass, 50},
	Time: {"time", unit.Time, 200}, Frequency: {"frequency", unit.Frequency, 300}, Area: {"area", unit.Area, 0.001},
	Volume: {"volume", unit.Volume, 50}, Inertia: {"inertia", unit.Inertia, 3000},
	Moment: {"moment", unit.Moment, 200}, LineMass: {"line-mass", unit.LineMass, 2},
	SwingWeight: {"swingweight", unit.Swing, 32}, Count: {name: "count", common: 3}, Ratio: {"ratio", unit.Ratio, 0.5},
	Date: {name: "date", common: 18262}, YesNo: {name: "yes-no"}, Text: {name: "text"}, KindSort: {name: "kind"},
}

// String returns the word for the sort.
func (s Sort) String() string { return sorts[s].name }

// Dim returns the dimension of a numeric sort, Count for the others.
func (s Sort) Dim() unit.Dim { return sorts[s].dim }

// SortOf returns the sort of that name as a book may declare it; NoSort where
// there is none.
func SortOf(name string) Sort { return Sort(1 + slices.Index(SortNames(), name)) }

// SortNames lists the sorts that a book may declare.
func SortNames() []string {
	var names []string
	for s := Length; s < KindSort; s++ {
		names = append(names, s.String())
	}
	return names
}

// Numeric reports whether values of the sort are quantities with a dimension.
func (s Sort) Numeric() bool { return s >= Length && s <= Ratio }

// Property is one measurable or recorded thing about a club.
type Property struct {
	ID       ID
	Name     string
	Sort     Sort
	ByMethod bool     // a length that means something only by a method: its values carry one
	Method   string   // the method that a declared length names once for all; "" where each reading names its own
	Texts    []string // the texts that a cell may hold, where a book lists them; else nil
	Like     ID       // the line of the catalogue that says which readings are possible, of a column of a cutting list
	MethodIn ID       // the text of its row that names its method; 0 for none
	Ordered  bool     // what an order has of it, under a name of its own
}

// AsOrdered returns the property as an order beside the sheet has it.
func (p Property) AsOrdered() Property {
	p.Name, p.Ordered = "ordered "+p.Name, true
	return p
}

// Column returns the name of its column, on a sheet or on an order.
func (p Property) Column() string { return strings.TrimPrefix(p.Name, "ordered ") }

// Schema is the list of properties that a sheet may hold: the known ones and
// those that the loaded books declare. It is built once and only read then.
type Schema struct {
	props  []Property
	byName map[string]ID
}

// NewSchema returns a schema of the known properties.
func NewSchema() *Schema {
	s := &Schema{byName: make(map[string]ID, int(KnownProperties))}
	for _, p := range known {
		s.add(Property{Name: p.name, Sort: p.sort, ByMethod: p.byMethod})
	}
	return s
}

// DeclarePart adds a column of a cutting list, behind the one that names its method, if any does.
func (s *Schema) DeclarePart(name string) (p Property, err error) {
	i := slices.IndexFunc(lines, func(l line) bool { return l.name == name })
	p = Property{Name: name, Sort: lines[i].sort, Like: ID(i), MethodIn: s.byName[lines[i].methodIn]}
	p.ID, err = s.Declare(p)
	return p, err
}

func (s *Schema) add(p Property) ID {
	p.ID = ID(len(s.props))
	s.props = append(s.props, p)
	s.byName[p.Name] = p.ID
	return p.ID
}

// Declare adds a property that a book declares and returns its ID. A second
// declaration of the same name, sort and method is the same property; one that
// differs is an error that names the first. Known names cannot be declared.
func (s *Schema) Declare(p Property) (ID, error) {
	if id, ok := s.byName[p.Name]; ok {
		q := s.props[id]
		switch {
		case id < KnownProperties:
			return id, fmt.Errorf("%s is a property that ferrule already knows (%s)", p.Name, q.Sort)
		case q.Sort != p.Sort || q.ByMethod != p.ByMethod || q.Method != p.Method:
			return id, fmt.Errorf("%s is declared as %s and as %s", p.Name, q.describe(), p.describe())
		case p.Texts != nil && q.Texts != nil && !sameTexts(p.Texts, q.Texts):
			return id, fmt.Errorf("%s is declared with two lists of texts", p.Name)
		case p.Texts != nil:
			s.props[id].Texts = p.Texts
		case p.Like != 0:
			s.props[id].Like, s.props[id].MethodIn = p.Like, p.MethodIn
		}
		return id, nil
	}
	return s.add(p), nil
}

// sameTexts reports whether two lists hold the same texts, in whatever order.
func sameTexts(a, b []string) bool {
	in := func(list []string) func(string) bool {
		return func(s string) bool { return !Listed(list, s) }
	}
	return !slices.ContainsFunc(a, in(b)) && !slices.ContainsFunc(b, in(a))
}

func (p Property) describe() string {
	if p.Method != "" {
		return p.Sort.String() + " by " + p.Method
	}
	return p.Sort.String()
}

// Lookup returns the property of that name.
func (s *Schema) Lookup(name string) (Property, bool) {
	id, ok := s.byName[name]
	if !ok {
		return Property{}, false
	}
	return s.props[id], true
}

// Property returns the property of an ID of this schema.
func (s *Schema) Property(id ID) Property { return s.props[id] }

// Len returns how many properties there are; IDs are below it.
func (s *Schema) Len() int { return len(s.props) }

// Names lists every property, the known ones first.
func (s *Schema) Names() []string {
	return lists.Each(s.props, func(p Property) string { return p.Name })
}
