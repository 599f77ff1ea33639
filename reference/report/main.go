// Command report prints how fast lowslung is on this machine, as one table: the pose kernel, grids, documents, the check command as a
// whole process, and the same sweeps through SciPy and through a plain solver in C. Run it from the top of the checkout: go run ./reference/report
package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

const (
	demo  = "examples/bramble-portal.rig.yaml"
	count = "5" // runs of each benchmark; the median is printed

	sideBySide = " side by side" // benchmarks run again in a build with GOEXPERIMENT=simd
)

// wanted are the rows of the table: benchmark, its metric, and how it is printed.
var wanted = []struct {
	what, bench, metric, unit string
	per                       float64 // divides the metric
	digits                    int
}{
	{"pose, warm (from the one before)", "BenchmarkPoseWarm", "ns/op", "ns", 1, 0},
	{"pose, cold (from the design pose)", "BenchmarkPoseCold", "ns/op", "ns", 1, 0},
	{"pose, warm, of 8 builds by turns, plain Go", "BenchmarkBatchWarm", "ns/pose", "ns", 1, 0},
	{"pose, warm, of 8 builds side by side ¹", "BenchmarkBatchWarm" + sideBySide, "ns/pose", "ns", 1, 0},
	{"allocations of a warm pose", "BenchmarkPoseWarm", "allocs/op", "", 1, 0},
	{"allocations of a cold pose", "BenchmarkPoseCold", "allocs/op", "", 1, 0},
	{"sweep of 41 × 41 poses, kernel", "BenchmarkSciPySweep", "ns/op", "ms", 1e6, 3},
	{"travel of one axle, 41 × 41 grid", "BenchmarkGrid41", "ns/op", "ms", 1e6, 1},
	{"stance on springs and tyres", "BenchmarkStance", "ns/op", "µs", 1e3, 0},
	{"tilt, 241 rests (60° by 0.25°)", "BenchmarkTilt", "ms/241rests", "ms", 1, 1},
	{"rocks: boulders, faster than the clock, one processor", "BenchmarkRun", "times-real", "×", 1, 0},
	{"rocks: a step of 1 ms", "BenchmarkRun", "ns/step", "µs", 1e3, 1},
	{"rocks: over a map of heights, faster than the clock", "BenchmarkMapRun", "times-real", "×", 1, 0},
	{"rocks: the largest of all seven obstacles", "BenchmarkClimbs", "ns/op", "s", 1e9, 2},
	{"document to model (base, patch, bin)", "BenchmarkLoadAndResolve", "ns/op", "ms", 1e6, 1},
	{"a letter typed into 50,000 items", "BenchmarkItemSearch", "ms/letter", "ms", 1, 2},
	{"the slowest of such letters (median each)", "BenchmarkItemSearch", "ms/most", "ms", 1, 1},
	{"import of a table of 50,000 rows", "BenchmarkItemImport", "ns/op", "s", 1e9, 1},
	{"one weight set in such a table", "BenchmarkItemWeigh", "ns/op", "ms", 1e6, 0},
	{"drive: 40 pinions × 12 points", "BenchmarkPinions", "ns/op", "ms", 1e6, 2},
	{"bench: 16 readings, 196 inputs, one misfit", "BenchmarkBench", "ns/op", "ms", 1e6, 0},
	{"templates of a rig, drawn and written as PDF", "BenchmarkTemplates", "ns/op", "ms", 1e6, 0},
	{"size of that file", "BenchmarkTemplates", "bytes", "kB", 1e3, 0},
	{"sheet of a rig of 45 parts: answers to PDF", "BenchmarkSheetPDF", "ns/op", "ms", 1e6, 0},
	{"such a PDF", "BenchmarkSheetPDF", "kB", "kB", 1, 0},
	{"such a sheet as HTML", "BenchmarkSheetHTML", "kB", "kB", 1, 0},
	{"helpers to print of one rig, all of them", "BenchmarkPrints", "ns/op", "ms", 1e6, 1},
	{"order of work with its checks", "BenchmarkSteps", "ns/op", "ms", 1e6, 1},
	{"rig as glTF", "BenchmarkExport/glb", "ns/op", "ms", 1e6, 1},
	{"rig as MJCF", "BenchmarkExport/mjcf", "ns/op", "ms", 1e6, 2},
	{"a build of links over 21 × 5 poses", "BenchmarkSciPyBuilds", "ns/build", "µs", 1e3, 1},
	{"the same through SciPy fsolve", "BenchmarkSciPyBuilds", "scipy-ns/build", "ms", 1e6, 1},
	{"ratio, SciPy to ours", "BenchmarkSciPyBuilds", "times-faster", "×", 1, 0},
	{"search: 1.1 million links, brute force ²", "BenchmarkMillionBrute", "ns/op", "s", 1e9, 2},
	{"the same on one processor ²", "BenchmarkMillionBruteAlone", "ns/op", "s", 1e9, 2},
	{"the same with cuts ²", "BenchmarkMillion", "ns/op", "s", 1e9, 3},
	{"a million, no two links alike, brute force ²", "BenchmarkDistinctMillionBrute", "ns/op", "s", 1e9, 2},
	{"the same with cuts ²", "BenchmarkDistinctMillion", "ns/op", "s", 1e9, 3},
	{"967 million on both axles, with cuts ²", "BenchmarkThousandMillion", "ns/op", "s", 1e9, 2},
	{"largest heap meanwhile ²", "BenchmarkThousandMillion", "MiB", "MiB", 1, 0},
	{"", "", "", "", 0, 0}, // here comes the whole process
	{"a pose of the sweep, ours", "BenchmarkSciPySweep", "ns/pose", "ns", 1, 0},
	{"a pose of the sweep, SciPy fsolve", "BenchmarkSciPySweep", "scipy-ns/pose", "µs", 1e3, 1},
	{"ratio, SciPy to ours", "BenchmarkSciPySweep", "times-faster", "×", 1, 0},
	{"a warm pose, ours, by turns with C", "BenchmarkCSweep", "ns/pose", "ns", 1, 0},
	{"a warm pose, C (gcc -O2 -march=native)", "BenchmarkCSweep", "c-ns/pose", "ns", 1, 0},
	{"ratio, ours to C", "BenchmarkCSweep", "of-c", "", 1, 2},
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "report:", err)
		os.Exit(1)
	}
}

func run() error {
	if _, err := os.Stat(demo); err != nil {
		return fmt.Errorf("found no %s here, expected to be run from the top of the checkout", demo)
	}
	fmt.Fprintln(os.Stderr, "Running each benchmark "+count+" times; this takes a minute or two.")
	got, cpu, err := benchmarks("./travel", "./ride", "./drive", "./rocks", "./store", "./sheet", "./shop", "./export", "./reference")
	if err != nil {
		return err
	}
	vectors, _, err := measure([]string{"GOEXPERIMENT=simd"}, "^BenchmarkBatchWarm$", "./travel")
	if err != nil {
		return err
	}
	for name, metrics := range vectors {
		got[name+sideBySide] = metrics
	}
	spaces, _, err := measureAs(nil, "Million", "1x", "1", "./search")
	if err != nil {
		return err
	}
	maps.Copy(got, spaces)
	check, how, err := process()
	if err != nil {
		return err
	}
	t := table.NewWriter()
	t.SetOutputMirror(os.Stdout)
	t.SetStyle(table.StyleLight)
	t.Style().Format.Header = text.FormatDefault
	t.AppendHeader(table.Row{"what", "median", "unit", "fastest", "slowest"})
	row := func(what string, values []float64, per float64, digits int, unit string) {
		slices.Sort(values)
		f := func(v float64) string { return strconv.FormatFloat(v/per, 'f', digits, 64) }
		t.AppendRow(table.Row{what, f(values[len(values)/2]), unit, f(values[0]), f(values[len(values)-1])})
	}
	for _, w := range wanted {
		if w.bench == "" {
			row("check "+filepath.Base(demo)+", whole process", check, 1e6, 1, "ms")
			continue
		}
		values := got[w.bench][w.metric]
		if len(values) == 0 {
			return fmt.Errorf("found no %s from %s among the benchmarks, expected one", w.metric, w.bench)
		}
		row(w.what, values, w.per, w.digits, w.unit)
	}
	fmt.Printf("%s, %s/%s, %d processors, %s\n", cpu, runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version())
	t.Render()
	fmt.Printf("Medians of %s runs; the process timed by %s. SciPy is timed inside Python, best of 5 sweeps a run: scipy.optimize.fsolve,\nsame four unknowns, analytic Jacobian, each pose from the one before; its poses are held against ours. C is\nreference/cpose/pose.c: same unknowns, start and stopping rule, 4×4 elimination; blocks of 8000 poses by turns with ours, the\nfastest block of each in a run; its poses are held against ours to 1e-9.\n¹ travel.Batch built with GOEXPERIMENT=simd, on AVX-512 where the processor has it, otherwise plain Go; bit for bit the scalar poses.\n² One run each: rear links from the shelf, or both axles', 21 × 5 poses each, shafts, shocks and rod ends; whole builds not checked.\n", count, how)
	return nil
}

// benchmarks runs those of the packages and collects every metric: name → unit → one value a run.
func benchmarks(packages ...string) (map[string]map[string][]float64, string, error) {
	names := "^(BenchmarkStance|BenchmarkTilt|BenchmarkPoseWarm|BenchmarkPoseCold|BenchmarkBatchWarm|BenchmarkSciPySweep|BenchmarkCSweep|BenchmarkGrid41|BenchmarkLoadAndResolve|BenchmarkItemSearch|BenchmarkItemImport|BenchmarkItemWeigh|BenchmarkPinions|BenchmarkRun|BenchmarkClimbs|BenchmarkMapRun|BenchmarkBench|BenchmarkTemplates|BenchmarkSciPyBuilds|BenchmarkExport|BenchmarkPrints|BenchmarkSteps|BenchmarkSheetHTML|BenchmarkSheetPDF)$"
	return measure(nil, names, packages...)
}

// measure runs the benchmarks of those names with what env adds to the environment.
func measure(env []string, names string, packages ...string) (map[string]map[string][]float64, string, error) {
	return measureAs(env, names, "300ms", count, packages...)
}

// measureAs is measure with the time, or the rounds, of a run, and the number of runs.
func measureAs(env []string, names, each, runs string, packages ...string) (map[string]map[string][]float64, string, error) {
	args := append([]string{"test", "-run", "^$", "-bench", names, "-benchmem", "-benchtime", each, "-count", runs}, packages...)
	cmd := exec.Command("go", args...)
	cmd.Env = append(os.Environ(), env...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		return nil, "", fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, out)
	}
	got, cpu := map[string]map[string][]float64{}, "unknown processor"
	lines := bufio.NewScanner(bytes.NewReader(out))
	for lines.Scan() {
		if name, ok := strings.CutPrefix(lines.Text(), "cpu: "); ok {
			cpu = name
		}
		f := strings.Fields(lines.Text())
		if len(f) < 4 || !strings.HasPrefix(f[0], "Benchmark") {
			continue
		}
		name, _, _ := strings.Cut(f[0], "-")
		if got[name] == nil {
			got[name] = map[string][]float64{}
		}
		for i := 2; i+1 < len(f); i += 2 { // value and unit by turns, after the name and the number of rounds
			v, err := strconv.ParseFloat(f[i], 64)
			if err != nil {
				return nil, "", fmt.Errorf("found %q in a benchmark's line, expected a number: %s", f[i], lines.Text())
			}
			got[name][f[i+1]] = append(got[name][f[i+1]], v)
		}
	}
	return got, cpu, lines.Err()
}

// process times check as a whole process, ns a run: by hyperfine where it is installed, otherwise here. Exit status 1 is check's
// way to say that something must be solved before parts are ordered.
func process() (times []float64, how string, err error) {
	dir, err := os.MkdirTemp("", "lowslung-report-")
	if err != nil {
		return nil, "", err
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "lowslung")
	if out, err := exec.Command("go", "build", "-o", program, "./cmd/lowslung").CombinedOutput(); err != nil {
		return nil, "", fmt.Errorf("go build ./cmd/lowslung: %w\n%s", err, out)
	}
	if times, err = once(program); err != nil { // warms the file cache, and shows that it works
		return nil, "", err
	}
	if tool, missing := exec.LookPath("hyperfine"); missing == nil {
		times, err = byHyperfine(tool, program, filepath.Join(dir, "times.json"))
		return times, "hyperfine", err
	}
	times = nil
	for range 30 {
		one, err := once(program)
		if err != nil {
			return nil, "", err
		}
		times = append(times, one...)
	}
	return times, "30 runs in a row", nil
}

func once(program string) ([]float64, error) {
	begin := time.Now()
	out, err := exec.Command(program, "check", demo).CombinedOutput()
	took := float64(time.Since(begin).Nanoseconds())
	var exit *exec.ExitError
	if err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 1) {
		return nil, fmt.Errorf("lowslung check %s: %w\n%s", demo, err, out)
	}
	return []float64{took}, nil
}

func byHyperfine(tool, program, file string) ([]float64, error) {
	args := []string{"--shell=none", "--ignore-failure", "--warmup", "3", "--runs", "30", "--style", "none", "--export-json", file, program + " check " + demo}
	if out, err := exec.Command(tool, args...).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("hyperfine: %w\n%s", err, out)
	}
	written, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var report struct {
		Results []struct {
			Times []float64 `json:"times"` // s
		} `json:"results"`
	}
	if err := json.Unmarshal(written, &report); err != nil || len(report.Results) != 1 || len(report.Results[0].Times) == 0 {
		return nil, fmt.Errorf("found no times in what hyperfine wrote (%v)", err)
	}
	times := report.Results[0].Times
	for i := range times {
		times[i] *= 1e9
	}
	return times, nil
}
