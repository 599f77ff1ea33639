package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// The set-up: what is screwed, turned, filled and plugged in, as the document has it and as it stands.

func (w *writer) setup() []Block {
	var out []Block
	for _, t := range []*Table{w.links(), w.shocks(), w.bars(), w.tyres(), w.driveLine(), w.steering()} {
		if t != nil && len(t.Rows) > 0 {
			out = append(out, Block{Table: t})
		}
	}
	return out
}

// a measured value of the document knows its dimension.
type measured interface {
	~float64
	Dimension() *quantity.Dimension
}

// read prints a value of the document in the reader's units, a dash when it is not given.
func read[T measured](w *writer, v *T) string {
	if v == nil {
		return "–"
	}
	return w.in((*v).Dimension(), float64(*v))
}

// item is what a shop would call a bin item; its id when the bin has no title for it.
func (w *writer) item(id string) string {
	if p := w.binPart(id); p != nil && p.Title != "" {
		return p.Title
	}
	return id
}

func (w *writer) binPart(id string) *rig.Part {
	for _, b := range w.b.Model.Bins {
		if p, ok := b.Items.Get(id); ok {
			return p
		}
	}
	return nil
}

func pairs(pair bool) string {
	if pair {
		return "2"
	}
	return "1"
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (w *writer) links() *Table {
	t := &Table{Title: "Links", Columns: []Column{{Title: "Link", Share: 1.5}, {Title: "Count", Num: true, Share: 0.6}, {Title: "Eye to eye", Num: true},
		{Title: "Rod", Share: 1.8}, {Title: "Ends, chassis first", Share: 2}, {Title: "Turns out", Num: true, Share: 0.7}}}
	for i := range w.doc().Links {
		e := &w.doc().Links[i]
		l := &e.Value
		length := "–"
		for k := range w.b.Model.Links {
			if s := &w.b.Model.Links[k]; s.Name == e.Name {
				length = w.mm(s.Length)
				break
			}
		}
		rod := "–"
		if l.Rod != nil {
			switch {
			case l.Rod.Item != "":
				rod = w.item(l.Rod.Item)
			case l.Rod.Length != nil:
				rod = read(w, l.Rod.Length) + " long"
			}
		}
		turns := "–"
		if l.Turns != nil {
			turns = plain(*l.Turns)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{e.Name, pairs(l.Pair), length, rod, w.ends(l.Ends), turns}})
	}
	for _, r := range w.doc().Rodded() {
		if !r.Steer {
			continue
		}
		length, rod, turns := "–", "–", "–"
		if v := map[string]float64{"steer/tie_rod": w.b.Model.Steer.TieRod, "steer/drag_link": w.b.Model.Steer.Drag}[r.Path]; v > 0 {
			length = w.mm(v)
		}
		if r.Link.Rod != nil && r.Link.Rod.Item != "" {
			rod = w.item(r.Link.Rod.Item)
		} else if r.Link.Rod != nil && r.Link.Rod.Length != nil {
			rod = read(w, r.Link.Rod.Length) + " long"
		}
		if r.Link.Turns != nil {
			turns = plain(*r.Link.Turns)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{r.Name, pairs(false), length, rod, w.ends(r.Link.Ends), turns}})
	}
	return t
}

// ends are the two rod ends in words; two alike are said once.
func (w *writer) ends(ids []string) string {
	switch {
	case len(ids) == 0:
		return "–"
	case len(ids) == 2 && ids[0] == ids[1]:
		return "2 × " + w.item(ids[0])
	}
	var out []string
	for _, id := range ids {
		out = append(out, w.item(id))
	}
	return strings.Join(out, " + ")
}

func (w *writer) shocks() *Table {
	t := &Table{Title: "Shocks", Columns: []Column{{Title: "Shock", Share: 0.8}, {Title: "What", Share: 1.6}, {Title: "Eyes, upper first", Share: 2}, {Title: "Springs", Share: 1.7},
		{Title: "Collar", Num: true, Share: 0.8}, {Title: "Oil", Num: true, Share: 0.8}, {Title: "Piston", Share: 1.1}, {Title: "As it stands", Num: true, Share: 1.2}}}
	for i := range w.doc().Shocks {
		e := &w.doc().Shocks[i]
		k := &e.Value
		what := "–"
		if k.Item != "" {
			what = w.item(k.Item)
		}
		if k.Pair {
			what = "2 × " + what
		}
		piston := "–"
		if p := k.Piston; p != nil && p.Holes > 0 {
			piston = strconv.Itoa(p.Holes) + " holes"
			if p.Diameter != nil {
				piston = fmt.Sprintf("%d holes Ø %s", p.Holes, w.mm(float64(*p.Diameter)))
			}
		}
		t.Rows = append(t.Rows, Row{Cells: []string{e.Name, what, k.Top.Text + ", " + k.Bottom.Text, w.springs(k), read(w, k.Collar), read(w, k.Oil), piston, w.stands(e.Name)}})
	}
	return t
}

func (w *writer) springs(k *rig.Shock) string {
	var out []string
	add := func(list []rig.Spring, where string) {
		for i := range list {
			s := &list[i]
			text := read(w, s.Rate)
			if s.Free != nil {
				text += ", " + w.mm(float64(*s.Free)) + " free"
			}
			out = append(out, text+where)
		}
	}
	add(k.Springs, "")
	add(k.Above, " above the piston")
	add(k.Below, " below the piston")
	if out == nil {
		return "–"
	}
	return strings.Join(out, " + ")
}

// stands is how long the shock is as the rig stands, with the share of its stroke used: left and right when they differ in print.
func (w *writer) stands(name string) string {
	if w.a.Ride.Stance == nil {
		return "–"
	}
	var out []string
	for _, s := range w.a.Ride.Stance.Shocks {
		if s.Name != name {
			continue
		}
		text := w.mm(s.LengthMM)
		if s.SagShare != nil {
			text += ", " + quantity.DimShare.FormatDigits(*s.SagShare, w.u, 0) + " in"
		}
		if len(out) == 0 || out[len(out)-1] != text {
			out = append(out, text)
		}
	}
	if len(out) == 2 {
		return "left " + out[0] + "; right " + out[1]
	}
	return strings.Join(out, "")
}

func (w *writer) bars() *Table {
	t := &Table{Title: "Anti-roll bars", Columns: []Column{{Title: "Bar"}, {Title: "Wire", Num: true}, {Title: "Arm to arm", Num: true}, {Title: "Arm", Num: true}, {Title: "Material"}}}
	for i := range w.doc().Bars {
		b := &w.doc().Bars[i].Value
		material := b.Material
		if material == "" {
			material = "spring steel, as usual"
		}
		t.Rows = append(t.Rows, Row{Cells: []string{w.doc().Bars[i].Name, read(w, b.Wire), read(w, b.Span), read(w, b.Arm), material}})
	}
	return t
}

func (w *writer) tyres() *Table {
	t := &Table{Title: "Tyres", Columns: []Column{{Title: "Tyre", Share: 1.4}, {Title: "What", Share: 2}, {Title: "Free diameter", Num: true}, {Title: "Width", Num: true},
		{Title: "Radius as it stands", Num: true, Share: 1.2}, {Title: "Grip (assumption)", Num: true, Share: 1.1}}}
	for _, a := range []*rig.Axle{w.doc().Front, w.doc().Rear} {
		if a == nil {
			continue
		}
		for i := range a.Parts {
			p := &a.Parts[i].Value
			if p.Tyre == nil {
				continue
			}
			grip := "–"
			if p.Tyre.Grip != nil {
				grip = plain(*p.Tyre.Grip)
			}
			t.Rows = append(t.Rows, Row{Cells: []string{a.Parts[i].Name, w.called(p), w.mm(float64(p.Tyre.Diameter)), w.mm(float64(p.Tyre.Width)), read(w, p.Tyre.Loaded), grip}})
		}
	}
	return t
}

// called is how many of what a shop would call it; its kind when nobody does.
func (w *writer) called(p *rig.Part) string {
	text := p.Title
	if text == "" && p.Item != "" {
		text = w.item(p.Item)
	}
	if text == "" {
		text = p.Kind
	}
	if p.Pair && text != "" {
		return "2 × " + text
	}
	return text
}

func (w *writer) part(name string) *rig.Part {
	lists := []rig.Map[rig.Part]{w.doc().Chassis.Parts}
	for _, a := range []*rig.Axle{w.doc().Front, w.doc().Rear} {
		if a != nil {
			lists = append(lists, a.Parts)
		}
	}
	for _, l := range lists {
		if p, ok := l.Get(name); ok {
			return p
		}
	}
	return nil
}

func (w *writer) steering() *Table {
	t := &Table{Title: "Steering", Columns: []Column{{Title: "What"}, {Title: "Set to", Share: 2.5}}}
	row := func(what, is string) { t.Rows = append(t.Rows, Row{Cells: []string{what, is}}) }
	s := &w.b.Model.Steer
	if !s.Present {
		return nil
	}
	if d := w.doc().Steer.Servo; d != nil {
		if p := w.part(d.Text); p != nil {
			text := w.called(p)
			if p.Servo != nil && p.Servo.Torque != nil {
				text += ", " + w.in(quantity.DimTorque, float64(*p.Servo.Torque))
				if p.Servo.Volts != nil {
					text += " at " + read(w, p.Servo.Volts)
				}
			}
			row("servo", text)
		}
	}
	if s.HasHorn {
		row("horn, working length", w.mm(s.HornRadius()))
	}
	if k := w.a.Steer.Locks; k != nil {
		row("lock, inner wheel", fmt.Sprintf("left %s, right %s", w.deg(k.Left.InnerDeg), w.deg(k.Right.InnerDeg)))
		if k.Left.ServoShare != nil && k.Right.ServoShare != nil {
			pct := func(v *float64) string { return quantity.DimShare.FormatDigits(*v, w.u, 0) }
			row("end points of the servo", fmt.Sprintf("left %s, right %s of its travel", pct(k.Left.ServoShare), pct(k.Right.ServoShare)))
		}
	}
	if c := w.a.Steer.Middle; c != nil {
		row("toe-in", w.deg(c.ToeInDeg))
	}
	if k := w.a.Steer.Kingpin; k != nil {
		row("caster", w.deg(k.CasterDeg))
	}
	return t
}

// axles in the order that people name them.
var axles = [...]solid.End{solid.Front, solid.Rear}
