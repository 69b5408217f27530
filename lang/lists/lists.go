// Package lists makes lists of lists.
package lists

import "slices"

// Each is a list of what becomes of each element of another; it is not nil.
func Each[T, U any](from []T, of func(T) U) []U {
	out := make([]U, len(from))
	for i, one := range from {
		out[i] = of(one)
	}
	return out
}

// Kept are those elements of a list that are to be kept; nil for none.
func Kept[T any](from []T, keep func(T) bool) (out []T) {
	for _, one := range from {
		if keep(one) {
			out = append(out, one)
		}
	}
	return out
}

// Once is each element of a list once; nil for none.
func Once[T comparable](from []T) []T {
	told := map[T]bool{}
	return Kept(from, func(one T) bool {
		again := told[one]
		told[one] = true
		return !again
	})
}

// Also is a list with those of others behind it that are not in it yet.
func Also[T comparable](list []T, others ...T) []T {
	for _, one := range others {
		if !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return list
}
