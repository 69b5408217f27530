package build_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/build"
)

// bag is a bag that is fitted dry, with what really is: in is the shaft in each head.
type bag struct {
	by    string
	aims  []float64 // targets by soled
	in    []int
	cut   float64 // in, standard deviation of what a shaft and its seat are off
	wrong map[int]float64
	long  float64 // in, the ruler reads long by
	loose float64 // in, the cap is thicker than counted by
}

const listHead = "set,id,club,raw-length,tip-trim,bore,target-length,by,lie,dry-length,dry-by\n"

// read makes the rows of the bag, a set of that name, with readings as a bench would take them: each club soled
// within a degree of its lie, read to the graduation, with one ruler that is off within 1/64 in.
func (b *bag) read(r *rand.Rand, set int) string {
	const cap, bore, reach = 0.125, 1.0, 1.4
	var text strings.Builder
	shafts := make([]float64, len(b.aims))
	for i, aim := range b.aims {
		shafts[i] = aim - cap - bore + b.cut*r.NormFloat64() + b.wrong[i]
	}
	ruler := (2*r.Float64()-1)/64 + b.long
	for i, aim := range b.aims {
		lie := 60 + 0.5*float64(i)
		off := reach / math.Sin(lie*math.Pi/180) * (2*r.Float64() - 1) * math.Pi / 180
		read := shafts[b.in[i]] + bore + off + ruler
		step := 1.0 / 16
		if b.by == "soled" {
			read, step = read+cap+b.loose, 1.0/8
		}
		read = math.Round(read/step) * step
		fmt.Fprintf(&text, "t%d,i%d,iron,44 in,0 in,1 in,%.6f in,soled,%.2f deg,%.6f in,%s\n", set, i, aim, lie, read, b.by)
	}
	return text.String()
}

// steps are targets that fall by steps between the two, at random.
func steps(r *rand.Rand, n int, low, high float64) []float64 {
	aims := []float64{39}
	for len(aims) < n {
		aims = append(aims, aims[len(aims)-1]-low-(high-low)*r.Float64())
	}
	return aims
}

func ordered(n int) []int {
	in := make([]int, n)
	for i := range in {
		in[i] = i
	}
	return in
}

// told is which shafts were said to be in which heads, as text, sorted.
func told(swaps []build.Swap) []string {
	var out []string
	for _, s := range swaps {
		for k := range s.Shafts {
			out = append(out, s.Shafts[k]+" in "+s.Found[k].ID)
		}
	}
	slices.Sort(out)
	return out
}

// truth is the same of what really is.
func (b *bag) truth() []string {
	var out []string
	for head, shaft := range b.in {
		if head != shaft {
			out = append(out, fmt.Sprintf("i%d in i%d", shaft, head))
		}
	}
	slices.Sort(out)
	return out
}

// outcome counts trials: swaps told rightly, told wrongly (anything told that is not so), and
// nothing told.
type outcome struct{ right, wrong, silent int }

func (s shop) try(t *testing.T, trials int, seed uint64, make func(r *rand.Rand) *bag) outcome {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 4))
	var o outcome
	const atOnce = 250
	for done := 0; done < trials; done += atOnce {
		var bags []*bag
		text := listHead
		for i := range min(atOnce, trials-done) {
			b := make(r)
			bags = append(bags, b)
			text += b.read(r, i)
		}
		for i, p := range s.plans(t, text, "") {
			if len(p.Set.Refused) > 0 {
				t.Fatal(p.Set.Refused[0].Message)
			}
			switch got, want := told(p.Swaps), bags[i].truth(); {
			case len(got) == 0:
				o.silent++
			case slices.ContainsFunc(got, func(one string) bool { return !slices.Contains(want, one) }):
				o.wrong++
			default:
				o.right++
			}
		}
	}
	return o
}

const cutWell = 1.0 / 64

func exchange(b *bag, i, j int) *bag {
	b.in[i], b.in[j] = b.in[j], b.in[i]
	return b
}

// The swap finder speaks rightly at least 99 times in 100, and is silent at least 99 times in 100 where
// nothing is swapped, on bags of many kinds. Where swaps stand out it must also find most of them.
func TestSwapsOnSimulatedFits(t *testing.T) {
	s := open(t, "bench.ferrule")
	methods := func(r *rand.Rand) string { return []string{"bare", "soled"}[r.IntN(2)] }
	some := func(r *rand.Rand, low, high float64) *bag {
		n := 3 + r.IntN(9)
		return &bag{by: methods(r), aims: steps(r, n, low, high), in: ordered(n), cut: cutWell}
	}
	for _, k := range []struct {
		what   string
		trials int
		finds  float64 // the least share of swaps that are found
		swaps  bool
		make   func(r *rand.Rand) *bag
	}{
		{"nothing is swapped", 2000, 0, false, func(r *rand.Rand) *bag { return some(r, 0, 0.75) }},
		{"nothing is swapped and the cuts are poor", 1000, 0, false, func(r *rand.Rand) *bag {
			b := some(r, 0, 0.75)
			b.cut = 1.0 / 16
			return b
		}},
		// The hardest: two mistakes in every bag, some of which look like an exchange to a hair. Over seeds the finder is
		// misled in about 8 of 1,000.
		{"nothing is swapped and two clubs are cut wrong", 2000, 0, false, func(r *rand.Rand) *bag {
			b := some(r, 0.25, 0.5)
			b.wrong = map[int]float64{0: 0.5 * r.NormFloat64(), 1: 0.5 * r.NormFloat64()}
			return b
		}},
		{"nothing is swapped and the ruler reads 1/4 in long", 500, 0, false, func(r *rand.Rand) *bag {
			b := some(r, 0.1, 0.5)
			b.long = 0.25
			return b
		}},
		{"nothing is swapped and the cap is 1/8 in thicker", 500, 0, false, func(r *rand.Rand) *bag {
			b := some(r, 0.1, 0.5)
			b.by, b.loose = "soled", 0.125
			return b
		}},
		{"two, half an inch apart at least", 2000, 0.9, true, func(r *rand.Rand) *bag {
			b := some(r, 0.5, 0.5)
			i := r.IntN(len(b.in))
			return exchange(b, i, (i+1+r.IntN(len(b.in)-1))%len(b.in))
		}},
		{"two, whatever lies between", 2000, 0.2, true, func(r *rand.Rand) *bag {
			b := some(r, 0, 0.5)
			i := r.IntN(len(b.in))
			return exchange(b, i, (i+1+r.IntN(len(b.in)-1))%len(b.in))
		}},
		{"two, and one beside cut wrong", 1000, 0.2, true, func(r *rand.Rand) *bag {
			b := some(r, 0.3, 0.5)
			b.wrong = map[int]float64{2: 0.5 * r.NormFloat64()}
			return exchange(b, 0, 1)
		}},
		{"two pairs", 500, 0.6, true, func(r *rand.Rand) *bag {
			b := &bag{by: methods(r), aims: steps(r, 8, 0.4, 0.5), in: ordered(8), cut: cutWell}
			return exchange(exchange(b, 0, 5), 2, 3)
		}},
		{"three in a ring", 2000, 0.5, true, func(r *rand.Rand) *bag {
			b := some(r, 0.3, 0.5)
			return exchange(exchange(b, 0, 1), 1, 2)
		}},
		{"three in a ring, whatever lies between", 2000, 0, true, func(r *rand.Rand) *bag {
			b := some(r, 0, 0.4)
			return exchange(exchange(b, 0, 1), 1, 2)
		}},
		{"all of them at random", 500, 0, true, func(r *rand.Rand) *bag {
			b := some(r, 0.2, 0.5)
			r.Shuffle(len(b.in), func(i, j int) { b.in[i], b.in[j] = b.in[j], b.in[i] })
			return b
		}},
	} {
		t.Run(k.what, func(t *testing.T) {
			t.Parallel()
			o := s.try(t, k.trials, 20260502, k.make)
			t.Logf("%+v", o)
			if spoken := o.right + o.wrong; k.swaps && o.wrong*100 > spoken {
				t.Errorf("wrong %d times of %d that it spoke", o.wrong, spoken)
			}
			if !k.swaps && (o.wrong+o.right)*100 > k.trials {
				t.Errorf("not silent %d times of %d", o.wrong+o.right, k.trials)
			}
			if float64(o.right) < k.finds*float64(k.trials) {
				t.Errorf("found %d of %d", o.right, k.trials)
			}
		})
	}
}

// Two shafts for one length cannot be told apart, nor who changed with whom.
func TestShaftsOfOneLengthAreNoSwap(t *testing.T) {
	s := open(t, "bench.ferrule")
	o := s.try(t, 200, 1, func(*rand.Rand) *bag {
		return exchange(&bag{by: "bare", aims: []float64{38, 37, 37, 36.5}, in: ordered(4), cut: cutWell}, 0, 1)
	})
	if o.right+o.wrong > 0 {
		t.Errorf("%+v: the 38 in shaft changed with one of two that are alike", o)
	}
}

// A bag of 500 clubs with two shafts exchanged is told as a small one is.
func TestSwapsInAVeryLargeBag(t *testing.T) {
	s := open(t, "bench.ferrule")
	r := rand.New(rand.NewPCG(3, 3))
	b := &bag{by: "bare", in: ordered(500), cut: 1.0 / 128}
	for i := range 500 {
		b.aims = append(b.aims, 30+0.02*float64(i))
	}
	for i := range b.in { // the first stand well apart from all others
		if i < 6 {
			b.aims[i] = 43 - float64(i)/2
		}
	}
	exchange(b, 1, 4)
	p := s.plans(t, listHead+b.read(r, 0), "")[0]
	if got, want := told(p.Swaps), b.truth(); !slices.Equal(got, want) {
		t.Errorf("told %q, want %q", got, want)
	}
}
