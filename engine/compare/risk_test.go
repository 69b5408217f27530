package compare_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/load"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

const riskBook = `rulebook "Invented"
  decision three-way at 95 %
use methods
let as-tested = (length by plane-60)
chart house of length by soled per club
  iron 5 = 38 in
rule longest
  for     every club except putter
  require length by plane-60 at most 46 in allowing 0.2 in
rule named
  for     every driver
  require as-tested <= 46 in
rule of-kind
  for     every driver, fairway
  require length by plane-60 at most 46 in
  unless  kind = fairway: at most 44 in
rule left
  for     every driver
  require length by plane-60 at most 46 in
  unless  hand = left: exempt
rule chart-length
  for     every iron
  require length by soled within 1/4 in of house
rule self
  for     every driver
  require length by plane-60 at most 46 in
  unless  length by plane-60 > 46.05 in: at most 47 in
rule lies
  for     every driver
  require lie at most 61 deg
rule drops
  for     neighbours among iron by number
  require drop of length by soled at least 1/4 in
rule carried
  for     each set
  require count of club at most 14
`

func program(t *testing.T) *engine.Program {
	t.Helper()
	files := fstest.MapFS{"a.ferrule": {Data: []byte(riskBook)}}
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "a.ferrule", Show: "a.ferrule"}})
	if list.HasErrors() {
		t.Fatal(list)
	}
	return engine.Compile(loaded.Roots, loaded.Schema)
}

func rule(t *testing.T, p *engine.Program, name string) *check.Rule {
	t.Helper()
	for _, r := range p.Rules() {
		if r.Decl.Name.Text == name {
			return r
		}
	}
	t.Fatalf("there is no rule %s", name)
	return nil
}

// made is a club of a kind with a number and a lie; 0 is none.
func made(p *engine.Program, k catalogue.Kind, number, lie float64) *club.Club {
	c := &club.Club{}
	c.Reset(p.Schema.Len())
	c.ID, c.Kind, c.Sheet = "the club", k, &club.Sheet{}
	if number > 0 {
		c.SetAmount(catalogue.Number, number)
	}
	if lie > 0 {
		c.SetAmount(catalogue.Lie, unit.Lookup("deg").ToBase(lie))
	}
	return c
}

var in = unit.Lookup("in")

func TestUncertaintyOfOneReading(t *testing.T) {
	p := program(t)
	for _, c := range []struct {
		rule, by string
		like     *club.Club
		want     float64
	}{
		// Worked by hand from the half-widths of the method: a 1/32 in for the
		// graduation and 1/64 in for the ruler.
		{"longest", "plane-60", nil, math.Sqrt((1/32.*1/32 + 1/64.*1/64) / 3)},
		{"named", "plane-60", made(p, catalogue.Driver, 1, 0), math.Sqrt((1/32.*1/32 + 1/64.*1/64) / 3)},
		// From the rule behind the shaft 1/16 and 1/64 in, a degree of lie at a reach of
		// 1.75 in, the crown's 1/32 in, and at 2 degrees of difference 0.25 in of reach and
		// 2 in of camber (h = reach sin 2° + camber (1 - cos 2°), over sin 60°).
		{"longest", "soled", made(p, catalogue.Driver, 1, 58), math.Sqrt((1/16.*1/16 + 1/64.*1/64 + 1/32.*1/32 +
			math.Pow(1.75/math.Sin(58*math.Pi/180)*math.Pi/180, 2) +
			math.Pow(0.25*math.Sin(2*math.Pi/180)/math.Sin(60*math.Pi/180), 2) +
			math.Pow(2*(1-math.Cos(2*math.Pi/180))/math.Sin(60*math.Pi/180), 2)) / 3)},
	} {
		r, err := compare.NewRisk(p, rule(t, p, c.rule), c.by, c.like)
		if err != nil {
			t.Errorf("%s by %s: %v", c.rule, c.by, err)
			continue
		}
		if got := in.FromBase(r.U.Base); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s by %s: the standard uncertainty is %g in, want %g in", c.rule, c.by, got, c.want)
		}
	}
}

func TestLimitsOfTheClub(t *testing.T) {
	p := program(t)
	for _, c := range []struct {
		rule      string
		like      *club.Club
		low, high float64 // 0: none
	}{
		{"longest", made(p, catalogue.Iron, 5, 60), 0, 46.2},
		{"of-kind", made(p, catalogue.Driver, 1, 58), 0, 46},
		{"of-kind", made(p, catalogue.Fairway, 3, 58), 0, 44},
		{"chart-length", made(p, catalogue.Iron, 5, 61), 37.75, 38.25},
	} {
		r, err := compare.NewRisk(p, rule(t, p, c.rule), "soled", c.like)
		if err != nil {
			t.Errorf("%s: %v", c.rule, err)
			continue
		}
		for _, l := range []struct {
			got  engine.Amount
			want float64
		}{{r.Lower, c.low}, {r.Upper, c.high}} {
			if l.got.Known() != (l.want > 0) || l.got.Known() && unit.Compare(l.got.Base, in.ToBase(l.want)) != 0 {
				t.Errorf("%s: the limits are %v and %v, want %g and %g", c.rule, r.Lower, r.Upper, c.low, c.high)
			}
		}
	}
}

func TestWhyThereIsNoRisk(t *testing.T) {
	p := program(t)
	left := made(p, catalogue.Driver, 1, 58)
	left.SetText(catalogue.Hand, "left")
	for _, c := range []struct {
		rule, by string
		like     *club.Club
		says     string
		which    bool
	}{
		{"lies", "soled", nil, "does not bound the length of a club", false},
		{"drops", "soled", nil, "is about neighbours", false},
		{"carried", "soled", nil, "is about a set", false},
		{"longest", "soled", nil, "has no lie", true},
		{"of-kind", "plane-60", nil, "not the same for every kind", true},
		{"longest", "soled", made(p, catalogue.Driver, 1, 0), "has no lie", false},
		{"longest", "axis", nil, "no kind of club that longest is about can be read by axis", false},
		{"longest", "axis", made(p, catalogue.Driver, 1, 58), "axis does not cover drivers", false},
		{"longest", "soled", made(p, catalogue.Putter, 0, 70), "is not about such a club", false},
		{"left", "plane-60", left, "exempts such a club", false},
		{"chart-length", "soled", made(p, catalogue.Iron, 7, 62), "house", false},
		{"self", "plane-60", made(p, catalogue.Driver, 1, 58), "hangs on the length itself", false},
	} {
		r, err := compare.NewRisk(p, rule(t, p, c.rule), c.by, c.like)
		if err == nil {
			t.Errorf("%s by %s: there is a risk, with u %v", c.rule, c.by, r.U)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || errors.Is(err, compare.ErrWhichClub) != c.which {
			t.Errorf("%s by %s: %q (which club: %v), want one with %q (%v)", c.rule, c.by, err, errors.Is(err, compare.ErrWhichClub), c.says, c.which)
		}
	}
}
