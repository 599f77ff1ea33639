package search

import (
	"cmp"
	"slices"
)

// A member is a combination on the front: what it costs in each number preferred (less is better), and which it is.
type member struct {
	Cost []float64 `json:"c"`
	Rank int64     `json:"r"`

	Count int64 `json:"n,omitempty"` // combinations that are the same in all numbers, of one whose build is to be asked
}

// A front holds the combinations that no other beats: none is at least as good in everything and better in something; of equal ones the
// first in the order of the space stands. What is on it does not depend on the order in which combinations are offered.
type front struct {
	list []member
	last int // of the member that beat the last one offered: often it beats the next
}

// beats says that a is no worse than b in anything, and better in something or earlier.
func beats(a, b []float64, ra, rb int64) bool {
	less := false
	for i := range a {
		if a[i] > b[i] {
			return false
		}
		less = less || a[i] < b[i]
	}
	return less || ra < rb
}

// beaten says that offer would turn a combination away.
func (f *front) beaten(c []float64, rank int64) bool {
	for i := range f.list {
		if beats(f.list[i].Cost, c, f.list[i].Rank, rank) {
			return true
		}
	}
	return false
}

// offer puts a combination on the front unless one there beats it, and takes off those that it beats. The costs are copied.
func (f *front) offer(cost []float64, rank int64) bool {
	if f.last < len(f.list) && beats(f.list[f.last].Cost, cost, f.list[f.last].Rank, rank) {
		return false
	}
	for i := range f.list {
		if beats(f.list[i].Cost, cost, f.list[i].Rank, rank) {
			f.last = i
			return false
		}
		if f.list[i].Rank == rank {
			return false
		}
	}
	f.list = slices.DeleteFunc(f.list, func(m member) bool { return beats(cost, m.Cost, rank, m.Rank) })
	f.list = append(f.list, member{Cost: slices.Clone(cost), Rank: rank})
	return true
}

// ordered sorts by cost, the most important number first, then by the order of the space.
func (f *front) ordered() {
	slices.SortFunc(f.list, func(a, b member) int {
		if c := slices.Compare(a.Cost, b.Cost); c != 0 {
			return c
		}
		return cmp.Compare(a.Rank, b.Rank)
	})
}
