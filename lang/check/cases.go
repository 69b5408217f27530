package check

// This file checks the cases of a book: their clubs, what was read of them, and what is
// expected of rules.

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// verdicts are the words for what may come out of a rule.
var verdicts = []string{"pass", "fail", "too-close", "unmeasured", "exempt"}

func (c *checker) testCase(d *ast.Case) {
	c.lacking(d.Broken, firstLine(d.Span), "this case", clause{"expect", len(d.Expects) > 0})
	sets := map[string]*ast.CaseSet{}
	in := map[string][]*ast.CaseSet{} // the sets that hold a club of an id
	for _, set := range d.Sets {
		if set.ID != nil {
			if before := sets[catalogue.Key(set.ID.Value)]; before != nil {
				c.beside(diag.CaseClub, set.ID.Span, before.ID.Span, "it is given here first", "another id",
					"two sets of this case are called %s", set.ID.Value)
			}
			sets[catalogue.Key(set.ID.Value)] = set
		}
		ids := c.clubs(set.Clubs, "two clubs of this set are called %s")
		for id := range ids {
			in[id] = append(in[id], set)
		}
		c.clubs(set.Orders, "two lines of this set order %s")
		for _, o := range set.Orders {
			if ids[catalogue.Key(o.ID.Value)] == nil && !d.ClubsLost {
				c.wrong(diag.CaseClub, o.ID.Span, "the id of a club of the same set",
					"this set has no club %s to hold the order against", diag.Quote(o.ID.Value))
			}
		}
	}
	for _, e := range d.Expects {
		c.expect(d, e, in)
	}
	if !d.Broken {
		c.book.Cases = append(c.book.Cases, d)
	}
}

// clubs checks clubs of a case, or what was ordered, and returns them by their ids.
func (c *checker) clubs(all []*ast.CaseClub, twice string) map[string]*ast.CaseClub {
	ids := map[string]*ast.CaseClub{}
	for _, club := range all {
		id := catalogue.Key(club.ID.Value)
		if before := ids[id]; before != nil {
			c.beside(diag.CaseClub, club.ID.Span, before.ID.Span, "it is given here first", "another id", twice,
				club.ID.Value)
		} else {
			ids[id] = club
		}
		c.club(club)
	}
	return ids
}

// club checks a club of a case with its readings.
func (c *checker) club(club *ast.CaseClub) {
	item := club.Club
	if kind := catalogue.KindOf(item.Name.Text); kind == catalogue.NoKind {
		c.oneOf(diag.CaseClub, item.Name, "kind of club", catalogue.KindNames())
	} else {
		c.info.Items[item] = &book.ItemInfo{Kind: kind}
	}
	if item.From != nil {
		number, _ := c.known("number")
		c.sense(item.From.Span, number, item.From.Value.Base())
	}
	first := map[string]*ast.CaseProp{}
	for _, p := range club.Props {
		of := c.read(p.Name)
		if of == nil {
			continue
		}
		prop, own := of.Of, of.Method
		before := first[prop.Name]
		if before == nil {
			first[prop.Name] = p
		}
		c.reading(club, p, prop, own, before)
	}
}

// sense reports an amount that no club can have.
func (c *checker) sense(at source.Span, p catalogue.Property, amount float64) {
	if within := catalogue.Senseless(p, amount); within != "" {
		c.wrong(diag.SenselessFigure, at, within, "%s cannot be %s", p.Name, text(at))
	}
}

// read is the property that a case gives a reading of; nil where there is none.
func (c *checker) read(name ast.Name) *book.Property {
	e := c.find(values, name)
	switch {
	case e == nil:
		c.unknown(values, name, "property")
	case e.Faulty:
	case e.Property == nil:
		c.wrong(diag.CaseReading, name.Span, "a property",
			"%s is a %s, which is worked out, not read", name.Text, e.what())
	default:
		return e.Property
	}
	return nil
}

// misread reports what cannot be read of a club.
func (c *checker) misread(at source.Span, message, expected, hint string) {
	c.hinted(diag.CaseReading, at, expected, hint, "%s", message)
}

// reading checks a reading; before is the first of the same property, nil for the first.
func (c *checker) reading(club *ast.CaseClub, r *ast.CaseProp, p catalogue.Property, own *book.Method,
	before *ast.CaseProp) {
	switch {
	case p.ID == catalogue.KindID:
		c.misread(r.Span, "the kind of a club comes after its id", "club ID: KIND", "")
		return
	case p.ID == catalogue.Number && club.Club.From != nil, p.ID == catalogue.Mark && club.Club.Mark != nil:
		c.misread(r.Span, fmt.Sprintf("this club already has its %s, after its kind", p.Name), "it once", "")
		return
	case before != nil && !p.Sort.Numeric():
		c.misread(r.Span, p.Name+" is given twice for this club", "it once; only measurements are repeated", "")
		return
	case before != nil && methodWord(before, own) != methodWord(r, own):
		c.misread(r.Span, "the readings of one club must be by one method; these are by two", "one method", "")
	}
	c.readingMethod(r, p, own)
	if p.Sort.Numeric() {
		what := [3]string{"a reading", "a half-width", p.Name}
		if k := c.plusMinus(r.Value, r.PlusMinus, quantity(p.Sort.Dim()), what); k != nil {
			c.sense(r.Value.Place(), p, k.Base)
		}
		return
	}
	if r.PlusMinus != nil {
		c.misread(r.PlusMinus.Place(), p.Name+" is not a measurement, so it takes no +/-", "the value alone", "")
	}
	c.word(r, p)
}

// methodWord is the method of a reading, that of its property where it names none.
func methodWord(r *ast.CaseProp, own *book.Method) string {
	switch {
	case r.By != nil:
		return r.By.Text
	case own != nil:
		return own.Decl.Name.Text
	}
	return ""
}

// plusMinus checks "Q +/- Q", whose half-width may be missing, and returns the value; nil where it is faulty. What says
// what the two are, and of what.
func (c *checker) plusMinus(value, half ast.Expr, want book.Type, what [3]string) *book.Constant {
	c.expr(value, scope{constantFor: what[0], facts: &book.Facts{}})
	why := what[2] + " is " + describe(want)
	if half != nil {
		step := want
		step.Places = 0
		if k := c.figure(half, what[1]); k != nil && c.fits(half, step, why) {
			c.sensible(half, k, notBelowZero, what[1])
		}
		c.sharedUnit(value, half)
	}
	// A unit after the half-width is that of both, so its lack is reported there alone.
	if c.unitLeftOut(value, half, want.Dim) || !c.fits(value, want, why) {
		return nil
	}
	return c.info.Constants[value]
}

// sharedUnit gives a plain number the unit of its half-width, as in 61 +/- 0.5 deg.
func (c *checker) sharedUnit(value, half ast.Expr) {
	q, ok := half.(*ast.Quantity)
	k, t := c.info.Constants[value], c.info.Types[value]
	if !ok || k == nil || !t.Bare || !q.Value.HasUnit {
		return
	}
	one := unit.Quantity{Number: big.NewRat(1, 1), Unit: q.Value.Unit}
	k.Exact = new(big.Rat).Mul(k.Exact, one.Exact())
	k.Base, k.Unit = unit.RoundExact(k.Exact), q.Value.Unit
	c.info.Types[value] = quantity(q.Value.Dim())
}

// unitLeftOut reports whether a value of dimension d and its half-width are both written without a unit.
func (c *checker) unitLeftOut(value, half ast.Expr, d unit.Dim) bool {
	bare := func(e ast.Expr) bool {
		if u, ok := e.(*ast.Unary); ok {
			e = u.X
		}
		q, ok := e.(*ast.Quantity)
		return ok && !q.Value.HasUnit
	}
	_, fits := like(c.info.Types[value], quantity(d))
	return half != nil && bare(value) && bare(half) && !fits
}

// readingMethod checks the method of a reading.
func (c *checker) readingMethod(r *ast.CaseProp, p catalogue.Property, own *book.Method) {
	switch {
	case r.By != nil && !p.ByMethod:
		c.misread(r.By.Span, p.Name+" is not measured by a method", "the value alone", "")
	case r.By != nil:
		if m := c.method(*r.By); m != nil && own != nil && m != own {
			c.misread(r.By.Span, fmt.Sprintf("%s is a length by %s", p.Name, own.Decl.Name.Text),
				"by "+own.Decl.Name.Text+", or no method", own.Decl.Name.Text)
		}
	case p.ByMethod && own == nil:
		c.bareLength(r.Span, p)
	}
}

// word checks a value that is not a quantity.
func (c *checker) word(r *ast.CaseProp, p catalogue.Property) {
	ref, _ := r.Value.(*ast.Ref)
	lit, _ := r.Value.(*ast.TextLit)
	_, day := r.Value.(*ast.DateLit)
	hint := ""
	switch words := choices(p); {
	case words != nil && (ref == nil || !slices.Contains(words, ref.Name.Text)):
		if lit != nil && slices.Contains(words, lit.Value) {
			hint = lit.Value
		}
		either := unit.Listed(words, "or")
		c.misread(r.Value.Place(), fmt.Sprintf("%s is %s, and %s is neither", p.Name, either, shown(r.Value)), either,
			hint)
	case words != nil:
	case p.Sort == catalogue.Date && !day:
		c.misread(r.Value.Place(), fmt.Sprintf("%s is a day, and %s is not", p.Name, shown(r.Value)),
			"a day, as in 2026-04-18", "")
	case p.Sort == catalogue.Text && lit != nil:
		c.onList(lit.Span, p, lit.Value, c.texts[p.ID])
	case p.Sort == catalogue.Text:
		if ref != nil {
			hint = `"` + ref.Name.Text + `"`
		}
		c.misread(r.Value.Place(), fmt.Sprintf("%s is a text, and %s is not", p.Name, shown(r.Value)),
			"a text in quotation marks", hint)
	}
}

// unmet reports what a case cannot expect.
func (c *checker) unmet(at source.Span, message, expected, hint string) {
	c.hinted(diag.CaseExpectation, at, expected, hint, "%s", message)
}

// expect checks an expectation.
func (c *checker) expect(d *ast.Case, e *ast.Expect, in map[string][]*ast.CaseSet) {
	if !slices.Contains(verdicts, e.Verdict.Text) {
		c.oneOf(diag.CaseExpectation, e.Verdict, "verdict", verdicts)
	}
	if rule := c.find(rules, e.Rule); d.ClubsLost || c.subjectsThere(d, e, in) {
		c.expectRule(d, e, rule)
	}
}

// expectRule checks an expectation against its rule.
func (c *checker) expectRule(d *ast.Case, e *ast.Expect, ent *entry) {
	if ent == nil {
		c.unknown(rules, e.Rule, "rule")
		return
	}
	if ent.Faulty || ent.Rule == nil || ent.Rule.Decl.For == nil || ent.Rule.Decl.Require == nil {
		return
	}
	r := ent.Rule
	kind := r.Decl.For.Kind
	switch {
	case kind == ast.OfSet && !e.OnSet:
		c.unmet(e.On[0].Span, r.Decl.Name.Text+" is about a whole set", "on set", "set")
	case kind != ast.OfSet && e.OnSet:
		c.unmet(e.Span, r.Decl.Name.Text+" is not about a whole set",
			map[ast.SubjectKind]string{ast.OfClub: "on and the id of a club",
				ast.OfNeighbours: "on and the ids of two clubs"}[kind], "")
	case kind == ast.OfClub && len(e.On) != 1:
		c.unmet(e.On[1].Span, r.Decl.Name.Text+" is about one club at a time", "one id", "")
	case kind == ast.OfNeighbours && len(e.On) != 2 && e.Verdict.Text != "unmeasured":
		c.unmet(e.On[0].Span, r.Decl.Name.Text+" is about two clubs at a time",
			"two ids, the first and the second club", "")
	}
	if d.On != nil {
		if day, ok := book.ParseDay(d.On.Date.Value); ok && !r.InForce(day) {
			c.unmet(e.Rule.Span, fmt.Sprintf("%s is not in force on %s, so it gives no verdict", r.Decl.Name.Text, day),
				"a day on which it is in force, or no day", "")
		}
	}
	if e.Excepted && len(r.Decl.Unless) == 0 {
		c.unmet(e.Rule.Span, r.Decl.Name.Text+" has no exceptions", "the verdict without excepted", "")
	}
	c.expectValue(e, r)
}

// expectValue checks the value that is expected.
func (c *checker) expectValue(e *ast.Expect, r *book.Rule) {
	if e.Value == nil {
		return
	}
	if r.Bound == nil {
		c.unmet(e.Value.Place(), r.Decl.Name.Text+" requires a condition, which has no value", "the verdict alone", "")
		return
	}
	if want := r.Value.Type(); want.Kind == book.Number {
		c.plusMinus(e.Value, e.PlusMinus, unplaced(want),
			[3]string{"an expected value", "a tolerance", "the value of " + r.Decl.Name.Text})
	}
}

// subjectsThere checks that the clubs or the set of an expectation are in the case.
func (c *checker) subjectsThere(d *ast.Case, e *ast.Expect, in map[string][]*ast.CaseSet) bool {
	if e.OnSet {
		return c.setThere(d, e)
	}
	var all *ast.CaseSet
	for i, on := range e.On {
		if i > 0 && on.Of == nil && e.On[i-1].Of == nil && catalogue.Same(on.ID.Value, e.On[i-1].ID.Value) {
			c.unmet(on.Span, "a club is not its own neighbour", "the id of another club", "")
			return false
		}
		sets := in[catalogue.Key(on.ID.Value)]
		if on.Of != nil {
			sets = slices.DeleteFunc(slices.Clone(sets), func(s *ast.CaseSet) bool {
				return s.ID == nil ||
					!catalogue.Same(s.ID.Value, on.Of.Value)
			})
		}
		switch {
		case len(sets) == 0:
			var ids []string
			if c.budget > 0 {
				ids = clubsOf(d)
			}
			c.unmet(on.Span, "this case has no club "+diag.Quote(on.ID.Value), expectedOf("a club of the case", ids),
				c.near(on.ID.Value, ids))
			return false
		case len(sets) > 1 && on.Of == nil:
			c.unmet(on.Span, fmt.Sprintf("%d sets of this case have a club %s", len(sets), diag.Quote(on.ID.Value)),
				"the set too: "+on.ID.Value+" of SET", "")
			return false
		case all != nil && all != sets[0]:
			c.unmet(on.Span, "neighbours are clubs of one set, and these are of two", "clubs of one set", "")
			return false
		}
		all = sets[0]
	}
	return true
}

func (c *checker) setThere(d *ast.Case, e *ast.Expect) bool {
	var ids []string
	for _, set := range d.Sets {
		if set.ID != nil {
			ids = append(ids, set.ID.Value)
		}
	}
	switch {
	case len(d.Sets) == 0:
		c.unmet(e.Span, "this case has no clubs", "a line for each club, as in club d1: driver, lie 58 deg", "")
	case e.Set != nil && !catalogue.Listed(ids, e.Set.Value):
		c.unmet(e.Set.Span, "this case has no set "+diag.Quote(e.Set.Value), expectedOf("a set of the case", ids),
			c.near(e.Set.Value, ids))
	case e.Set == nil && len(d.Sets) > 1 && d.Sets[0].ID != nil:
		c.unmet(e.Span, "this case has several sets; say which one",
			"on set and its id: "+unit.Listed(ids, "or"), "")
	default:
		return true
	}
	return false
}

// clubsOf are the ids of the clubs of a case, each once.
func clubsOf(d *ast.Case) []string {
	var ids []string
	for _, s := range d.Sets {
		for _, k := range s.Clubs {
			ids = append(ids, k.ID.Value)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// firstLine is the first line of a declaration.
func firstLine(s source.Span) source.Span {
	if i := strings.IndexAny(s.Text(), "\r\n"); i >= 0 {
		s.End = s.Start + i
	}
	return s
}
