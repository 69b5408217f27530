package ast

// Walk calls visit for e and, where visit returns true, for each formula inside
// it in the order of the source, those of a selector's where included. A nil e
// is passed over.
func Walk(e Expr, visit func(Expr) bool) {
	if e == nil || !visit(e) {
		return
	}
	switch e := e.(type) {
	case *Unary:
		Walk(e.X, visit)
	case *Binary:
		Walk(e.X, visit)
		Walk(e.Y, visit)
	case *If:
		Walk(e.Cond, visit)
		Walk(e.Then, visit)
		Walk(e.Else, visit)
	case *Call:
		for _, a := range e.Args {
			Walk(a, visit)
		}
	case *Has:
		Walk(e.Of, visit)
	case *Paren:
		Walk(e.X, visit)
	case *CountOf:
		Walk(e.Selector.Where, visit)
	case *SetValue:
		Walk(e.Of, visit)
		Walk(e.Among.Where, visit)
	case *ReadingsValue:
		Walk(e.Of, visit)
	case *ShareOfReadings:
		Walk(e.Cond, visit)
	case *CountReadings:
		Walk(e.Of, visit)
	case *Step:
		Walk(e.Of, visit)
	case *Age:
		Walk(e.Of, visit)
	}
}

// Unparen returns e without the parentheses around it.
func Unparen(e Expr) Expr {
	for {
		p, ok := e.(*Paren)
		if !ok {
			return e
		}
		e = p.X
	}
}
