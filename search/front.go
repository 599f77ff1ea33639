package search

import (
	"cmp"
	"slices"
)

// A member is a combination on the front: what it costs in each number preferred (less is better), and which it is.
type member struct {
	Cost []float64 `json:"c"`
	Rank int64     `json:"r"`
	Fine []int     `json:"f,omitempty"` // values of the choices that take any between, by number; −1 for the one that Rank has, nil for all of those

	Count int64 `json:"n,omitempty"` // combinations that are the same in all numbers, of one whose build is to be asked
}

// A front holds the combinations that no other beats: none is at least as good in everything and better in something; of equal ones the
// first in the order of the space stands. What is on it does not depend on the order in which combinations are offered.
type front struct {
	list []member
	last int // of the member that beat the last one offered: often it beats the next
}

// order is the order of the space: by combination, then by the values between.
func (m *member) order(o *member) int {
	return cmp.Or(cmp.Compare(m.Rank, o.Rank), slices.Compare(m.Fine, o.Fine))
}

// beats says that m is no worse than o in anything, and better in something or earlier.
func (m *member) beats(o *member) bool {
	less := false
	for i, c := range m.Cost {
		if c > o.Cost[i] {
			return false
		}
		less = less || c < o.Cost[i]
	}
	return less || m.order(o) < 0
}

// beaten says that offer would turn a combination away.
func (f *front) beaten(m *member) bool {
	return slices.ContainsFunc(f.list, func(o member) bool { return o.beats(m) })
}

// offer puts a combination on the front unless one there beats it, and takes off those that it beats. The costs are copied.
func (f *front) offer(m member) bool {
	if f.last < len(f.list) && f.list[f.last].beats(&m) {
		return false
	}
	for i := range f.list {
		if f.list[i].beats(&m) {
			f.last = i
			return false
		}
		if f.list[i].order(&m) == 0 {
			return false
		}
	}
	f.list = slices.DeleteFunc(f.list, func(o member) bool { return m.beats(&o) })
	m.Cost, m.Count = slices.Clone(m.Cost), 0
	f.list = append(f.list, m)
	return true
}

// ordered sorts by cost, the most important number first, then by the order of the space.
func (f *front) ordered() {
	slices.SortFunc(f.list, func(a, b member) int {
		if c := slices.Compare(a.Cost, b.Cost); c != 0 {
			return c
		}
		return a.order(&b)
	})
}
