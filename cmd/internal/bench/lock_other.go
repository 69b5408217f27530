//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package bench

import (
	"errors"
	"os"
)

// lock is an error: the system has no lock that ends with its process.
func lock(*os.File) (bool, error) { return false, errors.ErrUnsupported }
