package solid

import (
	"math"
	"testing"
)

// ballMesh is a ball of n × 2n facets about the origin.
func ballMesh(n int, r float64) *Mesh {
	at := func(i, k int) [3]float32 {
		u, v := math.Pi*float64(i)/float64(n), math.Pi*float64(k)/float64(n)
		return [3]float32{float32(r * math.Sin(u) * math.Cos(v)), float32(r * math.Sin(u) * math.Sin(v)), float32(r * math.Cos(u))}
	}
	var list [][3][3]float32
	for i := range n {
		for k := range 2 * n {
			a, b, c, d := at(i, k), at(i+1, k), at(i+1, (k+1)%(2*n)), at(i, (k+1)%(2*n))
			list = append(list, [3][3]float32{a, b, c}, [3][3]float32{a, c, d})
		}
	}
	return NewMesh(list, 1)
}

// What is drawn is as it is while it is small enough; a large mesh is drawn with fewer triangles that enclose nearly the same volume (the sum of the signed tetrahedra over the
// triangles, Gauss' theorem), within its bounds and facing the same way.
func TestMeshDrawn(t *testing.T) {
	volume := func(list [][3]Vec) (v float64) {
		for _, t := range list {
			v += t[0].Dot(t[1].Cross(t[2])) / 6
		}
		return v
	}
	m := ballMesh(100, 30)
	if got := m.Drawn(len(m.Triangles)); len(got) != len(m.Triangles) {
		t.Errorf("%d triangles of %d", len(got), len(m.Triangles))
	}
	whole := 4 * math.Pi * 30 * 30 * 30 / 3
	for _, most := range []int{20000, 4000, 800, 100} {
		list := m.Drawn(most)
		if len(list) > most || len(list) < most/20 {
			t.Errorf("at most %d: %d triangles", most, len(list))
		}
		if v := volume(list); v < 0.6*whole || v > 1.001*whole {
			t.Errorf("at most %d: a volume of %.0f mm³ of %.0f", most, v, whole)
		}
		for _, tri := range list {
			for _, p := range tri {
				if p.Norm() > 30+1e-4 {
					t.Fatalf("a corner at %v is outside of the ball", p)
				}
			}
		}
	}
	if got := m.Drawn(1); len(got) > 1 {
		t.Errorf("%d triangles, expected one at most", len(got))
	}
}
