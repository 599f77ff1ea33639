package server

import (
	"context"
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

const deg = math.Pi / 180

// AxleState is one axle at one pose.
type AxleState struct {
	Present         bool             `json:"present" doc:"The document has this axle; everything else is zero when not"`
	Solved          bool             `json:"solved" doc:"The links close; otherwise the axle is where near puts it"`
	OriginMM        []float64        `json:"origin_mm" nullable:"false" doc:"Axle origin in the chassis frame"`
	Turn            []float64        `json:"turn" nullable:"false" doc:"Rotation of the axle frame against the chassis, 9 numbers, row by row"`
	HalfTrackMM     float64          `json:"half_track_mm" doc:"Wheel centre's left in the axle frame; 0 without tyres"`
	TyreRadiusMM    float64          `json:"tyre_radius_mm" doc:"Axle to ground as it stands; 0 without tyres"`
	TyreWidthMM     float64          `json:"tyre_width_mm" doc:"Tread width"`
	Pose            *travel.AxlePose `json:"pose" doc:"Null for an axle that is not there"`
	Rates           *travel.Rates    `json:"rates" doc:"Null when the links do not fix the axle"`
	InstantCenterMM []float64        `json:"instant_center_mm" doc:"Side view, chassis frame: x, z; null when there is none"`
	RollAxis        *Line            `json:"roll_axis" doc:"Line about which the axle rolls; null when the links do not fix the axle"`
	Shocks          []ShockPlace     `json:"shocks" nullable:"false" doc:"Eyes and lengths of this axle's shocks"`
	LeftBumpMM      float64          `json:"left_bump_mm" doc:"Left wheel centre's height against the design pose"`
	RightBumpMM     float64          `json:"right_bump_mm" doc:"The same on the right"`
	StoppedBy       string           `json:"stopped_by" doc:"What stopped it on its way, in words; empty when nothing did"`
}

// Line is a line in the chassis frame.
type Line struct {
	PointMM   []float64 `json:"point_mm" nullable:"false" doc:"A point of it"`
	Direction []float64 `json:"direction" nullable:"false" doc:"Unit vector, forward"`
}

// ShockPlace is where a shock is at a pose.
type ShockPlace struct {
	Name         string    `json:"name" doc:"The builder's name for it"`
	Side         string    `json:"side" enum:"left,right," doc:"Of a pair; empty for a single shock"`
	TopMM        []float64 `json:"top_mm" nullable:"false" doc:"Upper eye, chassis frame"`
	BottomMM     []float64 `json:"bottom_mm" nullable:"false" doc:"Lower eye, chassis frame"`
	LengthMM     float64   `json:"length_mm" doc:"Eye to eye"`
	StrokeLeftMM *float64  `json:"stroke_left_mm" doc:"Until it is closed; null when closed is not given"`
	DroopLeftMM  *float64  `json:"droop_left_mm" doc:"Until it is open; null when open is not given"`
}

type pullIn struct {
	RigID
	Axle      string  `query:"axle" required:"true" enum:"front,rear" doc:"Axle whose wheels are pulled"`
	Left      float64 `query:"left" minimum:"-1000" maximum:"1000" doc:"Wanted height of the left wheel centre against the design pose, mm, positive up"`
	Right     float64 `query:"right" minimum:"-1000" maximum:"1000" doc:"The same on the right"`
	FromLeft  float64 `query:"from_left" minimum:"-1000" maximum:"1000" doc:"Where the way starts; the design pose when left out"`
	FromRight float64 `query:"from_right" minimum:"-1000" maximum:"1000" doc:"The same on the right"`
}

// Stopped says what kept an axle from where the hand wanted it.
type Stopped struct {
	AskedLeftMM  float64 `json:"asked_left_mm" doc:"What was wanted of the left wheel"`
	AskedRightMM float64 `json:"asked_right_mm" doc:"What was wanted of the right wheel"`
	Why          string  `json:"why" doc:"What stopped it, in words"`
}

type pullOut struct {
	Body struct {
		Axle    AxleState `json:"axle" doc:"The pose reached"`
		Stopped *Stopped  `json:"stopped" doc:"Null when the wish was reached"`
	}
}

func (s *Server) pull(ctx context.Context, in *pullIn) (*pullOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &pullOut{}
	err = l.standing(func(st *travel.Stand) error {
		p, err := travel.Pull(l.Model, st, travel.PullOptions{Axle: in.Axle, Left: in.Left, Right: in.Right, FromLeft: in.FromLeft, FromRight: in.FromRight})
		if err != nil {
			return misuse("query", err)
		}
		end := solid.Front
		if in.Axle == "rear" {
			end = solid.Rear
		}
		out.Body.Axle = stateOf(l.Model, st, end, p)
		if p.StoppedBy != "" {
			out.Body.Stopped = &Stopped{in.Left, in.Right, p.StoppedBy}
		}
		return nil
	})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return out, nil
}

// absent is the state of an axle that the document does not have.
func absent(m *solid.Model, end solid.End) AxleState {
	a := &m.Axles[end]
	return AxleState{OriginMM: xyz(a.Near), Turn: solid.Identity[:], Shocks: []ShockPlace{}}
}

// stateOf tells a pulled axle. The stand's mover is put back at the design pose.
func stateOf(m *solid.Model, st *travel.Stand, end solid.End, p travel.Pulled) AxleState {
	a, mv := &m.Axles[end], st.Movers[end]
	turn := p.Pose.Turn()
	out := AxleState{Present: true, Solved: mv.Solved, OriginMM: xyz(p.Pose.Origin()), Turn: turn[:],
		HalfTrackMM: a.HalfTrack, TyreRadiusMM: st.Radius[end], TyreWidthMM: a.TyreWidth,
		Pose: &p.Answer, Rates: p.Rates, Shocks: []ShockPlace{}, LeftBumpMM: p.Left, RightBumpMM: p.Right, StoppedBy: p.StoppedBy}
	if r := p.Rates; r != nil && r.InstantCenterXMM != nil && r.InstantCenterZMM != nil {
		out.InstantCenterMM = []float64{*r.InstantCenterXMM, *r.InstantCenterZMM}
	}
	mv.Jump(p.Pose)
	if point, direction, ok := mv.RollAxis(); ok {
		out.RollAxis = &Line{xyz(point), xyz(direction)}
	}
	mv.Jump(mv.Design)
	n := 0
	for i := range m.Shocks {
		k := &m.Shocks[i]
		if k.Axle != end || n >= len(p.Struts) {
			continue
		}
		strut := p.Struts[n]
		n++
		place := ShockPlace{Name: k.Name, Side: k.Side.String(), TopMM: xyz(strut.Top), BottomMM: xyz(strut.Bottom), LengthMM: strut.Length}
		if k.Closed > 0 {
			left := strut.Length - k.Closed
			place.StrokeLeftMM = &left
		}
		if k.Open > 0 {
			left := k.Open - strut.Length
			place.DroopLeftMM = &left
		}
		out.Shocks = append(out.Shocks, place)
	}
	return out
}
