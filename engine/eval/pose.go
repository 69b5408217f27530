package eval

// This file says how a club is held when its length is taken.

import (
	"ferrule/engine/measure"
	"ferrule/lang/book"
)

// Pose returns how the club of x is held when a length of it is taken by a method, with that method and the lie of the
// club; false where the lie or the shape of the head is not known. A cap or a crown that no book states adds nothing.
func (x *Env) Pose(by *book.Method, length float64) (p measure.Pose, m *measure.Method, lie float64, ok bool) {
	s := x.Measuring()
	m = x.Bench.Books.ready[by].how
	if m == nil || s.Lie == nil || s.Head == nil {
		return p, m, 0, false
	}
	adds := func(a *measure.Allowance) float64 {
		if a == nil {
			return 0
		}
		return a.Amount
	}
	return m.Pose(length, *s.Lie, s.Head.Shape, adds(s.Cap), adds(s.Crown)), m, *s.Lie, true
}
