package mates

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// Steps for what is no part of an assembly: things to make, links, shafts, shocks, and the pack.

// makeSteps are for the parts that the builder cuts or prints.
func (w *works) makeSteps() []Step {
	var out []Step
	for i := range w.parts {
		p := w.parts[i].part
		if !p.Made {
			continue
		}
		s := newStep(makes, w.parts[i].path)
		s.Do = "Make " + w.parts[i].name
		if p.Material != "" {
			s.Do += " of " + p.Material
		}
		s.Do += bothSides(p.Pair) + "."
		switch p.Material {
		case "carbon":
			s.Care = append(s.Care, "carbon dust harms the lungs and conducts: cut and sand wet, with mask and gloves, away from open electrics; break the edges, they are knives")
		case "PA12", "POM", "PETG", "PLA":
			s.Care = append(s.Care, "sanding prints makes dust for the lungs: mask on, wet paper, outdoors")
		default:
			s.Care = append(s.Care, "cut edges are sharp: break them with a file before anything else; glasses on when drilling")
		}
		out = append(out, s)
	}
	return out
}

func bothSides(pair bool) string {
	if pair {
		return ", left and right"
	}
	return ""
}

// linkSteps make up and bolt on the links, slide the drive shaft in before the last of them, and hang the shocks, axle by axle.
func (w *works) linkSteps() []Step {
	var out []Step
	for _, axle := range []string{"front", "rear"} {
		var bolt []Step
		for i := range w.m.Doc.Links {
			e := &w.m.Doc.Links[i]
			if e.Value.Axle != axle {
				continue
			}
			if s := w.madeUp(&rig.Rodded{Name: e.Name, Path: "links/" + e.Name, Link: &e.Value}); s.Do != "" {
				out = append(out, s)
			}
			bolt = append(bolt, w.boltedOn(e))
		}
		shafts := w.shaftSteps(axle)
		if n := len(bolt); n > 0 {
			out = append(append(append(out, bolt[:n-1]...), shafts...), bolt[n-1])
		} else {
			out = append(out, shafts...)
		}
		for i := range w.m.Doc.Shocks {
			if e := &w.m.Doc.Shocks[i]; e.Value.Axle == axle {
				out = append(out, w.hang(e))
			}
		}
		if axle == "front" {
			out = append(out, w.steerSteps()...)
		}
	}
	return out
}

// madeUp screws the rod ends on a rod; nothing for a link of which only the length is known.
func (w *works) madeUp(e *rig.Rodded) Step {
	l := e.Link
	if l.Rod == nil || len(l.Ends) != 2 {
		return Step{}
	}
	rod := l.Rod.Item
	if rod == "" && l.Rod.Length != nil {
		rod = "a rod of " + w.dim(mm(l.Rod.Length))
	}
	s := newStep(makeUp, e.Path)
	ends := l.Ends[0] + " and " + l.Ends[1]
	if l.Ends[0] == l.Ends[1] {
		ends = "two " + l.Ends[0]
	}
	turns := "screwed home"
	if l.Turns != nil && *l.Turns > 0 {
		turns = fmt.Sprintf("%g turns out from home, both ends together", *l.Turns)
	}
	s.Do = fmt.Sprintf("Make up %s%s: %s with %s, %s", e.Name, bothSides(l.Pair), rod, ends, turns)
	if length := w.eyeToEye(e); length > 0 {
		s.Do += fmt.Sprintf("; %s from eye to eye", w.dim(length))
	}
	s.Do += "."
	if end := itemOf(w.m, l.Ends[0]); end.Material == "PA12" || end.Material == "POM" {
		s.Notes = append(s.Notes, "no thread lock on plastic rod ends; measure eye to eye and turn both balls the same way up")
	} else {
		s.Notes = append(s.Notes, "measure eye to eye, then lock both ends")
	}
	return s
}

// eyeToEye is the length of a link or a rod of the steering, mm, 0 when not known.
func (w *works) eyeToEye(e *rig.Rodded) float64 {
	switch e.Path {
	case "steer/tie_rod":
		return w.m.Steer.TieRod
	case "steer/drag_link":
		return w.m.Steer.Drag
	}
	if k := slices.IndexFunc(w.m.Links, func(x solid.Link) bool { return x.Name == e.Name }); k >= 0 {
		return w.m.Links[k].Length
	}
	return 0
}

// steerSteps make up tie rod and drag link and bolt them on, once the front axle is in.
func (w *works) steerSteps() []Step {
	var out []Step
	for _, e := range w.m.Doc.Rodded() {
		if !e.Steer {
			continue
		}
		if s := w.madeUp(&e); s.Do != "" {
			out = append(out, s)
		}
		s := newStep(boltOn, e.Path)
		s.Do = "Bolt the tie rod to both arms, wheels straight ahead."
		if e.Path == "steer/drag_link" {
			s.Do = "Bolt the drag link on with the servo at its middle and the wheels straight ahead."
			s.Care = append(s.Care, "fingers out of the linkage when the servo is powered")
			if d := w.m.Doc.Steer.Servo; d != nil {
				part, _ := d.Split()
				s.Parts = append(s.Parts, part)
			}
		}
		for _, x := range w.eyeList() {
			if x.path == e.Path {
				s.Tools = append(s.Tools, boltTool(rig.TidyThread(x.hole.Bolt))...)
			}
		}
		s.Tools = compacted(s.Tools)
		s.Notes = append(s.Notes, "tight on the ball, and the ball still swings by hand")
		out = append(out, s)
	}
	return out
}

func (w *works) boltedOn(e *rig.Entry[rig.Link]) Step {
	l := &e.Value
	s := newStep(boltOn, "links/"+e.Name)
	s.Do = fmt.Sprintf("Bolt %s to %s and %s%s.", e.Name, l.From.Text, l.To.Text, bothSides(l.Pair))
	for k, ref := range []rig.Ref{l.From, l.To} {
		part, _ := ref.Split()
		s.Parts = append(s.Parts, part)
		x := eye{hole: w.hole(ref)}
		if k < len(l.Ends) {
			x.end = itemOf(w.m, l.Ends[k]).End
		}
		if x.hole != nil {
			s.Tools = append(s.Tools, boltTool(rig.TidyThread(x.hole.Bolt))...)
		}
		if each, known := x.gap(); known && each > spacerLess/2 {
			s.Notes = append(s.Notes, fmt.Sprintf("%s of spacer on each side of the ball at the %s", w.dim(each), [2]string{"chassis", "axle"}[k]))
		}
	}
	s.Tools = compacted(s.Tools)
	s.Notes = append(s.Notes, "tight on the ball, and the ball still swings by hand")
	return s
}

// boltTool is the key for a socket head of that thread, the head that eyes usually get.
func boltTool(thread string) []string {
	if k, ok := keys["socket"][thread]; ok {
		return []string{fmt.Sprintf("%g mm hexagon key", k)}
	}
	return nil
}

func compacted(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

func (w *works) shaftSteps(axle string) []Step {
	var out []Step
	for i := range w.m.Doc.Shafts {
		e := &w.m.Doc.Shafts[i]
		part, _ := e.Value.To.Split()
		if !strings.HasPrefix(w.pathOf(part), axle+"/") {
			continue
		}
		from, _ := e.Value.From.Split()
		s := newStep(slides, "shafts/"+e.Name)
		s.Do = fmt.Sprintf("Slide the shaft %s in between %s and %s while that end of the axle still moves freely.", e.Name, e.Value.From.Text, e.Value.To.Text)
		s.Parts, s.Notes = []string{from, part}, []string{"one drop of medium thread lock on its grub screws, metal on metal only"}
		out = append(out, s)
	}
	return out
}

func (w *works) hang(e *rig.Entry[rig.Shock]) Step {
	v := &e.Value
	s := newStep(hangs, "shocks/"+e.Name)
	s.Do = fmt.Sprintf("Hang the shock %s between %s and %s%s", e.Name, v.Top.Text, v.Bottom.Text, bothSides(v.Pair))
	var springs []string
	for _, sp := range v.Springs {
		if sp.Item != "" {
			springs = append(springs, sp.Item)
		}
	}
	if len(springs) > 0 {
		s.Do += ", with " + strings.Join(springs, " and ")
	}
	if v.Collar != nil && *v.Collar > 0 {
		s.Do += fmt.Sprintf(", collar %s down from free", w.dim(mm(v.Collar)))
	}
	s.Do += "."
	for _, ref := range []rig.Ref{v.Top, v.Bottom} {
		if part, _ := ref.Split(); w.pathOf(part) != part { // a part, not a link
			s.Parts = append(s.Parts, part)
		}
		if h := w.hole(ref); h != nil {
			s.Tools = append(s.Tools, boltTool(rig.TidyThread(h.Bolt))...)
		}
	}
	s.Tools = compacted(s.Tools)
	s.Care = append(s.Care, "the spring is under load: hold it in a cloth when cup or collar comes off, eyes away")
	return s
}

// plugSteps plug the pack in, after everything else.
func (w *works) plugSteps(joints []Joint) []Step {
	var out []Step
	var done []string
	for _, j := range joints {
		a, b := w.port(j.A), w.port(j.B)
		key := a.Part + " to " + b.Part
		if slices.Contains(done, key) || slices.Contains(done, b.Part+" to "+a.Part) {
			continue
		}
		done = append(done, key)
		s := newStep(plugs, w.pathOf(a.Part))
		s.Do, s.Parts = fmt.Sprintf("Plug %s, last of all.", key), []string{a.Part, b.Part}
		s.Care = append(s.Care, "check the polarity twice before the first plug-in, with the wheels off the ground and fingers clear")
		out = append(out, s)
	}
	return out
}
