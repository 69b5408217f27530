package judge_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/value"
)

// byHand says what exceptions come to where it is known of each whether it holds, as the language's page has it: those
// without an order must agree where they hold, and each other one counts only where none before it holds. It is 0 where
// two disagree.
func byHand(holds []bool, plain int, says []int, verdicts []decide.Verdict, own decide.Verdict) decide.Verdict {
	counts := -1
	for i := range holds {
		switch {
		case !holds[i] || i >= plain && counts >= 0:
		case counts < 0:
			counts = i
		case says[counts] != says[i]:
			return 0
		}
	}
	if counts < 0 {
		return own
	}
	return verdicts[says[counts]]
}

// What is not known of exceptions is tried both ways: a verdict is told only where all ways give it.
func TestWeighAgainstEachWay(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	all := []decide.Verdict{decide.Pass, decide.Fail, decide.Exempt, decide.Pass} // two say the same of other limits
	told, open := 0, 0
	for range 20000 {
		n := r.IntN(5)
		plain, own := r.IntN(n+1), all[r.IntN(3)]
		holds, says := make([]value.Truth, n), make([]int, n)
		for i := range n {
			holds[i], says[i] = []value.Truth{value.True, value.False, value.False, value.Unknown}[r.IntN(4)], r.IntN(4)
		}
		got := judge.Weigh(holds, plain, func(i, k int) value.Truth { return value.TruthFrom(says[i] == says[k]) },
			func(i int) decide.Verdict {
				if i < 0 {
					return own
				}
				return all[says[i]]
			})
		var ways []decide.Verdict
		for bits := range 1 << n {
			way := make([]bool, n)
			possible := true
			for i := range n {
				way[i] = bits>>i&1 == 1
				possible = possible && (holds[i] == value.Unknown || way[i] == (holds[i] == value.True))
			}
			if possible {
				ways = append(ways, byHand(way, plain, says, all, own))
			}
		}
		slices.Sort(ways)
		ways = slices.Compact(ways)
		certain := !slices.Contains(holds, value.Unknown)
		switch {
		case certain && got.Verdict != ways[0]:
			t.Fatalf("%v, the first %d without order, saying %v, else %v: %v, by hand %v", holds, plain, says, own, got.Verdict, ways)
		case got.Verdict != decide.Unmeasured && got.Verdict != 0 && (len(ways) > 1 || ways[0] != got.Verdict):
			t.Fatalf("%v, the first %d without order, saying %v, else %v: %v is told, and %v may be", holds, plain, says, own, got.Verdict, ways)
		case got.Verdict == decide.Unmeasured && len(ways) == 1:
			t.Fatalf("%v in order, saying %v, else %v: each way gives %v, and nothing is told", holds, says, own, ways)
		case got.Verdict == decide.Unmeasured:
			open++
		default:
			told++
		}
	}
	if told < 1000 || open < 1000 {
		t.Errorf("%d told and %d open are too few to say anything", told, open)
	}
}
