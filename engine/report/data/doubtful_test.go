package data

import (
	"fmt"
	"testing"

	"ferrule/engine/club"
)

// One note a sheet and text is enough for a text that no rule knows; of very many only the first are listed.
func TestDoubtfulOnce(t *testing.T) {
	var d Doubtful
	note := func(file, column, read string, once bool) {
		d.Add([]club.Doubt{{Row: club.Row{File: file}, Column: column, Read: read, Message: "m", Once: once}})
	}
	for range 2 {
		note("a.csv", "grip", "Thin", true)
		note("a.csv", "grip", "thin", true)
		note("b.csv", "grip", "Thin", true)
		note("a.csv", "flex", "Thin", true)
		note("a.csv", "flex", "midsze", false)
	}
	if len(d.List) != 5 {
		t.Errorf("%+v", d.List)
	}
	for i := range 1000 {
		note("c.csv", "grip", fmt.Sprint("text ", i), true)
	}
	if last := d.List[len(d.List)-1]; len(d.List) != 5+mostTexts+1 || last.Message == "m" || last.Read != fmt.Sprint("text ", mostTexts) {
		t.Errorf("%d notes, the last %+v", len(d.List), last)
	}
}
