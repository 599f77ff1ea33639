package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/store"
)

// maxDocumentBytes is the largest body of a request that carries a text: a text of the greatest size, escaped.
const maxDocumentBytes = 5 << 20

// Card is a rig in the list.
type Card struct {
	ID       string        `json:"id" doc:"Number of the rig, as text"`
	File     string        `json:"file" doc:"Name in the workshop folder"`
	Name     string        `json:"name" doc:"What the builder calls it"`
	Base     string        `json:"base" doc:"File of the build that this one changes, as written; empty without one"`
	Revision int           `json:"revision" doc:"Number of the present revision"`
	SavedAt  time.Time     `json:"saved_at" doc:"When it was saved, UTC"`
	Worst    finding.Level `json:"worst" enum:"stop,watch,note,ok" doc:"Most urgent level of all findings"`
}

// Rig is one rig with its text.
type Rig struct {
	ID       string    `json:"id" doc:"Number of the rig, as text"`
	File     string    `json:"file" doc:"Name in the workshop folder"`
	Name     string    `json:"name" doc:"What the builder calls it"`
	Base     string    `json:"base" doc:"File of the build that this one changes, as written; empty without one"`
	Text     string    `json:"text" doc:"The document as written"`
	Revision int       `json:"revision" doc:"Number of the present revision"`
	Hash     string    `json:"hash" doc:"SHA-256 of the text; the ETag is the revision and its first eight digits"`
	CanUndo  bool      `json:"can_undo" doc:"There is an earlier text to go back to"`
	CanRedo  bool      `json:"can_redo" doc:"There is an undo to take back"`
	SavedAt  time.Time `json:"saved_at" doc:"When this revision was saved, UTC"`
	Why      string    `json:"why" doc:"What it was saved for"`
	Mistakes []Mistake `json:"mistakes,omitempty" doc:"Why the saved text does not load: only when an earlier version of the program took it"`
}

// RigID is the path parameter of everything about one rig. Exported, as the library fills exported fields only.
type RigID struct {
	ID string `path:"id" maxLength:"20" doc:"Number of the rig"`
}

// FromVersion is the header that every change carries.
type FromVersion struct {
	IfMatch string `header:"If-Match" doc:"The ETag of the state that the change was made from"`
}

type rigOut struct {
	ETag string `header:"ETag" doc:"Names this state; a change must send it back as If-Match"`
	Body Rig
}

func (s *Server) routeRigs(api huma.API) {
	huma.Register(api, operation("list-rigs", http.MethodGet, "/api/rigs", "The rigs of the workshop"), s.listRigs)
	post := operation("create-rig", http.MethodPost, "/api/rigs", "Begin a rig: from a text, from the starter, from measured points, or as a copy")
	post.DefaultStatus = http.StatusCreated
	huma.Register(api, post, s.createRig)
	huma.Register(api, operation("get-rig", http.MethodGet, "/api/rigs/{id}", "One rig with its text"), s.getRig)
	huma.Register(api, operation("save-rig", http.MethodPut, "/api/rigs/{id}", "Save a new revision"), s.saveRig)
	huma.Register(api, operation("remove-rig", http.MethodDelete, "/api/rigs/{id}",
		"Take a rig out of the workshop; its revisions stay, and creating the same file again takes them up"), s.removeRig)
}

// number reads a rig's number. What is no number names no rig.
func number(id string) (int64, error) {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil || n < 1 {
		return 0, &store.Error{Code: store.NotFound, Text: fmt.Sprintf("found no rig %q in the workshop", id)}
	}
	return n, nil
}

// version reads the If-Match header.
func (in FromVersion) version() (store.Version, error) {
	tag := strings.TrimSpace(in.IfMatch)
	if tag == "" {
		return "", &Problem{Title: "Version not named", Status: http.StatusPreconditionRequired,
			Detail: "found no If-Match header, expected the ETag of the text that the change was made from. Nothing was saved"}
	}
	return store.Version(strings.Trim(tag, `"`)), nil
}

type listOut struct {
	Body struct {
		Rigs []Card `json:"rigs" nullable:"false" doc:"By file name"`
	}
}

func (s *Server) listRigs(ctx context.Context, _ *struct{}) (*listOut, error) {
	out := &listOut{}
	out.Body.Rigs = []Card{}
	err := s.store.Look(ctx, func(v store.Snapshot) error {
		docs, err := v.Documents(store.Rig)
		if err != nil {
			return err
		}
		for _, d := range docs {
			card := Card{ID: strconv.FormatInt(d.ID, 10), File: d.File, Name: d.File, Revision: d.Revision, SavedAt: d.SavedAt, Worst: finding.Stop}
			l, bad, err := s.ask(v, d.File)
			if err != nil {
				return err
			}
			if len(bad) == 0 {
				a, err := l.answer(quantity.Metric)
				if err != nil {
					return err
				}
				card.Worst, card.Base = finding.Worst(a.Findings), l.Build.Doc.Base
				if l.Build.Doc.Name != "" {
					card.Name = l.Build.Doc.Name
				}
			}
			out.Body.Rigs = append(out.Body.Rigs, card)
		}
		return nil
	})
	return out, s.wrong(ctx, err)
}

type createIn struct {
	Body struct {
		File    string `json:"file" doc:"Name in the workshop folder: own.rig.yaml"`
		Text    string `json:"text,omitempty" doc:"The document"`
		Starter string `json:"starter,omitempty" doc:"Name for the rig: begins it with the starter document"`
		CopyOf  string `json:"copy_of,omitempty" doc:"Number of the rig whose text it begins with"`
		Points  string `json:"points,omitempty" doc:"Table of measured points, as CSV or pasted cells: begins it with the linkage they make"`
	}
	RawBody []byte
}

func (s *Server) createRig(ctx context.Context, in *createIn) (*rigOut, error) {
	if err := utf8Only(in.RawBody); err != nil {
		return nil, err
	}
	if err := rigName(in.Body.File); err != nil {
		return nil, s.wrong(ctx, err)
	}
	text, why, ways := []byte(in.Body.Text), "begun", 0
	if in.Body.Text != "" {
		ways++
	}
	if in.Body.Starter != "" {
		text, why, ways = rig.Starter(in.Body.Starter), "begun from the starter", ways+1
	}
	if in.Body.CopyOf != "" {
		n, err := number(in.Body.CopyOf)
		if err != nil {
			return nil, s.wrong(ctx, err)
		}
		d, err := s.store.Document(ctx, n)
		if err != nil {
			return nil, s.wrong(ctx, err)
		}
		text, why, ways = d.Text, "copy of "+d.File, ways+1
	}
	if in.Body.Points != "" {
		name := strings.TrimSuffix(path.Base(in.Body.File), ".rig.yaml")
		made, err := rig.FromPoints("points", name, []byte(in.Body.Points))
		if err != nil {
			return nil, s.wrongPoints(ctx, err)
		}
		text, why, ways = made, "begun from measured points", ways+1
	}
	if ways != 1 {
		return nil, misuse("body", fmt.Errorf("found %d of text, starter, copy_of and points, expected exactly one", ways))
	}
	return s.created(ctx, in.Body.File, text, why)
}

// wrongPoints is the problem of a table that makes no document: its places are lines and letters of the table.
func (s *Server) wrongPoints(ctx context.Context, err error) error {
	var d rig.Diagnostics
	if !errors.As(err, &d) {
		return s.wrong(ctx, err)
	}
	p := mistakes(d, "found mistakes in the table of points. Nothing was saved")
	for i := range p.Errors {
		p.Errors[i].Location = "body.points"
	}
	return p
}

func (s *Server) created(ctx context.Context, file string, text []byte, why string) (*rigOut, error) {
	d, err := s.store.Create(ctx, file, text, why)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return s.saved(ctx, d)
}

// rigName refuses names of bins, which have their own way in: an import.
func rigName(file string) error {
	if err := store.CheckName(file); err != nil {
		return err
	}
	if kind, _ := store.KindOf(file); kind != store.Rig {
		return &store.Error{Code: store.BadName, Text: fmt.Sprintf("found the file name %q, expected one that ends in .rig.yaml", file)}
	}
	return nil
}

func (s *Server) getRig(ctx context.Context, in *RigID) (*rigOut, error) {
	d, l, bad, err := s.open(ctx, in.ID)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return show(d, l, bad), nil
}

// saved shows what a change has just written, also when someone else has saved again since.
func (s *Server) saved(ctx context.Context, d store.Document) (*rigOut, error) {
	_, l, bad, err := s.open(ctx, strconv.FormatInt(d.ID, 10))
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return show(d, l, bad), nil
}

func show(d store.Document, l *asked, bad rig.Diagnostics) *rigOut {
	out := &rigOut{ETag: `"` + string(d.Version()) + `"`, Body: Rig{
		ID: strconv.FormatInt(d.ID, 10), File: d.File, Name: d.File, Text: string(d.Text), Revision: d.Revision, Hash: d.Hash.String(),
		CanUndo: d.CanUndo, CanRedo: d.CanRedo, SavedAt: d.SavedAt, Why: d.Why, Mistakes: placed(bad),
	}}
	if l != nil {
		out.Body.Base = l.Build.Doc.Base
		if l.Build.Doc.Name != "" {
			out.Body.Name = l.Build.Doc.Name
		}
	}
	return out
}

type saveIn struct {
	RigID
	FromVersion
	Body struct {
		Text string `json:"text" doc:"The whole document"`
		Why  string `json:"why,omitempty" maxLength:"500" doc:"What it is saved for, a few words"`
	}
	RawBody []byte
}

func (s *Server) saveRig(ctx context.Context, in *saveIn) (*rigOut, error) {
	if err := utf8Only(in.RawBody); err != nil {
		return nil, err
	}
	why := in.Body.Why
	if why == "" {
		why = "text edited"
	}
	return s.changed(ctx, in.RigID, in.FromVersion, func(id int64, from store.Version) (store.Document, error) {
		return s.store.Save(ctx, id, from, []byte(in.Body.Text), why)
	})
}

// changed does what every change of a rig has in common.
func (s *Server) changed(ctx context.Context, id RigID, tag FromVersion, change func(id int64, from store.Version) (store.Document, error)) (*rigOut, error) {
	n, err := number(id.ID)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	from, err := tag.version()
	if err != nil {
		return nil, err
	}
	d, err := change(n, from)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return s.saved(ctx, d)
}

func (s *Server) removeRig(ctx context.Context, in *struct {
	RigID
	FromVersion
}) (*struct{}, error) {
	n, err := number(in.ID)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	from, err := in.version()
	if err != nil {
		return nil, err
	}
	return nil, s.wrong(ctx, s.store.Remove(ctx, n, from))
}

// utf8Only refuses a body that is not UTF-8: the JSON decoder would put marks in the place of such bytes without a word.
func utf8Only(body []byte) error {
	if utf8.Valid(body) {
		return nil
	}
	return &Problem{Title: "Not text", Status: http.StatusBadRequest, Detail: "found bytes that are not UTF-8 text, expected JSON in UTF-8. Nothing was saved"}
}
