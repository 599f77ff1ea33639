package search

import (
	"math"
	"slices"

	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

// Where an axle stands while searching: where its springs carry what they carry in the document's rig; without springs at the set lengths of
// its shocks, at ride height, or near. Builds that are asked whole stand on their own springs, with their own weights.

// stands is how the document's rig carries its axles.
type stands struct {
	known [2]bool
	pose  [2]travel.Pose
	heave [2]travel.Rate
	roll  [2]travel.Rate
	rest  bool // Set of the shocks is their length on their springs
}

// standing makes Set of the shocks the length that they have where the model's rig rests on its springs, if it does.
func standing(m *solid.Model) (out stands) {
	rest := ride.Stand(m).Rest
	if m.Rest = nil; rest == nil {
		return out
	}
	out.rest = true
	for i := range m.Shocks {
		k := &m.Shocks[i]
		length, n := 0.0, 0.0 // the mean of twins: without the lean
		for j := range m.Shocks {
			if m.Shocks[j].Path == k.Path {
				length, n = length+rest.Lengths[j], n+1
			}
		}
		k.Set = length / n
	}
	for end := solid.Front; end <= solid.Rear; end++ {
		if !m.Axles[end].Present {
			continue
		}
		mv := travel.NewMover(m, end)
		if !mv.Settle() {
			continue
		}
		out.pose[end] = mv.Design
		out.heave[end], out.roll[end], _, out.known[end] = mv.Rates()
	}
	return out
}

// length is where a shock in the place of the model's shock i stands: its springs push P' there with P'·dl'/dz = P·dl/dz, the work of the
// other's when the axle heaves (virtual work). The motion ratio dl/dz is that of the document's links and height, so it is exact for other
// springs and collars, and near for eyes elsewhere.
func (st *stands) length(m *solid.Model, i int, other *solid.Shock) float64 {
	own := &m.Shocks[i]
	switch {
	case !st.rest:
		return other.Set
	case !st.known[own.Axle]:
		return own.Set
	}
	strut := func(s *solid.Shock) travel.Strut {
		return travel.StrutAt(m, s, st.pose[own.Axle], st.heave[own.Axle], st.roll[own.Axle])
	}
	force, ok := ride.Push(own, own.Set)
	mine, its := strut(own).PerHeave, strut(other).PerHeave
	if !ok || math.Abs(its) < 0.05 { // lies nearly flat: no height follows from it
		return own.Set
	}
	length, ok := ride.LengthAt(other, force*mine/its)
	if !ok {
		return own.Set
	}
	return length
}

// asSearched is a build's model standing as it stood while searching; framed is the document with only those of its changes that concern more
// than one link or shock.
func asSearched(framed, m *solid.Model) *solid.Model {
	base, out := *framed, *m
	base.Shocks, out.Shocks = slices.Clone(base.Shocks), slices.Clone(out.Shocks)
	st := standing(&base)
	for i := range out.Shocks {
		out.Shocks[i].Set = st.length(&base, i, &out.Shocks[i])
	}
	out.Rest = nil
	return &out
}
