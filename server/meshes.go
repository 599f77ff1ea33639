package server

import (
	"bytes"
	"context"
	"encoding/binary"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/solid"
	"lowslung/store"
)

// The meshes of the workshop: brought in one by one as they are dropped on the page, by the names that parts give them.

func (s *Server) routeMeshes(api huma.API) {
	huma.Register(api, operation("list-meshes", http.MethodGet, "/api/meshes", "The STL and 3MF files that the workshop holds, and who reads them"), s.meshes)
	put := operation("bring-mesh", http.MethodPost, "/api/meshes", "Bring in an STL or 3MF file, or another in its place; refused when it is no mesh, too large, or a document that names it would no longer load")
	put.MaxBodyBytes = store.MaxMeshBytes + 1
	put.BodyReadTimeout = time.Minute
	huma.Register(api, put, s.bringMesh)
	huma.Register(api, operation("remove-mesh", http.MethodDelete, "/api/meshes", "Take a mesh out of the workshop that no document names"), s.removeMesh)
}

// Mesh is a mesh of the workshop.
type Mesh struct {
	File  string   `json:"file" doc:"Name in the workshop folder: what a shape says, beside its document"`
	Bytes int      `json:"bytes" doc:"Size of the file"`
	Users []string `json:"users" nullable:"false" doc:"Documents that read it, with what builds on them"`
}

type meshesOut struct {
	Body struct {
		Meshes []Mesh `json:"meshes" nullable:"false" doc:"By name"`
	}
}

func (s *Server) meshes(ctx context.Context, _ *struct{}) (*meshesOut, error) {
	list, err := s.store.Meshes(ctx)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &meshesOut{}
	out.Body.Meshes = []Mesh{}
	for _, m := range list {
		users := m.Users
		if users == nil {
			users = []string{}
		}
		out.Body.Meshes = append(out.Body.Meshes, Mesh{m.File, m.Bytes, users})
	}
	return out, nil
}

type meshOut struct{ Body Imported }

func (s *Server) bringMesh(ctx context.Context, in *struct {
	File    string `query:"file" required:"true" maxLength:"200" doc:"Name in the workshop folder, ending in .stl or .3mf" example:"skid.stl"`
	RawBody []byte `contentType:"application/octet-stream"`
}) (*meshOut, error) {
	list, err := s.store.Import(ctx, []store.Text{{Name: in.File, Body: in.RawBody}}, "imported")
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &meshOut{Imported{File: list[0].Name, Result: list[0].Result, Why: list[0].Why}}, nil
}

func (s *Server) removeMesh(ctx context.Context, in *struct {
	File string `query:"file" required:"true" maxLength:"200" doc:"Name in the workshop folder"`
}) (*struct{}, error) {
	return nil, s.wrong(ctx, s.store.RemoveMesh(ctx, in.File))
}

// mostDrawn is how many triangles of one mesh the stage is given: a part is recognised by fewer, and the picture stays quick.
const mostDrawn = 12_000

// trianglesOf are a mesh's triangles for drawing: 9 little-endian float32 each, mm.
func trianglesOf(m *solid.Mesh) []byte {
	var b bytes.Buffer
	for _, t := range m.Drawn(mostDrawn) {
		for _, p := range t {
			_ = binary.Write(&b, binary.LittleEndian, [3]float32{float32(p.X), float32(p.Y), float32(p.Z)}) // to memory
		}
	}
	return b.Bytes()
}
