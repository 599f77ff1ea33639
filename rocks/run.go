package rocks

import (
	"math"

	"lowslung/solid"
)

// A run from a standing start to its end.

const (
	usualStep = 0.001 // s
	settling  = 0.4   // s to stand before anything else
	tilting   = 1.5   // s in which a course is tilted under the standing rig
	waits     = 2.0   // s without progress, with the throttle as far open as the driver opens it, until a run is given up
	progress  = 8.0   // mm that count as progress
	longest   = 40.0  // s
	overAt    = 80.0  // degrees from upright at which it counts as rolled
	aside     = 500.0 // mm off the line at which it has slid off
	frames    = 30    // a second
)

// A verdict is how a run ended.
type verdict string

const (
	through verdict = "through"
	stalled verdict = "stalled"
	rolled  verdict = "rolled"
	astray  verdict = "off the line"
	lost    verdict = "lost" // the calculation, not the rig
)

// A trip is what came of a run.
type trip struct {
	verdict  verdict
	why      string
	seconds  float64
	distance float64 // mm that the middle between the axles came along
	at       float64 // x of the front axle at the end, mm
	up       solid.Vec
	steepest float64 // degrees that the chassis was off upright at most
	current  float64 // A, largest
	belly    float64 // N, largest
	rough    int
	steps    int
	ended    int
	buried   int // balls that were in rock at the start
	frames   []Frame
}

// seen are sums over the time since the last progress, for saying why.
type seen struct {
	steps   int
	turning float64
	belly   [4]float64 // N·steps by kind of contact
	open    float64    // s with the throttle as far open as it goes
}

// ride runs a course.
func (w *work) ride(c *course, o *Options, keep bool) (t trip) {
	w.drive.want, w.drive.most = o.speed(), o.throttle()
	w.up = solid.Vec{Z: 1}
	f, _ := w.ax[0].law.Pose()
	b, _ := w.ax[1].law.Pose()
	w.set(-c.start*w.rig.radius-f.Sub(b).Norm()/2, 0)
	t.buried = w.buried()
	_, begin := w.mid()
	best, since := begin.X, seen{}
	next := 0.0
	start := settling
	if c.lean != 0 {
		start += tilting
	}
	t.verdict = stalled
	for w.s.t < longest {
		if c.lean != 0 && w.s.t > settling {
			x := min(1, (w.s.t-settling)/tilting)
			s, cs := math.Sincos(c.lean * x * x * (3 - 2*x))
			w.up = solid.Vec{Y: -s, Z: cs} // of the gravity: the course' left side goes down
		}
		w.drive.off = w.s.t < start
		w.step()
		if w.lost() {
			t.verdict = lost
			break
		}
		if keep && w.s.t >= next {
			t.frames = append(t.frames, w.frame())
			next += 1.0 / frames
		}
		up := w.s.r.MulT(w.up)
		t.steepest = max(t.steepest, math.Acos(min(1, max(-1, up.Z)))/deg)
		t.current, t.belly = max(t.current, math.Abs(w.drive.current)), max(t.belly, w.out.belly)
		_, mid := w.mid()
		rear := w.world(w.ax[1].p)
		switch {
		case up.Z < math.Cos(overAt*deg):
			t.verdict, t.why = rolled, over(up)
		case w.s.t >= start && rear.X > c.finish && w.wheelsUp():
			t.verdict = through
		case math.Abs(mid.Y-begin.Y) > aside:
			t.verdict, t.why = astray, "sideways"
		case mid.X < begin.X-200:
			t.verdict, t.why = astray, "back"
		default:
			if w.s.t < start {
				continue
			}
			if mid.X > best+progress {
				best, since = mid.X, seen{}
			}
			since.look(w)
			if since.open < waits {
				continue
			}
			t.why = since.why(w)
		}
		break
	}
	if t.verdict == stalled && t.why == "" {
		t.why = "time"
	}
	if keep && t.verdict != lost {
		t.frames = append(t.frames, w.frame())
	}
	_, mid := w.mid()
	t.seconds = w.s.t - start
	if t.verdict != lost {
		t.distance, t.at = mid.X-begin.X, w.world(w.ax[0].p).X
	}
	t.up = w.s.r.MulT(w.up)
	t.rough, t.steps, t.ended = w.rough, w.steps, w.ended
	return t
}

// wheelsUp says that some tyre touches rock: what flies has not arrived.
func (w *work) wheelsUp() bool {
	for _, on := range w.out.touched {
		if on {
			return true
		}
	}
	return false
}

// over says over which side it went, from up in the chassis frame.
func over(up solid.Vec) string {
	switch {
	case math.Abs(up.Y) >= math.Abs(up.X) && up.Y < 0:
		return "left"
	case math.Abs(up.Y) >= math.Abs(up.X):
		return "right"
	case up.X > 0:
		return "backwards"
	}
	return "forwards"
}

func (s *seen) look(w *work) {
	s.steps++
	if w.drive.throttle >= w.drive.most-1e-6 {
		s.open += w.h
	} else if s.open > 0 {
		s.open += w.h / 2 // it rocks to and fro: that is no progress either
	}
	for i := range w.list {
		if c := &w.list[i]; c.kind != tread {
			s.belly[c.kind] += c.load
		}
	}
	for i := range w.wheels {
		v := math.Abs(w.wheels[i].g.dot(&w.s.u)) * w.rig.axles[i/2].tyres[i%2].Radius
		s.turning = s.turning + v/4
	}
}

// why is the word for what ended a run that got no further.
func (s *seen) why(w *work) string {
	n := float64(s.steps)
	bears := 0.0
	what := housing
	for k, f := range s.belly {
		bears += f / n
		if f > s.belly[what] {
			what = k
		}
	}
	turns := s.turning/n > 30
	switch {
	case bears > 0.04*w.rig.mass*gravity/1000:
		return map[int]string{housing: "axle aground", underside: "belly aground", onLink: "link aground"}[what]
	case turns:
		return "no grip"
	}
	return "no torque"
}
