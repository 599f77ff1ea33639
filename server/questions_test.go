package server

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"lowslung/balance"
	"lowslung/check"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/steer"
	"lowslung/store"
	"lowslung/travel"
)

var demoFiles = []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"}

func model(t testing.TB, file string) (*rig.Build, *solid.Model) {
	t.Helper()
	texts := map[string][]byte{}
	for _, d := range demo(t) {
		texts[d.Name] = d.Body
	}
	b, err := rig.Load(func(name string) ([]byte, error) { return texts[name], nil }, file)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, ride.Stand(m)
}

// wantJSON says that an answer over HTTP is the question's own answer, as the command prints it.
func wantJSON(t *testing.T, r *reply, want any) {
	t.Helper()
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var a, b any
	r.want(200).into(&a)
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Errorf("found %.300s, expected %.300s", r.Raw, text)
	}
}

func TestAnswersAreTheQuestions(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		id := s.find(file).ID
		_, m := model(t, file)
		o, err := travel.ParseOptions("rear", "-10:10:5", "-6:6:3", quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		tr, err := travel.Assess(m, o)
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", "/api/rigs/"+id+"/travel?axle=rear&heave=-10:10:5&roll=-6:6:3&units=us", nil), tr)
		ba, err := balance.Assess(m, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", "/api/rigs/"+id+"/balance", nil), ba)
		so, err := steer.ParseOptions("-30:30:10", "-10:10:5", "-6:6:3", quantity.Metric)
		if err != nil {
			t.Fatal(err)
		}
		sa, err := steer.Assess(m, so)
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", "/api/rigs/"+id+"/steer?servo=-30:30:10&heave=-10:10:5&roll=-6:6:3", nil), sa)
		mo := mates.Options{}
		if file == "bramble-portal.rig.yaml" { // held against its own base when nothing is said
			_, mo.Against = model(t, "bramble.rig.yaml")
		}
		ma, err := mates.Assess(m, mo)
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("GET", "/api/rigs/"+id+"/mates", nil), ma)
		ck, err := check.Assess(m, check.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var all checkOut
		s.do("GET", "/api/rigs/"+id+"/check", nil).want(200).into(&all.Body)
		if !reflect.DeepEqual(all.Body.Findings, ck.Findings) || !reflect.DeepEqual(all.Body.Words, ck.Words) || len(all.Body.Numbers) != len(ck.Numbers()) {
			t.Errorf("%s: check over HTTP differs from check", file)
		}
		for i, v := range ck.Numbers() {
			if n := all.Body.Numbers[i]; n.Name != v.Channel.Name || n.Text != v.Channel.Format(v.Value, quantity.Metric) || n.Unit != v.Channel.Dim.Metric.Symbol {
				t.Errorf("found %+v", n)
			}
		}
	}
	_, m := model(t, "bramble.rig.yaml")
	moves, err := balance.ParseMoves([]string{"battery:20,0,-12"})
	if err != nil {
		t.Fatal(err)
	}
	elsewhere, err := balance.Moved(m, moves)
	if err != nil {
		t.Fatal(err)
	}
	if moved, err := balance.Assess(ride.Stand(elsewhere), balance.Options{}); err == nil {
		wantJSON(t, s.do("GET", "/api/rigs/"+s.find("bramble.rig.yaml").ID+"/balance?move=battery:20,0,-12", nil), moved)
	} else {
		t.Fatal(err)
	}
	var cmp struct{ Builds []string }
	s.do("GET", "/api/compare?rig="+s.find("bramble.rig.yaml").ID+"&rig="+s.find("bramble-portal.rig.yaml").ID, nil).want(200).into(&cmp)
	if len(cmp.Builds) != 2 {
		t.Errorf("found %+v", cmp)
	}
	var ch struct{ Channels []Channel }
	s.do("GET", "/api/channels", nil).want(200).into(&ch)
	if len(ch.Channels) < 10 || ch.Channels[0].Name == "" || ch.Channels[0].Unit != "mm" || ch.Channels[0].UnitUS != "in" {
		t.Errorf("found %+v", ch.Channels)
	}
}

type v3 = [3]float64

func at(origin, turn []float64, v []float64) v3 {
	var out v3
	for i := range 3 {
		out[i] = origin[i] + turn[3*i]*v[0] + turn[3*i+1]*v[1] + turn[3*i+2]*v[2]
	}
	return out
}

func distance(a v3, b []float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// closes holds a state against rigid-body geometry alone: each link is as long as it is, the rotation is one, the wheels are
// as high as the state says.
func closes(t *testing.T, st *Stage, end string, a, design *AxleState) {
	t.Helper()
	for _, l := range st.Links {
		if l.Axle == end && l.From != "" { // a drag link turns the wheels instead, and they are drawn straight ahead
			if d := distance(at(a.OriginMM, a.Turn, l.ToMM), l.FromMM); math.Abs(d-l.LengthMM) > 1e-6 {
				t.Errorf("the %s link is %.9f mm between its eyes, expected %.9f", l.Name, d, l.LengthMM)
			}
		}
	}
	for i := range 3 {
		for j := range 3 {
			dot := 0.0
			for k := range 3 {
				dot += a.Turn[3*i+k] * a.Turn[3*j+k]
			}
			if want := map[bool]float64{true: 1}[i == j]; math.Abs(dot-want) > 1e-12 {
				t.Errorf("rows %d and %d of the rotation have the product %g", i, j, dot)
			}
		}
	}
	for y, bump := range map[float64]float64{a.HalfTrackMM: a.LeftBumpMM, -a.HalfTrackMM: a.RightBumpMM} {
		was, now := at(design.OriginMM, design.Turn, []float64{0, y, 0}), at(a.OriginMM, a.Turn, []float64{0, y, 0})
		if math.Abs(now[2]-was[2]-bump) > 1e-6 {
			t.Errorf("the wheel at y %g is %.6f mm above its design place, the state says %.6f", y, now[2]-was[2], bump)
		}
	}
	for _, k := range a.Shocks {
		top := v3{k.TopMM[0], k.TopMM[1], k.TopMM[2]}
		if math.Abs(distance(top, k.BottomMM)-k.LengthMM) > 1e-9 {
			t.Errorf("the %s shock's eyes are not %g mm apart", k.Name, k.LengthMM)
		}
	}
}

func TestStageAndPull(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		id := s.find(file).ID
		var st Stage
		s.do("GET", "/api/rigs/"+id+"/stage", nil).want(200).into(&st)
		if len(st.Bodies) == 0 || len(st.Links) < 8 || !st.Ground.Known || st.CenterOfMassMM == nil || st.CornerLoadsN == nil {
			t.Fatalf("%s: found %d bodies, %d links, ground %+v", file, len(st.Bodies), len(st.Links), st.Ground)
		}
		for end, design := range map[string]*AxleState{"front": &st.Axles.Front, "rear": &st.Axles.Rear} {
			if !design.Present || !design.Solved || design.Pose == nil || design.Rates == nil || design.RollAxis == nil || len(design.Shocks) == 0 {
				t.Fatalf("%s, %s: found %+v", file, end, design)
			}
			closes(t, &st, end, design, design)
			for _, wish := range [][2]float64{{0, 0}, {6, 6}, {8, -5}, {-7, 4}, {200, 200}, {-200, -200}, {300, -300}} {
				var p pullOut
				s.do("GET", fmt.Sprintf("/api/rigs/%s/pull?axle=%s&left=%g&right=%g", id, end, wish[0], wish[1]), nil).want(200).into(&p.Body)
				a := &p.Body.Axle
				closes(t, &st, end, a, design)
				reached := math.Abs(a.LeftBumpMM-wish[0]) < 1e-6 && math.Abs(a.RightBumpMM-wish[1]) < 1e-6
				if stopped := p.Body.Stopped; (stopped == nil) != reached || stopped != nil && (stopped.Why == "" || a.StoppedBy != stopped.Why || stopped.AskedLeftMM != wish[0]) {
					t.Errorf("%s, %s: wished %v, reached %g and %g, stopped %+v", file, end, wish, a.LeftBumpMM, a.RightBumpMM, stopped)
				}
				if math.Abs(wish[0]) > 100 && p.Body.Stopped == nil {
					t.Errorf("%s, %s: nothing stopped a pull to %v mm", file, end, wish)
				}
				// It stops on the straight way to the wish.
				if cross := a.LeftBumpMM*wish[1] - a.RightBumpMM*wish[0]; math.Abs(cross) > 1e-6*math.Hypot(wish[0], wish[1]) {
					t.Errorf("%s, %s: %g and %g are not on the way to %v", file, end, a.LeftBumpMM, a.RightBumpMM, wish)
				}
			}
			// A pull leaves nothing behind: the next answer is the design pose again.
			var again Stage
			s.do("GET", "/api/rigs/"+id+"/stage", nil).want(200).into(&again)
			if !reflect.DeepEqual(st, again) {
				t.Errorf("%s: the stage differs after pulling", file)
			}
		}
	}
	one := s.do("POST", "/api/rigs", map[string]string{"file": "bare.rig.yaml", "text": "lowslung: 1\n"}).want(201).rig()
	var st Stage
	s.do("GET", "/api/rigs/"+one.ID+"/stage", nil).want(200).into(&st)
	if st.Axles.Rear.Present || st.Ground.Known || st.CenterOfMassMM != nil || st.Bodies == nil {
		t.Errorf("found %+v, expected an empty stage", st)
	}
	s.do("GET", "/api/rigs/"+one.ID+"/pull?axle=rear&left=1", nil).problem(422, "no rear axle")
	s.do("GET", "/api/rigs/"+one.ID+"/check", nil).want(200)
	s.do("GET", "/api/rigs/"+one.ID+"/parts", nil).want(200)
}

// The corner loads on the stage carry the mass on it, and the centre of mass is over the ground: statics from the JSON alone.
func TestStageWeighs(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		var st Stage
		s.do("GET", "/api/rigs/"+s.find(file).ID+"/stage", nil).want(200).into(&st)
		c := st.CornerLoadsN
		// g by the 3rd CGPM (1901), exact.
		if sum := c.FrontLeft + c.FrontRight + c.RearLeft + c.RearRight; math.Abs(sum-st.MassG/1000*9.80665) > 1e-6 {
			t.Errorf("%s: the wheels carry %g N, the rig weighs %g g", file, sum, st.MassG)
		}
		var parts struct{ Assemblies []Assembly }
		s.do("GET", "/api/rigs/"+s.find(file).ID+"/parts", nil).want(200).into(&parts)
		sum := 0.0
		for _, a := range parts.Assemblies {
			own := 0.0
			for _, p := range a.Parts {
				if p.MassG != nil {
					own += *p.MassG * map[bool]float64{false: 1, true: 2}[p.Pair]
				}
				if (p.MassG == nil) != (p.MassFrom == "none") {
					t.Errorf("%s: %s has weight %v from %s", file, p.Name, p.MassG, p.MassFrom)
				}
			}
			if math.Abs(own-a.MassG) > 1e-6 {
				t.Errorf("%s: parts of %s weigh %g g, their sum says %g", file, a.Word, own, a.MassG)
			}
			sum += a.MassG
		}
		if math.Abs(sum-st.MassG) > 1e-6 {
			t.Errorf("%s: the assemblies weigh %g g, the stage says %g", file, sum, st.MassG)
		}
	}
}

func TestPartsAndBins(t *testing.T) {
	s := openShop(t)
	var parts struct{ Assemblies []Assembly }
	s.do("GET", "/api/rigs/"+s.find("bramble-portal.rig.yaml").ID+"/parts", nil).want(200).into(&parts)
	inherited, own, items := 0, 0, 0
	for _, a := range parts.Assemblies {
		for _, p := range a.Parts {
			if p.Inherited {
				inherited++
			} else {
				own++
			}
			if p.Item != "" {
				items++
			}
			if p.Path[len(p.Path)-1] != p.Name && a.Word != "steer" {
				t.Errorf("found path %v of %s", p.Path, p.Name)
			}
			if p.MassFrom == "document" && p.Text["mass"] == "" {
				t.Errorf("%s has its weight from the document, but no text for it: %v", p.Name, p.Text)
			}
		}
	}
	if inherited == 0 || own == 0 || items == 0 {
		t.Errorf("found %d inherited, %d own parts, %d items", inherited, own, items)
	}
	id := s.find("bramble.rig.yaml").ID
	var all, rods, words struct{ Items []Item }
	s.do("GET", "/api/rigs/"+id+"/bins", nil).want(200).into(&all)
	s.do("GET", "/api/rigs/"+id+"/bins?kind=rod", nil).want(200).into(&rods)
	if len(rods.Items) == 0 || len(rods.Items) >= len(all.Items) {
		t.Errorf("found %d rods of %d items", len(rods.Items), len(all.Items))
	}
	first := all.Items[0]
	s.do("GET", "/api/rigs/"+id+"/bins?q="+strings.ToUpper(first.ID), nil).want(200).into(&words)
	if len(words.Items) == 0 || words.Items[0].ID != first.ID || first.Text == "" || first.Bin != "club-shelf.bin.yaml" {
		t.Errorf("found %+v for %+v", words.Items, first)
	}
}

func TestGuideOverHTTP(t *testing.T) {
	s := openShop(t)
	var q struct{ Questions []Question }
	s.do("GET", "/api/guide", nil).want(200).into(&q)
	answers := map[string]string{}
	for _, one := range q.Questions {
		answers[one.Key] = fmt.Sprintf("%g %s", one.Usual, one.Unit)
	}
	made := s.do("POST", "/api/guide", map[string]any{"file": "guided.rig.yaml", "name": "Guided", "answers": answers}).want(201).rig()
	var all checkOut
	s.do("GET", "/api/rigs/"+made.ID+"/check", nil).want(200).into(&all.Body)
	for _, w := range all.Body.Words {
		if w.Worst == "stop" {
			t.Errorf("%s says stop of a guided start", w.Word)
		}
	}
	answers["wheelbase"], answers["mass"] = "3 g", ""
	p := s.do("POST", "/api/guide", map[string]any{"file": "guided2.rig.yaml", "answers": answers}).problem(422)
	if len(p.Errors) != 2 || p.Errors[0].Location != "body.answers.wheelbase" || p.Errors[1].Location != "body.answers.mass" {
		t.Errorf("found %+v", p.Errors)
	}
}

// Everything exported and imported into an empty workshop is byte for byte the same; names that leave the folder are refused.
func TestExportImportOverHTTP(t *testing.T) {
	s := openShop(t)
	r := s.do("GET", "/api/workshop/export", nil).want(200)
	if r.Header.Get("Content-Type") != zipType || !strings.HasPrefix(r.Header.Get("Content-Disposition"), "attachment") {
		t.Errorf("found %v", r.Header)
	}
	texts, err := store.ReadZip(r.Raw)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	for _, d := range demo(t) {
		want[d.Name] = string(d.Body)
	}
	for _, d := range texts {
		if want[d.Name] != string(d.Body) {
			t.Errorf("%s differs in the export", d.Name)
		}
	}
	if len(texts) != len(want) {
		t.Errorf("found %d files, expected %d", len(texts), len(want))
	}
	var res importOut
	s.do("POST", "/api/workshop/import", r.Raw, "Content-Type", zipType).want(200).into(&res.Body)
	for _, f := range res.Body.Files {
		if f.Result != store.Same {
			t.Errorf("found %+v, expected nothing to change", f)
		}
	}
	one := s.do("GET", "/api/workshop/export?rig="+s.find("bramble-portal.rig.yaml").ID, nil).want(200)
	if texts, err := store.ReadZip(one.Raw); err != nil || len(texts) != 3 {
		t.Errorf("found %d files, %v, expected the build, its base and their bin", len(texts), err)
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	f, err := z.Create("../evil.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f.Write([]byte("lowslung: 1\n"))
	z.Close()
	s.do("POST", "/api/workshop/import", b.Bytes(), "Content-Type", zipType).problem(422, "leads out")
	s.do("POST", "/api/workshop/import", []byte("no zip"), "Content-Type", zipType).problem(422, "no zip")
}

// Gaps over HTTP are those of the question, with both axles moved.
func TestGapsAreTheQuestion(t *testing.T) {
	s := openShop(t)
	_, m := model(t, "bramble-portal.rig.yaml")
	want, err := travel.Gaps(m, travel.StandOf(m), travel.Bumps{{10, -10}, {-5, 5}})
	if err != nil || len(want) == 0 {
		t.Fatal(want, err)
	}
	id := s.find("bramble-portal.rig.yaml").ID
	wantJSON(t, s.do("GET", "/api/rigs/"+id+"/gaps?front_left=10&front_right=-10&rear_left=-5&rear_right=5", nil), map[string]any{"gaps": want})
	s.do("GET", "/api/rigs/"+id+"/gaps?rear_left=900", nil).problem(422, "do not reach")
}
