// Package rivals holds the speed comparison: the command ferrule against
// general-purpose engines that are given the same sheet of clubs and the same six
// rules, each as a whole process from start to exit.
//
// It is a module of its own, so that what the rivals need never reaches the module
// of ferrule. Run it here, with both cores otherwise idle:
//
//	go test -bench . -benchtime 3x
//	go test -bench Memory -benchtime 1x -long    # also a sheet of 3,000,000 clubs
//
// This file makes the sheet; book.go makes a rule book of any size; the folders floor,
// bare, cel and opa are the rivals in Go, testdata holds those in other languages.
package rivals

import (
	"bufio"
	"io"
	"math/rand/v2"
	"slices"
	"strconv"
)

// Bag is the number of clubs in a set of a Sheet, which is the most that may be
// carried (Rules of Golf, 4.1b). A few sets have one more, against the rule.
const Bag = 14

// Sheet says which sheet Write makes. The same values make the same bytes. The zero
// value is a sheet of headings alone.
type Sheet struct {
	Rows  int    // clubs, one a row; the last set has what is left
	Seed  uint64 // of the random numbers
	Mixed bool   // lengths as a bench writes them, "45 3/4", not decimals, "45.75"
}

// Finding is a fault that was planted in a sheet: the row where it stands, the
// headings being row 1, and the name of the rule that it breaks. For a set it is the
// set's first row.
type Finding struct {
	Row  int
	Rule string
}

// The rules of testdata/six.ferrule, in its order.
const (
	LongestClub  = "longest-club"
	ShortestClub = "shortest-club"
	UprightLie   = "upright-lie"
	PutterLoft   = "putter-loft"
	HeaviestClub = "heaviest-club"
	ClubsCarried = "clubs-carried"
)

const headings = "set,id,club,length (in),by,lie (deg),loft (deg),mass (g)\n"

// model is a club of the bag before each player's differences; the figures are
// invented, after common practice.
type model struct {
	club         string
	sixteenths   int // length in 1/16 in
	halfLie      int // lie in 1/2 deg
	halfLoft     int // loft in 1/2 deg
	grams        int
	lengthMethod string
}

var bag = [Bag + 1]model{
	{"driver", 728, 114, 21, 312, "plane-60"},
	{"3w", 688, 113, 30, 330, "plane-60"},
	{"5w", 672, 115, 36, 342, "plane-60"},
	{"4h", 640, 118, 44, 370, "plane-60"},
	{"5i", 608, 122, 52, 405, "plane-60"},
	{"6i", 600, 123, 58, 412, "plane-60"},
	{"7i", 592, 124, 66, 420, "plane-60"},
	{"8i", 584, 125, 74, 428, "plane-60"},
	{"9i", 576, 126, 82, 436, "plane-60"},
	{"PW", 572, 127, 92, 446, "plane-60"},
	{"GW", 568, 128, 104, 455, "plane-60"},
	{"SW", 564, 128, 112, 462, "plane-60"},
	{"LW", 560, 128, 120, 466, "plane-60"},
	{"putter", 544, 141, 6, 525, "axis"},
	{"7w", 656, 116, 42, 350, "plane-60"}, // the one too many
}

// Write makes the sheet and returns the faults planted in it, by row and then in the
// order of the rules. About one club in a hundred breaks one rule, about one set in a
// hundred has a club too many, and about one club in a hundred stands on a limit,
// which breaks nothing. The error is the writer's.
func (s Sheet) Write(w io.Writer) ([]Finding, error) {
	out := bufio.NewWriterSize(w, 64<<10)
	out.WriteString(headings)
	random := rand.New(rand.NewPCG(s.Seed, 14))
	var found []Finding
	line := make([]byte, 0, 96)
	for row, set := 2, 1; row < s.Rows+2; set++ {
		clubs := Bag
		if random.IntN(100) == 0 {
			clubs++
		}
		clubs = min(clubs, s.Rows+2-row)
		first, planted := row, len(found)
		for _, m := range bag[:clubs] {
			rule := m.differ(random)
			if rule != "" {
				found = append(found, Finding{row, rule})
			}
			line = append(line[:0], 'b')
			line = strconv.AppendInt(line, int64(set), 10)
			line = append(line, ',')
			line = strconv.AppendInt(line, int64(100000+row), 10)
			line = append(append(line, ','), m.club...)
			line = s.appendLength(append(line, ','), m.sixteenths)
			line = append(append(line, ','), m.lengthMethod...)
			line = appendHalf(append(line, ','), m.halfLie)
			line = appendHalf(append(line, ','), m.halfLoft)
			line = strconv.AppendInt(append(line, ','), int64(m.grams), 10)
			out.Write(append(line, '\n'))
			row++
		}
		if clubs > Bag {
			at := planted
			for at < len(found) && found[at].Row == first {
				at++
			}
			found = slices.Insert(found, at, Finding{first, ClubsCarried})
		}
	}
	return found, out.Flush()
}

// differ makes a player's own club of the model and returns the rule that it breaks,
// "" for none.
func (m *model) differ(random *rand.Rand) string {
	m.sixteenths += random.IntN(17) - 8
	m.halfLie += random.IntN(9) - 4
	m.halfLoft += random.IntN(5) - 2
	m.grams += random.IntN(21) - 10
	putter := m.club == "putter"
	chance := random.IntN(200)
	switch {
	case chance == 0 && putter:
		m.halfLoft = 21 + random.IntN(4) // over 10 deg
		return PutterLoft
	case chance == 0:
		m.sixteenths = 48*16 + 1 + random.IntN(32)
		return LongestClub
	case chance == 1 && random.IntN(3) == 0 && !putter:
		m.sixteenths = 18*16 - 1 - random.IntN(8)
		return ShortestClub
	case chance == 1 && random.IntN(2) == 0:
		m.halfLie = 161 + random.IntN(6) // over 80 deg
		return UprightLie
	case chance == 1:
		m.grams = 601 + random.IntN(50)
		return HeaviestClub
	case chance == 2 && putter:
		m.halfLoft = 20
	case chance == 2:
		m.sixteenths = 48 * 16
	case chance == 3 && random.IntN(2) == 0:
		m.halfLie = 160
	case chance == 3:
		m.grams = 600
	}
	return ""
}

// appendLength appends a length in inches.
func (s Sheet) appendLength(line []byte, sixteenths int) []byte {
	if !s.Mixed {
		return strconv.AppendFloat(line, float64(sixteenths)/16, 'f', -1, 64)
	}
	line = strconv.AppendInt(line, int64(sixteenths/16), 10)
	part, whole := sixteenths%16, 16
	if part == 0 {
		return line
	}
	for part%2 == 0 {
		part, whole = part/2, whole/2
	}
	line = strconv.AppendInt(append(line, ' '), int64(part), 10)
	return strconv.AppendInt(append(line, '/'), int64(whole), 10)
}

// appendHalf appends a figure in degrees that is given in halves of one.
func appendHalf(line []byte, halves int) []byte {
	return strconv.AppendFloat(line, float64(halves)/2, 'f', -1, 64)
}
