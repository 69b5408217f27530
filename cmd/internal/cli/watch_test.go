package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ferrule/cmd/internal/cli"
)

// A program that saves a sheet may empty it first, write it in pieces, or take it away and put another in its place;
// none of that is judged, nor told of as damaged. What stays away for long is.
func TestWatchJudgesWhatWasSavedWhole(t *testing.T) {
	dir := t.TempDir()
	sheet, house, order := filepath.Join(dir, "bag.csv"), filepath.Join(dir, "house.ferrule"), filepath.Join(dir, "order.csv")
	put := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	take := func() {
		if err := os.Remove(sheet); err != nil {
			t.Fatal(err)
		}
	}
	const head = "id,club,lie (deg)\n"
	put(house, lies)
	put(sheet, head+"i5,5 iron,60\n")
	put(order, "id,club\ni5,6 iron\n")
	var out, errs bytes.Buffer
	judged := func() int { return strings.Count(out.String(), "rows read") }
	steps := []struct {
		do    func() // before the next look; nil: nothing
		looks int    // looks until the next step
		runs  int    // judged by then, the first time included
		says  string // on the error stream, since the step
	}{
		{nil, 50, 1, ""},
		{func() { put(sheet, "") }, 5, 1, ""},
		{func() { put(sheet, head+"i5,5 ir") }, 1, 1, ""},
		{func() { put(sheet, head+"i5,5 iron,60\ni6,6 iron,62\n") }, 5, 2, "judged again: " + sheet + " changed"},
		{take, 5, 2, ""},
		{func() { put(sheet, head+"i5,5 iron,60.5\n") }, 5, 3, "judged again"},
		{func() { put(house, strings.Replace(lies, "61 deg", "60 deg", 1)) }, 5, 4, "house.ferrule changed"},
		{func() { put(house, "rule") }, 5, 4, "house.ferrule:1:"},
		{func() { put(house, lies) }, 5, 5, "judged again"},
		{take, 50, 5, "there is no file"},
		{func() { put(sheet, head+"i5,5 iron,60\n") }, 5, 6, "judged again"},
		{func() { put(order, "id,club\ni5,5 iron\n") }, 5, 7, "order.csv changed"},
	}
	step, look, from := 0, 0, 0
	wait := func() bool {
		if look < steps[step].looks {
			look++
			return true
		}
		said := errs.String()[from:]
		if judged() != steps[step].runs || !strings.Contains(said, steps[step].says) || steps[step].says == "" && step > 0 && said != "" {
			t.Errorf("step %d: judged %d times, want %d; it said %q", step, judged(), steps[step].runs, said)
		}
		if step++; step == len(steps) {
			return false
		}
		look, from = 0, errs.Len()
		steps[step].do()
		return true
	}
	args := []string{"check", sheet, "--rules", house, "--on", "2026-05-02", "--format", "short", "--watch", "--order", order}
	code := cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &errs, Wait: wait})
	if code != 0 || step != len(steps) {
		t.Errorf("exit code %d after %d of %d steps: %s", code, step, len(steps), errs.String())
	}
	for _, wrong := range [][]string{{"check", "-", "--watch"}, {"check", sheet, "--order", "-", "--watch"}, {"check", "--watch"}, {"check", filepath.Join(dir, "none.csv"), "--watch"}} {
		errs.Reset()
		if code := cli.Run(wrong, &cli.Streams{Now: today, Out: &out, Err: &errs, Wait: func() bool { t.Error("it waits"); return false }}); code != 3 || errs.Len() == 0 {
			t.Errorf("%v: exit code %d: %s", wrong, code, errs.String())
		}
	}
}
