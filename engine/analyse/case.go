package analyse

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

// asCase is the witness as a case of the book, not laid out; "" where no case can say it: a rule gives no
// verdict there. Its title says of what code the finding is.
func (w *Witness) asCase(of diag.Code) string {
	var names []string
	var expects strings.Builder
	for _, v := range w.Verdicts {
		name := v.Rule.Decl.Name.Text
		if v.Verdict == 0 {
			return ""
		}
		names = append(names, name)
		on := strings.Join(v.On, ", ")
		if v.Rule.Decl.For.Kind == ast.OfSet {
			on = "set"
		}
		excepted := ""
		if v.Taken && v.Verdict != decide.Exempt {
			excepted = " excepted"
		}
		fmt.Fprintf(&expects, "  expect %s on %s: %s%s\n", name, on, v.Verdict, excepted)
	}
	if len(names) == 0 {
		return ""
	}
	var out strings.Builder
	fmt.Fprintf(&out, "case \"%s, worked out: %s\"\n", unit.Listed(names, "and"), of)
	for i := range w.bag {
		out.WriteString(w.bag[i].line(ids(i)))
	}
	if w.On != book.NoDay {
		fmt.Fprintf(&out, "  on %s\n", w.On)
	}
	out.WriteString(expects.String())
	return out.String()
}

// line is a club of a case, "club a: iron 6, lie 62 deg".
func (d *draft) line(id string) string {
	parts := []string{d.kind.String()}
	switch {
	case d.number > 0 && d.kind != catalogue.Driver:
		parts[0] = d.name()
		if d.mark != "" {
			parts = append(parts, `mark "`+d.mark+`"`)
		}
	case d.mark != "":
		parts[0] += ` "` + d.mark + `"`
	}
	for i := range d.readings {
		r := &d.readings[i]
		value := r.words()
		if r.prop.Sort == catalogue.Text && r.prop.ID != catalogue.Hand {
			value = `"` + value + `"`
		}
		if r.prop.ID == catalogue.LengthID {
			value += " by " + d.method
		}
		parts = append(parts, r.prop.Name+" "+value)
	}
	return fmt.Sprintf("  club %s: %s\n", id, strings.Join(parts, ", "))
}
