package server

import (
	"context"

	"lowslung/travel"
)

type gapsIn struct {
	RigID
	FrontLeft  float64 `query:"front_left" minimum:"-1000" maximum:"1000" doc:"Height of the front left wheel centre against the design pose, mm, positive up; 0 when left out"`
	FrontRight float64 `query:"front_right" minimum:"-1000" maximum:"1000" doc:"The same at the front right"`
	RearLeft   float64 `query:"rear_left" minimum:"-1000" maximum:"1000" doc:"The same at the rear left"`
	RearRight  float64 `query:"rear_right" minimum:"-1000" maximum:"1000" doc:"The same at the rear right"`
}

type gapsOut struct {
	Body struct {
		Gaps []travel.GapAt `json:"gaps" nullable:"false" doc:"Nearest first"`
	}
}

func (s *Server) gaps(ctx context.Context, in *gapsIn) (*gapsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &gapsOut{}
	err = l.standing(func(st *travel.Stand) error {
		list, err := travel.Gaps(l.Model, st, travel.Bumps{{in.FrontLeft, in.FrontRight}, {in.RearLeft, in.RearRight}})
		if err != nil {
			return misuse("query", err)
		}
		out.Body.Gaps = list
		return nil
	})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return out, nil
}
