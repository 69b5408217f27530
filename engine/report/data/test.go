package data

// This file writes what the cases of rule books came to for other programs: the schema
// "ferrule.test/1", and the XML that servers which run tests read.

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Tested is what the cases of one book came to.
type Tested struct {
	Book     *book.Book
	Outcomes []trial.Outcome
	Coverage []trial.Coverage
	Added    []trial.Made // cases that were written into the book
	Left     []trial.Left // what no case could be worked out for
	Open     int          // cases that a person has still to confirm
}

// CaseRun is a case with its outcomes.
type CaseRun struct {
	Decl     *ast.Case
	Outcomes []trial.Outcome
}

// Right reports whether all is as the case expects.
func (c *CaseRun) Right() bool {
	return !slices.ContainsFunc(c.Outcomes, func(o trial.Outcome) bool { return !o.Right() })
}

// Cases groups outcomes by their cases; those of one case come one after the other.
func (t *Tested) Cases() []CaseRun {
	var out []CaseRun
	for _, o := range t.Outcomes {
		if n := len(out); n == 0 || out[n-1].Decl != o.Case {
			out = append(out, CaseRun{Decl: o.Case})
		}
		last := &out[len(out)-1]
		last.Outcomes = append(last.Outcomes, o)
	}
	return out
}

// Tests writes what the cases of books came to.
func Tests(w io.Writer, tool Tool, books []Tested) error {
	var cases, coverage []object
	passed := 0
	for i := range books {
		t := &books[i]
		for _, c := range t.Cases() {
			title := ""
			if c.Decl.Title != nil {
				title = c.Decl.Title.Value
			}
			if c.Right() {
				passed++
			}
			expectations := lists.Each(c.Outcomes, func(o trial.Outcome) object {
				e := o.Expect
				return object{"rule", e.Rule.Text, "on", wording.OnCase(e),
					"expected", wording.Expected(e), "got", wording.Got(&o)}
			})
			cases = append(cases, object{"book", t.Book.Name, "line", c.Decl.Span.Line(), "case", title,
				"passed", c.Right(), "expectations", expectations})
		}
		for _, c := range t.Coverage {
			coverage = append(coverage, object{"rule", nameOf(c.Rule), "pass", c.Pass, "fail", c.Fail,
				"too-close", c.TooClose, "missing", wording.Gaps(c.Missing)})
		}
	}
	d := newDocument(w, "json", "ferrule.test/1", tool)
	d.Member("summary", object{"cases", len(cases), "passed", passed, "failed", len(cases) - passed})
	list(d, "cases", cases)
	list(d, "coverage", coverage)
	return d.End()
}

type xmlSuites struct {
	XMLName  xml.Name   `xml:"testsuites"`
	Tests    int        `xml:"tests,attr"`
	Failures int        `xml:"failures,attr"`
	Suites   []xmlSuite `xml:"testsuite"`
}

type xmlSuite struct {
	Name     string    `xml:"name,attr"`
	Tests    int       `xml:"tests,attr"`
	Failures int       `xml:"failures,attr"`
	Cases    []xmlCase `xml:"testcase"`
}

type xmlCase struct {
	Name      string      `xml:"name,attr"`
	ClassName string      `xml:"classname,attr"`
	File      string      `xml:"file,attr"`
	Line      int         `xml:"line,attr"`
	Failure   *xmlFailure `xml:"failure"`
}

type xmlFailure struct {
	Message string `xml:"message,attr"`
	Text    string `xml:",cdata"`
}

// JUnit writes a suite for each book and a test for each case.
func JUnit(w io.Writer, books []Tested) error {
	var out xmlSuites
	for i := range books {
		t := &books[i]
		book := wording.Visible(t.Book.Name)
		suite := xmlSuite{Name: book}
		for _, c := range t.Cases() {
			one := xmlCase{Name: wording.CaseTitle(c.Decl), ClassName: book, File: book, Line: c.Decl.Span.Line()}
			var wrong []string
			for k := range c.Outcomes {
				if o := &c.Outcomes[k]; !o.Right() {
					wrong = append(wrong, fmt.Sprintf("%s:%d: %s on %s: %s", book, o.Expect.Span.Line(),
						o.Expect.Rule.Text, wording.OnCase(o.Expect), wording.Visible(wording.Outcome(o))))
				}
			}
			if wrong != nil {
				one.Failure = &xmlFailure{wording.Counted(len(wrong), "expectation is", "expectations are") +
					" not met", "\n" + strings.Join(wrong, "\n") + "\n"}
				suite.Failures++
			}
			suite.Tests++
			suite.Cases = append(suite.Cases, one)
		}
		out.Suites = append(out.Suites, suite)
		out.Tests += suite.Tests
		out.Failures += suite.Failures
	}
	text, err := xml.MarshalIndent(out, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, xml.Header+string(wording.ForXML(text))+"\n")
	return err
}
