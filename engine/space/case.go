package space

// This file writes a witness as a case of the book.

import (
	"fmt"
	"strings"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Case is the witness as a case of the book, not laid out; "" where no case can say it: a rule gives no
// verdict there. Its title says of what code the finding is.
func (w *Witness) Case(of diag.Code) string {
	var names []string
	var expects strings.Builder
	for _, v := range w.Verdicts {
		name := v.Rule.Decl.Name.Text
		if v.Verdict == 0 {
			return ""
		}
		names = append(names, name)
		on := strings.Join(v.On, ", ")
		if v.Rule.Subject == ast.OfSet {
			on = "set"
		}
		expects.WriteString(Expect(name, on, v.Verdict, v.Taken && v.Verdict != decide.Exempt) + "\n")
	}
	if len(names) == 0 {
		return ""
	}
	var out strings.Builder
	fmt.Fprintf(&out, "case \"%s, worked out: %s\"\n", unit.Listed(names, "and"), of)
	for i := range w.Bag {
		out.WriteString(w.Bag[i].Line(ID(i)))
	}
	if w.On != book.NoDay {
		fmt.Fprintf(&out, "  on %s\n", w.On)
	}
	out.WriteString(expects.String())
	return out.String()
}

// Expect is a line of a case, without its end, that expects a verdict of a rule on a subject; taken: by an exception.
func Expect(rule, on string, v decide.Verdict, taken bool) string {
	line := fmt.Sprintf("  expect %s on %s: %s", rule, on, v)
	if taken {
		line += " excepted"
	}
	return line
}

// Line is a club of a case, "club a: iron 6, lie 62 deg", with a line for what was ordered.
func (d *Draft) Line(id string) string {
	line := d.line("club", id, false)
	if d.ordered() {
		line += d.line("order", id, true)
	}
	return line
}

// line is one of them, after its word.
func (d *Draft) line(word, id string, ordered bool) string {
	parts := []string{d.Kind.String()}
	switch {
	case d.Number > 0 && d.Kind != catalogue.Driver:
		parts[0] = d.Name()
		if d.Mark != "" {
			parts = append(parts, `mark "`+d.Mark+`"`)
		}
	case d.Mark != "":
		parts[0] += ` "` + d.Mark + `"`
	}
	for i := range d.Readings {
		r := &d.Readings[i]
		if r.Prop.Ordered != ordered {
			continue
		}
		for _, value := range r.texts() {
			if r.Prop.Sort == catalogue.Text && r.Prop.ID != catalogue.Hand {
				value = `"` + value + `"`
			}
			if r.Half > 0 {
				value += r.plusMinus()
			}
			if r.Prop.ID == catalogue.LengthID {
				value += " by " + d.Method
			}
			parts = append(parts, r.Prop.Column()+" "+value)
		}
	}
	return fmt.Sprintf("  %s %s: %s\n", word, id, strings.Join(parts, ", "))
}
