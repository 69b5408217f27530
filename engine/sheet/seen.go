package sheet

// This file remembers which names were there already, in few bytes a name.

import (
	"hash/maphash"

	"ferrule/lang/catalogue"
)

// seen are names, of which 64 bits each are kept. That two of ten million names have the same bits has a chance of
// three in a million; the second would then be refused, as if it were there already.
type seen struct {
	seed  maphash.Seed
	names map[uint64]struct{}
	n     int // names, one more where there were too many
}

// newSeen returns no names.
func newSeen() *seen { return &seen{seed: maphash.MakeSeed(), names: map[uint64]struct{}{}} }

// hash are the bits of a name, however it is written.
func (s *seen) hash(name string) uint64 { return maphash.String(s.seed, catalogue.Key(name)) }

// add adds a name, however it is written, unless there are most names already. It is false where that name is there
// already.
func (s *seen) add(name string, most int) bool {
	h := s.hash(name)
	if _, known := s.names[h]; known {
		return false
	}
	if len(s.names) < most {
		s.names[h] = struct{}{}
	}
	s.n = min(s.n, most) + 1
	return true
}
