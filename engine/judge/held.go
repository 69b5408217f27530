package judge

// This file says how a club is held when its length is taken.

import (
	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/measure"
	"ferrule/lang/unit"
)

// Held is a club as it is held when its length is taken by a method.
type Held struct {
	Method *measure.Method
	Length unit.Amount // by it
	Lie    unit.Amount // of the club
	measure.Pose
}

// Held returns how a club is held when its length is taken by the method of that name. It is false where its length by
// that method, its lie or the shape of its head is not known. A cap or a crown that no book states adds nothing.
func (j *Judge) Held(c *club.Club, by string) (h Held, ok bool) {
	to := j.program.Method(by)
	if to == nil {
		return h, false
	}
	l, s := j.Length(c, nil, to), j.alone(c).Measuring()
	if !l.Value.Known() || s.Lie == nil || s.Head == nil {
		return h, false
	}
	adds := func(a *measure.Allowance) float64 {
		if a == nil {
			return 0
		}
		return a.Amount
	}
	h = Held{Method: eval.MethodOf(to), Length: l.Value, Lie: unit.Amount{Base: *s.Lie, Unit: unit.Base(unit.Angle)}}
	h.Pose = h.Method.Pose(l.Value.Base, *s.Lie, s.Head.Shape, adds(s.Cap), adds(s.Crown))
	return h, true
}
