package rocks

import "math"

// The driver. Throttle follows the rig: while it is slower than the speed wanted the throttle opens, at standstill from shut to full in one second
// (a hand's patience, an assumption), and closes as it gets away. Hands on the wheel keep it on the line y = 0: they steer against how far off it is
// and how it points, as far as lock, as fast as a servo turns.
//
// Motor: i = (u·U − n/Kv)/(R + u²·Rs), as drive has it, not above what motor, controller, pack and slipper allow, and torque Kt·(i − I₀) through gears with
// their efficiency. With the throttle shut the drag brake shorts the winding for its share of the time.

const (
	patience  = 1.0  // s from shut to full at standstill
	usualLock = 30.0 // degrees of steer
	servoRate = 4.0  // rad/s of the wheels: 60° in a quarter of a second
	byOffset  = 0.004
	byHeading = 1.6
	byYaw     = 0.05
)

type driver struct {
	r        *machine
	throttle float64
	most     float64
	want     float64 // mm/s
	lock     float64 // rad
	off      bool    // hands off: throttle shut
	mean     float64 // speed that the driver sees, mm/s
	current  float64 // A, of the last step
	torque   float64 // N·mm at the transfer case's shaft
}

func newDriver(r *machine) driver {
	d := driver{r: r, most: 1, want: 300, lock: usualLock * deg, off: true}
	if l := r.model.Steer.Lock; l > 0 {
		d.lock = l
	}
	return d
}

// hands moves throttle and steering for one step, at forward speed v, mm/s, y off the line, heading and yaw rate.
func (d *driver) hands(h, v, y, heading, yaw float64, steer *float64) {
	if d.off {
		d.throttle = 0
	} else {
		d.mean += (v - d.mean) * min(1, h/0.04)
		d.throttle = min(d.most, max(0, d.throttle+h/patience*(d.want-d.mean)/d.want))
	}
	want := min(d.lock, max(-d.lock, -byOffset*y-byHeading*heading-byYaw*yaw))
	*steer += min(servoRate*h, max(-servoRate*h, want-*steer))
}

// pull is the torque at the transfer case's shaft, N·mm, that turns at speed rad/s, and the motor's current.
func (d *driver) pull(speed float64) (torque, current float64) {
	l := &d.r.line
	if !d.r.powered {
		// All the torque that can be used: four times what would slip every wheel at a grip of 1; full throttle turns them four times as fast as is wanted.
		if d.off {
			return 0, 0
		}
		e := 0
		if !l.Ends[0].Driven {
			e = 1
		}
		i := l.Ends[e].Final / l.Ends[e].Over
		most, free := 4*d.r.mass*gravity/1000*d.r.radius/i, 4*d.want/d.r.radius*i
		return most * (d.throttle - speed/free), 0
	}
	m := l.Motor
	rpm := speed * l.Gearbox * 60 / (2 * math.Pi)
	emf, u := rpm/m.Kv, d.throttle
	switch {
	case u > 1e-3 && u*m.Volts > emf:
		current = (u*m.Volts - emf) / (m.R + u*u*m.Pack)
		current = min(current, l.Limit)
		if i := m.PackLimit / u; current > i {
			current = i
		}
	default: // the brake, against either way of turning
		current = l.Brake * (u*m.Volts - emf) / m.R
		current = max(-l.Limit, min(l.Limit, current))
	}
	eta := 0.0
	for e := range l.Ends {
		eta = max(eta, l.Ends[e].Efficiency)
	}
	t := m.Kt() * (current - m.I0*soft(rpm, 20))
	if t*rpm < 0 { // the wheels drive the motor: gears help to hold
		t /= eta
	} else {
		t *= eta
	}
	return t * l.Gearbox, current
}

// soft is the sign of v, eased within by of 0.
func soft(v, by float64) float64 { return v / max(math.Abs(v), by) }
