package trial_test

import (
	"os"
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// The books of testdata say by their cases what each construct of the language
// means; every expectation in them was worked out by hand.
func TestCasesSayWhatTheLanguageMeans(t *testing.T) {
	for _, name := range []string{"missing", "neighbours", "gapping", "sets", "clauses", "lengths", "mends", "lists", "ordered"} {
		t.Run(name, func(t *testing.T) {
			loaded, mistakes := load.Load(rulesets.FS(), []load.Root{{FS: os.DirFS("testdata"), Path: name + ".ferrule", Show: name + ".ferrule"}})
			for _, m := range mistakes {
				t.Errorf("%s:%d: %s", m.Span.File.Name, m.Span.Line(), m.Message)
			}
			if mistakes.HasErrors() {
				t.FailNow()
			}
			book := loaded.Roots[0]
			outcomes := trial.Run(judge.Compile(loaded.Roots, loaded.Schema), book)
			if len(outcomes) == 0 {
				t.Fatal("no expectations")
			}
			for _, o := range outcomes {
				if !o.Right() {
					t.Errorf("line %d: %s: %s", o.Expect.Span.Line(), o.Expect.Rule.Text, o.Words())
				}
			}
		})
	}
}
