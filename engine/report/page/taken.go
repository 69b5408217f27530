package page

// This file draws how a length is taken: the club as it is held, to scale, and beside it the two places that matter,
// enlarged: where the rule starts and where it ends.

import (
	"fmt"
	"html/template"
	"math"

	"ferrule/engine/report/doc"
)

// The picture, in the units of its box: 5 of them fit beside each other on paper, and 2 on a phone.
const (
	takenWidth = 180
	margin     = 6
	lineHeight = 16
	clubHeight = 170 // of a club that leans or is upright
	viewSide   = 70  // of a view of a place
	below      = 17  // from the ground to the foot of the words below it
	leastTick  = 3.2 // between two marks of the rule
)

// The rule, and the parts of a club on which no length depends, in nm.
const (
	inch       = 25.4e6
	ruleWidth  = 0.9 * inch
	ruleBeyond = 1.2 * inch // the end of the grip
	gripLength = 10.5 * inch
	gripHalf   = 0.53 * inch
	gripMouth  = 0.36 * inch
	buttHalf   = 0.3 * inch
	tipHalf    = 0.17 * inch
	neckHalf   = 0.26 * inch
	neckLength = 0.8 * inch
	faceHeel   = 2 * inch
	faceToe    = 5.5 * inch
)

// taken is a picture of how a length is taken, laid out.
type taken struct {
	*doc.Taken
	Height int
	Whole  template.HTML
	Views  []*view
	Words  []word
}

// view is a window of the picture on a club: the place at x and z nm is k*x right of its left, k*z above its ground.
type view struct {
	X, Y, Side      int
	Shapes          template.HTML
	left, ground, k float64
}

// word is a text of the picture.
type word struct {
	X, Y   int
	Anchor string // "" where it starts at X
	Text   string
}

// places are where the parts of a picture go: the whole club, the views on the end and on the start of the rule, and
// the words beside the whole, each from the place that it names.
type places struct {
	whole, end, start                 view
	length, angle, startHere, endHere word
	lengthAt                          float64 // of the way from the start to the end
}

// layOut says where the parts go. A club that lies level has the views below it, one that is upright has them at its
// right, one that leans has them in the corners beside it.
func layOut(t *doc.Taken) places {
	const far = takenWidth - margin - viewSide
	long := t.CapEnd - t.Start + ruleBeyond
	if math.Abs(t.Axis[1]) < 1e-9 {
		k := (takenWidth - 2*margin) / (long + faceToe/2)
		return places{
			whole:  view{k: k, left: margin + k*(t.CapEnd+ruleBeyond), ground: 34},
			end:    view{X: margin, Y: 70, Side: viewSide},
			start:  view{X: far, Y: 70, Side: viewSide},
			length: word{Y: -10, Anchor: "middle"}, angle: word{X: -30, Y: 24, Anchor: "end"},
			startHere: word{X: 10, Y: -20, Anchor: "end"}, endHere: word{X: -4, Y: -10},
			lengthAt: 0.5,
		}
	}
	out := places{
		end:    view{X: far, Y: margin, Side: viewSide},
		start:  view{X: far, Y: margin + clubHeight - viewSide, Side: viewSide},
		length: word{X: 4, Y: 4}, angle: word{X: -10, Y: below, Anchor: "end"},
		startHere: word{X: -2, Y: below}, endHere: word{X: 12, Y: 4},
		lengthAt: 0.52,
	}
	k, left := clubHeight/(long*t.Axis[1]), 58.0
	if slope := -t.Axis[0] / t.Axis[1]; slope > 1e-9 {
		k = min(k, (takenWidth-50)/(long*-t.Axis[0]))
		left = max(14+viewSide+slope*viewSide, 18-k*long*t.Axis[0])
		out.start.X, out.lengthAt = margin, 0.3
	}
	out.whole = view{k: k, left: left, ground: margin + clubHeight}
	return out
}

// takenPicture lays the picture out.
func takenPicture(t *doc.Taken) *taken {
	l := layOut(t)
	p := &taken{Taken: t, Whole: template.HTML(l.whole.club(t)), Views: []*view{&l.end, &l.start}}
	start := l.whole.at(t.Beside(t.Start, 0))
	l.length.Text, l.angle.Text, l.startHere.Text, l.endHere.Text = t.Length, t.Angle, "start", "end"
	p.write(l.length, l.whole.at(t.Beside(t.Start+l.lengthAt*(t.End-t.Start), ruleWidth)))
	p.write(l.angle, start)
	p.write(l.startHere, start)
	p.write(l.endHere, l.whole.at(t.Beside(t.End, 0)))
	l.end.fit(t.Beside(t.Butt-inch/2, -gripHalf), t.Beside(t.Butt-inch/2, ruleWidth), t.Beside(t.CapEnd+inch/3, 0))
	l.start.fit(t.Beside(t.Start, 0), t.Beside(t.Neck+neckLength, 0), t.Heel.At(t.Heel.From), t.Toe.At(t.Toe.From),
		t.Toe.At((t.Toe.From+t.Toe.To)/2), t.Toe.At(t.Toe.To))
	for _, v := range p.Views {
		v.Shapes = template.HTML(v.club(t))
		p.Height = max(p.Height, v.Y+v.Side+margin)
	}
	return p
}

// write puts a word beside a point of the picture.
func (p *taken) write(w word, at [2]float64) {
	w.X, w.Y = w.X+int(math.Round(at[0])), w.Y+int(math.Round(at[1]))
	p.Words = append(p.Words, w)
	p.Height = max(p.Height, w.Y+margin)
}

// fit sets the window so that it shows those points.
func (v *view) fit(points ...doc.Point) {
	low, high := points[0], points[0]
	for _, q := range points {
		for i := range q {
			low[i], high[i] = min(low[i], q[i]), max(high[i], q[i])
		}
	}
	v.k = float64(v.Side-2*margin) / max(high[0]-low[0], high[1]-low[1])
	v.left = float64(v.Side)/2 - v.k*(low[0]+high[0])/2
	v.ground = float64(v.Side)/2 + v.k*(low[1]+high[1])/2
}

func (v *view) at(q doc.Point) [2]float64 { return [2]float64{v.left + v.k*q[0], v.ground - v.k*q[1]} }

// shows reports whether a point may be in sight.
func (v *view) shows(q doc.Point) bool {
	at, side := v.at(q), float64(v.Side)
	return side == 0 || at[0] > -margin && at[1] > -margin && at[0] < side+margin && at[1] < side+margin
}

// line appends a shape through points, closed where it ends in Z.
func (v *view) line(b []byte, class, end string, points ...doc.Point) []byte {
	b = fmt.Appendf(b, "\n<path class=%q d=\"", class)
	for i, q := range points {
		b = v.to(b, "ML"[min(i, 1):min(i, 1)+1], q)
	}
	return append(b, end+`"/>`...)
}

// to appends a step of a path to a point.
func (v *view) to(b []byte, step string, q doc.Point) []byte {
	at := v.at(q)
	return fmt.Appendf(b, "%s%.2f %.2f", step, at[0], at[1])
}

// club draws the club with the rule, from what is behind to what is in front.
func (v *view) club(t *doc.Taken) []byte {
	b := v.face(nil, t)
	b = v.rule(b, t)
	b = v.angle(b, t)
	b = v.line(b, "shaft", "Z", t.Beside(t.Neck, -tipHalf), t.Beside(t.Butt, -buttHalf),
		t.Beside(t.Butt, buttHalf), t.Beside(t.Neck, tipHalf))
	b = v.head(b, t)
	b = v.grip(b, t)
	b = v.line(b, "axis", "", t.Beside(t.Start, 0), t.Beside(t.Neck+2*neckLength, 0))
	b = v.line(b, "bar", "", t.Beside(t.End, -gripHalf-inch/8), t.Beside(t.End, ruleWidth+inch/8))
	b = v.line(b, "bar", "", t.Beside(t.Start, 0), t.Beside(t.Start, ruleWidth))
	b = v.dot(b, "touch", t.Touch)
	b = v.dot(b, "dot", t.Beside(t.Start, 0))
	return v.dot(b, "dot", t.Beside(t.End, 0))
}

func (v *view) dot(b []byte, class string, q doc.Point) []byte {
	at := v.at(q)
	return fmt.Appendf(b, "\n<circle class=%q cx=\"%.2f\" cy=\"%.2f\" r=\"3\"/>", class, at[0], at[1])
}

// face draws what stops the head, through the start of the rule and hatched on its far side.
func (v *view) face(b []byte, t *doc.Taken) []byte {
	on := func(along, behind float64) doc.Point {
		s := t.Beside(t.Start, 0)
		return doc.Point{s[0] + along*t.Face[0] + behind*t.Face[1], s[1] + along*t.Face[1] - behind*t.Face[0]}
	}
	b = append(b, "\n<path class=\"hatch\" d=\""...)
	for x := -faceHeel; x < faceToe; x += 7 / v.k {
		if v.shows(on(x, 0)) {
			b = v.to(v.to(b, "M", on(x, 0)), "L", on(x-5/v.k, 7/v.k))
		}
	}
	return v.line(append(b, `"/>`...), "face", "", on(-faceHeel, 0), on(faceToe, 0))
}

// rule draws the rule at the toe's side of the shaft, with marks as close as they can be seen.
func (v *view) rule(b []byte, t *doc.Taken) []byte {
	last := t.CapEnd + ruleBeyond
	b = v.line(b, "rule", "Z", t.Beside(t.Start, 0), t.Beside(last, 0),
		t.Beside(last, ruleWidth), t.Beside(t.Start, ruleWidth))
	b = append(b, "\n<path class=\"ticks\" d=\""...)
	eighths := 1
	for float64(eighths)*inch/8*v.k < leastTick {
		eighths *= 2
	}
	for n := eighths; t.Start+float64(n)*inch/8 < last; n += eighths {
		deep := 0.2 * inch
		if n%8 == 0 {
			deep = 0.4 * inch
		}
		at := t.Start + float64(n)*inch/8
		if edge := t.Beside(at, ruleWidth); v.shows(edge) {
			b = v.to(v.to(b, "M", edge), "L", t.Beside(at, ruleWidth-deep))
		}
	}
	return append(b, `"/>`...)
}

// angle draws the angle between the shaft and what stops the head.
func (v *view) angle(b []byte, t *doc.Taken) []byte {
	r := 26 / v.k
	s := t.Beside(t.Start, 0)
	b = v.to(append(b, "\n<path class=\"angle\" d=\""...), "M", doc.Point{s[0] - r*t.Face[0], s[1] - r*t.Face[1]})
	return append(v.to(b, "A26 26 0 0 1 ", t.Beside(t.Start+r, 0)), `"/>`...)
}

// head draws the silhouette, whose arcs are those of the head, and a neck.
func (v *view) head(b []byte, t *doc.Taken) []byte {
	b = append(b, "\n<path class=\"head\" d=\""...)
	b = v.to(b, "M", t.Heel.At(t.Heel.From))
	for _, a := range []doc.Arc{t.Heel, t.Sole, t.Toe} {
		b = v.to(b, fmt.Sprintf("A%.2f %.2f 0 0 0 ", v.k*a.Radius, v.k*a.Radius), a.At(a.To))
	}
	for _, q := range []doc.Point{t.Beside(t.Neck, neckHalf), t.Beside(t.Neck+neckLength, neckHalf),
		t.Beside(t.Neck+neckLength, -neckHalf), t.Beside(t.Neck, -neckHalf)} {
		b = v.to(b, "L", q)
	}
	return append(b, `Z"/>`...)
}

// grip draws the grip with its cap, and the end of the shaft in it. Where the length ends at the bare shaft the grip is
// not yet on.
func (v *view) grip(b []byte, t *doc.Taken) []byte {
	class := "grip"
	if t.End == t.Butt {
		class = "later"
	}
	b = v.line(b, class, "", t.Beside(t.CapEdge, -gripHalf), t.Beside(t.CapEdge-gripLength, -gripMouth),
		t.Beside(t.CapEdge-gripLength, gripMouth), t.Beside(t.CapEdge, gripHalf))
	dome := (t.CapEnd - t.CapEdge) * 4 / 3
	b = b[:len(b)-len(`"/>`)]
	b = v.to(v.to(b, "C", t.Beside(t.CapEdge+dome, gripHalf)), " ", t.Beside(t.CapEdge+dome, -gripHalf))
	b = v.to(b, " ", t.Beside(t.CapEdge, -gripHalf))
	b = append(b, `Z"/>`...)
	b = v.line(b, class, "", t.Beside(t.CapEdge, -gripHalf), t.Beside(t.CapEdge, gripHalf))
	if class == "later" {
		return b
	}
	return v.line(b, "later", "", t.Beside(t.Butt-inch, -buttHalf), t.Beside(t.Butt, -buttHalf),
		t.Beside(t.Butt, buttHalf), t.Beside(t.Butt-inch, buttHalf))
}
