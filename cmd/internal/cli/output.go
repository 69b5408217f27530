package cli

// This file writes files so that they are there whole or not at all.

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"ferrule/lang/diag"
)

// output is where a report goes: the output stream, or a file that takes its name
// only when the report is complete.
type output struct {
	*bufio.Writer
	file   *os.File // nil for the stream
	target string
	direct bool // the file is no ordinary one and is written as it is
}

// openOutput opens the output; an empty name is the output stream. Files that are
// read must not be written.
func (s *Streams) openOutput(name string, inputs []string) (*output, error) {
	const size = 64 << 10
	if name == "" || name == stdin {
		return &output{Writer: bufio.NewWriterSize(s.Out, size)}, nil
	}
	info, err := os.Stat(name)
	switch {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return nil, err
	case err != nil:
	case info.IsDir():
		return nil, mistake(diag.Quote(name)+" is a folder; --output takes the name of a file", "")
	case !info.Mode().IsRegular():
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return nil, err
		}
		return &output{Writer: bufio.NewWriterSize(f, size), file: f, direct: true}, nil
	}
	for _, in := range inputs {
		if other, err := os.Stat(in); err == nil && info != nil && os.SameFile(info, other) {
			return nil, mistake(diag.Quote(name)+" is read as well and would be lost; name another file for --output", "")
		}
	}
	f, target, err := beside(name)
	if err != nil {
		return nil, err
	}
	return &output{Writer: bufio.NewWriterSize(f, size), file: f, target: target}, nil
}

// beside creates a new file beside the named one, and returns the name that it is
// to take: through a link, that of the file that it leads to.
func beside(name string) (*os.File, string, error) {
	target := name
	if real, err := filepath.EvalSymlinks(name); err == nil {
		target = real
	}
	mode := fs.FileMode(0o666)
	if info, err := os.Stat(target); err == nil {
		mode = info.Mode().Perm()
	}
	for n := os.Getpid(); ; n++ {
		f, err := os.OpenFile(filepath.Join(filepath.Dir(target), ".ferrule-"+strconv.Itoa(n)), os.O_CREATE|os.O_EXCL|os.O_WRONLY, mode)
		if !errors.Is(err, fs.ErrExist) {
			if errors.Is(err, fs.ErrNotExist) {
				return nil, "", mistake("there is no folder "+diag.Quote(filepath.Dir(target)), "")
			}
			return f, target, err
		}
	}
}

// keep completes the output.
func (o *output) keep() error {
	err := o.Flush()
	if o.file == nil {
		return err
	}
	if e := o.file.Close(); err == nil {
		err = e
	}
	if o.direct {
		return err
	}
	if err == nil {
		err = os.Rename(o.file.Name(), o.target)
	}
	if err != nil {
		os.Remove(o.file.Name())
	}
	return err
}

// drop gives the output up: a file is as it was.
func (o *output) drop() {
	if o.file == nil {
		return
	}
	o.file.Close()
	if !o.direct {
		os.Remove(o.file.Name())
	}
}

// replace writes the text of a file anew.
func replace(name string, text string) error {
	f, target, err := beside(name)
	if err != nil {
		return err
	}
	o := &output{Writer: bufio.NewWriter(f), file: f, target: target}
	if _, err := io.WriteString(o, text); err != nil {
		o.drop()
		return err
	}
	return o.keep()
}
