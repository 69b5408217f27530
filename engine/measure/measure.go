// Package measure holds the geometry and the metrology of a club's length: the
// measuring methods, the silhouette of a head, the conversion of a length from one
// method to another, and the budget of its uncertainty.
//
// All conventions are one function of the angle between the shaft axis and the plane
// that stops the head. With the lie λ and a silhouette h,
//
//	L(θ) = s + t + h(θ - λ) / sin θ
//
// where s runs from the cap's edge to the ground along the axis and t is what the top
// adds. Lengths are in nanometres and angles in microdegrees, the base units of
// lang/unit; uncertainty is that of JCGM 100:2008, first order.
package measure

import "math"

// Stop is what stops the head. The zero value is invalid.
type Stop uint8

// The stops.
const (
	AtLie     Stop = iota + 1 // the ground, the club soled at its own lie
	AtAngle                   // a plane at a fixed angle to the axis
	AlongAxis                 // the axis itself
)

// Top is where a length ends at the top. The zero value is invalid.
type Top uint8

// The tops.
const (
	CapEdge Top = iota + 1
	CapEnd
	Butt
)

// Method is a measuring convention with what is known of its readings. Half-widths
// are of rectangular distributions.
type Method struct {
	Name   string
	Stop   Stop
	Angle  float64 // microdegrees; of AtAngle only
	Top    Top
	Reads  float64 // the graduation, nm
	LieSet float64 // half-width of the lie at which the club is soled, microdegrees; 0 where not stated
	Ruler  float64 // half-width of the ruler's error, nm; 0 where not stated
}

// sameStop reports whether a length by m and one by n differ by their tops alone.
func (m *Method) sameStop(n *Method) bool {
	if m.Stop == AtAngle || n.Stop == AtAngle {
		return m.Stop == n.Stop && m.Angle == n.Angle
	}
	return true // the ground and the axis meet in one point
}

// Shape is the silhouette of a head seen from the front, in nm: an arc for the sole,
// tangent to the ground at Reach from the axis, joined to an arc at the toe and one at
// the heel. Its numbers must make a shape: every radius above 0, 0 <= toe - reach -
// toe-radius < camber - toe-radius, and the like at the heel.
type Shape struct{ Reach, Camber, Toe, ToeRadius, Heel, HeelRadius float64 }

// Sizes returns the six numbers of the shape in the order of its members.
func (s *Shape) Sizes() [6]*float64 {
	return [6]*float64{&s.Reach, &s.Camber, &s.Toe, &s.ToeRadius, &s.Heel, &s.HeelRadius}
}

// ends returns the angles from straight down at which the sole's arc ends at the toe and at the heel, in radians.
func (s Shape) ends() (toe, heel float64) {
	return math.Asin((s.Toe - s.Reach - s.ToeRadius) / (s.Camber - s.ToeRadius)),
		math.Asin((s.Heel + s.Reach - s.HeelRadius) / (s.Camber - s.HeelRadius))
}

// arc returns the circle of the silhouette that a plane at δ radians from the playing lie touches.
func (s Shape) arc(delta float64) Arc {
	toe, heel := s.ends()
	joined := func(angle, radius float64) Arc { // to the arc of the sole
		in := s.Camber - radius
		return Arc{Center: Point{s.Reach + in*math.Sin(angle), s.Camber - in*math.Cos(angle)}, Radius: radius}
	}
	switch {
	case delta > toe:
		return joined(toe, s.ToeRadius)
	case delta < -heel:
		return joined(-heel, s.HeelRadius)
	}
	return joined(0, s.Camber)
}

// Height returns h(δ): how far the plane at δ radians from the playing lie is from
// the point where the axis meets the ground, in nm.
func (s Shape) Height(delta float64) float64 {
	a := s.arc(delta)
	return a.Center[0]*math.Sin(delta) - a.Center[1]*math.Cos(delta) + a.Radius
}

const radian = math.Pi / 180e6 // of a microdegree

// standoff is h(θ - λ)/sin θ of a method, nm.
func (m *Method) standoff(lie float64, s Shape) float64 {
	if m.Stop != AtAngle {
		return 0
	}
	theta := m.Angle * radian
	return s.Height(theta-lie*radian) / math.Sin(theta)
}

// Allowance is what a cap or a crown adds, with its half-width, nm.
type Allowance struct{ Amount, Half float64 }

// Head is a head's shape with the half-widths of its numbers, nm.
type Head struct {
	Shape Shape
	Half  [6]float64
}

// Subject is what is known of a club that a conversion may need. Absent parts are nil.
type Subject struct {
	Lie     *float64 // microdegrees
	LieHalf float64  // stated half-width of the lie; 0 for none
	Head    *Head
	Cap     *Allowance
	Crown   *Allowance
}
