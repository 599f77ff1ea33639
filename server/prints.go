package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/draw"
	orders "lowslung/shop"
)

// Helpers to print: the list, and each one's files.

const (
	stlType = "model/stl" // IANA, as registered
	mfType  = "model/3mf"

	htmlType = "text/html; charset=utf-8"
	mdType   = "text/markdown; charset=utf-8"
	csvType  = "text/csv; charset=utf-8"
	pdfType  = "application/pdf"
	lookType = "image/svg+xml"
)

func (s *Server) routeMake(api huma.API) {
	s.routeShop(api)
	huma.Register(api, operation("prints", http.MethodGet, "/api/rigs/{id}/shop/prints", "Helpers to print for a rig: the options are those of the command"), s.prints)
	file := operation("print", http.MethodGet, "/api/rigs/{id}/shop/prints/{name}", "One helper as a file for a printer, in mm")
	file.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: map[string]*huma.MediaType{
		stlType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}, mfType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}},
		lookType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}}}}
	huma.Register(api, file, s.print)
	huma.Register(api, operation("steps", http.MethodGet, "/api/rigs/{id}/shop/steps", "The order of work, with what to check on the way"), s.steps)
	huma.Register(api, operation("strength", http.MethodGet, "/api/rigs/{id}/shop/strength", "What links and rod ends stand, estimates: the options are those of the command"), s.strength)
	paper := operation("steps-on-paper", http.MethodGet, "/api/rigs/{id}/shop/steps/paper", "The order of work as a file, with boxes to tick")
	paper.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: map[string]*huma.MediaType{
		htmlType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}, mdType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}, pdfType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}}}}
	huma.Register(api, paper, s.stepsOnPaper)
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
	Format string `query:"format" enum:"stl,3mf,svg" default:"3mf" doc:"Format of the file; svg is a picture to know it by"`
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
	switch in.Format {
	case "svg":
		return &fileOut{lookType, `inline; filename="` + p.Name + `.svg"`, draw.SVG(p.Picture())}, nil
	case "stl":
		return &fileOut{stlType, `attachment; filename="` + p.Name + `.stl"`, p.STL()}, nil
	}
	return &fileOut{mfType, `attachment; filename="` + p.Name + `.3mf"`, p.ThreeMF()}, nil
}

// StepsIn asks for the order of work.
type StepsIn struct {
	RigID
	InUnits
	Against string `query:"against" maxLength:"20" doc:"Number of the build as it was; the rig's own base when left out"`
}

type stepsOut struct{ Body orders.Work }

func (s *Server) workOf(ctx context.Context, in *StepsIn) (orders.Work, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return orders.Work{}, err
	}
	base, err := s.against(ctx, l, in.Against)
	if err != nil {
		return orders.Work{}, err
	}
	w, err := orders.StepsOf(l.Model, orders.StepOptions{Against: base, Units: s.system(in.InUnits)})
	if err != nil {
		return w, misuse("query", err)
	}
	return w, nil
}

func (s *Server) steps(ctx context.Context, in *StepsIn) (*stepsOut, error) {
	w, err := s.workOf(ctx, in)
	if err != nil {
		return nil, err
	}
	return &stepsOut{w}, nil
}

func (s *Server) stepsOnPaper(ctx context.Context, in *struct {
	StepsIn
	Format string `query:"format" enum:"html,md,pdf" default:"html" doc:"Format of the file"`
	Paper  string `query:"paper" enum:"a4,letter" default:"a4" doc:"Paper of the PDF"`
}) (*fileOut, error) {
	w, err := s.workOf(ctx, &in.StepsIn)
	if err != nil {
		return nil, err
	}
	out := &fileOut{Disposition: `attachment; filename="steps.` + in.Format + `"`}
	switch in.Format {
	case "md":
		out.ContentType, out.Body = mdType, []byte(w.Markdown())
	case "pdf":
		sheet, _ := draw.ParseFormat(in.Paper) // the enum has been checked
		out.ContentType = pdfType
		out.Body, err = w.PDF(sheet, "", "", 0)
	default:
		out.ContentType = htmlType
		out.Body, err = w.HTML()
	}
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return out, nil
}
