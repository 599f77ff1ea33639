package reference

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"lowslung/check"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// There and back: the points of a demo rig at its design pose, worked out here through solid and travel, go into a table as a builder
// would measure them, and the document made of the table must move like the rig. Nothing of the way there is shared with the way back:
// rig.FromPoints knows wheel centres and a pinion angle and has frames of its own.

// A measured rig is the rows of its table; numbers in mm and degrees.
type measured struct{ rows [][]any }

var tableHead = []string{"axle", "what", "chassis x", "chassis y", "chassis z", "axle x", "axle y", "axle z", "side", "length", "pinion angle", "tyre diameter", "weight"}

func (m *measured) row(axle solid.End, what string, from, to *vec, more map[string]any) {
	row := make([]any, len(tableHead))
	row[0], row[1] = axle.String(), what
	for i, v := range []*vec{from, to} {
		if v != nil {
			row[2+3*i], row[3+3*i], row[4+3*i] = v.X, v.Y, v.Z
		}
	}
	for i, h := range tableHead {
		if v, ok := more[h]; ok {
			row[i] = v
		}
	}
	m.rows = append(m.rows, row)
}

// measure takes the points of a rig at its design pose. Of a pair the left one is measured, or, when both is set, each.
func measure(m *solid.Model, st *travel.Stand, both bool) *measured {
	out := &measured{}
	for end := range m.Axles {
		a := &m.Axles[end]
		p := st.Movers[end].Design
		for s := 1.0; s >= -1; s -= 2 {
			at := p.Place(vec{Y: s * a.HalfTrack})
			out.row(solid.End(end), "wheel", nil, &at, map[string]any{"tyre diameter": 2 * a.TyreRadius, "weight": 148.0})
		}
		for _, s := range m.Shafts {
			if s.Axle == solid.End(end) {
				to, r := p.Place(s.To), p.Turn()
				out.row(s.Axle, "Pinion", &s.From, &to, map[string]any{"pinion angle": math.Asin(r.Mul(a.PinionAxis).Z) / deg})
			}
		}
		side := func(s solid.Side) (word string, skip bool) {
			switch {
			case s == solid.Single:
				return "single", false
			case both:
				return s.String(), false
			}
			return "pair", s == solid.Right
		}
		for _, l := range m.Links {
			word, skip := side(l.Side)
			if l.Axle != solid.End(end) || skip {
				continue
			}
			to := p.Place(l.To)
			out.row(l.Axle, l.Name, &l.From, &to, map[string]any{"side": word})
		}
		for _, s := range m.Shocks {
			word, skip := side(s.Side)
			if s.Axle != solid.End(end) || s.Bottom.Link >= 0 || skip {
				continue // on a link: not in such a table; near then says where the axle is
			}
			top, to := s.Top.At, p.Place(s.Bottom.At)
			out.row(s.Axle, "shock", &top, &to, map[string]any{"side": word, "length": s.Set}) // as the manual has it: the middle of left and right
		}
	}
	return out
}

// text writes the table with the columns in the order given.
func (m *measured) text(order []int, sep string, number func(v float64, column string) string) string {
	var b strings.Builder
	line := func(cell func(i int) string) {
		for n, i := range order {
			if n > 0 {
				b.WriteString(sep)
			}
			b.WriteString(cell(i))
		}
		b.WriteString("\n")
	}
	line(func(i int) string { return tableHead[i] })
	for _, row := range m.rows {
		line(func(i int) string {
			switch v := row[i].(type) {
			case float64:
				return number(v, tableHead[i])
			case string:
				return v
			}
			return ""
		})
	}
	return b.String()
}

func plain(v float64, _ string) string { return strconv.FormatFloat(v, 'f', 12, 64) }

// habits are ways in which builders and their spreadsheets write a table.
var habits = []struct {
	name, sep string
	number    func(v float64, column string) string
}{
	{"commas", ",", plain},
	{"semicolons and decimal commas", ";", func(v float64, c string) string { return strings.Replace(plain(v, c), ".", ",", 1) }},
	{"tabs, inches and ounces", "\t", func(v float64, c string) string {
		switch c { // 1 in = 25.4 mm, 1 oz = 28.349523125 g: international yard and pound agreement of 1959
		case "pinion angle":
			return plain(v*deg, c) + " rad"
		case "weight":
			return plain(v/28.349523125, c) + " oz"
		}
		return plain(v/25.4, c) + " in"
	}},
}

func TestMeasuredPointsThereAndBack(t *testing.T) {
	d := chance(t)
	largest := tally{}
	for _, file := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		_, m := modelOf(t, fromFolder("../examples"), file)
		st := travel.StandOf(m)
		for _, both := range []bool{false, true} {
			table := measure(m, st, both)
			for _, h := range habits {
				what := fmt.Sprintf("%s, %s, both sides %v", file, h.name, both)
				csv := table.text(d.Perm(len(tableHead)), h.sep, h.number)
				doc, err := rig.FromPoints("points.csv", "There and back", []byte(csv))
				if err != nil {
					t.Errorf("%s: %v", what, err)
					continue
				}
				_, back := modelOf(t, func(string) ([]byte, error) { return doc, nil }, "back.rig.yaml")
				sameMotion(t, largest, what, m, back)
				if a, err := check.Assess(back, check.Options{}); err != nil || len(a.Numbers()) < 10 {
					t.Errorf("%s: check answers %d numbers, %v", what, len(a.Numbers()), err)
				}
			}
		}
	}
	t.Logf("largest differences %v", largest)
}

// sameMotion holds the motion of two rigs together over the usual grid.
func sameMotion(t *testing.T, largest tally, what string, a, b *solid.Model) {
	t.Helper()
	one, two := travelOf(t, a, travel.Options{}), travelOf(t, b, travel.Options{})
	points := 0
	for end, pair := range map[string][2]*travel.Axle{"front": {one.Axles.Front, two.Axles.Front}, "rear": {one.Axles.Rear, two.Axles.Rear}} {
		p, q := pair[0], pair[1]
		if q == nil || len(p.Poses) != len(q.Poses) || !q.Design.Solved {
			t.Errorf("%s, %s axle: %d poses there, back %+v", what, end, len(p.Poses), q)
			continue
		}
		given(t, what+", wheelbase", q.Design.WheelbaseMM, *p.Design.WheelbaseMM, 1e-6)
		for i := range p.Poses {
			x, y := &p.Poses[i], &q.Poses[i]
			at := fmt.Sprintf("%s, %s axle, heave %g, roll %g", what, end, x.HeaveMM, x.RollDeg)
			if x.HeaveMM != y.HeaveMM || x.RollDeg != y.RollDeg {
				t.Fatalf("%s: back it is heave %g, roll %g", at, y.HeaveMM, y.RollDeg)
			}
			points++
			largest.hold(t, "x, mm", at, y.XMM, x.XMM, 1e-6)
			largest.hold(t, "y, mm", at, y.YMM, x.YMM, 1e-6)
			largest.hold(t, "z, mm", at, y.ZMM, x.ZMM, 1e-6)
			largest.hold(t, "steer, °", at, y.SteerDeg, x.SteerDeg, 1e-6)
			largest.hold(t, "spin, °", at, y.SpinDeg, x.SpinDeg, 1e-6)
			largest.hold(t, "pinion, °", at, y.PinionAngleDeg, x.PinionAngleDeg, 1e-6)
			largest.hold(t, "wheelbase, mm", at, *y.WheelbaseMM, *x.WheelbaseMM, 1e-6)
			largest.hold(t, "left wheel, mm", at, *y.LeftWheelZMM, *x.LeftWheelZMM, 1e-6)
			for k := range y.Shocks {
				largest.hold(t, "shock, mm", at, y.Shocks[k].LengthMM, x.Shocks[k].LengthMM, 1e-6)
			}
			if len(y.Shafts) != 1 {
				t.Fatalf("%s: %d shafts", at, len(y.Shafts))
			}
			largest.hold(t, "shaft, mm", at, y.Shafts[0].LengthMM, x.Shafts[0].LengthMM, 1e-6)
			largest.hold(t, "joint, °", at, y.Shafts[0].AxleJointDeg, x.Shafts[0].AxleJointDeg, 1e-6)
			largest.hold(t, "joint, °", at, y.Shafts[0].GearboxJointDeg, x.Shafts[0].GearboxJointDeg, 1e-6)
		}
	}
	if points < 100 {
		t.Errorf("%s: only %d points compared", what, points)
	}
}

// With one wheel and no pinion angle the axle is taken to stand straight and level. Turning the table by the angle left out must
// give the same linkage: the pinion angle is an offset then, and no more.
func TestPinionAngleLeftOutIsAnOffset(t *testing.T) {
	_, m := modelOf(t, fromFolder("../examples"), "bramble.rig.yaml")
	st := travel.StandOf(m)
	table := measure(m, st, false)
	var rows [][]any
	angle := map[any]float64{}
	for _, r := range table.rows {
		if a, ok := r[10].(float64); ok {
			angle[r[0]], r[10] = a, nil
		}
		if y, ok := r[6].(float64); r[0] != "rear" || r[1] == "wheel" && ok && y < 0 {
			continue
		}
		rows = append(rows, r)
	}
	table.rows = rows
	doc, err := rig.FromPoints("points.csv", "", []byte(table.text([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, ",", plain)))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(doc), "No pinion angle in the table") {
		t.Error("the document does not say that the pinion angle was taken to be 0")
	}
	_, back := modelOf(t, func(string) ([]byte, error) { return doc, nil }, "back.rig.yaml")
	want, got := travelOf(t, m, travel.Options{Axle: "rear"}).Axles.Rear, travelOf(t, back, travel.Options{Axle: "rear"}).Axles.Rear
	if math.Abs(angle["rear"]) < 1 {
		t.Fatalf("the demo rig has a pinion angle of %g°: too little to see it", angle["rear"])
	}
	for i := range want.Poses {
		if want.Poses[i].RollDeg != 0 { // rolled, the offset turns about the wheel axis and is no plain difference of elevations
			continue
		}
		within(t, "x", got.Poses[i].XMM, want.Poses[i].XMM, 1e-6)
		within(t, "pinion angle without its offset", got.Poses[i].PinionAngleDeg, want.Poses[i].PinionAngleDeg-angle["rear"], 1e-6)
	}
}
