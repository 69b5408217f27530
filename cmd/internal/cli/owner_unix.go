//go:build unix

package cli

// This file keeps what only some systems know of a file: its owner and its hard links.

import (
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
