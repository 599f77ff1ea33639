package server

import (
	"bytes"
	"context"
	"net/http"
	"path/filepath"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/quantity"
	"lowslung/store"
)

func (s *Server) routeWorkshop(api huma.API) {
	huma.Register(api, operation("workshop", http.MethodGet, "/api/workshop", "What the page needs to know of the program that serves it"), s.workshop)
	export := operation("export", http.MethodGet, "/api/workshop/export", "Documents with their bases and bins as a zip")
	export.Responses = map[string]*huma.Response{"200": {Description: "The zip", Content: map[string]*huma.MediaType{
		zipType: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}}}}
	huma.Register(api, export, s.export)
	imp := operation("import", http.MethodPost, "/api/workshop/import", "Bring in the documents of a zip: all of them or, when one has mistakes, none")
	imp.MaxBodyBytes = store.MaxZipBytes
	imp.BodyReadTimeout = time.Minute
	huma.Register(api, imp, s.importZip)
}

const zipType = "application/zip"

type workshopOut struct {
	Body struct {
		Units  string `json:"units" enum:"metric,us" doc:"Units that the program was started with"`
		Folder string `json:"folder" doc:"Folder that holds the workshop"`
	}
}

func (s *Server) workshop(context.Context, *struct{}) (*workshopOut, error) {
	out := &workshopOut{}
	out.Body.Units, out.Body.Folder = "metric", filepath.Dir(s.store.Path())
	if s.units == quantity.US {
		out.Body.Units = "us"
	}
	return out, nil
}

type exportOut struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *Server) export(ctx context.Context, in *struct {
	Rig []string `query:"rig,explode" maxItems:"1000" doc:"Numbers of rigs to export with their bases and bins; everything when left out"`
}) (*exportOut, error) {
	var files []string
	for _, id := range in.Rig {
		n, err := number(id)
		if err != nil {
			return nil, s.wrong(ctx, err)
		}
		d, err := s.store.Document(ctx, n)
		if err != nil {
			return nil, s.wrong(ctx, err)
		}
		files = append(files, d.File)
	}
	texts, err := s.store.Export(ctx, files...)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	var b bytes.Buffer
	if err := store.WriteZip(&b, texts); err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &exportOut{zipType, `attachment; filename="workshop.zip"`, b.Bytes()}, nil
}

// Imported is what became of one file of an import.
type Imported struct {
	File   string `json:"file" doc:"Name in the zip and in the workshop folder"`
	Rig    string `json:"rig,omitempty" doc:"Number of the rig, when it is one"`
	Result string `json:"result" enum:"added,changed,same,left out" doc:"added, changed (a new revision), same (nothing to do), or left out (no document)"`
	Why    string `json:"why,omitempty" doc:"Why it was left out"`
}

type importOut struct {
	Body struct {
		Files []Imported `json:"files" nullable:"false" doc:"Every file of the zip"`
	}
}

func (s *Server) importZip(ctx context.Context, in *struct {
	RawBody []byte `contentType:"application/zip"`
}) (*importOut, error) {
	texts, err := store.ReadZip(in.RawBody)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	list, err := s.store.Import(ctx, texts, "imported")
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &importOut{}
	out.Body.Files = []Imported{}
	for _, o := range list {
		f := Imported{File: o.Name, Result: o.Result, Why: o.Why}
		if kind, _ := store.KindOf(o.Name); kind == store.Rig && o.ID != 0 {
			f.Rig = strconv.FormatInt(o.ID, 10)
		}
		out.Body.Files = append(out.Body.Files, f)
	}
	return out, nil
}
