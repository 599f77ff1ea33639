package rocks

import (
	"math"

	"lowslung/solid"
)

// A Frame is one instant of a run, in the frame of the course: x the way it goes, y left, z square to its level floor.
type Frame struct {
	TimeS    float64   `json:"time_s" doc:"Since it was set down"`
	OriginMM []float64 `json:"origin_mm" nullable:"false" doc:"Chassis origin"`
	Turn     []float64 `json:"turn" nullable:"false" doc:"Rotation of the chassis frame, 9 numbers, row by row"`
	Up       []float64 `json:"up" nullable:"false" doc:"Unit vector against gravity"`
	Front    FrameAxle `json:"front" doc:"Front axle"`
	Rear     FrameAxle `json:"rear" doc:"Rear axle"`
	SteerDeg float64   `json:"steer_deg" doc:"Steer angle of the front wheels, positive to the left"`
	SpeedMPS float64   `json:"speed_m_per_s" doc:"Of the chassis along x"`
	WheelMPS float64   `json:"tread_m_per_s" doc:"Of the treads against their axles, the mean of the four"`
	Throttle float64   `json:"throttle" doc:"0 to 1"`
	CurrentA float64   `json:"current_a" doc:"Of the motor"`
	TorqueNM float64   `json:"torque_nmm" doc:"At the wheels, all together, of the motor through the gears"`
	SlipMPS  float64   `json:"slip_m_per_s" doc:"The fastest that a tread slides over rock; 0 while all hold"`
	BellyN   float64   `json:"belly_n" doc:"What chassis, housings and links bear on rock"`
	CenterMM []float64 `json:"center_of_mass_mm" nullable:"false" doc:"Centre of mass of all of it"`
}

// FrameAxle is an axle of a Frame.
type FrameAxle struct {
	OriginMM []float64    `json:"origin_mm" nullable:"false" doc:"Axle origin, chassis frame"`
	Turn     []float64    `json:"turn" nullable:"false" doc:"Rotation of the axle frame against the chassis, 9 numbers, row by row"`
	Left     FrameWheel   `json:"left" doc:"Left wheel"`
	Right    FrameWheel   `json:"right" doc:"Right wheel"`
	Shocks   []FrameShock `json:"shocks" nullable:"false" doc:"Its shocks, mirror twins apart"`
}

// FrameShock is a shock of a Frame.
type FrameShock struct {
	Name     string    `json:"name" doc:"Name in the document"`
	Side     string    `json:"side" enum:"left,right," doc:"left, right, or empty for a single one"`
	TopMM    []float64 `json:"top_mm" nullable:"false" doc:"Upper eye, chassis frame"`
	BottomMM []float64 `json:"bottom_mm" nullable:"false" doc:"Lower eye, chassis frame"`
	LengthMM float64   `json:"length_mm" doc:"Eye to eye"`
}

// FrameWheel is a wheel of a Frame.
type FrameWheel struct {
	LoadN   float64   `json:"load_n" doc:"Square to the rock; 0 in the air"`
	GripUse float64   `json:"grip_used" doc:"Share of its grip, 1 when it slides"`
	TouchMM []float64 `json:"touch_mm" nullable:"false" doc:"Where it presses most, frame of the course; empty in the air"`
	TurnDeg float64   `json:"turn_deg" doc:"How far it has turned about its axis"`
}

func round(v, per float64) float64 { return math.Round(v*per)/per + 0 }

func placeOf(v solid.Vec) []float64 {
	return []float64{round(v.X, 1e2), round(v.Y, 1e2), round(v.Z, 1e2)}
}

func dirOf(v solid.Vec) []float64 {
	return []float64{round(v.X, 1e5), round(v.Y, 1e5), round(v.Z, 1e5)}
}

func turnOf(r *solid.Mat) []float64 {
	out := make([]float64, len(r))
	for i, v := range r {
		out[i] = round(v, 1e5)
	}
	return out
}

// frame reads the bench after a step.
func (w *work) frame() Frame {
	s := &w.s
	_, c := w.center()
	f := Frame{
		TimeS: round(s.t, 1e4), OriginMM: placeOf(s.x), Turn: turnOf(&s.r), Up: dirOf(w.up), SteerDeg: round(s.steer/deg, 1e2),
		SpeedMPS: round(s.r.Mul(vel(&s.u)).X/1000, 1e4), Throttle: round(w.drive.throttle, 1e3), CurrentA: round(w.drive.current, 1e2),
		BellyN: round(w.out.belly, 1e3), CenterMM: placeOf(w.world(c)),
	}
	for i := range w.wheels {
		a := &w.rig.axles[i/2]
		f.WheelMPS += w.wheels[i].g.dot(&s.u) * a.tyres[i%2].Radius / 4000
		f.SlipMPS = max(f.SlipMPS, round(w.out.slip[i]/1000, 1e4))
	}
	f.WheelMPS = round(f.WheelMPS, 1e4)
	if m := w.rig.motorFree; m >= 0 {
		// The same turn of the drive line is so many turns of the wheels.
		e := 0
		if !w.rig.line.Ends[0].Driven {
			e = 1
		}
		f.TorqueNM = round(w.drive.torque*w.rig.line.Ends[e].Final/w.rig.line.Ends[e].Over, 1e2)
	}
	for e, into := range []*FrameAxle{&f.Front, &f.Rear} {
		x := &w.ax[e]
		*into = FrameAxle{OriginMM: placeOf(x.p), Turn: turnOf(&x.r), Left: w.frameWheel(2 * e), Right: w.frameWheel(2*e + 1), Shocks: []FrameShock{}}
		for i := range x.law.Shocks() {
			k, top, bottom := x.law.ShockOf(i)
			length, _ := x.law.Shock(i)
			into.Shocks = append(into.Shocks, FrameShock{k.Name, k.Side.String(), placeOf(top), placeOf(bottom), round(length, 100)})
		}
	}
	return f
}

func (w *work) frameWheel(i int) FrameWheel {
	o := &w.out
	f := FrameWheel{LoadN: round(o.load[i], 1e3), GripUse: round(o.grip[i], 1e3), TouchMM: []float64{}, TurnDeg: round(w.s.turn[i]/deg, 1e2)}
	if o.touched[i] {
		f.TouchMM = placeOf(o.at[i])
	}
	return f
}
