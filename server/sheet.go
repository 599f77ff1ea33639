package server

import (
	"context"
	"net/http"
	"regexp"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/sheet"
	"lowslung/store"
)

// Content types of a sheet.
var sheetTypes = map[string]string{"pdf": "application/pdf", "html": "text/html; charset=utf-8", "md": "text/markdown; charset=utf-8", "csv": "text/csv; charset=utf-8"}

// sheetPolicy lets a sheet be shown in a frame of the workbench, with the styles that it brings; it runs nothing and loads nothing.
const sheetPolicy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox"

func (s *Server) routeSheet(api huma.API) {
	op := operation("sheet", http.MethodGet, "/api/rigs/{id}/sheet", "A set-up sheet, or a comparison, as a file: the options are those of the command")
	text := &huma.Schema{Type: huma.TypeString}
	op.Responses = map[string]*huma.Response{"200": {Description: "The sheet, in the format asked for", Content: map[string]*huma.MediaType{
		"application/pdf": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}, "text/html": {Schema: text}, "text/markdown": {Schema: text}, "text/csv": {Schema: text},
	}}}
	huma.Register(api, op, s.sheet)
}

type sheetIn struct {
	RigID
	InUnits
	Format   string `query:"format" enum:"html,pdf,md,csv" doc:"html when left out"`
	Against  string `query:"against" maxLength:"20" doc:"Number of the rig that it is held against; a sheet of one build when left out"`
	Paper    string `query:"paper" enum:"a4,letter" doc:"Of the PDF; a4 when left out"`
	Look     string `query:"look" enum:"light,dark" doc:"Of the HTML; what the reader's system has when left out"`
	Sections string `query:"sections" maxLength:"200" doc:"Which, separated by commas, or all; all when left out, in Markdown those of a post" example:"side,key,setup"`
}

type sheetOut struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Policy      string `header:"Content-Security-Policy"`
	Frame       string `header:"X-Frame-Options"`
	Body        []byte
}

func (s *Server) sheet(ctx context.Context, in *sheetIn) (*sheetOut, error) {
	o := sheet.Options{Units: s.system(in.InUnits)}
	var err error
	if o.Sections, err = sheet.ParseSections(in.Sections); err != nil {
		return nil, misuse("query.sections", err)
	}
	if o.Paper, err = sheet.ParsePaper(in.Paper); err != nil {
		return nil, misuse("query.paper", err)
	}
	format := in.Format
	if format == "" {
		format = "html"
	}
	if o.Sections == nil && format == "md" {
		o.Sections = sheet.ShortSections()
	}
	d, l, b, err := s.forSheet(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	if in.Against == "" {
		if o.Was, err = s.against(ctx, l, ""); err != nil {
			return nil, err
		}
	} else if _, _, o.Against, err = s.forSheet(ctx, in.Against); err != nil {
		return nil, err
	}
	made, err := sheet.Assess(b, o)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	made.Look = in.Look
	text, err := made.Write(format, d.SavedAt.Unix())
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &sheetOut{ContentType: sheetTypes[format], Policy: policy, Frame: "DENY", Body: text,
		Disposition: `inline; filename="` + plainName(d.File) + "." + format + `"`}
	if format == "html" {
		out.Policy, out.Frame = sheetPolicy, "SAMEORIGIN"
	}
	return out, nil
}

// forSheet loads a rig with what a sheet says of where it comes from.
func (s *Server) forSheet(ctx context.Context, id string) (store.Document, *asked, *sheet.Build, error) {
	d, _, _, err := s.open(ctx, id)
	if err != nil {
		return d, nil, nil, s.wrong(ctx, err)
	}
	l, err := s.load(ctx, id)
	if err != nil {
		return d, nil, nil, err
	}
	b := &sheet.Build{Name: l.Model.Name, Date: d.SavedAt.Local().Format(time.DateOnly), Revision: d.Revision, Tree: l.Build.Tree, Model: l.Model}
	if b.Name == "" {
		b.Name = d.File
	}
	for _, f := range l.Build.Files {
		b.Files = append(b.Files, sheet.File{Name: f, Hash: store.HashOf(l.Texts[f]).String()})
	}
	return d, l, b, nil
}

var notPlain = regexp.MustCompile(`[^a-z0-9-]+`)

// plainName is a document's name as any system's files may be called.
func plainName(file string) string {
	file = file[strings.LastIndex(file, "/")+1:]
	if name := strings.Trim(notPlain.ReplaceAllString(strings.ToLower(strings.TrimSuffix(file, ".rig.yaml")), "-"), "-"); name != "" {
		return name
	}
	return "sheet"
}
