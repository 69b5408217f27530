package sheet

// This file remembers which names were there already, in few bytes a name.

import (
	"hash/maphash"

	"ferrule/lang/catalogue"
)

// seen are names, of which 64 bits each are kept. That two of ten million names have the same bits has a chance of three
// in a million; the second would then be refused, as if it were there already.
type seen struct {
	seed   maphash.Seed
	shards [256][]uint64 // each by itself, so that they do not grow at the same time; 0 is nothing
	full   [256]int
	n      int // names, one more where there were too many
}

// newSeen returns no names.
func newSeen() *seen { return &seen{seed: maphash.MakeSeed()} }

// add adds a name, however it is written, unless there are most names already. It is false where that name is there already.
func (s *seen) add(name []byte, most int) bool {
	h := max(maphash.String(s.seed, catalogue.Key(string(name))), 1)
	k := h >> 56
	if 4*s.full[k] >= 3*len(s.shards[k]) {
		old := s.shards[k]
		s.shards[k] = make([]uint64, max(16, 2*len(old)))
		for _, h := range old {
			if h != 0 {
				*slot(s.shards[k], h) = h
			}
		}
	}
	at := slot(s.shards[k], h)
	switch {
	case *at == h:
		return false
	case s.n >= most:
		s.n = most + 1
		return true
	}
	*at = h
	s.full[k]++
	s.n++
	return true
}

// slot is where the bits of a name stand in a table that has room, or would stand.
func slot(table []uint64, h uint64) *uint64 {
	for i := h; ; i++ {
		if at := &table[i&uint64(len(table)-1)]; *at == h || *at == 0 {
			return at
		}
	}
}
