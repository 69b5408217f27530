package format

// This file writes formulas, selectors, bounds and the other parts of clauses on
// one line.

import (
	"strings"

	"ferrule/lang/ast"
)

// A gap is a blank at which a long line may be broken, since what is before it or
// behind it makes the line go on; a tight gap stands beside an operator, and is
// broken only where no other is near.
const (
	gap      = "\x01"
	tightGap = "\x02"
)

var blanks = strings.NewReplacer(gap, " ", tightGap, " ")

func expr(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Quantity:
		return e.Value.Text
	case *ast.DateLit:
		return e.Date
	case *ast.TextLit:
		return quoted(e.Value)
	case *ast.Ref:
		return ref(e)
	case *ast.ItemRef:
		return item(e.Item)
	case *ast.Unary:
		if e.Op == ast.Not {
			return "not " + expr(e.X)
		}
		return "-" + expr(e.X)
	case *ast.Binary:
		before := tightGap
		if e.Op == ast.And || e.Op == ast.Or {
			before = gap
		}
		return expr(e.X) + before + e.Op.String() + " " + expr(e.Y)
	case *ast.If:
		return "if " + expr(e.Cond) + gap + "then " + expr(e.Then) + gap + "else " + expr(e.Else)
	case *ast.Call:
		args := make([]string, len(e.Args))
		for i, a := range e.Args {
			args[i] = expr(a)
		}
		return e.Func.Text + "(" + strings.Join(args, ","+gap) + ")"
	case *ast.Has:
		return "has " + ref(e.Of)
	case *ast.Paren:
		return "(" + expr(e.X) + ")"
	case *ast.CountOf:
		return "count of " + selector(e.Selector)
	case *ast.SetValue:
		return e.How.String() + " of " + expr(e.Of) + " among " + selector(e.Among)
	case *ast.ReadingsValue:
		return e.How.String() + " of " + ref(e.Of) + " among readings"
	case *ast.ShareOfReadings:
		return "share of (" + expr(e.Cond) + ") among readings"
	case *ast.CountReadings:
		return "count of readings of " + ref(e.Of)
	case *ast.Step:
		word := "drop"
		if e.Rise {
			word = "rise"
		}
		return word + " of " + expr(e.Of) + when(e.PerNumber, " per number")
	}
	return ""
}

func when(b bool, s string) string {
	if b {
		return s
	}
	return ""
}

// behind is a word and what follows it, or nothing where there is no such part.
func behind(word string, e ast.Expr) string {
	if e == nil {
		return ""
	}
	return " " + word + " " + expr(e)
}

func quoted(s string) string { return `"` + s + `"` }

func ref(r *ast.Ref) string {
	s := r.Name.Text
	switch r.Pos {
	case ast.First:
		s = "first " + s
	case ast.Second:
		s = "second " + s
	}
	return s + by(r.By)
}

func by(method *ast.Name) string {
	if method == nil {
		return ""
	}
	return " by " + method.Text
}

func item(i *ast.Item) string {
	s := i.Name.Text
	if i.From != nil {
		s += " " + i.From.Value.Text
	}
	if i.To != nil {
		s += " to " + i.To.Value.Text
	}
	if i.Mark != nil {
		s += " " + quoted(i.Mark.Value)
	}
	return s
}

func list(items []*ast.Item) string {
	all := make([]string, len(items))
	for i, it := range items {
		all[i] = item(it)
	}
	return strings.Join(all, ","+gap)
}

func names(names []ast.Name) string {
	all := make([]string, len(names))
	for i, n := range names {
		all[i] = n.Text
	}
	return strings.Join(all, ","+gap)
}

func selector(s *ast.Selector) string {
	text := list(s.Items)
	if len(s.Except) > 0 {
		text += " except " + list(s.Except)
	}
	return text + behind("where", s.Where)
}

func bound(b *ast.Bound) string {
	text := ""
	switch b.Kind {
	case ast.AtMost:
		text = "at most " + expr(b.Q)
	case ast.AtLeast:
		text = "at least " + expr(b.Q)
	case ast.Below:
		text = "below " + expr(b.Q)
	case ast.Above:
		text = "above " + expr(b.Q)
	case ast.Between:
		text = "between " + expr(b.Q) + gap + "and " + expr(b.Q2)
	case ast.Is:
		text = "is " + expr(b.Q) + behind("+/-", b.PlusMinus)
	case ast.Within:
		text = "within " + expr(b.Q) + " of " + expr(b.Of)
	}
	return text + behind("allowing", b.Allowing)
}

func decision(d *ast.Decision) string {
	word := ""
	switch d.Kind {
	case ast.Simple:
		word = "simple"
	case ast.GuardedAcceptance:
		word = "guarded acceptance"
	case ast.GuardedRejection:
		word = "guarded rejection"
	case ast.ThreeWay:
		word = "three-way"
	}
	return word + behind("at", d.Level)
}

func subject(f *ast.For) string {
	switch f.Kind {
	case ast.OfSet:
		return "each set"
	case ast.OfNeighbours:
		return "neighbours among " + selector(f.Selector) + " by " + ref(f.By)
	}
	return "every " + selector(f.Selector)
}

func stop(s *ast.Stop) string {
	switch s.Kind {
	case ast.StopAtLie:
		return "at lie"
	case ast.StopAlongAxis:
		return "along axis"
	}
	return "at " + expr(s.Angle)
}

func top(t *ast.Top) string {
	switch t.Kind {
	case ast.TopCapEdge:
		return "at cap edge"
	case ast.TopCapEnd:
		return "at cap end"
	}
	return "at butt"
}

func id(i *ast.ID) string {
	if i.Quoted {
		return quoted(i.Value)
	}
	return i.Value
}

func club(c *ast.CaseClub) string {
	text := id(c.ID) + ": " + item(c.Club)
	for _, p := range c.Props {
		text += "," + gap + p.Name.Text + " " + expr(p.Value) + behind("+/-", p.PlusMinus) + by(p.By)
	}
	return text
}

func expect(e *ast.Expect) string {
	text := e.Rule.Text + " on "
	if e.OnSet {
		text += "set"
		if e.Set != nil {
			text += " " + id(e.Set)
		}
	}
	for i, c := range e.On {
		if i > 0 {
			text += "," + gap
		}
		text += id(c.ID)
		if c.Of != nil {
			text += " of " + id(c.Of)
		}
	}
	text += ": " + e.Verdict.Text + behind("value", e.Value) + behind("+/-", e.PlusMinus) + when(e.Excepted, " excepted")
	if e.Mend != nil {
		text += " mend " + quoted(e.Mend.Value)
	}
	return text
}
