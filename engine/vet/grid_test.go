package vet_test

// This file holds the analysis against brute force: random books whose figures come from a small stock, and every club
// of a grid, judged by the Judge. The grid has each of these figures, one between each two of them and one beyond
// either end. What it shows the analysis must find, and nothing else.

import (
	"bytes"
	"encoding/json"
	"ferrule/engine"
	"ferrule/engine/sheet"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/vet"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

const bench = `method bench "Flat on the bench"
  covers   every club
  stop     along axis
  top      at cap edge
  reads    to 1/8 in
`

// randomBook is a book of some rules on single clubs; unsure ones are about lengths, and count how sure a reading is.
func randomBook(r *rand.Rand, unsure bool) string {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	var b strings.Builder
	b.WriteString(bench)
	condition := func() string {
		one := func() string {
			return pick("hand = left", "hand != left", "loft > 20 deg", "loft <= 30 deg", "lie >= 60 deg", "lie < 62 deg", "number >= 6", "number < 8", "number = 4",
				"kind = iron", "kind = some", "kind != wedge", "kind = iron 4", "abs(loft - 25 deg) <= 5 deg", "loft + 10 deg > 30 deg", "not (kind = putter)")
		}
		if r.IntN(3) == 0 {
			return one() + pick(" and ", " or ") + one()
		}
		return one()
	}
	selector := func() string {
		s := pick("iron", "iron, wedge", "every", "iron 4 to 6", "iron 6 to 8", "driver, iron", "some", "club except putter", "club except some")
		s = strings.Replace(s, "every", "club", 1)
		if r.IntN(3) == 0 {
			s += " where " + condition()
		}
		return s
	}
	fmt.Fprintf(&b, "group some = %s\n", pick("iron 4 to 8", "wedge, putter", "iron where loft > 20 deg", "driver, iron 4"))
	for i := range 2 + r.IntN(3) {
		values := [][3]string{{"loft", "20 deg", "30 deg"}, {"lie", "60 deg", "62 deg"}, {"length by bench", "37 in", "38 in"}}
		v := values[r.IntN(3)]
		if unsure {
			v = values[2]
		}
		bound := func() string {
			return pick("at most "+v[1], "at most "+v[2], "at least "+v[1], "at least "+v[2], "below "+v[1], "above "+v[2], "between "+v[1]+" and "+v[2], "is "+v[1], "above "+v[1], "below "+v[2])
		}
		fmt.Fprintf(&b, "rule r%d \"R\"\n  for every %s\n  require %s %s\n", i, selector(), v[0], bound())
		seen := ""
		for range r.IntN(3) {
			c := condition()
			if c == seen {
				continue
			}
			seen = c
			fmt.Fprintf(&b, "  unless %s: %s\n", c, pick("exempt", bound()))
		}
		if unsure {
			b.WriteString(pick("", "  decision three-way at 95 %\n", "  decision three-way at 95 %\n", "  decision guarded rejection at 95 %\n", "  decision guarded acceptance at 95 %\n"))
		}
		switch r.IntN(6) {
		case 0:
			b.WriteString("  from 2026-04-01\n")
		case 1:
			b.WriteString("  until 2026-03-31\n")
		case 2:
			b.WriteString("  from 2026-03-01\n  until 2026-04-30\n")
		}
	}
	return b.String()
}

// spot is a club of the grid with what each rule says of it.
type spot struct {
	kind    catalogue.Kind
	number  int
	amounts map[string]float64
	hand    string
	says    map[string]decide.Verdict
	holding map[*ast.Unless]bool
	plain   map[string]decide.Verdict
	clash   map[string]bool
}

// spotsOf judges every club of the grid by every rule, or by one, whatever the day. Its lengths are so many inches apart.
func spotsOf(p *judge.Program, apart float64, only ...string) []spot {
	var out []spot
	size := p.Schema.Len()
	j := p.NewJudge(judge.Options{Day: book.NoDay, All: true, Rules: func(r *book.Rule) bool { return only == nil || r.Decl.Name.Text == only[0] }})
	for _, kind := range []catalogue.Kind{catalogue.Driver, catalogue.Iron, catalogue.Wedge, catalogue.Putter, catalogue.Hybrid} {
		for number := 0; number <= 9; number++ {
			if kind == catalogue.Driver && number != 1 || (kind == catalogue.Iron || kind == catalogue.Hybrid) && number == 0 || number == 1 && kind != catalogue.Driver || number == 2 {
				continue
			}
			if apart < 0.5 && kind == catalogue.Hybrid {
				continue // the others are enough, and there are many lengths
			}
			for _, hand := range []string{"left", "right"} {
				for loft := 15.0; loft <= 35; loft += 5 {
					for lie := 59.0; lie <= 63; lie++ {
						for length := 36.5; length <= 38.5; length += apart {
							c := &club.Club{}
							c.Reset(size)
							c.ID, c.Kind, c.Method = "a", kind, "bench"
							if number > 0 {
								c.SetAmount(catalogue.Number, float64(number))
							}
							c.SetText(catalogue.Hand, hand)
							c.SetAmount(catalogue.Loft, unit.Base(unit.Angle).ToBase(loft))
							c.SetAmount(catalogue.Lie, unit.Base(unit.Angle).ToBase(lie))
							c.SetAmount(catalogue.LengthID, unit.Base(unit.Length).ToBase(length))
							s := spot{kind: kind, number: number, hand: hand, amounts: map[string]float64{"loft": loft, "lie": lie, "length": length},
								says: map[string]decide.Verdict{}, holding: map[*ast.Unless]bool{}, plain: map[string]decide.Verdict{}, clash: map[string]bool{}}
							j.Set(&club.Set{Clubs: []*club.Club{c}}, judge.Sink{
								Conflict: func(k *judge.Conflict) { s.clash[k.Rule.Decl.Name.Text] = true },
								Result: func(r *judge.Result) {
									if r.Verdict == decide.Unmeasured {
										return
									}
									s.says[r.Rule.Decl.Name.Text] = r.Verdict
									for _, step := range r.Steps {
										if step.What == eval.StepException && step.Truth == value.True {
											for _, u := range r.Rule.Decl.Unless {
												if u.Span == step.Line {
													s.holding[u] = true
												}
											}
										}
									}
								},
							})
							out = append(out, s)
						}
					}
				}
			}
		}
	}
	return out
}

// property is what a rule of a random book requires something of.
func property(r *book.Rule) string {
	return strings.Fields(r.Decl.Require.Value.Place().OneLine())[0]
}

// cellOf is all of a spot but one property.
func (s *spot) cellOf(but string) string {
	out := fmt.Sprint(s.kind, s.number, s.hand)
	for _, name := range []string{"loft", "lie", "length"} {
		if name != but {
			out += fmt.Sprint(" ", s.amounts[name])
		}
	}
	return out
}

// shownByGrid is what the grid shows of a book: keys of findings. Idle rules are keyed both ways.
func shownByGrid(rules []*book.Rule, spots []spot) map[string]bool {
	out := map[string]bool{}
	met := func(v decide.Verdict) bool { return v == decide.Pass || v == decide.Exempt }
	lifted := map[*book.Rule]bool{} // wherever it applies it is exempt
	for _, r := range rules {
		name := r.Decl.Name.Text
		applies, clash := false, false
		lifted[r] = true
		for i := range spots {
			v, ok := spots[i].says[name]
			lifted[r] = lifted[r] && !spots[i].clash[name] && (!ok || v == decide.Exempt)
			clash = clash || spots[i].clash[name]
			applies = applies || ok || spots[i].clash[name]
		}
		if clash {
			out["exceptions-clash "+name] = true
		}
		if lifted[r] {
			out["never-applies "+name] = true
		}
		if !applies {
			continue
		}
		if !clash { // a clash hides which exceptions hold
			for i, u := range r.Decl.Unless {
				if !slices.ContainsFunc(spots, func(s spot) bool { return s.holding[u] }) {
					out[fmt.Sprintf("exception-never %s %d", name, i)] = true
				}
			}
		}
	}
	for i, r := range rules {
		for _, t := range rules[:i] {
			if property(r) != property(t) || !overlap(r, t) || lifted[r] || lifted[t] {
				continue
			}
			a, b := t.Decl.Name.Text, r.Decl.Name.Text
			type group struct{ common, one, two, both bool }
			groups := map[string]*group{}
			idle := [2]bool{true, true}
			fails, room := [2]bool{}, [2]bool{} // by the index of the idle one: the other fails, or is met beside it
			for i := range spots {
				s := &spots[i]
				x, okx := s.says[a]
				y, oky := s.says[b]
				if okx && x != decide.Exempt && !(oky && (y <= x || met(x))) {
					idle[0] = false
				}
				if oky && y != decide.Exempt && !(okx && (x <= y || met(y))) {
					idle[1] = false
				}
				if !okx || !oky {
					continue
				}
				fails[0] = fails[0] || y == decide.Fail
				fails[1] = fails[1] || x == decide.Fail
				room[0] = room[0] || y == decide.Pass && met(x)
				room[1] = room[1] || x == decide.Pass && met(y)
				g := groups[s.cellOf(property(r))]
				if g == nil {
					g = &group{}
					groups[s.cellOf(property(r))] = g
				}
				g.common = true
				g.one, g.two, g.both = g.one || met(x), g.two || met(y), g.both || met(x) && met(y)
			}
			contradict := false
			for _, g := range groups {
				contradict = contradict || g.one && g.two && !g.both
			}
			if contradict {
				out["contradiction "+a+" "+b] = true
				continue
			}
			if r.Decision.Kind == t.Decision.Kind && (idle[0] && fails[0] && room[0] && spans(r, t) || idle[1] && fails[1] && room[1] && spans(t, r)) {
				out["idle-rule "+a+" "+b] = true
			}
		}
	}
	return out
}

// idleExceptions checks the exceptions of a book that are told to change nothing: without them no verdict is another, and
// each of the others that holds somewhere changes one.
func idleExceptions(t *testing.T, text string, list []vet.Finding) {
	t.Helper()
	p, b := loaded(t, text)
	var spots []spot
	same := func(name string, without ...*ast.Unless) bool {
		slices.SortFunc(without, func(x, y *ast.Unless) int { return y.Span.Start - x.Span.Start })
		less := text
		for _, u := range without {
			less = less[:u.Span.Start] + strings.Repeat(" ", u.Span.End-u.Span.Start) + less[u.Span.End:]
		}
		q, _ := loaded(t, less)
		pass := func(v decide.Verdict) decide.Verdict { // an exemption from what passes anyway changes nothing
			if v == decide.Exempt {
				return decide.Pass
			}
			return v
		}
		for i, s := range spotsOf(q, 0.5, name) {
			held := slices.ContainsFunc(without, func(u *ast.Unless) bool { return spots[i].holding[u] })
			if held && pass(s.says[name]) != pass(spots[i].says[name]) {
				return false
			}
		}
		return true
	}
	for _, r := range b.Rules {
		name := r.Decl.Name.Text
		if len(r.Decl.Unless) == 0 {
			continue
		}
		if spots = spotsOf(p, 0.5, name); slices.ContainsFunc(spots, func(s spot) bool { return s.clash[name] }) || slices.ContainsFunc(list, func(f vet.Finding) bool {
			return f.Code == vet.NeverApplies && f.Span.Start >= r.Decl.Span.Start && f.Span.Start < r.Decl.Span.End
		}) {
			continue
		}
		var told, others []*ast.Unless
		for _, u := range r.Decl.Unless {
			holds := slices.ContainsFunc(spots, func(s spot) bool { return s.holding[u] })
			switch {
			case slices.ContainsFunc(list, func(f vet.Finding) bool { return f.Code == vet.ExceptionIdle && f.Span.Start == u.Span.Start }):
				told = append(told, u)
			case holds:
				others = append(others, u)
			}
		}
		if len(told) > 0 && !same(name, told...) {
			t.Errorf("an exception of %s is told to change nothing, and does\n%s", name, text)
		}
		for _, u := range others {
			if same(name, append(slices.Clone(told), u)...) {
				t.Errorf("%q of %s changes nothing, and nobody is told\n%s", u.Span.Text(), name, text)
			}
		}
	}
}

func overlap(r, t *book.Rule) bool {
	before := func(a, b book.Day) bool { return a != book.NoDay && b != book.NoDay && a < b }
	return !before(r.Until, t.From) && !before(t.Until, r.From)
}

// spans reports whether r is in force whenever t is.
func spans(r, t *book.Rule) bool {
	return (r.From == book.NoDay || t.From != book.NoDay && r.From <= t.From) && (r.Until == book.NoDay || t.Until != book.NoDay && t.Until <= r.Until)
}

// shownCodes are the findings that the grid decides.
var shownCodes = []diag.Code{vet.Contradiction, vet.ExceptionsClash, vet.ExceptionNever, vet.NeverApplies, vet.IdleRule}

func TestAgainstTheGrid(t *testing.T) { againstTheGrid(t, 40, false, 0.5, shownCodes) }

// A reading to 1/8 in has u = 1/16 in / sqrt(3), and the limits of acceptance and rejection at 95 % stand 0.0594 in from
// the limits: a grid of thirty-seconds has a length on each side of each of them, and one between them and the limit.
func TestUnsureAgainstTheGrid(t *testing.T) {
	againstTheGrid(t, 4, true, 1.0/32, []diag.Code{vet.Contradiction})
}

func againstTheGrid(t *testing.T, books int, unsure bool, apart float64, must []diag.Code) {
	switch {
	case *long:
		books *= 10
	case testing.Short():
		books /= 4
	}
	total := map[string]int{}
	for seed := range books {
		text := randomBook(rand.New(rand.NewPCG(uint64(seed), 5)), unsure)
		p, b := loaded(t, text)
		want := shownByGrid(b.Rules, spotsOf(p, apart))
		got := map[string]bool{}
		found := bookOf(p, b)
		if len(found.LeftOut) > 0 {
			t.Errorf("book %d: left out: %v", seed, found.LeftOut)
		}
		for _, f := range found.List {
			key := string(f.Code)
			var names []string
			for _, r := range b.Rules {
				d := r.Decl.Span
				inside := func(start int) bool { return d.Start <= start && start < d.End }
				if inside(f.Span.Start) || slices.ContainsFunc(f.Related, func(l diag.Label) bool { return inside(l.Span.Start) }) {
					names = append(names, r.Decl.Name.Text)
				}
				if f.Code == vet.ExceptionNever {
					for i, u := range r.Decl.Unless {
						if u.Span == f.Span {
							names = append(names, fmt.Sprint(i))
						}
					}
				}
			}
			key += " " + strings.Join(names, " ")
			total[string(f.Code)]++
			againAsSheet(t, p, f)
			if slices.Contains(shownCodes, f.Code) {
				got[key] = true
			}
		}
		if !unsure {
			idleExceptions(t, text, found.List)
		}
		for _, key := range slices.Sorted(maps.Keys(want)) {
			if !got[key] {
				t.Errorf("book %d: the grid shows %s\n%s", seed, key, text)
			}
		}
		for _, key := range slices.Sorted(maps.Keys(got)) {
			clashing := strings.HasPrefix(key, "exception-never") && want["exceptions-clash "+strings.Fields(key)[1]]
			if !want[key] && !clashing {
				t.Errorf("book %d: the grid does not show %s\n%s", seed, key, text)
			}
		}
	}
	for _, code := range must {
		if total[string(code)] == 0 && !testing.Short() {
			t.Errorf("no book had %s, so nothing was tested of it", code)
		}
	}
	t.Log(total)
}

// againAsSheet reads the rows of a witness as a sheet and has them judged by the whole book: each verdict is the one that
// was stated.
func againAsSheet(t *testing.T, p *judge.Program, f vet.Finding) {
	t.Helper()
	if f.Witness == nil {
		return
	}
	set := readSheet(t, p, f.Witness.Rows)
	got := map[string]decide.Verdict{}
	clash := map[string]bool{}
	p.NewJudge(judge.Options{Day: f.Witness.On, All: true}).Set(set, judge.Sink{
		Conflict: func(c *judge.Conflict) { clash[c.Rule.Decl.Name.Text] = true },
		Result: func(r *judge.Result) {
			name := r.Rule.Decl.Name.Text
			got[name] = decide.Worse(got[name], r.Verdict)
		},
	})
	for _, v := range f.Witness.Verdicts {
		if name := v.Rule.Decl.Name.Text; got[name] != v.Verdict && (v.Verdict != 0 || !clash[name]) {
			t.Errorf("%s: the rows get %s", said(f), got[name])
		}
	}
}

// readSheet reads rows as a sheet for the books of a program; rows that are refused say nothing.
func readSheet(t testing.TB, p *judge.Program, rows []space.Row) *club.Set {
	t.Helper()
	var text bytes.Buffer
	for _, row := range rows {
		line, err := json.Marshal(row)
		if err != nil {
			t.Fatal(err)
		}
		text.Write(append(line, '\n'))
	}
	r, problem := sheet.Open("w.jsonl", &text, engine.SheetOptions("", p))
	if problem != nil {
		t.Fatal(problem)
	}
	set, _ := r.Next()
	return set
}
