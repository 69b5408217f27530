package load

// This file reads the text of a book, or says why it cannot be read.

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
)

// maxBook is the size of a book in bytes, a byte order mark aside.
const maxBook = 1 << 20

// read reads a book, never more than a book may have. Where it cannot be read, it says why, without the book's name.
func (l *loader) read(r Root) (string, *diag.Diagnostic) {
	fsys, name := r.FS, r.Path
	if r.shipped() {
		fsys, name = l.shipped, r.Path+extension
	}
	if fsys == nil {
		return "", unreadable(diag.MissingBook, "is not there", "")
	}
	f, err := fsys.Open(name)
	if err != nil {
		return "", whyUnread(err)
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return "", whyUnread(err)
	case info.IsDir():
		return "", unreadable(diag.BookUnread, "is a folder", "the file of a rule book")
	case info.Size() > maxBook+3:
		return "", tooLarge(fmt.Sprintf("has %d bytes", info.Size()))
	}
	text, err := io.ReadAll(io.LimitReader(f, maxBook+4))
	switch {
	case err != nil:
		return "", whyUnread(err)
	case len(text) > maxBook+3:
		return "", tooLarge("is too large for a book")
	}
	return string(text), nil
}

func unreadable(code diag.Code, message, expected string) *diag.Diagnostic {
	return &diag.Diagnostic{Code: code, Severity: diag.Error, Message: message, Expected: expected}
}

func tooLarge(message string) *diag.Diagnostic {
	return unreadable(diag.BookTooLarge, message, fmt.Sprintf("at most %d bytes; a book can use others", maxBook))
}

// whyUnread is an error of the file system in words for a person.
func whyUnread(err error) *diag.Diagnostic {
	var at *fs.PathError
	cause := err
	if errors.As(err, &at) {
		cause = at.Err
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return unreadable(diag.MissingBook, "is not there", "")
	case errors.Is(err, fs.ErrPermission):
		return unreadable(diag.BookUnread, "cannot be read: you do not have permission", "a file that you may read")
	case strings.Contains(cause.Error(), "escapes"):
		return unreadable(diag.OutsideFolder, "is a link that leads out of the book's folder",
			"a file in the folder of this book or below it")
	}
	return unreadable(diag.BookUnread, "cannot be read: "+diag.Visible(cause.Error()), "the file of a rule book")
}

// unread reports a book that could not be read, at the use that brings it in.
func (l *loader) unread(r Root, use *ast.Use, d diag.Diagnostic) {
	d.Message = diag.Quote(r.Show) + " " + d.Message
	switch {
	case use == nil:
		d.Span = source.Span{File: source.NewFile(r.Show, "")}
	case use.Path != nil:
		d.Span = use.Path.Span
	default:
		d.Span = use.Shipped.Span
	}
	if d.Code == diag.MissingBook {
		l.missing(&d, r, use)
	}
	if use != nil && d.Hint != "" {
		d.Mend = diag.Mend{Span: d.Span, Text: d.Hint}
	}
	l.list.Add(d)
}

// missing suggests the book that may have been meant.
func (l *loader) missing(d *diag.Diagnostic, r Root, use *ast.Use) {
	shipped := l.names(l.shipped, ".")
	for i := range shipped {
		shipped[i] = strings.TrimSuffix(shipped[i], extension)
	}
	if r.shipped() {
		name := r.Show
		d.Message = "there is no shipped book " + diag.Quote(name)
		d.Expected = "a shipped book, or a file in quotation marks"
		if len(shipped) > 0 {
			d.Expected = "a shipped book (" + strings.Join(shipped, ", ") + "), or a file in quotation marks"
		}
		near, ok := diag.Nearest(name, shipped)
		d.Hint = near
		if n := len(l.stack); !ok && use != nil && n > 0 &&
			slices.Contains(l.names(l.stack[n-1].FS, path.Dir(l.stack[n-1].Path)), name+extension) {
			d.Hint = `"` + name + extension + `"`
		}
		return
	}
	d.Message = "there is no file " + diag.Quote(r.Show)
	d.Expected = "a file in the folder of this book or below it"
	dir, base := path.Split(r.Path)
	files := slices.DeleteFunc(l.names(r.FS, path.Clean(dir)), func(f string) bool {
		return slices.ContainsFunc(l.stack, func(user *loading) bool { return user.Path == dir+f }) // a ring
	})
	near, ok := diag.Nearest(base, files)
	if !ok && slices.Contains(files, base+extension) {
		near, ok = base+extension, true
	}
	switch plain := strings.TrimSuffix(base, extension); {
	case use == nil:
		d.Expected = "the file of a rule book"
		d.Hint = near
	case ok:
		written := use.Path.Value
		d.Hint = `"` + written[:strings.LastIndexByte(written, '/')+1] + near + `"`
	case slices.Contains(shipped, plain):
		d.Hint = plain
		d.Notes = append(d.Notes, "A shipped book is used by its name, without quotation marks.")
	}
}

// names lists the books of a folder; none where that is nil, as for a shipped book.
func (l *loader) names(fsys fs.FS, dir string) []string {
	if fsys == nil {
		return nil
	}
	entries, err := fs.ReadDir(fsys, dir)
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), extension) && !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}
