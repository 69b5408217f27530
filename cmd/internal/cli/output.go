package cli

// This file says where reports go: to a stream that is open, to a device, or to a file. What is read is
// never written over.

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"

	"ferrule/lang/diag"
)

// output is where a text goes: a stream, a device, or a file that takes its name only when the
// text is complete.
type output struct {
	*bufio.Writer
	name   string   // as it was typed
	file   *os.File // nil for a stream
	target string   // the name that the file is to take; empty for a stream and a device
	made   string   // what is removed again unless it is kept
	fresh  bool     // no file of that name may be there yet
	mended bool     // the file may be one that was read
}

// openOutput opens the place for a report; an empty name is standard output. A stream that is open
// already is written to as it is, a device or a FIFO is written to and never replaced.
func (s *Streams) openOutput(name string) (*output, error) {
	if name == "" || name == stdin {
		return writing(s.Out, &output{}), nil
	}
	info, err := os.Stat(name)
	switch {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return nil, unwritten(name, err)
	case err != nil:
		return s.beside(&output{name: name})
	case info.IsDir():
		return nil, mistake(diag.Quote(name) + " is a folder; --output takes the name of a file")
	case os.SameFile(info, s.outFile):
		return writing(s.Out, &output{}), nil
	case os.SameFile(info, s.errFile):
		return writing(s.Err, &output{name: name}), nil
	}
	if err := s.spare(name, info); err != nil {
		return nil, err
	}
	target, err := behind(name)
	if err != nil {
		return nil, unwritten(name, err)
	}
	o := &output{name: name}
	if fd, ok := descriptor(target); ok {
		o.file = os.NewFile(fd, name)
	} else if info.Mode().IsRegular() {
		return s.beside(o)
	} else if o.file, err = os.OpenFile(name, os.O_WRONLY, 0); err != nil {
		return nil, unwritten(name, err)
	}
	return writing(o.file, o), nil
}

// writing is an output with its buffer.
func writing(to io.Writer, o *output) *output {
	const size = 64 << 10
	if o.name != "" {
		to = &sink{to: to, name: o.name}
	}
	o.Writer = bufio.NewWriterSize(to, size)
	return o
}

// sink writes to a stream or a file, and remembers what went wrong, by the name that a person knows.
type sink struct {
	to    io.Writer
	name  string       // empty for standard output
	spare func() error // an error where nothing may be written
	err   error
}

func (k *sink) Write(p []byte) (n int, err error) {
	if k.spare != nil {
		err = k.spare()
	}
	if err == nil {
		n, err = k.to.Write(p)
	}
	if err == nil {
		return n, nil
	}
	if k.err = unwritten(k.name, err); k.name == "" && errors.Is(err, syscall.EPIPE) {
		k.err = errReported // nobody reads on
	}
	return n, k.err
}

// unwritten says that something could not be written, by the name that a person knows; an empty
// one is standard output.
func unwritten(name string, err error) error {
	var call *callMistake
	if err == nil || errors.As(err, &call) || errors.Is(err, errReported) {
		return err
	}
	cause := err // without the names of files
	for within := errors.Unwrap(cause); within != nil; within = errors.Unwrap(cause) {
		cause = within
	}
	words := diag.Visible(cause.Error())
	switch {
	case errors.Is(err, syscall.EPIPE):
		words = "its reader has gone away"
	case errors.Is(err, fs.ErrPermission):
		words = "you do not have permission"
	case errors.Is(err, fs.ErrExist):
		words = "it is there already"
	}
	to := "to standard output"
	if name != "" {
		to = diag.Quote(name)
	}
	return mistake("could not write " + to + ": " + words)
}

// onlyFiles is an error where a book that would be changed is not a file. That one is not there shows when it is read.
func onlyFiles(names []string) error {
	for _, name := range names {
		what := diag.Quote(name)
		switch target, err := behind(name); {
		case name == stdin, err == nil && handedOver(target):
			what = "standard input"
		case isShipped(name):
			what = "the shipped book " + what
		default:
			info, err := os.Stat(name)
			if err != nil || info.Mode().IsRegular() || info.IsDir() {
				continue
			}
		}
		return mistake("only files can be changed, and " + what + " is not one; save it as a file first")
	}
	return nil
}
