package measure

// This file lays a club out on paper as it is held when its length is taken by a method.

import "math"

// Point is a place on paper, x to the right and z up, in nm; or a direction.
type Point [2]float64

// Arc is a part of a circle on paper. Its angles, in radians, count from straight down against the clock.
type Arc struct {
	Center           Point
	Radius, From, To float64
}

// At returns the point of the arc's circle at an angle.
func (a Arc) At(angle float64) Point {
	return Point{a.Center[0] + a.Radius*math.Sin(angle), a.Center[1] - a.Radius*math.Cos(angle)}
}

// Pose is a club as it is held when its length is taken, seen from the front, with the toe to the right. The point
// 0,0 is where the shaft axis meets the ground when the club is soled at its own lie. Places along the axis count from
// there toward the butt, in nm.
type Pose struct {
	Axis, Face            Point // unit vectors: from the head to the butt, and along what stops the head, heel to toe
	Heel, Sole, Toe       Arc   // the silhouette from heel to toe
	Touch                 Point // where what stops the head touches it
	Start, End            float64
	Butt, CapEdge, CapEnd float64
	Neck                  float64 // where the neck of a head of that height may begin
}

// Pose returns how a club of that length by m is held. It is on level ground at its own lie, or its shaft lies level
// with its head against the plane of m. Where that plane is square to it, the shaft is upright. Lie is in microdegrees,
// cap and crown are what they add, in nm.
func (m *Method) Pose(length, lie float64, s Shape, cap, crown float64) Pose {
	lie *= radian
	p := Pose{Axis: Point{-math.Cos(lie), math.Sin(lie)}, Face: Point{1, 0}}
	delta, turn := 0.0, 0.0
	if m.Stop == AtAngle {
		theta := m.Angle * radian
		delta = theta - lie
		p.Start = -s.Height(delta) / math.Sin(theta)
		if turn = lie; m.Angle == 90e6 {
			turn -= math.Pi / 2
		}
		p.Axis, p.Face = p.Axis.turned(turn), Point{math.Cos(delta + turn), math.Sin(delta + turn)}
	}
	p.End = p.Start + length
	p.CapEdge = p.End - map[Top]float64{CapEnd: crown, Butt: -cap}[m.Top]
	p.Butt, p.CapEnd = p.CapEdge-cap, p.CapEdge+crown
	toe, heel := s.ends()
	p.Heel, p.Sole, p.Toe = s.arc(-math.Pi), s.arc(0), s.arc(math.Pi)
	p.Heel.From, p.Heel.To, p.Sole.From = -max(lie, heel), -heel, -heel
	p.Sole.To, p.Toe.From, p.Toe.To = toe, toe, math.Pi
	p.Neck = 0.65 * p.Toe.At(math.Pi)[1] / math.Sin(lie)
	p.Touch = s.arc(delta).At(delta).turned(turn)
	for _, a := range []*Arc{&p.Heel, &p.Sole, &p.Toe} {
		a.Center, a.From, a.To = a.Center.turned(turn), a.From+turn, a.To+turn
	}
	return p
}

// turned returns the point after a turn about 0,0 against the clock.
func (p Point) turned(angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos}
}
