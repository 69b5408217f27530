package judge_test

// An order beside the sheet: what it says of a club, with its uncertainty, and what it leaves open.

import (
	"math"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// asOrdered judges a club with the row of its order by a rule, which requires it within 1/8 in of it by a method.
func asOrdered(t *testing.T, by string, c, o *club.Club, p *judge.Program) *judge.Result {
	t.Helper()
	c.Order, c.Sheet = o, &club.Sheet{File: "sheet.csv", Order: &club.Sheet{File: "order.csv"}}
	var out *judge.Result
	p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(&club.Set{Clubs: []*club.Club{c}}, judge.Sink{
		Result: func(r *judge.Result) {
			if r.Rule.Decl.Name.Text == by {
				out = r
			}
		}})
	return out
}

const byTwo = `rulebook "As ordered"
use methods
property grip-model text
allowance cap 3/16 in within 1/64 in where grip-model = "Corded"
rule soled "By the rule"
  for      every club
  require  (length by soled - ordered length by soled) between -1/8 in and 1/8 in
rule plane-60 "By the plane"
  for      every club
  require  (length by plane-60 - ordered length by plane-60) between -1/8 in and 1/8 in
`

// Both sides have the same cap, crown and head, and the same lie, so converting them adds nothing to what the difference
// is uncertain by (JCGM 100, 5.2.2: fully correlated inputs of a difference cancel). What is left is the reading of the
// club: half a graduation of 1/8 in, a ruler within 1/64 in, and a lie set within 1 deg, each rectangular. The last moves
// the length by reach / sin(lie) for each radian, 1.75 in and 58 deg here. Worked by hand: the squares of 1/16 / sqrt 3, 1/64 / sqrt 3 and
// 0.017453 * 1.75 / 0.848048 / sqrt 3 are 0.001302, 0.0000814 and 0.000432, and the root of their sum is 0.04261 in.
func TestConvertingBothSidesCancels(t *testing.T) {
	p, _ := compiled(t, byTwo)
	for _, by := range []string{"soled", "plane-60"} {
		c, o := inClub(p, catalogue.Driver, "soled", 45.0625, 58), inClub(p, catalogue.Driver, "soled", 45, 58)
		o.Unset(catalogue.Lie) // the lie of the club serves for the order
		r := asOrdered(t, by, c, o, p)
		if u := r.Spread().U / inch; math.Abs(u-0.04261) > 0.00005 || math.Abs(r.Value.Base/inch-0.0625) > 1e-9 {
			t.Errorf("by %s: %v ± %v in", by, r.Value.Base/inch, u)
		}
		for _, q := range r.Budget {
			if (q.What == measure.Cap || q.What == measure.Crown || q.What == measure.HeadShape) && q.Share > 1e-9 {
				t.Errorf("by %s: %s has a share of %v", by, q.Name, q.Share)
			}
		}
	}
}

// An order is exact unless it says +/-, and its own lie and grip count before those of the club.
func TestWhatAnOrderSays(t *testing.T) {
	p, _ := compiled(t, byTwo)
	grip, _ := p.Schema.Lookup("grip-model")
	half := club.Reading{Property: catalogue.LengthID, Half: inch / 4, HasHalf: true}
	exact := club.Reading{Property: catalogue.LengthID, HasHalf: true}
	for _, v := range []struct {
		name   string
		change func(c, o *club.Club)
		by     string
		value  float64 // in
		u      float64 // in; -1: not compared
	}{
		{"alike", func(c, o *club.Club) {}, "soled", 0, 0},
		{"stated", func(c, o *club.Club) { o.SetReading(half) }, "soled", 0, 0.25 / math.Sqrt(3)},
		{"the club's grip serves", func(c, o *club.Club) { c.SetText(grip.ID, "Corded") }, "plane-60", 0, 0},
		{"another grip was ordered", func(c, o *club.Club) { // 1/16 in more between the butt and the edge, on either side of 0
			c.SetText(grip.ID, "Corded")
			o.SetText(grip.ID, "Smooth")
			o.Method = "bare"
		}, "soled", -1.0 / 8, -1},
		{"its grip", func(c, o *club.Club) {
			c.SetText(grip.ID, "Smooth")
			o.SetText(grip.ID, "Corded")
			o.Method = "bare"
		}, "soled", -3.0 / 16, -1},
	} {
		c, o := inClub(p, catalogue.Driver, "soled", 45, 58), inClub(p, catalogue.Driver, "soled", 45, 58)
		c.SetReading(exact)
		v.change(c, o)
		r := asOrdered(t, v.by, c, o, p)
		const ruler = 1.0 / 64 // of the club alone
		if want := math.Hypot(v.u, ruler/math.Sqrt(3)); math.Abs(r.Value.Base/inch-v.value) > 1e-9 ||
			v.u >= 0 && math.Abs(r.Spread().U/inch-want) > 1e-6 {
			t.Errorf("%s: %v ± %v in, want %v ± %v", v.name, r.Value.Base/inch, r.Spread().U/inch, v.value, want)
		}
	}
}

// Nothing that is missing on the order, refused or beyond what a club can have passes.
func TestWhatAnOrderLeavesOpen(t *testing.T) {
	p, _ := compiled(t, `rulebook "As ordered"
property flex text one of "R", "S" else "R"
rule lies "Lies"
  for      every club
  require  lie within 1 deg of ordered lie
rule stated "Lies, where one was ordered"
  for      every club where has ordered lie
  require  lie within 1 deg of ordered lie
rule flexes "Flexes"
  for      every club
  require  flex = ordered flex
`)
	lie := p.Schema.Property(catalogue.Lie)
	for _, v := range []struct {
		name   string
		change func(c *club.Club)
		want   string
	}{
		{"no order", func(c *club.Club) { c.Order, c.Sheet.Order = nil, nil },
			"lies unmeasured order: no order was given (--order); stated unmeasured order; flexes unmeasured order"},
		{"no row", func(c *club.Club) { c.Order = nil },
			"lies unmeasured ordered lie: the order has no row for driver (c); flexes unmeasured ordered flex"},
		{"refused", func(c *club.Club) { c.Order.Loose, c.Order.Row = true, 7 },
			"lies unmeasured ordered lie: what was ordered for driver (c) is not known: row 7 of the order could not be read; stated unmeasured ordered lie; flexes unmeasured ordered flex"},
		{"no cell", func(c *club.Club) { c.Order.Unset(catalogue.Lie) },
			"lies unmeasured ordered lie: driver (c) has no ordered lie; flexes unmeasured ordered flex"},
		{"no column", func(c *club.Club) {
			c.Order.Unset(catalogue.Lie)
			c.Order.Sheet = &club.Sheet{Table: true, Headings: make([]string, p.Schema.Len())}
		}, "lies unmeasured ordered lie: the order has no column lie; flexes unmeasured ordered flex"},
		{"a slip", func(c *club.Club) {
			c.Order.SetAmount(catalogue.Lie, 95*degree)
			c.Order.Weigh(&lie, "95 deg")
		}, "lies unmeasured ordered lie: driver (c): on the order, 95 deg cannot be the lie of a driver, which is 20 to 90 deg; " +
			"stated unmeasured ordered lie; flexes unmeasured ordered flex"},
		{"as ordered", func(c *club.Club) {}, "lies pass; stated pass; flexes unmeasured ordered flex"},
	} {
		c, o := inClub(p, catalogue.Driver, "", 45, 58), inClub(p, catalogue.Driver, "", 45, 58.5)
		c.Order, c.Sheet = o, &club.Sheet{File: "sheet.csv", Order: &club.Sheet{File: "order.csv"}}
		v.change(c)
		var said []string
		p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(&club.Set{Clubs: []*club.Club{c}}, judge.Sink{
			Result: func(r *judge.Result) {
				line := strings.TrimSpace(r.Rule.Decl.Name.Text + " " + r.Verdict.String() + " " + strings.Join(value.Needs(r.Lacks), ", "))
				if r.Rule.Decl.Name.Text == "lies" && r.Lacks != nil {
					line += ": " + wording.JoinReasons(r.Lacks)
				}
				said = append(said, line)
			}})
		if got := strings.Join(said, "; "); got != v.want {
			t.Errorf("%s:\n%s\nwant\n%s", v.name, got, v.want)
		}
	}
}

// Nobody measures an order again: where what it states decides, no closer reading of the club is advised.
func TestNoCloserReadingOfAnOrder(t *testing.T) {
	p, _ := compiled(t, strings.Replace(byTwo, "rule soled", "rule loose \"L\"\n  for every club\n  require length by soled within 1/8 in of ordered length by soled\n"+
		"  decision three-way at 95 %\nrule soled", 1))
	c, o := inClub(p, catalogue.Driver, "soled", 45, 58), inClub(p, catalogue.Driver, "soled", 45, 58)
	o.SetReading(club.Reading{Property: catalogue.LengthID, Half: inch / 4, HasHalf: true})
	r := asOrdered(t, "loose", c, o, p)
	if r.Verdict.String() != "too-close" || r.Settle == nil || r.Settle.Measure != "length as ordered" || len(r.Budget) == 0 || r.Budget[0].Whole() != "length as ordered of driver (c)" {
		t.Errorf("%v, %+v, %+v", r.Verdict, r.Settle, r.Budget)
	}
}

// An order without a setting is held against each setting of the club, and the worst counts.
func TestAnOrderForEachSetting(t *testing.T) {
	p, _ := compiled(t, `rulebook "As ordered"
rule lies "Lies"
  for      every club
  require  lie within 1 deg of ordered lie
`)
	for _, v := range []struct {
		lies   [2]float64
		second func(o *club.Club) *club.Club // the row of the order for the second setting
		want   string
	}{
		{[2]float64{58, 59}, func(o *club.Club) *club.Club { return o }, "pass"},
		{[2]float64{58, 59.1}, func(o *club.Club) *club.Club { return o }, "fail"},
		{[2]float64{56.9, 58}, func(o *club.Club) *club.Club { return o }, "fail"},
		{[2]float64{58, 58}, func(*club.Club) *club.Club { return nil }, "unmeasured"},
		{[2]float64{58, 58}, func(o *club.Club) *club.Club { l := o.Clone(); l.Loose = true; return l }, "unmeasured"},
		{[2]float64{56.9, 58}, func(*club.Club) *club.Club { return nil }, "fail"},
	} {
		sheet := &club.Sheet{File: "sheet.csv", Order: &club.Sheet{File: "order.csv"}}
		c, next, o := inClub(p, catalogue.Driver, "", 45, v.lies[0]), inClub(p, catalogue.Driver, "", 45, v.lies[1]), inClub(p, catalogue.Driver, "", 45, 58)
		c.Next, c.Setting, next.Setting, c.Sheet, next.Sheet = next, "low", "high", sheet, sheet
		c.Order, next.Order = o, v.second(o)
		var got []string
		p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(&club.Set{Clubs: []*club.Club{c}}, judge.Sink{
			Result: func(r *judge.Result) { got = append(got, r.Verdict.String()) }})
		if strings.Join(got, " ") != v.want {
			t.Errorf("%v: %v, want %s", v.lies, got, v.want)
		}
	}
}
