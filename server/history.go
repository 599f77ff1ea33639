package server

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/store"
)

// Revision is one saved state of a rig.
type Revision struct {
	Number  int       `json:"number" doc:"Counts up from 1"`
	SavedAt time.Time `json:"saved_at" doc:"When it was saved, UTC"`
	Why     string    `json:"why" doc:"What it was saved for"`
	Hash    string    `json:"hash" doc:"SHA-256 of its text"`
	Current bool      `json:"current" doc:"It is the present one"`
}

// RevisionText is a revision with its text.
type RevisionText struct {
	Revision
	Text string `json:"text" doc:"The document as it was"`
}

func (s *Server) routeHistory(api huma.API) {
	huma.Register(api, operation("undo", http.MethodPost, "/api/rigs/{id}/undo", "Go back one step: writes a new revision with the earlier text"), s.undo)
	huma.Register(api, operation("redo", http.MethodPost, "/api/rigs/{id}/redo", "Take back one undo"), s.redo)
	huma.Register(api, operation("list-revisions", http.MethodGet, "/api/rigs/{id}/revisions", "Every revision, the newest first"), s.revisions)
	huma.Register(api, operation("get-revision", http.MethodGet, "/api/rigs/{id}/revisions/{number}", "One revision with its text"), s.revision)
}

type stepIn struct {
	RigID
	FromVersion
}

func (s *Server) undo(ctx context.Context, in *stepIn) (*rigOut, error) {
	return s.changed(ctx, in.RigID, in.FromVersion, func(id int64, from store.Version) (store.Document, error) { return s.store.Undo(ctx, id, from) })
}

func (s *Server) redo(ctx context.Context, in *stepIn) (*rigOut, error) {
	return s.changed(ctx, in.RigID, in.FromVersion, func(id int64, from store.Version) (store.Document, error) { return s.store.Redo(ctx, id, from) })
}

type revisionsOut struct {
	Body struct {
		Revisions []Revision `json:"revisions" nullable:"false" doc:"The newest first"`
	}
}

func (s *Server) revisions(ctx context.Context, in *RigID) (*revisionsOut, error) {
	out := &revisionsOut{}
	out.Body.Revisions = []Revision{}
	n, err := number(in.ID)
	if err == nil {
		err = s.store.Look(ctx, func(v store.Snapshot) error {
			list, err := v.Revisions(n)
			for _, r := range list {
				out.Body.Revisions = append(out.Body.Revisions, revisionOf(r))
			}
			return err
		})
	}
	return out, s.wrong(ctx, err)
}

func revisionOf(r store.Revision) Revision {
	return Revision{Number: r.Number, SavedAt: r.SavedAt, Why: r.Why, Hash: r.Hash.String(), Current: r.Current}
}

type revisionOut struct{ Body RevisionText }

func (s *Server) revision(ctx context.Context, in *struct {
	RigID
	Number int `path:"number" minimum:"1" doc:"Number of the revision"`
}) (*revisionOut, error) {
	var r store.Revision
	n, err := number(in.ID)
	if err == nil {
		err = s.store.Look(ctx, func(v store.Snapshot) error { r, err = v.Revision(n, in.Number); return err })
	}
	return &revisionOut{RevisionText{revisionOf(r), string(r.Text)}}, s.wrong(ctx, err)
}
