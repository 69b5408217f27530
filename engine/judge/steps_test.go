package judge_test

// Neighbours as sheets bring them: ties, refused rows, clubs without a key, adjustable
// clubs, and how each pair is in its order. Expected figures were worked out by hand.

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

const gaps = `rulebook "Gaps"
use methods
rule drops "Half an inch a number"
  for     neighbours among iron by number
  require drop of length by soled per number is 1/2 in +/- 1/8 in
rule rises "Two to five degrees"
  for     neighbours among fairway, hybrid, iron by loft
  require rise of loft between 2 deg and 5 deg
`

// steps judges a sheet of one set and lists what came of its neighbours: rule, clubs,
// verdict and value or reasons, in the order in which they were given. The results themselves come
// second.
func steps(t *testing.T, rules, rows string) ([]string, []*judge.Result) {
	t.Helper()
	p, _ := compiled(t, rules)
	s, problem := sheet.Open("bag.csv", strings.NewReader(rows), sheet.Options{Schema: p.Schema})
	if problem != nil {
		t.Fatal(problem)
	}
	set, ok := s.Next()
	if !ok {
		t.Fatal("no set")
	}
	var lines []string
	var results []*judge.Result
	all := p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(set, judge.Sink{Result: func(r *judge.Result) {
		if r.Subject.Kind != ast.OfNeighbours {
			return
		}
		var ids []string
		for _, c := range r.Subject.Clubs {
			id := c.ID
			if c.Setting != "" {
				id += "@" + c.Setting
			}
			ids = append(ids, id)
		}
		what := r.Value.String()
		if len(wording.Reasons(r.Lacks)) > 0 {
			what = strings.Join(wording.Reasons(r.Lacks), "; ")
		}
		lines = append(lines, fmt.Sprintf("%s %s: %s %s", r.Rule.Decl.Name.Text, strings.Join(ids, " "), r.Verdict, what))
		results = append(results, r)
	}})
	// A judge that only counts what passes counts the same.
	if counted := p.NewJudge(judge.Options{Day: book.NoDay}).Set(set, judge.Sink{}); counted != all {
		t.Errorf("counted %+v, with every result %+v", counted, all)
	}
	return lines, results
}

func TestNeighboursOfASheet(t *testing.T) {
	for _, c := range []struct {
		name, rows string
		want       []string
	}{
		{"two irons of one number", "id,club,length,by\n" +
			"i6,6 iron,37 1/2 in,soled\na,7 iron,37 in,soled\nb,7 iron,36 7/8 in,soled\ni8,8 iron,36 3/8 in,soled\n",
			[]string{
				"drops i6 a: pass 1/2 in",
				"drops a b: unmeasured 7 iron (a) and 7 iron (b) have the same number",
				"drops b i8: pass 1/2 in",
			}},
		{"three irons of one number", "id,club,length,by\n" +
			"a,7 iron,37 in,soled\nb,7 iron,37 in,soled\nc,7 iron,37 in,soled\n",
			[]string{
				"drops a b: unmeasured 7 iron (a) and 7 iron (b) have the same number",
				"drops b c: unmeasured 7 iron (b) and 7 iron (c) have the same number",
			}},
		// The row of the 7 iron is refused: the pair it is between is open, the one beside it is not.
		{"a refused row between", "id,club,length,by\n" +
			"i6,6 iron,37 1/2 in,soled\ni7,7 iron,thirty,soled\ni8,8 iron,36 1/2 in,soled\ni9,9 iron,36 in,soled\n",
			[]string{
				"drops i6 i8: unmeasured row 3 was refused and could belong between them",
				"drops i8 i9: pass 1/2 in",
			}},
		// A refused row without a number could stand anywhere; one of a driver nowhere among irons.
		{"refused rows of which less is known", "id,club,length,by\n" +
			"i6,6 iron,37 1/2 in,soled\nx,iron,thirty,soled\nd,driver,forty,soled\ni7,7 iron,37 in,soled\n",
			[]string{"drops i6 i7: unmeasured row 3 was refused and could belong between them"}},
		{"a club without a number", "id,club,length,by\n" +
			"i6,6 iron,37 1/2 in,soled\nx,iron,37 1/4 in,soled\ni7,7 iron,37 in,soled\n",
			[]string{
				"drops i6 i7: pass 1/2 in",
				"drops x i6 i7: unmeasured iron (x) has no number",
			}},
		// A hybrid set to 18 or 21 degrees is before or behind the fairway of 19.5. At 18 it is
		// 1.5 deg from w5, at 21 as far; at 18 its iron is out of reach, and w5 is beside i4: 4.5 deg.
		{"an adjustable hybrid changes the order", "id,club,loft,setting\n" +
			"w5,5 wood,19.5 deg,\nh3,3 hybrid,18 deg,low\nh3,3 hybrid,21 deg,high\ni4,4 iron,24 deg,\n",
			[]string{
				"rises h3@low w5: fail 1.5 deg",
				"rises w5 i4: pass 4.5 deg",
				"rises w5 h3@high: fail 1.5 deg",
				"rises h3@high i4: pass 3 deg",
			}},
		// Of the settings of one order the worse counts: 20 deg is 2 deg behind 18, 23.5 deg too far.
		{"an adjustable hybrid in its place", "id,club,loft,setting\n" +
			"w5,5 wood,18 deg,\nh3,3 hybrid,20 deg,low\nh3,3 hybrid,23.5 deg,high\ni4,4 iron,25 deg,\n",
			[]string{
				"rises w5 h3@high: fail 5.5 deg",
				"rises h3@high i4: fail 1.5 deg",
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _ := steps(t, gaps, c.rows)
			rule, _, _ := strings.Cut(c.want[0], " ")
			got = slices.DeleteFunc(got, func(line string) bool { return !strings.HasPrefix(line, rule) })
			if !slices.Equal(got, c.want) {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(c.want, "\n  "))
			}
		})
	}
}

// What a pair says of its clubs does not depend on the verdict, and a club without an order
// has no place in one.
func TestPairsStandInOrder(t *testing.T) {
	_, results := steps(t, gaps+`rule swings "R"
  for     neighbours among iron by swingweight
  require (abs((drop of swingweight))) at most 1 pts
rule two "R"
  for     neighbours among iron by number
  require (drop of length by soled) > 0 in and (rise of loft) > 0 deg
`, "id,club,length,by,swingweight\ni6,6 iron,37 1/2 in,soled,D1\ni8,8 iron,,soled,D2.5\nx,iron,36 in,soled,\n")
	var got []string
	for _, r := range results {
		line := r.Rule.Decl.Name.Text + ": no order"
		if p := r.Pair; p != nil {
			line = fmt.Sprintf("%s: %s %s; %q %s %s; rise %v, per number %v, apart %v, plain %v", r.Rule.Decl.Name.Text,
				p.Key[0], p.Key[1], p.Of, p.Value[0], p.Value[1], p.Rise, p.PerNumber, p.Apart, p.Plain)
		}
		got = append(got, line)
	}
	want := []string{
		`drops: 6 8; "length by soled" 37 1/2 in unknown; rise false, per number true, apart 2, plain true`,
		`drops: no order`,
		`rises: no order`, `rises: no order`, `rises: no order`,
		`swings: D1 D2.5; "swingweight" D1 D2.5; rise false, per number false, apart 1, plain false`,
		`swings: no order`,
		`two: 6 8; "" unknown unknown; rise false, per number false, apart 1, plain false`,
		`two: no order`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

// Where no two clubs surely belong, what may be neighbours is told of as not measured, never passed over. An iron of 54 deg
// cannot be beside one of 50 past a right-handed one of 52.
func TestNeighboursThatMayBe(t *testing.T) {
	const book = `rulebook "Right hand"
rule steps "A degree at most"
  for     neighbours among iron where hand = right by lie
  require rise of lie at most 1 deg
rule light "Of the irons of less loft than the mean"
  for     neighbours among iron where loft < (mean of loft among club) by lie
  require rise of lie at most 1 deg
`
	for _, c := range []struct {
		name, rows string
		want       []string
	}{
		{"hands missing", "id,club,lie,hand\na,7 iron,50 deg,\nb,7 iron,52 deg,\nc,7 iron,54 deg,\n", []string{
			"steps a b c: unmeasured 7 iron (a) has no hand", "steps b a c: unmeasured 7 iron (b) has no hand", "steps c a b: unmeasured 7 iron (c) has no hand"}},
		{"one hand there", "id,club,lie,hand\na,7 iron,50 deg,\nb,7 iron,52 deg,right\nc,7 iron,54 deg,\n", []string{
			"steps a b: unmeasured 7 iron (a) has no hand", "steps c b: unmeasured 7 iron (c) has no hand"}},
		{"one club of which nothing is known, and no other", "id,club,lie,hand\na,7 iron,,\nb,7 iron,52 deg,left\n", nil},
		{"a set's value is not known", "id,club,lie,hand,loft\na,7 iron,50 deg,left,30 deg\nb,7 iron,52 deg,left,34 deg\nd,driver,58 deg,left,\n", []string{
			"light a b: unmeasured driver (d) has no loft", "light b a: unmeasured driver (d) has no loft"}},
		{"a refused row beside one club", "id,club,lie,hand\na,7 iron,50 deg,right\nb,7 iron,52 deg,rigth\n", []string{
			"steps a: unmeasured row 3 was refused and could belong beside it"}},
		{"a refused row beside a club that may belong", "id,club,lie,hand\na,7 iron,50 deg,\nb,7 iron,52 deg,rigth\n", []string{
			"steps a: unmeasured 7 iron (a) has no hand; row 3 was refused and could belong beside it"}},
		{"refused rows alone", "id,club,lie,hand\na,7 iron,5o deg,\nb,7 iron,52 deg,rigth\nc,7 iron,x,left\n", []string{
			"steps : unmeasured row 2 was refused and could belong beside another; row 3 was refused and could belong beside another"}},
		{"a single refused row", "id,club,lie,hand\na,7 iron,5o deg,\nc,7 iron,54 deg,left\n", nil},
		{"settings", "id,club,lie,hand,setting\na,7 iron,50 deg,,low\na,7 iron,51 deg,,high\nb,7 iron,54 deg,,\n", []string{
			"steps a@low b: unmeasured 7 iron (a) at low has no hand", "steps b a@low: unmeasured 7 iron (b) has no hand"}},
		// At high the iron is half a degree above b, which passes; at low it may be 2.5 deg below.
		{"may be at one setting, surely at the other", "id,club,lie,hand,setting\na,7 iron,50 deg,,low\na,7 iron,53 deg,right,high\nb,7 iron,52.5 deg,right,\n", []string{
			"steps a@low b: unmeasured 7 iron (a) at low has no hand", "steps b a@high: unmeasured 7 iron (a) at low has no hand"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _ := steps(t, book, c.rows)
			light := c.want != nil && strings.HasPrefix(c.want[0], "light")
			got = slices.DeleteFunc(got, func(line string) bool { return strings.HasPrefix(line, "light") != light })
			if !slices.Equal(got, c.want) {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(c.want, "\n  "))
			}
		})
	}
}
