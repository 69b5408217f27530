//go:build unix

package cli_test

// These tests hold a session at the bench to what it promises: nothing that was answered is lost, however it ends.

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const benchRules = `rulebook "Bench"
  decision simple
use methods
rule longest
  for     every club
  require length by soled at most 46 in
rule iron-lie
  for     every iron
  require lie between 59 deg and 65 deg
`

// talk is a session that is talked to through pipes.
type talk struct {
	t   *testing.T
	cmd *exec.Cmd
	in  io.WriteCloser
	out io.Reader
}

// begin starts a session and returns what it says first.
func begin(t *testing.T, dir, shell string, args ...string) (*talk, string) {
	t.Helper()
	k := &talk{t: t, cmd: exec.Command("ferrule", args...)}
	if shell != "" {
		k.cmd = exec.Command("bash", append([]string{"-c", shell + ` exec ferrule "$@"`, "ferrule"}, args...)...)
	}
	k.cmd.Dir = dir
	var err error
	if k.in, err = k.cmd.StdinPipe(); err == nil {
		k.out, err = k.cmd.StdoutPipe()
	}
	if err == nil {
		err = k.cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	return k, k.heard()
}

// heard is what is said up to the next prompt, or to the end.
func (k *talk) heard() string {
	var b strings.Builder
	one := make([]byte, 1)
	for !strings.HasSuffix(b.String(), "> ") && !strings.HasSuffix(b.String(), "y or n > ") {
		if _, err := k.out.Read(one); err != nil {
			break
		}
		b.Write(one)
	}
	return b.String()
}

// say types a line and returns the answer.
func (k *talk) say(line string) string {
	io.WriteString(k.in, line+"\n")
	return k.heard()
}

// end ends the input and returns the exit code.
func (k *talk) end() int {
	k.in.Close()
	io.Copy(io.Discard, k.out)
	k.cmd.Wait()
	return k.cmd.ProcessState.ExitCode()
}

// kill ends the process at once, with the start of a line typed.
func (k *talk) kill(typed string) {
	io.WriteString(k.in, typed)
	k.cmd.Process.Kill()
	k.cmd.Wait()
}

// sessionLines are lines of a session with so many readings, moves and words among them.
func sessionLines(clubs int) (sheet string, lines []string) {
	sheet = "set,id,club,length,by,note\n"
	for i := range clubs {
		sheet += fmt.Sprintf("bag %d,i%d,7 iron,,,\n", i/9+1, i)
		lines = append(lines, fmt.Sprintf("%d 1/4 deg", 59+i%5))
		switch i % 4 {
		case 0:
			lines = append(lines, "36 3/4 by soled", "undo", "37 1/16 37 1/8 by soled", "again 37 1/16")
		case 1:
			lines = append(lines, "55 by soled", "y", "back", "note ends unpainted", "next")
		case 2:
			lines = append(lines, "36 3/4 by plane-60", "undo", "redo", "8 iron", "undo", "next")
		default:
			lines = append(lines, "skip", fmt.Sprintf("club i%d", i), "37 in by soled")
		}
	}
	return sheet, lines
}

func bench(dir, sheet string) []string {
	return []string{"bench", filepath.Join(dir, sheet), "--rules", filepath.Join(dir, "b.ferrule"), "--on", "2026-05-02", "--who", "Ash"}
}

// A session that is killed behind each of its lines, with the next one begun, has the same result sheet as one that is not.
// FERRULE_BENCH_CLUBS says of how many clubs; the gate takes few.
func TestAKilledSessionLosesNothing(t *testing.T) {
	clubs := 4
	if n, err := strconv.Atoi(os.Getenv("FERRULE_BENCH_CLUBS")); err == nil {
		clubs = n
	}
	dir := t.TempDir()
	sheet, lines := sessionLines(clubs)
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, filepath.Join(dir, "whole.csv"), sheet)
	write(t, filepath.Join(dir, "killed.csv"), sheet)
	k, _ := begin(t, dir, "", bench(dir, "whole.csv")...)
	answers := make([]string, len(lines))
	for i, line := range lines {
		answers[i] = k.say(line)
	}
	k.say("done")
	if code := k.end(); code != 0 {
		t.Fatalf("exit code %d", code)
	}
	for i := 0; i < len(lines); i++ {
		k, _ := begin(t, dir, "", bench(dir, "killed.csv")...)
		if heard := k.say(lines[i]); heard != answers[i] {
			t.Errorf("line %d: %q, and without a kill %q", i, heard, answers[i])
		}
		if strings.HasSuffix(answers[i], "y or n > ") { // what was not answered was not taken
			i++
			k.say(lines[i])
		}
		k.kill("37 1/")
	}
	k, _ = begin(t, dir, "", bench(dir, "killed.csv")...)
	k.say("done")
	k.end()
	want, _ := os.ReadFile(filepath.Join(dir, "whole.csv"))
	got, _ := os.ReadFile(filepath.Join(dir, "killed.csv"))
	if string(got) != string(want) || len(want) < len(sheet)+20*clubs {
		t.Errorf("%s\nwithout a kill:\n%s", got, want)
	}
	if before, _ := os.ReadFile(filepath.Join(dir, "killed.csv.before")); string(before) != sheet {
		t.Errorf("the sheet before: %s", before)
	}
}

// A reading that cannot be written down is not taken, nothing is left of it, and the session goes on. The limit is 1 KiB.
func TestAReadingThatCannotBeKept(t *testing.T) {
	dir := t.TempDir()
	sheet, lines := sessionLines(8)
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, filepath.Join(dir, "bag.csv"), sheet)
	k, prompt := begin(t, dir, "ulimit -f 1;", bench(dir, "bag.csv")...)
	kept := 0
	for _, line := range lines {
		heard := k.say(line)
		if strings.Contains(heard, "not kept") {
			if !strings.Contains(heard, "bag.csv.readings") || prompt[strings.LastIndex(prompt, "\n")+1:] != heard[strings.LastIndex(heard, "\n")+1:] {
				t.Errorf("before %q, then %q", prompt, heard)
			}
			break
		}
		prompt = heard
		kept++
	}
	if heard := k.say("show"); !strings.Contains(heard, "verdict") || kept == 0 || kept == len(lines) {
		t.Errorf("%d lines kept, then %q", kept, heard)
	}
	if code := k.end(); code != 3 {
		t.Errorf("exit code %d", code)
	}
	text, _ := os.ReadFile(filepath.Join(dir, "bag.csv.readings"))
	whole := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	for _, line := range whole {
		if !json.Valid([]byte(line)) {
			t.Errorf("torn: %q", line)
		}
	}
	if len(whole) < kept { // questions are not kept, and a head is
		t.Errorf("%d lines kept, and %d in the file", kept, len(whole))
	}
}

// A second session on the same sheet does not start, however the sheet is named; nor does the first one notice.
func TestOneSessionASheet(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, filepath.Join(dir, "bag.csv"), "id,club,length,by,lie (deg)\ni7,7 iron,,,\n")
	if err := os.Symlink("bag.csv", filepath.Join(dir, "link.csv")); err != nil {
		t.Fatal(err)
	}
	k, _ := begin(t, dir, "", bench(dir, "bag.csv")...)
	k.say("62")
	for _, name := range []string{"bag.csv", "./bag.csv", "../" + filepath.Base(dir) + "/bag.csv", "link.csv"} {
		cmd := exec.Command("ferrule", "bench", name, "--rules", "b.ferrule")
		cmd.Dir = dir
		out, _ := cmd.CombinedOutput()
		if code := cmd.ProcessState.ExitCode(); code != 3 || !strings.Contains(string(out), "another session") {
			t.Errorf("%s: exit code %d: %s", name, code, out)
		}
	}
	k.say("37 by soled")
	k.say("done")
	if code := k.end(); code != 0 {
		t.Errorf("exit code %d", code)
	}
	if text, _ := os.ReadFile(filepath.Join(dir, "bag.csv")); string(text) != "id,club,length,by,lie (deg)\ni7,7 iron,37 in,soled,62\n" {
		t.Errorf("%s", text)
	}
}

// A sheet that changes during a session gets the readings of the clubs that are still on it; the others stay where they
// are kept, and the next session says which club they wait for.
func TestASheetThatChangesMeanwhile(t *testing.T) {
	dir := t.TempDir()
	sheet := filepath.Join(dir, "bag.csv")
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, sheet, "id,club,length,by,lie\ni7,7 iron,,,\ni8,8 iron,,,\n")
	k, _ := begin(t, dir, "", bench(dir, "bag.csv")...)
	for _, line := range []string{"62", "37 by soled", "63", "36 1/2 by soled"} {
		k.say(line)
	}
	write(t, sheet, "club;lie;id;by;length;maker\n9 iron;61 deg;i9;;;Ash\n8 iron;;i8;;;\n")
	heard := k.say("done")
	if code := k.end(); code != 3 || !strings.Contains(heard, "i7") {
		t.Errorf("exit code %d: %s", code, heard)
	}
	if text, _ := os.ReadFile(sheet); string(text) != "club;lie;id;by;length;maker\n9 iron;61 deg;i9;;;Ash\n8 iron;63 deg;i8;soled;36 1/2 in;\n" {
		t.Errorf("%s", text)
	}
	cmd := exec.Command("ferrule", bench(dir, "bag.csv")...)
	out, _ := cmd.CombinedOutput()
	if code := cmd.ProcessState.ExitCode(); code != 3 || !strings.Contains(string(out), "bag.csv.readings:2: the sheet has no club i7") {
		t.Errorf("exit code %d: %s", code, out)
	}
	write(t, sheet, "id,club,length,by,lie\ni7,7 iron,,,\n")
	k, _ = begin(t, dir, "", bench(dir, "bag.csv")...)
	k.say("done")
	if code := k.end(); code != 0 {
		t.Errorf("exit code %d", code)
	}
	if text, _ := os.ReadFile(sheet); string(text) != "id,club,length,by,lie\ni7,7 iron,37 in,soled,62 deg\n" {
		t.Errorf("%s", text)
	}
}

// changed types readings for a sheet, changes it, and returns what "done" says of it, its exit code and the sheet then.
func changed(t *testing.T, dir, before, after string, lines ...string) (heard string, code int, text string) {
	t.Helper()
	sheet := filepath.Join(dir, "bag.csv")
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, sheet, before)
	k, _ := begin(t, dir, "", bench(dir, "bag.csv")...)
	for _, line := range lines {
		k.say(line)
	}
	write(t, sheet, after)
	heard = k.say("done")
	code = k.end()
	now, _ := os.ReadFile(sheet)
	return heard, code, string(now)
}

// A row that became another club does not get the reading of the club that was measured, neither at once nor when the
// session is begun again.
func TestARowThatBecameAnotherClub(t *testing.T) {
	dir := t.TempDir()
	after := "id,club,lie\na,9 iron,\nb,8-iron,\n"
	heard, code, text := changed(t, dir, "id,club,lie\na,7 iron,\nb,8 iron,\n", after, "club a", "lie 62", "club b", "lie 63")
	if code != 3 || !strings.Contains(heard, "Not written, since club a is the 9 iron now, not the 7 iron: lie 62\n") {
		t.Errorf("exit code %d: %s", code, heard)
	}
	if want := "id,club,lie\na,9 iron,\nb,8-iron,63 deg\n"; text != want {
		t.Errorf("%s", text)
	}
	if kept, _ := os.ReadFile(filepath.Join(dir, "bag.csv.readings")); strings.Contains(string(kept), `"time":""`) {
		t.Errorf("the time is lost: %s", kept)
	}
	cmd := exec.Command("ferrule", bench(dir, "bag.csv")...)
	out, _ := cmd.CombinedOutput()
	if code := cmd.ProcessState.ExitCode(); code != 3 || !strings.Contains(string(out), "bag.csv.readings:2: club a is the 9 iron now") {
		t.Errorf("exit code %d: %s", code, out)
	}
}

// Where a reading takes the place of a figure that somebody else wrote meanwhile, both are named. A figure that was there
// from the start, and one that is the same, need no word.
func TestAFigureThatSomebodyElseWrote(t *testing.T) {
	heard, code, text := changed(t, t.TempDir(), "id,club,lie,loft\na,7 iron,,33 deg\nb,8 iron,,\n",
		"id,club,lie,loft\na,7 iron,61 deg,33 deg\nb,8 iron,62 deg,\n", "club a", "lie 60", "lie 59.5", "loft 34", "club b", "lie 62")
	if code != 0 || strings.Count(heard, "the sheet had") != 1 ||
		!strings.Contains(heard, "\nlie of 7 iron (a): the sheet had 61 deg by now; 59.5 deg was written.\n") {
		t.Errorf("exit code %d: %s", code, heard)
	}
	if want := "id,club,lie,loft\na,7 iron,59.5 deg,34 deg\nb,8 iron,62 deg,\n"; text != want {
		t.Errorf("%s", text)
	}
	heard, _, _ = changed(t, t.TempDir(), "id,club,length,by,note\na,7 iron,,,\n",
		"id,club,length,by,note\na,7 iron,37 in,wall,loose\n", "37 by soled", "note bent")
	for _, want := range []string{"had 37 in by wall by now; 37 in by soled was written", "had loose by now; bent was written"} {
		if !strings.Contains(heard, want) {
			t.Errorf("%q is missing: %s", want, heard)
		}
	}
}

// A session that was killed, and goes on with a sheet that was changed since, names the figures, too.
func TestAFigureWrittenSinceTheSessionWasKilled(t *testing.T) {
	dir := t.TempDir()
	sheet := filepath.Join(dir, "bag.csv")
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, sheet, "id,club,lie\na,7 iron,\n")
	k, _ := begin(t, dir, "", bench(dir, "bag.csv")...)
	k.say("lie 59.5")
	k.kill("")
	write(t, sheet, "id,club,lie\na,7 iron,61 deg\n")
	k, _ = begin(t, dir, "", bench(dir, "bag.csv")...)
	if heard := k.say("done"); !strings.Contains(heard, "the sheet had 61 deg by now; 59.5 deg was written") {
		t.Errorf("%s", heard)
	}
	k.end()
}

// Of a sheet that was emptied nothing is said to be in it.
func TestASheetThatWasEmptied(t *testing.T) {
	for _, empty := range []string{"", "id,club,lie\n"} {
		heard, code, text := changed(t, t.TempDir(), "id,club,lie\na,7 iron,\n", empty, "lie 62")
		if code != 3 || text != empty || strings.Contains(heard, "holds all") || !strings.Contains(heard, "Not written") ||
			!strings.Contains(heard, "stays in") {
			t.Errorf("exit code %d: %s%s", code, heard, text)
		}
	}
}

// A folder where the sheet as it was would be kept is named, once, and the sheet is left as it is.
func TestAFolderInPlaceOfBefore(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "bag.csv.before"), 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "b.ferrule"), benchRules)
	write(t, filepath.Join(dir, "bag.csv"), "id,club,lie\na,7 iron,\n")
	cmd := exec.Command("ferrule", "bench", "bag.csv", "--rules", "b.ferrule")
	cmd.Dir, cmd.Stdin = dir, strings.NewReader("lie 62\ndone\n")
	out, _ := cmd.CombinedOutput()
	want := `bag.csv.before": it is a folder; the readings stay in `
	if code := cmd.ProcessState.ExitCode(); code != 3 || !strings.Contains(string(out), want) ||
		strings.Count(string(out), "could not write") != 1 {
		t.Errorf("exit code %d: %s", code, out)
	}
}
