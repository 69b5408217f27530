package cli_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ferrule/cmd/internal/cli"
)

// called runs the command and returns what it prints.
func called(t *testing.T, in string, args ...string) (out string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = cli.Run(args, &cli.Streams{Now: today, In: strings.NewReader(in), Out: &stdout, Err: &stderr})
	return stdout.String(), code
}

// stated is the part of the schema "ferrule.diff/1" that the witnesses need.
type stated struct {
	Same    bool
	Changes []struct {
		Rule, What string
		Witness    struct {
			On      *string
			Rows    []json.RawMessage
			Subject struct {
				Of    string
				Clubs []string
			}
			Old, New *string
		}
	}
}

// The rows of every witness, fed to check as JSON Lines, give the verdicts that the witness states, by either book.
func TestWitnessesOfDiffAreJudgedSo(t *testing.T) {
	dir := t.TempDir()
	book := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	tools := `rulebook "Tools"
method dry "From the butt"
  covers every club
  stop   along axis
  top    at butt
  reads  to 1/8 in
method soled-here "Soled"
  covers every club except putter
  stop   at lie
  top    at cap edge
  reads  to 1/8 in
  ruler  within 1/64 in
method plane "On the plane"
  covers every club except putter
  stop   at 60 deg
  top    at cap edge
  reads  to 1/16 in
allowance cap 1/8 in within 1/32 in
head driver, fairway, hybrid, iron, wedge
  reach       1.75 in within 0.25 in
  camber      9 in within 2 in
  toe         4.2 in
  toe-radius  1.3 in
  heel        0.5 in
  heel-radius 0.6 in
property grip-model text
property shaft-made date
rule longest
  for     every club except putter
  require length by plane at most 46 in
  decision three-way at 95 %
rule dry-length
  for     every club
  require length by dry at most 46 in
rule gap
  for     neighbours among wedge by loft
  require rise of loft between 4 deg and 6 deg
  unless  first mark = "PW": between 4 deg and 8 deg
rule corded
  for     every club where grip-model = "Corded"
  require grip-diameter at least 0.9 in
rule shafts
  for     every iron
  require shaft-made >= 2020-01-01
rule beats
  for     every club
  require spread of frequency among readings at most 2 cpm
rule age
  for     every iron
  require lie at most (highest of lie among hybrid)
`
	change := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(tools) }
	old := book("old.ferrule", tools)
	for name, c := range map[string]struct {
		text string
		want string
	}{
		"a cap":         {change("cap 1/8 in", "cap 3/16 in"), "dry-length limit,longest limit"},
		"how sure":      {change("cap 1/8 in within 1/32 in", "cap 1/8 in within 1/16 in"), "longest limit"},
		"a head":        {change("reach       1.75 in", "reach       2 in"), "dry-length limit,longest limit"},
		"a graduation":  {change("reads  to 1/16 in", "reads  to 1/8 in"), "longest limit"},
		"a stop":        {change("stop   at 60 deg", "stop   at 61 deg"), "dry-length limit,longest limit"},
		"a method":      {change("method plane", "method the-plane", "length by plane", "length by the-plane"), "longest limit"},
		"a mark":        {change(`mark = "PW"`, `mark = "GW"`), "gap exception"},
		"a text":        {change(`"Corded"`, `"Cord"`), "corded scope"},
		"a day":         {change("2020-01-01", "2021-01-01"), "shafts limit"},
		"beats":         {change("2 cpm", "3 cpm"), "beats limit"},
		"hybrids":       {change("among hybrid", "among fairway"), "age limit"},
		"a sort":        {change("property shaft-made date", "property shaft-made count", ">= 2020-01-01", "> 2020"), "shafts limit"},
		"more to read":  {change("property grip-model text", "property shop yes-no\nproperty grip-model text"), ""},
		"all decisions": {change("rulebook \"Tools\"", "rulebook \"Tools\"\n  decision guarded acceptance at 95 %"), "age decision,corded decision,dry-length decision,gap decision"},
	} {
		next := book(strings.ReplaceAll(name, " ", "-")+".ferrule", c.text)
		out, code := called(t, "", "diff", old, next, "--format", "json")
		var d stated
		if err := json.Unmarshal([]byte(out), &d); err != nil {
			t.Errorf("%s: %v: %s", name, err, out)
			continue
		}
		var got []string
		for _, one := range d.Changes {
			got = append(got, one.Rule+" "+one.What)
		}
		slices.Sort(got)
		if strings.Join(got, ",") != c.want || d.Same != (c.want == "") || (code == 0) != d.Same {
			t.Errorf("%s: told %v, same %v, exit %d; want %s\n%s", name, got, d.Same, code, c.want, out)
		}
		for _, one := range d.Changes {
			w := one.Witness
			var rows strings.Builder
			for _, r := range w.Rows {
				var line bytes.Buffer
				if err := json.Compact(&line, r); err != nil {
					t.Fatal(err)
				}
				rows.Write(append(line.Bytes(), '\n'))
			}
			for file, want := range map[string]*string{old: w.Old, next: w.New} {
				args := []string{"check", "-", "--rules", file, "--format", "json"}
				if w.On != nil {
					args = append(args, "--on", *w.On)
				}
				out, _ := called(t, rows.String(), args...)
				if got := verdictIn(t, out, one.Rule, w.Subject.Of, w.Subject.Clubs); !same(got, want) {
					t.Errorf("%s: %s %s: %s states %s and check says %s on\n%s", name, one.Rule, one.What, file, word(want), word(got), rows.String())
				}
			}
		}
	}
}

// verdictIn finds what a report says of a subject by a rule; nil for nothing.
func verdictIn(t *testing.T, report, rule, of string, clubs []string) *string {
	t.Helper()
	var r struct {
		Results []struct {
			Rule, Verdict string
			Subject       struct {
				Of    string
				Clubs []string
			}
		}
	}
	if err := json.Unmarshal([]byte(report), &r); err != nil {
		t.Fatalf("%v: %s", err, report)
	}
	for _, one := range r.Results {
		if one.Rule == rule && one.Subject.Of == of && slices.Equal(one.Subject.Clubs, clubs) {
			return &one.Verdict
		}
	}
	return nil
}

func same(a, b *string) bool { return word(a) == word(b) }

func word(v *string) string {
	if v == nil {
		return "nothing"
	}
	return *v
}
