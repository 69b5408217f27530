package editor

// This file sends what is wrong with books: mistakes as soon as a text changes, and what the analysis finds once
// nothing has changed for a moment.

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"

	"ferrule/engine/vet"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
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

// finding is what is wrong with a file, by a document that was read with it.
type finding struct {
	vet.Finding
	by *document
}

// work sends what is wrong with documents as they change, and analyses them once nothing has changed for a moment.
func (s *server) work(ctx context.Context) {
	var fresh []*document // that were not analysed
	for {
		s.lock.Lock()
		todo, wait := s.todo, watching
		s.todo = nil
		if fresh = append(fresh, todo...); len(fresh) > 0 {
			wait = time.Until(s.edited.Add(rest))
		}
		s.lock.Unlock()
		if len(todo) > 0 {
			s.publish(todo)
			continue
		}
		select {
		case <-ctx.Done():
			return
		case <-s.wake:
		case <-time.After(wait):
			if len(fresh) == 0 {
				s.saved.Store(true)
			} else if s.analyse(ctx, fresh) {
				fresh = nil
				s.refresh(ctx)
			}
		}
		if s.saved.Swap(false) {
			s.look()
		}
	}
}

// publish sends the mistakes of documents that changed, and then what else follows from the change.
func (s *server) publish(todo []*document) {
	for _, d := range todo {
		now := s.document(d.URI)
		switch {
		case d.closed:
			s.send(d.URI, nil, true)
		case now == d, now != nil && now.open != d.open && len(d.All) < large: // else a newer one is on its way
			d.Books()
			s.send(d.URI, d, true)
		}
	}
	s.others()
	s.busy.Add(-int64(len(todo)))
}

// analyse analyses documents and sends what it finds. It reports whether it came to its end: the next change stops it.
func (s *server) analyse(ctx context.Context, fresh []*document) bool {
	within, stop := context.WithCancel(ctx)
	defer stop()
	s.lock.Lock()
	s.stop = stop
	if len(s.todo) > 0 {
		stop()
	}
	s.lock.Unlock()
	for _, d := range fresh {
		if s.document(d.URI) != d || d.findings.Load() != nil {
			continue
		}
		b := d.Books()
		found := vet.Sound(within, b.Root(), b.Schema, b.Mistakes)
		if within.Err() != nil {
			return false
		}
		d.findings.Store(&found)
		s.send(d.URI, d, true)
		for _, what := range found.LeftOut {
			message := d.show() + ": left out: " + what
			s.conn.Notify(ctx, "window/logMessage", map[string]any{"type": 3, "message": message})
		}
	}
	s.others()
	return true
}

// refresh has the client ask again for what may have changed with another book than the one that it shows.
func (s *server) refresh(ctx context.Context) {
	for method, can := range map[string]refreshed{"workspace/codeLens/refresh": s.client.Workspace.CodeLens,
		"workspace/inlayHint/refresh": s.client.Workspace.InlayHint} {
		if can.RefreshSupport {
			s.conn.DispatchCall(ctx, method, nil)
		}
	}
}

// send tells the client what is wrong with a file: always, or where that is not what it was told. The document is nil
// where the file is not open.
func (s *server) send(uri string, d *document, always bool) {
	p := published{URI: uri, Diagnostics: lists.Each(s.concerning(uri, d), finding.shown)}
	if d != nil {
		p.Version = &d.Version
	}
	text, _ := json.Marshal(p)
	was := s.sent[uri]
	if s.sent[uri] = string(text); d == nil && len(p.Diagnostics) == 0 {
		delete(s.sent, uri)
		always = always || was != ""
	} else if was != string(text) {
		always = true
	}
	if always {
		s.conn.Notify(context.Background(), "textDocument/publishDiagnostics", json.RawMessage(text))
	}
}

// others tells the client what else is wrong with files, be they open or not.
func (s *server) others() {
	docs, files := s.ready(), map[string]bool{}
	for uri := range s.sent {
		files[uri] = true
	}
	for _, d := range docs {
		for _, f := range d.found() {
			files[d.fileOf(f.Span.File)] = true
		}
	}
	delete(files, "") // shipped books
	for _, uri := range slices.Sorted(maps.Keys(files)) {
		if d := s.document(uri); d == nil || slices.Contains(docs, d) {
			s.send(uri, d, false)
		}
	}
}

// ready are the open documents that were read, in the order of their URIs.
func (s *server) ready() []*document {
	s.lock.Lock()
	defer s.lock.Unlock()
	docs := lists.Each(slices.Sorted(maps.Keys(s.docs)), func(uri string) *document { return s.docs[uri] })
	return lists.Kept(docs, func(d *document) bool { return d.read.Load() != nil })
}

// found is what is wrong with a document and with what it uses, as far as that is known.
func (d *document) found() (all []vet.Finding) {
	all = lists.Each(d.Books().Mistakes, func(m diag.Diagnostic) vet.Finding { return vet.Finding{Diagnostic: m} })
	if f := d.findings.Load(); f != nil {
		all = append(all, f.List...)
	}
	return all
}

// concerning is what is wrong with a file, by the open documents that were read with the same text of it; d is the
// document where it is open. Each is said once.
func (s *server) concerning(uri string, d *document) (all []finding) {
	docs, text := s.ready(), (*open)(nil)
	if d != nil {
		docs, text = lists.Also(docs, d), d.open
	}
	said := map[string]bool{}
	for _, o := range docs {
		if o.beside[uri] != text || text != nil && o.open != text && !o.mayUse(text) {
			continue
		}
		for _, f := range o.found() {
			key := fmt.Sprint(f.Code, f.Span.Start, f.Span.End, f.Message)
			if o.fileOf(f.Span.File) == uri && !said[key] {
				said[key] = true
				all = append(all, finding{f, o})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b finding) int {
		return cmp.Or(cmp.Compare(a.Span.Start, b.Span.Start), cmp.Compare(a.Code, b.Code))
	})
	return all
}

// shown is the finding as the client is told of it.
func (f finding) shown() diagnostic {
	at, _ := f.by.Location(f.Span)
	out := diagnostic{Range: at.Range, Severity: int(f.Severity), Code: f.Code, Source: "ferrule", Message: f.Message}
	if f.Code == vet.UnusedName {
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
