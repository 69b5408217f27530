package data

// This file writes the results of commands other than a check as a table for a spreadsheet, as csv.go does those of a
// check. It takes the structs that are written as JSON: the members keep their names, and those of a struct within come
// behind the name of that struct. An amount has a column for the number and one for the unit. A list of structs in a
// record becomes records of its own, of the same set.

import (
	"bufio"
	"cmp"
	"reflect"
	"strconv"
	"strings"

	"ferrule/lang/lists"
)

// table is a table on its way.
type table struct {
	w       *bufio.Writer
	columns []string
	at      map[string]int // by column
}

// records are the names of records by those of lists, where they differ.
var records = map[string]string{"results": "result", "sets": "set", "clubs": "club", "swaps": "swap", "rules": "rule",
	"columns_unused": "column_unused"}

func recordOf(list string) string { return cmp.Or(records[list], list) }

// newTable begins a table of structs like those that are given.
func newTable(w *bufio.Writer, likes ...any) *table {
	t := &table{w: w, at: map[string]int{}}
	for _, name := range []string{"record", "set", "id", "club"} {
		t.column(name)
	}
	for _, like := range likes {
		t.declare(reflect.TypeOf(like), "")
	}
	w.Write(appendCells(nil, t.columns))
	return t
}

func (t *table) column(name string) {
	if _, ok := t.at[name]; !ok {
		t.at[name] = len(t.columns)
		t.columns = append(t.columns, name)
	}
}

// part is how a member of a struct is written.
type part int

const (
	partCell   part = iota
	partWithin      // a struct, whose name and "_" come before the names of its members
	partAmount
	partRows
	partRecords // a list of structs
	partNone
)

// partOf says how a member is written, and under which name.
func partOf(f reflect.StructField) (part, string) {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if other := f.Tag.Get("csv"); other != "" {
		name = other
	}
	of := f.Type
	if of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	list := of.Kind() == reflect.Slice && of.Elem().Kind() == reflect.Struct
	switch {
	case f.Anonymous, name == "subject":
		return partWithin, ""
	case name == "entry", of == reflect.TypeFor[[]jsonStep]():
		return partNone, ""
	case of == reflect.TypeFor[jsonAmount]():
		return partAmount, name
	case of == reflect.TypeFor[[]jsonRow]():
		return partRows, name
	case list:
		return partRecords, name
	case of.Kind() == reflect.Struct:
		return partWithin, name + "_"
	}
	return partCell, name
}

// declare adds the columns of a struct.
func (t *table) declare(of reflect.Type, before string) {
	if of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
		of = of.Elem()
	}
	for i := range of.NumField() {
		f := of.Field(i)
		switch kind, name := partOf(f); kind {
		case partWithin:
			t.declare(f.Type, before+name)
		case partRecords:
			t.declare(f.Type, "")
		case partAmount:
			t.column(before + name)
			t.column(before + name + "_unit")
		case partRows:
			for of := rowCells(nil); len(of) > 0; of = of[2:] {
				t.column(of[0].(string))
			}
		case partCell:
			t.column(before + name)
		}
	}
}

// add writes a struct as a record, and the lists in it.
func (t *table) add(record, set string, v any) {
	cells := make([]string, len(t.columns))
	cells[t.at["record"]] = record
	cells[t.at["set"]] = harmless(set)
	var lists []func(set string)
	t.fill(cells, "", reflect.ValueOf(v), &lists)
	t.w.Write(appendCells(nil, cells))
	for _, list := range lists {
		list(cells[t.at["set"]])
	}
}

// fill fills in the cells of a struct, and gathers what writes the lists in it.
func (t *table) fill(cells []string, before string, v reflect.Value, lists *[]func(string)) {
	for i := range v.NumField() {
		kind, name := partOf(v.Type().Field(i))
		f := v.Field(i)
		if f.Kind() == reflect.Pointer {
			if f.IsNil() {
				continue
			}
			f = f.Elem()
		}
		switch kind {
		case partWithin:
			t.fill(cells, before+name, f, lists)
		case partRecords:
			*lists = append(*lists, func(set string) {
				for k := range f.Len() {
					t.add(recordOf(name), set, f.Index(k).Interface())
				}
			})
		case partAmount:
			a := f.Interface().(jsonAmount)
			cells[t.at[before+name]], cells[t.at[before+name+"_unit"]] = numberText(a.Amount), a.Unit
		case partRows:
			for of := rowCells(f.Interface().([]jsonRow)); len(of) > 0; of = of[2:] {
				cells[t.at[of[0].(string)]] = cellText(of[1])
			}
		case partCell:
			cells[t.at[before+name]] = cellText(f.Interface())
		}
	}
}

// cellText is a text, a number, a truth or several texts as a cell.
func cellText(v any) string {
	switch v := v.(type) {
	case string:
		return harmless(v)
	case bool:
		return strconv.FormatBool(v)
	case float64:
		return numberText(v)
	case int:
		return strconv.Itoa(v)
	}
	return harmless(strings.Join(lists.Each(v.([]string), harmless), divider)) // -5; 6 is no number
}
