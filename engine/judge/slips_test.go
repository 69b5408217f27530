package judge_test

// Readings that can hardly be right, as far as that depends on the books.

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

const slipBook = `rulebook "Slips"
use methods
rule simple "R"
  for     every club
  require length by soled at most 46 1/4 in
rule three-way "R"
  for      every club
  require  length by soled at most 46 1/4 in
  decision three-way at 95 %
rule there "R"
  for     every club
  require has length and has lie
rule bag "R"
  for     each set
  require longest of length by soled among club at most 60 in
rule highest "R"
  for     every club
  require highest of length by soled among readings at most 46 1/4 in
rule mean "R"
  for     every club
  require mean of length by soled among readings at most 46 1/4 in
rule count "R"
  for     every club
  require count of readings of length at least 2
rule share "R"
  for     every club
  require share of (length by soled <= 46 1/4 in) among readings at least 50 %
rule flat "R"
  for     every club
  require lie at most 62 deg
`

// repeated is a driver of 58 deg read several times, in inches.
func repeated(p *judge.Program, method string, inches ...float64) *club.Club {
	c := inClub(p, catalogue.Driver, method, 45, 58)
	r := club.Reading{Property: catalogue.LengthID}
	for _, v := range inches {
		r.Values = append(r.Values, v*inch)
	}
	c.SetAmount(catalogue.LengthID, r.Mean())
	c.SetReading(r)
	return c
}

// verdicts are the verdicts of a club by rule, quickly and with the facts: both ways must say the same.
func verdicts(t *testing.T, p *judge.Program, c *club.Club) string {
	t.Helper()
	var said [2][]string
	for i, all := range []bool{true, false} {
		j := p.NewJudge(judge.Options{Day: book.NoDay, All: all})
		found := map[string]string{}
		j.Set(&club.Set{Clubs: []*club.Club{c}, Rows: 1}, judge.Sink{Result: func(r *judge.Result) {
			found[r.Rule.Decl.Name.Text] = strings.TrimSuffix(r.Verdict.String()+fmt.Sprint(value.Needs(r.Lacks)), "[]")
		}})
		for _, r := range p.Rules() {
			v := found[r.Decl.Name.Text]
			if v == "" {
				v = "pass"
			}
			said[i] = append(said[i], r.Decl.Name.Text+" "+v)
		}
	}
	if !slices.Equal(said[0], said[1]) {
		t.Errorf("with facts %v, quickly %v", said[0], said[1])
	}
	return strings.Join(said[0], ", ")
}

// A mistyped repeat: 46 3/4 twice is over 46 1/4 in, and the mean with 36 3/4 in is far below it. Rules that look at the
// readings one by one judge them as they are.
func TestMistypedRepeat(t *testing.T) {
	p, _ := compiled(t, slipBook)
	const slip = "simple unmeasured[length], three-way unmeasured[length], there pass, bag unmeasured[length], highest fail, mean pass, count pass, share fail, flat pass"
	if got := verdicts(t, p, repeated(p, "soled", 46.75, 36.75, 46.75)); got != slip {
		t.Errorf("got  %s\nwant %s", got, slip)
	}
	const read = "simple pass, three-way too-close, there pass, bag pass, highest fail, mean pass, count pass, share pass, flat pass"
	if got := verdicts(t, p, repeated(p, "soled", 46, 46.5)); got != read {
		t.Errorf("got  %s\nwant %s", got, read)
	}
	j := p.NewJudge(judge.Options{Day: book.NoDay})
	c := repeated(p, "soled", 46.75, 36.75, 46.75)
	l := j.Length(c, nil, p.Method("plane-60"))
	if l.Value.Known() || fmt.Sprint(value.Needs(l.Lacks)) != "[length]" || wording.Reasons(l.Lacks)[0] != c.Called()+": 46 3/4, 36 3/4 and 46 3/4 in cannot all be right: read it again" {
		t.Errorf("converted: %+v", l)
	}
}

// soled reads to 1/8 in, so that two readings may lie 1/4 in apart and three times that are no slip, and from there on it is
// one; the wall reads the same, however well a club is soled. Of a driver, 1.75 in of reach and 1 deg make the
// uncertainty of one reading sqrt((1/16)^2 + (1.75/sin 58 deg * pi/180)^2)/sqrt 3 = 0.0417 in: f(10) is 4.5 times that, 0.188 in.
func TestHowFarApart(t *testing.T) {
	p, _ := compiled(t, slipBook)
	j := p.NewJudge(judge.Options{Day: book.NoDay})
	for _, c := range []struct {
		inches []float64
		says   string
	}{
		{[]float64{45, 45.25}, ""},
		{[]float64{45, 45.3}, "45 and 45.3 in are further apart than such readings usually are: read it again"},
		{[]float64{45, 45.75}, "45 and 45 3/4 in are further apart than such readings usually are: read it again"},
		{[]float64{45, 45.76}, "45 and 45.76 in cannot all be right: read it again"},
	} {
		for _, method := range []string{"soled", "wall"} {
			k := repeated(p, method, c.inches...)
			says := ""
			for _, d := range j.Doubts(&club.Set{Clubs: []*club.Club{k}}) {
				says += d.Message
			}
			if says != c.says {
				t.Errorf("%v by %s: %q, want %q", c.inches, method, says, c.says)
			}
		}
	}
	coarse, _ := compiled(t, `rulebook "Coarse"
method coarse "Coarse"
  covers  every club
  stop    at lie
  top     at cap edge
  reads   to 1/64 in
  lie-set within 10 deg
head driver
  reach       1.75 in
  camber      9 in
  toe         4.2 in
  toe-radius  1.3 in
  heel        0.5 in
  heel-radius 0.6 in
rule r "R"
  for     every club
  require length by coarse at most 60 in
`)
	// sqrt((1/128)^2 + (1.75/sin 58 deg * 10 pi/180)^2)/sqrt 3 = 0.2080 in; 2.8 times that is 0.582 in.
	for spread, want := range map[float64]int{0.58: 0, 0.59: 1, 1.74: 1} {
		k := repeated(coarse, "coarse", 45, 45+spread)
		if ds := coarse.NewJudge(judge.Options{}).Doubts(&club.Set{Clubs: []*club.Club{k}}); len(ds) != want || want > 0 && ds[0].Slip {
			t.Errorf("%v in apart: %v", spread, ds)
		}
		k.Unset(catalogue.Lie) // the graduation alone: two marks are 1/32 in
		if ds := coarse.NewJudge(judge.Options{}).Doubts(&club.Set{Clubs: []*club.Club{k}}); len(ds) != 1 || !ds[0].Slip {
			t.Errorf("%v in apart without a lie: %v", spread, ds)
		}
	}
}

// What no club can have is as if it were not measured, but for "has", which asks for the cell.
func TestImpossibleReading(t *testing.T) {
	p, _ := compiled(t, slipBook)
	c := inClub(p, catalogue.Driver, "soled", 0.045, 58)
	length, angle := p.Schema.Property(catalogue.LengthID), p.Schema.Property(catalogue.Lie)
	c.Weigh(&length, "1.143")
	const want = "simple unmeasured[length], three-way unmeasured[length], there pass, bag unmeasured[length], highest unmeasured[length], mean unmeasured[length], count unmeasured[length], share unmeasured[length], flat pass"
	if got := verdicts(t, p, c); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	c = inClub(p, catalogue.Driver, "wall", 45, 100)
	c.Weigh(&angle, "100")
	const lie = "simple unmeasured[lie], three-way unmeasured[lie], there pass, bag unmeasured[lie], highest unmeasured[lie], mean unmeasured[lie], count fail, share unmeasured[lie], flat unmeasured[lie]"
	if got := verdicts(t, p, c); got != lie {
		t.Errorf("got  %s\nwant %s", got, lie)
	}
}

// A text is compared without case, hyphens and blanks. One that no rule knows, but that is near one that some rule knows, may be
// meant for that one and for no other; a figure is not mistyped.
func TestTexts(t *testing.T) {
	p, _ := compiled(t, `rulebook "Texts"
property grip  text
property shaft text
rule mid "R"
  for     every club
  require lie at most 62 deg
  unless  grip = "Midsize": at most 64 deg
rule over "R"
  for     every club where grip != "Oversize"
  require lie at most 70 deg
rule shafts "R"
  for     every club
  require (if shaft = "S300" then 1 deg else 2 deg) at most 1 deg
rule alike "R"
  for     each set
  require grip = "Jumbo"
`)
	grip, _ := p.Schema.Lookup("grip")
	shaft, _ := p.Schema.Lookup("shaft")
	for _, c := range []struct {
		grip, shaft string
		lie         float64
		want, odd   string
	}{
		{"Midsize", "S300", 63, "mid pass, over pass, shafts pass, alike fail", ""},
		{"mid-size", "s 300", 63, "mid pass, over pass, shafts pass, alike fail", ""},
		{"MID SIZE", "S-300", 65, "mid fail, over pass, shafts pass, alike fail", ""},
		{"Midsze", "S400", 63, "mid unmeasured[grip], over pass, shafts fail, alike fail",
			`no rule names the grip "Midsze"; did you mean "Midsize"?|no rule names the shaft "S400"; rules name "S300"!`},
		{"Midsze", "S3-00", 61, "mid pass, over pass, shafts unmeasured[shaft], alike fail",
			`no rule names the grip "Midsze"; did you mean "Midsize"?|no rule names the shaft "S3-00"; did you mean "S300"?`},
		{"Oversizd", "S300", 61, "mid pass, over unmeasured[grip], shafts pass, alike fail", `no rule names the grip "Oversizd"; did you mean "Oversize"?`},
		{"jumbo", "S300", 61, "mid pass, over pass, shafts pass, alike pass", ""},
		{"Thin", "S300", 61, "mid pass, over pass, shafts pass, alike fail", `no rule names the grip "Thin"; rules name "Midsize", "Oversize", "Jumbo"!`},
	} {
		k := inClub(p, catalogue.Driver, "soled", 45, c.lie)
		k.SetText(grip.ID, c.grip)
		k.SetText(shaft.ID, c.shaft)
		if got := verdicts(t, p, k); got != c.want {
			t.Errorf("%q, %q, %v deg: got  %s\nwant %s", c.grip, c.shaft, c.lie, got, c.want)
		}
		var odd []string
		for _, d := range p.NewJudge(judge.Options{}).Doubts(&club.Set{Clubs: []*club.Club{k}}) {
			odd = append(odd, d.Message+map[bool]string{true: "!"}[d.Once])
		}
		if got := strings.Join(odd, "|"); got != c.odd {
			t.Errorf("%q, %q: %s\nwant %s", c.grip, c.shaft, got, c.odd)
		}
	}
	if got := eval.OtherText([]string{"Other", "Others"}); got != "Other 1" {
		t.Error(got)
	}
}
