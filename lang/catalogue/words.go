package catalogue

// This file holds what people type for a kind of club, a wedge, a hand and a measurement that was not taken (common
// practice). All of it is compared as Key has it.

import "strings"

// kindWords are the words for a kind beside a number: 3w, FW 3, 4 rescue, 7i.
var kindWords = map[string]Kind{"w": Fairway, "wood": Fairway, "woods": Fairway, "fw": Fairway, "fwy": Fairway,
	"h": Hybrid, "hy": Hybrid, "hyb": Hybrid, "rescue": Hybrid, "i": Iron}

// KindWord returns the kind that a word beside a number means, its own name included; NoKind where it means
// none.
func KindWord(word string) Kind {
	if k := kindWords[word]; k != NoKind {
		return k
	}
	return KindOf(word)
}

// wedgeMarks are the stamps that name a wedge by themselves, and the words of the trade for them.
var wedgeMarks = map[string]string{"pw": "PW", "gw": "GW", "aw": "AW", "sw": "SW", "lw": "LW",
	"pitching": "PW", "gap": "GW", "approach": "AW", "sand": "SW", "lob": "LW"}

// WedgeMark returns the stamp that a word names; "" where it names none.
func WedgeMark(word string) string { return wedgeMarks[word] }

var hands = map[string]string{"left": "left", "l": "left", "lh": "left", "lefthand": "left", "lefthanded": "left",
	"lefty": "left", "right": "right", "r": "right", "rh": "right", "righthand": "right", "righthanded": "right",
	"righty": "right"}

// HandOf returns left or right; "" where a text is neither.
func HandOf(s string) string { return hands[Key(s)] }

// Null is what a cell holds that is written as empty.
const Null = "null"

// NotMeasured reports whether a cell says that there is nothing to read in it.
func NotMeasured(s string) bool {
	if len(s) > len(Null) || s != "" && s[0] >= '0' && s[0] <= '9' {
		return false
	}
	switch strings.ToLower(s) {
	case "", Null, "n/a", "na", "-", "–", "?":
		return true
	}
	return false
}
