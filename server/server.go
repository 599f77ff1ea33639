package server

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"path"
	"path/filepath"
	"reflect"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
	"github.com/klauspost/compress/gzhttp"
	"github.com/klauspost/compress/gzip"

	"lowslung/quantity"
	"lowslung/runs"
	"lowslung/store"
)

// Options of a server.
type Options struct {
	Store *store.Store
	Page  fs.FS           // built workbench, index.html at its root
	Units quantity.System // of answers that do not ask for units
	Log   *slog.Logger

	Searches *runs.Address // database that searches are kept in, to be shared with workers; nil for a file beside the workshop's
	Leave    bool          // searches are left to the workers
}

// A Server answers for one workshop.
type Server struct {
	store    *store.Store
	units    quantity.System
	log      *slog.Logger
	answers  *answers
	hub      *hub
	jobs     *jobs
	runs     *runs.Book
	mux      *http.ServeMux
	climbing chan struct{} // held by the one request that looks for the largest that is cleared
}

// New makes a server.
func New(o Options) (*Server, error) {
	s := &Server{store: o.Store, units: o.Units, log: o.Log, answers: &answers{kept: map[string]*asked{}}, hub: newHub(), jobs: &jobs{}, mux: http.NewServeMux(), climbing: make(chan struct{}, 1)}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	book := runs.Setup{Path: filepath.Join(filepath.Dir(o.Store.Path()), runs.File), Work: runs.Seek(0), Log: s.log, Tell: func(r runs.Run) { s.hub.tell("search", r) }}
	if o.Searches != nil {
		name, err := runs.WorkshopName(filepath.Dir(o.Store.Path()))
		if err != nil {
			return nil, err
		}
		book.Database, book.Workshop = o.Searches, name
		if o.Leave {
			book.Work = nil
		}
	}
	s.runs = runs.New(book)
	page, err := newPage(o.Page)
	if err != nil {
		return nil, err
	}
	s.mux.Handle("/", page)
	s.routes()
	return s, nil
}

// Wake takes searches of earlier up; an error when the place they are kept in cannot be used.
func (s *Server) Wake(ctx context.Context) error { return s.runs.Wake(ctx) }

// Handler answers requests made under one of the names.
func (s *Server) Handler(names Names) (http.Handler, error) {
	// Answers travel over loopback most of the time: the fastest level. The page brings its own, made once.
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(4096), gzhttp.CompressionLevel(gzip.BestSpeed),
		gzhttp.ContentTypeFilter(func(kind string) bool { return kind != zipType }))
	if err != nil {
		return nil, err
	}
	small := compress(s.mux)
	return s.logged(s.guarded(names, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == eventsPath || !isAPI(r.URL.Path) { // each event must leave at once
			s.mux.ServeHTTP(w, r)
			return
		}
		small.ServeHTTP(w, r)
	}))), nil
}

func (s *Server) routes() huma.API {
	api := humago.New(s.mux, configuration())
	for _, route := range []func(huma.API){s.routeRigs, s.routeEdit, s.routeHistory, s.routeParts, s.routeBins, s.routeItems, s.routeImport, s.routeQuestions, s.routeSheet, s.routeMake, s.routeBench, s.routeExportRig, s.routeWeigh, s.routeMeshes, s.routeLengths, s.routeStage, s.routeGuide,
		s.routeWorkshop, s.routeSearches, s.routeEvents} {
		route(api)
	}
	tidy(api.OpenAPI())
	// What is under /api and nothing above is a mistake of the caller's, not a place of the page.
	s.mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, "Not there", "found nothing at this address; /openapi.json lists what there is")
	})
	return api
}

// OpenAPI is the description of the API (OpenAPI 3.1), from which the page's types are made.
func OpenAPI() ([]byte, error) {
	s := &Server{mux: http.NewServeMux()}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(s.routes().OpenAPI())
	return b.Bytes(), err
}

func configuration() huma.Config {
	c := huma.DefaultConfig("lowslung", "1")
	c.Info.Description = "The workbench's API. Lengths are mm, angles degrees, forces N unless a key says otherwise; frames follow ISO 8855."
	c.DocsPath, c.SchemasPath, c.CreateHooks = "", "", nil
	c.Components.Schemas = huma.NewMapRegistry("#/components/schemas/", named)
	c.Transformers = []huma.Transformer{ours}
	c.Formats = map[string]huma.Format{"application/json": jsonFormat, "json": jsonFormat}
	return c
}

var jsonFormat = huma.Format{Marshal: encode, Unmarshal: json.Unmarshal}

func encode(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// named gives each type a name of its own: those of the questions carry their word, since each has an Answer.
func named(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if pkg := path.Base(t.PkgPath()); strings.HasPrefix(t.PkgPath(), "lowslung/") && pkg != "server" && !strings.EqualFold(pkg, name) {
		name = strings.ToUpper(pkg[:1]) + pkg[1:] + name
	}
	return name
}

func operation(id, method, path, summary string) huma.Operation {
	return huma.Operation{OperationID: id, Method: method, Path: path, Summary: summary, MaxBodyBytes: maxDocumentBytes, BodyReadTimeout: 20 * time.Second}
}

// tidy describes errors as what they are here, Problems.
func tidy(o *huma.OpenAPI) {
	problem := o.Components.Schemas.Schema(reflect.TypeFor[Problem](), true, "Problem")
	for _, item := range o.Paths {
		for _, op := range []*huma.Operation{item.Get, item.Put, item.Post, item.Delete} {
			if op != nil {
				op.Responses["default"] = &huma.Response{Description: "What went wrong", Content: map[string]*huma.MediaType{problemType: {Schema: problem}}}
			}
		}
	}
	delete(o.Components.Schemas.Map(), "ErrorModel")
	delete(o.Components.Schemas.Map(), "ErrorDetail")
}
