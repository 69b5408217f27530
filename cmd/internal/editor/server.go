// Package editor is a language server (Language Server Protocol 3.17) over two streams. It shows in an editor what
// "vet" and "test" find in a book, by the same stages.
//
// stream.go cuts messages, protocol.go holds them, server.go takes them, text.go counts places, document.go holds open
// documents and publish.go sends what is wrong with them.
package editor

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"log"
	"sync"
	"sync/atomic"
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
	codeCancelled      = -32800
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
	roots  []string     // the folders that the client has open
	exit   chan bool    // gets one value when the client says exit: whether it said shutdown before
	busy   atomic.Int64 // answers and mistakes that were not sent yet

	lock   sync.Mutex
	docs   map[string]*document // by URI
	todo   []*document          // changed, and not sent yet
	edited time.Time
	stop   context.CancelFunc // ends the analysis
	saved  atomic.Bool        // files may have changed
	wake   chan struct{}      // has something in it when the worker should look for work

	process atomic.Int64 // of the client; 0 where it is not known
	asked   sync.Map     // by id: the function that cancels a request that was not answered yet

	out  *stream
	conn *jsonrpc2.Conn    // for the worker alone
	sent map[string]string // for the worker alone, by URI: what the client was told
}

// request is what a client asks about a document.
type request struct {
	params
	*server
	ctx context.Context // ends where the client cancels the request
	doc *document       // as it was when the request came
}

// feature is a request that is answered, with the member of the server's capabilities that says so.
type feature struct {
	provider string
	options  any
	answer   answer
}

// answer works out the answer to a request.
type answer func(r *request) (any, error)

// Serve answers a client until it says exit, its messages end or its process has gone. It reports whether the client
// said shutdown and exit.
func Serve(o Options) bool {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	s := &server{Options: o, exit: make(chan bool, 1), docs: map[string]*document{}, wake: make(chan struct{}, 1),
		stop: func() {}, sent: map[string]string{}}
	s.out = &stream{in: bufio.NewReaderSize(o.In, maxHeaders), out: o.Out, ended: s.settle, beside: s.beside}
	s.conn = jsonrpc2.NewConn(ctx, s.out, s, jsonrpc2.SetLogger(log.New(io.Discard, "", 0)))
	go s.work(ctx)
	ticks := time.NewTicker(alive)
	defer ticks.Stop()
	for {
		select {
		case orderly := <-s.exit:
			return orderly
		case <-s.conn.DisconnectNotify():
			return false
		case <-ticks.C:
			if process := int(s.process.Load()); process > 0 && !o.Alive(process) {
				return false
			}
		}
	}
}

// settle waits a moment for what is being answered.
func (s *server) settle() {
	for end := time.Now().Add(patience); s.busy.Load() > 0 && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
}

// beside does something beside the reading of messages, which nothing may hold up: a client may not read what is sent.
func (s *server) beside(do func()) {
	s.busy.Add(1)
	go func() {
		defer s.busy.Add(-1)
		do()
	}()
}

// Handle takes a message.
func (s *server) Handle(ctx context.Context, _ *jsonrpc2.Conn, m *jsonrpc2.Request) {
	if m.Method == "exit" {
		s.settle()
		s.exit <- s.phase == shut
		return
	}
	r := &request{server: s}
	var bad error
	if m.Params != nil {
		bad = json.Unmarshal(*m.Params, &r.params)
	}
	if m.Notif {
		if bad == nil && s.phase == running {
			s.notified(m.Method, &r.params)
		}
		return
	}
	f, known := features()[m.Method]
	r.doc = s.document(r.TextDocument.URI)
	refused := s.refusal(m.Method, known, bad, r.doc != nil || f.provider == "")
	switch {
	case refused != nil:
	case m.Method == "initialize":
		s.phase, s.client, s.roots = running, r.Capabilities, []string{r.RootURI}
		for _, f := range r.Folders {
			s.roots = append(s.roots, f.URI)
		}
		s.process.Store(int64(r.ProcessID))
	case m.Method == "shutdown":
		s.phase = shut
	}
	s.answer(ctx, m.ID, r, f.answer, refused)
}

// answer answers a request beside the reading of messages, unless it is refused or the client cancels it.
func (s *server) answer(ctx context.Context, as jsonrpc2.ID, r *request, how answer, refused *jsonrpc2.Error) {
	var id any = int64(as.Num) // which jsonrpc2 keeps without its sign
	if as.IsString {
		id = as.Str
	}
	key, _ := json.Marshal(id)
	within, cancel := context.WithCancel(ctx)
	r.ctx = within
	s.asked.Store(string(key), cancel)
	s.beside(func() {
		defer cancel()
		var result any
		if refused == nil {
			var err error
			if result, err = how(r); within.Err() != nil {
				refused = &jsonrpc2.Error{Code: codeCancelled, Message: "the client cancelled the request"}
			} else if err != nil {
				refused = &jsonrpc2.Error{Code: codeRequestFailed, Message: err.Error()}
			}
		}
		s.asked.Delete(string(key))
		if refused != nil {
			s.out.answer(id, "error", refused)
			return
		}
		s.out.answer(id, "result", result)
	})
}

// refusal is why a request is not answered; nil where it is.
func (s *server) refusal(method string, known bool, bad error, open bool) *jsonrpc2.Error {
	code, message := int64(jsonrpc2.CodeInvalidRequest), ""
	switch {
	case s.phase == shut:
		message = "the server was shut down; only exit may follow"
	case s.phase == running && method == "initialize":
		message = "the server was initialized already"
	case s.phase == 0 && method != "initialize":
		code, message = codeNotInitialized, "the server was not initialized; initialize comes first"
	case !known:
		code, message = jsonrpc2.CodeMethodNotFound, "this server does not answer "+diag.Quote(method)
	case bad != nil:
		code, message = jsonrpc2.CodeInvalidParams, "the params of "+method+" are not as the protocol has them"
	case !open:
		code, message = jsonrpc2.CodeInvalidParams, "the document is not open"
	default:
		return nil
	}
	return &jsonrpc2.Error{Code: code, Message: message}
}

// document is an open document; nil if there is none.
func (s *server) document(uri string) *document {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.docs[uri]
}

// features are the requests that are answered, by method.
func features() map[string]feature {
	return map[string]feature{
		"initialize": {"", nil, func(r *request) (any, error) { return r.abilities(), nil }},
		"shutdown":   {"", nil, func(*request) (any, error) { return nil, nil }},
		"textDocument/codeAction": {"codeActionProvider",
			map[string]any{"codeActionKinds": []string{quickFix, fixAll, rewrite}}, actions},
		"textDocument/formatting":      {"documentFormattingProvider", true, formatted},
		"textDocument/rangeFormatting": {"documentRangeFormattingProvider", true, formattedRange},
		"textDocument/foldingRange":    {"foldingRangeProvider", true, folds},
		"textDocument/documentSymbol":  {"documentSymbolProvider", true, symbols},
		"textDocument/codeLens":        {"codeLensProvider", map[string]any{}, lenses},
		"textDocument/inlayHint":       {"inlayHintProvider", true, hints},
		"textDocument/definition":      {"definitionProvider", true, definition},
		"textDocument/references":      {"referencesProvider", true, references},
		"textDocument/rename":          {"renameProvider", map[string]bool{"prepareProvider": true}, rename},
		"textDocument/completion": {"completionProvider",
			map[string]any{"triggerCharacters": []string{" "}}, completion},
		"textDocument/hover": {"hoverProvider", true, hover},
		"textDocument/semanticTokens/full": {"semanticTokensProvider", map[string]any{"full": true,
			"legend": map[string]any{"tokenTypes": tokenTypes, "tokenModifiers": []string{}}}, semanticTokens},
		"textDocument/prepareRename": {"renameProvider", map[string]bool{"prepareProvider": true}, prepareRename},
	}
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
	delete(can, "")
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
	case method == "$/cancelRequest":
		if cancel, ok := s.asked.Load(string(p.ID)); ok {
			cancel.(context.CancelFunc)()
		}
	case method == "textDocument/didClose" && old != nil:
		s.change(old.open, true)
	case method == "textDocument/didSave", method == "workspace/didChangeWatchedFiles":
		s.saved.Store(true)
		s.rouse()
	}
}
