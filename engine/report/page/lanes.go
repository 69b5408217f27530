package page

// This file draws quantities on a scale: lanes with stretches and readings, and the operating curve of a rule. All is
// figures of places, and texts, which are escaped.

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"ferrule/engine/report/doc"
	"ferrule/lang/unit"
)

// The measures of a picture, in the units of its box; at 360 px these are pixels.
const (
	boxWidth   = 360
	boxEdge    = 8
	laneLeft   = 176 // where the scale of lanes begins; before it are their words
	laneWords  = 13  // from the top of a lane to the foot of its words
	laneTop    = 5   // from its top to the top of a stretch
	laneHigh   = 9
	laneRoom   = 17 // of a lane with a line of words
	rulerRoom  = 24
	mostInLane = 25 // letters of a line of words
)

// figured is a picture laid out.
type figured struct {
	Title, Text string
	Class       string
	Height      int
	Shapes      template.HTML
}

// scaled is a scale that begins at a place of the box and ends at its edge.
type scaled struct {
	doc.Scale
	left int
}

func (s scaled) x(v float64) float64 { return float64(s.left) + s.Place(v) }

// lanes lays out lanes.
func lanes(b *doc.Lanes) figured {
	s := scaled{b.Scale(boxWidth - boxEdge - laneLeft), laneLeft}
	var out []byte
	y := 0
	for _, l := range b.List {
		if s.Scale != (doc.Scale{}) {
			for _, p := range l.Parts {
				out = s.stretch(out, p, y+laneTop)
			}
		}
		for i, line := range linesOf(l.Words, mostInLane) {
			if i > 0 {
				y += lineHeight
			}
			out = written(out, 0, y+laneWords, "", line)
		}
		y += laneRoom
	}
	if s.Scale == (doc.Scale{}) {
		return figured{b.Title, b.Text, "lanes", y + 2, template.HTML(out)}
	}
	for _, v := range b.Lines {
		out = fmt.Appendf(out, `<path class="across" d="M%.2f 0V%d"/>`, s.x(v), y)
	}
	out = s.ruler(out, b.Unit, b.Figure, y)
	return figured{b.Title, b.Text, "lanes", y + rulerRoom, template.HTML(out)}
}

// linesOf breaks words at blanks into lines of so many letters at the most; a word that is too long for one is cut.
func linesOf(words string, most int) []string {
	var out []string
	for word := range strings.FieldsFuncSeq(words, func(c rune) bool { return c == ' ' }) {
		if last := len(out) - 1; last >= 0 && doc.Width(out[last])+1+doc.Width(word) <= most {
			out[last] += " " + word
		} else {
			out = append(out, doc.Shorten(word, most))
		}
	}
	return out
}

// written appends a text.
func written(b []byte, x, y int, anchor, text string) []byte {
	if anchor != "" {
		anchor = ` text-anchor="` + anchor + `"`
	}
	return fmt.Appendf(b, `<text x="%d" y="%d"%s>%s</text>`, x, y, anchor, template.HTMLEscapeString(text))
}

// ruler appends a scale with its marks and figures. Figures that would touch are left out.
func (s scaled) ruler(b []byte, u *unit.Unit, figure func(float64) string, y int) []byte {
	const letter = 7.5
	b = fmt.Appendf(b, `<path class="ruler" d="M%d %dH%d"/>`, s.left, y+4, boxWidth-boxEdge)
	free := 0.0
	for _, m := range s.Marks(u, figure) {
		x := float64(s.left + m.At)
		half := letter * float64(doc.Width(m.Text)) / 2
		b = fmt.Appendf(b, `<path class="ruler" d="M%.0f %dv5"/>`, x, y+4)
		if x-half < free || x+half > boxWidth {
			continue
		}
		free = x + half + letter
		b = written(b, int(x), y+21, "middle", m.Text)
	}
	return b
}

// looks are the classes of stretches.
var looks = [...]string{doc.Allowed: "allowed", doc.Solid: "solid", doc.Off: "off"}

// stretch appends a part of a lane, whose top is at y. An end that goes on without a limit is left open.
func (s scaled) stretch(b []byte, p doc.Stretch, y int) []byte {
	if p.Look == doc.Read {
		return s.reading(b, p, y)
	}
	from, to := s.x(p.From), s.x(p.To)
	class := looks[p.Look]
	if t := tones[p.Tone]; t != "" {
		class += " " + t
	}
	b = fmt.Appendf(b, `<rect class="%s" x="%.2f" y="%d" width="%.2f" height="%d"/>`, class, from, y,
		max(to-from, 0.5), laneHigh)
	for _, end := range []struct{ at, x, tip float64 }{{p.From, from, -6}, {p.To, to, 6}} {
		if math.IsInf(end.at, 0) {
			b = fmt.Appendf(b, `<path class="on" d="M%.2f %dl%.0f 4.5l%.0f 4.5"/>`, end.x, y, end.tip, -end.tip)
		}
	}
	return b
}

// reading appends a value with a line over how far it may be off. Its mark is a cross where it fails, a diamond where
// it is open, else a square; beyond the scale it points there.
func (s scaled) reading(b []byte, p doc.Stretch, y int) []byte {
	mid, x, class := float64(y)+laneHigh/2.0, s.x(p.At), tones[p.Tone]
	if p.To > p.From {
		from, to := s.x(p.From), s.x(p.To)
		b = fmt.Appendf(b, `<path class="unsure" d="M%.2[1]f %.1[2]fH%.2[3]fM%.2[1]f %.1[4]fv7M%.2[3]f %.1[4]fv7"/>`,
			from, mid, to, mid-3.5)
	}
	shape := fmt.Sprintf("M%.2f %.1fh7v7h-7Z", x-3.5, mid-3.5)
	switch beyond := s.Beyond(p.At); {
	case beyond != 0: // far off: a mark that points there
		shape = fmt.Sprintf("M%.2f %.1fl%d 4.5l%d 4.5", x-6*float64(beyond), mid-4.5, 6*beyond, -6*beyond)
	case p.Tone == doc.Fail:
		shape = fmt.Sprintf("M%.2f %.1fl9 9m0 -9l-9 9", x-4.5, mid-4.5)
	case p.Tone == doc.Open:
		shape = fmt.Sprintf("M%.2f %.1fl5 5l-5 5l-5 -5Z", x, mid-5)
	case p.Tone == doc.Plain:
		shape = fmt.Sprintf("M%.2f %.1fv9", x, mid-4.5)
	}
	return fmt.Appendf(b, `<path class="mark %s" d="%s"/>`, class, shape)
}

// The measures of an operating curve.
const (
	curveTop  = 22
	curveHigh = 150
)

// curve lays out an operating curve: the probability of each decision over the true value, in lines of their own
// dashes, and below it what they are.
func curve(b *doc.Curve) figured {
	const middle, bottom, right = curveTop + curveHigh/2, curveTop + curveHigh, boxWidth - boxEdge
	s := scaled{b.Scale(boxWidth - 2*boxEdge), boxEdge}
	out := fmt.Appendf(nil, `<path class="ruler" d="M%[1]d %[2]dH%[5]dM%[1]d %[3]dH%[5]dM%[1]d %[4]dH%[5]d"/>`,
		boxEdge, curveTop, middle, bottom, right)
	y := bottom + rulerRoom + 16
	for _, l := range []struct {
		class, words string
		x            int // of what is said below
		of           func(doc.CurvePoint) float64
	}{
		{"passes", "passes", 8, func(p doc.CurvePoint) float64 { return p.Pass }},
		{"close", "too close", 238, func(p doc.CurvePoint) float64 { return p.Close }},
		{"fails", "fails", 128, func(p doc.CurvePoint) float64 { return p.Fail }},
	} {
		if l.class == "close" && !b.Close {
			continue
		}
		out = fmt.Appendf(out, `<path class="curve %s" d="`, l.class)
		for i, p := range b.Points {
			out = fmt.Appendf(out, "%c%.2f %.2f", "ML"[min(i, 1)], s.x(p.At), bottom-curveHigh*l.of(p))
		}
		out = fmt.Appendf(out, `"/><path class="curve %s" d="M%d %dh34"/>`, l.class, l.x, y-4)
		out = written(out, l.x+40, y, "", l.words)
	}
	for _, v := range b.Limits {
		out = fmt.Appendf(out, `<path class="across" d="M%.2f %dV%d"/>`, s.x(v), curveTop-4, bottom+4)
	}
	out = written(out, boxEdge, 14, "", "100 % of readings")
	out = s.ruler(out, b.Unit, b.Figure, bottom)
	return figured{b.Title, b.Text, "lanes", y + 8, template.HTML(out)}
}
