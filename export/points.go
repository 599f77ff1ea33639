package export

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"

	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Points is the rig's linkage as a table of points, as the program reads one (rig.FromPoints): every eye, wheel and joint in the chassis frame in the
// design pose, mm, with lengths and weights. left lists what such a table cannot say.
func Points(m *solid.Model) (table []byte, left []string, err error) {
	st := travel.StandOf(m)
	stance := st.Stance()
	var b bytes.Buffer
	b.WriteString("# " + orWord(oneLine(m.Name), "A rig") + ": points in the design pose, chassis frame (x forward, y left, z up from the belly plane), mm, g and degrees\n")
	w := csv.NewWriter(&b)
	row := func(cells ...string) {
		if err == nil {
			err = w.Write(cells)
		}
	}
	row("axle", "what", "chassis x", "chassis y", "chassis z", "axle x", "axle y", "axle z", "side", "length", "pinion angle", "tyre diameter", "tyre width", "weight")
	weight := func(kg float64, has bool) string {
		if !has {
			return ""
		}
		return num(kg * 1000)
	}
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		a := &m.Axles[end]
		if !a.Present {
			continue
		}
		c := solid.CarrierOf(end)
		place := func(v solid.Vec) solid.Vec { return stance.Place(c, v) }
		angle := ""
		if a.HasPinion {
			d := stance[end].Turn(a.PinionAxis)
			angle = num(math.Asin(max(-1, min(1, d.Z))) * 180 / math.Pi)
		}
		// An axle in the middle has its twins told once, as pairs; one that stands out of the middle has both sides told.
		even := true
		for i := range a.Wheels {
			p, q := place(a.Wheels[i].At), place(a.Wheels[i].At.Flip())
			even = even && p.Sub(q.Flip()).Norm() < 1e-9
		}
		for i := range a.Wheels {
			if even && a.Wheels[i].Side == solid.Right {
				continue
			}
			wh := &a.Wheels[i]
			p := place(wh.At)
			var own *solid.Body
			for k := range m.Bodies {
				if m.Bodies[k].Path == wh.Path && m.Bodies[k].Side == wh.Side {
					own = &m.Bodies[k]
				}
			}
			mass := ""
			if own != nil {
				mass = weight(own.Mass, own.HasMass)
			}
			one := angle
			if wh.At.Y < 0 { // told once for an axle
				one = ""
			}
			cells := append([]string{end.String(), "wheel", "", "", ""}, xyz(p)...)
			cells = append(cells, "", "", one, num(2*wh.Radius), some(wh.Width), mass)
			if wh.At.Y < 0 {
				cells[11], cells[12], cells[13] = "", "", ""
			}
			row(cells...)
		}
		for i := range m.Links {
			l := &m.Links[i]
			if l.Axle != end {
				continue
			}
			if even && l.Side == solid.Right {
				continue
			}
			row(append(span(end, oneLine(l.Name), l.From, place(l.To), l.Side, even), num(l.Length), "", "", "", weight(l.Mass, l.HasMass))...)
			if len(l.Bends) > 0 && l.Side != solid.Right {
				left = append(left, "the bends of "+l.Name)
			}
		}
		for i := range m.Shocks {
			k := &m.Shocks[i]
			if k.Axle != end {
				continue
			}
			if k.Top.Link >= 0 || k.Bottom.Link >= 0 || k.Bottom.Carrier != c || k.Top.Carrier != solid.OnChassis {
				if k.Side != solid.Right {
					left = append(left, "the shock "+k.Name+", which stands on a link")
				}
				continue
			}
			top, bottom := k.Top.At, place(k.Bottom.At)
			if even && k.Side == solid.Right {
				continue
			}
			row(append(span(end, "shock "+oneLine(k.Name), top, bottom, k.Side, even), num(bottom.Sub(top).Norm()), "", "", "", weight(k.Mass, k.HasMass))...)
		}
		if a.HasPinion {
			cells := []string{end.String(), "pinion", "", "", ""}
			mass := ""
			for i := range m.Shafts {
				if s := &m.Shafts[i]; s.Axle == end {
					cells = append(cells[:2], xyz(s.From)...)
					mass = weight(s.Mass, s.HasMass)
					break
				}
			}
			cells = append(cells, xyz(place(a.Pinion))...)
			row(append(cells, "", "", "", "", "", mass)...)
		}
	}
	w.Flush()
	if err == nil {
		err = w.Error()
	}
	parts := 0
	for i := range m.Bodies {
		if b := &m.Bodies[i]; b.Kind != "tyre" && b.Side != solid.Right {
			parts++
		}
	}
	if parts > 0 {
		left = append(left, fmt.Sprintf("parts with their shapes, places and weights: %d of them", parts))
	}
	return b.Bytes(), left, err
}

func span(end solid.End, name string, from, to solid.Vec, side solid.Side, even bool) []string {
	word := side.String()
	switch {
	case side == solid.Single:
		word = "single"
	case even:
		word = "pair"
	}
	out := append([]string{end.String(), name}, xyz(from)...)
	return append(append(out, xyz(to)...), word)
}

func xyz(v solid.Vec) []string { return []string{num(v.X), num(v.Y), num(v.Z)} }

// num is a number to 1e-6, without what is only rounding.
func num(v float64) string {
	v = math.Round(v*1e6) / 1e6
	if v == 0 {
		v = 0 // no −0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func some(v float64) string {
	if v == 0 {
		return ""
	}
	return num(v)
}

func oneLine(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r < ' ' {
			out[i] = ' '
		}
	}
	return string(out)
}

// partAt is the document's part at a path.
func partAt(m *solid.Model, path string) *rig.Part {
	if m.Doc == nil {
		return nil
	}
	for _, a := range []struct {
		head string
		list *rig.Map[rig.Part]
	}{{"chassis/parts/", &m.Doc.Chassis.Parts}, {"front/parts/", axleParts(m.Doc.Front)}, {"rear/parts/", axleParts(m.Doc.Rear)}} {
		if a.list == nil || len(path) <= len(a.head) || path[:len(a.head)] != a.head {
			continue
		}
		if p, ok := a.list.Get(path[len(a.head):]); ok {
			return p
		}
	}
	return nil
}

func axleParts(a *rig.Axle) *rig.Map[rig.Part] {
	if a == nil {
		return nil
	}
	return &a.Parts
}
