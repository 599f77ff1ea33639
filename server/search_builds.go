package server

import (
	"context"
	"fmt"
	"net/http"

	"lowslung/mates"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/runs"
	orders "lowslung/shop"
	"lowslung/solid"
	"lowslung/store"
	"lowslung/tolerance"
)

// Builds that a search found, drawn, judged and ordered without being documents of the workshop.

// foundBuild is a build that a search found, on the texts that the search was begun with, and the build searched from.
func (s *Server) foundBuild(ctx context.Context, in BuildID) (found, from *store.Loaded, err error) {
	a, err := s.found(ctx, in.Run)
	if err != nil {
		return nil, nil, err
	}
	if in.Build >= len(a.Builds) {
		return nil, nil, &Problem{Title: titles[store.NotFound], Status: http.StatusNotFound, Code: string(store.NotFound),
			Detail: fmt.Sprintf("found %d builds in search %s, expected one at %s", len(a.Builds), in.Run, fmt.Sprint(in.Build))}
	}
	file, texts, err := s.runs.Texts(ctx, in.Run)
	if err != nil {
		return nil, nil, s.runsWrong(ctx, err)
	}
	texts[foundName] = a.Builds[in.Build].Patch
	if found, err = loaded(texts, foundName); err == nil {
		from, err = loaded(texts, file)
	}
	return found, from, s.wrong(ctx, err)
}

// foundName is what a build is called that is no document of the workshop; no document can be called so.
const foundName = "found by search.rig.yaml"

func loaded(texts map[string]string, file string) (*store.Loaded, error) {
	b, err := rig.Load(runs.Source(texts), file)
	if err != nil {
		return nil, err
	}
	m, err := solid.Resolve(b)
	if err != nil {
		return nil, err
	}
	return &store.Loaded{Build: b, Model: ride.Stand(m)}, nil
}

func (s *Server) buildStage(ctx context.Context, in *BuildID) (*stageOut, error) {
	l, _, err := s.foundBuild(ctx, *in)
	if err != nil {
		return nil, err
	}
	out, err := stageOf(&asked{Loaded: l})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &stageOut{*out}, nil
}

func (s *Server) buildBands(ctx context.Context, in *struct {
	BuildID
	InUnits
}) (*bandsOut, error) {
	l, _, err := s.foundBuild(ctx, in.BuildID)
	if err != nil {
		return nil, err
	}
	a, err := tolerance.Assess(l.Model, tolerance.Options{Units: s.system(in.InUnits)})
	return &bandsOut{a}, s.wrong(ctx, err)
}

func (s *Server) buildOrder(ctx context.Context, in *struct {
	BuildID
	InUnits
}) (*struct{ Body orders.Order }, error) {
	l, from, err := s.foundBuild(ctx, in.BuildID)
	if err != nil {
		return nil, err
	}
	a, err := mates.Assess(l.Model, mates.Options{Against: from.Model, Units: s.system(in.InUnits)})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &struct{ Body orders.Order }{orders.OrderOf(&a, func(id string) (mates.Piece, bool) { return mates.ItemPiece(l.Model, id) })}, nil
}
