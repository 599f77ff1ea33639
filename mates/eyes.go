package mates

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/finding"
	"lowslung/rig"
)

// Link eyes: the ball of a rod end on the bolt of its hole, between the two faces of its slot, and the small parts that come with it.

const (
	slotTight  = 0.05 // mm that a ball may be wider than its slot: a printed or bent slot gives (common practice)
	spacerLess = 0.3  // mm beside a ball that nobody packs: the bolt pulls the slot together (common practice)
)

// An eye is one end of a link on its hole.
type eye struct {
	link, what string // name of the link, and which end
	path       string // links/rear lower
	ref        rig.Ref
	end        *rig.End
	hole       *rig.Hole
	pair       bool
}

func (w *works) eyeList() []eye {
	var out []eye
	for i := range w.m.Doc.Links {
		e := &w.m.Doc.Links[i]
		for k, ref := range []rig.Ref{e.Value.From, e.Value.To} {
			x := eye{link: e.Name, path: "links/" + e.Name, what: [2]string{"chassis", "axle"}[k], ref: ref, hole: w.hole(ref), pair: e.Value.Pair}
			if k < len(e.Value.Ends) {
				x.end = itemOf(w.m, e.Value.Ends[k]).End
			}
			out = append(out, x)
		}
	}
	for _, s := range w.m.Doc.SteerBolts() {
		x := eye{link: s.Rod, path: s.Path, what: rig.EndNames(s.Path)[s.End], ref: rig.Ref{Text: s.Where}, hole: &rig.Hole{Bolt: s.EyeBolt.Bolt, Slot: s.Slot, Fastened: s.Fastened}}
		if id := w.m.Doc.EndOf(s.Rod, s.End); id != "" {
			x.end = itemOf(w.m, id).End
		}
		out = append(out, x)
	}
	return out
}

// gap is what is left beside the ball on each side of a slot, mm; known is false when one of the widths is not given.
func (x *eye) gap() (each float64, known bool) {
	if x.end == nil || x.hole == nil || x.end.Width == nil || x.hole.Slot == nil {
		return 0, false
	}
	return (mm(x.hole.Slot) - mm(x.end.Width)) / 2, true
}

// eyes judges every link's ends against the bolts and slots of the holes they sit on, as far as bin and document give them.
func (w *works) eyes() []Joint {
	var out []Joint
	for _, x := range w.eyeList() {
		if x.end == nil || x.hole == nil {
			continue
		}
		j := Joint{
			A: fmt.Sprintf("%s, %s end", x.link, x.what), B: x.ref.Text, Type: "rod end – hole", OK: true, Fit: "same bolt", Source: "ISO 261 sizes; slots: geometry",
			about: []string{x.path},
		}
		if part, hole := x.ref.Split(); hole != "" {
			j.about = append(j.about, w.pathOf(part))
		}
		bolt := rig.TidyThread(x.end.Bolt)
		each, known := x.gap()
		switch {
		case bolt == "" || x.hole.Bolt == "":
			if !known {
				continue
			}
			j.Fit, j.Reason = "fits between", ""
		default:
			j.Reason = fmt.Sprintf("a ball for %s on a hole for %s", bolt, rig.TidyThread(x.hole.Bolt))
			if bolt != rig.TidyThread(x.hole.Bolt) {
				j.OK, j.Fit = false, "wrong bolt"
			}
		}
		if known && j.OK {
			text := fmt.Sprintf("a ball %s wide in a slot of %s", w.dim(mm(x.end.Width)), w.dim(mm(x.hole.Slot)))
			if j.Reason != "" {
				text = j.Reason + "; " + text
			}
			j.Reason = text
			switch {
			case each < -slotTight/2:
				j.OK, j.Fit = false, "too wide"
			case each > spacerLess/2:
				j.Fit = "wants spacers"
				j.Reason += fmt.Sprintf(": %s of spacer on each side", w.dim(each))
			}
		}
		out = append(out, j)
	}
	return out
}

func (w *works) hole(ref rig.Ref) *rig.Hole {
	part, name := ref.Split()
	for i := range w.parts {
		if w.parts[i].name == part {
			h, _ := w.parts[i].part.Holes.Get(name)
			return h
		}
	}
	return nil
}

// spacers are those of one width that go beside the balls of link ends.
type spacers struct {
	thread string
	each   float64 // mm
	count  int
	links  []string
}

// smallParts says which spacers the link eyes want: no part of the document is one of them, so nothing counts as missing, but to have them at
// hand saves a trip. Their bolts are in bolts.go.
func (w *works) smallParts() []finding.Finding {
	var ss []spacers
	for _, x := range w.eyeList() {
		if x.hole == nil {
			continue
		}
		thread := rig.TidyThread(x.hole.Bolt)
		if thread == "" && x.end != nil {
			thread = rig.TidyThread(x.end.Bolt)
		}
		each, known := x.gap()
		if thread == "" || !known || each <= spacerLess/2 {
			continue
		}
		k := slices.IndexFunc(ss, func(s spacers) bool { return s.thread == thread && math.Abs(s.each-each) < 1e-6 })
		if k < 0 {
			k = len(ss)
			ss = append(ss, spacers{thread: thread, each: each})
		}
		n := 2 // one on each side of the ball
		if x.pair {
			n = 4
		}
		ss[k].count += n
		ss[k].links = append(ss[k].links, x.path)
	}
	var out []finding.Finding
	for _, s := range ss {
		text := fmt.Sprintf("Beside the balls of link ends go %d spacers of %s for %s", s.count, w.dim(s.each), s.thread)
		if ids := w.spacersOf(s.thread, s.each); len(ids) > 0 {
			text += "; in the bin: " + strings.Join(ids, ", ")
		}
		out = append(out, finding.New(finding.Note, "mates/spacers", "%s.", text).For(slices.Compact(s.links)...))
	}
	return out
}

// spacersOf are washers and spacers of the bins of which a whole number makes up the width, at most three.
func (w *works) spacersOf(thread string, width float64) []string {
	var ids []string
	d := threadSize(thread)
	for _, s := range w.shelf() {
		if s.part.Kind != "washer" && s.part.Kind != "spacer" {
			continue
		}
		for i := range s.ports {
			p := &s.ports[i]
			if p.Type != "clearance hole" || p.Length == 0 || p.Diameter < d || p.Diameter > 1.3*d {
				continue
			}
			if n := math.Round(width / p.Length); n >= 1 && math.Abs(n*p.Length-width) <= spacerLess/2 && len(ids) < 3 {
				ids = append(ids, fmt.Sprintf("%.0f × %s", n, s.id))
			}
		}
	}
	return ids
}
