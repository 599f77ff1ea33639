package reference

import (
	"fmt"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// An axle on five links binds: the program puts it where the squares of the links' stretches add up to least, and says how much
// each would have to give. Against scipy.optimize.least_squares, which knows nothing of our derivatives.
//
// The minimum is where the gradient of the sum vanishes; SciPy stops where that is below about 1e-14, or where the sum, a few
// tenths of a mm², changes by less than 1e-15 of itself. Being a square, it fixes the pose only to its root: some 1e-8 of 50 mm.
func TestFiveLinksAgainstSciPy(t *testing.T) {
	d := chance(t)
	type over struct {
		Chassis [][3]float64 `json:"chassis"`
		Axle    [][3]float64 `json:"axle"`
		Length  []float64    `json:"length"`
		Near    [3]float64   `json:"near"`
		Points  [][2]float64 `json:"points"`
	}
	var tasks []over
	var models []*solid.Model
	all := layouts()
	for i := range 24 {
		one := d.drawn(all[[]int{0, 2, 3}[i%3]], solid.End(i%2), i%4 > 1, false)
		m, end := one.model, one.hold.end
		from, to := m.Axles[end].Near.Add(xyz(4, -42, d.about(16, 4))), xyz(4, 42, d.about(12, 4))
		m.Links = append(m.Links, solid.Link{
			Name: "transverse", Path: "links/transverse", Axle: end, From: from, To: to,
			Length: m.Axles[end].Near.Add(one.hold.at.R.Mul(to)).Sub(from).Norm() + d.about(0, 0.5),
		})
		k := over{Near: three(m.Axles[end].Near)}
		for _, l := range m.Links {
			k.Chassis, k.Axle, k.Length = append(k.Chassis, three(l.From)), append(k.Axle, three(l.To)), append(k.Length, l.Length)
		}
		for range 5 {
			k.Points = append(k.Points, [2]float64{k.Near[2] + d.about(0, 15), d.about(0, 0.15)})
		}
		tasks, models = append(tasks, k), append(models, m)
	}
	var answers [][]struct {
		X, Y    float64
		Turn    solid.Mat
		Stretch []float64
	}
	twin(t, "over_twin.py", map[string]any{"axles": tasks}, &answers)
	worst := tally{}
	for i, m := range models {
		mv := travel.NewMover(m, m.Links[0].Axle)
		if mv.Count() != 5 {
			t.Fatalf("axle %d: %d links", i, mv.Count())
		}
		for k, to := range tasks[i].Points {
			want := answers[i][k]
			what := fmt.Sprintf("axle %d, point %d", i, k)
			if !mv.To(to[0], to[1]) {
				t.Errorf("%s: not reached", what)
				continue
			}
			worst.hold(t, "x, mm", what, mv.At().X, want.X, 5e-6)
			worst.hold(t, "y, mm", what, mv.At().Y, want.Y, 5e-6)
			worst.hold(t, "turn, °", what, apart(mv.At().Turn(), want.Turn)/deg, 0, 5e-6)
			for n, s := range mv.Stretch() {
				worst.hold(t, "stretch, mm", what, s, want.Stretch[n], 5e-6)
			}
		}
	}
	t.Logf("largest differences %v", worst)
}
