package server

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"
)

type foundItems struct {
	Items []Item
	More  bool
}

func (b *shop) search(query string) foundItems {
	b.t.Helper()
	var out foundItems
	b.do("GET", "/api/items?"+query, nil).want(200).into(&out)
	return out
}

func TestFindItems(t *testing.T) {
	b := openShop(t)
	list := b.search("q=bearing+5x11&bin=club-shelf.bin.yaml")
	if len(list.Items) != 1 || list.Items[0].ID != "bearing-5x11x4" || *list.Items[0].Have != 24 || list.Items[0].From != "club order" || list.Items[0].Weighed || list.More {
		t.Errorf("%+v", list)
	}
	if list := b.search("q=screw&kind=nut&bin=club-shelf.bin.yaml"); len(list.Items) != 0 {
		t.Errorf("%+v", list)
	}
	first, second := b.search("kind=screw&limit=3"), b.search("kind=screw&limit=3&offset=3")
	if len(first.Items) != 3 || len(second.Items) != 3 || !first.More || first.Items[0].ID == second.Items[0].ID {
		t.Errorf("%+v\n%+v", first, second)
	}
	b.do("GET", "/api/items?limit=0", nil).problem(422, "validation")
	b.do("GET", "/api/items?limit=501", nil).problem(422, "validation")
	b.do("GET", "/api/items?q="+strings.Repeat("x", 201), nil).problem(422, "validation")
	var bins struct{ Bins []Stocked }
	b.do("GET", "/api/bins", nil).want(200).into(&bins)
	if len(bins.Bins) < 1 || bins.Bins[0].File != "club-shelf.bin.yaml" || bins.Bins[0].Items < 80 || bins.Bins[0].Revision != 1 || bins.Bins[0].Table {
		t.Errorf("%+v", bins)
	}
}

func TestWhatFitsAPort(t *testing.T) {
	b := openShop(t)
	at := "/api/rigs/" + b.find("bramble-portal.rig.yaml").ID + "/fits?bin=club-shelf.bin.yaml&port="
	var out struct {
		Port, Type, Needs string
		Items             []Fitting
		More              bool
	}
	b.do("GET", at+url.QueryEscape("gearbox/output cross hole"), nil).want(200).into(&out)
	if out.Type != "pin hole" || out.Needs != "a pin of 2.5 mm, about 12 mm long" || len(out.Items) != 1 || out.Items[0].ID != "pin-2.5-12" || out.Items[0].Port != "pin" || out.Items[0].Fit != "slip fit" ||
		out.Items[0].Why != "a pin of 2.5 mm × 11.8 mm in a hole of 2.5 mm" || !out.Items[0].Named || out.More {
		t.Errorf("%+v", out)
	}
	b.do("GET", at+url.QueryEscape("gearbox/output seat rear")+"&limit=1", nil).want(200).into(&out)
	if len(out.Items) != 1 || out.Items[0].ID != "bearing-5x11x4" {
		t.Errorf("%+v", out)
	}
	b.do("GET", at+url.QueryEscape("gearbox/output cros hole"), nil).problem(422, `did you mean "gearbox/output cross hole"?`)
	b.do("GET", "/api/rigs/"+b.find("bramble-portal.rig.yaml").ID+"/fits", nil).problem(422, "validation")
}

func TestShoppingList(t *testing.T) {
	b := openShop(t)
	var out struct {
		Lines []struct {
			Item, Why string
			Buy       int
		}
		Price    float64
		Currency string
	}
	id := b.find("bramble-portal.rig.yaml").ID
	b.do("GET", "/api/rigs/"+id+"/order", nil).want(200).into(&out)
	// what is forgotten: the pin, and bolts with nuts for the thicker mount of the new axle, which lie in the drawer
	var forgotten []string
	for _, l := range out.Lines {
		if l.Why == "forgotten" {
			forgotten = append(forgotten, fmt.Sprintf("%d %s", l.Buy, l.Item))
		}
	}
	if !slices.Equal(forgotten, []string{"1 pin-2.5-12", "0 screw-m3-20", "0 nut-m3-lock"}) || out.Currency != "EUR" || out.Price < 100 {
		t.Errorf("%+v", out)
	}
	whole := out.Price
	b.do("GET", "/api/rigs/"+id+"/order?against="+b.find("bramble.rig.yaml").ID, nil).want(200).into(&out)
	if out.Price != whole {
		t.Errorf("against its base by number %g, by name %g", out.Price, whole)
	}
	b.do("GET", "/api/rigs/"+id+"/order?against=99999", nil).problem(404, "99999")
}

func TestWeighItems(t *testing.T) {
	b := openShop(t)
	weigh := func(list ...ItemWeight) *reply {
		return b.do("POST", "/api/items/weights", map[string]any{"weights": list})
	}
	var out struct{ Items []Item }
	weigh(ItemWeight{Item: "pack-3s-1500", Mass: "126,4"}, ItemWeight{Item: "rod-al6-70", Bin: "club-shelf.bin.yaml", Mass: "0.2 oz"}).want(200).into(&out)
	if len(out.Items) != 2 || !out.Items[0].Weighed || *out.Items[0].MassG < 126.39 || *out.Items[0].MassG > 126.41 || *out.Items[1].MassG < 5.6 || *out.Items[1].MassG > 5.7 {
		t.Errorf("%+v", out)
	}
	weigh(ItemWeight{Item: "pack-3s-1500", Mass: "heavy"}).problem(422, "heavy")
	weigh(ItemWeight{Item: "pack-3s-150", Mass: "1"}).problem(404, `did you mean "pack-3s-1500"?`)
	weigh().problem(422, "validation")
}

const table = "Artikel;Gruppe;Bezeichnung;Gewicht g;Preis;EAN\na;Schraube;M3 × 12;0,9;0,06 €;1\nb;Kugellager;Lager;x;0,75 €;2\n"

func TestLookAtTable(t *testing.T) {
	b := openShop(t)
	var out struct {
		Columns  []struct{ Header, Column, Unit, How string }
		Known    []TableColumn
		Rows     int
		Items    []TableItem
		Mistakes []Mistake
	}
	b.do("POST", "/api/bins/look?column="+url.QueryEscape("EAN=notes"), []byte(table), "Content-Type", "text/csv").want(200).into(&out)
	if out.Rows != 2 || len(out.Columns) != 6 || out.Columns[3].Column != "mass" || out.Columns[3].Unit != "g" || out.Columns[5].How != "asked" || len(out.Known) < 40 || len(out.Items) != 1 ||
		!strings.Contains(out.Items[0].Text, "mass: 0.9") || len(out.Mistakes) != 1 || out.Mistakes[0].Line != 3 || out.Mistakes[0].Column != 20 {
		t.Errorf("%+v", out)
	}
	b.do("POST", "/api/bins/look?column=EAN", []byte(table), "Content-Type", "text/csv").problem(422, "header=column")
	b.do("POST", "/api/bins/look?set=kind", []byte(table), "Content-Type", "text/csv").problem(422, "column=value")
}

// wait polls a job until it has ended.
func (b *shop) wait(j Job) Job {
	b.t.Helper()
	for range 600 {
		b.do("GET", "/api/jobs/"+j.ID, nil).want(200).into(&j)
		if j.State != "running" {
			return j
		}
		time.Sleep(20 * time.Millisecond)
	}
	b.t.Fatal("the job does not end")
	return j
}

// hearJobs listens to the events of jobs until the test ends.
func (b *shop) hearJobs() <-chan Job {
	b.t.Helper()
	res, err := http.Get(b.base + eventsPath)
	if err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() { res.Body.Close() })
	out := make(chan Job, 1000)
	go func() {
		name := ""
		for lines := bufio.NewScanner(res.Body); lines.Scan(); {
			if text, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				name = text
			}
			var j Job
			if text, ok := strings.CutPrefix(lines.Text(), "data: "); ok && name == "job" && json.Unmarshal([]byte(text), &j) == nil {
				out <- j
			}
		}
	}()
	return out
}

func TestImportTable(t *testing.T) {
	b := openShop(t)
	events := b.hearJobs()
	begin := func(query string, text []byte) *reply {
		return b.do("POST", "/api/bins/import?"+query, text, "Content-Type", "text/csv")
	}
	var j Job
	begin("into=list.bin.yaml", []byte(table)).want(202).into(&j)
	if j = b.wait(j); j.State != "failed" || j.Problem == nil || j.Problem.Status != 422 || len(j.Problem.Errors) != 1 || j.Problem.Errors[0].Line != 3 ||
		j.Problem.Errors[0].Message != `found "x" for "mass", expected a mass (g when bare; or kg, oz, lb)` {
		t.Errorf("%+v %+v", j, j.Problem)
	}
	begin("into=list.bin.yaml&leave_out=true", []byte(table)).want(202).into(&j)
	if j = b.wait(j); j.State != "done" || j.Result.Items != 1 || j.Result.LeftOut != 1 || j.Result.Rows != 2 || len(j.Result.Mistakes) != 1 || j.Result.File != "list.bin.yaml" || j.Result.Revision != 1 {
		t.Errorf("%+v %+v", j, j.Result)
	}
	if list := b.search("q=m3x12&bin=list.bin.yaml"); len(list.Items) != 1 || list.Items[0].ID != "a" || *list.Items[0].Price != 0.06 || list.Items[0].Currency != "EUR" {
		t.Errorf("%+v", list)
	}
	begin("into=list.bin.yaml&leave_out=true", []byte(table)).want(202).into(&j)
	if j = b.wait(j); j.State != "failed" || j.Problem.Status != 409 {
		t.Errorf("the same name again: %+v", j)
	}
	var big bytes.Buffer
	big.WriteString("item,kind,title\n")
	for i := range 12000 {
		fmt.Fprintf(&big, "x%d,other,Thing %d\n", i, i)
	}
	begin("into=big.bin.csv", big.Bytes()).want(202).into(&j)
	if j = b.wait(j); j.State != "done" || j.Result.Items != 12000 || j.Stage != "saving" {
		t.Errorf("%+v", j)
	}
	if list := b.search("q=x11999"); len(list.Items) != 1 || list.Items[0].Bin != "big.bin.csv" {
		t.Errorf("%+v", list)
	}
	// its progress came as events, ending with the last state
	seen := 0
	for deadline := time.After(5 * time.Second); ; {
		select {
		case told := <-events:
			seen++
			if told.ID == j.ID && told.State == "done" {
				return
			}
		case <-deadline:
			t.Fatalf("%d events of jobs, none of them the last", seen)
		}
	}
}

func TestImportTableRefuses(t *testing.T) {
	b := openShop(t)
	for query, want := range map[string]string{
		"":                  "validation",
		"into=a.rig.yaml":   ".bin.yaml or .bin.csv",
		"into=../a.bin.csv": "leads out of the workshop folder",
	} {
		b.do("POST", "/api/bins/import?"+query, []byte(table), "Content-Type", "text/csv").problem(422, want)
	}
	b.do("POST", "/api/bins/import?into=a.bin.csv", []byte("kind\xff"), "Content-Type", "text/csv").problem(422, "UTF-8")
	b.do("GET", "/api/jobs/77", nil).problem(404, "no job")
}
