package parser

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"ferrule/lang/source"
)

var update = flag.Bool("update", false, "write the table of testdata anew")

// written are the forms of clauses, each the last line of a book that it may stand in.
var written = []string{
	`rulebook "A"`, "rulebook \"A\"\n edition 2026-04-18", "rulebook \"A\"\n language 1", "rulebook \"A\"\n event \"Cup\"", "rulebook \"A\"\n contact \"Room\"", "rulebook \"A\"\n butt-mass 1 g/in",
	"rulebook \"A\"\n extension at most 1 in", "rulebook \"A\"\n decision simple", "rulebook \"A\"\n decision guarded acceptance at 95 %",
	"rulebook \"A\"\n decision guarded rejection at 95 %", "rulebook \"A\"\n decision three-way at 95 %",
	"use methods only a, b without c, d", `use "house.ferrule" without a`, "group g = iron 5 to 9, wedge \"PW\" except woods where loft > 3 deg",
	"property p length by m", "property p text one of \"a\", \"b\" else \"a\"", "property p yes-no else no", "property hand else right", "chart c of length by m per club", "chart c of loft per club\n iron 5, wedge \"PW\" = 35 in where hand = left",
	"let a = b + 3 deg", `method m "M"`, "method m\n covers every iron except iron 2 where loft > 3 deg", "method m\n stop at lie",
	"method m\n stop at 60 deg", "method m\n stop along axis", "method m\n top at cap edge", "method m\n top at cap end",
	"method m\n top at butt", "method m\n reads to 1/8 in", "method m\n lie-set within 1 deg", "method m\n ruler within 1 in",
	"allowance cap 1/8 in within 1/32 in where hand = left", "head driver where hand = left", "head driver\n reach 1 in within 1/4 in",
	`rule r "R"`, `advice r "R"`, "rule r\n for every iron 5 to 7 except woods where loft > 3 deg", "rule r\n for each set", "rule r\n for each set where x > 3 deg",
	"rule r\n for neighbours among iron where loft > 3 deg by length by m", "rule r\n require lie = 3 deg", "rule r\n require age born >= 16", "rule r\n require (today - made) at most 30 days", "rule r\n require number not in (3, 4)", "rule r\n require lie within 1 deg of first ordered lie", `group g = club where kind in (iron 5, wedge "PW")`,
	"rule r\n require x at most 3 in allowing 1 in", "rule r\n require x at least 3 in", "rule r\n require x below 3 in",
	"rule r\n require x above 3 in", "rule r\n require x between 3 in and 4 in allowing 1 in", "rule r\n require x is 3 in +/- 1 in",
	"rule r\n require x within 1 in of c allowing 1 in", "rule r\n require x within 2 % of c", "rule r\n unless x: exempt", "rule r\n else unless x: exempt", "rule r\n unless x: at most 3 in allowing 1 in",
	"rule r\n unless x: between 3 in and 4 in", "rule r\n decision simple", "rule r\n from 2026-04-18", "rule r\n until 2026-04-18",
	"rule r\n cite \"C\"", "rule r\n mend \"M\"", "rule r\n mend over \"M\"", `waive r "W"`, "waive r\n on d1 of Birch", "waive r\n on 5i, i6 of Birch", "waive r\n on 5i and D-2 of \"J. B\"", "waive r\n on set Birch", "waive r\n until 2026-06-01",
	`case "C"`, "case \"C\"\n set s", "case \"C\"\n on 2026-04-18",
	"case \"C\"\n club d1: iron 5, length 3 in +/- 1 in by m, hand left", "case \"C\"\n order d1: iron 5, lie 3 deg", "case \"C\"\n expect r on d1, d2 of s, d3: fail value 3 in +/- 1 in excepted mend \"M\"",
	"case \"C\"\n expect r on set: pass", "case \"C\"\n expect r on set s: fail mend \"M\" excepted value 3",
}

// TestCutOff holds what is said of each form of clause, cut off at each token, with a strange word in its place, and with
// the token misspelt, against the table of testdata, which a person has read.
func TestCutOff(t *testing.T) {
	var b strings.Builder
	for _, form := range written {
		above, line := "", form
		if i := strings.IndexByte(form, '\n'); i >= 0 {
			above, line = form[:i+1], form[i+1:]
		}
		fmt.Fprintf(&b, "\n%s\n", form)
		tokens, _ := scan(source.NewFile("", line), func(mistake) {})
		for _, tok := range tokens[1:] {
			before, after := line[:tok.Pos.Offset], line[tok.Pos.Column:]
			changes := []string{strings.TrimRight(before, " "), before + "zzz" + after, before + "7 in" + after}
			if tok.Type == typeName && len(tok.Value) > 1 {
				changes = append(changes, before+tok.Value[:1]+tok.Value+after)
			}
			for _, change := range append(changes, line+" zzz") {
				if change == line+" zzz" && after != "" {
					continue
				}
				file := source.NewFile("", above+change)
				_, list := Parse(file)
				fmt.Fprintf(&b, "\t%s\n", strings.TrimSpace(change))
				for _, d := range list {
					fmt.Fprintf(&b, "\t\t%q %s: %s; %s", file.Text[d.Span.Start:d.Span.End], d.Code, d.Message, d.Expected)
					for _, more := range append([]string{d.Hint, d.Mend.Text}, d.Notes...) {
						fmt.Fprintf(&b, "; %s", more)
					}
					b.WriteByte('\n')
				}
			}
		}
	}
	const path = "testdata/cutoff.txt"
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, want := strings.Split(b.String(), "\n"), strings.Split(readFile(t, path), "\n")
	for i := range got {
		if i >= len(want) || got[i] != want[i] {
			t.Fatalf("line %d of %s has changed:\n%s\nwas\n%s", i+1, path, got[i], strings.Join(want[min(i, len(want)):min(i+1, len(want))], ""))
		}
	}
}
