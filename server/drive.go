package server

import (
	"context"

	"lowslung/drive"
)

type driveIn struct {
	RigID
	InUnits
	Ledge string `query:"ledge" maxLength:"40" doc:"Height of the ledge of the ledge point, mm without a unit; half a tyre radius when left out" example:"30 mm"`
}

type driveOut struct{ Body drive.Answer }

func (s *Server) drive(ctx context.Context, in *driveIn) (*driveOut, error) {
	o, err := drive.ParseOptions(in.Ledge, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query.ledge", err)
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := drive.Assess(l.Model, o)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &driveOut{a}, nil
}
