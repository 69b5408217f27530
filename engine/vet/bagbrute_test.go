package vet_test

// This file holds what is told of rules about neighbours and sets against brute force: each warning about a random book is
// looked for on every bag of a few irons with a few figures each.

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/engine/vet"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// randomBagBook is a book of two to four rules about neighbours and sets.
func randomBagBook(r *rand.Rand) string {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	var b strings.Builder
	for i := range 2 + r.IntN(3) {
		list := pick("iron", "iron", "iron 5 to 6", "iron where hand = left", "iron 5, iron 7")
		unit, figures := " deg", []int{-5, 0, 5, 10}
		bound := func() string {
			n := figures[r.IntN(len(figures))]
			return pick(fmt.Sprintf("at most %d%s", n, unit), fmt.Sprintf("at least %d%s", n, unit), fmt.Sprintf("below %d%s", n, unit),
				fmt.Sprintf("above %d%s", n, unit), fmt.Sprintf("between %d%s and %d%s", n, unit, n+5, unit))
		}
		fmt.Fprintf(&b, "rule r%d \"R\"\n", i)
		conditions := []string{"first number = 5", "second number = 7", "first hand = left", "first number = 5 and second number = 6"}
		switch r.IntN(3) {
		case 0:
			by := pick("number", "number", "loft")
			per := ""
			if by == "number" {
				per = pick("", "", " per number")
			}
			fmt.Fprintf(&b, "  for neighbours among %s by %s\n  require %s of loft%s %s\n", list, by, pick("rise", "drop"), per, bound())
		case 1:
			how := pick("spread", "highest", "lowest", "mean")
			if how != "spread" {
				figures = []int{20, 25, 30}
			}
			conditions = []string{"(count of iron) < 3", "(count of iron 5 to 6) > 1", "(highest of loft among iron) > 25 deg"}
			fmt.Fprintf(&b, "  for each set\n  require %s of loft among %s %s\n", how, list, bound())
		default:
			unit, figures = "", []int{0, 1, 2, 3}
			conditions = []string{"(count of iron 5) = 1", "(highest of loft among iron) > 25 deg"}
			fmt.Fprintf(&b, "  for each set\n  require count of %s %s\n", list, bound())
		}
		seen := ""
		for range r.IntN(3) {
			if c := pick(conditions...); c != seen && r.IntN(2) == 0 {
				seen = c
				fmt.Fprintf(&b, "  unless %s: %s\n", c, pick("exempt", bound()))
			}
		}
	}
	return b.String()
}

// heard is what a rule says of a subject.
type heard struct {
	verdict decide.Verdict // 0 where two exceptions disagree
	holding []*ast.Unless
}

// eachBag has every bag of the irons 5 to 7 judged, the subjects of each rule by rule and subject.
func eachBag(p *judge.Program, f func(hand string, lofts map[int]float64, says map[string]map[string]heard)) {
	j := p.NewJudge(judge.Options{Day: book.NoDay, All: true})
	figures := []float64{-1, 17, 20, 22, 25, 27, 30, 33} // -1: the club is not in the bag
	for _, hand := range []string{"left", "right"} {
		for _, a := range figures {
			for _, b := range figures {
				for _, c := range figures {
					set := &club.Set{}
					lofts := map[int]float64{}
					for i, loft := range []float64{a, b, c} {
						if loft < 0 {
							continue
						}
						one := &club.Club{}
						one.Reset(p.Schema.Len())
						one.ID, one.Kind = fmt.Sprint(5+i), catalogue.Iron
						one.SetAmount(catalogue.Number, float64(5+i))
						one.SetText(catalogue.Hand, hand)
						one.SetAmount(catalogue.Loft, unit.Base(unit.Angle).ToBase(loft))
						set.Clubs, lofts[5+i] = append(set.Clubs, one), loft
					}
					says := map[string]map[string]heard{}
					say := func(r *book.Rule, s judge.Subject, h heard) {
						name, key := r.Decl.Name.Text, ""
						for _, c := range s.Clubs {
							key += c.ID + " "
						}
						if says[name] == nil {
							says[name] = map[string]heard{}
						}
						says[name][key] = h
					}
					j.Set(set, judge.Sink{
						Conflict: func(k *judge.Conflict) { say(k.Rule, k.Subject, heard{holding: k.Between[:]}) },
						Result: func(r *judge.Result) {
							h := heard{verdict: r.Verdict}
							for _, step := range r.Steps {
								for _, u := range r.Rule.Decl.Unless {
									if step.What == eval.StepException && step.Truth == value.True && u.Span == step.Line {
										h.holding = append(h.holding, u)
									}
								}
							}
							say(r.Rule, r.Subject, h)
						},
					})
					f(hand, lofts, says)
				}
			}
		}
	}
}

// borneOut says why the bags do not bear a finding out; "" where they do.
func borneOut(p *judge.Program, f vet.Finding) (why string) {
	words := strings.Fields(strings.NewReplacer(",", "", ":", "").Replace(f.Message))
	var named []string
	for _, w := range words {
		if len(w) == 2 && w[0] == 'r' && !slices.Contains(named, w) {
			named = append(named, w)
		}
	}
	met := func(v decide.Verdict) bool { return v == decide.Pass || v == decide.Exempt }
	both := f.Code != vet.IdleRule || strings.Contains(f.Span.Text(), "count of") // which may take more clubs than there are here; the witness shows that something fails the other one
	eachBag(p, func(hand string, lofts map[int]float64, says map[string]map[string]heard) {
		switch f.Code {
		case vet.IdleRule:
			for key, loose := range says[named[0]] {
				strict, ok := says[named[1]][key]
				if ok && met(strict.verdict) && !met(loose.verdict) && loose.verdict != decide.Unmeasured {
					why = fmt.Sprintf("%v: %s passes what %s does not", lofts, named[1], named[0])
				}
				both = both || ok && strict.verdict == decide.Pass && loose.verdict == decide.Pass
			}
		case vet.NeverMet:
			for _, h := range says[named[0]] {
				if h.verdict == decide.Pass && len(named) == 1 && !strings.Contains(f.Message, "such as this one") {
					why = fmt.Sprintf("%v: %s is met", lofts, named[0])
				}
			}
		case vet.Contradiction:
			all := len(lofts) == len(f.Witness.Rows) && sameClubs(f, hand, lofts)
			for _, name := range named {
				told := false
				for _, h := range says[name] {
					all, told = all && (met(h.verdict) || h.verdict == decide.Unmeasured), told || h.verdict != decide.Unmeasured
				}
				all = all && told
			}
			if all {
				why = fmt.Sprintf("%v: %v are all met", lofts, named)
			}
		case vet.ExceptionNever:
			for _, h := range says[named[0]] {
				if slices.ContainsFunc(h.holding, func(u *ast.Unless) bool { return u.Span.Start == f.Span.Start }) {
					why = fmt.Sprintf("%v: it holds", lofts)
				}
			}
		case vet.NeverApplies:
			for _, h := range says[named[0]] {
				if h.verdict != decide.Exempt && h.verdict != decide.Unmeasured {
					why = fmt.Sprintf("%v: %s is %s", lofts, named[0], h.verdict)
				}
			}
		}
	})
	if why == "" && !both {
		why = "nothing passes both"
	}
	return why
}

// sameClubs reports whether the clubs of a bag are those of a witness.
func sameClubs(f vet.Finding, hand string, lofts map[int]float64) bool {
	for _, row := range f.Witness.Rows {
		n := 0
		for _, c := range row {
			if c.Name == "club" {
				fmt.Sscanf(c.Text, "%d iron", &n)
			}
			if c.Name == "hand" && c.Text != hand {
				return false
			}
		}
		if _, ok := lofts[n]; !ok {
			return false
		}
	}
	return true
}

func TestBagWarningsByBruteForce(t *testing.T) {
	books := 60
	if *long {
		books = 1500
	}
	r := rand.New(rand.NewPCG(6, 60))
	total := map[diag.Code]int{}
	for k := range books {
		text := randomBagBook(r)
		p, b := loaded(t, text)
		for _, f := range bookOf(p, b).List {
			total[f.Code]++
			againAsSheet(t, p, f)
			if why := borneOut(p, f); why != "" {
				t.Errorf("book %d: %s: %s\n%s", k, f.Diagnostic.String(), why, text)
			}
		}
	}
	t.Log(total)
}
