// Package build plans the building of clubs before anything is glued: where each raw shaft is to be cut so that the
// finished club plays to its target. It also says what the club will then read, how sure that is, and its swing weight.
// The readings of a dry fit are those of the plan, or of shafts in one another's heads.
//
// build.go works out the plan of a set. rows.go holds the columns of a cutting list, and says which rows no shaft can
// be cut by. swing.go foretells the swing weight, dry.go holds a dry fit against the plan, swaps.go finds exchanged
// shafts.
package build

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Options says how clubs are to be built.
type Options struct {
	Columns Columns
	Chart   *book.Chart             // the targets of rows that name none; nil for no chart
	Day     book.Day                // of the rules that the plan is judged by
	Reason  func(value.Lack) string // words, in a refusal, why a method does not cover a club

	Rules func(*book.Rule) bool    // that the plan is judged by; nil: all
	About func(judge.Subject) bool // whose results are in the plan; nil: all
}

// Builder plans set after set of one cutting list. It is for one goroutine.
type Builder struct {
	o       Options
	program *judge.Program
	judge   *judge.Judge // without rules: it brings lengths to methods
	rules   *judge.Judge // nil where the books have none
	limit   unit.Amount  // the longest extension of the books; no amount where none says so
}

// New returns a Builder by the books of a program, to whose schema the columns belong.
func New(p *judge.Program, o Options) *Builder {
	b := &Builder{o: o, program: p}
	if c := book.Extension(p.Books); c != nil {
		b.limit = unit.Amount{Base: c.Base, Unit: c.Unit}
	}
	none := func(*book.Rule) bool { return false }
	b.judge = p.NewJudge(judge.Options{Day: o.Day, Rules: none})
	if len(p.Rules()) > 0 {
		b.rules = p.NewJudge(judge.Options{Day: o.Day, Rules: o.Rules, About: o.About, All: o.About != nil})
	}
	return b
}

// Plan is how the clubs of a set are to be built.
type Plan struct {
	Set       *club.Set // its clubs with a plan carry the length and the swing weight that are to be expected
	Clubs     []Club    // in the order of the rows; refused ones are not among them
	Swaps     []Swap
	Results   []*judge.Result // of the rules that the plan does not pass
	Later     []*judge.Result // unmeasured results of rules that need measurements for which the sheet has no column
	Conflicts []*judge.Conflict
	Tally     judge.Tally  // of all rules
	Faults    []value.Lack // rows of the books that disagree about a club
}

// Club is the plan of one club. An amount that is not known is the zero Amount; Lacks
// then say why.
type Club struct {
	Club     *club.Club
	Shaft    string // the mark of the shaft
	Unmarked bool   // the sheet gives no mark, so the club's id is used

	Target  unit.Amount
	By      string // the target's method
	Charted bool   // the target is the chart's, or what was ordered

	Raw, TipTrim, Bore unit.Amount
	Over               []eval.Step // what the target's method adds to the shaft and the bore, term by term

	Finished  unit.Amount  // from the trimmed tip to where the butt is cut
	ButtCut   unit.Amount  // off the butt, all of it in one piece
	ShortBy   unit.Amount  // what the shaft lacks; then nothing is cut off its butt
	Extension unit.Amount  // what is added at the butt, where a book allows that much
	Limit     unit.Amount  // the longest extension of the books
	Expected  judge.Length // of the club as cut, by the target's method
	Swing     Swing
	Dry       *DryFit // nil where the club was not fitted dry yet
	Lacks     []value.Lack

	bare   float64 // from the bare butt to the ground along the axis as cut, nm
	half   float64 // the half-width of it that the sheet states, nm
	shaft  float64 // the shaft as cut, nm
	placed bool    // bare, half and shaft are known
}

// Short reports whether the shaft is too short for its target.
func (c *Club) Short() bool { return c.ShortBy.Known() }

var inch = unit.Lookup("in")

// length is a length of the club in the unit of its sheet.
func (c *Club) length(base float64) unit.Amount {
	return unit.Amount{Base: base, Unit: c.Club.LengthUnit()}
}

// Set plans a set. The set is the Builder's to change: rows that no shaft can be cut by
// move to its refused ones, and clubs take on what is planned for them.
func (b *Builder) Set(s *club.Set) *Plan {
	p := &Plan{Set: s}
	dry := slices.ContainsFunc(s.Clubs, func(c *club.Club) bool { return c.Has(b.o.Columns.DryLength) })
	marks := map[string]club.Row{}
	kept := s.Clubs[:0]
	for _, c := range s.Clubs {
		b.settings(s, c)
		if f := b.contradiction(c); f != nil {
			b.refuse(s, c, *f)
			continue
		}
		k, f := b.club(c, dry, p)
		if f == nil {
			f = b.mark(k, marks)
		}
		if f != nil {
			b.refuse(s, c, *f)
			continue
		}
		kept = append(kept, c)
		p.Clubs = append(p.Clubs, *k)
	}
	s.Clubs = kept
	slices.SortStableFunc(s.Refused, func(a, b club.Refusal) int { return cmp.Compare(a.Row.Row, b.Row.Row) })
	p.Swaps = findSwaps(p.Clubs)
	for i := range p.Clubs {
		b.setPlanned(&p.Clubs[i])
	}
	if b.rules != nil && len(s.Clubs) > 0 {
		p.Tally = b.rules.Set(s, judge.Sink{
			Result: func(r *judge.Result) {
				if r.Verdict >= decide.Pass {
					return
				}
				if r.Verdict == decide.Unmeasured && !b.columned(s, r) {
					p.Later = append(p.Later, r)
				} else {
					p.Results = append(p.Results, r)
				}
			},
			Conflict: func(c *judge.Conflict) { p.Conflicts = append(p.Conflicts, c) },
		})
	}
	return p
}

// Only leaves the plans of some of the clubs, and the swaps that one of them is in.
func (p *Plan) Only(clubs []*club.Club) {
	p.Clubs = slices.DeleteFunc(p.Clubs, func(k Club) bool { return !slices.Contains(clubs, k.Club) })
	p.Swaps = slices.DeleteFunc(p.Swaps, func(s Swap) bool {
		return !slices.ContainsFunc(p.Clubs, func(k Club) bool { return slices.Contains(s.Shafts, k.Shaft) })
	})
}

// Wrong reports whether a club of the plan cannot be built as it is: a shaft is too short, a
// dry fit is out, shafts are exchanged, or a rule fails. Advice does not count.
func (p *Plan) Wrong() bool {
	return len(p.Swaps) > 0 || p.Tally.Verdicts[decide.Fail] > 0 ||
		slices.ContainsFunc(p.Clubs, func(c Club) bool { return c.Short() || c.Dry != nil && c.Dry.Fit == Out })
}

// Open reports whether something about the plan is not known. Later and advice do
// not count.
func (p *Plan) Open() bool {
	return slices.ContainsFunc(p.Clubs, func(c Club) bool {
		return len(value.Needs(c.Lacks)) > 0 || c.Dry != nil && c.Dry.Fit == Unmeasured
	}) ||
		slices.ContainsFunc(p.Results, func(r *judge.Result) bool {
			return !r.Rule.Decl.Advice && r.Verdict != decide.Fail
		})
}

// columned reports whether a result could have been judged: the sheet has a column for one of the measurements that it
// lacks, or that is of the plan or the order.
func (b *Builder) columned(s *club.Set, r *judge.Result) bool {
	return slices.ContainsFunc(value.Needs(r.Lacks), func(name string) bool {
		if name == "length" || name == "order" || strings.Contains(name, " ") { // or "ordered lie", "row 3"
			return true // the plan gives it, or no measurement of the finished club
		}
		q, ok := b.program.Schema.Lookup(name)
		return ok && slices.ContainsFunc(s.Clubs, func(c *club.Club) bool { return headed(c, q.ID) })
	})
}

// amount is a measurement of the row; no amount where it is not there.
func amount(c *club.Club, id catalogue.ID) unit.Amount {
	if v, ok := c.Amount(id); ok {
		return unit.Amount{Base: v, Unit: c.LengthUnit()}
	}
	return unit.Amount{}
}

// headed reports whether the sheet of a club has a column.
func headed(c *club.Club, id catalogue.ID) bool {
	return c.Sheet != nil && int(id) < len(c.Sheet.Headings) && c.Sheet.Headings[id] != ""
}

// lacks notes measurements that are not there.
func (c *Club) lacks(lacks ...value.Lack) { c.Lacks = value.Merge(c.Lacks, lacks) }

// lacksColumn notes that a row lacks a measurement.
func (b *Builder) lacksColumn(c *Club, id catalogue.ID) {
	name := b.program.Schema.Property(id).Name
	why := eval.LackOf(c.Club, id, name)
	if name == "tip-trim" && why.Kind != value.Odd {
		why.So = value.WrittenWithout
	}
	c.lacks(why)
}

// club plans one club. The fault says why its row is refused after all.
func (b *Builder) club(c *club.Club, dry bool, p *Plan) (*Club, *fault) {
	cols := &b.o.Columns
	k := &Club{Club: c, Raw: amount(c, cols.RawLength), TipTrim: amount(c, cols.TipTrim), Bore: amount(c, cols.Bore),
		Target: amount(c, cols.Target), By: c.Method, Limit: b.limit}
	if f := b.target(k, p); f != nil {
		return nil, f
	}
	method := b.program.Method(k.By)
	over, told := 0.0, false // what the target's method adds to the shaft and the bore
	if k.Target.Known() && method != nil {
		l := b.planned(c, 0, 0, method)
		p.fault(l.Fault)
		if over, told = l.Value.Base, l.Value.Known(); !told {
			k.lacks(l.Lacks...)
		}
		k.Over = slices.DeleteFunc(l.Steps, func(s eval.Step) bool { return s.What != eval.StepCorrection })
	}
	for _, id := range []catalogue.ID{cols.RawLength, cols.TipTrim, cols.Bore} {
		if !amount(c, id).Known() {
			b.lacksColumn(k, id)
		}
	}
	if told && k.Bore.Known() {
		k.shaft = k.Target.Base - over - k.Bore.Base
		if unit.Compare(k.Target.Base, over+k.Bore.Base) <= 0 {
			return nil, b.noShaft(k)
		}
		k.Finished = k.length(k.shaft)
	}
	if k.Finished.Known() && k.Raw.Known() && k.TipTrim.Known() {
		b.cut(k, method)
	}
	if f := b.foretell(k); f != nil {
		return nil, f
	}
	if dry && headed(c, cols.DryLength) {
		if f := b.dryFit(k, p); f != nil {
			return nil, f
		}
	}
	return k, nil
}

// target finds the length that a club is to be built to.
func (b *Builder) target(k *Club, p *Plan) *fault {
	switch {
	case k.Target.Known():
		return nil
	case k.Club.Stated(b.o.Columns.Target):
		b.lacksColumn(k, b.o.Columns.Target)
		return nil
	}
	h := b.o.Chart
	if o := k.Club.Order; h == nil && o != nil && !o.Loose && o.Has(catalogue.LengthID) {
		k.Target, k.By, k.Charted = amount(o, catalogue.LengthID), o.Method, true
		return b.covered(k, "the length that was ordered")
	}
	if h == nil {
		if why := notOrdered(k.Club); why != "" {
			k.lacks(value.Lack{Kind: value.Wanted, Property: "target-length"},
				value.Lack{Kind: value.OrderRefused, Club: k.Club.Called(), Words: why})
		} else {
			b.lacksColumn(k, b.o.Columns.Target)
		}
		return nil
	}
	found := b.judge.Chart(h, k.Club)
	p.fault(found.Fault)
	if !found.Value.Known() {
		k.lacks(value.Lack{Kind: value.Wanted, Property: "target-length"})
		for _, l := range found.Lacks {
			if l.Kind == value.NoChartRow { // no measurement helps
				l.Property = ""
			}
			k.lacks(l)
		}
		return nil
	}
	k.Target, k.By, k.Charted = found.Value, h.Of.Method.Decl.Name.Text, true
	return b.covered(k, "the chart "+h.Decl.Name.Text)
}

// notOrdered says why an order does not give the length to build a club to; "" where no order was given.
func notOrdered(c *club.Club) string {
	o := c.Order
	switch {
	case c.Sheet == nil || c.Sheet.Order == nil:
		return ""
	case o == nil:
		return "the order has no row for it"
	case o.Loose:
		return cmp.Or(o.Unsure, fmt.Sprintf("row %d of the order could not be read", o.Row))
	case o.Slip(catalogue.LengthID) != "":
		return "on the order, " + o.Slip(catalogue.LengthID)
	case o.Empty(catalogue.LengthID):
		return fmt.Sprintf("row %d of the order has no length", o.Row)
	}
	return fmt.Sprintf("row %d of the order does not say which length", o.Row)
}

// covered says that the method of a target does not cover its club.
func (b *Builder) covered(k *Club, target string) *fault {
	if why := b.program.Covers(k.By, k.Club); why != nil {
		return &fault{message: b.o.Reason(*why) + ", so " + target +
			" cannot be a target for it; expected a target-length by a method that covers the club"}
	}
	return nil
}

func (p *Plan) fault(rows *value.Lack) {
	if rows != nil && !slices.Contains(p.Faults, *rows) {
		p.Faults = append(p.Faults, *rows)
	}
}

// cut works out where the shaft is cut and what the club then plays to.
func (b *Builder) cut(k *Club, method *book.Method) {
	left := k.Raw.Base - k.TipTrim.Base
	half := func(id catalogue.ID) float64 { return k.Club.Reading(id).Half }
	k.half = half(b.o.Columns.Bore)
	switch unit.Compare(left, k.shaft) {
	case -1:
		k.ShortBy = k.length(k.shaft - left)
		if k.Limit.Known() && unit.Compare(k.ShortBy.Base, k.Limit.Base) <= 0 {
			k.Extension = k.ShortBy
		}
		k.shaft = left
		k.half = math.Hypot(k.half, math.Hypot(half(b.o.Columns.RawLength), half(b.o.Columns.TipTrim)))
	case 0:
		k.ButtCut = k.length(0)
	default:
		k.ButtCut = k.length(left - k.shaft)
	}
	k.bare, k.placed = k.shaft+k.Bore.Base, true
	k.Expected = b.planned(k.Club, k.bare, k.half, method)
	if !k.Short() {
		k.Expected.Value = k.Target // to the last digit
	}
}

// planned is the length by a method of a club whose shaft and bore are so long together. A
// half-width of 0 is that of an exact length.
func (b *Builder) planned(c *club.Club, bare, half float64, method *book.Method) judge.Length {
	setLength(c, eval.Planned, bare, club.Reading{Half: half, HasHalf: true})
	return b.judge.Length(c, nil, method)
}

// setLength gives a club a length by a method in place of any that it had.
func setLength(c *club.Club, method string, length float64, r club.Reading) {
	c.Unset(catalogue.LengthID)
	c.Method = method
	c.SetAmount(catalogue.LengthID, length)
	if r.HasHalf || r.Values != nil {
		r.Property = catalogue.LengthID
		c.SetReading(r)
	}
}

// setPlanned leaves on a club what is planned for it, to be judged by rules.
func (b *Builder) setPlanned(k *Club) {
	c := k.Club
	if k.placed {
		setLength(c, eval.Planned, k.bare, club.Reading{Half: k.half, HasHalf: true})
	} else {
		c.Unset(catalogue.LengthID)
		c.Method = ""
		c.AddDoubt(club.Doubt{Of: catalogue.LengthID, Slip: true, Message: "no cut is planned yet"})
	}
	if w := k.Swing.Finished(); w.Known() {
		c.Unset(catalogue.SwingWeightID)
		c.SetAmount(catalogue.SwingWeightID, w.Base)
	}
}
