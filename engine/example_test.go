package engine_test

import (
	"fmt"
	"log"
	"os"
	"strings"
	"testing/fstest"

	"ferrule/engine"
	"ferrule/engine/report"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
)

// A book of two rules, a sheet of two clubs, and what came of it.
func Example() {
	files := fstest.MapFS{"house.ferrule": {Data: []byte(`rulebook "The house"

use methods

rule longest "No driver is longer than 46 in"
  for      every driver
  require  length by plane-60 at most 46 in

rule seven "A 7 iron lies at 62 to 63 degrees"
  for      every iron 7
  require  lie between 62 deg and 63 deg
`)}}
	books, mistakes := engine.Open(load.Root{FS: files, Path: "house.ferrule", Show: "house.ferrule"})
	if books == nil {
		diag.Render(os.Stdout, mistakes, diag.RenderOptions{})
		return
	}
	day, _ := book.ParseDay("2026-05-02")
	outcome, err := books.Check("bag.csv", strings.NewReader(`id,club,length (in),by,lie (deg)
d1,driver,46 1/4,plane-60,58
i7,7 iron,37,plane-60,62.5
`), "", day)
	if err != nil {
		log.Fatal(err)
	}
	for _, set := range outcome.Sets {
		for _, r := range set.Results {
			fmt.Println(r.Rule.Decl.Name.Text, "on", r.Subject.Name()+":", r.Verdict)
		}
	}
	if err := outcome.Write(os.Stdout, report.Options{Format: "short"}); err != nil {
		log.Fatal(err)
	}
	// Output:
	// longest on d1: fail
	// seven on i7: pass
	// bag.csv:2: fail longest: driver (d1): 46 1/4 in by plane-60; at most 46 in; 1/4 in too long
	// rows read 2, judged 2, refused 0; pass 1, fail 1, too-close 0, unmeasured 0, exempt 0, advised 0; on 2026-05-02
}

// A sheet beside what was ordered.
func ExampleRulebooks_CheckBeside() {
	files := fstest.MapFS{"house.ferrule": {Data: []byte(`rulebook "The house"
rule lies "The lie is as ordered, give or take a degree"
  for      every club
  require  lie within 1 deg of ordered lie
`)}}
	books, mistakes := engine.Open(load.Root{FS: files, Path: "house.ferrule", Show: "house.ferrule"})
	if books == nil {
		diag.Render(os.Stdout, mistakes, diag.RenderOptions{})
		return
	}
	day, _ := book.ParseDay("2026-05-02")
	order, problem := sheet.ReadOrder("order.csv", strings.NewReader("id,club,lie (deg)\ni7,7 iron,62\ni8,8 iron,62.5\n"),
		books.OrderOptions("", day))
	if problem != nil {
		log.Fatal(problem)
	}
	outcome, err := books.CheckBeside(order, "bag.csv", strings.NewReader("id,club,lie (deg)\ni7,7 iron,64\n"), "", day)
	if err != nil {
		log.Fatal(err)
	}
	if err := outcome.Write(os.Stdout, report.Options{Format: "short"}); err != nil {
		log.Fatal(err)
	}
	// Output:
	// order.csv:3: not on sheet: 8 iron (i8): ordered, and not on the sheet
	// bag.csv:2: fail lies: 7 iron (i7): lie 64 deg; between 61 and 63 deg; 1 deg over
	// rows read 1, judged 1, refused 0; pass 0, fail 1, too-close 0, unmeasured 0, exempt 0, advised 0; on 2026-05-02
}
