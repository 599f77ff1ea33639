package server

import (
	"context"
	"fmt"
	"net/http"
	"path"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/bench"
)

func (s *Server) routeBench(api huma.API) {
	huma.Register(api, operation("bench", http.MethodGet, "/api/rigs/{id}/bench", "The readings of the document against what the model predicts: what agrees, what is most probably off, what to measure next"), s.bench)
	huma.Register(api, operation("bench-sheet", http.MethodGet, "/api/rigs/{id}/bench/sheet", "What to measure on this rig, in the order of the work"), s.benchSheet)
	paper := operation("bench-sheet-on-paper", http.MethodGet, "/api/rigs/{id}/bench/sheet/paper", "The bench sheet as a file: PDF to write on, Markdown, or a CSV table to fill in")
	content := map[string]*huma.MediaType{}
	for _, t := range []string{pdfType, mdType, csvType} {
		content[t] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	}
	paper.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: content}}
	huma.Register(api, paper, s.benchSheetOnPaper)
}

type benchOut struct{ Body bench.Answer }

func (s *Server) bench(ctx context.Context, in *struct {
	RigID
	InUnits
}) (*benchOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := bench.Assess(l.Model, bench.Options{Base: path.Base(l.Build.File), Units: s.system(in.InUnits)})
	if err != nil {
		return nil, misuse("path.id", err)
	}
	return &benchOut{a}, nil
}

type benchSheetOut struct{ Body bench.Sheet }

func (s *Server) benchSheet(ctx context.Context, in *struct {
	RigID
	InUnits
}) (*benchSheetOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	return &benchSheetOut{bench.SheetOf(l.Model, s.system(in.InUnits))}, nil
}

func (s *Server) benchSheetOnPaper(ctx context.Context, in *struct {
	RigID
	InPaper
	Format string `query:"format" enum:"pdf,md,csv" default:"pdf" doc:"Format of the file"`
}) (*fileOut, error) {
	l, on, err := s.paper(ctx, in.RigID, &in.InPaper)
	if err != nil {
		return nil, err
	}
	sheet := bench.SheetOf(l.Model, on.Units)
	out := &fileOut{Disposition: fmt.Sprintf(`attachment; filename="bench.%s"`, in.Format)}
	switch in.Format {
	case "md":
		out.ContentType, out.Body = mdType, []byte(sheet.Markdown())
	case "csv":
		out.ContentType, out.Body = csvType, sheet.CSV()
	default:
		out.ContentType = pdfType
		if out.Body, err = sheet.PDF(bench.Paper{Format: on.Format, Hash: on.Hash, Date: on.Date, Unix: on.Unix}); err != nil {
			return nil, s.wrong(ctx, err)
		}
	}
	return out, nil
}
