package ride

import (
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// Where everything is at a rest: what a drawing of it needs, and nothing to work out for whoever draws. Only when asked for (Options.Poses),
// since it makes the answer some ten times as long.

// A Pose is the rig at rest, in the frame of the board: z square to it, x forward and y to the left as the rig stands on it level. The
// board is the level ground where nothing is tilted. Lengths are rounded to 0.1 µm, parts of unit vectors to 1e-7.
type Pose struct {
	OriginMM []float64 `json:"origin_mm" nullable:"false" doc:"Chassis origin, in the frame of the board: z square to it, x forward, y left"`
	Turn     []float64 `json:"turn" nullable:"false" doc:"Rotation of the chassis frame against the board, 9 numbers, row by row"`
	Up       []float64 `json:"up" nullable:"false" doc:"Unit vector against gravity, in the frame of the board"`
	CenterMM []float64 `json:"center_of_mass_mm" nullable:"false" doc:"Centre of mass of all of it, in the frame of the board"`
	Front    PoseAxle  `json:"front" doc:"Front axle"`
	Rear     PoseAxle  `json:"rear" doc:"Rear axle"`
}

// PoseAxle is an axle of a Pose.
type PoseAxle struct {
	OriginMM []float64   `json:"origin_mm" nullable:"false" doc:"Axle origin, chassis frame"`
	Turn     []float64   `json:"turn" nullable:"false" doc:"Rotation of the axle frame against the chassis, 9 numbers, row by row"`
	Left     PoseWheel   `json:"left" doc:"Left wheel"`
	Right    PoseWheel   `json:"right" doc:"Right wheel"`
	Shocks   []PoseShock `json:"shocks" nullable:"false" doc:"Its shocks, mirror twins apart"`
	CenterMM []float64   `json:"instant_center_mm" doc:"Its instant centre in side view, forward and up in the chassis frame; null when it moves without turning"`
	RollAxis *PoseLine   `json:"roll_axis" doc:"About which it rolls against the chassis"`
	Shafts   []PoseShaft `json:"shafts" nullable:"false" doc:"Its drive shafts"`
}

// PoseLine is a line of a Pose.
type PoseLine struct {
	PointMM   []float64 `json:"point_mm" nullable:"false" doc:"A point of it, chassis frame"`
	Direction []float64 `json:"direction" nullable:"false" doc:"Unit vector along it, forward"`
}

// PoseShaft is a drive shaft of a Pose.
type PoseShaft struct {
	Name            string   `json:"name" doc:"Name in the document"`
	GearboxJointDeg float64  `json:"gearbox_joint_deg" doc:"Angle of the joint at the gearbox; 0 is straight"`
	AxleJointDeg    float64  `json:"axle_joint_deg" doc:"Angle of the joint at the axle"`
	JointLeftDeg    *float64 `json:"joint_left_deg" doc:"What the worse of the two has left of its limit; null when no limit is given"`
}

// PoseWheel is what a wheel of a Pose stands on.
type PoseWheel struct {
	TouchMM  []float64 `json:"touch_mm" nullable:"false" doc:"Where the tyre touches what is under it, or, in the air, the place below it; frame of the board"`
	GroundMM []float64 `json:"ground_mm" nullable:"false" doc:"A point of the plane under it: of a ramp its foot, of a block its top; frame of the board"`
	Normal   []float64 `json:"normal" nullable:"false" doc:"Unit vector square to that plane"`
	GapMM    float64   `json:"gap_mm" doc:"How far the tyre is off it; negative when it is pressed in"`
}

// PoseShock is a shock of a Pose.
type PoseShock struct {
	Name     string    `json:"name" doc:"Name in the document"`
	Side     string    `json:"side" enum:"left,right," doc:"left, right, or empty for a single one"`
	TopMM    []float64 `json:"top_mm" nullable:"false" doc:"Upper eye, chassis frame"`
	BottomMM []float64 `json:"bottom_mm" nullable:"false" doc:"Lower eye, chassis frame"`
	LengthMM float64   `json:"length_mm" doc:"Eye to eye"`
	SagMM    *float64  `json:"sag_mm" doc:"Stroke used, from fully open; null without open"`
	SagShare *float64  `json:"sag_share" doc:"Share of the stroke used, 0 to 1; null without open and closed"`
	ForceN   float64   `json:"force_n" doc:"With which it pushes its eyes apart"`
	At       string    `json:"at" enum:"springs,open,closed,coil bind,nothing" doc:"What it rests on"`
}

// pose reads the bench as it is, which has been evaluated; nil when poses were not asked for.
func (w *work) pose() *Pose {
	if !w.mc.posed {
		return nil
	}
	p := &Pose{OriginMM: placeOf(w.at.x), Turn: turnOf(&w.at.r), Up: dirOf(w.pull.Scale(-1).Unit()), CenterMM: placeOf(w.center())}
	for i, into := range []*PoseAxle{&p.Front, &p.Rear} {
		mo, a := &w.mo[i], &w.mc.axles[i]
		*into = PoseAxle{OriginMM: placeOf(mo.p), Turn: turnOf(&mo.r), Left: w.poseWheel(2 * i), Right: w.poseWheel(2*i + 1), Shocks: []PoseShock{}, Shafts: w.poseShafts(solid.End(i))}
		w.poseSwing(into, mo)
		for n := range a.struts {
			s := &a.struts[n]
			k := w.shock(s, mo.length[n].at)
			top, bottom := mo.anchor(w.mc.model, &s.model.Top, false), mo.anchor(w.mc.model, &s.model.Bottom, false)
			for _, v := range []*float64{k.SagMM, k.SagShare} {
				if v != nil {
					*v = round(*v, 1e4)
				}
			}
			into.Shocks = append(into.Shocks, PoseShock{k.Name, k.Side, placeOf(top.at), placeOf(bottom.at), round(k.LengthMM, 1e4), k.SagMM, k.SagShare, round(k.ForceN, 1e4), k.At})
		}
	}
	return p
}

// poseSwing is the axle's instant centre and roll axis from its rates of motion, as travel has them (travel.Rates, Mover.RollAxis).
func (w *work) poseSwing(into *PoseAxle, mo *moves) {
	if turn := mo.w[0].Y; math.Abs(turn) > 1e-7 {
		into.CenterMM = []float64{round(mo.p.X+mo.v[0].Z/turn, 1e4), round(mo.p.Z-mo.v[0].X/turn, 1e4)}
	}
	if turn := mo.w[1].X; math.Abs(turn) > 1e-9 {
		into.RollAxis = &PoseLine{placeOf(solid.Vec{X: mo.p.X, Z: mo.p.Z + mo.v[1].Y/turn}), dirOf(solid.Vec{X: 1, Z: mo.w[1].Z / turn}.Unit())}
	}
}

func (w *work) poseShafts(end solid.End) []PoseShaft {
	out := []PoseShaft{}
	at := w.mc.axles[end].mv.At()
	for i := range w.mc.model.Shafts {
		k := &w.mc.model.Shafts[i]
		if k.Axle != end {
			continue
		}
		s := travel.ShaftAt(k, at)
		one := PoseShaft{Name: k.Name, GearboxJointDeg: round(s.Joint[0]/deg, 1e4), AxleJointDeg: round(s.Joint[1]/deg, 1e4)}
		if _, _, left := s.Room(k); !math.IsInf(left, 0) && !math.IsNaN(left) {
			v := round(left/deg, 1e4)
			one.JointLeftDeg = &v
		}
		out = append(out, one)
	}
	return out
}

func (w *work) poseWheel(i int) PoseWheel {
	g := &w.ground[i]
	return PoseWheel{TouchMM: placeOf(w.touch(i)), GroundMM: placeOf(g.o), Normal: dirOf(g.n), GapMM: round(w.gap[i], 1e4)}
}

// round keeps 1/per, and never gives −0.
func round(v, per float64) float64 { return math.Round(v*per)/per + 0 }

func placeOf(v solid.Vec) []float64 {
	return []float64{round(v.X, 1e4), round(v.Y, 1e4), round(v.Z, 1e4)}
}

func dirOf(v solid.Vec) []float64 {
	return []float64{round(v.X, 1e7), round(v.Y, 1e7), round(v.Z, 1e7)}
}

func turnOf(r *solid.Mat) []float64 {
	out := make([]float64, len(r))
	for i, v := range r {
		out[i] = round(v, 1e7)
	}
	return out
}
