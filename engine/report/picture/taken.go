package picture

// This file shows how the lengths of a bag were taken: for each method a picture of a club as it is held, and what the
// method is.

import (
	"strings"
	"sync"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Holder draws how lengths are taken. It may be used on several goroutines.
type Holder struct {
	lock  sync.Mutex
	judge *judge.Judge
}

// NewHolder returns a Holder of the clubs that a program judges on a day.
func NewHolder(p *judge.Program, on string) *Holder {
	day, _ := book.ParseDay(on)
	return &Holder{judge: p.Only(day)}
}

// Taken is how the length of a club is taken by a method; nil where there is no Holder, or where the lie or the head
// that it takes is not known.
func (h *Holder) Taken(c *club.Club, by string) *doc.Taken {
	if h == nil {
		return nil
	}
	h.lock.Lock()
	defer h.lock.Unlock()
	held, ok := h.judge.Held(c, by)
	if !ok {
		return nil
	}
	held.Length.Unit = c.LengthUnit()
	return HowTaken(wording.Called(c)+" by "+wording.Visible(by), held)
}

// HowTaken says and shows how a length is taken. The title says whose length it is and by which method.
func HowTaken(title string, held judge.Held) *doc.Taken {
	length, angle := held.Length.String(), held.Lie.String()
	text, from := ofMethod(held.Method, ", "+angle)
	if held.Method.Stop == measure.AtAngle {
		angle = unit.Format(held.Method.Angle, unit.Base(unit.Angle))
	}
	arc := func(a measure.Arc) doc.Arc {
		return doc.Arc{Center: doc.Point(a.Center), Radius: a.Radius, From: a.From, To: a.To}
	}
	p := held.Pose
	return &doc.Taken{
		Title: title + ": " + length,
		Text:  text + " It reads " + length + ".",
		From:  from, To: tops[held.Method.Top], Length: length, Angle: angle,
		Pose: doc.Pose{Axis: doc.Point(p.Axis), Face: doc.Point(p.Face), Touch: doc.Point(p.Touch),
			Heel: arc(p.Heel), Sole: arc(p.Sole), Toe: arc(p.Toe), Neck: p.Neck,
			Start: p.Start, End: p.End, Butt: p.Butt, CapEdge: p.CapEdge, CapEnd: p.CapEnd},
	}
}

// MethodInWords says how a length is taken by a method, which must be sound.
func MethodInWords(m *book.Method) string {
	text, _ := ofMethod(eval.MethodOf(m), "")
	return text
}

// ofMethod says how a club is held for a method, its lie being as stated, and where the rule starts.
func ofMethod(m *measure.Method, lie string) (text, from string) {
	text, from = "It is soled on the ground at its lie"+lie+".", "the ground"
	switch {
	case m.Stop == measure.AlongAxis:
		from = "the level of the sole"
	case m.Stop == measure.AtAngle && m.Angle == 90e6:
		text, from = "The shaft is flat on a wall and the toe is on the floor.", "the floor"
	case m.Stop == measure.AtAngle:
		text = "The sole is against a plane at " + unit.Format(m.Angle, unit.Base(unit.Angle)) + " to the shaft."
		from = "the plane"
	}
	text += " The rule lies along the shaft. It starts at " + from + ", on the line of the shaft, and ends at " +
		tops[m.Top] + "."
	return text, from
}

var tops = map[measure.Top]string{measure.CapEdge: "the edge of the grip cap",
	measure.CapEnd: "the very end of the grip", measure.Butt: "the bare butt, before the grip is on"}

// methods says what each method of books is, and of the books that they use. What two of them say alike is said once.
func methods(books []*book.Book) (out []doc.Fact) {
	for _, b := range book.Reach(books) {
		for _, m := range b.Methods {
			out = lists.Also(out, doc.Fact{Label: wording.Visible(m.Decl.Name.Text), Note: methodWords(m)})
		}
	}
	return out
}

// methodWords say what a method is, in the words of its book if it has any, and how finely it reads.
func methodWords(m *book.Method) string {
	words, reads := "", ""
	if m.Decl.Title != nil {
		words = wording.Visible(m.Decl.Title.Value)
	} else {
		words = strings.TrimSuffix(MethodInWords(m), ".")
	}
	if m.Decl.Reads != nil {
		reads = wording.OneLine(m.Decl.Reads.Span)
	}
	return wording.Join("; ", words, reads)
}
