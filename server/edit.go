package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/rig"
	"lowslung/store"
)

// Change is one edit of one value of a document; everything else in the text stays as it is, comments too.
type Change struct {
	Path   []string `json:"path" minItems:"1" maxItems:"64" nullable:"false" doc:"Keys that lead to the value: chassis, parts, battery, mass"`
	Value  string   `json:"value,omitempty" doc:"New value as YAML on one line: 182 g, [6, 0, 12], or text in quotes as JSON has it"`
	Remove bool     `json:"remove,omitempty" doc:"Take the value out; when the base has it, null is written, which takes it out there"`
}

func (s *Server) routeEdit(api huma.API) {
	huma.Register(api, operation("edit-rig", http.MethodPost, "/api/rigs/{id}/edit",
		"Change single values of the text and save a new revision; a value that comes from the base is written into this document"), s.editRig)
}

type editIn struct {
	RigID
	FromVersion
	Body struct {
		Changes []Change `json:"changes" minItems:"1" maxItems:"200" nullable:"false" doc:"Applied in order, all or none"`
		Why     string   `json:"why,omitempty" maxLength:"500" doc:"What it is saved for, a few words"`
	}
	RawBody []byte
}

func (s *Server) editRig(ctx context.Context, in *editIn) (*rigOut, error) {
	if err := utf8Only(in.RawBody); err != nil {
		return nil, err
	}
	why := in.Body.Why
	if why == "" {
		why = strings.Join(in.Body.Changes[0].Path, "/")
	}
	return s.changed(ctx, in.RigID, in.FromVersion, func(id int64, from store.Version) (store.Document, error) {
		return s.store.Edit(ctx, id, from, why, func(v store.Snapshot, d store.Document) ([]byte, error) {
			text := d.Text
			for i, c := range in.Body.Changes {
				next, err := c.apply(v, d.File, text)
				if err != nil {
					return nil, c.refused(i, err)
				}
				text = next
			}
			return text, nil
		})
	})
}

// apply makes one change of a text.
func (c *Change) apply(v store.Snapshot, file string, text []byte) ([]byte, error) {
	if !c.Remove {
		return rig.SetIn(text, c.Path, c.Value)
	}
	own, err := rig.Parse(file, text)
	if err != nil {
		return nil, err
	}
	written := own.At(c.Path...)
	under, err := inherited(v, file, own, c.Path)
	if err != nil {
		return nil, err
	}
	switch {
	case under:
		return rig.SetIn(text, c.Path, "null")
	case written != nil:
		return rig.RemoveIn(text, c.Path)
	}
	return nil, fmt.Errorf("found nothing at %s to take out", strings.Join(c.Path, "/"))
}

// inherited says whether the value at path would still be there if this text did not have it: from its base, or from the bin
// item that the part, shock or shaft names.
func inherited(v store.Snapshot, file string, own *rig.Node, path []string) (bool, error) {
	if base := own.Get("base"); base != nil {
		b, err := v.Load(store.Beside(file, base.Text))
		if err != nil {
			return false, err
		}
		if b.Build.Tree.At(path...) != nil {
			return true, nil
		}
	}
	l, err := v.Load(file)
	if err != nil {
		return false, err
	}
	for n := 2; n < len(path); n++ {
		if id := l.Build.Tree.At(path[:n]...).Get("item"); id != nil {
			return supplied(l, id.Text, path[n:])
		}
	}
	return false, nil
}

// supplied says whether the bin item called id has a value at path; what shocks and shafts take from an item may stand under
// a key of that name.
func supplied(l *store.Loaded, id string, path []string) (bool, error) {
	for _, file := range l.Build.Files {
		if kind, _ := store.KindOf(file); kind != store.Bin {
			continue
		}
		b, err := new(rig.Memory).LoadBin(file, l.Texts[file])
		if err != nil {
			return false, err
		}
		if item := b.Tree(id); item != nil {
			return item.At(path...) != nil || item.Get("shock").At(path...) != nil || item.Get("shaft").At(path...) != nil, nil
		}
	}
	return false, nil
}

// refused is a change that cannot be made, as the problem of the request.
func (c *Change) refused(i int, err error) error {
	var d rig.Diagnostics
	at := fmt.Sprintf("body.changes[%d].value", i)
	if errors.As(err, &d) {
		p := mistakes(d, "the text cannot be edited value by value. Nothing was saved; edit it as text")
		for k := range p.Errors {
			p.Errors[k].Location = at
		}
		return p
	}
	p := misuse(at, err)
	p.Title, p.Code = "Change refused", string(store.Mistakes)
	p.Errors[0].Path = strings.Join(c.Path, "/")
	return p
}
