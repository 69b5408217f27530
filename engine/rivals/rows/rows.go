// Package rows reads a sheet and writes findings for the rivals that are Go programs
// around somebody's engine, so that they differ by the engine alone. It reads as the
// floor does.
package rows

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"strconv"
)

// Club is a row of the sheet as the six rules need it.
type Club struct {
	Row    int     // the headings are row 1
	Club   string  // "driver", "7i"
	Length float64 // in
	Lie    float64 // deg
	Loft   float64 // deg
	Mass   float64 // g
}

// Findings are the lines FILE:ROW: fail RULE on their way to standard output.
type Findings struct {
	path string
	out  *bufio.Writer
}

// Fail writes that the row breaks the rule.
func (f *Findings) Fail(row int, rule string) {
	f.out.WriteString(f.path)
	f.out.WriteByte(':')
	f.out.WriteString(strconv.Itoa(row))
	f.out.WriteString(": fail ")
	f.out.WriteString(rule)
	f.out.WriteByte('\n')
}

// Judge reads the sheet at path, whose sets stand together, and calls judge with the
// clubs of each set in turn, which are valid until judge returns. It stops at the
// first error.
func Judge(path string, judge func(set []Club, found *Findings) error) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	sheet := csv.NewReader(bufio.NewReaderSize(file, 64<<10))
	sheet.ReuseRecord = true
	if _, err := sheet.Read(); err != nil {
		return err
	}
	found := &Findings{path, bufio.NewWriter(os.Stdout)}
	var name []byte
	var set []Club
	for row := 2; ; row++ {
		cells, err := sheet.Read()
		if err != nil && err != io.EOF {
			return err
		}
		if len(set) > 0 && (err == io.EOF || cells[0] != string(name)) {
			if err := judge(set, found); err != nil {
				return err
			}
			set = set[:0]
		}
		if err == io.EOF {
			return found.out.Flush()
		}
		name = append(name[:0], cells[0]...)
		club, err := read(row, cells)
		if err != nil {
			return err
		}
		set = append(set, club)
	}
}

func read(row int, cells []string) (Club, error) {
	length, err1 := strconv.ParseFloat(cells[3], 64)
	lie, err2 := strconv.ParseFloat(cells[5], 64)
	loft, err3 := strconv.ParseFloat(cells[6], 64)
	mass, err4 := strconv.ParseFloat(cells[7], 64)
	return Club{row, cells[2], length, lie, loft, mass}, errors.Join(err1, err2, err3, err4)
}
