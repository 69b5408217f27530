// Package editor is the companion of editors: a server of the Language Server Protocol 3.17 over two streams. It shows
// of a book what "vet" and "test" find, by the same stages.
//
// stream.go cuts messages, protocol.go holds them, server.go takes them, text.go counts places, document.go holds open
// documents and publish.go sends what is wrong with them.
package editor

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"maps"
	"sync"
	"time"

	"github.com/sourcegraph/jsonrpc2"

	"ferrule/lang/diag"
)

// Options is what a server needs of its machine.
type Options struct {
	In      io.Reader
	Out     io.Writer
	Disk    Disk
	Alive   func(process int) bool
	Version string // of the program
}

// The codes of errors that the protocol adds.
const (
	codeNotInitialized = -32002
	codeRequestFailed  = -32803
)

// patience is how long a client that has gone may keep the server, and alive how often it looks for its process.
const (
	patience = 500 * time.Millisecond
	alive    = 2 * time.Second
)

// phase is where a session is. The zero value is before its start.
type phase int

const (
	running phase = iota + 1
	shut
)

// server is a session with a client. What is not under its lock is for the goroutine that reads messages alone.
type server struct {
	Options
	phase  phase
	client client
	roots  []string       // the folders that the client has open
	exit   chan bool      // gets one value when the client says exit: whether it said shutdown before
	busy   sync.WaitGroup // answers and mistakes that were not sent yet

	lock   sync.Mutex
	docs   map[string]*document // by URI
	todo   []*document          // changed, and not sent yet
	back   []*document          // analysed, or not to the end
	edited time.Time
	saved  bool               // files may have changed
	stop   context.CancelFunc // ends the analysis
	wake   chan struct{}      // has something in it when the worker should look for work

	process chan int          // gets the process of the client
	sent    map[string]string // by URI: what the client was told; for the worker alone
}

// request is what a client asks about a document.
type request struct {
	params
	*server
	ctx context.Context
	doc *document // as it was when the request came
}

// feature is a request that is answered, with the member of the server's capabilities that says so.
type feature struct {
	provider string
	options  any
	answer   func(r *request) (any, error)
}

// Serve answers a client until it says exit, its messages end or its process has gone. It reports whether the client
// said shutdown and exit.
func Serve(o Options) bool {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	s := &server{Options: o, exit: make(chan bool, 1), docs: map[string]*document{}, wake: make(chan struct{}, 1),
		process: make(chan int, 1), stop: func() {}, sent: map[string]string{}}
	in := &stream{in: bufio.NewReader(o.In), out: o.Out, ended: s.settle, beside: s.beside}
	conn := jsonrpc2.NewConn(ctx, in, s, jsonrpc2.SetLogger(log.New(io.Discard, "", 0)))
	go s.work(ctx, conn)
	process, ticks := 0, time.NewTicker(alive)
	defer ticks.Stop()
	for {
		select {
		case orderly := <-s.exit:
			return orderly
		case <-conn.DisconnectNotify():
			return false
		case process = <-s.process:
		case <-ticks.C:
			if process > 0 && !o.Alive(process) {
				return false
			}
		}
	}
}

// settle waits a moment for what is being answered.
func (s *server) settle() {
	done := make(chan struct{})
	go func() {
		s.busy.Wait()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(patience):
	}
}

// beside does something beside the reading of messages, which nothing may hold up: a client may not read what is sent.
func (s *server) beside(do func()) {
	s.busy.Add(1)
	go func() {
		defer s.busy.Done()
		do()
	}()
}

// Handle takes a message.
func (s *server) Handle(ctx context.Context, conn *jsonrpc2.Conn, m *jsonrpc2.Request) {
	if m.Method == "exit" {
		s.settle()
		s.exit <- s.phase == shut
		return
	}
	var p params
	var bad error
	if m.Params != nil {
		bad = json.Unmarshal(*m.Params, &p)
	}
	if m.Notif {
		if bad == nil && s.phase == running {
			s.notified(m.Method, &p)
		}
		return
	}
	answer := s.answer(ctx, m.Method, &p, bad)
	s.beside(func() {
		result, err := answer()
		if err == nil {
			conn.Reply(ctx, m.ID, result)
			return
		}
		conn.ReplyWithError(ctx, m.ID, err)
	})
}

// answer returns what works out the answer to a request, from the documents as they are now.
func (s *server) answer(ctx context.Context, method string, p *params, bad error) func() (any, *jsonrpc2.Error) {
	fail := func(code int64, format string, args ...any) func() (any, *jsonrpc2.Error) {
		return func() (any, *jsonrpc2.Error) {
			return nil, &jsonrpc2.Error{Code: code, Message: fmt.Sprintf(format, args...)}
		}
	}
	feature, known := features()[method]
	switch {
	case s.phase == shut:
		return fail(jsonrpc2.CodeInvalidRequest, "the server was shut down; only exit may follow")
	case s.phase == 0 && method != "initialize":
		return fail(codeNotInitialized, "the server was not initialized; initialize comes first")
	case s.phase == running && method == "initialize":
		return fail(jsonrpc2.CodeInvalidRequest, "the server was initialized already")
	case !known && method != "initialize" && method != "shutdown":
		return fail(jsonrpc2.CodeMethodNotFound, "this server does not answer %s", diag.Quote(method))
	case bad != nil:
		return fail(jsonrpc2.CodeInvalidParams, "the params of %s are not as the protocol has them", method)
	case method == "initialize":
		s.phase, s.client, s.roots = running, p.Capabilities, []string{p.RootURI}
		for _, f := range p.Folders {
			s.roots = append(s.roots, f.URI)
		}
		s.process <- p.ProcessID
		return func() (any, *jsonrpc2.Error) { return s.abilities(), nil }
	case method == "shutdown":
		s.phase = shut
		return func() (any, *jsonrpc2.Error) { return nil, nil }
	}
	r := &request{params: *p, server: s, ctx: ctx}
	if r.doc = s.document(p.TextDocument.URI); r.doc == nil {
		return fail(jsonrpc2.CodeInvalidParams, "%s is not open", diag.Quote(p.TextDocument.URI))
	}
	return func() (any, *jsonrpc2.Error) {
		result, err := feature.answer(r)
		if err != nil {
			return nil, &jsonrpc2.Error{Code: codeRequestFailed, Message: err.Error()}
		}
		return result, nil
	}
}

// document is an open document; nil if there is none.
func (s *server) document(uri string) *document {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.docs[uri]
}

// features are the requests that are answered, by method.
func features() map[string]feature {
	all := map[string]feature{
		"textDocument/codeAction": {"codeActionProvider",
			map[string]any{"codeActionKinds": []string{quickFix, fixAll, rewrite}}, actions},
		"textDocument/formatting":      {"documentFormattingProvider", true, formatted},
		"textDocument/rangeFormatting": {"documentRangeFormattingProvider", true, formattedRange},
		"textDocument/foldingRange":    {"foldingRangeProvider", true, folds},
		"textDocument/documentSymbol":  {"documentSymbolProvider", true, symbols},
		"textDocument/codeLens":        {"codeLensProvider", map[string]any{}, lenses},
		"textDocument/inlayHint":       {"inlayHintProvider", true, hints},
	}
	maps.Copy(all, wordFeatures)
	return all
}

// abilities is the answer to initialize.
func (s *server) abilities() any {
	can := map[string]any{
		"positionEncoding": "utf-16",
		"textDocumentSync": map[string]any{"openClose": true, "change": 2, "save": true},
	}
	for _, f := range features() {
		can[f.provider] = f.options
	}
	return map[string]any{"capabilities": can, "serverInfo": map[string]any{"name": "ferrule", "version": s.Version}}
}

// notified takes a notification.
func (s *server) notified(method string, p *params) {
	uri := p.TextDocument.URI
	old := s.document(uri)
	switch {
	case method == "textDocument/didOpen":
		s.change(opened(uri, p.TextDocument.Version, NewText(p.TextDocument.Text)), false)
	case method == "textDocument/didChange" && old != nil:
		now := *old.open
		now.Version = p.TextDocument.Version
		for _, c := range p.ContentChanges {
			if c.Range == nil {
				now.Text = NewText(c.Text)
			} else {
				now.Text = now.With(*c.Range, c.Text)
			}
		}
		s.change(&now, false)
	case method == "textDocument/didClose" && old != nil:
		s.change(old.open, true)
	case method == "textDocument/didSave", method == "workspace/didChangeWatchedFiles":
		s.lock.Lock()
		s.saved = true
		s.lock.Unlock()
		s.rouse()
	}
}
