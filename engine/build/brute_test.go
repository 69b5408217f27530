package build_test

// This file holds cuts and swing weights against the clubs themselves: heads as points of their
// outlines, and moments about the fulcrum piece by piece.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ferrule/engine/value"
)

// outline is a head seen from the front as points: its sole, an arc of radius camber that touches the
// ground at reach, and the arcs of toe and heel that go on from it without a corner.
func outline(reach, camber, toe, toeRadius, heel, heelRadius float64) (points [][2]float64) {
	arc := func(x, z, r, from, to float64) {
		for i := range 4001 {
			a := from + (to-from)*float64(i)/4000
			points = append(points, [2]float64{x + r*math.Sin(a), z - r*math.Cos(a)})
		}
	}
	t := math.Asin((toe - reach - toeRadius) / (camber - toeRadius))
	h := math.Asin((heel + reach - heelRadius) / (camber - heelRadius))
	arc(reach, camber, camber, -h, t)
	arc(reach+(camber-toeRadius)*math.Sin(t), camber-(camber-toeRadius)*math.Cos(t), toeRadius, t, math.Pi/2)
	arc(reach-(camber-heelRadius)*math.Sin(h), camber-(camber-heelRadius)*math.Cos(h), heelRadius, -h, -math.Pi/2)
	return points
}

// beyond is how much further along the axis, from where it meets the ground at the lie, a plane at an
// angle to it lies that the head stands against. Angles in degrees.
func beyond(points [][2]float64, lie, plane float64) float64 {
	d, far := (plane-lie)*math.Pi/180, math.Inf(-1)
	for _, p := range points {
		far = max(far, p[0]*math.Sin(d)-p[1]*math.Cos(d))
	}
	return far / math.Sin(plane*math.Pi/180)
}

func TestPlansAgainstOutlinesAndMoments(t *testing.T) {
	const cap, crown = 0.125, 0.125 // of bench.ferrule, as the heads are
	heads := map[string][][2]float64{"driver": outline(1.75, 9, 4.2, 1.3, 0.5, 0.6), "5 iron": outline(1.4, 10, 3, 0.9, 0.3, 0.4)}
	random := rand.New(rand.NewPCG(7, 11))
	sixteenths := func(from, to int) float64 { return float64(from*16+random.IntN((to-from)*16)) / 16 }
	type want struct{ finished, cut, points, add float64 }
	var wants []want
	var sheet strings.Builder
	sheet.WriteString("id,club,shaft,raw-length (in),tip-trim (in),bore (in),target-length (in),by,lie (deg),head-mass (g),shaft-mass (g)," +
		"shaft-balance (in),grip-mass (g),grip-balance (in),target-swingweight (pts),butt-mass (g/in),tip-mass (g/in)\n")
	for i := range 200 {
		club := []string{"driver", "5 iron"}[random.IntN(2)]
		by := []string{"soled", "plane-60", "wall", "bare"}[random.IntN(4)]
		lie := 52 + float64(random.IntN(60))/4
		raw, tip, bore, target := sixteenths(46, 49), sixteenths(0, 3), sixteenths(1, 3), sixteenths(35, 43)
		head, shaft, balance, grip, at := 180+float64(random.IntN(90)), 50+float64(random.IntN(70)), sixteenths(18, 24), 40+float64(random.IntN(20)), sixteenths(3, 5)
		buttMass, tipMass, aim := 1+random.Float64(), 1+random.Float64(), 25+float64(random.IntN(10))
		fmt.Fprintf(&sheet, "c%d,%s,s%d,%v,%v,%v,%v,%s,%v,%v,%v,%v,%v,%v,%v,%v,%v\n", i, club, i, raw, tip, bore, target, by, lie,
			head, shaft, balance, grip, at, aim, buttMass, tipMass)
		// From where the axis meets the ground up to the butt, and less the bore down to the tip.
		butt := map[string]float64{
			"soled": target - cap, "bare": target,
			"plane-60": target - crown - cap - beyond(heads[club], lie, 60), "wall": target - crown - cap - beyond(heads[club], lie, 90),
		}[by]
		w := want{finished: butt - bore}
		w.cut = raw - tip - w.finished
		// Every place counted down from the very end of the grip, the shaft's from its raw butt.
		down := func(fromRawButt float64) float64 { return fromRawButt - w.cut + cap + crown - 14 }
		moment := head*(butt+cap+crown-14) + grip*(at-14) + shaft*down(balance) -
			w.cut*buttMass*down(w.cut/2) - tip*tipMass*down(raw-tip/2)
		// D0, 30 points, is 213.5 oz in and a point 1.75 oz in (common practice, from memory).
		w.points = 30 + (moment/28.349523125-213.5)/1.75
		w.add = (aim - w.points) * 1.75 * 28.349523125 / (butt + cap + crown - 14)
		wants = append(wants, w)
	}
	plan := open(t, "bench.ferrule").plans(t, sheet.String(), "")[0]
	if len(plan.Clubs) != len(wants) {
		t.Fatalf("%d clubs, %d refused", len(plan.Clubs), len(plan.Set.Refused))
	}
	for i, c := range plan.Clubs {
		name := fmt.Sprintf("%s by %s: ", c.Club.ID, c.By)
		inches(t, name+"finished", c.Finished, wants[i].finished, 2e-6)
		inches(t, name+"butt cut", c.ButtCut, wants[i].cut, 2e-6)
		inches(t, name+"points", c.Swing.Weight, wants[i].points, 1e-4)
		inches(t, name+"mass to add", c.Swing.AddToHead, wants[i].add, 1e-3)
	}
}

// A 5 iron by hand, on a book with a cap of 1/8 in and a crown of nothing: 38 - 1/8 - 1 1/4 = 36 5/8 finished, of a
// shaft of 36 5/8, so that nothing comes off. Its head is 36 5/8 + 1 1/4 + 1/8 - 14 = 24 in beyond the fulcrum: 256·24 =
// 6144; shaft 104.4·(17.754 + 0.125 - 14) = 404.97; grip 50·(4 - 14) = -500. 6048.97 g in = 213.37 oz in, which
// is C9.9, where a fulcrum 14 in from the bare butt would say a point less. To D2: 3.629·28.3495/24 = 4.287 g.
func TestTheFulcrumIsFromTheEndOfTheGrip(t *testing.T) {
	c := one(t, open(t, "poor.ferrule", "flat.ferrule"), parts, "5 iron,S5,36 5/8 in,0 in,1 1/4 in,38 in,soled,,256 g,104.4 g,17.754 in,50 g,4 in,D2,,")
	inches(t, "points", c.Swing.Weight, 29.926, 1e-3)
	inches(t, "mass to add", c.Swing.AddToHead, 4.287, 1e-3)
	if len(value.Needs(c.Lacks)) > 0 {
		t.Errorf("needs %v", value.Needs(c.Lacks))
	}
}
