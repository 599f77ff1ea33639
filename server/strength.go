package server

import (
	"context"

	orders "lowslung/shop"
)

type strengthOut struct{ Body orders.Strength }

func (s *Server) strength(ctx context.Context, in *struct {
	RigID
	InUnits
	Strike string `query:"strike" maxLength:"40" doc:"Load across the middle of each link, N without a unit; 50 N when left out" example:"80 N"`
	Push   string `query:"push" maxLength:"40" doc:"Load along each link, N without a unit; twice the rig's weight when left out" example:"100 N"`
}) (*strengthOut, error) {
	o, err := orders.ParseStrengthOptions(in.Strike, in.Push, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	return &strengthOut{orders.StrengthOf(l.Model, o)}, nil
}
