package bench

// This file keeps the readings of a session beside the sheet, a line each, until the sheet is written.

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"ferrule/engine/session"
	"ferrule/lang/diag"
)

// head is the first line of the file of readings.
type head struct {
	Schema string `json:"schema"`
	Sheet  string `json:"sheet"`
	Digest string `json:"sha256"` // of the sheet that the readings were taken for
}

const schema = "ferrule.readings/1"

// journal is the file of readings, locked.
type journal struct {
	*os.File
	head    head
	size    int64 // bytes of whole lines
	torn    bool  // there are others behind them
	entries []session.Entry
}

// openJournal opens the file of readings of a sheet and takes the lock on it.
func openJournal(name string) (*journal, error) {
	for {
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			return nil, err
		}
		free, err := lock(f)
		mine, _ := f.Stat()
		there, _ := os.Stat(name)
		switch {
		case err == nil && free && os.SameFile(mine, there):
			return &journal{File: f}, nil
		case err == nil && !free:
			err = fmt.Errorf("another session has this sheet open (%s is locked); end that one first", diag.Quote(name))
		case err != nil:
			err = fmt.Errorf("could not lock %s: %w", diag.Quote(name), err)
		}
		if f.Close(); err != nil {
			return nil, err
		}
		// another session ended and took the file away meanwhile
	}
}

// load reads what is kept for a sheet of that name. What is behind the last whole line is dropped.
func (j *journal) load(sheet string) error {
	text, err := io.ReadAll(j)
	for n := 1; err == nil && len(text) > 0; n++ {
		line, rest, whole := bytes.Cut(text, []byte{'\n'})
		begins := []byte(`{"schema":"` + schema)
		if !whole && (n > 1 || bytes.HasPrefix(line, begins) || bytes.HasPrefix(begins, line)) {
			j.torn = true
			break
		}
		var e session.Entry
		wrong := ""
		switch {
		case n == 1 && (json.Unmarshal(line, &j.head) != nil || j.head.Schema != schema):
			wrong = "this is not the first line of a file of readings"
		case n == 1 && j.head.Sheet != sheet:
			wrong = "the readings are for the sheet " + diag.Quote(j.head.Sheet) + ", not " + diag.Quote(sheet)
		case n > 1 && json.Unmarshal(line, &e) != nil:
			wrong = "this line is damaged"
		case n > 1:
			j.entries = append(j.entries, e)
		}
		if wrong != "" {
			return j.broken(n, wrong)
		}
		j.size += int64(len(line)) + 1
		text = rest
	}
	return err
}

// broken is the error of a line that cannot be taken.
func (j *journal) broken(line int, what string) error {
	return fmt.Errorf("%s:%d: %s; nothing was changed. Mend that, or move the file away to begin anew",
		diag.Visible(j.Name()), line, what)
}

// replay takes the kept lines into a session.
func (j *journal) replay(s *session.Session) (*session.Session, error) {
	for i, e := range j.entries {
		next, err := s.Apply(e)
		if err != nil {
			return nil, j.broken(i+2, err.Error())
		}
		s = next
	}
	return s, nil
}

// line is a line of the file.
func line(v any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.Encode(v)
	return b.Bytes()
}

// keep appends an entry and has the system write it down. Where that fails, what was written of it is cut off again.
func (j *journal) keep(e session.Entry) error {
	text := line(e)
	if j.size == 0 {
		text = append(line(j.head), text...)
	}
	if j.torn {
		if err := j.Truncate(j.size); err != nil {
			return err
		}
	}
	_, err := j.WriteAt(text, j.size)
	if err == nil {
		err = j.Sync()
	}
	if j.torn = err != nil; j.torn {
		j.torn = j.Truncate(j.size) != nil
		return err
	}
	j.size += int64(len(text))
	return nil
}

// remove takes the file away, which nobody needs any more.
func (j *journal) remove() error {
	err := os.Remove(j.Name())
	j.Close()
	if err != nil && !errors.Is(err, os.ErrNotExist) { // a system that keeps open files
		err = os.Remove(j.Name())
	}
	return err
}

// end closes the file; an empty one is taken away.
func (j *journal) end() {
	if info, err := j.Stat(); err == nil && info.Size() == 0 {
		j.remove()
	}
	j.Close()
}
