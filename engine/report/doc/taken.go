package doc

import "math"

// Taken is how a length is taken: a club as it is held, and where the rule starts and ends. Text leaves it out.
type Taken struct {
	Title, Text      string // what the picture shows, in one line and in sentences
	From, To, Length string // where the rule starts and where it ends, and what it reads there
	Angle            string // between the shaft and what stops the head
	Pose
}

// Point is a place on paper, x to the right and z up, in nm; or a direction.
type Point [2]float64

// Arc is a part of a circle; its angles, in radians, count from straight down against the clock.
type Arc struct {
	Center           Point
	Radius, From, To float64
}

// Pose is where the parts of a club are, with its toe to the right. Places along the axis of its shaft count from the
// point 0,0 toward the butt, in nm.
type Pose struct {
	Axis, Face            Point // unit vectors: from the head to the butt, and along what stops the head, heel to toe
	Heel, Sole, Toe       Arc   // the silhouette from heel to toe
	Touch                 Point // where what stops the head touches it
	Start, End            float64
	Butt, CapEdge, CapEnd float64
	Neck                  float64 // where the neck of the head begins
}

func (*Taken) block() {}

// Beside returns the point at a place along the axis, and so far toward the toe from it.
func (p *Pose) Beside(place, toward float64) Point {
	return Point{p.Axis[0]*place + p.Axis[1]*toward, p.Axis[1]*place - p.Axis[0]*toward}
}

// At returns the point of the arc's circle at an angle.
func (a Arc) At(angle float64) Point {
	return Point{a.Center[0] + a.Radius*math.Sin(angle), a.Center[1] - a.Radius*math.Cos(angle)}
}
