package rulesets_test

import (
	"io/fs"
	"slices"
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/format"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// open loads a shipped book and fails the test where the book has a mistake or a warning.
func open(t *testing.T, name string) (*book.Book, *judge.Program) {
	t.Helper()
	loaded, mistakes := load.Load(rulesets.FS(), []load.Root{{Path: name}})
	for _, m := range mistakes {
		t.Errorf("%s:%d: %s", m.Span.File.Name, m.Span.Line(), m.Message)
	}
	if len(mistakes) > 0 {
		t.FailNow()
	}
	return loaded.Roots[0], judge.Compile(loaded.Roots, loaded.Schema)
}

func TestNames(t *testing.T) {
	want := []string{"equipment-rules", "harbour-house", "long-drive", "methods", "model-local-46", "order-house", "spring-scramble"}
	if got := rulesets.Names(); !slices.Equal(got, want) {
		t.Errorf("the shipped books are %v, want %v", got, want)
	}
}

// Each expectation of the shipped books was worked out by hand from the figure beside its rule.
func TestCasesHold(t *testing.T) {
	for _, name := range rulesets.Names() {
		t.Run(name, func(t *testing.T) {
			book, program := open(t, name)
			outcomes := trial.Run(program, book)
			if len(outcomes) == 0 && len(book.Rules) > 0 {
				t.Error("the book has rules, and no case")
			}
			for _, o := range outcomes {
				if !o.Right() {
					t.Errorf("line %d: %s: %s", o.Expect.Span.Line(), o.Expect.Rule.Text, o.Words())
				}
			}
		})
	}
}

// A rule says where it comes from, and its book shows in cases how it passes, how it
// fails, and what it says of a club that was not measured.
func TestRulesAreCitedAndTried(t *testing.T) {
	// What these rules look at is always known: the clubs of the bag, or who has a second grip.
	alwaysKnown := []string{"clubs-carried", "grip-gap", "four-wedges", "shaft-readings"}
	for _, name := range rulesets.Names() {
		book, _ := open(t, name)
		tried := map[string]map[string]bool{}
		for _, c := range book.Cases {
			for _, e := range c.Expects {
				if tried[e.Rule.Text] == nil {
					tried[e.Rule.Text] = map[string]bool{}
				}
				tried[e.Rule.Text][e.Verdict.Text] = true
			}
		}
		for _, r := range book.Rules {
			rule := r.Decl.Name.Text
			if len(r.Decl.Cites) == 0 {
				t.Errorf("%s: %s does not say where it comes from", name, rule)
			}
			for _, verdict := range []string{"pass", "fail", "unmeasured"} {
				if !tried[rule][verdict] && !(verdict == "unmeasured" && slices.Contains(alwaysKnown, rule)) {
					t.Errorf("%s: no case expects %s of %s", name, verdict, rule)
				}
			}
			for _, u := range r.Decl.Unless {
				if u.Bound == nil && !tried[rule]["exempt"] {
					t.Errorf("%s: no case expects exempt of %s", name, rule)
				}
			}
			if r.Decision.Kind == ast.ThreeWay && !tried[rule]["too-close"] && r.Decl.For.Kind == ast.OfClub {
				t.Errorf("%s: no case expects too-close of %s", name, rule)
			}
		}
	}
}

// Cases show each rule of a shipped book from all sides, and a person has looked at each.
func TestCasesShowEveryRuleWhole(t *testing.T) {
	for _, name := range rulesets.Names() {
		book, program := open(t, name)
		for _, c := range trial.Cover(book, trial.Run(program, book)) {
			for _, gap := range c.Missing {
				t.Errorf("%s: no case shows %s of %s", name, gap, c.Rule.Decl.Name.Text)
			}
		}
		for _, c := range book.Tree.Comments {
			if c.Text == trial.Mark {
				t.Errorf("%s:%d: a case is still to be confirmed", name, c.Span.Line())
			}
		}
	}
}

func TestBooksAreLaidOut(t *testing.T) {
	for _, name := range rulesets.Names() {
		text, err := fs.ReadFile(rulesets.FS(), name+".ferrule")
		if err != nil {
			t.Fatal(err)
		}
		tree, mistakes := parser.Parse(source.NewFile(name, string(text)))
		if len(mistakes) > 0 {
			t.Errorf("%s: %s", name, mistakes[0].Message)
		} else if format.Format(tree) != string(text) {
			t.Errorf("%s is not laid out as it would be", name)
		}
	}
}
