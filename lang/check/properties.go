package check

// This file checks declarations of properties: their sort, which texts there are, and what an empty cell means.

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

func (c *checker) property(d *ast.Property) {
	p := &book.Property{Decl: d, Of: catalogue.Property{Name: d.Name.Text}}
	_, known := c.known(d.Name.Text)
	before := c.faults
	sound := !d.Broken && c.sortOf(p) && c.listed(p) && c.defaulted(p)
	if sound && !known {
		var err error
		if p.Of.ID, err = c.o.Schema.Declare(p.Of); err != nil {
			c.unlike(p, diag.UnlikeColumns, p.Decl.Name.Span, err.Error(),
				"one sort, one method and one list of texts for each column of a sheet; or another name", nil)
		}
	}
	if sound && c.faults == before {
		c.alikeElsewhere(p)
	}
	if sound = sound && c.faults == before; sound && (!known || p.Of.ID == catalogue.Hand) {
		c.o.Declared[p.Of.Name] = append(c.o.Declared[p.Of.Name], p)
		c.serve(p)
	}
	c.declare(values, &ast.Named{Name: d.Name, Declaration: ast.Declaration{Broken: !sound}},
		book.Declared{Property: p}, nil).state = worked
}

// serve makes the list and the default of a property those of the book.
func (c *checker) serve(p *book.Property) {
	if p.Default != nil {
		c.info.Defaults[p.Of.ID] = p.Default
	}
	if p.Of.Texts != nil {
		c.texts[p.Of.ID] = p.Of.Texts
	}
}

// sortOf finds the sort of a property and its method.
func (c *checker) sortOf(p *book.Property) bool {
	d := p.Decl
	of, known := c.known(d.Name.Text)
	switch {
	case d.Sort == nil && of.ID == catalogue.Hand:
		p.Of = of
		return true
	case d.Sort == nil && known:
		return false // that it is known already is said of its name
	case d.Sort == nil:
		c.wrong(diag.UnknownSort, d.Name.Span, "one of "+unit.Listed(catalogue.SortNames(), "or")+" after the name",
			"%s does not say what it holds", d.Name.Text)
		return false
	}
	p.Of.Sort = catalogue.SortOf(d.Sort.Text)
	sound := p.Of.Sort != catalogue.NoSort
	if !sound {
		c.oneOf(diag.UnknownSort, *d.Sort, "sort of property", catalogue.SortNames())
	}
	if d.Method == nil {
		return sound
	}
	switch p.Method = c.method(*d.Method); {
	case p.Method == nil || !sound:
		return false
	case p.Of.Sort != catalogue.Length:
		c.report(diag.Diagnostic{Code: diag.MisplacedMethod, Span: d.Method.Span,
			Message:  fmt.Sprintf("%s is not a length, so it takes no method", d.Name.Text),
			Expected: "by METHOD after the sort length only",
			Hint:     "property " + d.Name.Text + " " + d.Sort.Text,
			Mend:     diag.Mend{Span: d.Span, Text: "property " + d.Name.Text + " " + d.Sort.Text}})
		return false
	}
	p.Of.ByMethod, p.Of.Method = true, d.Method.Text
	return true
}

// listed checks the texts that a property may have.
func (c *checker) listed(p *book.Property) bool {
	before := c.faults
	first := map[string]*ast.Text{}
	for _, t := range p.Decl.Texts {
		key := catalogue.Key(t.Value)
		switch other := first[key]; {
		case p.Of.Sort != catalogue.Text || p.Of.ID == catalogue.Hand:
			c.wrong(diag.MisplacedDefault, t.Span, "one of after text alone",
				"%s is not a text, so it has no list of texts", p.Of.Name)
			return false
		case key == "":
			c.wrong(diag.AlikeTexts, t.Span, "a text", "an empty text is what an empty cell holds")
		case other != nil:
			c.beside(diag.AlikeTexts, t.Span, other.Span, "it is listed here first",
				"each text once; capitals, hyphens and blanks do not make another text",
				"%s and %s are one text on a sheet", diag.Quote(other.Value), diag.Quote(t.Value))
		default:
			first[key] = t
			p.Of.Texts = append(p.Of.Texts, t.Value)
		}
	}
	return c.faults == before
}

// choices are the words of the language that a property may hold; nil for one that holds anything else.
func choices(p catalogue.Property) []string {
	switch {
	case p.ID == catalogue.Hand:
		return []string{"left", "right"}
	case p.Sort == catalogue.YesNo:
		return []string{"yes", "no"}
	}
	return nil
}

// defaulted checks what an empty cell of a property means.
func (c *checker) defaulted(p *book.Property) bool {
	d, allowed := p.Decl.Else, choices(p.Of)
	switch {
	case d == nil:
		return true
	case allowed == nil && p.Of.Sort != catalogue.Text:
		c.wrong(diag.MisplacedDefault, d.Span, "else after a yes-no or a text, or after hand",
			"%s is %s, and nothing measured is ever taken for granted", p.Of.Name, unit.Article(p.Of.Sort.String()))
		return false
	}
	p.Default = &book.Default{Decl: d}
	switch {
	case allowed == nil && d.Text == nil:
		c.hinted(diag.MisplacedDefault, d.Word.Span, "a text in quotation marks", `"`+d.Word.Text+`"`,
			"%s is a text, and %s has no quotation marks", p.Of.Name, d.Word.Text)
		return false
	case allowed == nil:
		p.Default.Text = d.Text.Value
		return c.onList(d.Text.Span, p.Of, d.Text.Value, p.Of.Texts)
	case d.Word == nil || !slices.Contains(allowed, d.Word.Text):
		c.wrong(diag.MisplacedDefault, d.Span, "else "+strings.Join(allowed, " or else "), "%s is %s",
			p.Of.Name, unit.Listed(allowed, "or"))
		return false
	}
	p.Default.Text, p.Default.Yes = d.Word.Text, d.Word.Text == "yes"
	return true
}

// onList reports a text that is not on the list of its property; there may be no list.
func (c *checker) onList(at source.Span, p catalogue.Property, text string, list []string) bool {
	if list == nil || catalogue.Listed(list, text) {
		return true
	}
	all := lists.Each(list, diag.Quote)
	near := c.near(text, list)
	if near != "" {
		near = `"` + near + `"`
	}
	c.hinted(diag.UnlistedText, at, "one of "+unit.Listed(all, "or"), near, "%s is not on the list of %s",
		diag.Quote(text), p.Name)
	return false
}

// alikeElsewhere reports a property whose default is another than it has in another book, or is not on a list there.
func (c *checker) alikeElsewhere(p *book.Property) {
	for _, q := range c.o.Declared[p.Of.Name] {
		if p.Default == nil && p.Of.Texts == nil || q.Default == nil && q.Of.Texts == nil {
			continue
		}
		if p.Default != nil && q.Default != nil && !catalogue.Same(p.Default.Text, q.Default.Text) {
			c.unlike(p, diag.UnlikeColumns, p.Default.Decl.Span, fmt.Sprintf(
				"an empty cell of %s means %s here and %s there", p.Of.Name, p.Default, q.Default),
				"one meaning of an empty cell for each column of a sheet; or another name", q)
			return
		}
		for _, side := range [][2]*book.Property{{p, q}, {q, p}} {
			def, list := side[0].Default, side[1].Of.Texts
			if def != nil && list != nil && !catalogue.Listed(list, def.Text) {
				c.unlike(p, diag.UnlistedText, p.Decl.Name.Span, fmt.Sprintf(
					"an empty cell of %s means %s, which is not on its list", p.Of.Name, def), "a text of the list", q)
				return
			}
		}
	}
}

// unlike reports a property that is declared otherwise in this book or in another; q is that declaration, the first one
// where it is nil.
func (c *checker) unlike(p *book.Property, code diag.Code, at source.Span, message, expected string,
	q *book.Property) {
	d := diag.Diagnostic{Code: code, Span: at, Message: message, Expected: expected}
	if all := c.o.Declared[p.Of.Name]; q == nil && len(all) > 0 {
		q = all[0]
	}
	if q != nil {
		d.Related = append(d.Related, diag.Label{Span: q.Decl.Name.Span, Text: "it is declared first here"})
	}
	c.report(d)
}

// served takes in the lists and defaults of the books that this one uses.
func (c *checker) served() {
	for _, u := range c.book.Uses {
		for _, d := range u.Book.Declared {
			if d.Property != nil && !d.Faulty {
				c.serve(d.Property)
			}
		}
	}
}
