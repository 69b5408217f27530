package editor

// This file holds open documents with the books that they are.

import (
	"embed"
	"io"
	"io/fs"
	"net/url"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// Disk opens a folder of the machine, which nothing in it leads out of.
type Disk func(dir string) (Folder, error)

// Folder is an open folder.
type Folder interface {
	fs.FS
	io.Closer
}

// open is the text of an open document at one moment.
type open struct {
	URI     string
	Version int
	*Text
	Dir, Name string // where its file is, links followed; both "" where it is not a file
}

// document is an open rule book at one moment, with all that it uses, which is read when it is first asked for.
type document struct {
	*open
	beside map[string]*open // all open documents at that moment, by URI
	disk   Disk
	closed bool

	once     sync.Once
	read     atomic.Pointer[books]
	findings atomic.Pointer[vet.Findings] // nil until it was analysed
}

// books is a rule book with all that it uses, the texts of open documents in the place of files.
type books struct {
	*load.Loaded
	Mistakes diag.List
	asked    map[string]stamp // the files that were asked for, by their names in the folder
	facts
}

// Root is the document's own book.
func (b *books) Root() *book.Book { return b.Roots[0] }

// stamp is how a file is at a moment. The zero value is that of a file that is not there.
type stamp struct{ size, modified int64 }

// recorder is a folder that notes which files are asked for.
type recorder struct {
	*load.Folder
	asked map[string]stamp
}

func (r recorder) Open(name string) (fs.File, error) {
	f, err := r.Folder.Open(name)
	r.asked[name] = stampOf(r.Folder, name)
	return f, err
}

func stampOf(of fs.FS, name string) stamp {
	info, err := fs.Stat(of, name)
	if err != nil {
		return stamp{}
	}
	return stamp{info.Size(), info.ModTime().UnixNano()}
}

// opened is a document as a client opens it.
func opened(uri string, version int, text *Text) *open {
	o := &open{URI: uri, Version: version, Text: text}
	if name := pathOf(uri); name != "" {
		if real, err := filepath.EvalSymlinks(name); err == nil {
			name = real
		} else if dir, err := filepath.EvalSymlinks(filepath.Dir(name)); err == nil {
			name = filepath.Join(dir, filepath.Base(name))
		}
		o.Dir, o.Name = filepath.Split(name)
	}
	return o
}

// windows is set where the path of a file starts with its drive.
const windows = runtime.GOOS == "windows"

// pathOf is the file of a URI; "" where it is not that of a file.
func pathOf(uri string) string {
	u, err := url.Parse(uri)
	if err != nil || u.Scheme != "file" || !strings.HasPrefix(u.Path, "/") {
		return ""
	}
	if windows {
		return filepath.Clean(filepath.FromSlash(strings.TrimPrefix(u.Path, "/")))
	}
	return filepath.Clean(u.Path)
}

// uriOf is the URI of a file.
func uriOf(name string) string {
	name = filepath.ToSlash(name)
	if windows {
		name = "/" + name
	}
	return (&url.URL{Scheme: "file", Path: name}).String()
}

// show is the document as messages show it.
func (o *open) show() string {
	if o.Name == "" {
		return path.Base(o.URI)
	}
	return o.Name
}

// within is the name of a document in a folder, with "/" between folders; ok is false where it is not in it.
func (o *open) within(dir string) (name string, ok bool) {
	name, ok = strings.CutPrefix(o.Dir+o.Name, dir)
	return filepath.ToSlash(name), ok && dir != ""
}

// Folder opens the folder of the document, with the texts of open documents in the place of files.
func (d *document) Folder() (*load.Folder, io.Closer) {
	folder := &load.Folder{FS: embed.FS{}, Texts: map[string][]byte{}, Reads: func(string, fs.FileInfo, error) {}}
	for _, o := range d.beside {
		if name, ok := o.within(d.Dir); ok {
			folder.Texts[name] = []byte(o.All)
		}
	}
	folder.Texts[d.show()] = []byte(d.All)
	if d.Dir != "" {
		if root, err := d.disk(d.Dir); err == nil {
			folder.FS = root
			return folder, root
		}
	}
	return folder, io.NopCloser(nil)
}

// Books is the document with all that it uses.
func (d *document) Books() *books {
	d.once.Do(func() {
		b := &books{asked: map[string]stamp{}}
		folder, opened := d.Folder()
		defer opened.Close()
		b.Loaded, b.Mistakes = load.Load(rulesets.FS(), d.root(recorder{folder, b.asked}))
		b.prepare()
		d.read.Store(b)
	})
	return d.read.Load()
}

// root is the document as a book to load.
func (d *document) root(folder fs.FS) []load.Root {
	return []load.Root{{FS: folder, Path: d.show(), Show: d.show()}}
}

// mayUse reports whether a document may have been read with another one.
func (d *document) mayUse(o *open) bool {
	b := d.read.Load()
	name, ok := o.within(d.Dir)
	if b == nil || !ok {
		return ok
	}
	_, ok = b.asked[name]
	return ok
}

// changed reports whether a file that was read with the document is not as it was then.
func (d *document) changed() bool {
	b := d.read.Load()
	if b == nil {
		return false
	}
	folder, opened := d.Folder()
	defer opened.Close()
	for name, was := range b.asked {
		if stampOf(folder, name) != was {
			return true
		}
	}
	return false
}

// fileOf is the URI of a file of the books; "" for a shipped book, which has no place.
func (d *document) fileOf(f *source.File) string {
	if f == nil || f.Name == d.show() {
		return d.URI
	}
	for _, b := range d.Books().All {
		if b.File == f && b.Shipped {
			return ""
		}
	}
	name := filepath.Join(d.Dir, filepath.FromSlash(f.Name))
	for _, o := range d.beside {
		if o.Dir+o.Name == name {
			return o.URI
		}
	}
	return uriOf(name)
}

// Location is where a span of the books is; ok is false in a shipped book, which has no place.
func (d *document) Location(s source.Span) (at Location, ok bool) {
	at.URI = d.fileOf(s.File)
	text := d.Text
	if o := d.beside[at.URI]; o != nil {
		text = o.Text
	} else if s.File != nil {
		text = NewText(s.File.Text)
	}
	at.Range = text.Range(s)
	return at, at.URI != ""
}
