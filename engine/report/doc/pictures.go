package doc

import (
	"cmp"
	"math"
	"slices"

	"ferrule/lang/unit"
)

// This file holds what a page has and text leaves out: the table of the clubs of a bag, the work in its order, and
// pictures as data.

// Clubs are the clubs of a bag with what was read of them, and what came of it.
type Clubs struct {
	Title string
	Heads []string // of the columns after the club
	Rows  []ClubRow
	Below []ClubRow // what is said of the whole set: a name and one cell
}

// ClubRow is a club with a cell for each column.
type ClubRow struct {
	Name  string
	Cells []Cell
}

// Cell is what was read, in More what became of it, and in a word what the rules say of it; Mark is "" where none
// judged it.
type Cell struct {
	Tone
	Text, More, Mark string
}

// Work is what there is to do, in its order. Big: it is to be read at the saw.
type Work struct {
	Title string
	Steps []string
	Line  *Lanes // nil: none
	Big   bool
}

// Lanes is a picture of stretches and values of one quantity, a lane below the other on one scale.
type Lanes struct {
	Title, Text string // what the picture shows, in one line and in sentences
	Unit        *unit.Unit
	Figure      func(base float64) string // a value of the scale, without its unit
	List        []Lane
	Lines       []float64 // drawn across all lanes
}

// Lane is one line of such a picture, with its words above it.
type Lane struct {
	Words string
	Parts []Stretch
}

// Stretch is a part of a lane, in base units; its ends may be infinite. A reading has its value in At, and where a rule
// allows a club beside another that has the value of the other there.
type Stretch struct {
	Look
	Tone
	From, To float64
	At       float64
}

// Look is how a stretch is drawn.
type Look uint8

// The looks: a band where values may lie, a solid piece, a piece that comes off or is still to come, and a reading with
// its uncertainty.
const (
	Allowed Look = iota
	Solid
	Off
	Read
)

// Curve is how often one reading is decided each way, by the true value.
type Curve struct {
	Title, Text string
	Unit        *unit.Unit
	Figure      func(base float64) string
	Points      []CurvePoint
	Limits      []float64
	Close       bool // readings may be too close to call
}

// CurvePoint is a true value, and the probabilities of a pass, of a reading that is too close to call, and of a fail.
type CurvePoint struct{ At, Pass, Close, Fail float64 }

// Beside are pictures beside each other, where there is room.
type Beside []Block

// Apart ends what is said of the bags.
type Apart struct{}

// Cautions come below every plan of work on a shaft. Text has the shortest of them, and says at an event who rules.
type Cautions struct{ Event bool }

func (*Clubs) block()   {}
func (Work) block()     {}
func (*Lanes) block()   {}
func (*Curve) block()   {}
func (Beside) block()   {}
func (Apart) block()    {}
func (Cautions) block() {}

// Scale is the scale of the lanes over a number of columns, with room beside what is drawn; the zero value where there
// is nothing to show. A reading that lies so far off that it would press the others together is left beyond its end,
// with what is worked out from it.
func (b *Lanes) Scale(columns int) Scale {
	var read []float64
	narrow := math.Inf(1)
	for _, l := range b.List {
		for _, p := range l.Parts {
			if p.Look == Read {
				read = append(read, p.At)
			} else if p.To > p.From {
				narrow = min(narrow, p.To-p.From)
			}
		}
	}
	slices.Sort(read)
	shown := near(read, narrow)
	far := func(v float64) bool { return len(shown) < len(read) && (v < shown[0] || v > shown[len(shown)-1]) }
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range b.List {
		for _, p := range l.Parts {
			for _, v := range []float64{p.From, p.To} {
				if !far(p.At) && !math.IsInf(v, 0) && !math.IsNaN(v) {
					low, high = min(low, v), max(high, v)
				}
			}
		}
	}
	return span(low, high, columns)
}

// Scale is the scale of the true values over a number of columns.
func (b *Curve) Scale(columns int) Scale {
	if len(b.Points) == 0 {
		return Scale{}
	}
	return span(b.Points[0].At, b.Points[len(b.Points)-1].At, columns)
}

// span is a scale from one value to another, with a twelfth of that beside them.
func span(low, high float64, columns int) Scale {
	if !(high >= low) || math.IsInf(high-low, 0) {
		return Scale{}
	}
	edge := max((high-low)/12, math.Abs(high)/1e4)
	if edge == 0 {
		edge = 1
	}
	return Scale{low - edge, high + edge, columns}
}

// Beyond is -1 of a value below the scale, 1 of one above it, and else 0.
func (s Scale) Beyond(v float64) int { return cmp.Compare(v, min(max(v, s.low), s.high)) }

// Place is where a value is on the scale, from 0; what lies beyond an end is at that end.
func (s Scale) Place(v float64) float64 {
	at := (v - s.low) / (s.high - s.low) * float64(s.columns)
	return min(max(at, 0), float64(s.columns))
}

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
