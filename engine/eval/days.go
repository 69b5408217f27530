package eval

// This file works out what depends on the day of the check.

import (
	"time"

	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// today is the day of the check.
func (x *Env) today() value.Value {
	on := x.Bench.Today
	if on == book.NoDay {
		return value.LackOf(value.Lack{Kind: value.NoToday, Property: "today"})
	}
	x.Record(Step{What: StepToday, Name: "today", Text: on.String()})
	return value.Value{Kind: value.Day, Num: float64(on)}
}

// age is the whole years from a day to the day of the check. A year is full on the same day of the month, that from
// 29 February on 1 March.
func (x *Env) age(e *ast.Age) value.Value {
	v, on := x.Eval(e.Of), x.today()
	switch {
	case v.Kind != value.Day || on.Kind != value.Day:
		return value.LackOf(value.Merge(v.Lacks, on.Lacks)...)
	case v.Num > on.Num:
		return value.LackOf(value.Lack{Kind: value.NotYet, Name: Written(e.Of)})
	}
	return value.NumberOf(float64(YearsBetween(book.Day(v.Num), book.Day(on.Num))))
}

// YearsBetween is the whole years from one day to a later one.
func YearsBetween(from, to book.Day) int {
	a, b := from.Time(), to.Time()
	years := b.Year() - a.Year()
	if b.Month() < a.Month() || b.Month() == a.Month() && b.Day() < a.Day() {
		years--
	}
	return years
}

// YearsBefore is the last day from which whole years are full on another.
func YearsBefore(years int, on book.Day) book.Day {
	day := on.Time()
	before := time.Date(day.Year()-years, day.Month(), day.Day(), 0, 0, 0, 0, time.UTC)
	if before.Month() != day.Month() { // 29 February of a year that has none
		before = before.AddDate(0, 0, -before.Day())
	}
	return book.Day(before.Unix() / 86400)
}
