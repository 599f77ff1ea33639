package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	orders "lowslung/shop"
)

// Helpers to print: the list, and each one's files.

const (
	stlType = "model/stl" // IANA, as registered
	mfType  = "model/3mf"
)

func (s *Server) routeMake(api huma.API) {
	huma.Register(api, operation("prints", http.MethodGet, "/api/rigs/{id}/shop/prints", "Helpers to print for a rig: the options are those of the command"), s.prints)
	file := operation("print", http.MethodGet, "/api/rigs/{id}/shop/prints/{name}", "One helper as a file for a printer, in mm")
	file.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: map[string]*huma.MediaType{
		stlType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}, mfType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}}}}
	huma.Register(api, file, s.print)
}

// InPrints are the options of the helpers.
type InPrints struct {
	InUnits
	Tolerance string   `query:"tolerance" maxLength:"40" doc:"Added to the width of everything that something goes into, mm without a unit; 0.2 mm when left out" example:"0.3 mm"`
	Length    []string `query:"length,explode" maxItems:"20" doc:"Lengths from eye to eye for which there shall be a gauge beside those of the links, mm without a unit" example:"112.5"`
}

type printsIn struct {
	RigID
	InPrints
}

type printsOut struct{ Body orders.Prints }

func (s *Server) printsOf(ctx context.Context, id RigID, in *InPrints) (orders.Prints, error) {
	o, err := orders.ParsePrintOptions(in.Tolerance, in.Length, s.system(in.InUnits))
	if err != nil {
		return orders.Prints{}, misuse("query", err)
	}
	l, err := s.load(ctx, id.ID)
	if err != nil {
		return orders.Prints{}, err
	}
	a, err := orders.PrintsOf(l.Model, o)
	if err != nil {
		return a, misuse("query", err)
	}
	return a, nil
}

func (s *Server) prints(ctx context.Context, in *printsIn) (*printsOut, error) {
	a, err := s.printsOf(ctx, in.RigID, &in.InPrints)
	if err != nil {
		return nil, err
	}
	return &printsOut{a}, nil
}

type fileOut struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *Server) print(ctx context.Context, in *struct {
	RigID
	InPrints
	Name   string `path:"name" maxLength:"100" doc:"Name of the helper, as the list has it"`
	Format string `query:"format" enum:"stl,3mf" default:"3mf" doc:"Format of the file"`
}) (*fileOut, error) {
	a, err := s.printsOf(ctx, in.RigID, &in.InPrints)
	if err != nil {
		return nil, err
	}
	k := slices.IndexFunc(a.Prints, func(p orders.Print) bool { return p.Name == in.Name })
	if k < 0 {
		return nil, misuse("path.name", fmt.Errorf("found %q, expected a name from the list of this rig's prints", in.Name))
	}
	p := &a.Prints[k]
	if in.Format == "stl" {
		return &fileOut{stlType, `attachment; filename="` + p.Name + `.stl"`, p.STL()}, nil
	}
	return &fileOut{mfType, `attachment; filename="` + p.Name + `.3mf"`, p.ThreeMF()}, nil
}
