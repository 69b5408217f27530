package report_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"ferrule/engine/report"
	"ferrule/engine/report/wording"
)

// element is one element of a page with the text that is in it.
type element struct {
	name       string
	attributes map[string]string
	text       string
}

// readPage reads a page as XML, which it is written to be as well: every tag is closed in its
// order, or the page does not read.
func readPage(t interface{ Fatalf(string, ...any) }, page string) []*element {
	d := xml.NewDecoder(strings.NewReader(page))
	var all, open []*element
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, page)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attributes: map[string]string{}}
			for _, a := range token.Attr {
				e.attributes[a.Name.Local] = a.Value
			}
			all, open = append(all, e), append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, e := range open {
				e.text += string(token)
			}
		case xml.Comment, xml.ProcInst:
			t.Fatalf("the page holds %v", token)
		}
	}
}

// texts are the texts of the elements of a name.
func texts(page []*element, name string) []string {
	var out []string
	for _, e := range page {
		if e.name == name {
			out = append(out, e.text)
		}
	}
	return out
}

func TestThePageIsWellBuilt(t *testing.T) {
	for _, depth := range []report.Depth{report.Usual, report.Line, report.Steps, report.Full} {
		b := newBench(t)
		text := b.write(t, "html", report.Options{Depth: depth, Colour: true})
		if again := b.write(t, "html", report.Options{Depth: depth}); again != text {
			t.Errorf("at depth %v the same input gives another page", depth)
		}
		if !strings.HasPrefix(text, "<!DOCTYPE html>\n") || strings.Contains(text, "://") || strings.Contains(text, "url(") || strings.Contains(text, "@import") {
			t.Errorf("at depth %v the page does not stand by itself", depth)
		}
		page := readPage(t, text)
		if page[0].name != "html" || page[0].attributes["lang"] != "en" {
			t.Errorf("the page starts with %v", page[0])
		}
		if h := texts(page, "h1"); !slices.Equal(h, []string{"Quayside Spring Meeting"}) {
			t.Errorf("the first headings are %q", h)
		}
		level := 1
		for _, e := range page {
			switch {
			case len(e.name) == 2 && e.name[0] == 'h' && e.name[1] >= '1' && e.name[1] <= '6':
				if n := int(e.name[1] - '0'); n > level+1 {
					t.Errorf("the heading %q leaves out a level", e.text)
				} else {
					level = n
				}
			case e.name == "th" && e.attributes["scope"] != "col" && e.attributes["scope"] != "row":
				t.Errorf("the heading %q of a table has no scope", e.text)
			}
		}
	}
}

func TestThePageSaysWhatFailsFirst(t *testing.T) {
	page := readPage(t, newBench(t).write(t, "html", report.Options{}))
	body := strings.Join(strings.Fields(texts(page, "body")[0]), " ")
	at := -1
	for _, words := range []string{
		"Quayside Spring Meeting", "2026-05-02", "2026-04-18", "bags.csv", "DOES NOT PASS: of 4 clubs 1 fails, 1 has no verdict",
		"1 row could not be read; 1 place where the books contradict themselves",
		"Ada's bag bags.csv", "DOES NOT PASS:", "ClubLengthLie", "driver (d1)", "46 1/2 in by plane-60 ✕ fails", "60.9 ± 0.5 deg ◇ too close",
		"What it takes, in order", "Missing: length of 6 iron (i6\uFFFD[31m), for iron-steps", "driver (d1): Take 5/16 in off",
		"FAILS driver (d1): 46 1/2 in by plane-60; at most 46.2 in; 0.3 in too long [longest-club]", "Take 5/16 in off",
		"Limit: at most 46.2 in, with an allowance of 0.2 in. Value: 46 1/2 in", "46 1/2 in", "TOO CLOSE driver (d1): lie 60.9 deg",
		"[lie-of-woods]", "63.5 %", "CONFLICT", "advice driver (d1)", "D4", "Rows that could not be read", "fourty", "this is no length",
		"write 40 in", `rule longest-club "No club`, "cite \"Committee notice 3\"", "quayside.ferrule line 4",
		"Totals", "winter-grip, until 2026-02-28", "5 read = 4 judged + 1 refused",
		"books", "quayside.ferrule", "What the words mean", "Before you cut", "Measure again", "Signature",
	} {
		i := strings.Index(body[at+1:], strings.Join(strings.Fields(words), " "))
		if i < 0 {
			t.Fatalf("%q is not there, or not in its place, in\n%s", words, body)
		}
		at += 1 + i
	}
}

// inXML puts U+FFFD for characters that XML does not have (XML 1.0, 2.2).
func inXML(s string) (out string) {
	for s != "" {
		c, n := utf8.DecodeRuneInString(s)
		if c < ' ' && !strings.ContainsRune("\t\n\r", c) || c == '\ufffe' || c == '\uffff' {
			out += "\uFFFD"
		} else {
			out += s[:n]
		}
		s = s[n:]
	}
	return out
}

// Whatever is on a sheet or in a book, the page holds it as text and no tag of theirs.
func TestNoTextBreaksThePage(t *testing.T) {
	tags := []string{"html", "head", "meta", "title", "style", "body", "header", "main", "section", "article", "div", "h1", "h2", "h3", "h4", "p", "strong", "b", "span",
		"dl", "dt", "dd", "ul", "li", "pre", "table", "caption", "thead", "tbody", "tr", "th", "td", "ol",
		"svg", "desc", "rect", "path", "text"}
	attributes := []string{"lang", "charset", "name", "content", "http-equiv", "class", "scope", "tabindex", "role", "aria-label", "viewBox", "x", "y", "width", "height", "d",
		"text-anchor"}
	style := texts(readPage(t, newBench(t).write(t, "html", report.Options{})), "style")
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t)
		b.spoil(rt)
		depth := rapid.SampledFrom([]report.Depth{report.Usual, report.Line, report.Steps, report.Full}).Draw(rt, "depth")
		page := readPage(rt, b.write(t, "html", report.Options{Depth: depth}))
		for _, e := range page {
			if !slices.Contains(tags, e.name) {
				rt.Fatalf("the page holds a tag %q", e.name)
			}
			for a := range e.attributes {
				if !slices.Contains(attributes, a) {
					rt.Fatalf("the page holds an attribute %q of %s", a, e.name)
				}
			}
		}
		if !slices.Equal(texts(page, "style"), style) {
			rt.Fatal("the style is another")
		}
		body := texts(page, "body")[0]
		for _, s := range []string{b.set.Results[0].Subject.Clubs[0].ID, b.set.Results[0].Mend, b.set.Refused[0].Read, b.set.Refused[0].Message, b.head.Books[0].Title} {
			if depth == report.Line && s == b.set.Results[0].Mend {
				continue // on one line there is no mend
			}
			if want := wording.Visible(inXML(s)); !strings.Contains(body, want) {
				rt.Fatalf("%q is not on the page", want)
			}
		}
	})
}

// numbers are the numbers in a text, those of a path or of an amount such as "46 1/2".
func numbers(s string) (out []float64) {
	for _, f := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(s, -1) {
		n, err := strconv.ParseFloat(f, 64)
		if err == nil {
			out = append(out, n)
		}
	}
	return out
}

// What a number line shows is where the document for programs has it: the limit at 46.2 in and the driver at 46 1/2 in; the
// lie at 60.9 deg, off by up to 0.58 deg either way, its limit at 61 deg.
func TestNumberLinesAreToScale(t *testing.T) {
	page := readPage(t, newBench(t).write(t, "html", report.Options{}))
	type line struct{ ticks, limits, marks, unsure []float64 }
	var lines []*line
	for _, e := range page {
		switch class := e.attributes["class"]; {
		case class == "lanes":
			lines = append(lines, &line{})
		case len(lines) == 0:
		case e.name == "text" && e.attributes["text-anchor"] == "middle":
			value, parts := 0.0, numbers(strings.ReplaceAll(e.text, "/", " "))
			switch len(parts) {
			case 1:
				value = parts[0]
			case 3:
				value = parts[0] + parts[1]/parts[2]
			default:
				t.Fatalf("the figure %q", e.text)
			}
			l := lines[len(lines)-1]
			l.ticks = append(l.ticks, numbers(e.attributes["x"])[0], value)
		case class == "across":
			lines[len(lines)-1].limits = append(lines[len(lines)-1].limits, numbers(e.attributes["d"])[0])
		case class == "unsure":
			lines[len(lines)-1].unsure = numbers(e.attributes["d"])
		case strings.HasPrefix(class, "mark "):
			d := numbers(e.attributes["d"])
			x := d[0]
			if class == "mark fail" {
				x += 4.5 // the cross begins at its left
			}
			lines[len(lines)-1].marks = append(lines[len(lines)-1].marks, x)
		}
	}
	if len(lines) != 2 {
		t.Fatalf("%d number lines, want one for the length and one for the lie", len(lines))
	}
	for i, want := range []struct{ limit, value, off float64 }{{46.2, 46.5, 0}, {61, 60.9, 0.58}} {
		l := lines[i]
		n := len(l.ticks)
		a := (l.ticks[n-1] - l.ticks[1]) / (l.ticks[n-2] - l.ticks[0]) // a unit of the box, from the first mark and the last
		at := func(x float64) float64 { return l.ticks[1] + a*(x-l.ticks[0]) }
		near := func(what string, got, want float64) {
			if !(math.Abs(got-want) < 2*a) { // marks of the scale are placed on whole units
				t.Errorf("line %d: %s is at %v, want %v", i, what, got, want)
			}
		}
		near("the limit", at(l.limits[0]), want.limit)
		near("the value", at(l.marks[0]), want.value)
		if want.off > 0 {
			near("the lower end", at(l.unsure[0]), want.value-want.off)
		}
	}
}
