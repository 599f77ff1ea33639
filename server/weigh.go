package server

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	orders "lowslung/shop"
	"lowslung/solid"
)

// A part's mesh is weighed without being kept.

func (s *Server) routeWeigh(api huma.API) {
	op := operation("weigh-mesh", http.MethodPost, "/api/shop/weigh", "Size, volume, centre and weight by material of a part's STL or 3MF, estimates; nothing is kept")
	op.MaxBodyBytes = solid.MaxMeshBytes + 1
	op.BodyReadTimeout = time.Minute
	huma.Register(api, op, s.weighMesh)
}

type meshWeighedOut struct{ Body orders.Weighed }

func (s *Server) weighMesh(_ context.Context, in *struct {
	InUnits
	Material string `query:"material" maxLength:"40" doc:"One material of the list; all of them when left out"`
	Infill   string `query:"infill" maxLength:"40" doc:"Share of the volume that is material; all of it when left out" example:"30 %"`
	Scale    string `query:"scale" maxLength:"40" doc:"What the coordinates are multiplied by: 25.4 for an STL in inches"`
	File     string `query:"file" maxLength:"200" doc:"Name of the file, for the lines to write in a document"`
	RawBody  []byte `contentType:"application/octet-stream"`
}) (*meshWeighedOut, error) {
	o, err := orders.ParseWeighOptions(in.Material, in.Infill, in.Scale, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	o.File = in.File
	w, err := orders.Weigh(in.RawBody, o)
	if err != nil {
		return nil, misuse("body", err)
	}
	return &meshWeighedOut{w}, nil
}
