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
	"time"

	"ferrule/lang/diag"
)

const stdin = "-"

// maxBook is one byte more than a rule book may have: enough to tell that it is too
// large.
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
		s.seen[name] = stampOf(info, err)
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
	return uintptr(n), err == nil && slices.Contains([]string{"/dev/fd/", "/proc/self/fd/", fmt.Sprintf("/proc/%d/fd/", os.Getpid())}, dir)
}

// folder is the folder of a rule book, that its "use" cannot leave. Only ordinary
// files are opened.
type folder struct {
	fs.FS
	texts map[string][]byte // what is in the place of files
	reads func(string, fs.FileInfo, error)
}

func (s *Streams) folder(dir string, of fs.FS) *folder {
	if here, err := os.Getwd(); err == nil {
		if below, err := filepath.Rel(here, dir); err == nil && filepath.IsLocal(below) {
			dir = below
		}
	}
	return &folder{FS: of, texts: map[string][]byte{}, reads: func(name string, info fs.FileInfo, err error) {
		s.reads(filepath.Join(dir, filepath.FromSlash(name)), info, err)
	}}
}

// with returns the folder with a text in the place of a file.
func (f *folder) with(name string, text []byte) *folder {
	return &folder{FS: f.FS, texts: map[string][]byte{name: text}, reads: f.reads}
}

// Open opens a file of the folder, or what is in its place.
func (f *folder) Open(name string) (fs.File, error) {
	if text, ok := f.texts[name]; ok {
		return textFile{bytes.NewReader(text), name}, nil
	}
	info, err := fs.Stat(f.FS, name)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("it is not an ordinary file")}
	}
	file, err := f.FS.Open(name)
	if err == nil {
		info, err = file.Stat()
	}
	f.reads(name, info, err)
	return file, err
}

// textFile is a text in the place of a file, and what is to be said of it.
type textFile struct {
	*bytes.Reader
	name string
}

func (f textFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f textFile) Close() error               { return nil }
func (f textFile) Name() string               { return f.name }
func (f textFile) Mode() fs.FileMode          { return 0o444 }
func (f textFile) ModTime() time.Time         { return time.Time{} }
func (f textFile) IsDir() bool                { return false }
func (f textFile) Sys() any                   { return nil }

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
