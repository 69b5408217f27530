package page

// This file works out where things are in the picture of the steps of a set.

import (
	"fmt"
	"html/template"
	"math"

	"ferrule/engine/report/doc"
)

const scaleWidth = 400 // of the picture of a club, in the units of the layout

// steps are the steps of a set with their pictures.
type steps struct {
	*doc.Steps
	Ruler template.HTML // the marks of the scale; none where there is no scale
	Rows  []stand
}

// stand is a club with the shapes of its scale, its band and its mark.
type stand struct {
	doc.Stand
	Shapes template.HTML
}

// picture works the shapes out: figures of their places alone, and the texts of marks, escaped.
func picture(b *doc.Steps) steps {
	s := b.Scale(scaleWidth)
	out := steps{Steps: b}
	if s != (doc.Scale{}) {
		var text []byte
		for _, m := range s.Marks(b.Unit, b.Figure) {
			text = fmt.Appendf(text, `<line x1="%d" y1="15" x2="%d" y2="20"/><text x="%d" y="11">%s</text>`,
				m.At, m.At, m.At, template.HTMLEscapeString(m.Text))
		}
		out.Ruler = template.HTML(text)
	}
	for _, one := range b.Stands {
		row := stand{Stand: one}
		if s != (doc.Scale{}) {
			row.Shapes = template.HTML(shapes(s, one))
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// shapes are those of a club: its line, the band in which the rule allows it, and its mark. The mark is a cross where its
// step fails, else a square; beyond an end it is an arrow's head.
func shapes(s doc.Scale, one doc.Stand) []byte {
	text := fmt.Appendf(nil, `<line x1="0" y1="10" x2="%d" y2="10"/>`, scaleWidth)
	if a := one.Allowed; a != nil {
		from := max(0, s.Column(a.Low))
		text = fmt.Appendf(text, `<rect class="band" x="%d" y="5" width="%d" height="10"/>`, from, max(1, s.Column(a.High)-from))
	}
	if !math.IsNaN(one.At) {
		text = fmt.Appendf(text, `<path class="mark %s" d="%s"/>`, tones[one.Tone], mark(s.Column(one.At), one.Tone))
	}
	return text
}

// mark is the outline of a mark.
func mark(at int, tone doc.Tone) string {
	switch {
	case at < 0:
		return "M6 4L0 10L6 16Z"
	case at >= scaleWidth:
		return fmt.Sprintf("M%d 4l6 6l-6 6Z", scaleWidth-6)
	case tone == doc.Fail:
		return fmt.Sprintf("M%d 4l8 12M%d 4l-8 12", at-4, at+4)
	}
	return fmt.Sprintf("M%d 6h8v8h-8Z", at-4)
}
