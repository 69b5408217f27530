package report

import (
	"bufio"
	"bytes"
	"cmp"

	"ferrule/engine"
	"ferrule/engine/club"
)

// gatheredJSON writes the report as one document, each result on a line of its own and the summary before them.
type gatheredJSON struct {
	w      *bufio.Writer
	head   *Head
	member int // members of the document written so far
	doc    document
}

// jsonList is the text of the elements of a list, a line each.
type jsonList struct {
	bytes.Buffer
	n int // elements
}

func (l *jsonList) add(element []byte) {
	if l.n > 0 {
		l.WriteByte(',')
	}
	l.n++
	l.WriteString("\n    ")
	l.Write(element)
}

func (j *gatheredJSON) WantsPasses() bool { return true }

func (j *gatheredJSON) Begin(h *Head) error {
	j.head = h
	return nil
}

func (j *gatheredJSON) Result(to *Sheaf, r *engine.Result) {
	to.element(secPasses, resultOf(r, to.bag))
}

func (j *gatheredJSON) Conflict(to *Sheaf, c *engine.Conflict) {
	to.element(secConflicts, conflictOf(c, to.bag))
}

func (j *gatheredJSON) Close(to *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	for _, d := range doubtful {
		to.element(secDoubtful, doubtfulOf(d))
	}
	for _, f := range refused {
		to.element(secRefused, refusedOf(f))
	}
	to.close()
}

// element adds an element of a list, on a line of its own.
func (s *Sheaf) element(of section, v any) {
	s.Tail = appendJSON(append(s.Tail, "\n    "...), v)
	s.Tail = s.Tail[:len(s.Tail)-1]
	s.end(of)
}

func (j *gatheredJSON) Add(from *Sheaf) error {
	return from.each(func(to section, text []byte) error {
		if !j.doc.empty(to) {
			j.doc.add(to, []byte(","))
		}
		j.doc.add(to, text)
		return j.doc.Err()
	})
}

func (j *gatheredJSON) End(t *Totals) error {
	j.value("schema", schema)
	j.value("books", booksOf(j.head))
	j.value("on", j.head.On)
	j.value("not_in_force", restOf(j.head))
	j.value("summary", summaryOf(t))
	j.list("refused", secRefused)
	if !j.doc.empty(secDoubtful) {
		j.list("doubtful", secDoubtful)
	}
	j.list("conflicts", secConflicts)
	j.list("results", secPasses)
	j.w.WriteString("\n}\n")
	defer j.doc.Close()
	return cmp.Or(j.doc.Err(), j.w.Flush())
}

// name writes the name of the next member. Errors of writing stay with j.w until End.
func (j *gatheredJSON) name(name string) {
	open := ","
	if j.member == 0 {
		open = "{"
	}
	j.member++
	j.w.WriteString(open + "\n  \"" + name + "\": ")
}

func (j *gatheredJSON) value(name string, v any) {
	j.name(name)
	j.w.Write(bytes.TrimSuffix(appendJSON(nil, v), []byte("\n")))
}

func (j *gatheredJSON) list(name string, of section) {
	j.name(name)
	j.w.WriteByte('[')
	j.doc.write(of, func(text []byte) error {
		_, err := j.w.Write(text)
		return err
	})
	if !j.doc.empty(of) {
		j.w.WriteString("\n  ")
	}
	j.w.WriteByte(']')
}
