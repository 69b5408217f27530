package compare_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/load"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

var words = compare.Words{Reasons: wording.JoinReasons, Conflict: wording.Conflicting}

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

func program(t *testing.T) *judge.Program {
	t.Helper()
	files := fstest.MapFS{"a.ferrule": {Data: []byte(riskBook)}}
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "a.ferrule", Show: "a.ferrule"}})
	if list.HasErrors() {
		t.Fatal(list)
	}
	return judge.Compile(loaded.Roots, loaded.Schema)
}

func rule(t *testing.T, p *judge.Program, name string) *book.Rule {
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
func made(p *judge.Program, k catalogue.Kind, number, lie float64) *club.Club {
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
		r, err := compare.NewRisk(p, rule(t, p, c.rule), book.NoDay, c.by, c.like, words)
		if err != nil {
			t.Errorf("%s by %s: %v", c.rule, c.by, err)
			continue
		}
		if got := in.FromBase(r.Uncertainty.Base); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s by %s: the standard uncertainty is %g in, want %g in", c.rule, c.by, got, c.want)
		}
	}
}

// One reading of a driver by the rule behind the shaft, held to 46.2 in by the 60 degree plane. The half-widths
// are those of TestUncertaintyOfOneReading; a figure is a whole eighth, 0.20185 in longer by the plane. Worked out with
// scipy 1.10.1: the sum of the five errors in closed form, stats.norm for the decision, integrate.quad for the stocks.
func TestRiskAgainstScipy(t *testing.T) {
	p := program(t)
	r, err := compare.NewRisk(p, rule(t, p, "longest"), book.NoDay, "soled", made(p, catalogue.Driver, 1, 58), words)
	if err != nil {
		t.Fatal(err)
	}
	is := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 2e-6 {
			t.Errorf("%s: %.9f, want %.9f", what, got, want)
		}
	}
	for _, c := range r.Curve() {
		if unit.Compare(c.True.Base, in.ToBase(46.2)) == 0 {
			is("passes on the limit", c.Pass, 0.01576530223964039)
			is("fails on the limit", c.Fail, 0.009819523100231375)
			is("is too close on the limit", c.TooClose, 0.9744151746601283)
		}
	}
	amount := func(n float64) unit.Amount { return unit.Amount{Base: in.ToBase(n), Unit: in} }
	for _, c := range []struct{ mean, s, consumers, producers float64 }{
		{46.1, 0.1, 0.0002368563677362814, 0.0001437326655990934},
		{46.25, 0.05, 0.0005543258796131864, 0.0002483203003055465},
		{46, 0.3, 0.00010884755707628645, 6.1001030034958645e-05},
	} {
		consumers, producers := r.Global(compare.Stock{Mean: amount(c.mean), Deviation: amount(c.s)})
		is("the consumer's risk", consumers, c.consumers)
		is("the producer's risk", producers, c.producers)
	}
}

// The same readings as they come about: heads, crowns and rulers drawn, the club soled with its lie a little off, the
// length written down to an eighth. That the sole is round makes a reading up to 0.0014 in longer, which a budget of
// first order leaves out: half a per cent where the chances are steep.
func TestRiskAgainstReadingsOnTheBench(t *testing.T) {
	p := program(t)
	r, err := compare.NewRisk(p, rule(t, p, "longest"), book.NoDay, "soled", made(p, catalogue.Driver, 1, 58), words)
	if err != nil {
		t.Fatal(err)
	}
	const degree, readings = math.Pi / 180, 100_000
	random := rand.New(rand.NewPCG(5, 9))
	off := func(half float64) float64 { return half * (2*random.Float64() - 1) }
	height := func(reach, camber, delta float64) float64 {
		return reach*math.Sin(delta*degree) + camber*(1-math.Cos(delta*degree))
	}
	nominal := 1./8 + height(1.75, 9, 2)/math.Sin(60*degree)
	u := in.FromBase(r.Uncertainty.Base)
	for _, c := range r.Curve() {
		length, got := in.FromBase(c.True.Base), map[string]float64{}
		if math.Mod(math.Round((length-46.2)/u*5), 4) != 0 {
			continue
		}
		for range readings {
			reach, camber, tilt := 1.75+off(0.25), 9+off(2), off(1)
			soled := length - (1./8 + off(1./32)) - height(reach, camber, 2)/math.Sin(60*degree)
			x := soled + height(1.75, 9, tilt)/math.Sin((58+tilt)*degree) + off(1./64)
			y := math.Round(x*8)/8 + nominal
			switch over := math.Erfc((46.2-y)/u/math.Sqrt2) / 2; {
			case over <= 0.05:
				got["pass"]++
			case over > 0.95:
				got["fail"]++
			default:
				got["close"]++
			}
		}
		for name, want := range map[string]float64{"pass": c.Pass, "fail": c.Fail, "close": c.TooClose} {
			if is := got[name] / readings; math.Abs(is-want) > 0.008 {
				t.Errorf("a club of %.3f in: %s %.4f, drawn %.4f", length, name, want, is)
			}
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
		r, err := compare.NewRisk(p, rule(t, p, c.rule), book.NoDay, "soled", c.like, words)
		if err != nil {
			t.Errorf("%s: %v", c.rule, err)
			continue
		}
		for _, l := range []struct {
			got  unit.Amount
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
		{"self", "plane-60", made(p, catalogue.Driver, 1, 58), "depends on the length itself", false},
	} {
		r, err := compare.NewRisk(p, rule(t, p, c.rule), book.NoDay, c.by, c.like, words)
		if err == nil {
			t.Errorf("%s by %s: there is a risk, with u %v", c.rule, c.by, r.Uncertainty)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || errors.Is(err, compare.ErrWhichClub) != c.which {
			t.Errorf("%s by %s: %q (which club: %v), want one with %q (%v)", c.rule, c.by, err, errors.Is(err, compare.ErrWhichClub), c.says, c.which)
		}
	}
}
