// Package judge judges clubs, neighbours and sets by checked rule books. Compile
// turns books into a Program, which never changes and may be shared; a Judge
// does the work of one goroutine and gives Results with the recorded facts behind
// each of them.
//
// program.go holds the Program, judge.go the way through a set, and result.go what comes out. outcome.go is about
// exceptions, bounds and what plainly passes, weigh.go about which exception counts, pairs.go about neighbours.
// members.go says what values of a set come from, unread.go which settings could not be read, remedy.go what to do
// about a result. budget.go has lengths with their uncertainty, probe.go single questions about single clubs.
package judge

import (
	"cmp"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
)

// Program is a set of rule books ready to judge. It is immutable and safe for
// concurrent use.
type Program struct {
	Books []*book.Book // the books named, in order
	*eval.Declared
	rules []*rule
}

// rule is a rule made ready.
type rule struct {
	*book.Rule
	index    int            // among the rules of its program
	selector *eval.Selector // nil for a rule about a set
	key      catalogue.ID
	keyed    bool   // neighbours are sorted by a plain property, key
	bound    *bound // nil: the value is a condition
	unless   []*exception
	decision decide.Rule
	swing    bool // the value is a swing weight
	formula  *eval.Formula
	step     *ast.Step // of a rule about neighbours: the drop or the rise that it asks for
}

// exception is an exception made ready.
type exception struct {
	*book.Exception
	bound   *bound // nil where it exempts
	formula *eval.Formula
}

// Compile prepares books for judging. The books must be free of errors and share
// the schema; a rule that two of them bring in is judged once.
func Compile(books []*book.Book, schema *catalogue.Schema) *Program {
	p := &Program{Books: books, Declared: eval.Declare(books, schema)}
	seen := map[*book.Rule]bool{}
	for _, b := range books {
		for _, r := range b.Judged() {
			if !seen[r] {
				seen[r] = true
				one := prepare(r)
				one.index = len(p.rules)
				p.rules = append(p.rules, one)
			}
		}
	}
	return p
}

func prepare(r *book.Rule) *rule {
	info := r.Book.Info
	out := &rule{Rule: r, bound: newBound(r.Bound), formula: eval.NewFormula(r.Value), decision: DecisionOf(r),
		swing: r.Value.Type().IsSwingWeight()}
	if r.Subject != ast.OfSet {
		out.selector = eval.NewSelector(r.Among.Decl, info)
	}
	if r.Subject == ast.OfNeighbours {
		if by := r.By.Ref(); by != nil && by.Kind == book.RefProperty && !by.Property.ByMethod && !by.Property.Ordered {
			out.key, out.keyed = by.Property.ID, true
		}
		out.step = stepOf(r)
	}
	for _, e := range r.Unless {
		out.unless = append(out.unless, &exception{e, newBound(e.Bound), eval.NewFormula(e.When)})
	}
	return out
}

var decisionKinds = map[ast.DecisionKind]decide.Kind{
	ast.Simple: decide.Simple, ast.GuardedAcceptance: decide.GuardedAcceptance,
	ast.GuardedRejection: decide.GuardedRejection, ast.ThreeWay: decide.ThreeWay,
}

// DecisionOf returns how a rule decides.
func DecisionOf(r *book.Rule) decide.Rule {
	return decide.Rule{Kind: decisionKinds[r.Decision.Kind], Level: r.Decision.Level}
}

// Rules returns every rule that is judged, in the order of the books.
func (p *Program) Rules() []*book.Rule {
	return lists.Each(p.rules, func(r *rule) *book.Rule { return r.Rule })
}

// NotInForce returns the rules that are not in force on a day.
func (p *Program) NotInForce(on book.Day) []*book.Rule {
	var out []*book.Rule
	for _, r := range p.rules {
		if !r.InForce(on) {
			out = append(out, r.Rule)
		}
	}
	return out
}

// Takes reports whether a rule about clubs or neighbours is about a club of a set. It is
// Unknown where that is not known for lack of a measurement, and for a rule about
// whole sets.
func (p *Program) Takes(r *book.Rule, s *club.Set, c *club.Club) value.Truth {
	for _, one := range p.rules {
		if one.Rule == r && one.selector != nil {
			bag := &eval.Bag{Set: s, Clubs: s.Clubs, Refused: s.Refused}
			x := eval.Env{Bench: p.NewBench(), Info: one.Book.Info, Club: c, Bag: bag}
			in, _ := x.Picks(one.selector)
			return in
		}
	}
	return value.Unknown
}

// Asks reports for each property whether something in the books, or in those that they use, looks at it, or it is
// one of more. A length that is read by a method may be brought to another one, so it asks for the lie as well.
func (p *Program) Asks(more ...catalogue.ID) func(catalogue.ID) bool {
	asked := p.asks(false)
	for _, id := range more {
		asked.add(p.Schema.Property(id))
	}
	return asked.of
}

// AsksOrder does so for an order beside the sheet, of which more is asked where a length is converted.
func (p *Program) AsksOrder() func(catalogue.ID) bool {
	asked := p.asks(true)
	if !asked.of(catalogue.Lie) {
		return asked.of
	}
	visit := func(part book.Part) bool {
		if r := part.Ref(); r != nil && r.Kind == book.RefProperty {
			asked.add(r.Property)
		}
		return true
	}
	for _, b := range book.Reach(p.Books) {
		for _, h := range b.Heads {
			book.Part{Expr: h.Decl.Where, Info: b.Info}.Visit(visit, nil)
		}
		for _, a := range b.Allowances {
			book.Part{Expr: a.Decl.Where, Info: b.Info}.Visit(visit, nil)
		}
		for _, m := range b.Methods {
			book.Clubs{Decl: cmp.Or(m.Decl.Covers, &ast.Covers{}).Selector, Info: b.Info}.Visit(visit, nil)
		}
	}
	return asked.of
}

// asked says of each property whether it is looked at.
type asked []bool

func (a asked) of(id catalogue.ID) bool { return int(id) >= len(a) || a[id] }

func (a asked) add(q catalogue.Property) {
	if a[q.ID] = true; q.ByMethod {
		a[catalogue.LengthID], a[catalogue.Lie] = true, true
	}
}

// asks are the properties that the books look at, on the sheet or on an order. The lie of the club counts where its
// order has none.
func (p *Program) asks(ordered bool) asked {
	out := make(asked, p.Schema.Len())
	for _, b := range book.Reach(p.Books) {
		for _, r := range b.Info.Refs {
			switch {
			case r.Kind != book.RefProperty:
			case r.Property.Ordered == ordered:
				out.add(r.Property)
			case !ordered && r.Property.ByMethod:
				out[catalogue.Lie] = true
			}
		}
	}
	return out
}
