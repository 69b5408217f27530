package editor

// This file sends what is wrong with books: mistakes as soon as a text changes, and what the analysis finds once
// nothing has changed for a moment.

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"time"

	"github.com/sourcegraph/jsonrpc2"

	"ferrule/engine/vet"
	"ferrule/lang/diag"
)

const (
	rest     = 300 * time.Millisecond // without a change, before books are analysed
	watching = time.Second            // between two looks at the files that books use
	large    = 1 << 18                // bytes of a text of which only the newest version is read
)

// diagnostic is one thing that is wrong with a book.
type diagnostic struct {
	Range    Range     `json:"range"`
	Severity int       `json:"severity"`
	Code     diag.Code `json:"code"`
	Source   string    `json:"source"`
	Message  string    `json:"message"`
	Tags     []int     `json:"tags,omitempty"`
	Related  []related `json:"relatedInformation,omitempty"`
}

// unnecessary is the tag of what an editor may grey out.
const unnecessary = 1

// related is another place that belongs to a diagnostic.
type related struct {
	Location Location `json:"location"`
	Message  string   `json:"message"`
}

// published is what a client is told of a file.
type published struct {
	URI         string       `json:"uri"`
	Version     *int         `json:"version,omitempty"` // of an open document
	Diagnostics []diagnostic `json:"diagnostics"`
}

// take takes what there is to do: documents that changed, that were analysed or whose analysis was stopped, and whether
// to look at files.
func (s *server) take() (todo, back []*document, look bool, edited time.Time) {
	s.lock.Lock()
	defer s.lock.Unlock()
	todo, back, look = s.todo, s.back, s.saved
	s.todo, s.back, s.saved = nil, nil, false
	return todo, back, look, s.edited
}

// work sends what is wrong with documents as they change.
func (s *server) work(ctx context.Context, conn *jsonrpc2.Conn) {
	var fresh []*document // that were not analysed
	jobs := make(chan []*document)
	go s.analyse(ctx, jobs)
	for {
		todo, back, look, edited := s.take()
		if len(todo) > 0 {
			s.publish(ctx, conn, todo)
		}
		for _, d := range back {
			if d.findings.Load() == nil {
				fresh = append(fresh, d)
			} else if s.document(d.URI) == d {
				s.send(ctx, conn, s.about(d.URI, d))
				for _, what := range d.findings.Load().LeftOut {
					conn.Notify(ctx, "window/logMessage", map[string]any{"type": 3, "message": d.show() + ": left out: " + what})
				}
			}
		}
		if len(back) > 0 {
			s.others(ctx, conn)
		}
		fresh = append(fresh, todo...)
		wait, ready := watching, jobs
		if len(fresh) == 0 {
			ready = nil
		} else if wait = time.Until(edited.Add(rest)); wait > 0 {
			ready = nil
		} else {
			wait = watching
		}
		select {
		case <-ctx.Done():
			return
		case ready <- fresh:
			fresh = nil
			s.refresh(ctx, conn)
		case <-s.wake:
		case <-time.After(wait):
			look = look || len(fresh) == 0
		}
		if look {
			s.look()
		}
	}
}

// analyse analyses documents. The next change stops it.
func (s *server) analyse(ctx context.Context, jobs <-chan []*document) {
	for {
		select {
		case <-ctx.Done():
			return
		case docs := <-jobs:
			within, stop := context.WithCancel(ctx)
			s.lock.Lock()
			if s.stop = stop; len(s.todo) > 0 {
				stop()
			}
			s.lock.Unlock()
			for _, d := range docs {
				if s.document(d.URI) != d || d.findings.Load() != nil {
					continue
				}
				b := d.Books()
				if found := vet.Sound(within, b.Root(), b.Schema, b.Mistakes); within.Err() == nil {
					d.findings.Store(&found)
				}
				s.lock.Lock()
				s.back = append(s.back, d)
				s.lock.Unlock()
				s.rouse()
			}
			stop()
		}
	}
}

// refresh has the client ask again for what may have changed with another book than the one that it shows.
func (s *server) refresh(ctx context.Context, conn *jsonrpc2.Conn) {
	for method, can := range map[string]refreshed{"workspace/codeLens/refresh": s.client.Workspace.CodeLens,
		"workspace/inlayHint/refresh": s.client.Workspace.InlayHint} {
		if can.RefreshSupport {
			conn.DispatchCall(ctx, method, nil)
		}
	}
}

// publish sends the mistakes of documents that changed, and then what else follows from the change.
func (s *server) publish(ctx context.Context, conn *jsonrpc2.Conn, todo []*document) {
	for _, d := range todo {
		now := s.document(d.URI)
		switch {
		case d.closed:
			s.send(ctx, conn, published{URI: d.URI})
		case now == d, now != nil && now.open != d.open && len(d.All) < large: // else a newer one is on its way
			d.Books()
			s.send(ctx, conn, s.about(d.URI, d))
		}
	}
	s.others(ctx, conn)
	for range todo {
		s.busy.Done()
	}
}

// send tells the client of a file.
func (s *server) send(ctx context.Context, conn *jsonrpc2.Conn, p published) {
	p.Diagnostics = append([]diagnostic{}, p.Diagnostics...)
	text, _ := json.Marshal(p)
	if s.sent[p.URI] = string(text); len(p.Diagnostics) == 0 && p.Version == nil {
		delete(s.sent, p.URI)
	}
	conn.Notify(ctx, "textDocument/publishDiagnostics", json.RawMessage(text))
}

// others tells the client of the files of which something else is known than it was told, be they open or not.
func (s *server) others(ctx context.Context, conn *jsonrpc2.Conn) {
	docs := s.ready()
	files := map[string]*document{}
	for uri := range s.sent {
		files[uri] = nil
	}
	for _, d := range docs {
		for _, f := range d.found() {
			files[d.fileOf(f.Span.File)] = nil
		}
	}
	for _, d := range docs {
		files[d.URI] = d
	}
	delete(files, "")
	for _, uri := range slices.Sorted(maps.Keys(files)) {
		p := s.about(uri, files[uri])
		text, _ := json.Marshal(p)
		was, told := s.sent[uri]
		if s.document(uri) == files[uri] && was != string(text) && (told || len(p.Diagnostics) > 0) {
			s.send(ctx, conn, p)
		}
	}
}

// ready are the open documents that were read, in the order of their URIs.
func (s *server) ready() []*document {
	s.lock.Lock()
	defer s.lock.Unlock()
	unread := func(d *document) bool { return d.read.Load() == nil }
	docs := slices.DeleteFunc(slices.Collect(maps.Values(s.docs)), unread)
	slices.SortFunc(docs, func(a, b *document) int { return cmp.Compare(a.URI, b.URI) })
	return docs
}

// found is what is wrong with a document and with what it uses, as far as that is known.
func (d *document) found() []vet.Finding {
	var all []vet.Finding
	for _, m := range d.Books().Mistakes {
		all = append(all, vet.Finding{Diagnostic: m})
	}
	if f := d.findings.Load(); f != nil {
		all = append(all, f.List...)
	}
	return all
}

// concerning is what is wrong with a file, by the open documents that were read with the same text of it; d is the
// document where it is open. Each is said once.
func (s *server) concerning(uri string, d *document) (all []finding) {
	var text *open // nil where the file is not open
	var docs []*document
	if d != nil {
		text, docs = d.open, []*document{d}
	}
	for _, o := range s.ready() {
		if o != d && o.beside[uri] == text && (text == nil || o.mayUse(text)) {
			docs = append(docs, o)
		}
	}
	for _, o := range docs {
		for _, f := range o.found() {
			if f := (finding{f, o}); o.fileOf(f.Span.File) == uri && !slices.ContainsFunc(all, f.same) {
				all = append(all, f)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b finding) int {
		return cmp.Or(cmp.Compare(a.Span.Start, b.Span.Start), cmp.Compare(a.Code, b.Code))
	})
	return all
}

// finding is what is wrong with a file, by a document that was read with it.
type finding struct {
	vet.Finding
	by *document
}

// same reports whether two documents say the same of a file.
func (f finding) same(g finding) bool {
	return f.Code == g.Code && f.Message == g.Message && f.Span.Start == g.Span.Start && f.Span.End == g.Span.End
}

// about is what the client is told of a file.
func (s *server) about(uri string, d *document) published {
	p := published{URI: uri, Diagnostics: []diagnostic{}}
	if d != nil {
		p.Version = &d.Version
	}
	for _, f := range s.concerning(uri, d) {
		p.Diagnostics = append(p.Diagnostics, f.shown())
	}
	return p
}

// shown is the finding as the client is told of it.
func (f finding) shown() diagnostic {
	at, _ := f.by.Location(f.Span)
	out := diagnostic{Range: at.Range, Severity: int(f.Severity), Code: f.Code, Source: "ferrule", Message: f.Message}
	if f.Code == diag.UnusedName {
		out.Tags = []int{unnecessary}
	}
	for _, l := range f.Related {
		if at, ok := f.by.Location(l.Span); ok && !l.Span.IsZero() {
			out.Related = append(out.Related, related{at, l.Text})
		}
	}
	return out
}

// change takes in that a document changed or was closed. It and those that use it are read anew.
func (s *server) change(o *open, closed bool) {
	s.lock.Lock()
	defer s.lock.Unlock()
	delete(s.docs, o.URI)
	var again []*open
	for _, d := range s.docs {
		if d.mayUse(o) {
			again = append(again, d.open)
		}
	}
	if closed {
		s.queue(&document{open: o, closed: true})
	} else {
		again = slices.Insert(again, 0, o)
	}
	s.renew(again)
}

// renew has documents read anew. The lock is held.
func (s *server) renew(again []*open) {
	beside := map[string]*open{}
	for _, d := range s.docs {
		beside[d.URI] = d.open
	}
	for _, o := range again {
		beside[o.URI] = o
	}
	for _, o := range again {
		d := &document{open: o, beside: beside, disk: s.Disk}
		s.docs[o.URI] = d
		s.queue(d)
	}
}

// queue hands a document over to the worker. The lock is held.
func (s *server) queue(d *document) {
	s.busy.Add(1)
	s.todo = append(s.todo, d)
	s.edited = time.Now()
	s.stop()
	s.rouse()
}

// rouse wakes the worker.
func (s *server) rouse() {
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

// look has those documents read anew that were read with a file that has changed since.
func (s *server) look() {
	for _, d := range s.ready() {
		if !d.changed() {
			continue
		}
		s.lock.Lock()
		if s.docs[d.URI] == d {
			s.renew([]*open{d.open})
		}
		s.lock.Unlock()
	}
}
