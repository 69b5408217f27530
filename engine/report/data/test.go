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

// Cases groups outcomes by their cases, which stand together.
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

type jsonExpectation struct {
	Rule     string `json:"rule"`
	On       string `json:"on"`
	Expected string `json:"expected"`
	Got      string `json:"got"`
}

type jsonCase struct {
	Book         string            `json:"book"`
	Line         int               `json:"line"`
	Case         string            `json:"case"`
	Passed       bool              `json:"passed"`
	Expectations []jsonExpectation `json:"expectations"`
}

type jsonCoverage struct {
	Rule     string   `json:"rule"`
	Pass     int      `json:"pass"`
	Fail     int      `json:"fail"`
	TooClose int      `json:"too-close"`
	Missing  []string `json:"missing"`
}

type jsonTests struct {
	top
	Summary struct {
		Cases  int `json:"cases"`
		Passed int `json:"passed"`
		Failed int `json:"failed"`
	} `json:"summary"`
	Cases    []jsonCase     `json:"cases"`
	Coverage []jsonCoverage `json:"coverage"`
}

// Tests writes what the cases of books came to.
func Tests(w io.Writer, tool Tool, books []Tested) error {
	out := jsonTests{top: topOf("ferrule.test/1", tool), Cases: []jsonCase{}, Coverage: []jsonCoverage{}}
	for i := range books {
		t := &books[i]
		for _, c := range t.Cases() {
			one := jsonCase{Book: t.Book.Name, Line: c.Decl.Span.Line(), Passed: c.Right(),
				Expectations: each(c.Outcomes, func(o trial.Outcome) jsonExpectation {
					e := o.Expect
					return jsonExpectation{e.Rule.Text, wording.OnCase(e), wording.Expected(e), wording.Got(&o)}
				})}
			if c.Decl.Title != nil {
				one.Case = c.Decl.Title.Value
			}
			out.Cases = append(out.Cases, one)
			out.Summary.Cases++
			if one.Passed {
				out.Summary.Passed++
			} else {
				out.Summary.Failed++
			}
		}
		for _, c := range t.Coverage {
			out.Coverage = append(out.Coverage,
				jsonCoverage{c.Rule.Decl.Name.Text, c.Pass, c.Fail, c.TooClose, wording.Gaps(c.Missing)})
		}
	}
	return write(w, out)
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
