package editor

// This file is a client for tests: it talks to a server over pipes.

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// message is anything that a server sends.
type message struct {
	ID     json.RawMessage `json:"id"`
	Method string          `json:"method"`
	Params json.RawMessage `json:"params"`
	Result json.RawMessage `json:"result"`
	Error  *struct {
		Code    int    `json:"code"`
		Message string `json:"message"`
	} `json:"error"`
}

// session is a client with its server.
type session struct {
	testing.TB
	in      io.WriteCloser
	got     chan message
	kept    []message // that were not asked for yet
	ended   chan bool // what Serve returned
	folder  string
	last    int
	version map[string]int
	what    string      // is waited for
	alive   atomic.Bool // the process that the server looks for
}

// begin starts a server and a client. The files of the pairs are in a folder of their own.
func begin(t testing.TB, files ...string) *session {
	t.Helper()
	in, to := io.Pipe()
	from, out := io.Pipe()
	s := &session{TB: t, in: to, got: make(chan message, 10_000), ended: make(chan bool, 1), folder: t.TempDir(), version: map[string]int{}}
	s.alive.Store(true)
	for i := 0; i < len(files); i += 2 {
		s.write(files[i], files[i+1])
	}
	go func() {
		s.ended <- Serve(Options{In: in, Out: out, Disk: testFolder, Alive: func(int) bool { return s.alive.Load() }, Version: "test"})
		in.Close()
		out.Close()
	}()
	go func() {
		defer close(s.got)
		for r := bufio.NewReader(from); ; {
			var length int
			if _, err := fmt.Fscanf(r, "Content-Length: %d\r\n\r\n", &length); err != nil {
				return
			}
			body := make([]byte, length)
			if _, err := io.ReadFull(r, body); err != nil {
				return
			}
			var m message
			if err := json.Unmarshal(body, &m); err != nil {
				t.Errorf("the server sent %s", body)
			}
			s.got <- m
		}
	}()
	t.Cleanup(func() { to.Close(); <-s.ended })
	return s
}

// testFolder opens a folder as the command does.
func testFolder(dir string) (Folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return struct {
		fs.FS
		io.Closer
	}{root.FS(), root}, nil
}

// started is begin with what a client says first.
func started(t testing.TB, files ...string) *session {
	t.Helper()
	s := begin(t, files...)
	s.ask("initialize", map[string]any{"capabilities": map[string]any{}}, nil)
	s.tell("initialized", map[string]any{})
	return s
}

// write writes a file of the folder.
func (s *session) write(name, text string) {
	s.Helper()
	name = filepath.Join(s.folder, name)
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		s.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		s.Fatal(err)
	}
}

// uri is the URI of a file of the folder.
func (s *session) uri(name string) string { return uriOf(filepath.Join(s.folder, name)) }

// raw sends bytes.
func (s *session) raw(text string) {
	s.Helper()
	if _, err := io.WriteString(s.in, text); err != nil && err != io.ErrClosedPipe {
		s.Fatal(err)
	}
}

// send sends a message.
func (s *session) send(m map[string]any) {
	s.Helper()
	m["jsonrpc"] = "2.0"
	text, err := json.Marshal(m)
	if err != nil {
		s.Fatal(err)
	}
	s.raw(fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(text), text))
}

// tell sends a notification.
func (s *session) tell(method string, params any) {
	s.Helper()
	s.send(map[string]any{"method": method, "params": params})
}

// next waits for the first message that fits, and keeps the others.
func (s *session) next(what string, fits func(message) bool) message {
	s.Helper()
	if i := slices.IndexFunc(s.kept, fits); i >= 0 {
		m := s.kept[i]
		s.kept = slices.Delete(s.kept, i, i+1)
		return m
	}
	for late := time.After(time.Minute); ; {
		select {
		case m, ok := <-s.got:
			switch {
			case !ok:
				s.Fatalf("the server ended without %s", what)
			case fits(m):
				return m
			}
			s.kept = append(s.kept, m)
		case <-late:
			s.Fatalf("the server did not send %s %s", what, s.what)
		}
	}
}

// ask sends a request and waits for its answer, which it stores in result unless that is nil. It returns the code of
// an error, or 0.
func (s *session) ask(method string, params, result any) int {
	s.Helper()
	s.last++
	id := s.last
	s.send(map[string]any{"id": id, "method": method, "params": params})
	m := s.next("an answer to "+method, func(m message) bool { return m.Method == "" && string(m.ID) == fmt.Sprint(id) })
	if m.Error != nil {
		return m.Error.Code
	}
	if result != nil {
		if err := json.Unmarshal(m.Result, result); err != nil {
			s.Fatalf("%s: %v in %s", method, err, m.Result)
		}
	}
	return 0
}

// about are params about a file of the folder, with others.
func (s *session) about(name string, others ...any) map[string]any {
	p := map[string]any{"textDocument": map[string]any{"uri": s.uri(name)}}
	for i := 0; i < len(others); i += 2 {
		p[others[i].(string)] = others[i+1]
	}
	return p
}

// open opens a file of the folder with a text.
func (s *session) open(name, text string) {
	s.Helper()
	s.version[name]++
	s.tell("textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": s.uri(name), "languageId": "ferrule",
		"version": s.version[name], "text": text}})
}

// edit replaces a range of an open file; the whole text without one.
func (s *session) edit(name string, r *Range, text string) {
	s.Helper()
	s.version[name]++
	change := map[string]any{"text": text}
	if r != nil {
		change["range"] = r
	}
	s.tell("textDocument/didChange", map[string]any{"textDocument": map[string]any{"uri": s.uri(name), "version": s.version[name]},
		"contentChanges": []any{change}})
}

// close closes a file and waits until what was wrong with it is cleared.
func (s *session) close(name string) {
	s.Helper()
	s.tell("textDocument/didClose", s.about(name))
	s.next("that nothing is wrong with "+name, func(m message) bool {
		var p published
		json.Unmarshal(m.Params, &p)
		return m.Method == "textDocument/publishDiagnostics" && p.URI == s.uri(name) && p.Version == nil && len(p.Diagnostics) == 0
	})
}

// until waits until what is wrong with a file is as expected.
func (s *session) until(name, want string) {
	s.Helper()
	s.what = want
	for s.told(name) != want {
	}
	s.what = ""
}

// told waits for the next list of what is wrong with a file, in lines "3:14-17 unit-clash", with ends on other lines
// as "3:14-4:2". A list about an older text is passed over.
func (s *session) told(name string) string {
	s.Helper()
	for {
		m := s.next("what is wrong with "+name, func(m message) bool {
			var p published
			json.Unmarshal(m.Params, &p)
			return m.Method == "textDocument/publishDiagnostics" && p.URI == s.uri(name)
		})
		var p published
		json.Unmarshal(m.Params, &p)
		if p.Version != nil && *p.Version != s.version[name] || p.Version == nil && s.version[name] > 0 {
			continue
		}
		var lines []string
		for _, d := range p.Diagnostics {
			end := fmt.Sprint(d.Range.End.Character)
			if d.Range.End.Line != d.Range.Start.Line {
				end = fmt.Sprintf("%d:%d", d.Range.End.Line, d.Range.End.Character)
			}
			lines = append(lines, fmt.Sprintf("%d:%d-%s %s", d.Range.Start.Line, d.Range.Start.Character, end, d.Code))
		}
		return strings.Join(lines, "\n")
	}
}
