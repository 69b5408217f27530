package cli

// This file opens what is read, and says what is wrong with a file in plain words.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"

	"ferrule/cmd/internal/watch"
	"ferrule/lang/diag"
	"ferrule/lang/load"
)

const stdin = "-"

// maxBook is one byte more than a rule book may have: enough to see that it is too large.
const maxBook = 1<<20 + 1

// fileTrouble is an error of the file system in words for a person.
func fileTrouble(err error) string {
	var at *fs.PathError
	if !errors.As(err, &at) {
		return diag.Visible(err.Error())
	}
	name, cause := at.Path, at.Err
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no file " + diag.Quote(name) + nearFile(name)
	case errors.Is(err, fs.ErrPermission):
		return "you do not have permission to open " + diag.Quote(name)
	}
	return diag.Quote(name) + ": " + diag.Visible(cause.Error())
}

// nearFile names the file in the same folder that may have been meant.
func nearFile(name string) string {
	dir, err := os.Open(filepath.Dir(name))
	if err != nil {
		return ""
	}
	defer dir.Close()
	names, _ := dir.Readdirnames(1000)
	near, ok := diag.Nearest(filepath.Base(name), names)
	if !ok {
		return ""
	}
	return "; did you mean " + diag.Quote(filepath.Join(filepath.Dir(name), near)) + "?"
}

// openInput opens a sheet or a book for reading; "-" is standard input, once.
func (s *Streams) openInput(name string) (io.ReadCloser, error) {
	if text, ok := s.texts[name]; ok {
		return io.NopCloser(bytes.NewReader(text)), nil
	}
	if name == stdin {
		if s.taken {
			return nil, mistake("standard input can be read once only")
		}
		s.taken = true
		if f, ok := s.In.(*os.File); ok {
			info, err := f.Stat()
			s.reads("", info, err)
		}
		return io.NopCloser(s.In), nil
	}
	info, err := os.Stat(name)
	s.reads(name, info, err)
	if err != nil {
		return nil, err
	}
	if err := readable(name, info.Mode()); err != nil {
		return nil, err
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	info, err = f.Stat()
	s.reads(name, info, err)
	return f, nil
}

// reads remembers a file that is read, which must not be written over, and as it is then.
func (s *Streams) reads(name string, info fs.FileInfo, err error) {
	if name != "" {
		s.seen[name] = watch.StampOf(info, err)
	}
	if err == nil && info.Mode().IsRegular() {
		s.read = append(s.read, info)
	}
}

// spare is an error where what is to be written is read as well.
func (s *Streams) spare(name string, info fs.FileInfo) error {
	if !slices.ContainsFunc(s.read, func(r fs.FileInfo) bool { return os.SameFile(r, info) }) {
		return nil
	}
	if name == "" {
		return mistake("standard output goes into a file that is read as well; send it to another file")
	}
	return mistake(diag.Quote(name) + " is read as well and would be lost; name another file for --output")
}

// readable refuses folders, and what could be waited for without an end. What a
// shell hands over by /dev/stdin or /dev/fd is fine.
func readable(name string, mode fs.FileMode) error {
	switch {
	case mode.IsDir():
		return mistake(diag.Quote(name) + " is a folder; name a file in it")
	case mode.IsRegular(), handedOver(name):
		return nil
	}
	return mistake(diag.Quote(name) + " is not an ordinary file; pass it on standard input, as -")
}

// handedOver reports whether a name is that of an open stream.
func handedOver(name string) bool {
	_, ok := descriptor(name)
	return ok || filepath.ToSlash(filepath.Clean(name)) == "/dev/stdin"
}

// descriptor is the number of an open stream, by a name such as /dev/fd/3.
func descriptor(name string) (uintptr, bool) {
	dir, number := path.Split(filepath.ToSlash(filepath.Clean(name)))
	n, err := strconv.ParseUint(number, 10, 31)
	streams := []string{"/dev/fd/", "/proc/self/fd/", fmt.Sprintf("/proc/%d/fd/", os.Getpid())}
	return uintptr(n), err == nil && slices.Contains(streams, dir)
}

// folder is the folder of a rule book, whose files are remembered as they are read.
func (s *Streams) folder(dir string, of fs.FS) *load.Folder {
	if here, err := os.Getwd(); err == nil {
		if below, err := filepath.Rel(here, dir); err == nil && filepath.IsLocal(below) {
			dir = below
		}
	}
	return &load.Folder{FS: of, Texts: map[string][]byte{}, Reads: func(name string, info fs.FileInfo, err error) {
		s.reads(filepath.Join(dir, filepath.FromSlash(name)), info, err)
	}}
}

// readBook reads the text of a book that is not loaded with its "use", up to more
// than a book may have.
func (s *Streams) readBook(name string) ([]byte, error) {
	in, err := s.openInput(name)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, maxBook))
}
