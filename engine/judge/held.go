package judge

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

// Held returns how a club is held when its length is taken by the method of that name; false where its length by that
// method, its lie or the shape of its head is not known.
func (j *Judge) Held(c *club.Club, by string) (h Held, ok bool) {
	to := j.program.Method(by)
	if to == nil {
		return h, false
	}
	l := j.Length(c, nil, to)
	if !l.Value.Known() {
		return h, false
	}
	x := &eval.Env{Bench: j.Bench, Bag: &eval.Bag{Set: &club.Set{}}, Club: c}
	h.Length, h.Lie.Unit = l.Value, unit.Base(unit.Angle)
	h.Pose, h.Method, h.Lie.Base, ok = x.Pose(to, l.Value.Base)
	return h, ok
}
