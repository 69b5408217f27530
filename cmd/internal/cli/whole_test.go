//go:build unix

package cli_test

// These tests hold what a file is after the command wrote it, and what is left of a command that a signal ends.

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"ferrule/cmd/internal/cli"
)

const crooked = "rulebook   \"Crooked\"\nrule lie-at-most\n for every driver\n  require lie at most 61 deg\n"

// ferrule runs the command here and returns its exit code and what it said.
func ferrule(args ...string) (code int, said string) {
	var out bytes.Buffer
	return cli.Run(args, &cli.Streams{Out: &out, Err: &out, Now: today}), out.String()
}

func write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// A file that is written anew keeps its mode, whatever the umask, and its owner and group.
func TestAFileStaysWhatItWas(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o022))
	dir := t.TempDir()
	book, sheet := filepath.Join(dir, "book.ferrule"), filepath.Join(dir, "bag.csv")
	write(t, sheet, "id,club,lie\nd1,driver,58 deg\n")
	for _, mode := range []os.FileMode{0o664, 0o600, 0o640, 0o666} {
		for name, args := range map[string][]string{
			book:                           {"fmt", "-w", book},
			filepath.Join(dir, "case.txt"): {"check", sheet, "--rules", book, "--output", filepath.Join(dir, "case.txt")},
		} {
			write(t, book, crooked)
			write(t, name, crooked)
			if err := os.Chmod(name, mode); err != nil {
				t.Fatal(err)
			}
			root := os.Geteuid() == 0
			if root {
				if err := os.Chown(name, 65534, 60); err != nil {
					t.Fatal(err)
				}
			}
			if code, said := ferrule(args...); code != 0 {
				t.Fatalf("%v: exit code %d: %s", args, code, said)
			}
			info, err := os.Stat(name)
			if err != nil {
				t.Fatal(err)
			}
			if text, _ := os.ReadFile(name); string(text) == crooked {
				t.Errorf("%v wrote nothing", args)
			}
			if info.Mode().Perm() != mode {
				t.Errorf("%v: the mode was %v and is %v", args, mode, info.Mode().Perm())
			}
			if st := info.Sys().(*syscall.Stat_t); root && (st.Uid != 65534 || st.Gid != 60) {
				t.Errorf("%v: the owner is %d:%d now", args, st.Uid, st.Gid)
			}
		}
	}
}

func TestAFolderThatTakesNoFile(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may write into every folder")
	}
	t.Chdir(t.TempDir())
	write(t, "book.ferrule", crooked)
	if err := os.Chmod(".", 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(".", 0o755)
	code, said := ferrule("fmt", "-w", "book.ferrule")
	if want := "ferrule: could not write \"book.ferrule\": you do not have permission to add a file to its folder\n"; code != 3 || said != want {
		t.Errorf("exit code %d: %s", code, said)
	}
}

// A signal ends the command as signals do, and leaves the folder as it was.
func TestASignalLeavesNothingBehind(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		if signal.Ignored(sig) {
			t.Logf("%v is ignored here, and so by the command", sig)
			continue
		}
		dir := t.TempDir()
		write(t, filepath.Join(dir, "book.ferrule"), crooked)
		write(t, filepath.Join(dir, "report.txt"), "old\n")
		sheet, feed, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command("ferrule", "check", "-", "--rules", "book.ferrule", "--output", "report.txt")
		cmd.Dir, cmd.Stdin = dir, sheet
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		begun := func() bool {
			found, err := filepath.Glob(filepath.Join(dir, ".ferrule-*"))
			return err == nil && len(found) > 0
		}
		for range 3000 {
			if begun() {
				break
			}
			time.Sleep(10 * time.Millisecond)
		}
		if !begun() {
			t.Errorf("%v: the report was never begun", sig)
		}
		if err := cmd.Process.Signal(sig); err != nil {
			t.Fatal(err)
		}
		cmd.Wait()
		feed.Close()
		sheet.Close()
		if ended := cmd.ProcessState.Sys().(syscall.WaitStatus); !ended.Signaled() || ended.Signal() != sig {
			t.Errorf("%v: it ended with %v", sig, cmd.ProcessState)
		}
		entries, err := os.ReadDir(dir)
		if text, _ := os.ReadFile(filepath.Join(dir, "report.txt")); err != nil || len(entries) != 2 || string(text) != "old\n" {
			t.Errorf("%v: it left %v, and the report says %q", sig, entries, text)
		}
	}
}

// What a command began that was killed is removed by the next one that writes into the folder, and nothing else is.
func TestWhatAKilledCommandBeganIsRemoved(t *testing.T) {
	ended := exec.Command("ferrule", "--version")
	if err := ended.Run(); err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-2 * time.Hour)
	dead, alive := ended.Process.Pid, os.Getpid()
	files := map[string]struct {
		at    time.Time
		stays bool
	}{
		fmt.Sprintf(".ferrule-%d-0", dead):      {old, false},
		fmt.Sprintf(".ferrule-%d-12", dead):     {old, false},
		fmt.Sprintf(".ferrule-%d-1", dead):      {time.Now(), true}, // it may live on another machine
		fmt.Sprintf(".ferrule-%d-0", alive):     {old, true},
		fmt.Sprintf(".ferrule-%d-0.csv", dead):  {old, true},
		fmt.Sprintf(".ferrule-%d-00", dead):     {old, true},
		fmt.Sprintf(".ferrule--%d-0", dead):     {old, true},
		".ferrule-notes":                        {old, true},
		fmt.Sprintf("house.ferrule-%d-0", dead): {old, true},
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "book.ferrule"), crooked)
	for name, f := range files {
		write(t, filepath.Join(dir, name), "begun")
		if err := os.Chtimes(filepath.Join(dir, name), f.at, f.at); err != nil {
			t.Fatal(err)
		}
	}
	if code, said := ferrule("fmt", "-w", filepath.Join(dir, "book.ferrule")); code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	for name, f := range files {
		if _, err := os.Stat(filepath.Join(dir, name)); (err == nil) != f.stays {
			t.Errorf("%s is there: %v; expected %v", name, err == nil, f.stays)
		}
	}
}

// The name of a book may be in any encoding that the system takes.
func TestABookWhoseNameIsNoUTF8(t *testing.T) {
	dir := t.TempDir()
	book, sheet := filepath.Join(dir, "caf\xe9.ferrule"), filepath.Join(dir, "bag.csv")
	if os.WriteFile(book, []byte("use \"sub/lies.ferrule\"\n"), 0o666) != nil {
		t.Skip("this system takes no such name")
	}
	write(t, sheet, "id,club,lie\ni5,5 iron,62 deg\n")
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o777); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "sub", "lies.ferrule"), lies)
	if code, said := ferrule("check", sheet, "--rules", book, "--format", "short"); code != 1 {
		t.Errorf("exit code %d: %s", code, said)
	}
	if code, said := ferrule("check", sheet, "--rules", book, "--output", book, "--format", "text"); code != 3 || !strings.Contains(said, "would be lost") {
		t.Errorf("exit code %d: %s", code, said)
	}
	write(t, book, crooked)
	if code, said := ferrule("fmt", "-w", book); code != 0 {
		t.Errorf("exit code %d: %s", code, said)
	}
	write(t, book, strings.Replace(crooked, "rule lie", "RULE lie", 1))
	if code, said := ferrule("vet", "--fix", book); code != 0 || !strings.Contains(said, "mended") {
		t.Errorf("exit code %d: %s", code, said)
	}
}
