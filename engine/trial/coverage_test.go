package trial_test

import (
	"slices"
	"testing"
	"testing/fstest"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// loaded loads a book from its text.
func loaded(t *testing.T, text string) (*judge.Program, *book.Book) {
	t.Helper()
	loaded, mistakes := load.Load(rulesets.FS(), []load.Root{{FS: fstest.MapFS{"b.ferrule": {Data: []byte(text)}}, Path: "b.ferrule", Show: "b.ferrule"}})
	for _, m := range mistakes {
		t.Errorf("line %d: %s", m.Span.Line(), m.Message)
	}
	if mistakes.HasErrors() {
		t.Fatal(text)
	}
	return judge.Compile(loaded.Roots, loaded.Schema), loaded.Roots[0]
}

// missing lists what no case of a book shows of a rule.
func missing(c []trial.Coverage, rule string) []string {
	out := []string{}
	for _, one := range c {
		if one.Rule.Decl.Name.Text == rule {
			for _, g := range one.Missing {
				out = append(out, g.String())
			}
		}
	}
	return out
}

const lies = `rulebook "Lies"
  decision three-way at 95 %
rule most
  for every iron
  require lie at most 64 deg
  unless hand = left: at most 66 deg
  unless loft > 56 deg: exempt
`

// Which cases show what was worked out by hand. 1 % of 64 deg is 0.64 deg.
func TestCoverageTellsWhatNoCaseShows(t *testing.T) {
	all := []string{"a pass", "a fail", "too close to call", "the upper edge from inside", "the upper edge from outside",
		"the exception on line 6", "the upper edge from inside under the exception on line 6",
		"the upper edge from outside under the exception on line 6", "the exception on line 7"}
	for _, c := range []struct {
		name  string
		club  string
		want  string
		shows []string
	}{
		{"far inside", "lie 60 deg, hand right, loft 30 deg", "pass", []string{"a pass"}},
		{"just inside", "lie 63.4 deg, hand right, loft 30 deg", "pass", []string{"a pass", "the upper edge from inside"}},
		{"a little further inside", "lie 63.3 deg, hand right, loft 30 deg", "pass", []string{"a pass"}},
		{"on the limit", "lie 64 deg, hand right, loft 30 deg", "pass", []string{"a pass", "the upper edge from inside"}},
		{"just outside", "lie 64.6 deg, hand right, loft 30 deg", "fail", []string{"a fail", "the upper edge from outside"}},
		{"far outside", "lie 64.7 deg, hand right, loft 30 deg", "fail", []string{"a fail"}},
		{"not sure", "lie 64 deg +/- 0.5 deg, hand right, loft 30 deg", "too-close", []string{"too close to call"}},
		{"on the limit of an exception", "lie 66 deg, hand left, loft 30 deg", "pass excepted",
			[]string{"a pass", "the exception on line 6", "the upper edge from inside under the exception on line 6"}},
		{"exempt", "lie 70 deg, hand right, loft 57 deg", "exempt excepted", []string{"the exception on line 7"}},
		{"not measured", "hand right, loft 30 deg", "unmeasured", nil},
		{"an expectation that is not met shows nothing", "lie 70 deg, hand right, loft 30 deg", "pass", nil},
	} {
		p, b := loaded(t, lies+"case \"c\"\n  club a: iron 9, "+c.club+"\n  expect most on a: "+c.want+"\n")
		want := slices.DeleteFunc(slices.Clone(all), func(g string) bool { return slices.Contains(c.shows, g) })
		if got := missing(trial.Cover(b, trial.Run(p, b)), "most"); !slices.Equal(got, want) {
			t.Errorf("%s: missing %q, want %q", c.name, got, want)
		}
	}
}

// A count has no uncertainty, so it is never too close; one club is its distance.
func TestCoverageOfCountsAndConditions(t *testing.T) {
	p, b := loaded(t, `rulebook "Bags"
  decision three-way at 95 %
rule four
  for each set
  require count of wedge at most 4
rule flat
  for every iron
  require lie <= 62 deg
rule hands
  for every iron
  require hand = left or loft < 30 deg
rule steps
  for neighbours among iron by number
  require rise of loft is 4 deg +/- 1 deg
case "c"
  club a: iron 9, lie 62 deg
  expect four on set: pass
  expect flat on a: pass
`)
	cover := trial.Cover(b, trial.Run(p, b))
	for rule, want := range map[string][]string{
		"four":  {"a fail", "the upper edge from inside", "the upper edge from outside"},
		"flat":  {"a fail", "too close to call", "the upper edge from outside"},
		"hands": {"a pass", "a fail", "too close to call"},
		"steps": {"a pass", "a fail", "too close to call", "the upper edge from inside", "the upper edge from outside", "the lower edge from inside", "the lower edge from outside"},
	} {
		if got := missing(cover, rule); !slices.Equal(got, want) {
			t.Errorf("%s: missing %q, want %q", rule, got, want)
		}
	}
}

// Of a used book's rules nothing is asked here, and a rule's counts are those of expectations that were met.
func TestCoverageIsOfOwnRules(t *testing.T) {
	p, b := loaded(t, `rulebook "Own"
use methods
use model-local-46
rule most
  for every iron
  require lie at most 64 deg
case "c"
  club a: iron 9, lie 64 deg, length 50 in by plane-60
  club b: iron 8, lie 65 deg
  club c: iron 7, lie 65 deg
  expect most on a: pass
  expect most on b: fail
  expect most on c: pass
  expect longest-club-46 on a: fail
`)
	cover := trial.Cover(b, trial.Run(p, b))
	if len(cover) != 1 || cover[0].Rule.Decl.Name.Text != "most" {
		t.Fatalf("%d rules are covered, want most alone", len(cover))
	}
	if c := cover[0]; c.Pass != 1 || c.Fail != 1 || c.TooClose != 0 {
		t.Errorf("%d pass, %d fail, %d too close, want 1, 1, 0", c.Pass, c.Fail, c.TooClose)
	}
}
