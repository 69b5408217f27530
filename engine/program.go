// Package engine judges clubs, neighbours and sets by checked rule books. Compile
// turns books into a Program, which never changes and may be shared; a Judge
// does the work of one goroutine and gives Results with the recorded facts behind
// each of them.
//
// program.go holds the Program, judge.go the way through a set, select.go the
// selectors, walk.go and names.go the recording walk over formulas, lower.go the same formulas
// compiled for execution, fast.go the short way for what plainly passes, lengths.go a length brought to
// another method, budget.go its uncertainty shown, outcome.go exceptions and bounds, pairs.go and whole.go the
// rules about neighbours and whole sets, remedy.go what to do about a result, result.go what comes out.
package engine

import (
	"cmp"
	"maps"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Program is a set of rule books ready to judge. It is immutable and safe for
// concurrent use.
type Program struct {
	Books  []*book.Book // the books named, in order
	Schema *catalogue.Schema

	rules    []*rule
	methods  map[string]*book.Method
	planned  *book.Method // of lengths that are planned
	covering map[*book.Method]*selector
	charts   map[*book.Chart][]candidate
	tools    toolbox
	texts    []knownTexts // with which the books compare properties
}

// rule is a rule made ready.
type rule struct {
	*book.Rule
	info     *book.Info
	selector *selector // nil for a rule about a set
	key      catalogue.ID
	keyed    bool   // neighbours are sorted by a plain property, key
	bound    *bound // nil: the value is a condition
	unless   []*exception
	decision decide.Rule
	swing    bool // the value is a swing weight
	formula  *formula
	pairing  *pairing // of a rule about neighbours
}

// exception is an exception made ready.
type exception struct {
	*book.Exception
	bound   *bound // nil where it exempts
	formula *formula
}

// Compile prepares books for judging. The books must be free of errors and share
// the schema; a rule that two of them bring in is judged once.
func Compile(books []*book.Book, schema *catalogue.Schema) *Program {
	p := &Program{Books: books, Schema: schema,
		methods: map[string]*book.Method{}, covering: map[*book.Method]*selector{}, charts: map[*book.Chart][]candidate{}}
	seen := map[*book.Rule]bool{}
	for _, b := range book.Reach(books) {
		p.learn(b)
	}
	for _, b := range books {
		for _, r := range b.Judged() {
			if !seen[r] {
				seen[r] = true
				p.rules = append(p.rules, prepare(r))
			}
		}
	}
	p.planning()
	p.tools.settleKinds()
	return p
}

// learn takes in the methods, charts, heads and allowances of a book.
func (p *Program) learn(b *book.Book) {
	p.tools.stock(b)
	p.learnTexts(b)
	for _, h := range b.Charts {
		for _, row := range h.Decl.Rows {
			p.charts[h] = append(p.charts[h], candidate{b.Info, row.Items, row.Where, row.Span})
		}
	}
	for _, m := range b.Methods {
		if name := m.Decl.Name.Text; p.methods[name] == nil {
			p.methods[name] = m
		}
		if m.Decl.Covers != nil {
			p.covering[m] = newSelector(m.Decl.Covers.Selector, b.Info)
		}
	}
}

func prepare(r *book.Rule) *rule {
	info := r.Book.Info
	out := &rule{
		Rule: r, info: info, bound: newBound(r.Bound), swing: isSwingWeight(r.Value.Expr, info), formula: newFormula(r.Value.Expr, info),
		decision: decide.Rule{Kind: decisionKinds[r.Decision.Kind], Level: r.Decision.Level},
	}
	if r.Among.Decl != nil {
		out.selector = newSelector(r.Among.Decl, info)
	}
	if r.Subject == ast.OfNeighbours {
		if by := r.By.Ref(); by != nil && by.Kind == book.RefProperty && !by.Property.ByMethod {
			out.key, out.keyed = by.Property.ID, true
		}
		out.pairing = newPairing(r)
	}
	for _, e := range r.Unless {
		out.unless = append(out.unless, &exception{Exception: e, bound: newBound(e.Bound), formula: newFormula(e.When.Expr, info)})
	}
	return out
}

var decisionKinds = map[ast.DecisionKind]decide.Kind{
	ast.Simple: decide.Simple, ast.GuardedAcceptance: decide.GuardedAcceptance,
	ast.GuardedRejection: decide.GuardedRejection, ast.ThreeWay: decide.ThreeWay,
}

// Rules returns every rule that is judged, in the order of the books.
func (p *Program) Rules() []*book.Rule {
	out := make([]*book.Rule, len(p.rules))
	for i, r := range p.rules {
		out[i] = r.Rule
	}
	return out
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

// Methods lists the names of the methods that the books know, sorted.
func (p *Program) Methods() []string { return sortedKeys(p.methods) }

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// Covers tells why a method does not cover a club; nil where it does, where the method is not known, and where that
// cannot be told for want of a measurement.
func (p *Program) Covers(method string, c *club.Club) *value.Lack {
	if m := p.methods[method]; m != nil {
		if in := p.covered(m, c); in.Truth == value.False {
			return &in.Lacks[0]
		}
	}
	return nil
}

// covered tells whether a method covers a club, and if not or if that cannot be told, why.
func (p *Program) covered(m *book.Method, c *club.Club) value.Value {
	s := p.covering[m]
	if s == nil {
		return value.TruthOf(true)
	}
	in := value.TruthOf(true)
	switch s.quick(c) {
	case value.False:
		in = value.TruthOf(false)
	case value.Unknown:
		x := env{j: p.scratch(), info: s.info, club: c, bag: &bag{}}
		in = x.takes(s.decl)
	}
	if in.Truth == value.False {
		why := value.Lack{Kind: value.NotCovered, By: m.Decl.Name.Text, Words: c.Kind.Plural()}
		if s.decl.Where != nil {
			why.At = s.decl.Span
		}
		in.Lacks = []value.Lack{why}
	}
	return in
}

// Takes tells whether a rule about clubs or neighbours is about a club of a set. It is
// Unknown where that cannot be told for want of a measurement, and for a rule about
// whole sets.
func (p *Program) Takes(r *book.Rule, s *club.Set, c *club.Club) value.Truth {
	for _, one := range p.rules {
		if one.Rule == r && one.selector != nil {
			x := env{j: p.scratch(), info: one.info, club: c, bag: &bag{set: s, clubs: s.Clubs, refused: s.Refused}}
			return x.takes(one.Among.Decl).Truth
		}
	}
	return value.Unknown
}
