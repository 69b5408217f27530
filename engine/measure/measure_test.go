package measure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

const (
	degree = 1e6 // microdegrees
)

func driver() Shape {
	return Shape{Reach: 1.75 * inch, Camber: 9 * inch, Toe: 4.2 * inch, ToeRadius: 1.3 * inch, Heel: 0.5 * inch, HeelRadius: 0.6 * inch}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.6g, want %.6g", what, got, want)
	}
}

// Worked by hand: h = 1.75·sin 2° + 9·(1 - cos 2°) = 0.06656 in, over sin 60° 0.07685 in; to the
// wall, on the toe arc, 1.6611 in.
func TestDriverWorkedByHand(t *testing.T) {
	s := driver()
	near(t, "two degrees", s.Height(2*math.Pi/180)/inch, 0.06656, 0.000005)
	lie := 58 * degree
	c := Subject{Lie: &lie, Head: &Head{Shape: s}}
	soled, plane, wall := &Method{Stop: AtLie, Top: CapEdge}, &Method{Stop: AtAngle, Angle: 60 * degree, Top: CapEdge}, &Method{Stop: AtAngle, Angle: 90 * degree, Top: CapEdge}
	for _, k := range []struct {
		what string
		to   *Method
		want float64
	}{{"to 60 deg", plane, 0.07685}, {"to the wall", wall, 1.6611}} {
		shift, _, _, missing := Convert(soled, k.to, c)
		if missing != nil {
			t.Fatal(missing)
		}
		near(t, k.what, shift/inch, k.want, 0.00005)
	}
}

func anyShape(t *rapid.T) Shape {
	in := func(low, high float64, name string) float64 {
		return rapid.Float64Range(low, high).Draw(t, name) * inch
	}
	s := Shape{Reach: in(0.3, 2.5, "reach"), Camber: in(4, 40, "camber"), ToeRadius: in(0.2, 2, "toe radius"), HeelRadius: in(0.1, 1, "heel radius")}
	s.Toe = s.Reach + s.ToeRadius + rapid.Float64Range(0.001, 0.6).Draw(t, "toe")*(s.Camber-s.ToeRadius)
	s.Heel = s.HeelRadius - s.Reach + rapid.Float64Range(0.001, 0.6).Draw(t, "heel")*(s.Camber-s.HeelRadius)
	return s
}

// The height is the support of the silhouette's hull: the farthest of very many points of
// the three arcs toward the plane.
func TestHeightAgainstPointsOfTheHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyShape(t)
		toe := math.Asin((s.Toe - s.Reach - s.ToeRadius) / (s.Camber - s.ToeRadius))
		heel := math.Asin((s.Heel + s.Reach - s.HeelRadius) / (s.Camber - s.HeelRadius))
		arc := func(x, z, r, from, to, delta float64) float64 {
			far := math.Inf(-1)
			for i := range 2001 {
				a := from + (to-from)*float64(i)/2000
				far = max(far, (x+r*math.Sin(a))*math.Sin(delta)-(z-r*math.Cos(a))*math.Cos(delta))
			}
			return far
		}
		delta := rapid.Float64Range(-1.5, 1.5).Draw(t, "delta")
		rt, rh := s.Camber-s.ToeRadius, s.Camber-s.HeelRadius
		hull := max(arc(s.Reach, s.Camber, s.Camber, -heel, toe, delta),
			arc(s.Reach+rt*math.Sin(toe), s.Camber-rt*math.Cos(toe), s.ToeRadius, toe, toe+2, delta),
			arc(s.Reach-rh*math.Sin(heel), s.Camber-rh*math.Cos(heel), s.HeelRadius, -heel, -heel-2, delta))
		if got := s.Height(delta); math.Abs(got-hull) > 1e-5*s.Camber {
			t.Fatalf("%+v at %v: %v, the hull gives %v", s, delta, got/inch, hull/inch)
		}
	})
}

func methods() []*Method {
	return []*Method{
		{Stop: AtLie, Top: CapEdge}, {Stop: AtAngle, Angle: 60 * degree, Top: CapEnd}, {Stop: AtAngle, Angle: 90 * degree, Top: CapEnd},
		{Stop: AlongAxis, Top: CapEnd}, {Stop: AtLie, Top: Butt},
	}
}

func TestThereAndBackGivesTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lie := rapid.Float64Range(45, 80).Draw(t, "lie") * degree
		c := Subject{Lie: &lie, Head: &Head{Shape: anyShape(t)}, Cap: &Allowance{Amount: inch / 8}, Crown: &Allowance{Amount: inch / 8}}
		from, to := rapid.SampledFrom(methods()).Draw(t, "from"), rapid.SampledFrom(methods()).Draw(t, "to")
		there, _, _, m1 := Convert(from, to, c)
		back, _, _, m2 := Convert(to, from, c)
		if m1 != nil || m2 != nil || math.Abs(there+back) > 1 {
			t.Fatalf("%v there, %v back, missing %v %v", there, back, m1, m2)
		}
	})
}

// Two methods with the same stop need no lie and no head, nor does the ground to the axis.
func TestSameStopNeedsNoHead(t *testing.T) {
	m := methods()
	for _, k := range []struct {
		from, to *Method
		missing  int
	}{{m[0], m[0], 0}, {m[1], m[1], 0}, {m[0], m[3], 1}, {m[0], m[4], 1}, {m[1], m[2], 2}, {m[0], m[1], 3}} {
		if _, _, _, missing := Convert(k.from, k.to, Subject{}); len(missing) != k.missing {
			t.Errorf("%+v to %+v: missing %v, want %d", *k.from, *k.to, missing, k.missing)
		}
	}
}
