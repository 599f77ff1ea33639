package reference

import (
	"math"
	"testing"

	"lowslung/travel"
)

// Spatial slider-crank of the IFToMM library of benchmark problems for multibody dynamics, after E. J. Haug, Computer-Aided
// Kinematics and Dynamics of Mechanical Systems I (1989), §12.2: a crank about the x axis at (0, 0.10, 0.12) m, length 0.08,
// a rod of 0.30 to a slider on the x axis. All values print.
//
// It is an axle on four links, exactly, because heave is given: an axle whose origin stays in the plane z = 0 and which is
// held by a link half as long as its arm is a Scott–Russell straight-line linkage, so the end P of its arm runs on the z axis.
// P is the slider, and our z the benchmark's x. The crank is doubled by its mirror image at y = 0; then the two rods keep P in
// that plane, and the two half-length links (parallel, at ±40) keep the axle from steering. Benchmark (x, y, z) → ours (z, y, x).
type sliderCrank struct {
	link  *travel.Linkage
	eyes  [4]vec // in the chassis frame
	arms  [4]vec // in the axle frame
	start travel.Pose
}

const (
	arm = 400.0 // origin to P; P is reached at z = arm·cos(spin)
	rod = 300.0
)

// crankPin is B in our axes, mm, and its velocity per rad of θ.
func crankPin(theta float64) (at, speed vec) {
	s, c := math.Sincos(theta)
	return vec{X: 120 + 80*c, Y: 100 - 80*s}, vec{X: -80 * s, Y: -80 * c}
}

func newSliderCrank(theta float64) sliderCrank {
	b, _ := crankPin(theta)
	s := sliderCrank{
		eyes: [4]vec{{Y: 40}, {Y: -40}, b, b.Flip()},
		arms: [4]vec{{Y: 40, Z: arm / 2}, {Y: -40, Z: arm / 2}, {Z: arm}, {Z: arm}},
	}
	s.link = travel.NewLinkage(s.eyes, s.arms, [4]float64{arm / 2, arm / 2, rod, rod})
	spin := math.Acos(250 / arm) // P at z = 250, in the middle of its way
	s.start = travel.Pose{X: -arm * math.Sin(spin), Spin: spin}
	return s
}

// solve finds the pose; P is in chassis axes.
func (s *sliderCrank) solve(t *testing.T) (travel.Pose, vec) {
	t.Helper()
	solver := travel.NewSolver(s.link, s.start)
	if st := solver.Solve(0, 0); st != travel.Reached {
		t.Fatalf("status %v", st)
	}
	p := solver.Pose()
	if r := s.link.Residual(p); !(r <= 1e-9) {
		t.Errorf("residual %g mm", r)
	}
	return p, p.Place(s.arms[2])
}

func TestSpatialSliderCrank(t *testing.T) {
	for _, c := range []struct{ theta, slider float64 }{ // rad, m ± 1e-7
		{0.5600213536265, 0.2267867},
		{1.287191842519, 0.2630368},
		{2.421968968383, 0.2901466},
		{4.404676961283, 0.2230848},
	} {
		s := newSliderCrank(c.theta)
		p, at := s.solve(t)
		within(t, "slider, m", at.Z/1000, c.slider, 1e-7)
		within(t, "slider off its line, x", at.X, 0, 1e-8)
		within(t, "slider off its line, y", at.Y, 0, 1e-8)
		within(t, "axle steer", p.Steer, 0, 1e-10)
	}
}

// At θ = 0 and ω = 6 rad/s the slider moves at 0.24 m/s and the rod turns at (144/85, −72/85, 12/17) rad/s. The crank pins move,
// so the velocities come from the linear system with the links' other ends moving: J·q′ = dᵢ·ċᵢ.
func TestSpatialSliderCrankVelocities(t *testing.T) {
	const omega = 6.0
	s := newSliderCrank(0)
	p, at := s.solve(t)
	within(t, "slider, m", at.Z/1000, 0.2, 1e-12) // √(0.3² − 0.1² − 0.2²)

	sys := s.link.SystemAt(p)
	_, pin := crankPin(0)
	pin = pin.Scale(omega)
	var right [4]float64
	for i, v := range [4]vec{{}, {}, pin, pin.Flip()} {
		right[i] = p.Place(s.arms[i]).Sub(s.eyes[i]).Dot(v)
	}
	q, ok := sys.Solve(right)
	if !ok {
		t.Fatal("singular")
	}
	// The motion of P with q = (x′, y′, ψ′, θ′): origin velocity plus ω × arm; at zero steer and roll the spin is about y.
	turn := vec{Y: q[3], Z: q[2]}
	slider := vec{X: q[0], Y: q[1]}.Add(turn.Cross(at.Sub(p.Origin())))
	within(t, "slider speed, mm/s", slider.Z, 240, 1e-9)
	within(t, "slider speed across, x", slider.X, 0, 1e-9)
	within(t, "slider speed across, y", slider.Y, 0, 1e-9)

	// The rod's angular velocity in the benchmark's axes, and what it must make of the rod's two ends.
	rate := vec{X: 144.0 / 85, Y: -72.0 / 85, Z: 12.0 / 17}
	toBench := func(v vec) vec { return vec{X: v.Z, Y: v.Y, Z: v.X} }
	b, _ := crankPin(0)
	want := rate.Cross(toBench(at.Sub(b)))
	got := toBench(slider.Sub(pin))
	for i, pairOf := range [3][2]float64{{got.X, want.X}, {got.Y, want.Y}, {got.Z, want.Z}} {
		within(t, "rod's relative velocity "+string("xyz"[i]), pairOf[0], pairOf[1], 1e-9)
	}
}
