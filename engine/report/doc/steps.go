package doc

// This file draws the steps of a set in plain characters: a line for each club in their order, with its value, its mark
// on a scale and the band in which the rule allows it, and between two clubs the step and what came of it.

import (
	"math"
	"strings"
)

// signs of a club by the tone of the step to it.
var signs = [...]byte{Plain: 'o', Pass: 'o', Open: '?', Fail: 'x'}

// stepsLegend explains the signs.
const stepsLegend = "o passes or comes first, x fails, ? cannot be told; [---] is where the rule allows a club beside the one " +
	"before it; < and > are beyond the scale."

// The columns of a line.
const (
	stepIndent = 4
	stepGaps   = 6  // between the columns
	nameRoom   = 14 // of the heading of the keys, at the most
	plotRoom   = 41 // of the scale, at the most
)

// grid are the columns of the steps of a set.
type grid struct {
	scale             Scale
	keys, clubs, side int // columns of the keys, the names, and the values
}

func newGrid(b *Steps) grid {
	g := grid{keys: Width(Shorten(b.Key, nameRoom)), clubs: len("club")}
	for _, s := range b.Stands {
		g.keys, g.clubs, g.side = max(g.keys, Width(s.Key)), max(g.clubs, Width(s.Name)), max(g.side, Width(s.Value))
		if s.Step != nil {
			g.side = max(g.side, Width(s.Step.Amount))
		}
	}
	g.scale = b.Scale(min(plotRoom, Columns-stepIndent-stepGaps-g.keys-g.clubs-g.side))
	return g
}

// left are the columns before the scale: keys and values against their right edge.
func (g grid) left(dst []byte, key, name, value string) []byte {
	dst = append(blanks(dst, stepIndent+g.keys-Width(key)), key...)
	dst = append(append(dst, "  "...), pad(name, g.clubs)...)
	return append(append(blanks(dst, 2+max(0, g.side-Width(value))), value...), "  "...)
}

func (t text) steps(dst []byte, b *Steps) []byte {
	dst = append(wrap(wrap(dst, b.Title, 2, 4), b.Sub, stepIndent, stepIndent), '\n')
	g := newGrid(b)
	if g.scale.columns > 0 {
		figures, marks := g.scale.ruler(g.scale.Marks(b.Unit, b.Figure))
		dst = endLine(append(g.left(dst, Shorten(b.Key, nameRoom), "club", ""), figures...))
		dst = endLine(append(g.left(dst, "", "", ""), marks...))
	}
	for i, s := range b.Stands {
		switch {
		case s.Before != "":
			dst = wrap(dst, s.Before, stepIndent, stepIndent+4)
		case s.Step != nil:
			dst = t.step(dst, g, s)
		case i > 0:
			dst = append(dst, '\n')
		}
		dst = t.stand(dst, g, s)
	}
	for _, p := range b.After {
		dst = t.para(dst, p, "")
	}
	return dst
}

// stand appends the line of a club.
func (t text) stand(dst []byte, g grid, s Stand) []byte {
	dst = g.left(dst, s.Key, s.Name, s.Value)
	if g.scale.columns == 0 {
		return endLine(dst)
	}
	sign := signs[s.Tone]
	if math.IsNaN(s.At) {
		sign = 0
	}
	before, mark, after := g.scale.plot(s.Allowed, s.At, sign, s.Tone != Fail)
	dst = append(dst, before...)
	from := len(dst)
	dst = append(dst, mark...)
	if sign != signs[Pass] {
		dst = t.paint(dst, from, len(dst), s.Tone, "")
	}
	return endLine(append(dst, after...))
}

// step appends the line between a club and the one before.
func (t text) step(dst []byte, g grid, s Stand) []byte {
	from := len(dst)
	dst = endLine(g.left(dst, "", strings.Repeat(" ", max(0, g.clubs-len(s.Step.Word)))+s.Step.Word, s.Step.Amount))
	dst = dst[:len(dst)-1]
	at := Width(string(dst[from:])) + 2
	from = len(dst)
	dst = flow(append(dst, "  "...), at, s.Step.Says, below(at, 0))
	if i := strings.Index(string(dst[from:]), s.Step.Strong); s.Step.Strong != "" && i >= 0 {
		dst = t.paint(dst, from+i, from+i+len(s.Step.Strong), s.Tone, "")
	}
	return dst
}
