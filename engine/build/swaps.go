package build

// This file finds shafts in one another's heads, from the readings of a dry fit.
//
// What is compared. With each shaft in its own head the reading of club i differs from the plan by d_i. With the shaft
// of club j in its head it would by d_i + F_i - F_j, where F are the shafts as cut. These differences are normal, with
// the covariance of the dry fit: what the clubs share, a ruler that reads long or a cap counted too thick, moves all of
// them alike and is not a swap. Each also scatters with its cut and its seat. Three explanations of the readings
// compete: all is as planned; some shafts changed heads; one or more of the clubs concerned was cut or read wrong by
// itself. Each has its prior weight, below, and the share of one arrangement in the weight of all is its probability.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/lists"
)

// What is believed before anything is read: our own assumptions, chosen conservatively and checked
// by simulation in swaps_test.go.
const (
	scatter     = 1.0 / 32  // in, standard deviation of a cut and a seat
	swapPrior   = 1.0 / 200 // that two shafts of a set changed heads; shared between all pairs
	ringPrior   = 1.0 / 10  // and for each further shaft in a ring, shared between all rings
	wrongPrior  = 1.0 / 100 // that a club was cut or read wrong by itself
	wrongBy     = 1.0 / 2   // in, standard deviation of such a mistake
	sureEnough  = 0.99      // a swap is named from this probability on
	explained   = 2.5       // and where no reading is further from it than so many standard uncertainties
	longestRing = 5         // shafts; a longer ring is not reported
	manyFits    = 64        // in a set of more fits those that read as planned are not tried
	suspicious  = 2         // standard uncertainties from which on they do not
	mostTried   = 400       // fits that are tried; where more are off, swaps are not the reason
	mostMoves   = 64
)

// Swap is a group of shafts that are in one another's heads, with little doubt.
type Swap struct {
	Shafts      []string     // their marks
	Heads       []*club.Club // the clubs that they were cut for, in the same order
	Found       []*club.Club // the clubs that they are in
	Probability float64
}

// fits are the dry fits of a set, in inches. The inverse of their covariance is a diagonal less the product of each
// source with itself.
type fits struct {
	clubs   []*Club
	off     []float64   // readings less plan, each shaft in its own head
	shafts  []float64   // as cut
	weight  []float64   // the diagonal: the inverse of what each fit varies by itself, 1/in²
	sources [][]float64 // one for each shared source of uncertainty, by fit
}

// findSwaps looks through the dry fits of a set.
func findSwaps(clubs []Club) []Swap {
	f := newFits(clubs)
	if len(f.clubs) < 2 {
		return nil
	}
	shaftIn := f.arrange()
	var out []Swap
	for _, ring := range rings(shaftIn) {
		if len(ring) > longestRing || !f.explains(shaftIn, ring) {
			continue
		}
		if p := f.probability(shaftIn, ring); p >= sureEnough {
			s := Swap{Probability: p}
			for k, i := range ring {
				s.Shafts = append(s.Shafts, f.clubs[i].Shaft)
				s.Heads = append(s.Heads, f.clubs[i].Club)
				s.Found = append(s.Found, f.clubs[ring[(k+1)%len(ring)]].Club)
			}
			out = append(out, s)
		}
	}
	return out
}

func newFits(clubs []Club) *fits {
	f := &fits{}
	var ds []judge.Difference
	for i := range clubs {
		if d := clubs[i].Dry; d != nil && d.Expanded.Known() {
			f.clubs = append(f.clubs, &clubs[i])
			f.off = append(f.off, inch.FromBase(d.Value.Base))
			f.shafts = append(f.shafts, inch.FromBase(clubs[i].shaft))
			ds = append(ds, d.Difference)
		}
	}
	nm := inch.ToBase(1)
	own, shared := judge.Apart(ds)
	for i := range own {
		f.weight = append(f.weight, 1/(own[i]/(nm*nm)+scatter*scatter))
	}
	for _, contributions := range shared {
		b := lists.Each(contributions, func(c float64) float64 { return c / nm })
		f.add(b, f.off)
	}
	return f
}

// add counts in a source that contributes b to the fits. It returns by how much the log-likelihood of what is left of
// the readings grows. (The identity of Sherman and Morrison: with v = C⁻¹b, the inverse of C + bbᵀ is
// C⁻¹ - vvᵀ/(1 + bᵀv).)
func (f *fits) add(b, left []float64) float64 {
	v := f.pull(b)
	size, along := 1.0, 0.0
	for i := range v {
		size += b[i] * v[i]
		along += left[i] * v[i]
	}
	for i := range v {
		v[i] /= math.Sqrt(size)
	}
	f.sources = append(f.sources, v)
	return along*along/size/2 - math.Log(size)/2
}

// inverse is an element of the inverse of the covariance.
func (f *fits) inverse(i, j int) float64 {
	v := 0.0
	if i == j {
		v = f.weight[i]
	}
	for _, s := range f.sources {
		v -= s[i] * s[j]
	}
	return v
}

// pull is the inverse of the covariance times a number for each fit.
func (f *fits) pull(left []float64) []float64 {
	out := make([]float64, len(left))
	for i, x := range left {
		out[i] = f.weight[i] * x
	}
	for _, s := range f.sources {
		sum := 0.0
		for i, x := range left {
			sum += s[i] * x
		}
		for i := range out {
			out[i] -= s[i] * sum
		}
	}
	return out
}

// left is what is left of the readings where the shaft of club shaftIn[i] is in the head of club i.
func (f *fits) left(shaftIn []int) []float64 {
	out := make([]float64, len(shaftIn))
	for i, j := range shaftIn {
		out[i] = f.off[i] + f.shafts[i] - f.shafts[j]
	}
	return out
}

// gain is how much the log-likelihood grows when the readings of some clubs are
// changed, each by what the new shaft in its head is shorter.
func (f *fits) gain(pull []float64, heads []int, change []float64) float64 {
	sum := 0.0
	for a, i := range heads {
		if change[a] == 0 {
			continue
		}
		sum -= change[a] * pull[i]
		for b, j := range heads {
			sum -= change[a] * change[b] * f.inverse(i, j) / 2
		}
	}
	return sum
}

// arrange finds the arrangement of shafts that explains the readings best, exchange by
// exchange from the plan: the shaft of club arrange()[i] is in head i.
func (f *fits) arrange() []int {
	shaftIn := make([]int, len(f.clubs))
	for i := range shaftIn {
		shaftIn[i] = i
	}
	pull := f.pull(f.left(shaftIn))
	var tried []int
	for i := range shaftIn {
		if len(shaftIn) <= manyFits || math.Abs(pull[i]) > suspicious*math.Sqrt(f.inverse(i, i)) {
			tried = append(tried, i)
		}
	}
	if len(tried) > mostTried {
		return shaftIn
	}
	for range mostMoves {
		best, from, to := 0.0, 0, 0
		before := f.prior(shaftIn)
		for a, i := range tried {
			for _, j := range tried[:a] {
				d := f.shafts[shaftIn[i]] - f.shafts[shaftIn[j]]
				if d == 0 {
					continue
				}
				gain := f.gain(pull, []int{i, j}, []float64{d, -d})
				if gain <= best {
					continue
				}
				shaftIn[i], shaftIn[j] = shaftIn[j], shaftIn[i]
				gain += f.prior(shaftIn) - before
				shaftIn[i], shaftIn[j] = shaftIn[j], shaftIn[i]
				if gain > best {
					best, from, to = gain, i, j
				}
			}
		}
		if best == 0 {
			break
		}
		shaftIn[from], shaftIn[to] = shaftIn[to], shaftIn[from]
		pull = f.pull(f.left(shaftIn))
	}
	return shaftIn
}

// prior is the log of the prior weight of an arrangement, that of the plan being 1.
func (f *fits) prior(shaftIn []int) float64 {
	sum := 0.0
	for _, ring := range rings(shaftIn) {
		sum += f.ringPrior(len(ring))
	}
	return sum
}

// ringPrior is the log of the prior weight of one ring of so many shafts.
func (f *fits) ringPrior(shafts int) float64 {
	sum := math.Log(swapPrior) + float64(shafts-2)*math.Log(ringPrior) + math.Log(float64(shafts))
	for k := range shafts {
		sum -= math.Log(float64(len(f.clubs) - k))
	}
	return sum
}

// rings are the shafts that moved, ring by ring: each is in the head of the next.
func rings(shaftIn []int) [][]int {
	var out [][]int
	in := make([]int, len(shaftIn)) // the head that a shaft is in
	for i, j := range shaftIn {
		in[j] = i
	}
	seen := make([]bool, len(shaftIn))
	for i := range shaftIn {
		if seen[i] || in[i] == i {
			continue
		}
		var ring []int
		for k := i; !seen[k]; k = in[k] {
			seen[k] = true
			ring = append(ring, k)
		}
		out = append(out, ring)
	}
	return out
}

// explains reports whether the readings of a ring need no other explanation.
func (f *fits) explains(shaftIn, ring []int) bool {
	pull := f.pull(f.left(shaftIn))
	return !slices.ContainsFunc(ring, func(i int) bool {
		return math.Abs(pull[i]) > explained*math.Sqrt(f.inverse(i, i))
	})
}

// probability is that of one ring of an arrangement, the rest of which is kept: against the plan,
// against every other arrangement of its shafts and of one shaft more, and against mistakes
// in its clubs.
func (f *fits) probability(shaftIn, ring []int) float64 {
	plan := slices.Clone(shaftIn)
	for _, i := range ring {
		plan[i] = i
	}
	left := f.left(plan)
	pull := f.pull(left)
	named := math.Inf(-1)
	logs := []float64{0}
	try := func(members []int, others bool) {
		permutations(len(members), func(order []int) {
			moved := rings(order)
			if len(moved) == 0 || others && order[len(order)-1] == len(order)-1 {
				return // all as planned, or the one shaft more stays where it is
			}
			change, same, log := make([]float64, len(members)), !others, 0.0
			for _, r := range moved {
				log += f.ringPrior(len(r))
			}
			for a, b := range order {
				change[a] = f.shafts[members[a]] - f.shafts[members[b]]
				same = same && shaftIn[members[a]] == members[b]
			}
			log += f.gain(pull, members, change)
			logs = append(logs, log)
			if same {
				named = log
			}
		})
	}
	try(ring, false)
	for l, j := range shaftIn {
		if l == j {
			try(append(slices.Clone(ring), l), true)
		}
	}
	for subset := 1; subset < 1<<len(ring); subset++ {
		var wrong []int
		for a, i := range ring {
			if subset&(1<<a) != 0 {
				wrong = append(wrong, i)
			}
		}
		logs = append(logs, f.mistakes(left, wrong))
	}
	most := slices.Max(logs)
	sum := 0.0
	for _, l := range logs {
		sum += math.Exp(l - most)
	}
	return math.Exp(named-most) / sum
}

// mistakes is the log of the weight, against the plan, of clubs that were cut or read wrong each by itself, by amounts
// of a normal distribution: each is one more source, of its own fit alone.
func (f *fits) mistakes(left []float64, wrong []int) float64 {
	with, log := *f, 0.0
	with.sources = slices.Clone(f.sources)
	for _, i := range wrong {
		b := make([]float64, len(left))
		b[i] = wrongBy
		log += math.Log(wrongPrior) + with.add(b, left)
	}
	return log
}

// permutations calls do with every order of 0 to n-1, which it must not keep.
func permutations(n int, do func(order []int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var from func(k int)
	from = func(k int) {
		if k == n {
			do(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			from(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	from(0)
}
