package editor

import (
	"io/fs"
	"testing"

	"ferrule/lang/diag"
	"ferrule/rulesets"
)

// FuzzWords asks everything that is asked about a place at a place of a text, whatever the text is.
func FuzzWords(f *testing.F) {
	for _, code := range diag.Codes() {
		e, _ := diag.Explain(code)
		f.Add(e.Failing, len(e.Failing)/2)
	}
	for _, name := range rulesets.Names() {
		text, _ := fs.ReadFile(rulesets.FS(), name+".ferrule")
		f.Add(string(text[:min(len(text), 3000)]), 500)
	}
	f.Add(mainBook, 300)
	f.Fuzz(func(t *testing.T, text string, offset int) {
		if len(text) > 4000 {
			return
		}
		r := shopOf(text).ask(t, "main.ferrule", text+"|")
		r.Position, r.NewName = r.doc.Text.Position(offset), "zz-new"
		for method, feature := range features() {
			if feature.provider == "" {
				continue // not about a document
			}
			if _, err := feature.answer(r); err != nil && method != "textDocument/rename" {
				t.Errorf("%s: %v", method, err)
			}
		}
		colors := r.doc.colors()
		for i, c := range colors[min(1, len(colors)):] {
			if c.Start < colors[i].End {
				t.Errorf("%q and %q overlap", c.Text(), colors[i].Text())
			}
		}
	})
}
