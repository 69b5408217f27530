package value

// This file draws numbers and holds the draws against limits.

import (
	"math"
	"math/bits"
	"slices"

	"ferrule/engine/decide"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// The draws are the points of a Korobov lattice: the coordinates of the first are the powers of one generator, and each
// is moved by an offset of its own. They are taken coset by coset, so that after 1, 2, 4, 8 and 16 of these the points
// are a lattice again. The generator is the best of a hundred that were tried on the extremes, ranges and sums of 2 to
// 60 numbers.
const (
	generator = 51461
	lattice   = 1 << 17
	cosets    = 16
	atOnce    = 1 << 8 // draws that are worked out together
)

// offset scatters the bits of a number (the 32-bit mixer of Wellons' hash prospector, from memory).
func offset(x uint32) uint32 {
	x = (x ^ x>>16) * 0x7feb352d
	x = (x ^ x>>15) * 0x846ca68b
	return x ^ x>>16
}

// Drawn is what was drawn of a value.
type Drawn struct {
	fromLower, fromUpper []float64     // the value as it is compared with either limit; one slice if that is the same
	limits               decide.Limits // what it is compared with, so far off that rounding does not count
	Inside, Beyond       float64       // the share inside the limits, the larger of those beyond one of them
}

// Draw draws a value and compares it with limits: a against the lower one, b, which may be the same, against the
// upper one. At the level it is decided.
func (m *Simulator) Draw(a, b Value, l decide.Limits, level float64) *Drawn {
	s := &sampler{from: m, known: map[*Bend]*node{}, column: map[Source]*column{}}
	low := s.take(a)
	high := low
	if a.Bend != b.Bend {
		high = s.take(b)
	}
	s.settle()
	d := &Drawn{limits: dusted(l, max(low.scale, high.scale))}
	for c := range uint32(cosets) {
		for i := uint32(0); i < lattice; i += cosets * atOnce {
			s.first, s.block = bits.Reverse32(c)>>28+i, s.block+1
			d.fromLower = s.onto(d.fromLower, low)
			if high == low {
				d.fromUpper = d.fromLower
			} else {
				d.fromUpper = s.onto(d.fromUpper, high)
			}
		}
		if done := c + 1; done&c == 0 {
			d.Inside, d.Beyond = d.Shares(0)
			if d.enough(len(s.errors), level, m.Hasty) || s.costs()*float64(len(d.fromLower)) > 1<<26 {
				break
			}
		}
	}
	return d
}

// enough reports whether more draws would hardly change the share inside, and not the verdict: a lattice is the better
// the fewer errors there are, and where nearly all are inside nothing else is to be expected. In haste only the verdict
// counts.
func (d *Drawn) enough(errors int, level float64, hasty bool) bool {
	const within = 0.002
	n := float64(len(d.fromLower))
	if hasty && min(math.Abs(d.Inside-level), math.Abs(d.Beyond-level)) > 3/math.Sqrt(n) {
		return true
	}
	sigma := math.Sqrt(d.Inside * (1 - d.Inside) / n)
	if errors == 1 {
		sigma = 0
	}
	few := errors == 1 || errors <= 3 && n >= lattice/8 || errors <= 8 && n >= lattice/2
	return math.Abs(d.Inside-level) > 5*max(sigma, 1/n) && (few || d.Inside > 0.5 && 2*sigma < within)
}

// costs is about how many numbers are worked out for one draw.
func (s *sampler) costs() float64 {
	n := len(s.nodes)
	for _, e := range s.errors {
		n += len(e.nodes)
	}
	return float64(n)
}

// dusted are limits widened by what rounding may do to numbers of such a scale; open ones are narrowed.
func dusted(l decide.Limits, scale float64) decide.Limits {
	dust := scale * 0x1p-40
	if l.OpenLower {
		l.Lower += 2 * dust
	}
	if l.OpenUpper {
		l.Upper -= 2 * dust
	}
	l.Lower, l.Upper = l.Lower-dust, l.Upper+dust
	return l
}

// Shares returns the shares inside the limits and beyond one of them, the larger, of the draws moved by so much.
func (d *Drawn) Shares(by float64) (inside, beyond float64) {
	in, below, above := 0, 0, 0
	low, high := d.limits.Lower-by, d.limits.Upper-by
	for i, v := range d.fromLower {
		w := d.fromUpper[i]
		if v >= low && w <= high {
			in++
		}
		if v < low {
			below++
		}
		if w > high {
			above++
		}
	}
	n := float64(len(d.fromLower))
	return float64(in) / n, float64(max(below, above)) / n
}

// Uncertainty is half of half the shortest interval that holds 95.45 % of the draws. The fewest draws tell it to
// a fiftieth.
func (d *Drawn) Uncertainty() float64 {
	v := d.fromUpper
	if !d.limits.HasUpper() {
		v = d.fromLower
	}
	n := len(v)
	inside := int(math.Ceil(0.9545 * float64(n)))
	outside := n - inside
	// Only the outermost draws can be ends of it: those beyond two of a sorted sample.
	var sample []float64
	for i := 0; i < n; i += 61 {
		sample = append(sample, v[i])
	}
	slices.Sort(sample)
	beyond := len(sample) / 14
	low, high := tail(v, sample[beyond], outside, false), tail(v, sample[len(sample)-1-beyond], outside, true)
	shortest := math.Inf(1)
	for i := range outside + 1 {
		shortest = min(shortest, high[i]-low[i])
	}
	return shortest / 4
}

// tail are the least of some numbers, or the largest, in their order: one more than n. What lies
// beyond limit is looked through first.
func tail(v []float64, limit float64, n int, most bool) []float64 {
	out := lists.Kept(v, func(x float64) bool { return x <= limit && !most || x >= limit && most })
	if len(out) <= n {
		out = slices.Clone(v)
	}
	slices.Sort(out)
	if most {
		return out[len(out)-n-1:]
	}
	return out[:n+1]
}

// Change is about the least by which the value would have to be larger, or where it is negative smaller, that its
// shares pass; false where no change does that.
func (d *Drawn) Change(pass func(inside, beyond float64) bool) (by float64, some bool) {
	least, most := slices.Min(d.fromLower), slices.Max(d.fromUpper)
	fails, passes := 0.0, d.limits.Lower-least // all draws inside, or with two limits in the middle
	switch {
	case d.limits.HasLower() && d.limits.HasUpper():
		passes = (d.limits.Lower + d.limits.Upper - least - most) / 2
	case d.limits.HasUpper():
		passes = d.limits.Upper - most
	}
	if !pass(d.Shares(passes)) {
		return passes, false
	}
	const halvings = 12
	for range halvings {
		if by := (fails + passes) / 2; pass(d.Shares(by)) {
			passes = by
		} else {
			fails = by
		}
	}
	return passes, true
}

// onto appends the draws in hand of a node.
func (s *sampler) onto(to []float64, n *node) []float64 {
	from := len(to)
	if cap(to) < from+atOnce {
		to = slices.Grow(to, max(from, lattice/cosets))
	}
	to = to[:from+atOnce]
	s.work(n, to[from:])
	return to
}

// work works a node out for the draws in hand.
func (s *sampler) work(n *node, out []float64) {
	if !n.shared {
		s.step(n, out)
		return
	}
	if n.block != s.block {
		if n.now == nil {
			n.now = make([]float64, atOnce)
		}
		s.step(n, n.now)
		n.block = s.block
	}
	copy(out, n.now)
}

func (s *sampler) step(n *node, out []float64) {
	switch {
	case n.Bend == nil:
		fill(out, n.read)
		for _, t := range n.terms {
			s.add(out, t)
		}
	case n.Op == summing:
		fill(out, n.read)
		v := s.borrow()
		for k, a := range n.args {
			s.work(a, v)
			for i := range out {
				out[i] += n.factors[k] * (v[i] - a.read)
			}
		}
		s.spare = append(s.spare, v)
	case n.Op == Maximizing || n.Op == Minimizing || n.Op == spreading:
		s.extremes(n, out)
	default:
		var args [3][]float64
		for k, a := range n.args {
			args[k] = s.borrow()
			s.work(a, args[k])
		}
		n.combine(args[0], args[1], args[2], out)
		s.spare = append(s.spare, args[:len(n.args)]...)
	}
}

func fill(v []float64, x float64) {
	for i := range v {
		v[i] = x
	}
}

// borrow is a vector for draws, which is given back by appending it to what is spare.
func (s *sampler) borrow() []float64 {
	n := len(s.spare)
	if n == 0 {
		return make([]float64, atOnce)
	}
	v := s.spare[n-1]
	s.spare = s.spare[:n-1]
	return v
}

// extremes works out the largest, the least or the spread of the arguments.
func (s *sampler) extremes(n *node, out []float64) {
	v, least := s.borrow(), s.borrow()
	for k, a := range n.args {
		s.work(a, v)
		if k == 0 {
			copy(out, v)
			copy(least, v)
			continue
		}
		if n.Op != Minimizing {
			for i, x := range v {
				out[i] = max(out[i], x)
			}
		}
		if n.Op != Maximizing {
			for i, x := range v {
				least[i] = min(least[i], x)
			}
		}
	}
	for i, x := range least {
		switch n.Op {
		case Minimizing:
			out[i] = x
		case spreading:
			out[i] -= x
		}
	}
	s.spare = append(s.spare, v, least)
}

// combine works out the steps that have up to three arguments.
func (n *node) combine(a, b, c, out []float64) {
	for i, x := range a {
		switch n.Op {
		case multiplying:
			x *= b[i]
		case dividing:
			x /= b[i]
		case sizing:
			x = math.Abs(x)
		case choosing:
			if x != 0 {
				x = b[i]
			} else {
				x = c[i]
			}
		case Comparing:
			if n.Holds(unit.Compare(x, b[i])) {
				x = 1
			} else {
				x = 0
			}
		case Conjoining:
			x = min(x, b[i])
		case Disjoining:
			x = max(x, b[i])
		case negating:
			x = 1 - x
		}
		out[i] = x
	}
}

// add adds the draws in hand of an error to numbers.
func (s *sampler) add(to []float64, t term) {
	e := t.of
	if len(e.nodes) == 1 {
		s.draw(to, e, t.factor)
		return
	}
	if e.block != s.block {
		if e.now == nil {
			e.now = make([]float64, atOnce)
		}
		fill(e.now, 0)
		s.draw(e.now, e, 1)
		e.block = s.block
	}
	for i, x := range e.now {
		to[i] += t.factor * x
	}
}

// draw adds the draws in hand of an error, by a factor, to numbers. The coordinates are shares of 2^32.
func (s *sampler) draw(to []float64, e *drawnError, factor float64) {
	const spacing = 1 << 32 / lattice
	x, step := e.offset+e.power*s.first*spacing, e.power*cosets*spacing
	if e.table != nil {
		e.table.Add(to, factor, x, step)
		return
	}
	for i := range to {
		to[i] += factor * (float64(int64(x))/(1<<31) - 1)
		x += step
	}
}
