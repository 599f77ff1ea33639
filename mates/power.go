package mates

import "fmt"

// The drive's leads: what the document says of pack, controller and motor as parts, whether or not they have ports.

const fullCell = 4.2 // V, a lithium cell fully charged (IEC 61960-3; common practice)

// volts holds a pack against the voltage that the motor takes, and the plugs of pack and controller against each other when no mate
// joins them. The parts are those that drive names.
func (w *works) volts() []Joint {
	d := w.m.Doc.Drive
	if d == nil || d.Battery == "" {
		return nil
	}
	pack := w.partOf(d.Battery).Pack
	if pack == nil {
		return nil
	}
	var out []Joint
	if motor := w.partOf(d.Motor).Motor; motor != nil && motor.MaxVolts != nil && pack.Cells > 0 && pack.Chemistry != "nickel metal hydride" {
		full, most := fullCell*float64(pack.Cells), float64(*motor.MaxVolts)
		j := Joint{A: d.Battery, B: d.Motor, Type: "pack – motor", OK: true, Fit: "in the window", Source: "IEC 61960-3: 4.2 V a lithium cell when full; the motor's own limit",
			Reason: fmt.Sprintf("%d cells are %.1f V when full on a motor for up to %.1f V", pack.Cells, full, most), about: []string{w.pathOf(d.Battery), w.pathOf(d.Motor)}}
		if full > most+1e-9 {
			j.OK, j.Fit = false, "too many volts"
		}
		out = append(out, j)
	}
	if c := w.partOf(d.Controller).Controller; c != nil && c.Plug != "" && pack.Plug != "" && !w.plugged(d.Battery, d.Controller) {
		j := Joint{A: d.Battery, B: d.Controller, Type: "plug – plug", OK: true, Found: true, Fit: "same plug", Reason: pack.Plug, Source: "same kind: common practice",
			about: []string{w.pathOf(d.Battery), w.pathOf(d.Controller)}}
		if c.Plug != pack.Plug {
			j.OK, j.Fit = false, "wrong plug"
			j.Reason = fmt.Sprintf("%q and %q", pack.Plug, c.Plug)
		}
		out = append(out, j)
	}
	return out
}

// plugged says that a mate joins plugs of the two parts already.
func (w *works) plugged(a, b string) bool {
	for i := range w.ports {
		p := &w.ports[i]
		if p.Type != "plug" || p.Part != a && p.Part != b {
			continue
		}
		for _, ref := range w.taken[p.ref()] {
			if q := w.port(ref); q.Part == a || q.Part == b {
				return true
			}
		}
	}
	return false
}
