package cli_test

import (
	"bytes"
	"os"
	"testing"

	"ferrule/cmd/internal/cli"
	"ferrule/engine"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/lang/book"
	"ferrule/lang/load"
)

// Another Go program gets the reports that the command writes.
func TestReportsOfAnotherProgram(t *testing.T) {
	t.Chdir("../../../testdata/readme")
	day, _ := book.ParseDay("2026-05-02")
	books, mistakes := engine.Open(load.Root{FS: os.DirFS("."), Path: "bench.ferrule", Show: "bench.ferrule"})
	if mistakes.HasErrors() {
		t.Fatal(mistakes)
	}
	for _, sheet := range []string{"bench.csv", "tidy.csv", "../spring.csv"} {
		text, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		outcome, err := books.Check(sheet, bytes.NewReader(text), "", day)
		if err != nil {
			t.Fatal(err)
		}
		for _, format := range report.CheckFormats() {
			var got, want, errs bytes.Buffer
			if err := outcome.Write(&got, report.Options{Format: format, Tool: data.Tool{Name: "ferrule", Version: "test"}}); err != nil {
				t.Fatal(err)
			}
			cli.Run([]string{"check", sheet, "--rules", "bench.ferrule", "--on", "2026-05-02", "--format", format}, &cli.Streams{Now: today, Version: "test", Out: &want, Err: &errs})
			if want.Len() == 0 || !bytes.Equal(got.Bytes(), want.Bytes()) {
				t.Errorf("%s as %s: the reports differ: %d and %d bytes", sheet, format, got.Len(), want.Len())
			}
		}
	}
}
