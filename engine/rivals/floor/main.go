// Command floor is the six rules of testdata/six.ferrule by hand: encoding/csv and six
// ifs, and nothing that would serve a seventh. It is the floor that the others are
// measured from. Findings go to standard output, FILE:ROW: fail RULE.
package main

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"log"
	"os"
	"strconv"
)

func main() {
	path := os.Args[1]
	file, err := os.Open(path)
	if err != nil {
		log.Fatal(err)
	}
	out := bufio.NewWriter(os.Stdout)
	fail := func(row int, rule string) { fmt.Fprintf(out, "%s:%d: fail %s\n", path, row, rule) }

	sheet := csv.NewReader(bufio.NewReaderSize(file, 64<<10))
	sheet.ReuseRecord = true
	if _, err := sheet.Read(); err != nil {
		log.Fatal(err)
	}
	var set []byte
	first, count := 0, 0
	for row := 2; ; row++ {
		cells, err := sheet.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			log.Fatal(err)
		}
		if cells[0] != string(set) {
			if count > 14 {
				fail(first, "clubs-carried")
			}
			set, first, count = append(set[:0], cells[0]...), row, 0
		}
		count++
		putter := cells[2] == "putter"
		length, lie, loft, mass := number(cells[3]), number(cells[5]), number(cells[6]), number(cells[7])
		if !putter && length > 48 {
			fail(row, "longest-club")
		}
		if !putter && length < 18 {
			fail(row, "shortest-club")
		}
		if lie > 80 {
			fail(row, "upright-lie")
		}
		if putter && loft > 10 {
			fail(row, "putter-loft")
		}
		if mass > 600 {
			fail(row, "heaviest-club")
		}
	}
	if count > 14 {
		fail(first, "clubs-carried")
	}
	if err := out.Flush(); err != nil {
		log.Fatal(err)
	}
}

func number(cell string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		log.Fatal(err)
	}
	return x
}
