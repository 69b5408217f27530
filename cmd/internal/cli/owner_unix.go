//go:build unix

package cli

// This file holds what each system says in its own way: owners and hard links of files, and which processes live.

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"syscall"
)

// own gives a file the owner and the group of another one, or the group alone, as far as the system lets it.
func own(f *os.File, like fs.FileInfo) {
	if st, ok := like.Sys().(*syscall.Stat_t); ok && f.Chown(int(st.Uid), int(st.Gid)) != nil {
		f.Chown(-1, int(st.Gid))
	}
}

// hardLinks is how many names a file has.
func hardLinks(info fs.FileInfo) int {
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		return int(st.Nlink)
	}
	return 1
}

// processLives reports whether there is a process of that number. One that has ended lives on as a zombie until its
// parent asks for its end.
func processLives(id int) bool {
	stat, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", id))
	return syscall.Kill(id, 0) != syscall.ESRCH && !bytes.Contains(stat, []byte(") Z "))
}
