package bench

import (
	"os"

	"golang.org/x/sys/windows"
)

// lock takes the system's lock on a file; false where another process has it. A process that ends keeps none. It is on
// a byte far behind the end, so that the file can still be read.
func lock(f *os.File) (bool, error) {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if err == windows.ERROR_LOCK_VIOLATION {
		return false, nil
	}
	return err == nil, err
}
