package report

// This file says and shows how a length is taken by a method.

import (
	"ferrule/engine/measure"
	"ferrule/engine/report/doc"
	"ferrule/lang/unit"
)

// HowTaken shows how a length of a club is taken by a method, drawn to the lie, the head and the allowances of the
// subject; nil without a lie or a head. Name is what the club is called, as in "the driver".
func HowTaken(m *measure.Method, length unit.Amount, name string, s measure.Subject) *doc.Taken {
	if s.Lie == nil || s.Head == nil {
		return nil
	}
	adds := func(a *measure.Allowance) float64 {
		if a == nil {
			return 0
		}
		return a.Amount
	}
	p := m.Pose(length.Base, *s.Lie, s.Head.Shape, adds(s.Cap), adds(s.Crown))
	degrees := func(base float64) string { return unit.Amount{Base: base, Unit: unit.Base(unit.Angle)}.String() }
	held, from := "It is soled on the ground at its lie, "+degrees(*s.Lie)+".", "the ground, on the line of the shaft"
	angle := degrees(*s.Lie)
	switch {
	case m.Stop == measure.AlongAxis:
		from = "the level of the sole, on the line of the shaft"
	case m.Stop == measure.AtAngle && m.Angle == 90e6:
		angle, from = degrees(m.Angle), "the floor, on the line of the shaft"
		held = "The shaft is flat on a wall and the toe is on the floor."
	case m.Stop == measure.AtAngle:
		angle, from = degrees(m.Angle), "the plane, on the line of the shaft"
		held = "The sole is against a plane at " + angle + " to the shaft."
	}
	to := map[measure.Top]string{
		measure.CapEdge: "the edge of the grip cap",
		measure.CapEnd:  "the very end of the grip",
		measure.Butt:    "the bare butt, before the grip is on",
	}[m.Top]
	arc := func(a measure.Arc) doc.Arc {
		return doc.Arc{Center: doc.Point(a.Center), Radius: a.Radius, From: a.From, To: a.To}
	}
	return &doc.Taken{
		Title: name + " by " + m.Name + ": " + length.String(),
		Text: held + " The rule lies along the shaft. It starts at " + from + ", and ends at " + to +
			". It reads " + length.String() + ".",
		From: from, To: to, Length: length.String(), Angle: angle,
		Pose: doc.Pose{Axis: doc.Point(p.Axis), Face: doc.Point(p.Face), Touch: doc.Point(p.Touch),
			Heel: arc(p.Heel), Sole: arc(p.Sole), Toe: arc(p.Toe), Neck: p.Neck,
			Start: p.Start, End: p.End, Butt: p.Butt, CapEdge: p.CapEdge, CapEnd: p.CapEnd},
	}
}
