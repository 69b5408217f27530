package report

import (
	"bufio"
	"bytes"
)

// gatheredJSON writes the report as one document, each result on a line of its own.
// It keeps the text of the results until the end, so that the summary comes before
// them; where there are very many they are written as they come, and the summary
// after them. To a program both are the same.
type gatheredJSON struct {
	w      *bufio.Writer
	head   *Head
	begun  bool // results were written already
	member int  // members of the document written so far

	doubtful, refused, conflicts, results jsonList
}

// mostResults is how many bytes of results are kept.
const mostResults = 8 << 20

// jsonList is the text of the elements of a list, a line each.
type jsonList struct {
	bytes.Buffer
	n int // elements so far, those that were written out too
}

func (l *jsonList) add(element []byte) {
	if l.n > 0 {
		l.WriteByte(',')
	}
	l.n++
	l.WriteString("\n    ")
	l.Write(element)
}

func (j *gatheredJSON) Gathers() bool     { return false }
func (j *gatheredJSON) WantsPasses() bool { return true }

func (j *gatheredJSON) Begin(h *Head) error {
	j.head = h
	return nil
}

// Render writes a line for each member of the document's lists; its first byte says
// which list.
func (j *gatheredJSON) Render(dst []byte, s *Set) []byte {
	for _, d := range s.Doubtful {
		dst = appendJSON(append(dst, 'd'), doubtfulOf(d))
	}
	for _, f := range s.Refused {
		dst = appendJSON(append(dst, 'f'), refusedOf(f))
	}
	for _, c := range s.Conflicts {
		dst = appendJSON(append(dst, 'c'), conflictOf(c, s.Bag))
	}
	for _, r := range s.Results {
		dst = appendJSON(append(dst, 'r'), resultOf(r, s.Bag))
	}
	return dst
}

func (j *gatheredJSON) Add(rendered []byte, _ []*Set) error {
	lists := map[byte]*jsonList{'d': &j.doubtful, 'f': &j.refused, 'c': &j.conflicts, 'r': &j.results}
	for line := range bytes.Lines(rendered) {
		lists[line[0]].add(bytes.TrimSuffix(line[1:], []byte("\n")))
	}
	if j.results.Len() < mostResults {
		return nil
	}
	if !j.begun {
		j.begun = true
		j.opening()
		j.name("results")
		j.w.WriteByte('[')
	}
	_, err := j.results.WriteTo(j.w)
	return err
}

func (j *gatheredJSON) End(t *Totals) error {
	for _, d := range t.Doubtful.List {
		line := appendJSON(nil, doubtfulOf(d))
		j.doubtful.add(line[:len(line)-1])
	}
	if !j.begun {
		j.opening()
		j.value("summary", summaryOf(t))
	} else {
		j.results.WriteTo(j.w)
		j.w.WriteString("\n  ]")
	}
	j.list("refused", &j.refused)
	if j.doubtful.n > 0 {
		j.list("doubtful", &j.doubtful)
	}
	j.list("conflicts", &j.conflicts)
	if !j.begun {
		j.list("results", &j.results)
	} else {
		j.value("summary", summaryOf(t))
	}
	j.w.WriteString("\n}\n")
	return j.w.Flush()
}

// opening writes the members that are known before a club is judged. Errors of
// writing stay with j.w until End.
func (j *gatheredJSON) opening() {
	j.value("schema", schema)
	j.value("books", booksOf(j.head))
	j.value("on", j.head.On)
	j.value("not_in_force", restOf(j.head))
}

// name writes the name of the next member.
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

func (j *gatheredJSON) list(name string, l *jsonList) {
	j.name(name)
	j.w.WriteByte('[')
	if l.n > 0 {
		l.WriteTo(j.w)
		j.w.WriteString("\n  ")
	}
	j.w.WriteByte(']')
}
