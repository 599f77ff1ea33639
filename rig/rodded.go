package rig

// A Rodded is a thing made of a rod and two rod ends: a suspension link, or a rod of the steering, which has the keys of a link but no holes of parts at its ends.
type Rodded struct {
	Name  string
	Path  string // in the document: links/rear lower, steer/tie_rod
	Link  *Link  // of a steering rod: what it is made of alone
	Steer bool
}

// Rodded lists links in the order of the document, then tie rod and drag link as far as it says what they are made of.
func (d *Document) Rodded() []Rodded {
	out := make([]Rodded, 0, len(d.Links)+2)
	for i := range d.Links {
		out = append(out, Rodded{Name: d.Links[i].Name, Path: "links/" + d.Links[i].Name, Link: &d.Links[i].Value})
	}
	for _, r := range d.steerRods() {
		if r.Link.Rod != nil || len(r.Link.Ends) > 0 {
			out = append(out, r)
		}
	}
	return out
}

func (d *Document) steerRods() []Rodded {
	if d.Steer == nil {
		return nil
	}
	var out []Rodded
	if t := d.Steer.TieRod; t != nil {
		out = append(out, Rodded{Name: "tie rod", Path: "steer/tie_rod", Link: t.SteerRod.asLink(t.Place), Steer: true})
	}
	if k := d.Steer.DragLink; k != nil {
		out = append(out, Rodded{Name: "drag link", Path: "steer/drag_link", Link: k.SteerRod.asLink(k.Place), Steer: true})
	}
	return out
}

func (s *SteerRod) asLink(at Place) *Link {
	return &Link{Axle: "front", Length: s.Length, Rod: s.Rod, Ends: s.Ends, Turns: s.Turns, Mass: s.Mass, Width: s.Width, Place: at}
}

// EndNames are what the two ends of the thing at a path are called.
func EndNames(path string) [2]string {
	switch path {
	case "steer/tie_rod":
		return [2]string{"left", "right"}
	case "steer/drag_link":
		return [2]string{"horn", "far"}
	}
	return [2]string{"chassis", "axle"}
}

// AsLink is a tie rod in the keys of a link.
func (t *TieRod) AsLink() *Link { return t.SteerRod.asLink(t.Place) }

// AsLink is a drag link in the keys of a link.
func (k *DragLink) AsLink() *Link { return k.SteerRod.asLink(k.Place) }

// A SteerBolt is a bolt through an end of a steering rod.
type SteerBolt struct {
	Where string // left arm
	Rod   string // tie rod
	Path  string // steer/tie_rod
	Keys  string // steer/tie_rod/bolt: where the document says how it is fastened
	End   int    // of the rod's two
	*EyeBolt
}

// SteerBolts are the bolts that the document has for tie rod and drag link: the tie rod's stands for both arms. A drag link without one of its own sits on the tie rod's,
// at the arm on its side.
func (d *Document) SteerBolts() []SteerBolt {
	if d.Steer == nil {
		return nil
	}
	var out []SteerBolt
	t, k := d.Steer.TieRod, d.Steer.DragLink
	if t != nil && t.Bolt != nil {
		out = append(out, SteerBolt{"left arm", "tie rod", "steer/tie_rod", "steer/tie_rod/bolt", 0, t.Bolt}, SteerBolt{"right arm", "tie rod", "steer/tie_rod", "steer/tie_rod/bolt", 1, t.Bolt})
	}
	if k == nil {
		return out
	}
	if k.ByHorn != nil {
		out = append(out, SteerBolt{"servo horn", "drag link", "steer/drag_link", "steer/drag_link/horn_bolt", 0, k.ByHorn})
	}
	side := "left arm"
	if k.On == "right" || k.On != "left" && k.To[1] < 0 {
		side = "right arm"
	}
	switch {
	case k.Bolt != nil && k.On == "tie rod":
		out = append(out, SteerBolt{"eye of the tie rod", "drag link", "steer/drag_link", "steer/drag_link/bolt", 1, k.Bolt})
	case k.Bolt != nil:
		out = append(out, SteerBolt{"eye of the " + side, "drag link", "steer/drag_link", "steer/drag_link/bolt", 1, k.Bolt})
	case t != nil && t.Bolt != nil && (len(k.Ends) > 0 || k.Rod != nil):
		out = append(out, SteerBolt{side, "drag link", "steer/drag_link", "steer/tie_rod/bolt", 1, t.Bolt})
	}
	return out
}

// EndOf is the bin item of a steering rod's end, empty when the document does not name it.
func (d *Document) EndOf(rod string, end int) string {
	for _, r := range d.steerRods() {
		if r.Name == rod && end < len(r.Link.Ends) {
			return r.Link.Ends[end]
		}
	}
	return ""
}
