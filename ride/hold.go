package ride

import (
	"math"

	"lowslung/solid"
)

// What keeps the rig in its place along the ground.
//
// A foot is the point of a wheel through which the ground's force goes: where the torus touches, less what the tyre has been pushed aside
// since it stood there, because the patch of rubber stays where it is while the wheel moves. It is fixed to the axle's housing (the wheel is
// held against it) and found anew whenever the rig has come to rest, so that all forces act at the ground.
//
// Where the drive holds the wheel, the housing turns a little against it: the shaft cannot turn in the gearbox, so when the axle rolls by ψ
// about its pinion shaft the wheel turns by ε = −ψ·s/i about its axis, i the axle's ratio and s the way the shafts turn. By virtual work that
// puts the shaft's torque, wheel torque over i, between chassis and axle.
//
// A hold is a spring along the ground, E = ½k·S² with S = s₀ + Σ weight·t·(foot − where it was). There are three: fore and aft through all four
// wheels, sideways through the two of each axle. The weights are the wheels' shares of the load, so that all wheels of a hold use the same
// share of their grip, as wheels do that have crept into their places; the spring is as soft as the wheel that bears most, k/max(weight). So
// a wheel that goes light lets go evenly, and where the rig comes to rest does not depend on how it got there.

type foot struct {
	at    solid.Vec  // axle frame, mm
	aside solid.Vec  // from where the torus touched to the foot then, axle frame, mm
	world solid.Vec  // where it was, mm
	spin  solid.Vec  // velocity of the foot per rad that the wheel turns against the housing, world, mm
	twist [2]float64 // turn of the wheel against the housing per unit of z and of φ, rad
	q     [2]float64 // z and φ then
}

type hold struct {
	k, s0 float64
	n     int
	part  [4]struct {
		wheel  int
		t      solid.Vec // unit vector along the ground
		weight float64
	}
	s float64 // S at the last evaluation
}

func (h *hold) with(wheel int, t solid.Vec) {
	h.part[h.n].wheel, h.part[h.n].t = wheel, t
	h.n++
}

// force is what the hold bears, N: along its t when S is negative.
func (h *hold) force() float64 { return h.k * h.s }

// roll sets the holds for the ground as it is, without force, evenly; settle shares them out by the loads.
func (w *work) roll() {
	var fore hold
	for i := range w.ground {
		fore.with(i, w.ground[i].forward)
	}
	w.holds = append(w.holds[:0], fore)
	for end := range 2 {
		var side hold
		side.with(2*end, w.ground[2*end].left)
		side.with(2*end+1, w.ground[2*end+1].left)
		w.holds = append(w.holds, side)
	}
	var even shares
	for i := range even {
		even[i] = 0.5
		if i < 4 {
			even[i] = 0.25
		}
	}
	w.share(&even, 1)
}

// shares are weights of all parts of all holds, or differences of such.
type shares [8]float64

// bearing is the force of the hold that share i belongs to, N.
func (w *work) bearing(i int) float64 {
	return math.Abs(w.holds[max(0, i/2-1)].force())
}

// unshared is how far the holds' weights are from the wheels' shares of the load.
func (w *work) unshared() (off shares) {
	k := 0
	for n := range w.holds {
		h := &w.holds[n]
		sum := 0.0
		for _, p := range h.part[:h.n] {
			sum += w.load[p.wheel]
		}
		for _, p := range h.part[:h.n] {
			want := 0.0
			if sum > 0 {
				want = w.load[p.wheel] / sum
			}
			off[k] = want - p.weight
			k++
		}
	}
	return off
}

// share moves the weights by a part of that, and keeps the forces.
func (w *work) share(off *shares, by float64) {
	k := 0
	for n := range w.holds {
		h := &w.holds[n]
		most, soft := 0.0, 0.0
		for i := range h.part[:h.n] {
			p := &h.part[i]
			p.weight = max(0, p.weight+by*off[k])
			k++
			if p.weight > most {
				most, soft = p.weight, w.mc.axles[p.wheel/2].wheels[p.wheel%2].side
			}
		}
		f := h.force()
		if most == 0 { // all of its wheels are off the ground
			h.k, h.s = 0, 0
			continue
		}
		h.k = soft / most
		h.s = f / h.k
	}
}

func (w *work) hold(second bool) {
	var feet [4]place
	for i := range feet {
		feet[i] = w.mo[i/2].fixed(w.feet[i].at)
	}
	for n := range w.holds {
		h := &w.holds[n]
		h.s = h.s0
		var j row
		for _, p := range h.part[:h.n] {
			if p.weight == 0 {
				continue
			}
			f, end := &w.feet[p.wheel], p.wheel/2
			tb := w.at.r.MulT(p.t)
			one := along(p.t, tb, &feet[p.wheel], end, false)
			turn := p.t.Dot(f.spin)
			one[6+2*end] += turn * f.twist[0]
			one[7+2*end] += turn * f.twist[1]
			h.s += p.weight * (p.t.Dot(w.world(feet[p.wheel].at).Sub(f.world)) + turn*(f.twist[0]*(w.at.z[end]-f.q[0])+f.twist[1]*(w.at.phi[end]-f.q[1])))
			for i := range j {
				j[i] += p.weight * one[i]
			}
		}
		g := h.force()
		w.energy += g * h.s / 2
		w.push(g, &j)
		if second {
			w.outer(h.k, &j)
			for _, p := range h.part[:h.n] {
				w.curve(g*p.weight, w.at.r.MulT(p.t), &feet[p.wheel], p.wheel/2)
			}
		}
	}
}

// bears is the force along the ground that wheel i bears, world, N: what the ground does to it.
func (w *work) bears(i int) (f solid.Vec) {
	for n := range w.holds {
		h := &w.holds[n]
		for _, p := range h.part[:h.n] {
			if p.wheel == i {
				f = f.Along(p.t, -h.force()*p.weight)
			}
		}
	}
	return f
}

// touch is where wheel i touches its ground, or would: square below the lowest point of the torus' core. World, mm.
func (w *work) touch(i int) solid.Vec {
	end := i / 2
	wh, g := &w.mc.axles[end].wheels[i%2], &w.ground[i]
	c := w.world(w.mo[end].fixed(wh.at).at)
	a := w.at.r.Mul(w.mo[end].direction(solid.Vec{Y: 1}).at)
	lean := a.Dot(g.n)
	root := math.Sqrt(max(1-lean*lean, 1e-12))
	up := g.n.Along(a, -lean).Scale(1 / root)
	core := c.Along(up, wh.crown-wh.radius)
	return core.Along(g.n, -g.n.Dot(core.Sub(g.o)))
}

// plant finds every foot anew where the bench is, keeping the holds' forces. driven says that the shafts are held.
func (w *work) plant(driven bool) {
	for i := range w.feet {
		end := i / 2
		a, mo, f := &w.mc.axles[end], &w.mo[end], &w.feet[i]
		wh := &a.wheels[i%2]
		// The ground pushes the patch the way it pushes the wheel, so the patch lies that way from under the wheel.
		aside := w.bears(i).Scale(1 / wh.side)
		f.world = w.touch(i).Add(aside)
		f.aside = mo.r.MulT(w.at.r.MulT(aside))
		f.at = mo.r.MulT(w.at.r.MulT(f.world.Sub(w.at.x)).Sub(mo.p))
		f.q = [2]float64{w.at.z[end], w.at.phi[end]}
		f.spin, f.twist = solid.Vec{}, [2]float64{}
		if driven && a.ratio > 0 {
			axis := w.at.r.Mul(mo.direction(solid.Vec{Y: 1}).at)
			f.spin = axis.Cross(f.world.Sub(w.world(mo.fixed(wh.at).at)))
			d := mo.direction(a.pinion).at
			for k := range f.twist {
				f.twist[k] = -w.mc.turns * mo.w[k].Dot(d) / a.ratio
			}
		}
	}
	for n := range w.holds {
		w.holds[n].s0 = w.holds[n].s
	}
}
