package server

import (
	"context"
	"errors"
	"log/slog"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/rig"
	"lowslung/store"
)

// A Problem is what went wrong, as RFC 9457 has it, with what this program adds.
type Problem struct {
	Title    string    `json:"title" doc:"Short name of the kind of problem"`
	Status   int       `json:"status" doc:"HTTP status"`
	Detail   string    `json:"detail" doc:"What was found, what was kept, what to do"`
	Code     string    `json:"code,omitempty" doc:"Stable code of the problem: conflict, mistakes, disk-full, …"`
	Revision int       `json:"revision,omitempty" doc:"Of a conflict: the revision that is saved now"`
	Hash     string    `json:"hash,omitempty" doc:"Of a conflict: the hash of the text that is saved now"`
	Errors   []Mistake `json:"errors,omitempty" doc:"Each mistake, when there are several or they have a place"`
}

// A Mistake is one thing wrong with a request or a text.
type Mistake struct {
	Message  string `json:"message" doc:"What was found and what was expected"`
	Location string `json:"location,omitempty" doc:"Where in the request: body.text, query.heave"`
	File     string `json:"file,omitempty" doc:"Of a mistake in a text: the document"`
	Line     int    `json:"line,omitempty" doc:"Counts from 1"`
	Column   int    `json:"column,omitempty" doc:"Counts from 1, in characters"`
	Path     string `json:"path,omitempty" doc:"Where in the document: chassis/parts/belly/mass"`
	Code     string `json:"code,omitempty" doc:"Stable code of the mistake"`
}

func (p *Problem) Error() string             { return p.Detail }
func (p *Problem) GetStatus() int            { return p.Status }
func (p *Problem) ContentType(string) string { return problemType }

const problemType = "application/problem+json"

// statuses is the one place where codes of the store become HTTP statuses.
var statuses = map[store.Code]int{
	store.NotFound:    http.StatusNotFound,
	store.Exists:      http.StatusConflict,
	store.InUse:       http.StatusConflict,
	store.NothingLeft: http.StatusConflict,
	store.Conflict:    http.StatusPreconditionFailed,
	store.Mistakes:    http.StatusUnprocessableEntity,
	store.BadName:     http.StatusUnprocessableEntity,
	store.BadFile:     http.StatusUnprocessableEntity,
	store.TooLarge:    http.StatusRequestEntityTooLarge,
	store.Busy:        http.StatusServiceUnavailable,
	store.DiskFull:    http.StatusInsufficientStorage,
	store.ReadOnly:    http.StatusServiceUnavailable,
}

var titles = map[store.Code]string{
	store.NotFound:    "Not there",
	store.Exists:      "There already",
	store.InUse:       "In use",
	store.NothingLeft: "Nothing left to do",
	store.Conflict:    "Saved by someone else in between",
	store.Mistakes:    "Mistakes in the text",
	store.BadName:     "Unusable file name",
	store.BadFile:     "Unusable file",
	store.TooLarge:    "Too large",
	store.Busy:        "Workshop busy",
	store.DiskFull:    "Disk full",
	store.ReadOnly:    "Read-only",
}

// wrong turns any error of a handler into a Problem. What is the program's or the disk's fault is logged with its cause.
func (s *Server) wrong(ctx context.Context, err error) error {
	var p *Problem
	if err == nil || errors.As(err, &p) {
		return err
	}
	var d rig.Diagnostics
	if errors.As(err, &d) && store.CodeOf(err) == "" {
		return mistakes(d, "found mistakes in the text")
	}
	var e *store.Error
	if !errors.As(err, &e) {
		if ctx.Err() != nil {
			return &Problem{Title: "Given up", Status: 499, Detail: "the request was given up"}
		}
		s.log.ErrorContext(ctx, "a request failed", slog.Any("cause", err))
		return &Problem{Title: "Unexpected error", Status: http.StatusInternalServerError, Code: string(store.Unexpected),
			Detail: "the program met an error that it did not expect. Nothing was saved by this request; its log says more"}
	}
	status, known := statuses[e.Code]
	if !known {
		status = http.StatusInternalServerError
	}
	if status >= http.StatusInternalServerError {
		s.log.ErrorContext(ctx, "the workshop failed", slog.String("code", string(e.Code)), slog.String("said", e.Text), slog.Any("cause", e.Cause))
	}
	p = &Problem{Title: titles[e.Code], Status: status, Detail: e.Text, Code: string(e.Code)}
	if p.Title == "" {
		p.Title = "Workshop unusable"
	}
	if e.Present != nil {
		p.Revision, p.Hash = e.Present.Revision, e.Present.Hash.String()
	}
	p.Errors = placed(e.Mistakes)
	return p
}

// mistakes is the problem of a text that does not load.
func mistakes(d rig.Diagnostics, detail string) *Problem {
	return &Problem{Title: titles[store.Mistakes], Status: http.StatusUnprocessableEntity, Code: string(store.Mistakes), Detail: detail, Errors: placed(d)}
}

func placed(d rig.Diagnostics) []Mistake {
	var list []Mistake
	for _, x := range d {
		list = append(list, Mistake{Message: x.Text, Location: "body.text", File: x.Place.File, Line: x.Place.Line, Column: x.Place.Col, Path: x.Path, Code: x.Code})
	}
	return list
}

// misuse is the problem of an option that makes no sense.
func misuse(location string, err error) *Problem {
	return &Problem{Title: "Unusable request", Status: http.StatusUnprocessableEntity, Detail: err.Error(),
		Errors: []Mistake{{Message: err.Error(), Location: location}}}
}

// ours turns the library's own errors (a missing field, a body too large) into Problems, without the values it echoes.
func ours(_ huma.Context, _ string, v any) (any, error) {
	m, ok := v.(*huma.ErrorModel)
	if !ok {
		return v, nil
	}
	p := &Problem{Title: m.Title, Status: m.Status, Detail: m.Detail}
	for _, e := range m.Errors {
		if e != nil {
			p.Errors = append(p.Errors, Mistake{Message: e.Message, Location: e.Location})
		}
	}
	return p, nil
}
