package spool

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"testing"
)

// memory is a file in memory, of a size that it cannot exceed.
type memory struct {
	text   []byte
	most   int
	closed bool
}

func (m *memory) WriteAt(b []byte, at int64) (int, error) {
	if int(at)+len(b) > m.most {
		return 0, errors.New("no room is left")
	}
	m.text = append(m.text[:at], b...)
	return len(b), nil
}

func (m *memory) ReadAt(b []byte, at int64) (int, error) {
	if n := copy(b, m.text[at:]); n < len(b) {
		return n, io.ErrUnexpectedEOF
	}
	return len(b), nil
}

func (m *memory) Close() error { m.closed = true; return nil }

// TestSpool holds pieces of random length to what was put down, with a file and without.
func TestSpool(t *testing.T) {
	for _, file := range []*memory{nil, {most: 1 << 20}} {
		s := Spool{Most: 100}
		if file != nil {
			s.Open = func() (File, error) { return file, nil }
		}
		for range 2 {
			random := rand.New(rand.NewPCG(1, 2))
			var all []byte
			var ends []int
			for range 1000 {
				for range random.IntN(60) {
					b := byte(random.IntN(256))
					all, s.Tail = append(all, b), append(s.Tail, b)
				}
				ends = append(ends, len(all))
				s.Settle()
			}
			from := 0
			for _, to := range ends {
				if got := s.Piece([]byte("x"), int64(from), to-from); !bytes.Equal(got[1:], all[from:to]) || got[0] != 'x' {
					t.Fatalf("bytes %d to %d are %q, want %q", from, to, got, all[from:to])
				}
				some := s.Some(nil, int64(from), 200)
				if len(some) < to-from || len(some) > 200 || !bytes.HasPrefix(all[from:], some) {
					t.Fatalf("%d bytes from %d on are %q", len(some), from, some)
				}
				from = to
			}
			if s.Len() != int64(len(all)) || s.Err() != nil || file != nil && len(s.Tail) >= 200 {
				t.Errorf("%d bytes, want %d; %d in memory, %v", s.Len(), len(all), len(s.Tail), s.Err())
			}
			s.Reset()
		}
		if s.Close(); file != nil && !file.closed {
			t.Error("the file is left open")
		}
	}
}

// TestNoRoom holds that a file without room is told of.
func TestNoRoom(t *testing.T) {
	for _, open := range []func() (File, error){
		func() (File, error) { return &memory{most: 10}, nil },
		func() (File, error) { return nil, errors.New("no file") },
	} {
		s := Spool{Open: open, Most: 4}
		for range 4 {
			s.Tail = append(s.Tail, "abcde"...)
			s.Settle()
		}
		if s.Err() == nil {
			t.Error("nothing is told")
		}
		s.Piece(nil, 0, 5)
		s.Close()
	}
}
