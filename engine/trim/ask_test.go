package trim_test

// This file holds what rules ask of lengths to hand-worked bags and to the judge itself: guarded bounds on both sides,
// extensions, settings, conditions, equal lengths, and what a cut makes untrue.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Small bags by brute force: every way to cut or extend three clubs is put before the judge, two-sided
// guarded bounds too. The best of those that pass is the plan, and no other is as good.
func TestThreeClubsByBruteForce(t *testing.T) {
	const deepest = 8 // steps off a club
	r := rand.New(rand.NewPCG(3, 11))
	met := map[string]int{}
	for range 90 {
		s := newScene(r, 3, true)
		s.grid = 8
		s.extend, s.inside = min(s.extend, 24), max(0, r.IntN(9)-4)
		for i := range s.lengths { // close to the rules, so that few steps lead there
			s.lengths[i] -= 48
		}
		p := compiled(t, s.text)
		j := p.NewJudge(judge.Options{Day: book.NoDay})
		bag := s.bag(p)
		plan := trim.Make(j, bag, s.options())
		best, ties := score{}, 0
		var found []int
		most := s.extend / s.grid
		var all [][]int
		for a := -deepest; a <= most; a++ {
			for b := -deepest; b <= most; b++ {
				for c := -deepest; c <= most; c++ {
					all = append(all, []int{a, b, c})
				}
			}
		}
		slices.SortStableFunc(all, func(a, b []int) int { return scoreOf(a).compare(scoreOf(b)) }) // the best first
		for _, steps := range all {
			one := scoreOf(steps)
			if found != nil && best.compare(one) < 0 {
				break
			}
			if passes(j, bag, steps, s.grid, s.inside) {
				best, ties, found = one, ties+1, steps
			}
		}
		got := stepsOf(plan)
		within := plan.Feasible && slices.Min(got) >= -deepest
		switch {
		case plan.Feasible && !within: // not tried
			if !passes(j, bag, got, s.grid, s.inside) || found != nil && best.compare(scoreOf(got)) < 0 {
				t.Fatalf("plan %v, best %v\n%s%v %v, inside %d", got, found, s.text, s.lengths, s.numbers, s.inside)
			}
		case found == nil && within:
			t.Fatalf("%v does not pass\n%s%v, inside %d", got, s.text, s.lengths, s.inside)
		case found != nil && (ties != 1 || !slices.Equal(found, got)):
			t.Fatalf("plan %v, best %v of %d\n%s%v %v, inside %d", got, found, ties, s.text, s.lengths, s.numbers, s.inside)
		}
		met[fmt.Sprintf("found %v, extended %v", found != nil, best.extended > 0 && found != nil)]++
		if found != nil && s.inside > 0 {
			met["inside"]++
		}
	}
	if len(met) != 4 || met["inside"] < 10 || met["found true, extended true"] < 3 || met["found true, extended false"] < 10 || met["found false, extended false"] < 10 {
		t.Error("too few of a sort:", met)
	}
}

// passes reports whether a bag passes all rules when its clubs are so many steps longer.
// Each club is so far inside each limit that it may be longer or shorter by inside, in sixty-fourths, and all still pass.
func passes(j *judge.Judge, bag *club.Set, steps []int, grid, inside int) bool {
	passes := func(which, by int) bool {
		moved := *bag
		moved.Clubs = nil
		for i, c := range bag.Clubs {
			d, n := c.Clone(), steps[i]*grid
			if i == which {
				n += by
			}
			d.Shift(catalogue.LengthID, float64(n)*sixtyFourth)
			moved.Clubs = append(moved.Clubs, d)
		}
		t := j.Set(&moved, judge.Sink{})
		return t.Verdicts[decide.Fail]+t.Verdicts[decide.TooClose]+t.Verdicts[decide.Unmeasured] == 0
	}
	if !passes(0, 0) {
		return false
	}
	for i := range bag.Clubs {
		if inside > 0 && !(passes(i, inside) && passes(i, -inside)) {
			return false
		}
	}
	return true
}

const flat = `rulebook "A bench"
method flat "Flat on the bench"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/16 in
`

// iron is an iron of that number and length in inches.
func iron(p *judge.Program, number int, length float64) *club.Club {
	c := &club.Club{}
	c.Reset(p.Schema.Len())
	c.ID, c.Kind, c.Method = fmt.Sprintf("i%d", number), catalogue.Iron, "flat"
	c.SetAmount(catalogue.Number, float64(number))
	if length > 0 {
		c.SetAmount(catalogue.LengthID, length*25.4e6)
	}
	return c
}

func planned(t testing.TB, p *judge.Program, o trim.Options, clubs ...*club.Club) *trim.Plan {
	t.Helper()
	if o.Grid == 0 {
		o.Grid = 25.4e6 / 16
	}
	return trim.Make(p.NewJudge(judge.Options{Day: book.NoDay}), &club.Set{Name: "bag", Clubs: clubs, Rows: len(clubs)}, o)
}

func names(rules []*book.Rule) []string {
	var out []string
	for _, r := range rules {
		out = append(out, r.Decl.Name.Text)
	}
	return out
}

// How much too short is not rounded to the grid: 35.13 in asked of 35 in is 0.13 in. With an
// extension on the grid it is 3 steps, 0.1875 in.
func TestTooShort(t *testing.T) {
	p := compiled(t, flat+`rule least
  for      every iron
  require  length by flat at least 35.13 in
rule steps
  for      neighbours among iron by number
  require  drop of length by flat at least 1/2 in
`)
	plan := planned(t, p, trim.Options{}, iron(p, 8, 35.25), iron(p, 9, 35))
	// i9 lacks 0.13 in; i8 has to stand 1/2 in above it, at 35.63 in, and lacks 0.38 in.
	if plan.Feasible || len(plan.TooShort) != 2 {
		t.Fatalf("%+v", plan)
	}
	for i, want := range []float64{0.38, 0.13} {
		if by := plan.TooShort[i].By / 25.4e6; math.Abs(by-want) > 1e-9 {
			t.Errorf("%s is too short by %v in, want %v", plan.TooShort[i].Club.ID, by, want)
		}
	}
	if got := plan.TooShort[0].Rule.Decl.Name.Text + " " + plan.TooShort[1].Rule.Decl.Name.Text; got != "steps least" {
		t.Error("they are too short for", got)
	}
	plan = planned(t, p, trim.Options{Extend: 0.5 * 25.4e6}, iron(p, 8, 35.25), iron(p, 9, 35))
	if got := stepsOf(plan); !slices.Equal(got, []int{7, 3}) { // 35.6875 and 35.1875
		t.Error("extended by", got)
	}
	plan = planned(t, p, trim.Options{Extend: 0.25 * 25.4e6}, iron(p, 8, 35.25), iron(p, 9, 35))
	if len(plan.TooShort) != 1 || !slices.Equal(names(plan.Contradiction), []string{"least", "steps"}) {
		t.Errorf("too short %v, contradiction %v", plan.TooShort, names(plan.Contradiction))
	}
}

// A rule of 35.02 to 35.05 in has no sixteenth between its limits, but a hundredth.
func TestCoarseGrid(t *testing.T) {
	p := compiled(t, flat+`rule exact
  for      every iron
  require  length by flat between 35.02 in and 35.05 in
`)
	plan := planned(t, p, trim.Options{}, iron(p, 9, 35.5))
	if plan.Feasible || !plan.Coarse || !slices.Equal(names(plan.Contradiction), []string{"exact"}) {
		t.Errorf("%+v", plan)
	}
	plan = planned(t, p, trim.Options{Grid: 0.01 * 25.4e6}, iron(p, 9, 35.5))
	if got := stepsOf(plan); !plan.Feasible || !slices.Equal(got, []int{-45}) { // to 35.05 in
		t.Error("cut by", got)
	}
}

// A club cannot be cut to nothing.
func TestNothingLeft(t *testing.T) {
	p := compiled(t, flat+`rule drop
  for      neighbours among iron by number
  require  drop of length by flat at least 39 in
`)
	plan := planned(t, p, trim.Options{}, iron(p, 8, 38), iron(p, 9, 37))
	if plan.Feasible {
		t.Error("a plan that leaves nothing of a club:", stepsOf(plan))
	}
}

// What a cut changes is foretold or taken away. By hand, 415 g that balance at 29 in, 1/2 in off at 1.6 g/in: 414.2 g,
// (415*29 - 0.8*0.25)/414.2 - 0.5 = 28.5555 in, and 414.2*(28.5555-14) g in are 212.66 oz in, (212.66-161)/1.75 = 29.52 points.
func TestLost(t *testing.T) {
	p := compiled(t, flat+`rule longest
  for      every iron
  require  length by flat at most 37 1/2 in
rule swing
  for      every iron
  require  swingweight at least D0
rule heads
  for      every iron
  require  mass at most 420 g
rule bag
  for      each set
  require  count of irons at most 14
`)
	club5 := iron(p, 5, 38)
	club5.SetAmount(catalogue.MassID, 415e9)
	club5.SetAmount(catalogue.Balance, 29*25.4e6)
	club5.SetAmount(catalogue.SwingWeightID, 33)
	measured := iron(p, 6, 38)
	measured.SetAmount(catalogue.SwingWeightID, 33)
	as := iron(p, 7, 37)
	as.SetAmount(catalogue.SwingWeightID, 33)
	q := 1.6e9 / 25.4e6
	plan := planned(t, p, trim.Options{ButtMass: q}, club5, measured, as)
	c := plan.Cuts[0]
	if math.Abs(c.After.Mass/1e9-414.2) > 1e-9 || math.Abs(c.After.Balance/25.4e6-28.5555) > 1e-4 || math.Abs(c.Swing-29.52) > 0.01 {
		t.Errorf("%v g, %v in, %v points", c.After.Mass/1e9, c.After.Balance/25.4e6, c.Swing)
	}
	if !math.IsNaN(plan.Cuts[1].Swing) || plan.Cuts[2].Swing != 33 {
		t.Error("swing weights of i6 and i7:", plan.Cuts[1].Swing, plan.Cuts[2].Swing)
	}
	if !slices.Equal(plan.Cuts[1].Lacks, []string{"mass", "balance"}) || plan.Cuts[2].Lacks != nil {
		t.Error("lacking of i6 and i7:", plan.Cuts[1].Lacks, plan.Cuts[2].Lacks)
	}
	var after []string
	for _, r := range plan.After {
		after = append(after, r.Rule.Decl.Name.Text+" "+r.Subject.Clubs[0].ID+" "+r.Verdict.String())
	}
	if !slices.Equal(after, []string{"swing i5 fail", "swing i6 unmeasured"}) || plan.Untold != 2 { // mass of i6 and i7 was never there
		t.Error(after, plan.Untold)
	}
	plan = planned(t, p, trim.Options{}, club5)
	if !slices.Equal(plan.Cuts[0].Lacks, []string{"butt-mass"}) || plan.Cuts[0].After.Sound() {
		t.Error("foretold without butt-mass:", plan.Cuts[0])
	}
	club5.SetAmount(catalogue.ButtMass, q)
	if plan = planned(t, p, trim.Options{ButtMass: 5 * q}, club5); math.Abs(plan.Cuts[0].After.Mass/1e9-414.2) > 1e-9 {
		t.Error("the sheet's butt-mass comes before the book's:", plan.Cuts[0].After)
	}
}

// Each setting of an adjustable club constrains, the cut shortens all alike, and settings beyond what can be
// tried together still constrain by themselves. The plan shows the setting that decides. A condition that looks at the
// length is told as read.
func TestSettingsAndConditions(t *testing.T) {
	p := compiled(t, flat+`rule longest
  for      every iron
  require  length by flat at most 37 1/2 in
rule long-ones
  for      every iron where length by flat < 37 in
  require  length by flat at most 36 in
`)
	adjustable := func(n int) *club.Club {
		c := iron(p, n, 37.5)
		c.Setting, c.Next = "low", iron(p, n, 38)
		c.Next.Setting = "high"
		return c
	}
	plan := planned(t, p, trim.Options{}, adjustable(5))
	if got := stepsOf(plan); !slices.Equal(got, []int{-8}) || plan.Cuts[0].Length != 38*25.4e6 || plan.Cuts[0].Club.Setting != "high" {
		t.Error(got)
	}
	if len(plan.Broken) != 0 {
		t.Error("at exactly 37 in the second rule is not about the club:", plan.Broken[0].Rule.Decl.Name.Text)
	}
	var many []*club.Club
	for n := range 9 {
		many = append(many, adjustable(n+1))
	}
	plan = planned(t, p, trim.Options{}, many...)
	for i, n := range stepsOf(plan) {
		if n != -8 {
			t.Error("club", i, "is cut by", n)
		}
	}
	// From 37 3/4 in it has to come to 37 1/2 in; at 37.2 in another rule begins.
	p = compiled(t, flat+`rule longest
  for      every iron
  require  length by flat at most 37 in
rule short-ones
  for      every iron where length by flat < 37 1/4 in
  require  length by flat at most 36 in
`)
	plan = planned(t, p, trim.Options{}, iron(p, 5, 37.5))
	if !plan.Feasible || len(plan.Broken)+len(plan.After) != 1 || plan.Lengths != decide.Fail {
		t.Errorf("a rule that begins with the cut: %+v", plan)
	}
}

// A cut makes a mass untrue. A rule that limits lengths by it cannot be judged on the plan, and that counts; for a rule
// about the mass itself it does not.
func TestLengthsByAMassThatIsLost(t *testing.T) {
	p := compiled(t, flat+`rule light
  for      every iron where mass <= 420 g
  require  length by flat at most 37 in
rule heads
  for      every iron
  require  mass at most 420 g
`)
	c := iron(p, 5, 38)
	c.SetAmount(catalogue.MassID, 415e9)
	plan := planned(t, p, trim.Options{}, c)
	if got := stepsOf(plan); !slices.Equal(got, []int{-16}) || plan.Lengths != decide.Unmeasured || len(plan.Broken) != 1 {
		t.Errorf("%v: %+v", got, plan)
	}
	c.SetAmount(catalogue.Balance, 29*25.4e6)
	plan = planned(t, p, trim.Options{ButtMass: 1.6e9 / 25.4e6}, c)
	if plan.Lengths != 0 || plan.After != nil {
		t.Errorf("the mass can be worked out: %+v", plan)
	}
	p = compiled(t, flat+`rule longest
  for      every iron
  require  length by flat at most 37 in
rule heads
  for      every iron
  require  mass at most 420 g
`)
	c = iron(p, 5, 38)
	c.SetAmount(catalogue.MassID, 415e9)
	if plan = planned(t, p, trim.Options{}, c); plan.Lengths != 0 || len(plan.After) != 1 {
		t.Errorf("a rule about the mass: %+v", plan)
	}
}

// A bare length of the whole set is not a constraint, nor is the spread of clubs that a bag does not have; neither
// is in the way. Only the first waits for something: its clubs are not of one length.
func TestOfTheSet(t *testing.T) {
	p := compiled(t, flat+`rule bare
  for      each set
  require  length by flat at most 36 in
rule wedges
  for      each set
  require  spread of length by flat among wedge at most 1 in
`)
	plan := planned(t, p, trim.Options{}, iron(p, 5, 38), iron(p, 6, 38))
	if !plan.Feasible || plan.Rules != 0 || len(plan.Open) != 0 || plan.Untold != 1 || plan.Lengths != decide.Unmeasured ||
		len(plan.After) != 1 || plan.After[0].Rule.Decl.Name.Text != "bare" {
		t.Errorf("%+v", plan)
	}
}

// Equal lengths are equal, though what brings them to the plane is not a round number.
func TestEqualLengths(t *testing.T) {
	p := compiled(t, flat+`method plane "Against a plane"
  covers every club
  stop   at 60 deg
  top    at cap edge
  reads  to 1/16 in
head iron
  reach       1.1 in
  camber      9 in
  toe         3 in
  toe-radius  1.1 in
  heel        0.5 in
  heel-radius 0.6 in
rule same
  for      each set
  require  spread of length by plane among irons at most 0 in
rule steps
  for      neighbours among iron by number
  require  drop of length by plane is 0 in
`)
	r := rand.New(rand.NewPCG(8, 9))
	for range 50 {
		lie := 58e6 + float64(r.IntN(6e6))
		var clubs []*club.Club
		for n := range 4 {
			c := iron(p, n+1, 41+float64(r.IntN(48))/16) // on both sides of 2^30 nm, where sums are rounded more
			c.SetAmount(catalogue.Lie, lie)
			clubs = append(clubs, c)
		}
		if plan := planned(t, p, trim.Options{}, clubs...); !plan.Feasible || len(plan.Broken) > 0 || !slices.Contains(stepsOf(plan), 0) {
			t.Fatal("lie", lie/1e6, stepsOf(plan), plan.Broken)
		}
	}
}
