package page

// This file works out where things are in the picture of the steps of a set.

import (
	"fmt"

	"ferrule/engine/report/doc"
)

const scaleWidth = 400 // of the picture of a club, in the units of the layout

// steps are the steps of a set with their places.
type steps struct {
	*doc.Steps
	Marks []doc.Mark // none where there is no scale
	Rows  []stand
}

// stand is a club with the places of its mark and of its band.
type stand struct {
	doc.Stand
	From, Wide int    // of the band; no width where there is none
	Mark       string // the outline of its mark: a cross where its step fails, else a square; an arrow's head beyond an end
}

func picture(b *doc.Steps) steps {
	s := b.Scale(scaleWidth)
	out := steps{Steps: b}
	if s != (doc.Scale{}) {
		out.Marks = s.Marks(b.Unit, b.Figure)
	}
	for _, one := range b.Stands {
		row := stand{Stand: one}
		if a := one.Allowed; a != nil {
			row.From = max(0, s.Column(a.Low))
			row.Wide = max(1, s.Column(a.High)-row.From)
		}
		if at := s.Column(one.At); one.Value != "" && one.At == one.At {
			row.Mark = mark(at, one.Tone)
		}
		out.Rows = append(out.Rows, row)
	}
	return out
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
