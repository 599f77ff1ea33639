package bench

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/mat"

	"lowslung/quantity"
	"lowslung/solid"
)

// A bench holds one model against what can be measured of it.
type bench struct {
	m      *solid.Model
	motors []motor
	in     []input
	probes []probe // of the readings first, then of what could be measured
	cares  []care
	units  quantity.System
	flex   bool // a tilt angle was read: ride is asked for where it tips
}

// A view is all predictions at one set of inputs: of every probe, and of every number cared for. NaN where the rig has none.
type view struct{ probes, cares []float64 }

// at is the view with the inputs off by x. A nil x is the document as it is.
func (b *bench) at(t *trial, x []float64, flex bool) view {
	t.reset()
	for j, by := range x {
		if by != 0 {
			b.in[j].move(t, by)
		}
	}
	s := t.look()
	v := view{make([]float64, len(b.probes)), make([]float64, len(b.cares))}
	var shift [4]float64
	if flex && s.tips != nil {
		for i, f := range s.flexed() {
			shift[i] = f - s.tips[i]
		}
	}
	for i := range b.probes {
		p := &b.probes[i]
		if p.read == nil {
			v.probes[i] = math.NaN()
			continue
		}
		v.probes[i] = p.read(s)
		if p.tilt >= 0 {
			v.probes[i] += shift[p.tilt]
		}
	}
	for i := range b.cares {
		v.cares[i] = b.cares[i].read(s)
	}
	return v
}

// slopes are the central differences of every probe and number over every input about x, each off by its standard deviation to both sides,
// divided by that step. Where a side has no value the other one counts alone; where neither has, the slope is 0.
func (b *bench) slopes(x []float64, here view) (probes, cares *mat.Dense) {
	n := len(b.in)
	probes, cares = mat.NewDense(max(len(b.probes), 1), max(n, 1), nil), mat.NewDense(max(len(b.cares), 1), max(n, 1), nil)
	var all sync.WaitGroup
	workers := max(1, min(runtime.GOMAXPROCS(0), n))
	for w := range workers {
		all.Go(func() {
			t := newTrial(b.m, b.motors)
			y := make([]float64, n)
			for j := w; j < n; j += workers {
				copy(y, x)
				h := b.in[j].sigma
				y[j] = x[j] + h
				up := b.at(t, y, false)
				y[j] = x[j] - h
				down := b.at(t, y, false)
				for i := range up.probes {
					probes.Set(i, j, slope(up.probes[i], down.probes[i], here.probes[i], h))
				}
				for i := range up.cares {
					cares.Set(i, j, slope(up.cares[i], down.cares[i], here.cares[i], h))
				}
			}
		})
	}
	all.Wait()
	return probes, cares
}

func slope(up, down, here, h float64) float64 {
	switch {
	case !math.IsNaN(up) && !math.IsNaN(down):
		return (up - down) / (2 * h)
	case !math.IsNaN(up) && !math.IsNaN(here):
		return (up - here) / h
	case !math.IsNaN(down) && !math.IsNaN(here):
		return (here - down) / h
	}
	return 0
}

// An observed reading is one that counts.
type observed struct {
	probe int
	value float64
	sigma float64
}

// A fit is the most probable set of inputs.
type fit struct {
	*solution
	x       []float64
	view    view
	slopes  *mat.Dense // of the probes, at x
	cares   *mat.Dense
	used    []observed
	settled bool // the search came to rest
}

// fit searches for the most probable inputs: Gauss–Newton, y − f(x) linear about each x in turn. Corrections are small against what bends, so
// the slopes at the start serve until it has settled; they are worked out anew there once, and it settles once more. A step to where the rig does
// not go together is halved.
func (b *bench) fit(used []observed, from view, probes, cares *mat.Dense) (*fit, error) {
	n := len(b.in)
	f := &fit{x: make([]float64, n), view: from, slopes: probes, cares: cares, used: used}
	t := newTrial(b.m, b.motors)
	for pass := range 2 {
		f.settled = false
		for range 12 {
			sol, err := f.system(b).solve()
			if err != nil {
				return nil, err
			}
			f.solution = sol
			change, next := 0.0, view{}
			step := 1.0
			for try := 0; ; try++ {
				y := make([]float64, n)
				for j := range y {
					y[j] = f.x[j] + step*(sol.x[j]-f.x[j])
				}
				if next = b.at(t, y, b.flex); b.complete(next, used) || try == 8 {
					if !b.complete(next, used) {
						return f, nil // not settled
					}
					for j := range y {
						change = max(change, math.Abs(y[j]-f.x[j])/b.in[j].sigma)
					}
					f.x, f.view = y, next
					break
				}
				step /= 2
			}
			if change < 1e-4 && step == 1 {
				f.settled = true
				break
			}
		}
		if pass == 0 {
			f.slopes, f.cares = b.slopes(f.x, f.view)
		}
	}
	sol, err := f.system(b).solve()
	if err != nil {
		return nil, err
	}
	f.solution = sol
	return f, nil
}

// screen is the fit of straight lines at the document as it is: one step of the search, which nothing can drag away.
func (b *bench) screen(used []observed, from view, probes, cares *mat.Dense) (*fit, error) {
	f := &fit{x: make([]float64, len(b.in)), view: from, slopes: probes, cares: cares, used: used, settled: true}
	var err error
	f.solution, err = f.system(b).solve()
	return f, err
}

func (b *bench) complete(v view, used []observed) bool {
	for _, o := range used {
		if math.IsNaN(v.probes[o.probe]) {
			return false
		}
	}
	return true
}

// system is the linear problem about where the fit is: unknowns are the inputs themselves, y what is read less what they explain.
func (f *fit) system(b *bench) *system {
	m, n := len(f.used), len(b.in)
	s := &system{a: mat.NewDense(max(m, 1), max(n, 1), nil), y: make([]float64, m), sigma: make([]float64, m), prior: make([]float64, n)}
	for i, o := range f.used {
		s.y[i], s.sigma[i] = o.value-f.view.probes[o.probe], o.sigma
		for j := range n {
			d := f.slopes.At(o.probe, j)
			s.a.Set(i, j, d)
			s.y[i] += d * f.x[j]
		}
	}
	for j := range n {
		s.prior[j] = b.in[j].sigma
	}
	return s
}

// along is the variance of a row of slopes under a covariance of the inputs.
func along(row []float64, cov *mat.Dense) float64 {
	v := mat.NewVecDense(len(row), row)
	return mat.Inner(v, cov, v)
}

// before is the variance of a row of slopes by the usual errors alone.
func (b *bench) before(row []float64) float64 {
	sum := 0.0
	for j, d := range row {
		sum += d * b.in[j].sigma * (d * b.in[j].sigma)
	}
	return sum
}
