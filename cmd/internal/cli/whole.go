package cli

// This file writes files so that they are there whole or not at all: beside their place first, and what is
// not kept is removed again, at the end of the command or when a signal ends it.

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"ferrule/lang/diag"
)

// replace writes the text of a file that was read anew.
func (s *Streams) replace(name string, text []byte) error {
	put, err := s.replacing(name, text)
	if err == nil {
		err = put()
	}
	return err
}

// replacing writes a text beside the place of a file that was read. Put gives it its name.
func (s *Streams) replacing(name string, text []byte) (put func() error, err error) {
	o, err := s.beside(&output{name: name, mended: true})
	if err == nil {
		o.Write(text) // the buffer remembers what goes wrong
		err = o.complete()
	}
	return func() error { return s.named(o) }, err
}

// beside begins a file beside the one that is named, with the mode and the owner of that one, where
// it is there and may be written.
func (s *Streams) beside(o *output) (*output, error) {
	target, err := behind(o.name)
	if err != nil {
		return nil, unwritten(o.name, err)
	}
	mode := fs.FileMode(0o666)
	info, err := os.Stat(target)
	switch {
	case err == nil:
		if err := writable(o.name, target, info); err != nil {
			return nil, err
		}
		mode = info.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return nil, unwritten(o.name, err)
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	dir := filepath.Dir(target)
	clearStale(dir)
	for n := 0; ; n++ {
		f, err := os.OpenFile(filepath.Join(dir, nameBeside(os.Getpid(), n)), os.O_CREATE|os.O_EXCL|os.O_WRONLY, mode)
		switch {
		case errors.Is(err, fs.ErrExist):
			continue
		case errors.Is(err, fs.ErrPermission):
			return nil, mistake("could not write " + diag.Quote(o.name) +
				": you do not have permission to add a file to its folder")
		case err != nil:
			return nil, unwritten(o.name, err)
		}
		o.file, o.target, o.made = f, target, f.Name()
		s.unfinished = append(s.unfinished, o)
		if info != nil {
			own(f, info)
			err := f.Chmod(mode)
			if err != nil && !errors.Is(err, fs.ErrPermission) && !errors.Is(err, errors.ErrUnsupported) {
				return nil, unwritten(o.name, err)
			}
		}
		return writing(f, o), nil
	}
}

// nameBeside is the name of the nth file that a process has begun in a folder.
func nameBeside(process, n int) string { return fmt.Sprintf(".ferrule-%d-%d", process, n) }

// clearStale removes from a folder what a process has begun that was ended by force. One of another machine may live on
// under a number that no process has here, so a file has to have rested for an hour.
func clearStale(dir string) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		var process, n int
		fmt.Sscanf(e.Name(), ".ferrule-%d-%d", &process, &n)
		ours := process > 0 && e.Name() == nameBeside(process, n) && e.Type().IsRegular()
		if !ours || processLives(process) {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > time.Hour {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// writable is an error where a file must not be replaced.
func writable(name, target string, info fs.FileInfo) error {
	if !info.Mode().IsRegular() || handedOver(target) {
		return mistake(diag.Quote(name) + " is not a file, so it was left as it is")
	}
	f, err := os.OpenFile(target, os.O_WRONLY, 0)
	switch {
	case errors.Is(err, fs.ErrPermission), info.Mode().Perm()&0o222 == 0:
		err = mistake(diag.Quote(name) + " is read-only, so it was left as it is")
	case err != nil:
		return unwritten(name, err)
	case hardLinks(info) > 1:
		err = mistake(diag.Quote(name) +
			" has a second name (a hard link) that would keep the old text, so it was left as it is")
	}
	f.Close()
	return err
}

// makeFolder makes a folder and those above it. What is still empty at the end is removed again.
func (s *Streams) makeFolder(dir string) error {
	var missing []*output
	for above := dir; ; above = filepath.Dir(above) {
		if _, err := os.Stat(above); err == nil || above == filepath.Dir(above) {
			break
		}
		missing = append(missing, &output{made: above})
	}
	slices.Reverse(missing)
	s.lock.Lock()
	defer s.lock.Unlock()
	s.unfinished = append(s.unfinished, missing...)
	return unwritten(dir, os.MkdirAll(dir, 0o777))
}

// behind is the file that a name leads to through its links, be it there or not. Where they lead to
// an open stream it is that stream's name.
func behind(name string) (string, error) {
	const most = 40
	for range most {
		in, base := filepath.Split(name)
		in = cmp.Or(in, ".")
		dir, err := filepath.EvalSymlinks(in)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return "", mistake("there is no folder " + diag.Quote(strings.TrimSuffix(in, string(filepath.Separator))))
		case err != nil:
			return "", err
		}
		name = filepath.Join(dir, base)
		to, err := os.Readlink(name)
		if err != nil || handedOver(name) {
			return name, nil
		}
		if !filepath.IsAbs(to) {
			to = dir + string(filepath.Separator) + to
		}
		name = to
	}
	return "", errors.New("too many links one behind the other")
}

// keep completes outputs, and only when all are whole do files take their names.
func (s *Streams) keep(outs ...*output) error {
	for _, o := range outs {
		if err := o.complete(); err != nil {
			return err
		}
	}
	return s.named(outs...)
}

// named gives complete files their names.
func (s *Streams) named(outs ...*output) error {
	s.lock.Lock()
	defer s.lock.Unlock()
	for _, o := range outs {
		if err := s.put(o); err != nil {
			return unwritten(o.name, err)
		}
	}
	s.unfinished = slices.DeleteFunc(s.unfinished, func(o *output) bool { return slices.Contains(outs, o) })
	return nil
}

// complete writes what is left in the buffer.
func (o *output) complete() error {
	err := o.Flush()
	if err == nil && o.target != "" {
		// Some file systems cannot do it.
		if err = o.file.Sync(); errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
			err = nil
		}
	}
	if o.file != nil {
		err = cmp.Or(err, o.file.Close())
	}
	return unwritten(o.name, err)
}

// put gives a complete file its name.
func (s *Streams) put(o *output) error {
	if o.target == "" {
		return nil
	}
	if info, err := os.Lstat(o.target); err == nil {
		if o.fresh {
			return fs.ErrExist
		}
		if err := s.spare(o.name, info); err != nil && !o.mended {
			return err
		}
	}
	if err := os.Rename(o.made, o.target); err != nil {
		return err
	}
	if o.fresh {
		o.made = o.target // until all are there
	}
	return nil
}

// undo removes what was begun and not kept, the last first.
func (s *Streams) undo() {
	for _, o := range slices.Backward(s.unfinished) {
		o.file.Close()
		os.Remove(o.made)
	}
	s.unfinished = nil
}

// onSignal has a signal that ends the process do something first.
func (s *Streams) onSignal(do func()) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.ending = do
}

// undoOnSignals has the process leave no half file behind when a signal ends it. That nobody reads
// on is an error of writing and no end in the middle of a file.
func (s *Streams) undoOnSignals() {
	signal.Ignore(syscall.SIGPIPE)
	caught := make(chan os.Signal, 1)
	for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(sig) {
			signal.Notify(caught, sig)
		}
	}
	go func() {
		sig := <-caught
		s.lock.Lock() // for good: no file takes its name any more
		s.undo()
		if s.ending != nil {
			s.ending()
		}
		signal.Reset(sig)
		if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(sig) == nil {
			time.Sleep(time.Second) // the signal ends the process
		}
		os.Exit(unable)
	}()
}
