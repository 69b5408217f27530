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

// unreadable is why a book cannot be read.
type unreadable struct {
	code     diag.Code
	message  string // about the book, without its name
	expected string
}

// read reads a book, never more than a book may have.
func read(p place) (string, *unreadable) {
	if p.fsys == nil {
		return "", &unreadable{diag.MissingBook, "is not there", ""}
	}
	f, err := p.fsys.Open(p.path)
	if err != nil {
		return "", whyUnread(err)
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return "", whyUnread(err)
	case info.IsDir():
		return "", &unreadable{diag.BookUnread, "is a folder", "the file of a rule book"}
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

func tooLarge(message string) *unreadable {
	return &unreadable{diag.BookTooLarge, message, fmt.Sprintf("at most %d bytes; a book can use others", maxBook)}
}

// whyUnread is an error of the file system in words for a person.
func whyUnread(err error) *unreadable {
	var at *fs.PathError
	cause := err
	if errors.As(err, &at) {
		cause = at.Err
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &unreadable{diag.MissingBook, "is not there", ""}
	case errors.Is(err, fs.ErrPermission):
		return &unreadable{diag.BookUnread, "cannot be read: you do not have permission", "a file that you may read"}
	case strings.Contains(cause.Error(), "escapes"):
		return &unreadable{diag.OutsideFolder, "is a link that leads out of the book's folder",
			"a file in the folder of this book or below it"}
	}
	return &unreadable{diag.BookUnread, "cannot be read: " + diag.Visible(cause.Error()), "the file of a rule book"}
}

// unread reports a book that could not be read, at the use that brings it in.
func (l *loader) unread(p place, use *ast.Use, m unreadable) {
	d := diag.Diagnostic{Code: m.code, Severity: diag.Error, Message: diag.Quote(p.show) + " " + m.message,
		Expected: m.expected}
	switch {
	case use == nil:
		d.Span = source.Span{File: source.NewFile(p.show, "")}
	case use.Path != nil:
		d.Span = use.Path.Span
	default:
		d.Span = use.Shipped.Span
	}
	if m.code == diag.MissingBook {
		l.missing(&d, p, use)
	}
	if use != nil && d.Hint != "" {
		d.Mend = diag.Mend{Span: d.Span, Text: d.Hint}
	}
	l.list.Add(d)
}

// missing suggests the book that may have been meant.
func (l *loader) missing(d *diag.Diagnostic, p place, use *ast.Use) {
	shipped := l.names(l.shipped, ".")
	for i := range shipped {
		shipped[i] = strings.TrimSuffix(shipped[i], extension)
	}
	if p.shipped {
		name := p.show
		d.Message = "there is no shipped book " + diag.Quote(name)
		d.Expected = "a shipped book, or a file in quotation marks"
		if len(shipped) > 0 {
			d.Expected = "a shipped book (" + strings.Join(shipped, ", ") + "), or a file in quotation marks"
		}
		near, ok := diag.Nearest(name, shipped)
		d.Hint = near
		if from := l.folderOf(use); !ok && from != nil &&
			slices.Contains(l.names(from.fsys, path.Dir(from.path)), name+extension) {
			d.Hint = `"` + name + extension + `"`
		}
		return
	}
	d.Message = "there is no file " + diag.Quote(p.show)
	d.Expected = "a file in the folder of this book or below it"
	dir, base := path.Split(p.path)
	files := l.names(p.fsys, path.Clean(dir))
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

// folderOf is the place of the file book that holds a use; nil for a shipped one.
func (l *loader) folderOf(use *ast.Use) *place {
	if use == nil || len(l.stack) == 0 || l.stack[len(l.stack)-1].place.shipped {
		return nil
	}
	return &l.stack[len(l.stack)-1].place
}

// names lists the books of a folder.
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
