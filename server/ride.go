package server

import (
	"context"

	"lowslung/ride"
)

type rideIn struct {
	RigID
	InUnits
	Step    string `query:"step" maxLength:"40" doc:"Degrees between the rows of the tilt tables, 0.25 to 30; 5 when left out" example:"5"`
	Ramp    string `query:"ramp" maxLength:"40" doc:"Slope of the ramp in degrees, 5 to 45; 20 when left out" example:"20"`
	Height  string `query:"height" maxLength:"40" doc:"Ride height that is wanted, mm without a unit: says which collar or spring gives it" example:"65"`
	Sag     string `query:"sag" maxLength:"40" doc:"Share of the stroke that is wanted used standing still: says which collar or spring does it" example:"35 %"`
	Poses   bool   `query:"poses" doc:"Where chassis and axles are in every row, and ramp, blocks and twist in all their steps: for drawing"`
	Damping string `query:"damping" maxLength:"40" doc:"Damping ratio that is wanted: says which oil gives it" example:"0.5"`
}

type rideOut struct{ Body ride.Answer }

func (s *Server) ride(ctx context.Context, in *rideIn) (*rideOut, error) {
	o, err := ride.ParseOptions(in.Step, in.Ramp, in.Height, in.Sag, in.Damping, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	o.Poses = in.Poses
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := ride.Assess(l.Model, o)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &rideOut{a}, nil
}
