package doc

// Text is held to its page: whatever blocks hold, no line is wider than it.

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestTextKeepsToThePage(t *testing.T) {
	escape := regexp.MustCompile("\x1b\\[[0-9;]*m")
	rapid.Check(t, func(t *rapid.T) {
		words := func(label string) string {
			return strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{"a", "club", "46 1/2 in", "é", "球杆", "longest-club", "+/-", strings.Repeat("unbroken", 20)}), 0, 30).Draw(t, label), " ")
		}
		tone := Tone(rapid.IntRange(0, 3).Draw(t, "tone"))
		level := rapid.IntRange(0, 4).Draw(t, "level")
		var facts []Fact
		table := Table{Level: level, Heads: []string{"one", "two", "three", "four"}}
		for range rapid.IntRange(0, 4).Draw(t, "facts") {
			facts = append(facts, Fact{Shorten(words("label")+"-", 60), Shorten(words("amount")+"-", 30), words("note"), level})
			table.Rows = append(table.Rows, Row{Cells: []string{"club", words("cell"), words("cell"), words("cell")}})
		}
		blocks := []Block{Head{"Title", words("right"), []string{words("note"), words("note")}}, Outcome{tone, words("lead"), words("text")},
			Para{Tone: tone, Lead: words("lead"), Text: words("text"), Level: level, Hang: 1}, List{words("item")}, Facts{level, facts},
			&Finding{Tone: tone, Stamp: Shorten(words("stamp")+"-", 20), Text: words("text"), Next: words("next"), Title: words("title"), Facts: facts, Mend: words("mend"), Rule: &Source{"b line 4", []string{words("line"), "  " + words("clause")}}}, &table, Gap{}, End{}}
		plain, coloured := string(Text(false)(nil, blocks...)), string(Text(true)(nil, blocks...))
		if bare := escape.ReplaceAllString(coloured, ""); bare != plain {
			t.Fatalf("without its colours\n%s\nwant\n%s", bare, plain)
		}
		for line := range strings.Lines(plain) {
			if n := Width(strings.TrimRight(line, "\n")); n > Columns {
				t.Fatalf("%d columns: %s", n, line)
			}
			if strings.TrimRight(line, " \n")+"\n" != line {
				t.Fatalf("a line ends in blanks: %q", line)
			}
		}
	})
}

// No line ends between a number and its fraction or its unit.
func TestFiguresStayOnOneLine(t *testing.T) {
	for lead := range 79 {
		text := strings.Repeat("x", lead) + " by 1 9/16 in. and +/- 2 deg"
		for _, broken := range []string{"1\n", "16\n", "2\n", "-\n"} {
			if got := string(Text(false)(nil, Para{Text: text})); strings.Contains(got, broken) {
				t.Errorf("%q has a figure on two lines", got)
			}
		}
	}
}

// What does not fit goes below its row, led by its heading.
func TestAWideTable(t *testing.T) {
	long := strings.Repeat("far ", 20)
	got := string(Text(false)(nil, &Table{Level: 1, Heads: []string{"club", "then", "after that"}, Rows: []Row{
		{Cells: []string{"i5", "38 in", strings.TrimSpace(long)}, Below: []Block{Para{Text: "held", Level: 2}}}, {Cells: []string{"i6", "37 in", ""}}}}))
	want := "  club  then\n  i5    38 in\n      after that far far far far far far far far far far far far far far far far\n" +
		"        far far far far\n    held\n  i6    37 in\n"
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// What explains a page to one who was not there is left out.
func TestTextLeavesAsidesOut(t *testing.T) {
	if got := Text(true)(nil, Aside{Para{Text: "what the words mean"}}, Apart{}, End{}); len(got) > 0 {
		t.Errorf("got %q", got)
	}
}
