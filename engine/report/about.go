package report

// This file is the head and the tail of every page: which books and which program it is of, whom to ask, what its words
// mean, the cautions of the work that it asks for, and a line to sign.

import (
	"slices"
	"strings"

	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
)

// about is what the head and the tail of a document are made of.
type about struct {
	asked []*book.Book // books, the named ones first
	read  []string     // sheets, where the page does not name them elsewhere
	cuts  bool         // something asks for work with a saw, epoxy or heat
	words picture.Words
}

// below is what stands below the head of a page: the book, its edition and whose it is, whom to ask, what was read, and
// which program wrote it.
func (p *paper) below(h doc.Head) doc.Aside {
	var b book.Book
	if len(p.asked) > 0 {
		b = *p.asked[0]
	}
	name := wording.Visible(b.Title)
	if name == h.Title {
		name = ""
	}
	text := wording.Join(" · ", name, wording.Visible(b.Event),
		wording.Labelled("edition", wording.Visible(b.Edition)),
		wording.Labelled("contact:", wording.Visible(b.Contact)),
		wording.Labelled("read from", strings.Join(p.read, ", ")),
		wording.Visible(strings.TrimSpace(p.tool.Name+" "+p.tool.Version)))
	if atEvent(p.asked) {
		text += ". This is a pre-check, not a ruling: that rests with the event's Committee."
	}
	return doc.Aside{doc.Para{Text: text}}
}

// atEvent reports whether a book is that of an event, where the Committee rules.
func atEvent(books []*book.Book) bool {
	return slices.ContainsFunc(book.Reach(books), func(b *book.Book) bool { return b.Event != "" })
}

// Write writes what was drawn. Of a page it notes which of the words that may have to be explained are in it.
func (p *paper) Write(drawn []byte) (int, error) {
	if p.page && p.words == nil {
		p.words = picture.NewWords(p.asked)
	}
	p.words.See(drawn)
	return p.w.Write(p.joined(drawn))
}

// tail are the last blocks of a document.
func (p *paper) tail() []doc.Block {
	means, methods := p.words.Explained()
	out := doc.Aside(slices.Concat(factSection(doc.Plain, "What the words mean", means),
		factSection(doc.Plain, "The methods of measuring", methods)))
	if p.cuts {
		return []doc.Block{out, doc.Gap{}, doc.Cautions{Event: atEvent(p.asked)}, doc.End{}}
	}
	return []doc.Block{out, doc.End{}}
}
