package report_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"io"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/trial"
	"ferrule/lang/load"
)

const triedText = `rulebook "Tried"
rule lie-most
  for every iron
  require lie at most 64 deg
case "TITLE"
  club "a": iron 9, lie 64 deg
  club "b <&> ]]> ' é": iron 9, lie 65 deg
  expect lie-most on "a": pass
  expect lie-most on "b <&> ]]> ' é": pass
case "right"
  club a: iron 9, lie 65 deg
  expect lie-most on a: fail
`

// tried runs the cases of triedText, the title of the first in its place. What a book
// cannot hold is put into its tree.
func tried(t *testing.T, title string) []data.Tested {
	t.Helper()
	loaded, mistakes := load.Load(nil, []load.Root{{FS: fstest.MapFS{"b.ferrule": {Data: []byte(triedText)}}, Path: "b.ferrule", Show: "b\x1b[31m.ferrule"}})
	if mistakes.HasErrors() {
		t.Fatal(mistakes)
	}
	b := loaded.Roots[0]
	b.Cases[0].Title.Value = title
	outcomes := trial.Run(judge.Compile(loaded.Roots, loaded.Schema), b)
	return []data.Tested{{Book: b, Outcomes: outcomes, Coverage: trial.Cover(b, outcomes)}}
}

// The XML is read again by a reader that knows nothing of how it was written, and no text
// can put a character in that XML does not have (XML 1.0, 2.2).
func TestTestsAsXML(t *testing.T) {
	title := "on \"the\" <limit> & 'more' ]]> \x00\x01\x1b[31m\x7f\u202e\ufffe\uffff\xff\n\r end"
	var out bytes.Buffer
	if err := report.Tests(&out, tried(t, title), report.Options{Format: "junit"}); err != nil {
		t.Fatal(err)
	}
	for _, r := range out.String() {
		if unicode.IsControl(r) && r != '\n' || r == '\u202e' || r == '\ufffe' || r == '\uffff' {
			t.Errorf("the character %U stands in the XML", r)
		}
	}
	attrs := map[string]string{}
	count := map[string]int{}
	text := ""
	for dec := xml.NewDecoder(&out); ; {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			count[tok.Name.Local]++
			for _, a := range tok.Attr {
				if key := tok.Name.Local + " " + a.Name.Local; attrs[key] == "" {
					attrs[key] = a.Value
				}
			}
		case xml.CharData:
			text += string(tok)
		}
	}
	if count["testsuites"] != 1 || count["testsuite"] != 1 || count["testcase"] != 2 || count["failure"] != 1 {
		t.Errorf("elements: %v", count)
	}
	for key, want := range map[string]string{"testsuites tests": "2", "testsuites failures": "1", "testsuite tests": "2", "testsuite failures": "1", "testcase line": "5"} {
		if attrs[key] != want {
			t.Errorf("%s is %q, want %q", key, attrs[key], want)
		}
	}
	if name := attrs["testcase name"]; !strings.HasPrefix(name, `on "the" <limit> & 'more' ]]> `) || !strings.HasSuffix(name, " end") ||
		!strings.Contains(name, "\uFFFD\uFFFD\uFFFD[31m<U+007F><U+202E>\uFFFD\uFFFD<byte FF>") {
		t.Errorf("the name of the case is %q", name)
	}
	if !strings.Contains(text, `:9: lie-most on b <&> ]]> ' é: expected pass, got fail`) {
		t.Errorf("the failure says %q", text)
	}
}

// The members are those of the schema and no others.
func TestTestsAsJSON(t *testing.T) {
	var out bytes.Buffer
	if err := report.Tests(&out, tried(t, "limits"), report.Options{Format: "json"}); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Schema  string
		Summary struct{ Cases, Passed, Failed int }
		Cases   []struct {
			Book         string
			Line         int
			Case         string
			Passed       bool
			Expectations []struct{ Rule, On, Expected, Got string }
		}
		Coverage []struct {
			Rule       string
			Pass, Fail int
			TooClose   int `json:"too-close"`
			Missing    []string
		}
	}
	dec := json.NewDecoder(&out)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "ferrule.test/1" || got.Summary.Cases != 2 || got.Summary.Passed != 1 || got.Summary.Failed != 1 {
		t.Errorf("got %+v", got)
	}
	if c := got.Cases[0]; c.Line != 5 || c.Case != "limits" || c.Passed || len(c.Expectations) != 2 || c.Expectations[1].Expected != "pass" || c.Expectations[1].Got != "fail" {
		t.Errorf("got %+v", c)
	}
	// 65 deg is more than 1 % above 64 deg, so only inside the edge was looked at.
	if c := got.Coverage[0]; c.Pass != 1 || c.Fail != 1 || strings.Join(c.Missing, "; ") != "the upper edge from outside" {
		t.Errorf("got %+v", c)
	}
}
