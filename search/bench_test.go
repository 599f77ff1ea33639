package search

import (
	"fmt"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// million is a space of rear links from the shelf, 1.08 million combinations.
func million(wants string) string {
	return `  vary:
    rear lower rod: {change: links/rear lower/rod/item, kind: rod, thread: M3}
    rear lower, belly end: {change: links/rear lower/ends/0, kind: rod end, named: end-m3}
    rear lower, axle end: {change: links/rear lower/ends/1, kind: rod end, named: end-m3}
    rear lower turns: {change: links/rear lower/turns, from: 0, to: 9, step: 1}
    rear upper rod: {change: links/rear upper/rod/item, kind: rod, thread: M3}
    rear upper, axle end: {change: links/rear upper/ends/1, kind: rod end, named: end-m3}
    rear upper turns: {change: links/rear upper/turns, from: 0, to: 9, step: 1}
  wants:
` + wants + `  prefer: {rear pinion angle: middle, rear pinion angle swing: lower, price: lower}
`
}

// distinct is a space of a million combinations, 1,000 by 1,000 variants of which no two of a link are of the same length: nothing is saved
// by variants being alike.
func distinct(wants string) string {
	var b strings.Builder
	b.WriteString("  vary:\n")
	for _, l := range []string{"lower", "upper"} {
		rods := map[string]string{"lower": "[rod-st5-80, rod-st5-85, rod-st5-90, rod-al6-75]", "upper": "[rod-al6-105, rod-al6-95, rod-al6-100, rod-al6-90]"}[l]
		fmt.Fprintf(&b, "    %s rod: {change: links/rear %s/rod/item, among: %s}\n", l, l, rods)
		fmt.Fprintf(&b, "    %s turns: {change: links/rear %s/turns, from: 0, to: 9.96, step: 0.04}\n", l, l) // 250, the document's own among them
	}
	b.WriteString("  wants:\n" + wants + "  prefer: {rear pinion angle: middle, rear pinion angle swing: lower, price: lower}\n")
	return b.String()
}

// tight are wants as a builder has them; loose are wants that every combination meets that closes at all.
const (
	tight = "    wheelbase: {from: 310, to: 314}\n    rear pinion angle: {from: 2, to: 12}\n    front pinion angle: {from: 0, to: 12}\n"
	loose = "    wheelbase: {from: 200, to: 400}\n    rear pinion angle: {from: -90, to: 90}\n    rear shaft room: {from: -99}\n    rear shaft joint room: {from: -90}\n    rear rod end room: {from: -90}\n    rear bump stroke: {from: -99}\n    rear droop stroke: {from: -99}\n"
)

// thousands is a space of a thousand million combinations on both axles.
const thousands = `  vary:
    rear lower rod: {change: links/rear lower/rod/item, among: [rod-st5-80, rod-st5-85, rod-st5-90, rod-al6-85, rod-al6-80]}
    rear lower turns: {change: links/rear lower/turns, from: 0, to: 11, step: 0.5}
    rear upper rod: {change: links/rear upper/rod/item, among: [rod-al6-105, rod-al6-95, rod-al6-100, rod-al6-90]}
    rear upper end: {change: links/rear upper/ends/1, kind: rod end, named: end-m3}
    rear upper turns: {change: links/rear upper/turns, from: 0, to: 8, step: 0.5}
    front lower rod: {change: links/front lower/rod/item, among: [rod-st5-80, rod-st5-85, rod-al6-75, rod-al6-80]}
    front lower turns: {change: links/front lower/turns, from: 0, to: 11, step: 0.5}
    front upper rod: {change: links/front upper/rod/item, among: [rod-al6-70, rod-al6-75, rod-al6-80, rod-al6-85]}
    front upper end: {change: links/front upper/ends/0, kind: rod end, named: end-m3}
    front upper turns: {change: links/front upper/turns, from: 0, to: 10, step: 0.5}
  wants:
    wheelbase: {from: 310, to: 314}
    rear pinion angle: {from: 2, to: 12}
    front pinion angle: {from: 0, to: 12}
  prefer: {price: lower, new parts: lower, rear pinion angle swing: lower}
  most: 1000000000
`

// processor is the time that the process has had of the processor: steadier than the clock on a machine that others use.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// benchmarkSpace goes through a space. The front must be the same whichever way: compare the counts.
func benchmarkSpace(b *testing.B, section string, o Options) {
	build := over(b, "bramble-portal.rig.yaml", section)
	o.Lean = true
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	peak := uint64(0)
	o.Progress = func(Progress) {
		runtime.ReadMemStats(&after)
		peak = max(peak, after.HeapAlloc)
	}
	var r *runner
	began, cpu := time.Now(), processor()
	for b.Loop() {
		r = runs(b, build, o)
	}
	b.ReportMetric(float64(processor()-cpu)/float64(time.Millisecond)/float64(b.N), "cpu-ms")
	seconds := time.Since(began).Seconds() / float64(b.N)
	b.ReportMetric(float64(r.s.size), "space")
	b.ReportMetric(seconds/float64(r.s.size)*1e9, "ns/combination")
	b.ReportMetric(float64(r.all.Evaluated), "judged")
	b.ReportMetric(float64(len(r.all.front.list)), "front")
	b.ReportMetric(float64(peak)/(1<<20), "MiB")
}

func BenchmarkMillionBrute(b *testing.B) { benchmarkSpace(b, million(tight), Options{Brute: true}) }
func BenchmarkMillionBruteAlone(b *testing.B) {
	benchmarkSpace(b, million(tight), Options{Brute: true, Workers: 1})
}
func BenchmarkMillion(b *testing.B)      { benchmarkSpace(b, million(tight), Options{}) }
func BenchmarkMillionLoose(b *testing.B) { benchmarkSpace(b, million(loose), Options{}) }
func BenchmarkDistinctMillionBrute(b *testing.B) {
	benchmarkSpace(b, distinct(tight), Options{Brute: true})
}
func BenchmarkDistinctMillion(b *testing.B) { benchmarkSpace(b, distinct(tight), Options{}) }
func BenchmarkThousandMillion(b *testing.B) { benchmarkSpace(b, thousands, Options{}) }
