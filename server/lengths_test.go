package server

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// A wish, put into the document as the page puts it, gives the wish back: the page's only way to know is the saved rig's own travel.
func TestLengthsForAWish(t *testing.T) {
	b := openShop(t)
	id := b.find("bramble.rig.yaml").ID
	ask := func(query string) (l Lengths) {
		b.do("GET", "/api/rigs/"+id+"/lengths?"+query, nil).want(200).into(&l)
		return l
	}
	if l := ask("axle=front"); l.Wish != nil || len(l.Turns) == 0 || l.Turns[0].Axle != "front" {
		t.Errorf("without a wish found %+v", l)
	}
	l := ask("axle=rear&wheelbase=12.3+in&pinion=9")
	if l.Wish == nil || len(l.Turns) != len(l.Wish.Links) {
		t.Fatalf("found %+v", l)
	}
	var changes []map[string]any
	for _, w := range l.Wish.Links {
		changes = append(changes, map[string]any{"path": []string{"links", w.Link, "length"}, "value": fmt.Sprintf("%.9f", w.WantedMM)})
		for _, key := range []string{"rod", "ends", "turns"} {
			changes = append(changes, map[string]any{"path": []string{"links", w.Link, key}, "value": "null"})
		}
	}
	r := b.do("GET", "/api/rigs/"+id, nil).want(200)
	b.do("POST", "/api/rigs/"+id+"/edit", map[string]any{"changes": changes, "why": "lengths"}, "If-Match", r.Header.Get("ETag")).want(200)
	var answer struct {
		Axles struct {
			Rear struct {
				Design struct {
					Pinion    float64 `json:"pinion_angle_deg"`
					Wheelbase float64 `json:"wheelbase_mm"`
				}
			}
		}
	}
	b.do("GET", "/api/rigs/"+id+"/travel?axle=rear", nil).want(200).into(&answer)
	if d := answer.Axles.Rear.Design; math.Abs(d.Wheelbase-12.3*25.4) > 1e-6 || math.Abs(d.Pinion-9) > 1e-6 {
		t.Errorf("put back, the lengths give %.9f mm and %.9f°, expected %.2f mm and 9°", d.Wheelbase, d.Pinion, 12.3*25.4)
	}
}

func TestLengthsRefuse(t *testing.T) {
	b := openShop(t)
	at := "/api/rigs/" + b.find("bramble.rig.yaml").ID + "/lengths?"
	for query, want := range map[string]string{
		"axle=rear&wheelbase=long":             "wheelbase",
		"axle=rear&pinion=85":                  "between -80° and 80°",
		"axle=rear&pinion=8&link=rear+lowwer":  `did you mean "rear lower"?`,
		"axle=rear&wheelbase=1":                "",
		"axle=sideways&pinion=8":               "",
		"axle=front&wheelbase=312&link=absent": "absent",
	} {
		p := b.do("GET", at+query, nil).problem(422, "")
		text := p.Detail
		for _, e := range p.Errors {
			text += " " + e.Message
		}
		if !strings.Contains(text, want) {
			t.Errorf("%s: found %q, expected it to say %q", query, text, want)
		}
	}
}

func TestDriveAnswers(t *testing.T) {
	b := openShop(t)
	at := "/api/rigs/" + b.find("bramble-portal.rig.yaml").ID + "/drive"
	type answer struct {
		Stages []struct{ Teeth []int }
		Points []struct{ Name string }
	}
	var a answer
	b.do("GET", at+"?ledge=1.5+in&units=us", nil).want(200).into(&a)
	found := false
	for _, p := range a.Points {
		found = found || strings.Contains(p.Name, "1.5")
	}
	if len(a.Stages) != 2 || !found {
		t.Errorf("found %+v, expected two stages and a ledge of 1.5 in", a)
	}
	b.do("GET", at+"?ledge=high", nil).problem(422, "ledge")
}

// A rig with nothing in it yet has empty lists, not null: the page counts on what the description says.
func TestBareRigHasNoNullLists(t *testing.T) {
	b := openShop(t)
	made := b.do("POST", "/api/rigs", map[string]string{"file": "bare.rig.yaml", "text": "lowslung: 1\nname: Bare\n"}).want(201).rig()
	for word, lists := range map[string][]string{
		"mates": {"joints", "unmet", "leftovers", "reused", "bought", "made", "steps", "findings"},
		"steer": {"sweep", "missed", "findings"},
		"drive": {"stages", "points", "pinions", "weak", "shafts", "heat", "cautions", "findings"},
	} {
		var answer map[string]any
		b.do("GET", "/api/rigs/"+made.ID+"/"+word, nil).want(200).into(&answer)
		for _, key := range lists {
			if _, ok := answer[key].([]any); !ok {
				t.Errorf("%s: found %v for %s, expected a list", word, answer[key], key)
			}
		}
	}
}
