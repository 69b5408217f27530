package editor

// This file cuts what comes from a client into messages.

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"sync"

	"github.com/sourcegraph/jsonrpc2"
)

// The most that a client may send at once, in bytes.
const (
	maxHeaders = 1 << 20
	maxBody    = 64 << 20
)

// stream is messages behind headers that say how long they are. What is not a message is answered and skipped.
type stream struct {
	in     *bufio.Reader // which holds as much as headers may have
	out    io.Writer
	beside func(func()) // calls a function while reading goes on
	ended  func()       // is called when there is no more to read, before the connection closes
	lock   sync.Mutex
}

// Close does nothing: nothing more is read from what has ended.
func (s *stream) Close() error { return nil }

// WriteObject writes a message.
func (s *stream) WriteObject(message any) error {
	body, err := json.Marshal(message)
	if err != nil {
		return err
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	_, err = s.out.Write(fmt.Appendf(nil, "Content-Length: %d\r\n\r\n%s", len(body), body))
	return err
}

// answer writes the answer to the request with an id: its member "result" or "error".
func (s *stream) answer(id any, member string, value any) error {
	return s.WriteObject(map[string]any{"jsonrpc": "2.0", "id": id, member: value})
}

// ReadObject reads the next message.
func (s *stream) ReadObject(message any) error {
	for {
		body, err := s.body()
		if err != nil {
			s.ended()
			return err
		}
		var code int64 = jsonrpc2.CodeParseError
		if json.Valid(body) {
			if json.Unmarshal(body, message) == nil {
				return nil
			}
			code = jsonrpc2.CodeInvalidRequest
		}
		var of struct {
			ID json.RawMessage `json:"id"`
		}
		json.Unmarshal(body, &of)
		s.beside(func() {
			s.answer(of.ID, "error", jsonrpc2.Error{Code: code, Message: "this is not a message of the protocol"})
		})
	}
}

// contentLength is the header that counts. Where a body was longer than its header said, the rest of it may be before
// the next one.
var contentLength = regexp.MustCompile(`(?i)content-length[ \t]*:[ \t]*(\d+)[ \t]*\r?\n$`)

// body reads the next body; of headers without a length it is empty.
func (s *stream) body() ([]byte, error) {
	length := 0
	for left := maxHeaders; ; {
		line, err := s.in.ReadSlice('\n')
		if err != nil {
			return nil, err
		}
		if left -= len(line); left < 0 {
			return nil, errors.New("the headers are too long")
		}
		if found := contentLength.FindSubmatch(line); found != nil {
			if length, err = strconv.Atoi(string(found[1])); err != nil || length > maxBody {
				return nil, errors.New("the message is too long")
			}
		}
		if len(line) <= 2 && (line[0] == '\n' || line[0] == '\r') {
			body, err := io.ReadAll(io.LimitReader(s.in, int64(length)))
			if err == nil && len(body) < length {
				err = io.ErrUnexpectedEOF
			}
			return body, err
		}
	}
}
