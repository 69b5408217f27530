package compare

// This file works out how often a rule is wrong that is decided as its book says on one reading by a method. It may
// pass a club that it should fail, and fail one that it should pass (JCGM 106:2012, clause 9). curve.go has the chances
// of a club of a true length.

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Risk is how a rule decides on one reading of a club by a method.
type Risk struct {
	judge.Result             // of any reading, without its value: the limits, and the uncertainty by the rule's method
	By           string      // the method of the reading
	Marks        unit.Amount // a figure is the nearest whole multiple of it; no amount where it is as read
	To           string      // the method of the rule, by which true lengths are

	limits decide.Limits
	spread decide.Spread // of the reading, graduation included, as it is decided by
	shift  float64       // what brings a reading to the rule's method
	off    value.Scatter // how far a reading is off before it is brought to a mark
	marked regions       // of lengths before they are written down and brought to the nearest mark
}

// errorPieces is how finely the distribution of a reading's errors is worked out.
const errorPieces = 4096

// ErrWhichClub is in the error of NewRisk where the answer depends on the club, and
// no club is given.
var ErrWhichClub = errors.New("it depends on the club")

// Words say in an error what a judge says of a club.
type Words struct {
	Reasons  func([]value.Lack) string
	Conflict func(*judge.Conflict) string
}

// NewRisk finds out how a rule of the program decides on a reading by a method of a club
// such as like on a day: what like holds counts, except for its length, which is tried out on it. A nil like is any
// club that the rule is about, as long as all kinds give the same. The error, one line for a
// person, says why there is no answer.
func NewRisk(p *judge.Program, rule *book.Rule, day book.Day, by string, like *club.Club, words Words) (*Risk, error) {
	to, err := lengthOf(rule)
	if err != nil {
		return nil, err
	}
	if p.Method(by) == nil {
		return nil, fmt.Errorf("no book says how the method %s is read", by)
	}
	j := p.Only(day, rule)
	t := &probe{program: p, judge: j, rule: rule, by: by, to: to, words: words}
	if like != nil {
		r, _, err := t.of(like)
		return r, err
	}
	return t.any()
}

// lengthOf is the method of the one length that a rule on single clubs bounds.
func lengthOf(r *book.Rule) (*book.Method, error) {
	name := r.Decl.Name.Text
	if r.Subject != ast.OfClub {
		about := "a set"
		if r.Subject == ast.OfNeighbours {
			about = "neighbours"
		}
		return nil, fmt.Errorf("%s is about %s; the risk is worked out for rules on the length of a single club", name,
			about)
	}
	f, ok := r.Value.Form()
	if !ok || f.Set != nil || f.Property.ID != catalogue.LengthID || f.Method == nil {
		return nil, fmt.Errorf("%s does not bound the length of a club, and the risk is worked out for rules such "+
			"as \"require length by METHOD at most 46 in\"", name)
	}
	return f.Method, nil
}

// probe tries a rule on imaginary clubs.
type probe struct {
	program *judge.Program
	judge   *judge.Judge
	rule    *book.Rule
	by      string
	to      *book.Method
	words   Words
}

// firstTry is a length in the middle of what clubs have, to learn the limits from.
const firstTry = "45 in"

// of is the risk for a club; about reports whether the rule and the method apply to it at all.
func (t *probe) of(c *club.Club) (r *Risk, about bool, err error) {
	c.Method = t.by
	if why := t.program.Covers(t.by, c); why != nil {
		return nil, false, errors.New(t.words.Reasons([]value.Lack{*why}))
	}
	at, _, _ := unit.Scan(firstTry)
	first, about, err := t.try(c, at.Base())
	if err != nil {
		return nil, about, err
	}
	low, high := first.span()
	for _, length := range []float64{low, high} {
		again, _, err := t.try(c, max(length, 1))
		if err != nil {
			return nil, true, fmt.Errorf("near its own limits %w", err)
		}
		if !again.same(first) {
			return nil, true, fmt.Errorf("what %s allows depends on the length itself, so there is not one limit to "+
				"work out the risk for", t.rule.Decl.Name.Text)
		}
	}
	return first, true, nil
}

// try judges a club of a length and keeps how it was judged.
func (t *probe) try(c *club.Club, length float64) (r *Risk, about bool, err error) {
	c.Unset(catalogue.LengthID)
	c.SetAmount(catalogue.LengthID, length)
	name := t.rule.Decl.Name.Text
	var res *judge.Result
	var clash *judge.Conflict
	t.judge.Set(&club.Set{Clubs: []*club.Club{c}, Rows: 1}, judge.Sink{
		Result:   func(found *judge.Result) { res = found },
		Conflict: func(found *judge.Conflict) { clash = found },
	})
	switch {
	case clash != nil:
		return nil, true, errors.New(t.words.Conflict(clash))
	case res == nil:
		return nil, false, fmt.Errorf("%s is not about such a club", name)
	case res.Verdict == decide.Exempt:
		return nil, true, fmt.Errorf("%s exempts such a club", name)
	case res.Verdict == decide.Unmeasured:
		return nil, true, fmt.Errorf("%s cannot be decided: %s", name, t.words.Reasons(res.Lacks))
	case res.Bound == nil || !res.Lower.Known() && !res.Upper.Known():
		return nil, true, fmt.Errorf("%s sets no limit to such a club", name)
	}
	r = &Risk{Result: *res, By: t.by, To: t.to.Decl.Name.Text}
	r.Value = unit.Amount{}
	if !r.Uncertainty.Known() {
		l := t.judge.Length(c, nil, t.to)
		switch {
		case !l.U.Known():
			return nil, true, fmt.Errorf("cannot work out the risk: %s", t.words.Reasons(l.Lacks))
		case l.U.Base > 0:
			return nil, true, fmt.Errorf("cannot work out the risk: the uncertainty of %s's limit is unknown", name)
		}
		r.Uncertainty = unit.Amount{Unit: r.unit()}
	}
	r.limits = res.Limits()
	r.spread = decide.Spread{U: r.Uncertainty.Base, Freedom: res.Freedom}
	if reads := t.program.Method(t.by).Reads; reads != nil && reads.Base > 0 {
		r.Marks = unit.Amount{Base: reads.Base, Unit: reads.Unit}
	}
	r.shift = res.Value.Base - length
	var halves []float64
	for _, c := range res.Budget {
		if c.What != measure.Graduation {
			halves = append(halves, math.Abs(c.Half.Base*c.Sensitivity))
		}
	}
	r.off = value.NewScatter(halves, errorPieces)
	r.settle()
	return r, true, nil
}

// any is the risk for any club that the rule is about.
func (t *probe) any() (*Risk, error) {
	var all *Risk
	for _, k := range catalogue.Kinds() {
		c := &club.Club{}
		c.Reset(t.program.Schema.Len())
		c.ID, c.Name, c.Kind, c.Sheet = "the club", k.String(), k, &club.Sheet{}
		if k == catalogue.Driver {
			c.SetAmount(catalogue.Number, 1)
		}
		r, about, err := t.of(c)
		switch {
		case err != nil && !about:
		case err != nil:
			return nil, fmt.Errorf("%w: %w", ErrWhichClub, err)
		case all == nil:
			all = r
		case !all.same(r):
			return nil, fmt.Errorf("%w: %s is not the same for every kind of club", ErrWhichClub, t.rule.Decl.Name.Text)
		}
	}
	if all == nil {
		return nil, fmt.Errorf("no kind of club that %s is about can be read by %s", t.rule.Decl.Name.Text, t.by)
	}
	return all, nil
}

// same reports whether two clubs are judged alike by a rule.
func (r *Risk) same(o *Risk) bool {
	near := func(a, b float64) bool { return unit.Compare(a, b) == 0 }
	return near(r.limits.Lower, o.limits.Lower) && near(r.limits.Upper, o.limits.Upper) && r.Open == o.Open &&
		near(r.Uncertainty.Base, o.Uncertainty.Base) && near(r.shift, o.shift) && r.Decision == o.Decision
}

// unit is the unit of the amounts: that of the limits.
func (r *Risk) unit() *unit.Unit { return cmp.Or(r.Upper.Unit, r.Lower.Unit) }

func (r *Risk) amount(base float64) unit.Amount {
	if math.IsInf(base, 0) {
		return unit.Amount{}
	}
	return unit.Amount{Base: base, Unit: r.unit()}
}
