package eval

// This file says which readings can hardly be right, as far as that depends on the books: repeats too far apart, and
// texts that the books do not know.

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// apart says that repeated readings of a length of the club of x lie too far apart for the method that they were taken
// by; a slip is too far to be used. What one reading varies by is its graduation and how the club is soled; where its
// lie or its head are not known, so that the second is not known, the graduation alone. Two marks of the method are
// never too far.
func (x *Env) apart(p catalogue.Property, more club.Reading, taken *book.Method) (message string, slip bool) {
	if len(more.Values) < 2 {
		return "", false
	}
	m := *x.Bench.Books.ready[taken].how
	m.Ruler = 0 // it errs alike each time
	budget, missing := measure.Budget(&m, measure.Reading{N: 1}, x.Measuring().Subject)
	if missing != nil {
		m.LieSet = 0
		budget, _ = measure.Budget(&m, measure.Reading{N: 1}, measure.Subject{})
	}
	variance := 0.0
	for _, e := range budget {
		variance += e.Variance()
	}
	return more.Apart(p, math.Sqrt(variance), 2*m.Reads)
}

// Doubts are the readings of a set that a person should look at again, in the order of the rows.
func (j *Bench) Doubts(s *club.Set) []club.Doubt {
	var out []club.Doubt
	clear(j.Subjects)
	compared := slices.Sorted(maps.Keys(j.Books.texts))
	for _, c := range s.Clubs {
		for ; c != nil; c = c.Next {
			out = append(out, c.Doubts()...)
			for _, r := range c.Repeats() {
				p := j.Books.Schema.Property(r.Property)
				taken := j.Books.taken(methodOf(c, p))
				if taken == nil {
					continue
				}
				x := Env{Bench: j, Club: c, Bag: &Bag{Set: s}}
				if message, slip := x.apart(p, r, taken); message != "" {
					out = append(out, c.NewDoubt(p, r.Read, message, slip))
				}
			}
			for _, id := range compared {
				p := j.Books.Schema.Property(id)
				text, _ := c.Text(p.ID)
				if odd := j.odd(p, text); odd != nil {
					d := c.NewDoubt(p, text, odd.message, false)
					d.Once = odd.meant == nil
					out = append(out, d)
				}
			}
		}
	}
	return append(append(out, s.Order.Doubts...), j.halfFilled(s)...)
}

// halfFilled are the empty cells of properties that a bag carries as a whole, where other cells are filled in.
func (j *Bench) halfFilled(s *club.Set) []club.Doubt {
	var out []club.Doubt
	for _, p := range j.Books.carried {
		if !slices.ContainsFunc(s.Clubs, func(c *club.Club) bool { return c.Has(p.ID) }) {
			continue
		}
		for _, c := range s.Clubs {
			if c.Empty(p.ID) {
				message := "the cell of " + p.Name + " is empty, and other clubs of the bag have one"
				out = append(out, c.NewDoubt(p, "", message, false))
			}
		}
	}
	return out
}

// learnCarried takes in the properties that rules of a book ask of whole bags, where an empty cell has a meaning.
func (p *Declared) learnCarried(b *book.Book) {
	for _, r := range b.Rules {
		if r.Subject != ast.OfSet {
			continue
		}
		r.Visit(func(f book.Part) bool {
			switch e := f.Expr.(type) {
			case *ast.CountOf, *ast.SetValue, *ast.Has:
				return false
			case *ast.Ref:
				of := f.Info.Refs[e]
				if of != nil && of.Kind == book.RefProperty && f.Info.Defaults[of.Property.ID] != nil &&
					!slices.ContainsFunc(p.carried, func(q catalogue.Property) bool { return q.ID == of.Property.ID }) {
					p.carried = append(p.carried, of.Property)
				}
			}
			return true
		}, nil)
	}
}

// learnTexts takes in the texts with which a book compares properties.
func (p *Declared) learnTexts(b *book.Book) {
	for id, texts := range b.Info.Texts {
		for _, t := range texts {
			// A mark is whatever is stamped on a wedge.
			if id != catalogue.Mark && id != catalogue.Hand && !catalogue.Listed(p.texts[id], t) {
				p.texts[id] = append(p.texts[id], t)
			}
		}
	}
}

// textAt is a text of a property.
type textAt struct {
	of   catalogue.ID
	text string
}

// oddText is what is to be said of a text that the books do not know.
type oddText struct {
	meant   []string // what it may be meant for; nil where nothing is near
	message string
}

// odd says what is odd about a text of a property: that the books compare the property with other texts, and with none
// that is this; nil where nothing is.
func (j *Bench) odd(p catalogue.Property, text string) *oddText {
	known := j.Books.texts[p.ID]
	if known == nil || text == "" || j.Books.Schema.Property(p.ID).Texts != nil || catalogue.Listed(known, text) {
		return nil
	}
	if odd, ok := j.texts[textAt{p.ID, text}]; ok {
		return odd
	}
	odd := &oddText{message: fmt.Sprintf("no rule names the %s %s", p.Name, diag.Quote(text))}
	var quoted []string
	for _, t := range known {
		quoted = append(quoted, diag.Quote(t))
		if mistyped(text, t) {
			odd.meant = append(odd.meant, t)
		}
	}
	if odd.meant != nil {
		odd.message += "; did you mean " + diag.Quote(odd.meant[0]) + "?"
	} else {
		const few = 5
		odd.message += "; rules name " + strings.Join(quoted[:min(few, len(quoted))], ", ")
		if len(quoted) > few {
			odd.message += " and others"
		}
	}
	if j.texts == nil || len(j.texts) >= maxCorrections {
		j.texts = map[textAt]*oddText{}
	}
	j.texts[textAt{p.ID, strings.Clone(text)}] = odd
	return odd
}

// mistyped reports whether somebody who wrote a text may have meant another. A figure is not mistyped: "S300" is not
// meant for "S400".
func mistyped(text, other string) bool {
	figures := func(s string) string {
		return strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' {
				return r
			}
			return -1
		}, s)
	}
	a, b := catalogue.Key(text), catalogue.Key(other)
	_, found := diag.Nearest(a, []string{b})
	return found && figures(a) == figures(b)
}

// text is a text of the club of x. Whether one that the books do not know is one that is near it is not known.
func (x *Env) text(p catalogue.Property, text string) value.Value {
	v := value.TextOf(text)
	if odd := x.Bench.odd(p, text); odd != nil && odd.meant != nil {
		v.Meant, v.Lacks = odd.meant, []value.Lack{{Kind: value.Odd, Property: p.Name, Club: x.Club.Called(),
			Words: odd.message}}
	}
	return v
}

// meantFor reports whether a text may be meant for another.
func meantFor(v, w value.Value) bool {
	return catalogue.Listed(v.Meant, w.Text)
}

// OtherText is a text that is none of some, and near none of them.
func OtherText(texts []string) string {
	out := "Other"
	near := func(t string) bool { return catalogue.Same(t, out) || mistyped(out, t) }
	for n := 1; slices.ContainsFunc(texts, near); n++ {
		out = fmt.Sprintf("Other %d", n)
	}
	return out
}
