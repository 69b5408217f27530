package load_test

import (
	"testing"
	"testing/fstest"

	"ferrule/lang/diag"
	"ferrule/lang/load"
)

// aside are the codes whose examples would fill pages, or need a machine that refuses a file.
var aside = map[diag.Code]bool{diag.BookTooLarge: true, diag.FormulaTooLong: true, diag.TooManyMistakes: true, diag.TooManyBooks: true,
	diag.TooMuchWork: true, diag.BookUnread: true}

// beside is a small book that stands in the folder of each example.
const beside = "property made date\nrule shallow \"S\"\n  for every putter\n  require loft at most 10 deg\n"

// vet loads the text as a book beside house.ferrule and returns its mistakes.
func vet(text string) diag.List {
	files := fstest.MapFS{"book.ferrule": {Data: []byte(text)}, "house.ferrule": {Data: []byte(beside)}}
	_, list := load.Load(nil, []load.Root{{FS: files, Path: "book.ferrule", Show: "book.ferrule"}})
	return list
}

// Every code's failing example gives just that code, and its mended form nothing.
func TestExamplesOfCodes(t *testing.T) {
	for _, code := range diag.Codes() {
		entry, ok := diag.Explain(code)
		if !ok || entry.Title == "" || entry.Why == "" {
			t.Errorf("%s is not explained", code)
		}
		if aside[code] != (entry.Failing == "") || aside[code] != (entry.Mended == "") {
			t.Errorf("%s: its examples are there or not, against what is known of it", code)
			continue
		}
		if aside[code] {
			continue
		}
		list := vet(entry.Failing)
		if len(list) == 0 {
			t.Errorf("%s: its failing example has no mistake", code)
		}
		for _, d := range list {
			if d.Code != code {
				t.Errorf("%s: its failing example gives %s: %s", code, d.Code, d.Message)
			}
		}
		for _, d := range vet(entry.Mended) {
			t.Errorf("%s: its mended example gives %s: %s", code, d.Code, d.Message)
		}
	}
}
