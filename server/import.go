package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/rig"
	"lowslung/store"
)

func (s *Server) routeImport(api huma.API) {
	csv := func(id, path, summary string) huma.Operation {
		op := operation(id, http.MethodPost, path, summary)
		op.MaxBodyBytes = rig.MaxTableBytes
		op.BodyReadTimeout = time.Minute
		return op
	}
	huma.Register(api, csv("look-at-table", "/api/bins/look", "How the columns of a shop's table would be taken, the first items, and what is wrong; nothing is saved"), s.lookAtTable)
	begin := csv("import-table", "/api/bins/import", "Make a bin of a shop's table: begins a job, whose progress is asked for or comes as events")
	begin.DefaultStatus = http.StatusAccepted
	huma.Register(api, begin, s.importTable)
	huma.Register(api, operation("job", http.MethodGet, "/api/jobs/{id}", "How far a job is, and what came of it"), s.job)
}

// TableOptions are the options of an import, as the command's flags.
type TableOptions struct {
	Column   []string `query:"column,explode" maxItems:"200" doc:"How a column is taken: Gewicht=mass, Preis=price (EUR), EAN=- to leave it out; repeat it. The others are guessed" example:"Gewicht=mass"`
	Set      []string `query:"set,explode" maxItems:"50" doc:"A value for all rows that say nothing: kind=screw, currency=EUR; repeat it"`
	LeaveOut bool     `query:"leave_out" doc:"Leave out rows with mistakes instead of saving nothing"`
}

func (o *TableOptions) parse() (out rig.ItemsOptions, err error) {
	for _, text := range o.Column {
		u, err := rig.ParseColumn(text)
		if err != nil {
			return out, misuse("query.column", err)
		}
		out.Columns = append(out.Columns, u)
	}
	for _, text := range o.Set {
		v, err := rig.ParseItemValue(text)
		if err != nil {
			return out, misuse("query.set", err)
		}
		out.Set = append(out.Set, v)
	}
	out.LeaveOut = o.LeaveOut
	return out, nil
}

// TableColumn is one column that a table of items may have.
type TableColumn struct {
	Name  string   `json:"name" doc:"What the column is called"`
	Kinds []string `json:"kinds" nullable:"false" doc:"Kinds of part that have it; empty when all have"`
}

// TableItem is one item as it would be saved.
type TableItem struct {
	ID   string `json:"id" doc:"Name of the item"`
	Text string `json:"text" doc:"The item on one line"`
}

type lookIn struct {
	TableOptions
	RawBody []byte `contentType:"text/csv"`
}

type lookOut struct {
	Body struct {
		Columns  []rig.ColumnUse `json:"columns" nullable:"false" doc:"How each column of the table is taken, in its order"`
		Known    []TableColumn   `json:"known" nullable:"false" doc:"What a column may be taken as"`
		Rows     int             `json:"rows" doc:"Rows below the header"`
		Items    []TableItem     `json:"items" nullable:"false" doc:"The first of them"`
		Mistakes []Mistake       `json:"mistakes" nullable:"false" doc:"What is wrong, up to fifty; empty when it can be imported"`
	}
}

// mostShown is how many items a look at a table shows.
const mostShown = 12

func (s *Server) lookAtTable(ctx context.Context, in *lookIn) (*lookOut, error) {
	o, err := in.parse()
	if err != nil {
		return nil, err
	}
	it, err := rig.ReadItems("table", in.RawBody, o)
	var bad rig.Diagnostics
	if err != nil && !errors.As(err, &bad) {
		return nil, s.wrong(ctx, err)
	}
	if err == nil {
		bad = it.Mistakes
	}
	out := &lookOut{}
	b := &out.Body
	b.Columns, b.Known, b.Rows, b.Items, b.Mistakes = append([]rig.ColumnUse{}, it.Columns...), []TableColumn{}, it.Rows, []TableItem{}, append([]Mistake{}, inTable(bad)...)
	for _, name := range rig.ItemColumns() {
		b.Known = append(b.Known, TableColumn{name, append([]string{}, rig.ItemColumnKinds(name)...)})
	}
	for i := range min(mostShown, it.Len()) {
		id, _ := it.At(i)
		b.Items = append(b.Items, TableItem{id, it.Line(i)})
	}
	return out, nil
}

// inTable places mistakes in the body that carries the table.
func inTable(d rig.Diagnostics) []Mistake {
	list := placed(d)
	for i := range list {
		list[i].Location, list[i].File = "body", ""
	}
	return list
}

type importTableIn struct {
	TableOptions
	Into    string `query:"into" required:"true" maxLength:"200" doc:"Name of the bin: shop.bin.yaml, or shop.bin.csv for a table, which holds more than 20,000 items"`
	Replace bool   `query:"replace" doc:"The bin may be there already: it gets a new revision"`
	RawBody []byte `contentType:"text/csv"`
}

type jobOut struct{ Body Job }

func (s *Server) importTable(ctx context.Context, in *importTableIn) (*jobOut, error) {
	o, err := in.parse()
	if err != nil {
		return nil, err
	}
	if err := store.CheckName(in.Into); err != nil {
		return nil, s.wrong(ctx, err)
	}
	if kind, _ := store.KindOf(in.Into); kind != store.Bin {
		return nil, misuse("query.into", fmt.Errorf("found the file name %q, expected one that ends in .bin.yaml or .bin.csv", in.Into))
	}
	if !utf8.Valid(in.RawBody) {
		return nil, misuse("body", errors.New("found bytes that are not UTF-8 text; save the table as UTF-8"))
	}
	text := append([]byte(nil), in.RawBody...) // the request's buffer is used again
	j, err := s.begin(func(ctx context.Context, told func(stage string, done, total int)) (*ImportedTable, error) {
		return s.makeBin(ctx, in.Into, text, o, in.Replace, told)
	})
	if err != nil {
		return nil, err
	}
	return &jobOut{j}, nil
}

// makeBin is the work of an import.
func (s *Server) makeBin(ctx context.Context, into string, text []byte, o rig.ItemsOptions, replace bool, told func(stage string, done, total int)) (*ImportedTable, error) {
	o.Progress = func(done, total int) { told("reading", done, total) }
	it, err := rig.ReadItems(into, text, o)
	if err != nil {
		var bad rig.Diagnostics
		if errors.As(err, &bad) {
			p := mistakes(bad, "found mistakes in the table. Nothing was saved")
			p.Errors = inTable(bad)
			return nil, p
		}
		return nil, err
	}
	made := it.Document(into, "imported "+time.Now().UTC().Format("2006-01-02"))
	d, err := s.store.PutBin(ctx, into, made, fmt.Sprintf("%d items imported from a table", it.Len()), replace, func(done, total int) { told("saving", done, total) })
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &ImportedTable{File: d.File, Revision: d.Revision, Rows: it.Rows, Items: it.Len(), LeftOut: it.Bad, Columns: it.Columns, Mistakes: append([]Mistake{}, inTable(it.Mistakes)...)}, nil
}
