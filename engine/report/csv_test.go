package report_test

import (
	"encoding/csv"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/ast"
)

// hostile are pieces of text that mean something to a spreadsheet, a page or a terminal.
var hostile = []string{"=1+1", "+1", "-1", "@x", "＝1", "\t=1", "\r\n", "\n=1", ",", ";", "\"", "'", " ", "</td>", "</style>", "</pre>", "</title>", "<script>alert(1)</script>",
	"<img src=x onerror=alert(1)>", "<!--", "-->", "]]>", "&lt;", "&", "javascript:alert(1)", "{{.}}", "\x00", "\x1b[31m", "\u202e", "\ufeff", "\uffff", "\ufdd0", "\xff", "é", "馬", "a", "7"}

// anyText draws a text of hostile pieces and any other.
func anyText(t *rapid.T, label string) string {
	return strings.Join(rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(hostile), rapid.String()), 0, 4).Draw(t, label), "")
}

// spoil gives every text of a bench that comes from a sheet or a book any text.
func (b bench) spoil(t *rapid.T) {
	b.set.Bag.Name, b.set.Bag.File = anyText(t, "set"), anyText(t, "file")
	for _, c := range b.set.Bag.Clubs {
		c.ID, c.Name, c.Setting = anyText(t, "id"), anyText(t, "club"), anyText(t, "setting")
		c.Sheet.File, c.Method = b.set.Bag.File, anyText(t, "method")
	}
	for _, r := range b.set.Results {
		r.Subject.Set, r.Subject.File, r.Mend = b.set.Bag.Name, b.set.Bag.File, anyText(t, "mend")
		r.SpokenMend = r.Mend
		if value.Needs(r.Lacks) != nil {
			r.Lacks = []value.Lack{{Kind: value.InParts, Property: anyText(t, "need"), Words: anyText(t, "reason")},
				{Kind: value.InParts, Property: "x", Words: anyText(t, "another")}}
		}
		for i := range r.Steps {
			r.Steps[i].Name, r.Steps[i].Column, r.Steps[i].Note = anyText(t, "step"), anyText(t, "column"), anyText(t, "note")
			r.Steps[i].Club = anyText(t, "club of step")
		}
		if r.Rule.Decl.Title != nil {
			r.Rule.Decl.Title = &ast.Text{Value: anyText(t, "rule")}
		}
		if cites := r.Rule.Decl.Cites; cites != nil {
			cites[0].Text.Value = anyText(t, "cite")
		}
	}
	b.set.Conflicts[0].Rows = value.Lack{Kind: value.InParts, Words: anyText(t, "fault")}
	f := &b.set.Refused[0]
	f.Column, f.Read, f.Message, f.Hint, f.Set = anyText(t, "heading"), anyText(t, "read"), anyText(t, "message"), anyText(t, "hint"), b.set.Bag.Name
	b.head.Books[0].Title, b.head.Books[0].Name = anyText(t, "title"), anyText(t, "book")
}

// readTable reads a report back; each line has its cells by their headings.
func readTable(t interface{ Fatal(...any) }, text string) []map[string]string {
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll() // it refuses lines of other lengths
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, l := range lines[1:] {
		cells := map[string]string{}
		for i, name := range lines[0] {
			cells[name] = l[i]
		}
		out = append(out, cells)
	}
	return out
}

// The table says what the document for programs says, whose figures other tests hold.
func TestCSVHasTheFiguresOfTheDocument(t *testing.T) {
	b := newBench(t)
	lines := readTable(t, b.write(t, "csv", report.Options{}))
	type amount struct {
		Amount float64
		Unit   string
		Text   string
	}
	type limits struct{ Lower, Upper *amount }
	var want struct {
		Results []struct {
			Rule, Verdict, Decision, Weight string
			Line                            int
			Value, Margin                   *amount
			Uncertainty                     *amount `json:"standard_uncertainty"`
			Limit                           *limits
			Probability                     *float64 `json:"conformance_probability"`
			Needs                           []string
			Mend                            string
		}
	}
	if err := json.Unmarshal([]byte(b.write(t, "json", report.Options{})), &want); err != nil {
		t.Fatal(err)
	}
	same := func(where, cell string, f *float64) {
		if got, err := strconv.ParseFloat(cell, 64); (f == nil) != (cell == "") || f != nil && (err != nil || got != *f) {
			t.Errorf("%s is %q", where, cell)
		}
	}
	of := func(a *amount) *float64 {
		if a == nil {
			return nil
		}
		return &a.Amount
	}
	for _, r := range want.Results {
		i := slices.IndexFunc(lines, func(l map[string]string) bool {
			return l["record"] == "result" && l["rule"] == r.Rule && l["verdict"] == r.Verdict
		})
		if i < 0 {
			t.Fatalf("%s, %s is not there", r.Rule, r.Verdict)
		}
		l := lines[i]
		if r.Limit == nil {
			r.Limit = &limits{}
		}
		line := float64(r.Line)
		for name, f := range map[string]*float64{"value": of(r.Value), "margin": of(r.Margin), "standard_uncertainty": of(r.Uncertainty),
			"lower": of(r.Limit.Lower), "upper": of(r.Limit.Upper), "conformance_probability": r.Probability, "line": &line} {
			same(r.Rule+" "+name, l[name], f)
		}
		if r.Value != nil && (l["value_text"] != r.Value.Text || l["unit"] != r.Value.Unit) {
			t.Errorf("%s is %q, %q", r.Rule, l["value_text"], l["unit"])
		}
		if l["weight"] != r.Weight || l["decision"] != r.Decision || l["needs"] != strings.Join(r.Needs, "; ") || l["mend"] != r.Mend {
			t.Errorf("%s: %v", r.Rule, l)
		}
	}
	var records []string
	for _, l := range lines {
		records = append(records, strings.TrimRight(l["record"]+" "+l["verdict"], " "))
	}
	order := []string{"result fail", "result fail", "result too-close", "result unmeasured", "result pass", "result pass", "result exempt", "conflict", "refused", "book", "not_in_force", "summary"}
	if !slices.Equal(records, order) {
		t.Errorf("got %q, want %q", records, order)
	}
	last := lines[len(lines)-1]
	for name, n := range map[string]string{"rows_read": "5", "rows_judged": "4", "rows_refused": "1", "pass": "2", "fail": "1", "too-close": "1",
		"unmeasured": "1", "exempt": "1", "advised": "1", "conflicts": "1", "on": "2026-05-02"} {
		if last[name] != n {
			t.Errorf("the summary's %s is %q, want %q", name, last[name], n)
		}
	}
}

// Whatever is on a sheet or in a book, the table keeps its shape, and no text of theirs is a formula. That is a cell
// that starts with = + - @, a tab or a line's end (common practice), unless it is a number below 0.
func TestNoTextBreaksTheTableOrIsAFormula(t *testing.T) {
	numbers := []string{"line", "value", "standard_uncertainty", "lower", "upper", "acceptance_lower", "acceptance_upper", "rejection_lower",
		"rejection_upper", "margin", "conformance_probability", "exception_line"}
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t)
		b.spoil(rt)
		text := b.write(t, "csv", report.Options{})
		lines := readTable(rt, text)
		if len(lines) != 12 || strings.Count(text, "\n") != 13 {
			rt.Fatalf("%d records on %d lines, want 12 and a line of headings", len(lines), strings.Count(text, "\n"))
		}
		for _, l := range lines {
			for name, cell := range l {
				if slices.Contains(numbers, name) {
					if _, err := strconv.ParseFloat(cell, 64); cell != "" && err != nil {
						rt.Fatalf("%s is %q", name, cell)
					}
				} else if first := strings.TrimLeft(cell, " "); strings.HasPrefix(cell, "-") && len(cell) > 1 && strings.Trim(cell[1:], ".0123456789") == "" {
					continue // a number
				} else if first != "" && strings.ContainsAny(first[:1], "=+-@\t\r\n") {
					rt.Fatalf("%s is %q, a formula", name, cell)
				}
			}
		}
		for _, is := range []struct{ got, want string }{
			{lines[0]["clubs"], b.set.Results[0].Subject.Clubs[0].ID}, {lines[0]["set"], b.set.Bag.Name}, {lines[0]["file"], b.set.Bag.File},
			{lines[0]["mend"], b.set.Results[0].Mend}, {lines[8]["read"], b.set.Refused[0].Read}, {lines[9]["title"], b.head.Books[0].Title},
		} {
			if want := wording.Visible(is.want); is.got != want && is.got != "'"+want {
				rt.Fatalf("a cell is %q, want %q", is.got, want)
			}
		}
	})
}

func BenchmarkFormats(b *testing.B) {
	for _, format := range report.CheckFormats() {
		b.Run(format, func(b *testing.B) {
			one := newBench(b)
			b.ReportAllocs()
			for b.Loop() {
				one.write(b, format, report.Options{})
			}
			b.ReportMetric(float64(len(one.set.Results)*b.N)/b.Elapsed().Seconds(), "results/s")
		})
	}
}
