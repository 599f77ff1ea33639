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

// Drawings of the shop: the cut list and the templates, as answers, as pictures for the page, and as files.

const (
	svgType = "image/svg+xml"
	dxfType = "image/vnd.dxf" // IANA
)

func (s *Server) routeShop(api huma.API) {
	file := func(id, path, summary string, types ...string) huma.Operation {
		op := operation(id, http.MethodGet, path, summary)
		content := map[string]*huma.MediaType{}
		for _, t := range types {
			content[t] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
		}
		op.Responses = map[string]*huma.Response{"200": {Description: "The file", Content: content}}
		return op
	}
	huma.Register(api, operation("cut", http.MethodGet, "/api/rigs/{id}/shop/cut", "The cut list of the links"), s.cut)
	huma.Register(api, file("cut-paper", "/api/rigs/{id}/shop/cut/paper", "The cut list with its drawings: PDF, or SVG or DXF in a ZIP", pdfType, zipType), s.cutPaper)
	huma.Register(api, file("cut-page", "/api/rigs/{id}/shop/cut/pages/{page}", "One page of the cut list as a picture", svgType), s.cutPage)
	huma.Register(api, operation("templates", http.MethodGet, "/api/rigs/{id}/shop/templates", "Templates at true size: the options are those of the command"), s.templates)
	huma.Register(api, file("templates-paper", "/api/rigs/{id}/shop/templates/paper", "The templates: PDF, or SVG or DXF in a ZIP", pdfType, zipType), s.templatesPaper)
	huma.Register(api, file("template", "/api/rigs/{id}/shop/templates/{name}", "One template by itself, at true size, in mm", svgType, dxfType), s.template)
}

// InPaper are the options of everything that goes on paper.
type InPaper struct {
	InUnits
	Paper string `query:"paper" enum:"a4,letter" default:"a4" doc:"Paper"`
}

// InFiles are those of a file.
type InFiles struct {
	Format string `query:"format" enum:"pdf,svg,dxf" default:"pdf" doc:"Format: pdf is one file, svg and dxf are files in a ZIP"`
}

// InTemplates are the options of the templates.
type InTemplates struct {
	Part  []string `query:"part,explode" maxItems:"200" doc:"Only templates of these parts or links; all when left out"`
	Twins string   `query:"twins" enum:"once,both" default:"once" doc:"Mirror twins once, to be turned over, or both"`
}

// paper finds the rig and says what its drawings say of it.
func (s *Server) paper(ctx context.Context, id RigID, in *InPaper) (*asked, orders.Paper, error) {
	f, err := draw.ParseFormat(in.Paper)
	if err != nil {
		return nil, orders.Paper{}, misuse("query.paper", err)
	}
	d, a, bad, err := s.open(ctx, id.ID)
	if err == nil && len(bad) > 0 {
		err = mistakes(bad, "the saved text does not load with this version of the program. It is kept as it is; change it where the mistakes are")
	}
	if err != nil {
		return nil, orders.Paper{}, s.wrong(ctx, err)
	}
	return a, orders.Paper{
		Format: f, Units: s.system(in.InUnits), Document: a.Model.Name, Hash: d.Hash.String()[:12], Date: d.SavedAt.UTC().Format("2006-01-02"), Unix: d.SavedAt.Unix(),
	}, nil
}

type cutOut struct{ Body orders.Cut }

func (s *Server) cut(ctx context.Context, in *struct{ RigID }) (*cutOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	return &cutOut{orders.CutOf(l.Build, l.Model)}, nil
}

func (s *Server) cutPaper(ctx context.Context, in *struct {
	RigID
	InPaper
	InFiles
}) (*fileOut, error) {
	l, p, err := s.paper(ctx, in.RigID, &in.InPaper)
	if err != nil {
		return nil, err
	}
	c := orders.CutOf(l.Build, l.Model)
	files, err := c.Files(in.Format, p)
	return bundle("cut", files, err)
}

func (s *Server) cutPage(ctx context.Context, in *struct {
	RigID
	InPaper
	Page int `path:"page" minimum:"1" maximum:"2000" doc:"Number of the page, from 1"`
}) (*pageOut, error) {
	l, p, err := s.paper(ctx, in.RigID, &in.InPaper)
	if err != nil {
		return nil, err
	}
	c := orders.CutOf(l.Build, l.Model)
	pages := c.Document(p).Pages
	if in.Page > len(pages) {
		return nil, misuse("path.page", fmt.Errorf("found page %d, expected 1 to %d", in.Page, len(pages)))
	}
	return &pageOut{svgType, fmt.Sprintf(`inline; filename="cut-%d.svg"`, in.Page), len(pages), draw.SVG(pages[in.Page-1])}, nil
}

// A pageOut is one page, and of how many.
type pageOut struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Pages       int    `header:"X-Pages" doc:"How many pages there are"`
	Body        []byte
}

// bundle is one file as it is, several in a ZIP.
func bundle(name string, files []orders.File, err error) (*fileOut, error) {
	if err != nil {
		return nil, misuse("query", err)
	}
	if len(files) == 1 && files[0].Name == name+".pdf" {
		return &fileOut{pdfType, `attachment; filename="` + name + `.pdf"`, files[0].Data}, nil
	}
	z, err := orders.Zip(files)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &fileOut{zipType, `attachment; filename="` + name + `.zip"`, z}, nil
}

type templatesOut struct{ Body orders.Templates }

func (s *Server) templatesOf(l *asked, in *InTemplates) (orders.Templates, error) {
	o, err := orders.ParseTemplateOptions(in.Part, in.Twins)
	if err != nil {
		return orders.Templates{}, misuse("query", err)
	}
	t, err := orders.TemplatesOf(l.Build, l.Model, o)
	if err != nil {
		return t, misuse("query.part", err)
	}
	return t, nil
}

func (s *Server) templates(ctx context.Context, in *struct {
	RigID
	InTemplates
}) (*templatesOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	t, err := s.templatesOf(l, &in.InTemplates)
	if err != nil {
		return nil, err
	}
	return &templatesOut{t}, nil
}

func (s *Server) templatesPaper(ctx context.Context, in *struct {
	RigID
	InPaper
	InFiles
	InTemplates
}) (*fileOut, error) {
	l, p, err := s.paper(ctx, in.RigID, &in.InPaper)
	if err != nil {
		return nil, err
	}
	t, err := s.templatesOf(l, &in.InTemplates)
	if err != nil {
		return nil, err
	}
	files, err := t.Files(in.Format, p)
	return bundle("templates", files, err)
}

func (s *Server) template(ctx context.Context, in *struct {
	RigID
	InUnits
	InTemplates
	Name   string `path:"name" maxLength:"120" doc:"Name of the template, as the list has it"`
	Format string `query:"format" enum:"svg,dxf" default:"svg" doc:"Format of the file"`
}) (*fileOut, error) {
	l, p, err := s.paper(ctx, in.RigID, &InPaper{InUnits: in.InUnits, Paper: "a4"})
	if err != nil {
		return nil, err
	}
	t, err := s.templatesOf(l, &in.InTemplates)
	if err != nil {
		return nil, err
	}
	k := slices.IndexFunc(t.Templates, func(x orders.Template) bool { return x.Name == in.Name })
	if k < 0 {
		return nil, misuse("path.name", fmt.Errorf("found %q, expected a name from the list of this rig's templates", in.Name))
	}
	d := t.Templates[k].Drawing(&p, true)
	if in.Format == "dxf" {
		return &fileOut{dxfType, `attachment; filename="` + in.Name + `.dxf"`, draw.DXF(d)}, nil
	}
	return &fileOut{svgType, `inline; filename="` + in.Name + `.svg"`, draw.SVG(d)}, nil
}
