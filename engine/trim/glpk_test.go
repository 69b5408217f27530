package trim_test

// This file holds plans for the random bags of scene_test.go against GLPK, an independent solver of integer programs:
// whether there is a plan, how many clubs it extends, by how much in total, and how much it cuts.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/trim"
	"ferrule/lang/book"
)

// program is the scene as an integer program in the LP format that glpsol reads: for club i the steps x that it is longer
// than read, those added p, those taken off p - x, and whether it is extended, z. The weights put the number before
// the sum added, and that before the sum cut. Differences of whole steps are held to whole steps.
func (s *scene) program() string {
	n := len(s.lengths)
	var b strings.Builder
	b.WriteString("Minimize\n work:")
	for i := range n {
		fmt.Fprintf(&b, " + %d z%d + %d p%d - x%d", perExtended, i, perAdded+1, i, i)
	}
	b.WriteString("\nSubject To\n")
	for _, d := range s.demands {
		left, now := fmt.Sprintf(" x%d", d.plus), float64(s.lengths[d.plus])
		if d.minus >= 0 {
			left, now = left+fmt.Sprintf(" - x%d", d.minus), now-float64(s.lengths[d.minus])
		}
		if !math.IsInf(d.low, 0) {
			fmt.Fprintf(&b, "%s >= %v\n", left, math.Ceil((d.low+float64(s.inside)-now)/float64(s.grid)-1e-9))
		}
		if !math.IsInf(d.high, 0) {
			fmt.Fprintf(&b, "%s <= %v\n", left, math.Floor((d.high-float64(s.inside)-now)/float64(s.grid)+1e-9))
		}
	}
	most := s.extend / s.grid
	for i := range n {
		fmt.Fprintf(&b, " p%d - x%d >= 0\n p%d - %d z%d <= 0\n", i, i, i, most, i)
	}
	b.WriteString("Bounds\n")
	var ints, bins []string
	for i, l := range s.lengths {
		fmt.Fprintf(&b, " -%d <= x%d <= %d\n 0 <= p%d <= %d\n", (l-1)/s.grid, i, most, i, most)
		ints = append(ints, fmt.Sprintf("x%d p%d", i, i))
		bins = append(bins, fmt.Sprintf("z%d", i))
	}
	fmt.Fprintf(&b, "Generals\n %s\nBinaries\n %s\nEnd\n", strings.Join(ints, " "), strings.Join(bins, " "))
	return b.String()
}

// The weights of the objective: no more is cut from a bag than perAdded steps, nor added than perExtended/perAdded.
const perExtended, perAdded = 1000000, 10000

// solve lets GLPK solve a program; false if there is no solution.
func solve(t *testing.T, dir, text string) (score, bool) {
	t.Helper()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	if err := os.WriteFile(in, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command("glpsol", "--lp", in, "--write", out).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	for _, none := range []string{"NO PRIMAL FEASIBLE", "NO INTEGER FEASIBLE"} {
		if strings.Contains(string(said), none) {
			return score{}, false
		}
	}
	answer, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(string(answer), "\n") {
		var rows, columns int
		var status string
		var work float64
		if n, _ := fmt.Sscanf(line, "s mip %d %d %s %f", &rows, &columns, &status, &work); n == 4 && status == "o" {
			w := int(math.Round(work))
			return score{w / perExtended, w % perExtended / perAdded, w % perAdded}, true
		}
	}
	t.Fatalf("no answer in %s\n%s", said, answer)
	return score{}, false
}

// atFirstOrder are the results that are decided to first order. A spread or an extreme that is decided by simulation is
// planned by the first-order limits of its pairs, so the plan may still fail it.
func atFirstOrder(results []*judge.Result) []*judge.Result {
	return slices.DeleteFunc(slices.Clone(results), func(r *judge.Result) bool { return r.Simulated })
}

func TestManySortsOfRulesAgainstGLPK(t *testing.T) {
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol is not there: apt-get install glpk-utils")
	}
	r := rand.New(rand.NewPCG(41, 7))
	dir := t.TempDir()
	met := map[string]int{}
	for k := range 200 {
		s := newScene(r, 3+r.IntN(5), false)
		s.inside = max(0, r.IntN(7)-2)
		s.againstGLPK(t, k, dir, met)
	}
	for _, sort := range []string{"feasible true, extensions true", "feasible false, extensions true", "feasible true, extensions false", "feasible false, extensions false",
		"extended", "cut", "inside", "none for a contradiction", "none for a short club", "none for the grid"} {
		if met[sort] < 3 {
			t.Errorf("too few bags of the sort %q: %v", sort, met)
		}
	}
	t.Log(met)
}

// againstGLPK holds the plan of a scene against what GLPK finds, and notes what was met.
func (s *scene) againstGLPK(t *testing.T, k int, dir string, met map[string]int) {
	t.Helper()
	p := compiled(t, s.text)
	plan := trim.Make(p.NewJudge(judge.Options{Day: book.NoDay}), s.bag(p), s.options())
	want, there := solve(t, dir, s.program())
	fail := func(format string, args ...any) {
		t.Helper()
		t.Fatalf("bag %d: %s\n%slengths %v, numbers %v, grid %d, extend %d, inside %d", k,
			fmt.Sprintf(format, args...), s.text, s.lengths, s.numbers, s.grid, s.extend, s.inside)
	}
	if len(plan.Conflicts)+len(plan.Open) > 0 {
		fail("faults or unmeasured clubs: %v %v", plan.Conflicts, plan.Open)
	}
	if plan.Feasible != there {
		fail("feasible %v, GLPK says %v", plan.Feasible, there)
	}
	met[fmt.Sprintf("feasible %v, extensions %v", there, s.extend > 0)]++
	if !there {
		s.irreducible(t, p, plan)
		met["none for "+why(plan)]++
		return
	}
	if got := scoreOf(stepsOf(plan)); got != want {
		fail("%+v, GLPK finds %+v", got, want)
	}
	if left, broken := s.meets(stepsOf(plan)), atFirstOrder(plan.Broken); left != "" || len(broken) > 0 {
		fail("the plan does not pass: %s %v", left, broken)
	}
	if want.extended > 0 {
		met["extended"]++
	}
	if s.inside > 0 {
		met["inside"]++
	}
	if want.cut > 0 {
		met["cut"]++
	}
}

// spreads is a bag of many clubs, read by two methods of which one has a ruler that reads wrong for all of its clubs, with
// one spread or two and limits on either side. By hand: two readings by one method have u = sqrt(2) half/sqrt(3), whatever
// the ruler, and one by each the sum of squares of both and of the ruler's 2/64 in / sqrt(3).
func spreads(r *rand.Rand) *scene {
	s := &scene{grid: []int{1, 2, 4, 8, 12}[r.IntN(5)], extend: []int{0, 16, 64}[r.IntN(3)]}
	read, ruler := [2]float64{2 / math.Sqrt(3), 4 / math.Sqrt(3)}, 2/math.Sqrt(3)
	for i := range 9 + r.IntN(8) {
		s.numbers = append(s.numbers, i+1)
		s.lengths = append(s.lengths, 38*64+r.IntN(96))
		s.byEnd = append(s.byEnd, r.IntN(2) == 0)
	}
	var b strings.Builder
	b.WriteString(`rulebook "Spreads"
method edge "To the edge of the cap"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/16 in
method end "To the end of the cap"
  covers every club
  stop   at lie
  top    at cap end
  reads  to 1/8 in
  ruler  within 1/32 in
allowance crown 1/8 in
`)
	for k := range 1 + r.IntN(2) {
		name, from, most := fmt.Sprintf("spread-%d", k), 1+k*r.IntN(5), 24+r.IntN(48)
		decision, guard := "simple", 0.0
		if r.IntN(3) > 0 {
			decision, guard = "guarded acceptance at 95 %", z95
		}
		fmt.Fprintf(&b, "rule %s\n  for each set\n  require spread of length by edge among iron where number >= %d at most %d/64 in\n  decision %s\n", name, from, most, decision)
		for i := range s.numbers {
			for j := range s.numbers {
				if i == j || s.numbers[i] < from || s.numbers[j] < from {
					continue
				}
				one, other := read[of(s.byEnd[i])], read[of(s.byEnd[j])]
				u := math.Hypot(one, other)
				if s.byEnd[i] != s.byEnd[j] {
					u = math.Hypot(u, ruler)
				}
				s.demands = append(s.demands, demand{name, i, j, math.Inf(-1), float64(most) - guard*u})
			}
		}
	}
	low, high := 38*64+r.IntN(48)-16, 38*64+48+r.IntN(48)
	fmt.Fprintf(&b, "rule low\n  for every iron 1 to 4\n  require length by edge at least %d/64 in\nrule high\n  for every iron where number >= 3\n  require length by edge at most %d/64 in\n", low, high)
	for i, n := range s.numbers {
		if n <= 4 {
			s.demands = append(s.demands, demand{"low", i, -1, float64(low), math.Inf(1)})
		}
		if n >= 3 {
			s.demands = append(s.demands, demand{"high", i, -1, math.Inf(-1), float64(high)})
		}
	}
	s.text = b.String()
	return s
}

func of(second bool) int {
	if second {
		return 1
	}
	return 0
}

func TestSpreadsOfManyClubsAgainstGLPK(t *testing.T) {
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol is not there: apt-get install glpk-utils")
	}
	r := rand.New(rand.NewPCG(19, 2))
	dir := t.TempDir()
	met := map[string]int{}
	for k := range 60 {
		spreads(r).againstGLPK(t, k, dir, met)
	}
	for _, sort := range []string{"feasible true, extensions true", "feasible false, extensions false", "feasible true, extensions false", "extended", "cut"} {
		if met[sort] < 3 {
			t.Errorf("too few bags of the sort %q: %v", sort, met)
		}
	}
	t.Log(met)
}

func why(p *trim.Plan) string {
	switch {
	case p.Coarse:
		return "the grid"
	case len(p.TooShort) > 0 && len(p.Contradiction) > 0:
		return "both"
	case len(p.TooShort) > 0:
		return "a short club"
	}
	return "a contradiction"
}

// irreducible checks the rules that a set without a plan names: together they cannot be met, and without
// any one of them the others can.
func (s *scene) irreducible(t *testing.T, p *judge.Program, plan *trim.Plan) {
	t.Helper()
	var names []string
	for _, r := range plan.Contradiction {
		names = append(names, r.Decl.Name.Text)
	}
	make := func(names []string, long bool) *trim.Plan {
		o := s.options()
		if long {
			o.Extend = 640 * sixtyFourth * float64(s.grid)
		}
		j := p.NewJudge(judge.Options{Day: book.NoDay, Rules: func(r *book.Rule) bool { return slices.Contains(names, r.Decl.Name.Text) }})
		return trim.Make(j, s.bag(p), o)
	}
	switch {
	case len(names) == 0 && len(plan.TooShort) == 0:
		t.Fatalf("no plan and no reason\n%s", s.text)
	case len(names) == 0:
		return
	case make(names, false).Feasible:
		t.Fatalf("%v can be met\n%s", names, s.text)
	}
	short := make(names, true).Feasible // it is for lack of length that they cannot
	for i := range names {
		rest := slices.Delete(slices.Clone(names), i, i+1)
		if !make(rest, !short).Feasible {
			t.Fatalf("%v without %s cannot be met either\n%s", names, names[i], s.text)
		}
	}
}
