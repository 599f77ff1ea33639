package tolerance

import (
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"lowslung/channel"
	"lowslung/solid"
	"lowslung/travel"
)

// A bench works out the numbers of one model with its inputs off. One goroutine each.
type bench struct {
	from *solid.Model
	m    solid.Model
	in   []input
	by   []float64
}

func newBench(m *solid.Model, in []input) *bench {
	b := &bench{from: m, m: *m, in: in, by: make([]float64, len(in))}
	b.m.Links, b.m.Shocks = slices.Clone(m.Links), slices.Clone(m.Shocks)
	if m.Rest != nil {
		b.m.Rest = &solid.Rest{Lengths: slices.Clone(m.Rest.Lengths)}
	}
	return b
}

// numbers are the catalogue numbers at the design pose with input i off by b.by[i].
func (b *bench) numbers() []channel.Value {
	copy(b.m.Links, b.from.Links)
	copy(b.m.Shocks, b.from.Shocks)
	b.m.Axles = b.from.Axles
	if r := b.m.Rest; r != nil {
		lengths := append(r.Lengths[:0], b.from.Rest.Lengths...)
		*r = *b.from.Rest
		r.Lengths = lengths
	}
	for i, by := range b.by {
		if by != 0 {
			b.in[i].move(&b.m, by)
		}
	}
	return travel.StandOf(&b.m).Numbers(&b.m)
}

// pick puts the values of the wanted channels into out, which is as long as wanted; false when one is missing.
func pick(values []channel.Value, wanted []*channel.Channel, out []float64) bool {
	n := 0
	for i, c := range wanted {
		for _, v := range values {
			if v.Channel == c {
				out[i] = v.Value
				n++
				break
			}
		}
	}
	return n == len(wanted)
}

// hypercube is a Latin hypercube: n points, and for each input one point in each of the n slices of equal probability, in random order
// and at a random place within the slice (McKay, Beckman & Conover, Technometrics 21 (1979) 239, from memory). Row i is input i.
func hypercube(inputs, n int, r *rand.Rand) [][]float64 {
	out := make([][]float64, inputs)
	for i := range out {
		out[i] = make([]float64, n)
		for k, slice := range r.Perm(n) {
			u := (float64(slice) + r.Float64()) / float64(n)
			out[i][k] = min(max(u, 1e-12), 1-1e-12)
		}
	}
	return out
}

// spread works the samples out: one list for each channel, without those that were lost. The order does not depend on the number of
// workers.
func spread(m *solid.Model, in []input, wanted []*channel.Channel, n int, seed uint64) (lists [][]float64, lost int) {
	cube := hypercube(len(in), n, rand.New(rand.NewPCG(seed, 0x746f6c)))
	values, ok := make([][]float64, n), make([]bool, n)
	var all sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), n)
	for w := range workers {
		all.Go(func() {
			b := newBench(m, in)
			for k := w; k < n; k += workers {
				for i := range in {
					b.by[i] = in[i].at(cube[i][k])
				}
				values[k] = make([]float64, len(wanted))
				ok[k] = pick(b.numbers(), wanted, values[k])
			}
		})
	}
	all.Wait()
	lists = make([][]float64, len(wanted))
	for k := range values {
		if !ok[k] {
			lost++
			continue
		}
		for c, v := range values[k] {
			lists[c] = append(lists[c], v)
		}
	}
	return lists, lost
}

// slopes are the central differences of every wanted number over every input, each input off by its standard deviation to both sides, and
// multiplied by it: the number's change per standard deviation. Slopes[c][i] of channel c; an input off by which the links do not close
// counts one-sidedly, or not at all.
func slopes(m *solid.Model, in []input, wanted []*channel.Channel, at []float64) [][]float64 {
	out := make([][]float64, len(wanted))
	for c := range out {
		out[c] = make([]float64, len(in))
	}
	b := newBench(m, in)
	up, down := make([]float64, len(wanted)), make([]float64, len(wanted))
	for i := range in {
		s := in[i].sigma()
		if s == 0 {
			continue
		}
		b.by[i] = s
		above := pick(b.numbers(), wanted, up)
		b.by[i] = -s
		below := pick(b.numbers(), wanted, down)
		b.by[i] = 0
		for c := range wanted {
			switch {
			case above && below:
				out[c][i] = (up[c] - down[c]) / 2
			case above:
				out[c][i] = up[c] - at[c]
			case below:
				out[c][i] = at[c] - down[c]
			}
		}
	}
	return out
}
