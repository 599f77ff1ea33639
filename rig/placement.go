package rig

import "math"

// paired says that the part, or one it sits on, has a mirror twin.
func (w *world) paired(p *placed) bool {
	for range MaxDepth + 1 {
		if p.Pair {
			return true
		}
		if p = w.parts[p.On]; p == nil {
			return false
		}
	}
	return false
}

// left is the y of a point of a part in its assembly's frame, mm. False when the part's place cannot be worked out.
func (w *world) left(p *placed, point Vec) (float64, bool) {
	v := [3]float64{float64(point[0]), float64(point[1]), float64(point[2])}
	for range MaxDepth + 1 {
		if p.Turn != nil {
			v = turned(*p.Turn, v)
		}
		if p.At != nil {
			for i := range v {
				v[i] += float64(p.At[i])
			}
		}
		if p.On == "" {
			return v[1], true
		}
		if p = w.parts[p.On]; p == nil {
			return 0, false
		}
	}
	return 0, false // a circle, or too long a way
}

// turned applies Rz(yaw)·Ry(pitch)·Rx(roll).
func turned(t Turn, v [3]float64) [3]float64 {
	sr, cr := math.Sincos(float64(t[0]))
	v[1], v[2] = cr*v[1]-sr*v[2], sr*v[1]+cr*v[2]
	sp, cp := math.Sincos(float64(t[1]))
	v[0], v[2] = cp*v[0]+sp*v[2], -sp*v[0]+cp*v[2]
	sy, cy := math.Sincos(float64(t[2]))
	v[0], v[1] = cy*v[0]-sy*v[1], sy*v[0]+cy*v[1]
	return v
}

// isZero allows for the rounding of turned frames, mm.
func isZero(y float64) bool { return math.Abs(y) < 1e-6 }
