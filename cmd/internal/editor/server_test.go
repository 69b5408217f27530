package editor

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/sourcegraph/jsonrpc2"
)

// The life of a session as the Language Server Protocol 3.17 has it, "Server lifecycle": only initialize is answered
// before it, only exit counts after shutdown, and nothing is initialized twice.
func TestLifeOfASession(t *testing.T) {
	s := begin(t)
	expect := func(what string, got, want int) {
		t.Helper()
		if got != want {
			t.Errorf("%s: %d, expected %d", what, got, want)
		}
	}
	expect("a request too early", s.ask("textDocument/hover", s.about("a.ferrule"), nil), -32002)
	expect("shutdown too early", s.ask("shutdown", nil, nil), -32002)
	s.open("a.ferrule", "let x = ?") // is not heard
	expect("initialize", s.ask("initialize", map[string]any{"processId": nil, "capabilities": map[string]any{}}, nil), 0)
	expect("initialize again", s.ask("initialize", map[string]any{}, nil), -32600)
	expect("an unknown request", s.ask("ferrule/none", nil, nil), -32601)
	expect("shutdown", s.ask("shutdown", nil, nil), 0)
	expect("a request too late", s.ask("textDocument/hover", nil, nil), -32600)
	if len(s.kept) > 0 {
		t.Errorf("the server sent %v by itself", s.kept)
	}
	s.tell("exit", nil)
	if orderly := <-s.ended; !orderly {
		t.Error("shutdown and exit are not taken as an orderly end")
	}
	s.ended <- true
}

// A session that ends otherwise did not end as it should.
func TestOtherEnds(t *testing.T) {
	for name, end := range map[string]func(s *session){
		"exit without shutdown": func(s *session) { s.tell("exit", nil) },
		"no more messages":      func(s *session) { s.in.Close() },
		"a cut message":         func(s *session) { s.raw("Content-Length: 10\r\n\r\n{}"); s.in.Close() },
		"a body over 64 MiB":    func(s *session) { s.raw("Content-Length: 67108865\r\n\r\n") },
		"a length beyond all":   func(s *session) { s.raw("Content-Length: 99999999999999999999\r\n\r\n") },
		"headers over 1 MiB":    func(s *session) { s.raw("x-header: " + strings.Repeat("x", 1<<20) + "\r\n\r\n") },
		"the client is gone": func(s *session) {
			s.alive.Store(false)
			s.ask("initialize", map[string]any{"processId": 4711, "capabilities": map[string]any{}}, nil)
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := begin(t)
			end(s)
			select {
			case orderly := <-s.ended:
				if orderly {
					t.Error("this is taken as an orderly end")
				}
			case <-time.After(time.Minute):
				t.Fatal("the server goes on")
			}
			s.ended <- true
		})
	}
}

// A request that is cancelled is answered with the error that the protocol has for that ("Cancellation Support"), and no
// other one is. Here a request takes until it is cancelled.
func TestCancelledRequest(t *testing.T) {
	for _, id := range []jsonrpc2.ID{{Num: 7}, {Str: "seven", IsString: true}} {
		in, out := io.Pipe()
		s := &server{phase: running, out: &stream{out: out}}
		until := func(r *request) (any, error) { <-r.ctx.Done(); return "done", nil }
		at := func(*request) (any, error) { return "done", nil }
		answered := func() string {
			got := make([]byte, 1000)
			n, err := in.Read(got)
			if err != nil {
				t.Fatal(err)
			}
			return string(got[:n])
		}
		text, err := json.Marshal(id)
		if err != nil {
			t.Fatal(err)
		}
		other := jsonrpc2.ID{Num: 8}
		s.answer(context.Background(), id, &request{server: s}, until, nil)
		s.notified("$/cancelRequest", &params{ID: []byte("8")}) // which was not asked yet
		s.answer(context.Background(), other, &request{server: s}, at, nil)
		if got := answered(); !strings.Contains(got, `"result":"done"`) {
			t.Errorf("a request after the cancelling of its id: %s", got)
		}
		s.notified("$/cancelRequest", &params{ID: text})
		got := answered()
		if want := fmt.Sprintf(`"id":%s`, text); !strings.Contains(got, "-32800") || !strings.Contains(got, want) {
			t.Errorf("a cancelled request: %s", got)
		}
	}
}
