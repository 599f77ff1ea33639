package rocks

import "testing"

// BenchmarkRun drives one rig over a field of boulders, and says how much faster than the clock that goes on one processor, and what a step takes.
func BenchmarkRun(b *testing.B) {
	m := demo(b, "bramble-portal.rig.yaml")
	r := machineOf(b, m, &Options{})
	k, err := obstacleOf("boulders")
	if err != nil {
		b.Fatal(err)
	}
	c := k.lay(60, 1)
	seconds, steps := 0.0, 0
	b.ReportAllocs()
	for b.Loop() {
		w := newWork(r, c.rock, usualStep)
		t := w.ride(&c, &Options{}, false)
		seconds += w.s.t
		steps += t.steps
	}
	b.ReportMetric(seconds/b.Elapsed().Seconds(), "times-real")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(steps), "ns/step")
}

// BenchmarkMapRun is the same over a map of heights of 20 mm cells.
func BenchmarkMapRun(b *testing.B) {
	m := demo(b, "bramble-portal.rig.yaml")
	r := machineOf(b, m, &Options{})
	h, err := ParseMap(bump(90, 60, 25))
	if err != nil {
		b.Fatal(err)
	}
	c, err := h.course(r)
	if err != nil {
		b.Fatal(err)
	}
	seconds := 0.0
	for b.Loop() {
		w := newWork(r, c.rock, usualStep)
		w.ride(&c, &Options{}, false)
		seconds += w.s.t
	}
	b.ReportMetric(seconds/b.Elapsed().Seconds(), "times-real")
}

// BenchmarkClimbs looks for the largest of every obstacle.
func BenchmarkClimbs(b *testing.B) {
	m := demo(b, "bramble-portal.rig.yaml")
	runs := 0
	for b.Loop() {
		a, err := Assess(m, Options{})
		if err != nil {
			b.Fatal(err)
		}
		for _, l := range a.Limits {
			runs += l.Runs
		}
	}
	b.ReportMetric(float64(runs)/float64(b.N), "runs")
}
