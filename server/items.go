package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/mates"
	"lowslung/rig"
	orders "lowslung/shop"
	"lowslung/store"
)

// Item is one item of a bin.
type Item struct {
	Bin      string   `json:"bin" doc:"File of the bin"`
	ID       string   `json:"id" doc:"Name of the item: what a part's item says"`
	Title    string   `json:"title" doc:"What a shop would call it"`
	Kind     string   `json:"kind" doc:"Kind of part"`
	MassG    *float64 `json:"mass_g" doc:"Weight of one; null when none is given"`
	Weighed  bool     `json:"weighed" doc:"The weight is from a scale"`
	Price    *float64 `json:"price" doc:"Price of one; null when none is given"`
	Currency string   `json:"currency" doc:"Currency of the price, ISO 4217"`
	From     string   `json:"from" doc:"Where it comes from"`
	Have     *int     `json:"have" doc:"How many lie in the drawer; null when that is not written"`
	Notes    string   `json:"notes" doc:"The builder's own words on it"`
	Text     string   `json:"text" doc:"The item as written, on one line"`
}

func itemOf(it *store.Item) Item {
	out := Item{Bin: it.Bin, ID: it.Name, Title: it.Title, Kind: it.Kind, Weighed: it.Weighed, Price: it.Price, Currency: it.Currency, From: it.From, Have: it.Have,
		Notes: it.Notes, Text: it.Line}
	if it.Mass != nil {
		g := float64(*it.Mass) * 1000
		out.MassG = &g
	}
	return out
}

func (s *Server) routeBins(api huma.API) {
	huma.Register(api, operation("list-items", http.MethodGet, "/api/rigs/{id}/bins", "The items of the bins that the rig names"), s.bins)
	huma.Register(api, operation("list-bins", http.MethodGet, "/api/bins", "The bins of the workshop"), s.listBins)
}

func (s *Server) routeItems(api huma.API) {
	huma.Register(api, operation("find-items", http.MethodGet, "/api/items", "Items of all bins: one that is called just so first, then those in stock, then the others"), s.items)
	huma.Register(api, operation("fits", http.MethodGet, "/api/rigs/{id}/fits", "What of the bins goes on a port of a part, by the rules of mates: those in stock first"), s.fits)
	huma.Register(api, operation("order", http.MethodGet, "/api/rigs/{id}/order", "The shopping list, forgotten small parts included"), s.order)
	huma.Register(api, operation("weigh-items", http.MethodPost, "/api/items/weights", "Put in what the scale says of items: all of them, or none"), s.weigh)
}

// Stocked is one bin in the list.
type Stocked struct {
	File     string    `json:"file" doc:"Name in the workshop folder"`
	Items    int       `json:"items" doc:"How many items it has"`
	Table    bool      `json:"table" doc:"It is a table, not YAML"`
	Revision int       `json:"revision" doc:"Number of the present revision"`
	SavedAt  time.Time `json:"saved_at" doc:"When it was saved, UTC"`
	Why      string    `json:"why" doc:"What it was saved for"`
}

type stockedOut struct {
	Body struct {
		Bins []Stocked `json:"bins" nullable:"false" doc:"By file name"`
	}
}

func (s *Server) listBins(ctx context.Context, _ *struct{}) (*stockedOut, error) {
	out := &stockedOut{}
	out.Body.Bins = []Stocked{}
	err := s.store.Look(ctx, func(v store.Snapshot) error {
		docs, err := v.Documents(store.Bin)
		if err != nil {
			return err
		}
		counts, err := v.ItemCounts()
		for _, d := range docs {
			out.Body.Bins = append(out.Body.Bins, Stocked{d.File, counts[d.File], rig.IsTable(d.File), d.Revision, d.SavedAt, d.Why})
		}
		return err
	})
	return out, s.wrong(ctx, err)
}

// mostListed is how many items of a rig's bins are listed at once; a bin of a shop's whole list is for searching.
const mostListed = 5000

type binsIn struct {
	RigID
	Kind string `query:"kind" maxLength:"40" doc:"Only items of this kind"`
	Q    string `query:"q" maxLength:"200" doc:"Only items with all of these words in id, title, kind or notes"`
}

type binsOut struct {
	Body struct {
		Items []Item `json:"items" nullable:"false" doc:"Bin by bin, in the order written; an item that an earlier bin has too is left out, as it is not found"`
		More  bool   `json:"more" doc:"There are more than are listed"`
	}
}

func (s *Server) bins(ctx context.Context, in *binsIn) (*binsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &binsOut{}
	out.Body.Items = []Item{}
	words := strings.Fields(strings.ToLower(in.Q))
	seen := map[string]bool{}
	err = s.store.Look(ctx, func(v store.Snapshot) error {
		for _, file := range binsOf(l) {
			err := v.EachItem(file, func(it *store.Item) bool {
				if seen[it.Name] {
					return true
				}
				seen[it.Name] = true
				if in.Kind != "" && it.Kind != in.Kind || !holds(words, it.Name, it.Title, it.Kind, it.Notes) {
					return true
				}
				if out.Body.More = len(out.Body.Items) == mostListed; out.Body.More {
					return false
				}
				out.Body.Items = append(out.Body.Items, itemOf(it))
				return true
			})
			if err != nil {
				return err
			}
		}
		return nil
	})
	return out, s.wrong(ctx, err)
}

// binsOf are the files of the bins that a rig names, in order.
func binsOf(l *asked) []string {
	var files []string
	for _, file := range l.Build.Files {
		if kind, _ := store.KindOf(file); kind == store.Bin {
			files = append(files, file)
		}
	}
	return files
}

// holds says that every word is in one of the texts.
func holds(words []string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, w := range words {
		if !strings.Contains(all, w) {
			return false
		}
	}
	return true
}

type itemsIn struct {
	Q      string   `query:"q" maxLength:"200" doc:"Words, each of which an item has a word that begins with it; in id, title, kind, notes, source, material or size (5x11x4, m3x12, 20t)"`
	Kind   string   `query:"kind" maxLength:"40" doc:"Only items of this kind"`
	Bin    []string `query:"bin,explode" maxItems:"50" doc:"Only items of these bins; repeat it"`
	Limit  int      `query:"limit" minimum:"1" maximum:"500" default:"50" doc:"At most so many"`
	Offset int      `query:"offset" minimum:"0" maximum:"1000000" doc:"Leave out so many"`
}

type itemsOut struct {
	Body struct {
		Items []Item `json:"items" nullable:"false" doc:"What was found"`
		More  bool   `json:"more" doc:"There are others behind them"`
	}
}

func (s *Server) items(ctx context.Context, in *itemsIn) (*itemsOut, error) {
	list, more, err := s.store.Items(ctx, store.ItemQuery{Text: in.Q, Kind: in.Kind, Bins: in.Bin, Limit: in.Limit, Offset: in.Offset})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &itemsOut{}
	out.Body.Items, out.Body.More = make([]Item, len(list)), more
	for i := range list {
		out.Body.Items[i] = itemOf(&list[i])
	}
	return out, nil
}

// Fitting is an item that goes on the port asked about.
type Fitting struct {
	Item
	Port  string `json:"port" doc:"Port of the item that meets it"`
	Fit   string `json:"fit" doc:"The fit in words"`
	Why   string `json:"why" doc:"One sentence with both dimensions"`
	Named bool   `json:"named" doc:"The rig names the bin, so a part may take the item as it is"`
}

type fitsIn struct {
	RigID
	InUnits
	Port  string   `query:"port" required:"true" maxLength:"300" doc:"part/port" example:"gearbox/output cross hole"`
	Bin   []string `query:"bin,explode" maxItems:"50" doc:"Only items of these bins; all bins of the workshop when left out"`
	Limit int      `query:"limit" minimum:"1" maximum:"500" default:"50" doc:"At most so many"`
}

type fitsOut struct {
	Body struct {
		Port  string    `json:"port" doc:"part/port"`
		Type  string    `json:"type" doc:"Type of the port"`
		Needs string    `json:"needs" doc:"What goes on it, in words"`
		Items []Fitting `json:"items" nullable:"false" doc:"Those in stock first, then by size"`
		More  bool      `json:"more" doc:"There are, or may be, others"`
	}
}

func (s *Server) fits(ctx context.Context, in *fitsIn) (*fitsOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	p, ok := mates.PortAt(l.Model, in.Port, s.system(in.InUnits))
	if !ok {
		return nil, misuse("query.port", noSuchPort(in.Port, mates.PortNames(l.Model)))
	}
	out := &fitsOut{}
	b := &out.Body
	b.Port, b.Type, b.Needs, b.Items = in.Port, p.Type, p.Needs(), []Fitting{}
	named := binsOf(l)
	err = s.store.Look(ctx, func(v store.Snapshot) error {
		list, more, err := v.Fits(&p, in.Bin, in.Limit)
		for i := range list {
			f := &list[i]
			b.Items = append(b.Items, Fitting{itemOf(&f.Item), f.Port, f.Fit, f.Why, slices.Contains(named, f.Bin)})
		}
		b.More = more
		return err
	})
	return out, s.wrong(ctx, err)
}

func noSuchPort(ref string, names []string) error {
	hint := ""
	if near := rig.Nearest(ref, names); near != "" {
		hint = fmt.Sprintf("; did you mean %q?", near)
	} else if len(names) == 0 {
		hint = "; no part of this rig has ports"
	}
	return fmt.Errorf("found the port %q, expected part/port of a part in this rig%s", ref, hint)
}

type orderIn struct {
	RigID
	InUnits
	Against string `query:"against" maxLength:"20" doc:"Number of the build as it was; the rig's own base when left out"`
}

type orderOut struct{ Body orders.Order }

func (s *Server) order(ctx context.Context, in *orderIn) (*orderOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	base, err := s.against(ctx, l, in.Against)
	if err != nil {
		return nil, err
	}
	a, err := mates.Assess(l.Model, mates.Options{Against: base, Units: s.system(in.InUnits)})
	if err != nil {
		return nil, misuse("query", err)
	}
	return &orderOut{orders.OrderOf(&a, func(id string) (mates.Piece, bool) { return mates.ItemPiece(l.Model, id) })}, nil
}

// ItemWeight is what the scale says of one item.
type ItemWeight struct {
	Item string `json:"item" minLength:"1" maxLength:"256" doc:"Name of the item"`
	Bin  string `json:"bin,omitempty" maxLength:"200" doc:"File of the bin; may be left out when one bin only has such an item"`
	Mass string `json:"mass" minLength:"1" maxLength:"40" doc:"Weight of one: a number in grams, or with a unit; 1,5 is 1.5"`
}

type weighIn struct {
	Body struct {
		Weights []ItemWeight `json:"weights" minItems:"1" maxItems:"1000" nullable:"false" doc:"Each item once"`
	}
	RawBody []byte
}

type weighOut struct {
	Body struct {
		Items []Item `json:"items" nullable:"false" doc:"The items as they are now"`
	}
}

func (s *Server) weigh(ctx context.Context, in *weighIn) (*weighOut, error) {
	if err := utf8Only(in.RawBody); err != nil {
		return nil, err
	}
	list := make([]store.Weight, len(in.Body.Weights))
	for i, w := range in.Body.Weights {
		mass, err := rig.Grams(w.Mass)
		if err != nil {
			return nil, misuse(fmt.Sprintf("body.weights[%d].mass", i), err)
		}
		list[i] = store.Weight{Item: w.Item, Bin: w.Bin, Mass: mass}
	}
	done, err := s.store.Weigh(ctx, list)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &weighOut{}
	out.Body.Items = make([]Item, len(done))
	for i := range done {
		out.Body.Items[i] = itemOf(&done[i].Item)
	}
	return out, nil
}
