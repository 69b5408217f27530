package compare_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/value"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// bench is the program of a book of methods that stays as it is.
func bench(t *testing.T) *judge.Program {
	t.Helper()
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: os.DirFS("testdata"), Path: "bench.ferrule", Show: "bench.ferrule"}})
	if list.HasErrors() {
		t.Fatalf("%v", list)
	}
	return judge.Compile(loaded.Roots, loaded.Schema)
}

// bags reads the sets of a sheet that has no fault.
func bags(t rapid.TB, p *judge.Program, text string) []*club.Set {
	t.Helper()
	r, problem := sheet.Open("bags.csv", strings.NewReader(text), sheet.Options{Schema: p.Schema})
	if problem != nil {
		t.Fatal(problem)
	}
	var sets []*club.Set
	for s, ok := r.Next(); ok; s, ok = r.Next() {
		for _, f := range s.Refused {
			t.Fatalf("row %d was refused: %s", f.Row.Row, f.Message)
		}
		sets = append(sets, s)
	}
	return sets
}

// agreed holds the only clubs of two sheets, of the columns given, against each other.
func agreed(t rapid.TB, p *judge.Program, columns, first, second string) compare.Agreement {
	t.Helper()
	return agreedOf(t, p, catalogue.LengthID, columns, first, second)
}

func agreedOf(t rapid.TB, p *judge.Program, of catalogue.ID, columns, first, second string) compare.Agreement {
	t.Helper()
	pairs := compare.Pairs(bags(t, p, columns+"\n"+first+"\n"), bags(t, p, columns+"\n"+second+"\n"))
	if len(pairs) != 1 {
		t.Fatalf("%d pairs, want 1", len(pairs))
	}
	return compare.Agree(p.NewJudge(judge.Options{}), p, pairs[0], p.Schema.Property(of))
}

func TestRowsArePairedBySetIDAndSetting(t *testing.T) {
	p := bench(t)
	first := bags(t, p, "set,id,club,setting\nAda,d1,driver,low\nAda,d1,driver,high\nAda,i5,5 iron,\nBen,i5,5 iron,\n")
	second := bags(t, p, "set,id,club,setting\nBen,i5,5 iron,\nBen,d1,driver,low\nAda,d1,driver,high\n")
	var got []string
	for _, q := range compare.Pairs(first, second) {
		got = append(got, fmt.Sprint(q.Set, " ", q.ID, " ", q.Setting, " ", q.First != nil, " ", q.Second != nil))
		for _, c := range []*club.Club{q.First, q.Second} {
			if c != nil && (c.ID != q.ID || c.Setting != q.Setting) {
				t.Errorf("%s at %s is paired as %s at %s", c.ID, c.Setting, q.ID, q.Setting)
			}
		}
	}
	want := []string{"Ada d1 low true false", "Ada d1 high true true", "Ada i5  true false", "Ben i5  true true", "Ben d1 low false true"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// Where a sheet has no ids the clubs pair as they were read, whatever their text; which of two alike is which nobody
// knows. A refused row is found the same way.
func TestRowsWithoutIDsArePairedByTheClub(t *testing.T) {
	p := bench(t)
	outline := func(first, second string) (got []string) {
		read := func(text string) []*club.Set {
			r, problem := sheet.Open("bags.csv", strings.NewReader(text), sheet.Options{Schema: p.Schema})
			if problem != nil {
				t.Fatal(problem)
			}
			var sets []*club.Set
			for s, ok := r.Next(); ok; s, ok = r.Next() {
				sets = append(sets, s)
			}
			return sets
		}
		for _, q := range compare.Pairs(read(first), read(second)) {
			s := q.Set
			for _, c := range []*club.Club{q.First, q.Second} {
				if c == nil {
					s += " -"
				} else {
					s += " " + c.Name
				}
			}
			if q.Twice {
				s += " twice"
			}
			if q.Refused != nil {
				s += " refused"
			}
			got = append(got, s)
		}
		return got
	}
	for _, c := range []struct{ what, first, second, want string }{
		{"neither has ids", "club\n7 iron\nPW\nLW\nW3\n", "club\n3 wood\n7i\npitching wedge\nlob wedge\n",
			" 7 iron 7i, PW pitching wedge, LW lob wedge, W3 3 wood"},
		{"one has ids", "id,club\na,7 iron\nb,8 iron\n", "set,club\n,8i\n,7i\n", " 7 iron 7i, 8 iron 8i"},
		{"both have ids", "id,club\na,7 iron\nb,8 iron\n", "id,club\nb,7i\na,8i\n", " 7 iron 8i, 8 iron 7i"},
		{"two alike", "club\nputter\nputter\n7i\n", "club\n7 iron\nputter\n", " putter putter twice, putter - twice, 7i 7 iron"},
		{"two alike on the second", "club\nputter\n", "club\nputter\nputter\n", " putter putter twice, - putter twice"},
		{"another mark", "club\nSW\n", "club\nPW\n", " SW -, - PW"},
		{"refused", "club,lie\n7i,61 deg\n8i,62 deg\n", "club,lie\n8 iron,steep\n", " 7i -, 8i - refused"},
		{"sets", "set,club\nAda,7i\nBen,7i\n", "set,club\nBen,7 iron\n", "Ada 7i -,Ben 7i 7 iron"},
		{"one set and none", "set,club\nAda,7i\nAda,8i\n", "club\n8 iron\n7 iron\n", "Ada 7i 7 iron,Ada 8i 8 iron"},
		{"none and one, by ids", "id,club\na,7i\n", "set,id,club\nAda,a,7 iron\n", "Ada 7i 7 iron"},
		{"none and one, refused", "club,lie\n7i,61 deg\n8i,62 deg\n", "set,club,lie\nAda,7 iron,61 deg\nAda,8 iron,steep\n", "Ada 7i 7 iron,Ada 8i - refused"},
		{"two sets and none", "set,club\nAda,7i\nBen,8i\n", "club\n7 iron\n", "Ada 7i -,Ben 8i -, - 7 iron"},
	} {
		if got := strings.Join(outline(c.first, c.second), ","); got != c.want {
			t.Errorf("%s: got %q, want %q", c.what, got, c.want)
		}
	}
}

// A pair has the id of the first sheet, unless the second alone states one.
func TestTheIDOfAPair(t *testing.T) {
	p := bench(t)
	for _, c := range []struct{ first, second, want string }{
		{"club\nSW\nSW\n7i\n", "club\n7 iron\n8i\nsand wedge\n", "SW,SW (2),7i,8i"},
		{"club\n7i\n8i\n", "id,club\na,7 iron\n,8 iron\n", "a,8i"},
		{"id,club\na,7i\n", "club\n7 iron\n", "a"},
	} {
		pairs := compare.Pairs(bags(t, p, c.first), bags(t, p, c.second))
		got := lists.Each(pairs, func(q compare.Pair) string { return q.ID })
		if ids := strings.Join(got, ","); ids != c.want {
			t.Errorf("%q and %q: got %s, want %s", c.first, c.second, ids, c.want)
		}
	}
}

// One id that is two different clubs agrees in nothing, however alike the readings are.
func TestOneIDOfTwoClubs(t *testing.T) {
	p := bench(t)
	for _, c := range []struct{ first, second, says string }{
		{"7 iron", "8 iron", "7 iron, the other as 8 iron"},
		{"7 iron", "7 wood", "7 iron, the other as 7 wood"},
		{"SW", "PW", "sand wedge, the other as pitching wedge"},
		{"60°", "56°", "60 wedge, the other as 56 wedge"},
		{"7 iron", "7i", ""},
		{"PW", "pitching wedge", ""},
		{"iron", "7i", ""},
	} {
		a := agreed(t, p, "id,club,length,by,lie", "7,"+c.first+",37 +/- 1/16 in,bare,61 deg", "7,"+c.second+",37 +/- 1/16 in,bare,61 deg")
		if a.Told != (c.says == "") || a.Told && !a.Same || !strings.Contains(strings.Join(wording.Reasons(a.Lacks), " "), c.says) {
			t.Errorf("%s and %s: told %v, %q", c.first, c.second, a.Told, wording.Reasons(a.Lacks))
		}
		if !a.Told && !slices.Equal(value.Needs(a.Lacks), []string{"club"}) {
			t.Errorf("%s and %s: needs %q", c.first, c.second, value.Needs(a.Lacks))
		}
	}
}

// Other properties by hand: U = 2·√((a² + b²)/3) of two half-widths a and b.
func TestOtherPropertiesAgree(t *testing.T) {
	p := bench(t)
	for _, c := range []struct {
		of            catalogue.ID
		first, second string
		difference, u float64
		needs         string
	}{
		{catalogue.Lie, "61 +/- 0.5 deg", "62 +/- 0.25 deg", -1, 2 * math.Sqrt((0.5*0.5+0.25*0.25)/3), ""},
		{catalogue.Lie, "61 | 61.5 +/- 0.5 deg", "62 +/- 0.25 deg", -0.75, 2 * math.Sqrt((0.5*0.5+0.25*0.25)/3), ""},
		{catalogue.SwingWeightID, "D2 +/- 1 pts", "C9.5 +/- 0.5 pts", 2.5, 2 * math.Sqrt((1+0.25)/3), ""},
		{catalogue.Lie, "61 +/- 0 deg", "61 +/- 0 deg", 0, 0, ""},
		{catalogue.Lie, "61 +/- 0 deg", "62 +/- 0 deg", -1, 0, ""},
		{catalogue.Lie, "61 +/- 0.5 deg", "62 deg", 0, 0, "lie"},
		{catalogue.Lie, "61 deg", "61 deg", 0, 0, "lie"},
		{catalogue.Lie, "61 +/- 0.5 deg", "", 0, 0, "lie"},
	} {
		name := p.Schema.Property(c.of).Name
		a := agreedOf(t, p, c.of, "id,club,"+name, "i5,5 iron,"+c.first, "i5,5 iron,"+c.second)
		what := c.first + " and " + c.second
		if got := strings.Join(value.Needs(a.Lacks), " "); got != c.needs || a.Told != (got == "") {
			t.Errorf("%s: needs %q, told %v", what, got, a.Told)
		}
		if !a.Told {
			continue
		}
		if d, u := a.Difference.Value.Unit.FromBase(a.Difference.Value.Base), a.Expanded.Unit.FromBase(a.Expanded.Base); math.Abs(d-c.difference) > 1e-9 || math.Abs(u-c.u) > 1e-9 {
			t.Errorf("%s: %v +/- %v, want %v +/- %v", what, d, u, c.difference, c.u)
		}
		if a.Same != (math.Abs(c.difference) <= c.u) || math.IsNaN(a.En) != (c.u == 0) {
			t.Errorf("%s: same %v, En %v", what, a.Same, a.En)
		}
	}
}

// The uncertainty of a difference between two methods against errors drawn at random,
// each from its rectangle (JCGM 101:2008): one reads a driver soled, the other on the
// wall. The toe's arc touches the wall, so the height is that of a circle.
func TestTheDifferenceAgainstDrawnErrors(t *testing.T) {
	p := bench(t)
	a := agreed(t, p, "id,club,length,by,lie", "d1,driver,46 in,soled,58 deg", "d1,driver,47 5/8 in,wall,58 +/- 1 deg")
	const degree = math.Pi / 180
	height := func(reach, camber, toe, radius, delta float64) float64 {
		at := math.Asin((toe - reach - radius) / (camber - radius))
		x, z := reach+(camber-radius)*math.Sin(at), camber-(camber-radius)*math.Cos(at)
		return x*math.Sin(delta) - z*math.Cos(delta) + radius
	}
	const trials = 100_000
	random := rand.New(rand.NewPCG(1, 2))
	off := func(half float64) float64 { return half * (2*random.Float64() - 1) }
	var sum, squares float64
	for range trials {
		tilt := off(1) * degree
		soled := 46 + off(1./16) + off(1./64) + (1.75*math.Sin(tilt)+9*(1-math.Cos(tilt)))/math.Sin(58*degree+tilt)
		wall := 47.625 + off(1./16) + off(1./64) - (1./8 + off(1./32)) -
			height(1.75+off(0.25), 9+off(2), 4.2+off(0.25), 1.3+off(0.25), 32*degree+off(1)*degree)
		d := soled - wall
		sum, squares = sum+d, squares+d*d
	}
	mean := sum / trials
	u := math.Sqrt(squares/trials - mean*mean)
	const inch = 25.4e6
	if got := a.Difference.Value.Base / inch; math.Abs(got-(46-(47.625-0.125-height(1.75, 9, 4.2, 1.3, 32*degree)))) > 1e-9 {
		t.Errorf("the difference is %v in", got)
	}
	if got := a.Expanded.Base / inch / 2; math.Abs(got/u-1) > 0.02 {
		t.Errorf("standard uncertainty %v in, drawn %v in", got, u)
	}
}

// What both readings share is exactly nothing in the difference: by one method, the cap,
// the crown and the shape of the head. The rulers of two people are two rulers.
func TestWhatIsSharedCancels(t *testing.T) {
	p := bench(t)
	a := agreed(t, p, "id,club,length,by,lie", "d1,driver,47 5/8 in,wall,58 deg", "d1,driver,47 3/4 in,wall,59 deg")
	const inch = 25.4e6
	want := 2 * math.Sqrt(2) * math.Hypot(1./16, 1./64) / math.Sqrt(3)
	if got := a.Expanded.Base / inch; math.Abs(got-want) > 1e-9 {
		t.Errorf("U is %v in, want %v in: two graduations and two rulers", got, want)
	}
}

// A lie that one sheet lacks is taken from the other.
func TestALieIsTakenFromTheOtherSheet(t *testing.T) {
	p := bench(t)
	const columns = "id,club,length,by,lie"
	both := agreed(t, p, columns, "d1,driver,46 in,soled,58 deg", "d1,driver,47 5/8 in,wall,58 deg")
	for _, one := range []compare.Agreement{
		agreed(t, p, columns, "d1,driver,46 in,soled,", "d1,driver,47 5/8 in,wall,58 deg"),
		agreed(t, p, columns, "d1,driver,46 in,soled,58 deg", "d1,driver,47 5/8 in,wall,"),
	} {
		if !one.Told || one.Difference.Value != both.Difference.Value || one.Expanded != both.Expanded {
			t.Errorf("the difference is %v +/- %v, with both lies %v +/- %v", one.Difference.Value, one.Expanded, both.Difference.Value, both.Expanded)
		}
	}
	if none := agreed(t, p, columns, "d1,driver,46 in,soled,", "d1,driver,47 5/8 in,wall,"); none.Told || !slices.Equal(value.Needs(none.Lacks), []string{"lie"}) {
		t.Errorf("without any lie it is told: %v, needs %q", none.Told, value.Needs(none.Lacks))
	}
}

// Who comes first makes no more than a sign, and a suspect that is as far off as it would
// have to be explains the difference whole.
func TestAgreementWhicheverComesFirst(t *testing.T) {
	p := bench(t)
	const columns = "id,club,length (in),by,lie (deg)"
	rapid.Check(t, func(t *rapid.T) {
		lie := rapid.IntRange(54, 66).Draw(t, "lie")
		row := func(name string, longer float64) string {
			by := rapid.SampledFrom([]string{"soled", "plane-60", "wall", "bare"}).Draw(t, name)
			return fmt.Sprintf("i5,5 iron,%v,%s,%d", float64(rapid.IntRange(37*32, 40*32).Draw(t, name+" length"))/32+longer, by, lie)
		}
		first, second := row("first", 0), row("second", 0)
		a, b := agreed(t, p, columns, first, second), agreed(t, p, columns, second, first)
		if !a.Told || a.Same != b.Same || a.Same != (math.Abs(a.En) <= 1) {
			t.Fatalf("%s and %s: told %v, same %v and %v, En %v", first, second, a.Told, a.Same, b.Same, a.En)
		}
		if math.Abs(a.Difference.Value.Base+b.Difference.Value.Base) > 1 || math.Abs(a.Expanded.Base-b.Expanded.Base) > 1 {
			t.Fatalf("%s and %s: %v +/- %v, the other way %v +/- %v", first, second, a.Difference.Value, a.Expanded, b.Difference.Value, b.Expanded)
		}
		if a.Same != (len(a.Suspects) == 0) {
			t.Fatalf("%d suspects of two that agree: %v", len(a.Suspects), a.Same)
		}
		for _, s := range a.Suspects {
			if s.Name != "graduation" || s.Of == nil {
				continue
			}
			// A wrong reading that is put right by so much makes the two equal.
			var n float64
			var by string
			mended := &first
			if s.Of == a.Second {
				mended = &second
			}
			parts := strings.Split(*mended, ",")
			fmt.Sscan(parts[2], &n)
			by = parts[3]
			change := -a.Difference.Value.Base
			if mended == &second {
				change = -change
			}
			old := *mended
			*mended = fmt.Sprintf("i5,5 iron,%.9f,%s,%d", n+math.Copysign(s.Off.Base, change)/25.4e6, by, lie)
			if c := agreed(t, p, columns, first, second); math.Abs(c.Difference.Value.Base) > 2 {
				t.Fatalf("with %s it still differs by %v", *mended, c.Difference.Value)
			}
			*mended = old
		}
	})
}
