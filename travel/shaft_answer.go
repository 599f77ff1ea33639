package travel

import (
	"math"

	"lowslung/solid"
)

func shaftStates(m *solid.Model, end solid.End, p Pose) []ShaftState {
	out := []ShaftState{}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		if k.Axle != end {
			continue
		}
		s := ShaftAt(k, p)
		in, apart, joint := s.Room(k)
		out = append(out, ShaftState{
			Name: k.Name, LengthMM: s.Length, InLeftMM: finite(in, 1), OutLeftMM: finite(apart, 1), JointLeftDeg: finite(joint, 1/deg),
			GearboxJointDeg: s.Joint[0] / deg, AxleJointDeg: s.Joint[1] / deg,
			SlowestPct: 100 * s.Even, FastestPct: 100 / max(s.Even, 1e-6), BestPhaseDeg: s.Twist / deg,
		})
	}
	return out
}

func finite(v, factor float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	v *= factor
	return &v
}

// rodEnds finds each rod end's largest swing over the boundary of the reachable region, where a swing that grows outward is largest,
// and the design pose. Without limits it is the design pose alone.
func rodEnds(m *solid.Model, mv *Mover, limits *Limits) []RodEndState {
	out := []RodEndState{}
	half := m.Axles[mv.End].HalfTrack
	for i := range mv.Links {
		l := &mv.Links[i]
		for e, bolt := range []solid.Vec{l.FromBolt, l.ToBolt} {
			if bolt.IsZero() {
				continue
			}
			r := RodEndState{Link: l.Name, Side: l.Side.String(), End: [2]string{"chassis", "axle"}[e], DesignDeg: SwingAt(l, mv.Design)[e] / deg}
			r.LargestDeg = r.DesignDeg
			if l.Swing[e] > 0 {
				v := l.Swing[e] / deg
				r.AllowedDeg = &v
			}
			out = append(out, r)
		}
	}
	if limits == nil {
		return out
	}
	for _, b := range limits.Boundary {
		mv.Jump(mv.Design)
		roll := math.Asin(math.Sin(mv.Design.Roll) + (b.LeftMM-b.RightMM)/(2*half))
		if !mv.To(mv.Design.Z+(b.LeftMM+b.RightMM)/2, roll) {
			continue
		}
		k := 0
		for i := range mv.Links {
			l := &mv.Links[i]
			swing := SwingAt(l, mv.at)
			for e, bolt := range []solid.Vec{l.FromBolt, l.ToBolt} {
				if bolt.IsZero() {
					continue
				}
				if v := swing[e] / deg; v > out[k].LargestDeg {
					out[k].LargestDeg, out[k].HeaveMM, out[k].RollDeg = v, (b.LeftMM+b.RightMM)/2, (roll-mv.Design.Roll)/deg
				}
				k++
			}
		}
	}
	return out
}
