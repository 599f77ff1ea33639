package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/runs"
	"lowslung/search"
	"lowslung/store"
)

// Searches take longer than a request should: each is a run of package runs, which the page begins, watches, stops and takes up again.

func (s *Server) routeSearches(api huma.API) {
	begin := operation("begin-search", http.MethodPost, "/api/rigs/{id}/searches", "Search from this rig as it is saved now: begins a run, whose progress is asked for or comes as events")
	begin.DefaultStatus = http.StatusAccepted
	huma.Register(api, begin, s.beginSearch)
	huma.Register(api, operation("searches", http.MethodGet, "/api/rigs/{id}/searches", "The searches of a rig, newest first"), s.searches)
	huma.Register(api, operation("search-section", http.MethodGet, "/api/rigs/{id}/search", "What the rig's search section says, what it could say, and how many combinations it makes, without going through any"), s.searchSection)
	huma.Register(api, operation("search-run", http.MethodGet, "/api/searches/{run}", "How far a search is"), s.searchRun)
	huma.Register(api, operation("search", http.MethodGet, "/api/searches/{run}/answer", "What a search found, once it is done"), s.searchAnswer)
	huma.Register(api, operation("stop-search", http.MethodPost, "/api/searches/{run}/stop", "Stop a search; it can be continued"), s.stopSearch)
	huma.Register(api, operation("continue-search", http.MethodPost, "/api/searches/{run}/continue", "Take up a search that was stopped from where it was"), s.continueSearch)
	huma.Register(api, operation("delete-search", http.MethodDelete, "/api/searches/{run}", "Forget a search that does not go on"), s.deleteSearch)
	huma.Register(api, operation("search-build-stage", http.MethodGet, "/api/searches/{run}/builds/{build}/stage", "Everything to draw a build that a search found with"), s.buildStage)
	huma.Register(api, operation("search-build-bands", http.MethodGet, "/api/searches/{run}/builds/{build}/bands", "How far the numbers of a build that a search found spread"), s.buildBands)
	huma.Register(api, operation("search-build-order", http.MethodGet, "/api/searches/{run}/builds/{build}/order", "What to buy for a build that a search found, against the rig searched from"), s.buildOrder)
}

// RunID is the path parameter of everything about one search.
type RunID struct {
	Run string `path:"run" maxLength:"20" doc:"Number of the search"`
}

// BuildID names a build that a search found.
type BuildID struct {
	RunID
	Build int `path:"build" minimum:"0" maximum:"100000" doc:"Its place in the answer's builds, from 0"`
}

type runOut struct{ Body runs.Run }

// runsWrong turns errors of a book of runs into Problems.
func (s *Server) runsWrong(ctx context.Context, err error) error {
	var e *runs.Error
	if !errors.As(err, &e) {
		return s.wrong(ctx, err)
	}
	p := &Problem{Title: titles[store.NotFound], Status: http.StatusNotFound, Code: string(store.NotFound), Detail: e.Text}
	switch e.Code {
	case runs.Refused:
		p.Title, p.Status, p.Code = "Not now", http.StatusConflict, string(e.Code)
	case runs.Away:
		p.Title, p.Status, p.Code = "Searches are away", http.StatusServiceUnavailable, string(e.Code)
	}
	return p
}

func given(r runs.Run, err error, s *Server, ctx context.Context) (*runOut, error) {
	if err != nil {
		return nil, s.runsWrong(ctx, err)
	}
	return &runOut{r}, nil
}

type beginIn struct {
	RigID
	InUnits
	Body struct {
		Builds int     `json:"builds,omitempty" minimum:"0" maximum:"100" doc:"Builds of the front that are worked out in full; 10 when left out"`
		Most   float64 `json:"most,omitempty" minimum:"0" maximum:"1e15" doc:"Largest number of combinations to go through; what the document says when left out"`
	}
}

func (s *Server) beginSearch(ctx context.Context, in *beginIn) (*runOut, error) {
	d, l, bad, err := s.open(ctx, in.ID)
	if err == nil && len(bad) > 0 {
		err = mistakes(bad, "the saved text does not load, so nothing can be searched from it")
	}
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	if err := searchable(l.Build, in.Body.Most); err != nil {
		return nil, s.wrong(ctx, err)
	}
	w := runs.Wish{Rig: d.ID, File: d.File, Name: l.Model.Name, Revision: d.Revision, Texts: map[string]string{},
		Options: runs.Options{Builds: in.Body.Builds, Most: in.Body.Most, Units: [...]string{quantity.Metric: "metric", quantity.US: "us"}[s.system(in.InUnits)]}}
	for file, text := range l.Texts {
		w.Texts[file] = string(text)
	}
	r, err := s.runs.Begin(ctx, w)
	return given(r, err, s, ctx)
}

// searchable says at once what a run would fail for at its beginning.
func searchable(b *rig.Build, most float64) error {
	if b.Doc.Search == nil {
		return &Problem{Title: "Nothing to search", Status: http.StatusUnprocessableEntity, Code: "no-search",
			Detail: "found no search section in the document, expected search: with what may vary. Nothing was begun; say what may change first"}
	}
	size, err := search.Size(b)
	var d rig.Diagnostics
	switch {
	case errors.As(err, &d):
		return mistakes(d, "found mistakes in the search section. Nothing was begun")
	case err != nil:
		return misuse("body", err)
	case most > 0 && float64(size) > most:
		return misuse("body.most", fmt.Errorf("found %d combinations, expected at most %.0f", size, most))
	}
	return nil
}

func (s *Server) searches(ctx context.Context, in *RigID) (*struct {
	Body struct {
		Searches []runs.Run `json:"searches" nullable:"false" doc:"Newest first"`
	}
}, error) {
	out := &struct {
		Body struct {
			Searches []runs.Run `json:"searches" nullable:"false" doc:"Newest first"`
		}
	}{}
	n, err := number(in.ID)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	if out.Body.Searches, err = s.runs.List(ctx, n); err != nil {
		return nil, s.runsWrong(ctx, err)
	}
	return out, nil
}

func (s *Server) searchRun(ctx context.Context, in *RunID) (*runOut, error) {
	r, err := s.runs.Get(ctx, in.Run)
	return given(r, err, s, ctx)
}

func (s *Server) stopSearch(ctx context.Context, in *RunID) (*runOut, error) {
	r, err := s.runs.Stop(ctx, in.Run)
	return given(r, err, s, ctx)
}

func (s *Server) continueSearch(ctx context.Context, in *RunID) (*runOut, error) {
	r, err := s.runs.Continue(ctx, in.Run)
	return given(r, err, s, ctx)
}

func (s *Server) deleteSearch(ctx context.Context, in *RunID) (*struct{}, error) {
	return nil, s.runsWrong(ctx, s.runs.Delete(ctx, in.Run))
}

type searchOut struct{ Body search.Answer }

func (s *Server) searchAnswer(ctx context.Context, in *RunID) (*searchOut, error) {
	a, err := s.found(ctx, in.Run)
	if err != nil {
		return nil, err
	}
	return &searchOut{*a}, nil
}

// found is the answer of a run that is done.
func (s *Server) found(ctx context.Context, run string) (*search.Answer, error) {
	text, err := s.runs.Answer(ctx, run)
	if err != nil {
		return nil, s.runsWrong(ctx, err)
	}
	a := new(search.Answer)
	return a, s.wrong(ctx, json.Unmarshal(text, a))
}
