package rulesets_test

// This file holds the figures of equipment-rules and the shapes of methods against what is
// known of them outside of the books. The cases inside the books are not enough: whoever
// mistypes a limit would mistype its cases too.

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// row is a club as a line of a sheet says it.
type row map[string]string

// figure is a published limit: a club that carries everything but the value in question, and
// the value on the limit, just inside it and just outside.
type figure struct {
	rule        string
	of          row
	column      string
	on, in, out string
	onFails     bool // "more than": the limit itself does not pass
	source      string
}

const (
	part2   = "R&A/USGA Equipment Rules 2019, Part 2, "
	seen    = " (published)"
	second  = " (secondary source)"
	memory  = " (from memory)"
	g10     = "R&A/USGA Committee Procedures 8G, Model Local Rule G-10"
	drivers = "common practice of long driving"
)

var figures = map[string][]figure{
	"equipment-rules": {
		{"shortest-length", row{"club": "9i", "by": "plane-60"}, "length", "18 in", "18.01 in", "17.99 in", false, part2 + "1c" + seen},
		{"shortest-putter", row{"club": "putter", "by": "axis"}, "length", "18 in", "18.01 in", "17.99 in", false, part2 + "1c" + second},
		// 48 in and 0.2 in are 1224.28 mm.
		{"longest-length", row{"club": "driver", "by": "plane-60"}, "length", "48.2 in", "48.19 in", "48.21 in", false, part2 + "1c" + seen + "; 0.2 in: test protocol" + memory},
		{"longest-length", row{"club": "3w", "by": "plane-60"}, "length", "1224.28 mm", "1224.2 mm", "1224.3 mm", false, part2 + "1c" + seen + "; 0.2 in: test protocol" + memory},
		{"lie-angle", row{"club": "putter"}, "lie", "80 deg", "79.9 deg", "80.1 deg", false, part2 + "1d" + seen},
		{"shaft-lean", row{"club": "putter"}, "shaft-lean", "20 deg", "19.9 deg", "20.1 deg", false, part2 + "1d" + seen},
		{"shaft-lean", row{"club": "putter"}, "shaft-lean", "-10 deg", "-9.9 deg", "-10.1 deg", false, part2 + "1d" + seen},
		{"neck-length", row{"club": "putter"}, "neck-length", "5 in", "4.99 in", "5.01 in", false, part2 + "2" + seen},
		{"grip-size", row{"club": "putter"}, "grip-diameter", "1.75 in", "1.749 in", "1.751 in", false, part2 + "3" + seen},
		{"grip-length", row{"club": "7i"}, "grip-length", "7 in", "7.01 in", "6.99 in", false, part2 + "3, interpretations" + seen},
		{"grip-length", row{"club": "putter", "grip-gap": "2 in"}, "grip-length", "5 in", "5.01 in", "4.99 in", false, part2 + "3" + seen},
		{"grip-gap", row{"club": "putter"}, "grip-gap", "1.5 in", "1.51 in", "1.49 in", false, part2 + "3" + seen},
		{"wood-length", row{"club": "driver"}, "head-length", "5 in", "4.99 in", "5.01 in", false, part2 + "4b" + seen},
		{"wood-shape", row{"club": "driver", "head-depth": "4.5 in"}, "head-length", "4.5 in", "4.51 in", "4.49 in", true, part2 + "4b" + seen},
		{"wood-height", row{"club": "driver"}, "head-height", "2.8 in", "2.79 in", "2.81 in", false, part2 + "4b" + seen},
		{"wood-volume", row{"club": "driver"}, "volume", "470 cc", "469.9 cc", "470.1 cc", false, part2 + "4b, 460 cm3 and 10 cm3" + seen},
		{"wood-inertia", row{"club": "driver", "made": "2006-05-01"}, "inertia", "6000 g cm2", "5999 g cm2", "6001 g cm2", false, part2 + "4b, 5900 g cm2 and 100 g cm2" + seen},
		{"putter-loft", row{"club": "putter"}, "loft", "10 deg", "9.9 deg", "10.1 deg", false, part2 + "1, interpretations" + seen},
		{"putter-length", row{"club": "putter"}, "head-length", "7 in", "6.99 in", "7.01 in", false, part2 + "4b" + memory},
		{"putter-height", row{"club": "putter"}, "head-height", "2.5 in", "2.49 in", "2.51 in", false, part2 + "4b" + memory},
		{"putter-shape", row{"club": "putter", "head-depth": "4 in"}, "head-length", "4 in", "4.01 in", "3.99 in", true, part2 + "4b" + memory},
		{"putter-face-depth", row{"club": "putter", "head-depth": "3 in"}, "face-length", "2 in", "2.01 in", "1.99 in", false, part2 + "4b, two thirds" + memory},
		{"putter-face-length", row{"club": "putter", "head-length": "5 in"}, "face-length", "2.5 in", "2.51 in", "2.49 in", false, part2 + "4b, a half" + memory},
		{"spring-effect", row{"club": "driver", "loft": "35 deg"}, "characteristic-time", "257 us", "256.9 us", "257.1 us", false, part2 + "4c, 239 us and 18 us" + seen},
		{"groove-width", row{"club": "7i"}, "groove-width", "0.035 in", "0.0349 in", "0.0351 in", false, part2 + "5c" + seen},
		{"groove-depth", row{"club": "7i"}, "groove-depth", "0.020 in", "0.0199 in", "0.0201 in", false, part2 + "5c" + seen},
		{"groove-separation", row{"club": "7i"}, "groove-separation", "0.075 in", "0.0751 in", "0.0749 in", false, part2 + "5c" + seen},
		{"groove-spacing", row{"club": "7i", "groove-width": "0.03 in"}, "groove-separation", "0.09 in", "0.0901 in", "0.0899 in", false, part2 + "5c, three widths" + seen},
		// Width and separation come to 0.12 in, times 0.0030 in2 an inch is 0.00036 in2.
		{"groove-area", row{"club": "PW", "made": "2010-01-01", "groove-width": "0.03 in", "groove-separation": "0.09 in"}, "groove-area", "0.00036 in2", "0.000359 in2", "0.000361 in2", false, part2 + "5c" + seen},
		{"groove-edge", row{"club": "4i", "made": "2010-01-01", "loft": "25 deg"}, "groove-edge-radius", "0.010 in", "0.0101 in", "0.0099 in", false, part2 + "5c" + seen},
	},
	"model-local-46": {
		{"longest-club-46", row{"club": "driver", "by": "plane-60"}, "length", "46.2 in", "46.19 in", "46.21 in", false, g10 + seen + "; 0.20 in: its notes" + memory},
	},
	"long-drive": {
		{"longest-by-wall", row{"club": "driver", "by": "wall"}, "length", "50 in", "49.99 in", "50.01 in", false, drivers},
	},
}

func TestFigures(t *testing.T) {
	for book, list := range figures {
		_, program := open(t, book)
		covered := map[string]bool{}
		for _, f := range list {
			covered[f.rule] = true
			onLimit := "pass"
			if f.onFails {
				onLimit = "fail"
			}
			for _, try := range []struct{ value, want string }{{f.on, onLimit}, {f.in, "pass"}, {f.out, "fail"}} {
				line := row{f.column: try.value}
				for k, v := range f.of {
					line[k] = v
				}
				if got := judged(t, program, f.rule, line); got != try.want {
					t.Errorf("%s: %s %s is %s, want %s (%s)", f.rule, f.column, try.value, got, try.want, f.source)
				}
			}
		}
		for _, r := range program.Rules() {
			name := r.Decl.Name.Text
			if !covered[name] && name != "grip-round" && name != "clubs-carried" { // no figure of one club
				t.Errorf("%s: nothing outside of the book holds the figure of %s", book, name)
			}
		}
	}
}

// What a rule leaves aside, and what it takes in.
func TestScope(t *testing.T) {
	_, program := open(t, "equipment-rules")
	grooves := row{"groove-width": "0.03 in", "groove-separation": "0.09 in", "groove-area": "0.0004 in2"}
	with := func(r row, pairs ...string) row {
		line := row{}
		for k, v := range r {
			line[k] = v
		}
		for i := 0; i < len(pairs); i += 2 {
			line[pairs[i]] = pairs[i+1]
		}
		return line
	}
	for _, try := range []struct {
		rule   string
		club   row
		want   string
		source string
	}{
		{"spring-effect", row{"club": "8i", "loft": "35.1 deg", "characteristic-time": "300 us"}, "exempt", part2 + "4c, not above 35 deg" + seen},
		{"spring-effect", row{"club": "8i", "loft": "35 deg", "characteristic-time": "300 us"}, "fail", part2 + "4c, not above 35 deg" + seen},
		{"longest-length", row{"club": "putter", "length": "52 in", "by": "axis"}, "none", part2 + "1c, every club but putters" + seen},
		{"longest-length", row{"club": "chipper", "length": "52 in", "by": "plane-60"}, "fail", part2 + "1: a chipper has no putter exceptions" + seen},
		{"grip-length", row{"club": "chipper", "grip-length": "6 in", "grip-gap": "2 in"}, "fail", part2 + "1: a chipper has no putter exceptions" + seen},
		{"groove-area", with(grooves, "club", "PW", "made", "2009-12-31"), "none", part2 + "5c, clubs made since 2010-01-01" + seen},
		{"groove-area", with(grooves, "club", "PW", "made", "2010-01-01"), "fail", part2 + "5c, clubs made since 2010-01-01" + seen},
		{"groove-area", with(grooves, "club", "PW"), "unmeasured", "missing data never passes"},
		{"groove-area", with(grooves, "club", "driver", "made", "2012-01-01"), "none", part2 + "5c, not drivers" + seen},
		{"groove-area", with(grooves, "club", "putter", "made", "2012-01-01"), "none", part2 + "5c, not putters" + seen},
		{"groove-edge", row{"club": "3i", "loft": "24.9 deg", "made": "2012-01-01", "groove-edge-radius": "0.005 in"}, "none", part2 + "5c, loft 25 deg or more" + seen},
		{"wood-inertia", row{"club": "driver", "inertia": "6200 g cm2", "made": "2006-04-30"}, "exempt", part2 + "4b, older clubs from memory"},
	} {
		if got := judged(t, program, try.rule, try.club); got != try.want {
			t.Errorf("%s of %v is %s, want %s (%s)", try.rule, try.club, got, try.want, try.source)
		}
	}
}

// judged gives the verdict of a rule on one club of a sheet; "none" where the rule is not about it.
func judged(t *testing.T, program *judge.Program, rule string, r row) string {
	t.Helper()
	line, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	reader, problem := sheet.Open("one.jsonl", strings.NewReader(string(line)), sheet.Options{Schema: program.Schema})
	if problem != nil {
		t.Fatal(problem)
	}
	verdict := "none"
	j := program.NewJudge(judge.Options{Day: book.NoDay, All: true})
	for {
		set, more := reader.Next()
		if !more {
			return verdict
		}
		for _, refused := range set.Refused {
			t.Fatalf("%s: %s", line, refused.Message)
		}
		j.Set(set, judge.Sink{Result: func(res *judge.Result) {
			if res.Rule.Decl.Name.Text == rule {
				verdict = res.Verdict.String()
			}
		}})
	}
}

// The 14 clubs of Rules of Golf, 4.1b (published): a row for each.
func TestClubsCarried(t *testing.T) {
	_, program := open(t, "equipment-rules")
	for count, want := range map[int]string{13: "pass", 14: "pass", 15: "fail"} {
		set := &club.Set{}
		for i := range count {
			c := &club.Club{ID: fmt.Sprint(i)}
			c.Reset(program.Schema.Len())
			set.Clubs = append(set.Clubs, c)
		}
		got := "none"
		program.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(set, judge.Sink{Result: func(res *judge.Result) {
			if res.Rule.Decl.Name.Text == "clubs-carried" {
				got = res.Verdict.String()
			}
		}})
		if got != want {
			t.Errorf("%d clubs: %s, want %s", count, got, want)
		}
	}
}

// outline is the outline of a head in inches, x along the ground from where the shaft's axis
// meets it toward the toe, z up, as points laid close together on the three arcs.
type outline [][2]float64

func outlineOf(h *book.Head) outline {
	var v [6]float64
	for i, c := range h.Shape {
		v[i] = c.Base / unit.Lookup("in").ToBase(1)
	}
	reach, camber, toe, toeRadius, heel, heelRadius := v[0], v[1], v[2], v[3], v[4], v[5]
	// The end arcs touch the sole's arc from within: their centres lie camber - radius
	// from its centre, and the end of the arc lies at toe, or at -heel.
	toeX, heelX := toe-toeRadius, -heel+heelRadius
	toeZ := camber - math.Sqrt(math.Pow(camber-toeRadius, 2)-math.Pow(toeX-reach, 2))
	heelZ := camber - math.Sqrt(math.Pow(camber-heelRadius, 2)-math.Pow(heelX-reach, 2))
	var o outline
	for i := range 40001 {
		turn := 2 * math.Pi * float64(i) / 40000
		o = append(o, [2]float64{toeX + toeRadius*math.Cos(turn), toeZ + toeRadius*math.Sin(turn)},
			[2]float64{heelX + heelRadius*math.Cos(turn), heelZ + heelRadius*math.Sin(turn)})
		if x := reach + camber*math.Cos(turn); x >= heelX-heelRadius && x <= toeX+toeRadius {
			// Only the part of the sole between the points of contact with the end arcs counts.
			atToe, atHeel := camber*(toeX-reach)/(camber-toeRadius), camber*(heelX-reach)/(camber-heelRadius)
			if x-reach <= atToe && x-reach >= atHeel && math.Sin(turn) < 0 {
				o = append(o, [2]float64{x, camber + camber*math.Sin(turn)})
			}
		}
	}
	return o
}

// stands returns how far up the shaft's axis, from where it meets the ground when the club
// is soled at its lie, a plane at the angle theta to the axis stops the head, in inches below it.
// The plane is turned about that point and moved down until no point of the head is below it.
func (o outline) stands(theta, lie float64) float64 {
	turn := (theta - lie) * math.Pi / 180
	most := math.Inf(-1)
	for _, p := range o {
		most = max(most, p[0]*math.Sin(turn)-p[1]*math.Cos(turn))
	}
	return most / math.Sin(theta*math.Pi/180)
}

// The shapes of heads bring out what the trade knows of its readings (common practice): the
// wall reads a driver of today about 1 1/2 to 1 3/4 in longer than the other two ways, and a
// lie set two degrees off moves a reading by 1/4 in at most.
func TestShapes(t *testing.T) {
	book, _ := open(t, "methods")
	crown := 0.0
	for _, a := range book.Allowances {
		if a.Crown {
			crown = a.Amount.Base / unit.Lookup("in").ToBase(1)
		}
	}
	if crown != 0.125 {
		t.Errorf("the very end of the cap lies %v in over its edge, want 1/8 in (common practice)", crown)
	}
	kinds := map[string]bool{}
	for _, h := range book.Heads {
		kind := h.Decl.Items[0].Name.Text
		kinds[kind] = true
		o := outlineOf(h)
		for _, lie := range []float64{56, 58, 60, 62, 64, 70, 75} {
			for _, off := range []float64{-2, 2} {
				if moved := o.stands(lie+off, lie) - o.stands(lie, lie); math.Abs(moved) > 0.25 {
					t.Errorf("%s at %v deg: set %v deg off its lie, a reading moves by %.3f in", kind, lie, off, moved)
				}
			}
		}
		if kind != "driver" {
			continue
		}
		// Worked by hand for this driver at 58 deg: 0.07685 in to the 60 degree plane,
		// 1.6611 in to the wall.
		for theta, want := range map[float64]float64{60: 0.07685, 90: 1.6611} {
			if got := o.stands(theta, 58); math.Abs(got-want) > 0.0001 {
				t.Errorf("driver at 58 deg, stopped at %v deg: %.5f in, want %.5f", theta, got, want)
			}
		}
		for _, lie := range []float64{58, 59, 60} {
			wall := crown + o.stands(90, lie)
			soled := o.stands(lie, lie)
			plane := crown + o.stands(60, lie)
			for way, other := range map[string]float64{"soled": soled, "plane-60": plane} {
				if longer := wall - other; longer < 1.5 || longer > 1.75+1.0/16 { // "about"
					t.Errorf("driver at %v deg: the wall reads %.3f in longer than %s, want about 1 1/2 to 1 3/4 in", lie, longer, way)
				}
			}
		}
	}
	for _, kind := range []string{"driver", "fairway", "hybrid", "iron", "wedge", "putter", "chipper"} {
		if !kinds[kind] {
			t.Errorf("no shape for the head of a %s", kind)
		}
	}
}
