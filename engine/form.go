package engine

// This file reads the plain forms of a value: those of which a change of one club's property tells at once what becomes of the
// value. Cuts and the questions about a book without clubs rest on it.

import (
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Form is a value that is one measured property of clubs: the property itself, a step of it between neighbours, or its spread,
// highest or lowest in a set. The zero value is no form.
type Form struct {
	Property catalogue.Property
	Step     *ast.Step     // nil for no step
	Set      *ast.SetValue // nil for no value of a set
	Info     *book.Info    // of the formula that holds it
}

// FormOf is the form of a formula, named ones in it looked through; false for any other formula, a mean and a total among them.
func FormOf(e ast.Expr, info *book.Info) (Form, bool) {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ref:
		ref := info.Refs[e]
		switch {
		case ref == nil || e.Pos != ast.Here:
		case ref.Kind == book.RefLet:
			return FormOf(ref.Let.Decl.Value, ref.Let.Book.Info)
		case ref.Kind == book.RefProperty && ref.Property.Sort.Numeric() && ref.Property.ID != catalogue.Number:
			return Form{Property: ref.Property, Info: info}, true
		}
	case *ast.Step:
		f, ok := FormOf(e.Of, info)
		return Form{f.Property, e, nil, info}, ok && f.Step == nil && f.Set == nil
	case *ast.SetValue:
		f, ok := FormOf(e.Of, info)
		return Form{f.Property, nil, e, info}, ok && f.Step == nil && f.Set == nil && e.How != ast.Mean && e.How != ast.Total
	}
	return Form{}, false
}
