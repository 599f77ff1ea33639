package ride

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

func modelOf(t testing.TB, name string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func readExample(name string) ([]byte, error) { return os.ReadFile("../examples/" + name) }

func contains(s, part string) bool { return strings.Contains(s, part) }

// written is a model of a text of its own.
func written(t testing.TB, text string) *solid.Model {
	t.Helper()
	b, err := rig.Load(func(n string) ([]byte, error) {
		if n == "it.rig.yaml" {
			return []byte(text), nil
		}
		return os.ReadFile("../examples/" + n)
	}, "it.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func machineOf(t testing.TB, m *solid.Model) *machine {
	t.Helper()
	mc, f := compile(m, quantity.Metric)
	if f != nil {
		t.Fatal(f.Sentence)
	}
	return mc
}

// dice are seeded from the environment (LOWSLUNG_SEED), and say with what.
func dice(t testing.TB) *rand.Rand {
	seed := rand.Uint64()
	if s, err := strconv.ParseUint(os.Getenv("LOWSLUNG_SEED"), 10, 64); err == nil {
		seed = s
	}
	t.Logf("LOWSLUNG_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// crooked is a bench in a posture that nothing is symmetric in: leaning, twisted, on tilted ground, with every term at work.
func crooked(t testing.TB, mc *machine, r *rand.Rand) *work {
	t.Helper()
	w := newWork(mc)
	if out := w.stand(); out != atRest {
		t.Fatalf("outcome %d", out)
	}
	u := func(s float64) float64 { return s * (2*r.Float64() - 1) }
	w.at = w.at.moved(&row{u(3), u(3), u(2) - 2, u(0.1), u(0.1), u(0.1), u(4), u(0.05), u(4), u(0.05)}, 1)
	for i := range w.ground {
		turn := exp(solid.Vec{X: u(0.2), Y: u(0.2), Z: u(0.2)})
		w.ground[i] = plane{o: solid.Vec{Z: u(2)}, n: turn.Mul(solid.Vec{Z: 1}), forward: turn.Mul(solid.Vec{X: 1}), left: turn.Mul(solid.Vec{Y: 1})}
	}
	w.pull = solid.Vec{X: u(3), Y: u(3), Z: -9}
	w.holds = w.holds[:0]
	if !w.evaluate(false) {
		t.Fatal("beyond reach")
	}
	w.roll()
	for i := range w.holds {
		w.holds[i].s = u(3)
	}
	w.plant(true)
	w.datum = w.at.x
	w.at = w.at.moved(&row{u(1), u(1), u(0.5), u(0.02), u(0.02), u(0.02), u(1), u(0.02), u(1), u(0.02)}, 1)
	return w
}

// everything has every kind of spring there is: coil bind, inner springs both ways, a bar on the axle and one on a link, a measured tyre.
const everything = `lowslung: 1
base: gully.rig.yaml
shocks:
  front: {springs: [{item: spring-65-16}, {rate: 0.5, free: 20, solid: 14}], collar: 6, above_piston: [{rate: 0.3, free: 24}], below_piston: [{rate: 0.1, free: 30}]}
bars:
  second: {axle: rear, wire: 1.4, span: 60, arm: 30, from: rear lower/shock in}
`

// The force on each unknown, by virtual work, against the change of the energy: for each term alone, and for all together. A wrong lever,
// sign or rate shows at once.
func TestForcesAreTheSlopeOfTheEnergy(t *testing.T) {
	r := dice(t)
	names := map[terms]string{byWeight: "weight", byShocks: "shocks", byBars: "bars", byTyres: "tyres", byHolds: "holds", byBelly: "belly", byAll: "all"}
	for _, m := range []*solid.Model{modelOf(t, "bramble.rig.yaml"), modelOf(t, "gully.rig.yaml"), written(t, everything)} {
		mc := machineOf(t, m)
		for range 5 {
			w := crooked(t, mc, r)
			low := math.Inf(1)
			for _, b := range mc.belly {
				low = min(low, w.world(b).Z)
			}
			own := mc.belly
			mc.belly = append([]solid.Vec(nil), own...)
			for i := range mc.belly { // the lowest a millimetre in the floor, so that the belly bears
				mc.belly[i].Z -= low + 1
			}
			for only, name := range names {
				w.only = only
				slopes(t, w, m.Name+", "+name)
			}
			mc.belly = own
		}
	}
}

func slopes(t *testing.T, w *work, what string) {
	t.Helper()
	at := w.at
	if !w.evaluate(true) {
		t.Fatal("beyond reach")
	}
	grad, hess := w.grad, w.hess
	scale := 0.0
	for i, g := range grad {
		scale = max(scale, math.Abs(g)/weigh(i))
	}
	for i := range size {
		const by = 1e-4
		step := by / weigh(i)
		side := func(s float64) (float64, row) {
			d := row{}
			d[i] = s * step
			w.at = at.moved(&d, 1)
			if !w.evaluate(false) {
				t.Fatal("beyond reach")
			}
			return w.energy, w.grad
		}
		e1, g1 := side(1)
		e0, g0 := side(-1)
		w.at = at
		if got := (e1 - e0) / (2 * step); math.Abs(got-grad[i])/weigh(i) > 1e-6*(1+scale) {
			t.Errorf("%s: force on unknown %d is %.9g, the energy says %.9g", what, i, grad[i], got)
		}
		for k := range size {
			// The turn's coordinates are carried along, so the gradient's difference has half a commutator in it for two turns; it is taken
			// out: ∂gₖ/∂ωᵢ = Hᵢₖ + ½(g × ...)ᵢₖ.
			want := hess[i][k]
			if i >= 3 && i <= 5 && k >= 3 && k <= 5 && i != k {
				o := 12 - i - k // the third one
				sign := 1.0
				if (i+1-3)%3 == k-3 {
					sign = -1
				}
				want += -sign * grad[o] / 2
			}
			if got := (g1[k] - g0[k]) / (2 * step); math.Abs(got-want)/weigh(i)/weigh(k) > 1e-4*(1+scale) {
				t.Errorf("%s: curvature %d, %d is %.9g, the forces say %.9g", what, i, k, want, got)
			}
		}
	}
}
