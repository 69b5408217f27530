//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package bench

import (
	"os"
	"os/signal"
	"syscall"
)

// lock takes the system's lock on a file; false where another process has it. A process that ends keeps none.
// That it may not grow further is an error of writing, and not the end of the process.
func lock(f *os.File) (bool, error) {
	signal.Ignore(syscall.SIGXFSZ)
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if err == syscall.EWOULDBLOCK {
		return false, nil
	}
	return err == nil, err
}
