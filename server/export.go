package server

import (
	"context"
	"net/http"
	"path"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/export"
)

// The rig for general tools.

func (s *Server) routeExportRig(api huma.API) {
	huma.Register(api, operation("export-formats", http.MethodGet, "/api/rigs/{id}/export", "Formats that the rig can be written in, and what of it each does not hold"), s.exportFormats)
	file := operation("export-rig", http.MethodGet, "/api/rigs/{id}/export/{format}", "The rig as a file for another tool")
	content := map[string]*huma.MediaType{}
	for _, f := range export.Formats {
		content[f.Type] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	}
	file.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: content}}
	huma.Register(api, file, s.exportRig)
}

// ExportFormat is a format with what it leaves out of this rig.
type ExportFormat struct {
	export.File
	Left []string `json:"left" nullable:"false" doc:"What of this rig such a file does not hold"`
}

type exportFormatsOut struct {
	Body struct {
		Formats []ExportFormat `json:"formats" nullable:"false" doc:"Formats"`
	}
}

func (s *Server) exportFormats(ctx context.Context, in *RigID) (*exportFormatsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &exportFormatsOut{}
	for _, f := range export.Formats {
		_, left, err := export.Write(f, l.Build, l.Model)
		if err != nil {
			return nil, s.wrong(ctx, err)
		}
		if left == nil {
			left = []string{}
		}
		out.Body.Formats = append(out.Body.Formats, ExportFormat{f, left})
	}
	return out, nil
}

func (s *Server) exportRig(ctx context.Context, in *struct {
	RigID
	Format string `path:"format" enum:"glb,mjcf,csv,json" doc:"Format"`
}) (*fileOut, error) {
	f, err := export.FormatNamed(in.Format)
	if err != nil {
		return nil, misuse("path.format", err)
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	data, _, err := export.Write(f, l.Build, l.Model)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &fileOut{f.Type, `attachment; filename="` + downloadName(l.Build.File) + f.Ending + `"`, data}, nil
}

// downloadName is a document's file name without folder and ending, of letters that every system and header takes.
func downloadName(file string) string {
	name, _, _ := strings.Cut(path.Base(file), ".")
	name = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, name)
	if strings.Trim(name, "-") == "" {
		return "rig"
	}
	return name
}
