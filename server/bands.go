package server

import (
	"context"

	"lowslung/tolerance"
)

type bandsIn struct {
	RigID
	InUnits
	Samples int    `query:"samples" minimum:"100" maximum:"20000" doc:"Builds tried; 1000 when left out"`
	Seed    uint64 `query:"seed" minimum:"1" maximum:"9007199254740991" doc:"Seed of the samples; 1 when left out"`
}

type bandsOut struct{ Body tolerance.Answer }

func (s *Server) bands(ctx context.Context, in *bandsIn) (*bandsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := tolerance.Assess(l.Model, tolerance.Options{Samples: in.Samples, Seed: in.Seed, Units: s.system(in.InUnits)})
	if err != nil {
		return nil, misuse("query", err)
	}
	return &bandsOut{a}, nil
}
