// Package page draws a document as one HTML page for a customer or a committee, to read on a screen or to print. It
// needs nothing beside it, and reads as XML too. page.html is the layout of each block, page.go fills it in, and
// lanes.go and taken.go work out where things are in a picture. Every text goes through html/template, which escapes
// it.
package page

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"ferrule/engine/report/doc"
)

//go:embed page.html
var layout string

//go:embed taken.html
var takenLayout string

type page struct{ blocks *template.Template }

// New returns the drawing of a document as a page.
func New() doc.Drawing { return newPage().draw }

func newPage() *page {
	p := &page{}
	p.blocks = template.Must(template.New("").Funcs(template.FuncMap{
		"tone":  func(t doc.Tone) string { return tones[t] },
		"level": level,
		"class": func(b doc.Para) string { return strings.TrimSpace(tones[b.Tone] + " " + level(max(0, b.Level-1))) },
		"last":  func(i int, cells []string) bool { return i == len(cells)-1 },
		"sum":   func(a, b float64) float64 { return min(a+b, 1) },
		"sign":  func(t doc.Tone) string { return signs[t] },
		"lanes": lanes,
		"draw":  func(blocks []doc.Block) template.HTML { return template.HTML(p.draw(nil, blocks...)) },
	}).Parse(layout + takenLayout))
	return p
}

// steps are the steps of a set with their picture.
type steps struct {
	*doc.Steps
	Picture figured
}

var tones = [...]string{doc.Plain: "", doc.Pass: "pass", doc.Open: "open", doc.Fail: "fail"}

// signs are the shapes beside a verdict.
var signs = [...]string{doc.Plain: "", doc.Pass: "✓", doc.Open: "◇", doc.Fail: "✕"}

// level is the class that indents a block; none of the first level.
func level(n int) string {
	if n == 0 {
		return ""
	}
	return "in" + strconv.Itoa(min(n, 3))
}

func (p *page) draw(dst []byte, blocks ...doc.Block) []byte {
	for _, b := range blocks {
		switch b := b.(type) {
		case doc.Gap:
		case doc.Aside:
			dst = p.draw(dst, b...)
		case *doc.Steps:
			dst = p.fill(dst, "steps", steps{b, lanes(b.Lanes())})
		case *doc.Lanes:
			dst = p.fill(dst, "picture", lanes(b))
		case *doc.Curve:
			dst = p.fill(dst, "picture", curve(b))
		case *doc.Taken:
			dst = p.fill(dst, "taken", takenPicture(b))
		default: // the layout has a template for each block, by the name of its type
			dst = p.fill(dst, nameOf(b), b)
		}
	}
	return dst
}

// nameOf is the name of a block's type, in small letters.
func nameOf(b doc.Block) string {
	_, name, _ := strings.Cut(fmt.Sprintf("%T", b), ".")
	return strings.ToLower(name)
}

// fill appends a block of the layout, filled in.
func (p *page) fill(dst []byte, block string, with any) []byte {
	b := bytes.NewBuffer(dst)
	if err := p.blocks.ExecuteTemplate(b, block, with); err != nil {
		panic(err) // the layout is ours, and a buffer takes all
	}
	return b.Bytes()
}
