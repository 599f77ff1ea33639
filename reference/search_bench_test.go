package reference

import (
	"math"
	"testing"

	"lowslung/solid"
	"lowslung/travel"
)

// BenchmarkSciPyBuilds goes over the travel of builds that differ in the lengths of their rear links, 21 heaves by 5 rolls each, as search
// does, and as somebody would who writes that loop in Python (python/sweep.py: fsolve, analytic Jacobian, each pose from the one before).
// Only solving is timed on their side; on ours it is the whole of travel.Mover.Over. The poses are held against each other.
func BenchmarkSciPyBuilds(b *testing.B) {
	_, m := modelOf(b, fromFolder("../examples"), demo)
	d := chance(b)
	heaves, rolls := make([]float64, 21), []float64{-15 * deg, -7.5 * deg, 0, 7.5 * deg, 15 * deg}
	for i := range heaves {
		heaves[i] = -25 + 2.5*float64(i)
	}
	const builds = 8
	var movers []*travel.Mover
	var theirs [][][4]float64
	seconds := 0.0
	for len(movers) < builds {
		own := *m
		own.Links = append([]solid.Link(nil), m.Links...)
		lower, upper := d.about(0, 2), d.about(0, 2) // mm; twins alike
		for i := range own.Links {
			switch own.Links[i].Name {
			case "rear lower":
				own.Links[i].Length += lower
			case "rear upper":
				own.Links[i].Length += upper
			}
		}
		mv := travel.NewMover(&own, solid.Rear)
		if !mv.Solved || !mv.Settle() {
			b.Fatal("the rear axle does not close")
		}
		p := mv.Design
		question := struct {
			Chassis [4][3]float64 `json:"chassis"`
			Axle    [4][3]float64 `json:"axle"`
			Length  [4]float64    `json:"length"`
			Start   [4]float64    `json:"start"`
			Points  [][2]float64  `json:"points"`
			Repeat  int           `json:"repeat"`
		}{Start: [4]float64{p.X, p.Y, p.Steer, p.Spin}, Repeat: 3}
		for i, l := range mv.Links {
			question.Chassis[i], question.Axle[i], question.Length[i] = three(l.From), three(l.To), l.Length
		}
		for k, roll := range rolls { // up and down by turns, so that each pose is next to the one before
			for i := range heaves {
				if k%2 == 1 {
					i = len(heaves) - 1 - i
				}
				question.Points = append(question.Points, [2]float64{p.Z + heaves[i], roll})
			}
		}
		var answer struct {
			Best  float64      `json:"best"`
			Poses [][4]float64 `json:"poses"`
		}
		twin(b, "sweep.py", question, &answer)
		seconds += answer.Best
		movers, theirs = append(movers, mv), append(theirs, answer.Poses)
	}
	var walk travel.Walk
	n := 0
	for b.Loop() {
		for _, mv := range movers {
			mv.Over(heaves, rolls, &walk, func(_, _ int, s *travel.Solver) bool { return s != nil })
		}
		n++
	}
	ours, scipy := b.Elapsed().Seconds()/float64(n)/builds, seconds/builds
	b.ReportMetric(ours*1e9, "ns/build")
	b.ReportMetric(scipy*1e9, "scipy-ns/build")
	b.ReportMetric(scipy/ours, "times-faster")
	for j, mv := range movers {
		seen := 0
		mv.Over(heaves, rolls, &walk, func(i, k int, s *travel.Solver) bool {
			if s == nil {
				b.Fatalf("build %d: heave %d, roll %d not reached", j, i, k)
			}
			at := i
			if k%2 == 1 {
				at = len(heaves) - 1 - i
			}
			q, w := s.Pose(), theirs[j][k*len(heaves)+at]
			if off := math.Max(math.Hypot(q.X-w[0], q.Y-w[1]), 100*math.Hypot(q.Steer-w[2], q.Spin-w[3])); !(off < 1e-6) {
				b.Fatalf("build %d, heave %d, roll %d: %g mm apart", j, i, k, off)
			}
			seen++
			return true
		})
		if seen != len(heaves)*len(rolls) {
			b.Fatalf("build %d: %d poses", j, seen)
		}
	}
}
