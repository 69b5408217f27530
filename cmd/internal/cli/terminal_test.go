//go:build linux

package cli_test

// This file talks to a session at a terminal.

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// terminal is a new terminal: what a person types and sees, and what a program has of it.
func terminal(t *testing.T) (person, program *os.File) {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("there are no terminals here: ", err)
	}
	number, err := unix.IoctlGetInt(int(person.Fd()), unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(int(person.Fd()), unix.TIOCSPTLCK, 0)
	}
	if err == nil {
		err = unix.IoctlSetWinsize(int(person.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: 80})
	}
	if err == nil {
		program, err = os.OpenFile(fmt.Sprint("/dev/pts/", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { person.Close(); program.Close() })
	return person, program
}

// A terminal shows what is typed and ends lines as before, however a session on it is ended.
func TestATerminalIsGivenBack(t *testing.T) {
	for _, sig := range []os.Signal{syscall.SIGTERM, syscall.SIGHUP, nil} {
		if sig != nil && signal.Ignored(sig) {
			t.Logf("%v is ignored here, and so by the command", sig)
			continue
		}
		dir := t.TempDir()
		write(t, filepath.Join(dir, "b.ferrule"), benchRules)
		write(t, filepath.Join(dir, "bag.csv"), "id,club,length,by\ni7,7 iron,,\n")
		person, program := terminal(t)
		mode := func() unix.Termios {
			m, err := unix.IoctlGetTermios(int(program.Fd()), unix.TCGETS)
			if err != nil {
				t.Fatal(err)
			}
			return *m
		}
		before := mode()
		cmd := exec.Command("ferrule", bench(dir, "bag.csv")...)
		cmd.Env = append(os.Environ(), "TERM=xterm")
		cmd.Stdin, cmd.Stdout, cmd.Stderr = program, program, program
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		go io.Copy(io.Discard, person)                         // as a screen does
		for tries := 0; mode().Lflag&unix.ISIG != 0; tries++ { // until the session waits for a line
			if time.Sleep(time.Millisecond); tries == 60_000 {
				t.Fatal("no line is asked for")
			}
		}
		if sig != nil {
			cmd.Process.Signal(sig)
		} else {
			person.WriteString("\x04")
		}
		cmd.Wait()
		if after := mode(); after != before {
			t.Errorf("%v: the terminal is left with %+v; it was %+v", sig, after, before)
		}
	}
}
