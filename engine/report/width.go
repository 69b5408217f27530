package report

// This file measures text as a terminal shows it.

import (
	"strings"
	"unicode"
)

// wide are the scripts and signs whose characters take two columns (Unicode Standard Annex
// 11, East Asian Width; the ranges from memory).
var wide = []*unicode.RangeTable{unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, {
	R16: []unicode.Range16{{Lo: 0x3000, Hi: 0x303e, Stride: 1}, {Lo: 0xff01, Hi: 0xff60, Stride: 1}, {Lo: 0xffe0, Hi: 0xffe6, Stride: 1}},
	R32: []unicode.Range32{{Lo: 0x1f300, Hi: 0x1f64f, Stride: 1}, {Lo: 0x1f680, Hi: 0x1f6ff, Stride: 1}, {Lo: 0x1f900, Hi: 0x1faff, Stride: 1}},
}}

// runeWidth is how many columns a character takes: none where it stands upon the one before.
func runeWidth(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case r >= 0xff61 && r <= 0xffdc:
		return 1 // halfwidth forms
	case unicode.In(r, wide...):
		return 2
	}
	return 1
}

// width is how many columns a text takes.
func width(s string) int {
	n := 0
	for _, r := range s {
		n += runeWidth(r)
	}
	return n
}

// shorten cuts a text that takes more than n columns, n at least 1, and ends it in dots.
func shorten(s string, n int) string {
	if width(s) <= n {
		return s
	}
	var b strings.Builder
	at := 0
	for _, r := range s {
		if at += runeWidth(r); at > n-1 {
			break
		}
		b.WriteRune(r)
	}
	return b.String() + "…"
}
