package cli_test

import (
	"encoding/json"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const drawnBook = "rulebook \"The bench\"\n\nuse methods\n\nrule longest\n  for every club\n  require length by soled at most 38 in allowing 0.1 in\n\n" +
	"rule drops\n  for neighbours among iron by number\n  require drop of length by soled per number is 1/2 in +/- 1/8 in\n"

// drawn is a picture on a scale read back: its title, and in the unit of the scale the ends of its stretches, from the top
// down, its readings and the lines across it.
type drawn struct {
	title                   string
	ends, readings, through []float64
	points                  []float64 // the places of a curve's points, each with how far down it is
	unit                    float64   // how much a step of the box is
}

// picturesOf reads the pictures of a page back. Their scale is that of the figures below them, which are whole inches,
// halves, quarters, eighths or decimals.
func picturesOf(t *testing.T, page string) (all []drawn) {
	t.Helper()
	number := func(s string) float64 {
		f, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	figure := regexp.MustCompile(`<text x="(\d+)" y="\d+" text-anchor="middle">(\d[\d.]*)?(?: ?(\d+)/(\d+))?</text>`)
	rect := regexp.MustCompile(`<rect class="[a-z ]+" x="([\d.]+)" y="\d+" width="([\d.]+)"`)
	mark := regexp.MustCompile(`<path class="mark (\w*)" d="M([\d.]+) `)
	across := regexp.MustCompile(`<path class="across" d="M([\d.]+) `)
	curve := regexp.MustCompile(`<path class="curve passes" d="(M[^h"]*)"`)
	for _, svg := range regexp.MustCompile(`(?s)<svg class="lanes".*?</svg>`).FindAllString(page, -1) {
		var x, value []float64
		for _, m := range figure.FindAllStringSubmatch(svg, -1) {
			v := 0.0
			if m[2] != "" {
				v = number(m[2])
			}
			if m[3] != "" {
				v += number(m[3]) / number(m[4])
			}
			x, value = append(x, number(m[1])), append(value, v)
		}
		last := len(x) - 1
		if last < 1 {
			t.Fatalf("a scale of %d figures in %s", len(x), svg)
		}
		one := drawn{unit: (value[last] - value[0]) / (x[last] - x[0])}
		at := func(s string, add float64) float64 { return value[0] + one.unit*(number(s)+add-x[0]) }
		_, title, _ := strings.Cut(svg, "<title>")
		one.title, _, _ = strings.Cut(title, "</title>")
		for _, m := range rect.FindAllStringSubmatch(svg, -1) {
			one.ends = append(one.ends, at(m[1], 0), at(m[1], number(m[2])))
		}
		for _, m := range mark.FindAllStringSubmatch(svg, -1) {
			// A cross begins at its left and above, a square at its left, 7 wide.
			one.readings = append(one.readings, at(m[2], map[string]float64{"fail": 4.5, "pass": 3.5}[m[1]]))
		}
		for _, m := range across.FindAllStringSubmatch(svg, -1) {
			one.through = append(one.through, at(m[1], 0))
		}
		if m := curve.FindStringSubmatch(svg); m != nil {
			for _, p := range strings.FieldsFunc(m[1], func(r rune) bool { return r == 'M' || r == 'L' }) {
				px, down, _ := strings.Cut(p, " ")
				one.points = append(one.points, at(px, 0), number(down))
			}
		}
		all = append(all, one)
	}
	return all
}

// near compares places. A mark of a scale is on a whole unit of the box.
func (d *drawn) near(t *testing.T, what string, got []float64, want ...float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s of %q: %v, want %v", what, d.title, got, want)
		return
	}
	for i := range want {
		if math.Abs(got[i]-want[i]) > 2*d.unit {
			t.Errorf("%s %d of %q is at %v, want %v", what, i, d.title, got[i], want[i])
		}
	}
}

// What the pictures of steps, plans, comparisons and curves show is where the documents for programs have it.
func TestPicturesAreWhereTheFiguresAre(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		write(t, filepath.Join(dir, name), text)
		return filepath.Join(dir, name)
	}
	book, later := file("a.ferrule", drawnBook), file("b.ferrule", strings.Replace(drawnBook, "38 in", "37 1/4 in", 1))
	bag := file("bag.csv", "id,club,length,by,lie\ni5,5 iron,38 1/2 in,soled,61 deg\ni6,6 iron,37 1/2 in,soled,61.5 deg\ni7,7 iron,37 1/8 in,soled,62 deg\n")
	other := file("other.csv", "id,club,length,by,lie\ni5,5 iron,38 1/4 in,soled,61 deg\n")
	shafts := file("shafts.csv", "id,club,shaft,raw-length,tip-trim,bore,target-length,by,lie\ni5,5 iron,s3,40 in,1/2 in,1 in,38 in,soled,61 deg\n")
	type amount struct{ Amount float64 }
	type result struct {
		Rule      string
		Value     *amount
		Limit     *struct{ Lower, Upper *amount }
		From, To  *amount
		Finished  *amount
		LeftOver  *amount `json:"left_over"`
		Different *amount `json:"difference"`
	}
	var said struct {
		Results []result
		Sets    []struct{ Clubs []result }
		Limit   struct{ Upper amount }
		Curve   []struct {
			True amount
			Pass float64
		}
	}
	read := func(args ...string) []drawn {
		t.Helper()
		said.Results, said.Sets, said.Curve = nil, nil, nil
		text, _ := called(t, "", append(args, "--format", "json")...)
		if err := json.Unmarshal([]byte(text), &said); err != nil {
			_, why := ferrule(args...)
			t.Fatal(err, why)
		}
		page, _ := called(t, "", append(args, "--format", "html")...)
		return picturesOf(t, page)
	}
	var long, steps []float64
	for _, p := range read("check", bag, "--rules", book) {
		for _, r := range said.Results {
			switch {
			case r.Rule == "longest" && r.Value.Amount > r.Limit.Upper.Amount && strings.HasPrefix(p.title, "5 iron"):
				long = p.ends // the limit with its allowance ends the first stretch or the one behind it
				p.near(t, "the reading", p.readings, r.Value.Amount)
				p.near(t, "the limit", p.ends[len(p.ends)-1:], r.Limit.Upper.Amount)
				p.near(t, "where the allowance begins", p.ends[1:2], r.Limit.Upper.Amount-0.1)
			case r.Rule == "drops" && strings.Contains(p.title, "drops"):
				i := len(steps) / 2
				steps = append(steps, p.readings[i]-r.Limit.Upper.Amount, p.readings[i]-r.Limit.Lower.Amount)
				p.near(t, "the step", []float64{p.readings[i] - p.readings[i+1]}, r.Value.Amount)
				if len(steps) == 4 {
					p.near(t, "the readings", p.readings, 38.5, 37.5, 37.125)
					p.near(t, "what is allowed", p.ends, steps...)
				}
			}
		}
	}
	if len(long) == 0 || len(steps) != 4 {
		t.Errorf("the pictures of a check are not there: %v, %v", long, steps)
	}
	one := func(all []drawn) drawn {
		t.Helper()
		if len(all) != 1 {
			t.Fatalf("%d pictures, want 1", len(all))
		}
		return all[0]
	}
	p := one(read("trim", bag, "--rules", book))
	for i, c := range said.Sets[0].Clubs {
		k := max(0, 2*i+2*min(i, 1)) // behind the first club is what comes off it
		p.near(t, "a cut", p.ends[k+1:k+2], c.To.Amount)
		if c.From.Amount != c.To.Amount {
			p.near(t, "what comes off", p.ends[2:4], c.To.Amount, c.From.Amount)
		}
	}
	p = one(read("build", shafts, "--rules", book))
	b := said.Results[0]
	p.near(t, "the shaft", p.ends[:6], 0.5, 0.5+b.Finished.Amount, 40-b.LeftOver.Amount, 40, 0, 0.5)
	p = one(read("agree", bag, other, "--rules", book))
	p.near(t, "two readings", p.readings, 38.5, 38.5+math.Copysign(said.Results[0].Different.Amount, -1))
	p = one(read("risk", "--rules", book, "--rule", "longest", "--by", "soled", "--like", "iron 5, lie 61 deg"))
	p.near(t, "the limit", p.through, said.Limit.Upper.Amount)
	for i, c := range said.Curve {
		p.near(t, "a point", p.points[2*i:2*i+1], c.True.Amount)
		if down := 22 + 150*(1-c.Pass); math.Abs(p.points[2*i+1]-down) > 0.01 {
			t.Errorf("a point of the curve is %v down, want %v", p.points[2*i+1], down)
		}
	}
	p = one(read("diff", book, later))
	p.near(t, "what was allowed and is, each without and with its allowance", []float64{p.ends[1], p.ends[3], p.ends[5], p.ends[7]}, 38, 38.1, 37.25, 37.35)
}
