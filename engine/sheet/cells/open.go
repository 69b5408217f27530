package cells

// This file recognises the format of a sheet, by the ending of its name or by its first bytes.

import (
	"bytes"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits are how many bytes a spreadsheet may unpack to.
type Limits struct {
	Sheet int64 // the sheet that is read
	Texts int64 // the list of texts
}

// UsualLimits are those of a spreadsheet that a person keeps.
var UsualLimits = Limits{Sheet: 192 << 20, Texts: 64 << 20}

// endings are those of the names of spreadsheets.
var endings = []string{".xlsx", ".ods"}

// sniffed is how many bytes are looked at to find the format.
const sniffed = 512

// Open starts to read a sheet. The format follows the ending of its name: .csv, .tsv, .txt, .jsonl, .ndjson, .xlsx or
// .ods (also FILE.xlsx#Sheet); of any other name, "-" included, it is told by the first bytes.
func Open(name string, in io.Reader, most Limits) (Source, *Trouble) {
	head := make([]byte, sniffed)
	n, err := io.ReadFull(in, head)
	head = head[:n]
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, unreadable(1, err)
	}
	format, t := formatOf(name, head)
	if t != nil {
		return nil, t
	}
	in = io.MultiReader(bytes.NewReader(head), in)
	switch format {
	case jsonLines:
		return newJSONLines(in), nil
	case spreadsheet:
		file := FileOf(name)
		return openSpreadsheet(in, strings.TrimPrefix(name[len(file):], "#"), most)
	}
	return NewCSV(in), nil
}

type format uint8

const (
	separated format = iota // CSV, and any other text
	jsonLines
	spreadsheet
)

func formatOf(name string, head []byte) (format, *Trouble) {
	zip := bytes.HasPrefix(head, []byte("PK\x03\x04"))
	file := strings.ToLower(FileOf(name))
	is := func(endings ...string) bool {
		return slices.ContainsFunc(endings, func(e string) bool { return strings.HasSuffix(file, e) })
	}
	switch {
	case bytes.HasPrefix(head, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return 0, &Trouble{Kind: OldSpreadsheet}
	case bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff}):
		return 0, &Trouble{Kind: UTF16}
	case is(endings...) && !zip:
		return 0, &Trouble{Kind: NotSpreadsheet, Read: file[strings.LastIndexByte(file, '.'):]}
	case is(".csv", ".tsv", ".txt", ".jsonl", ".ndjson") && zip:
		return 0, &Trouble{Kind: NotPlainText}
	case zip:
		return spreadsheet, nil
	case binary(head):
		return 0, &Trouble{Kind: Binary}
	case is(".csv", ".tsv", ".txt"):
		return separated, nil
	case is(".jsonl", ".ndjson"):
		return jsonLines, nil
	}
	switch start := bytes.TrimSpace(bytes.TrimPrefix(head, []byte(byteOrderMark))); {
	case bytes.HasPrefix(start, []byte("{")):
		return jsonLines, nil
	case bytes.HasPrefix(start, []byte("[")):
		return 0, &Trouble{Kind: Bracketed, Row: 1}
	}
	return separated, nil
}

// binary reports whether the first bytes are those of no text at all: with NUL bytes, and a first line that is neither
// a JSON line nor text throughout. NUL bytes further down are the matter of their cells.
func binary(head []byte) bool {
	if bytes.IndexByte(head, 0) < 0 {
		return false
	}
	first := bytes.TrimLeft(bytes.TrimPrefix(head, []byte(byteOrderMark)), " \t\r\n,;")
	if i := bytes.IndexAny(first, "\r\n"); i >= 0 {
		first = first[:i]
	}
	return !bytes.HasPrefix(first, []byte("{")) && !Printable(strings.ReplaceAll(string(first), "\t", ""))
}

// FileOf is the file of a sheet's name: bag.xlsx of "bag.xlsx#Irons".
func FileOf(name string) string {
	lower := strings.ToLower(name)
	for _, e := range endings {
		if i := strings.LastIndex(lower, e+"#"); i > 0 && len(lower) == len(name) {
			return name[:i+len(e)]
		}
	}
	return name
}

// Printable reports whether s is text in UTF-8, not empty, without a character that cannot be printed.
func Printable(s string) bool {
	for i := 0; i < len(s); {
		c, n := rune(s[i]), 1
		if c >= utf8.RuneSelf {
			if c, n = utf8.DecodeRuneInString(s[i:]); c == utf8.RuneError && n == 1 || unicode.Is(unicode.Cf, c) {
				return false
			}
		}
		if unicode.IsControl(c) {
			return false
		}
		i += n
	}
	return len(s) > 0
}
