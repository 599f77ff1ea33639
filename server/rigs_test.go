package server

import (
	"fmt"
	"strings"
	"testing"
)

func TestRigs(t *testing.T) {
	b := openShop(t)
	var list struct{ Rigs []Card }
	b.do("GET", "/api/rigs", nil).want(200).into(&list)
	if len(list.Rigs) != 4 {
		t.Fatalf("found %d rigs, expected the four demo rigs", len(list.Rigs))
	}
	for _, c := range list.Rigs {
		if c.ID == "" || c.Name == "" || c.Name == c.File || c.Revision != 1 || c.Worst == "" {
			t.Errorf("found %+v", c)
		}
	}
	made := b.do("POST", "/api/rigs", map[string]string{"file": "own.rig.yaml", "starter": "Own: one"}).want(201).rig()
	if made.Name != "Own: one" || made.Revision != 1 || made.CanUndo {
		t.Errorf("found %+v", made)
	}
	copied := b.do("POST", "/api/rigs", map[string]string{"file": "copy.rig.yaml", "copy_of": made.ID}).want(201).rig()
	if copied.Text != made.Text || copied.Why != "copy of own.rig.yaml" {
		t.Errorf("found %+v", copied.Why)
	}
	b.do("POST", "/api/rigs", map[string]string{"file": "own.rig.yaml", "starter": "x"}).problem(409, "already")
	b.do("POST", "/api/rigs", map[string]string{"file": "../own.rig.yaml", "starter": "x"}).problem(422, "leads out")
	b.do("POST", "/api/rigs", map[string]string{"file": "own.bin.yaml", "text": "lowslung: 1\n"}).problem(422, ".rig.yaml")
	b.do("POST", "/api/rigs", map[string]string{"file": "n.rig.yaml"}).problem(422, "exactly one")
	b.do("POST", "/api/rigs", map[string]string{"starter": "x"}).problem(422)
	b.do("POST", "/api/rigs", map[string]string{"file": "n.rig.yaml", "copy_of": "999"}).problem(404)
	b.do("GET", "/api/rigs/999", nil).problem(404)
	b.do("GET", "/api/rigs/x", nil).problem(404)

	text := strings.Replace(made.Text, "mass: 158", "mass: 170", 1)
	saved := b.do("PUT", "/api/rigs/"+made.ID, map[string]string{"text": text, "why": "heavier pack"}, "If-Match", tag(made)).want(200).rig()
	if saved.Revision != 2 || saved.Text != text || saved.Why != "heavier pack" || !saved.CanUndo {
		t.Errorf("found %+v", saved)
	}
	p := b.do("PUT", "/api/rigs/"+made.ID, map[string]string{"text": made.Text}, "If-Match", tag(made)).problem(412, "in between")
	if p.Revision != 2 || p.Hash != saved.Hash || p.Code != "conflict" {
		t.Errorf("found %+v, expected the present revision in the conflict", p)
	}
	b.do("PUT", "/api/rigs/"+made.ID, map[string]string{"text": made.Text}).problem(428, "If-Match")
	b.do("POST", "/api/rigs/"+made.ID+"/undo", nil).problem(428)

	undone := b.do("POST", "/api/rigs/"+made.ID+"/undo", nil, "If-Match", tag(saved)).want(200).rig()
	if undone.Text != made.Text || undone.Revision != 3 || undone.CanUndo || !undone.CanRedo {
		t.Errorf("found %+v", undone)
	}
	redone := b.do("POST", "/api/rigs/"+made.ID+"/redo", nil, "If-Match", tag(undone)).want(200).rig()
	if redone.Text != text || redone.Revision != 4 || redone.CanRedo {
		t.Errorf("found %+v", redone)
	}
	b.do("POST", "/api/rigs/"+made.ID+"/redo", nil, "If-Match", tag(redone)).problem(409, "nothing to redo")
	var revisions struct{ Revisions []Revision }
	b.do("GET", "/api/rigs/"+made.ID+"/revisions", nil).want(200).into(&revisions)
	if len(revisions.Revisions) != 4 || !revisions.Revisions[0].Current || revisions.Revisions[0].Number != 4 || revisions.Revisions[1].Why != "undo: heavier pack" {
		t.Errorf("found %+v", revisions)
	}
	var first RevisionText
	b.do("GET", "/api/rigs/"+made.ID+"/revisions/1", nil).want(200).into(&first)
	if first.Text != made.Text || first.Number != 1 {
		t.Errorf("found revision %d", first.Number)
	}
	b.do("GET", "/api/rigs/"+made.ID+"/revisions/9", nil).problem(404)

	b.do("DELETE", "/api/rigs/"+made.ID, nil, "If-Match", tag(made)).problem(412)
	b.do("DELETE", "/api/rigs/"+made.ID, nil, "If-Match", tag(redone)).want(204)
	b.do("GET", "/api/rigs/"+made.ID, nil).problem(404)
	back := b.do("POST", "/api/rigs", map[string]string{"file": "own.rig.yaml", "text": made.Text}).want(201).rig()
	if back.ID != made.ID || back.Revision != 5 || !back.CanUndo {
		t.Errorf("found %+v, expected the history taken up again", back)
	}
	base := b.find("bramble.rig.yaml")
	b.do("DELETE", "/api/rigs/"+base.ID, nil, "If-Match", tag(base)).problem(409, "bramble-portal.rig.yaml")
}

// Mistakes in a text come with file, line and column, all at once, and nothing is saved.
func TestMistakesHavePlaces(t *testing.T) {
	b := openShop(t)
	rig := b.find("bramble.rig.yaml")
	lines := strings.Split(rig.Text, "\n")
	at := -1
	for i, l := range lines {
		if strings.HasPrefix(l, "chassis:") {
			at = i
		}
	}
	lines[at] = "chasis:"
	p := b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": strings.Join(lines, "\n")}, "If-Match", tag(rig)).problem(422, "Nothing was saved")
	found := false
	for _, e := range p.Errors {
		if e.Line == at+1 && e.Column == 1 && e.File == "bramble.rig.yaml" && e.Code == "unknown-key" && e.Location == "body.text" && strings.Contains(e.Message, `"chassis"`) {
			found = true
		}
	}
	if !found {
		t.Errorf("found %+v, expected the unknown key at %d:1 with the nearest name", p.Errors, at+1)
	}
	p = b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": "lowslung: 1\nname: [\n"}, "If-Match", tag(rig)).problem(422)
	if len(p.Errors) != 1 || p.Errors[0].Line == 0 || p.Errors[0].Column == 0 {
		t.Errorf("found %+v, expected a place for broken YAML too", p.Errors)
	}
	// A mistake that the change makes in what builds on the rig names that file.
	broken := strings.Replace(rig.Text, "rear upper high:", "rear upper top:", 1) // which the other build takes out by name
	p = b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": broken}, "If-Match", tag(rig)).problem(422, "bramble-portal.rig.yaml")
	other := false
	for _, e := range p.Errors {
		other = other || e.File == "bramble-portal.rig.yaml" && e.Line > 0
	}
	if !other {
		t.Errorf("found %+v, expected mistakes in bramble-portal.rig.yaml", p.Errors)
	}
	if now := b.find("bramble.rig.yaml"); now.Revision != rig.Revision {
		t.Errorf("found revision %d, expected nothing saved", now.Revision)
	}
}

const edited = `lowslung: 1 # comments stay
name: Edits
chassis:
  parts:
    battery: {mass: 182 g, at: [6, 0, 12]} # the pack
    # a comment of its own
    motor:
      mass: 170
`

func TestEdit(t *testing.T) {
	b := openShop(t)
	rig := b.do("POST", "/api/rigs", map[string]string{"file": "edits.rig.yaml", "text": edited}).want(201).rig()
	edit := func(r Rig, changes ...map[string]any) *reply {
		return b.do("POST", "/api/rigs/"+r.ID+"/edit", map[string]any{"changes": changes}, "If-Match", tag(r))
	}
	mass := []string{"chassis", "parts", "battery", "mass"}
	next := edit(rig, map[string]any{"path": mass, "value": "150 g"}, map[string]any{"path": []string{"chassis", "parts", "motor", "at"}, "value": "[1, 2, 3]"}).want(200).rig()
	want := strings.Replace(strings.Replace(edited, "182 g", "150 g", 1), "mass: 170\n", "mass: 170\n      at: [1, 2, 3]\n", 1)
	if next.Text != want || next.Why != "chassis/parts/battery/mass" {
		t.Errorf("found %q for %q, expected %q", next.Text, next.Why, want)
	}
	next = edit(next, map[string]any{"path": []string{"chassis", "parts", "motor"}, "remove": true}).want(200).rig()
	if strings.Contains(next.Text, "motor") || !strings.Contains(next.Text, "# comments stay") {
		t.Errorf("found %q", next.Text)
	}
	for _, bad := range []map[string]any{
		{"path": mass, "value": "3 mm"},                                          // wrong dimension
		{"path": mass, "value": "1\nx: 2"},                                       // more than one value
		{"path": mass},                                                           // no value
		{"path": []string{"chassis", "parts", "nix"}, "remove": true},            // not there
		{"path": []string{"chassis", "parts", "battery", "masss"}, "value": "3"}, // unknown key
	} {
		p := edit(next, map[string]any{"path": []string{"name"}, "value": "halfway"}, bad).problem(422)
		if len(p.Errors) == 0 || p.Errors[0].Message == "" {
			t.Errorf("%v: found %+v", bad, p)
		}
	}
	if now := b.find("edits.rig.yaml"); now.Revision != next.Revision {
		t.Errorf("found revision %d, expected refused edits to save nothing", now.Revision)
	}
	edit(next).problem(422)
}

// In a build on a base, a value of the base is changed by writing it here, and taken out by writing null here.
func TestEditOfPatch(t *testing.T) {
	b := openShop(t)
	base := b.do("POST", "/api/rigs", map[string]string{"file": "base.rig.yaml", "text": edited}).want(201).rig()
	patch := b.do("POST", "/api/rigs", map[string]string{"file": "sub/patch.rig.yaml", "text": "lowslung: 1\nbase: ../base.rig.yaml # as it was\n"}).want(201).rig()
	edit := func(r Rig, change map[string]any) Rig {
		return b.do("POST", "/api/rigs/"+r.ID+"/edit", map[string]any{"changes": []any{change}}, "If-Match", tag(r)).want(200).rig()
	}
	mass := []string{"chassis", "parts", "battery", "mass"}
	patch = edit(patch, map[string]any{"path": mass, "value": "150 g"})
	sum := func() (g float64) {
		var parts struct{ Assemblies []Assembly }
		b.do("GET", "/api/rigs/"+patch.ID+"/parts", nil).want(200).into(&parts)
		return parts.Assemblies[0].MassG
	}
	if sum() != 320 || !strings.Contains(patch.Text, "# as it was") {
		t.Errorf("found %g g and %q", sum(), patch.Text)
	}
	patch = edit(patch, map[string]any{"path": []string{"chassis", "parts", "motor"}, "remove": true})
	if sum() != 150 || !strings.Contains(patch.Text, "null") {
		t.Errorf("found %g g and %q, expected the base's motor taken out", sum(), patch.Text)
	}
	patch = edit(patch, map[string]any{"path": []string{"chassis", "parts", "extra"}, "value": "{mass: 5, notes: new}"})
	patch = edit(patch, map[string]any{"path": []string{"chassis", "parts", "extra"}, "remove": true})
	if sum() != 150 || strings.Contains(patch.Text, "extra") {
		t.Errorf("found %q, expected the patch's own part gone without a null", patch.Text)
	}
	if now := b.do("GET", "/api/rigs/"+base.ID, nil).rig(); now.Text != edited {
		t.Error("the base was changed")
	}
}

// Removing what a bin item supplies writes null; what the item does not have is just removed.
func TestEditOfItem(t *testing.T) {
	b := openShop(t)
	var item Item
	var items struct{ Items []Item }
	bramble := b.find("bramble.rig.yaml")
	b.do("GET", "/api/rigs/"+bramble.ID+"/bins?kind=battery", nil).want(200).into(&items)
	for _, i := range items.Items {
		if i.MassG != nil {
			item = i
		}
	}
	if item.ID == "" {
		t.Fatal("found no battery with a weight on the demo shelf")
	}
	text := fmt.Sprintf("lowslung: 1\nbins: [club-shelf.bin.yaml]\nchassis: {parts: {pack: {item: %s, notes: mine, mass: 7}}}\n", item.ID)
	rig := b.do("POST", "/api/rigs", map[string]string{"file": "item.rig.yaml", "text": text}).want(201).rig()
	for _, key := range []string{"mass", "notes"} {
		rig = b.do("POST", "/api/rigs/"+rig.ID+"/edit", map[string]any{"changes": []any{map[string]any{"path": []string{"chassis", "parts", "pack", key}, "remove": true}}},
			"If-Match", tag(rig)).want(200).rig()
	}
	if !strings.Contains(rig.Text, "mass: null") || strings.Contains(rig.Text, "notes") {
		t.Errorf("found %q, expected the weight taken out of the item and the note gone", rig.Text)
	}
}
