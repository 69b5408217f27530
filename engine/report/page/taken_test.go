package page_test

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/page"
	"ferrule/engine/report/picture"
	"ferrule/lang/unit"
)

var update = flag.Bool("update", false, "write the pictures of the README anew")

const inch, degree = 25.4e6, 1e6 // in nanometres and microdegrees

// example is a club whose length is taken by a method. The driver reads 45 in soled; by the others it reads what
// its shape makes of that, to the nearest mark of a rule.
type example struct {
	method measure.Method
	name   string
	length float64 // in
	lie    float64 // deg
	shape  measure.Shape
}

// inches is a shape from its numbers in inches.
func inches(reach, camber, toe, toeRadius, heel, heelRadius float64) measure.Shape {
	return measure.Shape{Reach: reach * inch, Camber: camber * inch, Toe: toe * inch, ToeRadius: toeRadius * inch,
		Heel: heel * inch, HeelRadius: heelRadius * inch}
}

func examples() []example {
	driver, putter := inches(1.75, 9, 4.2, 1.3, 0.5, 0.6), inches(1.5, 20, 3.6, 0.5, 0.7, 0.4)
	return []example{
		{measure.Method{Name: "soled", Stop: measure.AtLie, Top: measure.CapEdge}, "The driver", 45, 58, driver},
		{measure.Method{Name: "plane-60", Stop: measure.AtAngle, Angle: 60 * degree, Top: measure.CapEnd}, "The driver", 45.1875, 58, driver},
		{measure.Method{Name: "wall", Stop: measure.AtAngle, Angle: 90 * degree, Top: measure.CapEnd}, "The driver", 46.75, 58, driver},
		{measure.Method{Name: "axis", Stop: measure.AlongAxis, Top: measure.CapEnd}, "The putter", 35, 70, putter},
		{measure.Method{Name: "bare", Stop: measure.AtLie, Top: measure.Butt}, "The driver", 44.875, 58, driver},
	}
}

// taken lays an example out with a cap and a crown of 1/8 in.
func (e *example) taken() *doc.Taken {
	amount := func(base float64, d unit.Dim) unit.Amount { return unit.Amount{Base: base, Unit: unit.Base(d)} }
	return picture.HowTaken(e.name+" by "+e.method.Name, judge.Held{
		Method: &e.method, Length: amount(e.length*inch, unit.Length), Lie: amount(e.lie*degree, unit.Angle),
		Pose: e.method.Pose(e.length*inch, e.lie*degree, e.shape, inch/8, inch/8)})
}

func (e *example) draw() []byte { return page.TakenFile(e.taken()) }

// The README shows these files; "go test ./engine/report/page -update" writes them anew.
func TestPicturesOfTheReadme(t *testing.T) {
	for _, e := range examples() {
		name := filepath.Join("..", "..", "..", "testdata", "readme", e.method.Name+".svg")
		if *update {
			if err := os.WriteFile(name, e.draw(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(text, e.draw()) {
			t.Errorf("%s is not what is drawn now; write it anew with -update and look at it", name)
		}
	}
}

type place [2]float64 // x to the right and z up

func (p place) less(q place) place { return place{p[0] - q[0], p[1] - q[1]} }
func (p place) size() float64      { return math.Hypot(p[0], p[1]) }

// drawn is what is read back from the view of the head in a picture, in the units of its box.
type drawn struct {
	start, end, touch place
	face              [2]place
	head              []float64 // of the outline: a start, three arcs of seven figures, a neck
	texts             string
	role, title, desc string
}

var figure = regexp.MustCompile(`-?[0-9.]+`)

func figures(s string) (out []float64) {
	for _, f := range figure.FindAllString(s, -1) {
		n, _ := strconv.ParseFloat(f, 64)
		out = append(out, n)
	}
	return out
}

func readPicture(t *testing.T, text []byte) (d drawn) {
	views, within, dots := 0, "", 0
	for r := xml.NewDecoder(bytes.NewReader(text)); ; {
		token, err := r.Token()
		if err == io.EOF {
			return d
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok {
			switch within {
			case "title":
				d.title += string(c)
			case "desc":
				d.desc += string(c)
			case "text", "tspan":
				d.texts += string(c) + " "
			}
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			within = ""
			continue
		}
		within = e.Name.Local
		has := map[string]string{}
		for _, a := range e.Attr {
			has[a.Name.Local] = a.Value
		}
		switch {
		case within == "svg":
			views++
			dots = 0
			d.role += has["role"]
		case views != 3: // the picture, the end, the start
		case has["class"] == "head":
			d.head = figures(has["d"])
		case has["class"] == "face":
			f := figures(has["d"])
			d.face = [2]place{{f[0], -f[1]}, {f[2], -f[3]}}
		case within == "circle":
			x, _ := strconv.ParseFloat(has["cx"], 64)
			y, _ := strconv.ParseFloat(has["cy"], 64)
			switch at := (place{x, -y}); {
			case has["class"] == "touch":
				d.touch = at
			case dots == 0:
				d.start, dots = at, 1
			default:
				d.end = at
			}
		}
	}
}

// What is drawn is what is worked out by hand: the rule is as long as the reading, on the scale of the head; the shaft has the
// method's angle to what stops the head, which touches the head's outline and cuts no part of it; and the rule starts
// before the point where the axis meets the ground by h/sin: 0.07685 in by a plane at 60 deg and 1.6611 in by a
// wall for the driver at 58 deg, 0 for the rest.
func TestPictureIsToScale(t *testing.T) {
	before := map[string]float64{"plane-60": 0.07685, "wall": 1.6611}
	angle := map[string]float64{"plane-60": 60, "wall": 90}
	for _, e := range examples() {
		d := readPicture(t, e.draw())
		scale := d.head[9] / e.shape.Camber * inch // a unit an inch, by the arc of the sole
		near := func(what string, got, want, within float64) {
			t.Helper()
			if !(math.Abs(got-want) <= within) {
				t.Errorf("%s: %s is %.4f, want %.4f", e.method.Name, what, got, want)
			}
		}
		axis := d.end.less(d.start)
		near("the rule", axis.size()/scale, e.length, 0.003)
		face := d.face[0].less(d.face[1])
		want := e.lie
		if a := angle[e.method.Name]; a != 0 {
			want = a
		}
		near("the angle", math.Acos((face[0]*axis[0]+face[1]*axis[1])/face.size()/axis.size())*180/math.Pi, want, 0.05)
		// The far side of what stops the head is at the right of the way from toe to heel.
		beyond := func(p place) float64 {
			q := p.less(d.face[0])
			return (face[0]*q[1] - face[1]*q[0]) / face.size() / scale
		}
		near("the touch", beyond(d.touch), 0, 0.002)
		near("the start", beyond(d.start), 0, 0.002)
		nearest, onOutline := math.Inf(1), math.Inf(1)
		from := place{d.head[0], -d.head[1]}
		var sole place
		for i := range 3 {
			radius, to := d.head[2+7*i], place{d.head[7+7*i], -d.head[8+7*i]}
			chord := to.less(from)
			off := math.Sqrt(max(0, radius*radius-chord.size()*chord.size()/4)) / chord.size()
			center := place{(from[0]+to[0])/2 - off*chord[1], (from[1]+to[1])/2 + off*chord[0]}
			if i == 1 {
				sole = center
			}
			first, last := from.less(center), to.less(center)
			turn := math.Atan2(first[0]*last[1]-first[1]*last[0], first[0]*last[0]+first[1]*last[1])
			for k := range 2001 {
				sin, cos := math.Sincos(turn * float64(k) / 2000)
				p := place{center[0] + first[0]*cos - first[1]*sin, center[1] + first[0]*sin + first[1]*cos}
				nearest = min(nearest, -beyond(p))
				onOutline = min(onOutline, p.less(d.touch).size()/scale)
			}
			from = to
		}
		near("the head before its stop", nearest, 0, 0.003)
		near("the touch on the outline", onOutline, 0, 0.005)
		// The axis meets the ground where the middle of the sole's arc is: reach before it and camber above.
		along := place{axis[0] / axis.size(), axis[1] / axis.size()}
		c := sole.less(d.start)
		lie := e.lie * math.Pi / 180
		there := -(e.shape.Reach*math.Cos(lie) - e.shape.Camber*math.Sin(lie)) / inch // along the axis, of the middle
		near("the start before the ground", (c[0]*along[0]+c[1]*along[1])/scale-there, before[e.method.Name], 0.005)
	}
}

// A picture says in words what it shows, and every name stays text. No letter is smaller than 11 px where two pictures
// are beside each other on a window 360 px wide.
func TestPictureSaysWhatItShows(t *testing.T) {
	for _, e := range examples() {
		d := readPicture(t, e.draw())
		length := unit.Amount{Base: e.length * inch, Unit: unit.Base(unit.Length)}.String()
		if d.role != "img" || d.title != e.name+" by "+e.method.Name+": "+length {
			t.Errorf("%s: role %q, title %q", e.method.Name, d.role, d.title)
		}
		for _, words := range []string{"It starts at the ", "ends at the ", "It reads " + length} {
			if !strings.Contains(d.desc, words) {
				t.Errorf("%s: %q does not say %q", e.method.Name, d.desc, words)
			}
		}
		if !strings.Contains(d.texts, length) || !strings.Contains(d.texts, "start") {
			t.Errorf("%s: the picture has the texts %q", e.method.Name, d.texts)
		}
	}
	odd := examples()[0]
	odd.name = `"><script>x</script>`
	if d := readPicture(t, odd.draw()); !strings.HasPrefix(d.title, odd.name) {
		t.Errorf("a name became more than text: %q", d.title)
	}
	if text := odd.draw(); !bytes.Contains(text, []byte("font: 13px")) || !bytes.Contains(text, []byte(`viewBox="0 0 180 `)) {
		t.Error("the letters of a picture 180 wide are not 13 high")
	}
}

// Any head can be drawn at any lie that clubs have. The words of the picture are in it, beside each other and beside
// the views.
func TestPictureOfAnyClub(t *testing.T) {
	for _, e := range examples() {
		for _, lie := range []float64{50, 55, 58, 64, 72, 80} {
			e.lie = lie
			text := string(e.draw())
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%s at %v deg: a place is not a number", e.method.Name, lie)
			}
			boxes := boxesOf(text)
			for i, b := range boxes {
				if b.left < 0 || b.right > 180 {
					t.Errorf("%s at %v deg: %q is cut off", e.method.Name, lie, b.of)
				}
				for _, c := range boxes[:i] {
					if b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom {
						t.Errorf("%s at %v deg: %q is on %q", e.method.Name, lie, b.of, c.of)
					}
				}
			}
		}
	}
}

// box is where a word or a view of a picture is.
type box struct {
	of                       string
	left, right, top, bottom float64
}

// boxesOf are the views and the words of a picture. A letter is 6.5 wide on the average of Arial's digits, stops and
// blanks at a size of 13.
func boxesOf(text string) (out []box) {
	frame := regexp.MustCompile(`<rect class="frame" x="(\d+)" y="(\d+)" width="(\d+)"`)
	for _, m := range frame.FindAllStringSubmatch(text, -1) {
		f := figures(strings.Join(m[1:], " "))
		out = append(out, box{"a view", f[0], f[0] + f[2], f[1], f[1] + f[2]})
	}
	word := regexp.MustCompile(`<text x="(-?\d+)" y="(-?\d+)"(?: text-anchor="(\w+)")?>([^<]*)<`)
	for _, m := range word.FindAllStringSubmatch(text, -1) {
		f, wide := figures(m[1]+" "+m[2]), 6.5*float64(len([]rune(m[4])))
		left := f[0] - wide*map[string]float64{"middle": 0.5, "end": 1}[m[3]]
		out = append(out, box{m[4], left, left + wide, f[1] - 10, f[1]})
	}
	return out
}

// The page of a report draws the same picture, in the style that its head has once; text leaves it out.
func TestPictureInAPage(t *testing.T) {
	e := examples()[0]
	block := e.taken()
	html := string(page.New()(nil, doc.Head{Title: "A page"}, block, doc.End{}))
	if strings.Count(html, `class="taken"`) != 1 || strings.Count(html, ".taken .head {") != 1 {
		t.Errorf("the page has not one picture and one style:\n%s", html)
	}
	readPicture(t, []byte(html[strings.Index(html, "<svg"):strings.LastIndex(html, "</svg>")+len("</svg>")]))
	if text := doc.Text(false)(nil, block); len(text) > 0 {
		t.Errorf("text has %q for a picture", text)
	}
}
