package rig

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lowslung/quantity"
)

// document writes the settled points as a commented document.
func (p *points) document() []byte {
	w := &scribe{}
	name := strings.ToValidUTF8(p.name, "�")
	if strings.TrimSpace(name) == "" {
		name = "My rig"
	}
	w.line("# Made from the points in %s, as measured with the rig standing at ride height.", quote(p.file))
	w.line("# Bare numbers are mm, g and degrees; any value may carry its unit instead: 4.3 in, 12 oz. All digits of the sums are kept: they do not")
	w.line("# say how well it was measured.")
	w.line("# Chassis frame: x forward, y to the left, z up from the belly plane. Axle frames: origin midway between the wheel centres, y along the")
	w.line("# wheel axis, pinion shaft level. \"pair: true\" gives a hole, part, link or shock its mirror twin on the other side.")
	w.line("# Not in the table, so not here yet: bolts and their directions, swing of rod ends, stroke of shocks and shafts, most weights.")
	w.line("lowslung: 1")
	w.line("name: %s", Scalar(name))
	w.line("")
	w.chassis(p)
	for i := range p.ends {
		if p.ends[i].name != "" {
			w.line("")
			w.axle(&p.ends[i])
		}
	}
	w.spans(p)
	return []byte(w.String())
}

type scribe struct{ strings.Builder }

func (w *scribe) line(format string, args ...any) {
	fmt.Fprintf(w, format, args...)
	w.WriteByte('\n')
}

// exact writes a number of mm, g or degrees to 1e-9, without what is only rounding.
func exact(v float64) string {
	v = math.Round(v*1e9) / 1e9
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func triple(v [3]float64) string {
	return "[" + exact(v[0]) + ", " + exact(v[1]) + ", " + exact(v[2]) + "]"
}

// hole is the entry of one end of a span.
func (w *scribe) hole(s *span, at [3]float64) {
	pair := ""
	if s.pair && sign(at[1]) != 0 {
		pair = ", pair: true"
	}
	w.line("        %s: {at: %s%s}", Scalar(s.hole()), triple(at), pair)
}

// hole is what the holes of a span are called, on the chassis and on the axle.
func (s *span) hole() string {
	if !s.shock {
		return s.name
	}
	axle, rest, _ := strings.Cut(s.name, " ")
	return strings.TrimSpace(axle + " shock " + rest)
}

func (w *scribe) chassis(p *points) {
	w.line("chassis:")
	w.line("  parts:")
	w.line("    frame:                             # all that carries a chassis eye; weigh it and write its mass")
	w.line("      kind: frame")
	if len(p.order) > 0 {
		w.line("      holes:")
		for _, s := range p.order {
			w.hole(s, *s.from)
		}
	}
	joints := 0
	for i := range p.ends {
		s := p.ends[i].pinion
		if s == nil || s.from == nil {
			continue
		}
		if joints++; joints == 1 {
			w.line("      outputs:                         # joints at the gearbox; their shafts are taken to run straight back and forward")
		}
		w.line("        %s: {at: %s, axis: %s}", p.ends[i].name, triple(*s.from), toward(p.ends[i].name))
	}
}

// toward is the direction from the gearbox to an axle.
func toward(axle string) string {
	if axle == "rear" {
		return "[-1, 0, 0]"
	}
	return "[1, 0, 0]"
}

func (w *scribe) axle(e *axlePoints) {
	other := "front"
	if e.name == "front" {
		other = "rear"
	}
	w.line("%s:", e.name)
	w.line("  near: %s", triple(e.origin))
	const degree = math.Pi / 180
	if len(e.wheels) == 1 {
		w.line("  # One wheel was measured, so the axle is taken to stand straight across the chassis, in its middle.")
	} else {
		w.line("  # As measured it stood %s mm to the left, steered by %s° and rolled by %s°; its frame is free of that.", quantity.Fixed(e.origin[1], 1), quantity.Fixed(e.steer/degree, 2), quantity.Fixed(e.roll/degree, 2))
	}
	if e.tilt == nil {
		w.line("  # No pinion angle in the table: the pinion shaft is taken to have been level (0°). If it was not, give the angle and make this anew.")
	} else {
		w.line("  # Pinion angle as measured: %s°.", exact(*e.tilt/degree))
	}
	w.line("  parts:")
	w.line("    %s axle:", e.name)
	w.line("      kind: axle")
	if len(e.spans) > 0 {
		w.line("      holes:")
		for _, s := range e.spans {
			w.hole(s, s.to)
		}
	}
	if e.pinion != nil {
		w.line("      outputs:")
		w.line("        pinion: {at: %s, axis: %s}", triple(e.pinion.to), toward(other))
	}
	if e.tyre == nil {
		w.line("    %s wheel:                        # no tyre diameter in the table: nothing is known of the ground", e.name)
		w.line("      kind: wheel")
	} else {
		w.line("    %s tyre:", e.name)
		w.line("      kind: tyre")
	}
	w.line("      pair: true")
	w.line("      at: [0, %s, 0]", exact(e.half))
	if e.mass != nil {
		w.line("      mass: %s", exact(*e.mass*1000))
	}
	if e.tyre != nil {
		wide := ""
		if e.wide != nil {
			wide = ", width: " + exact(*e.wide)
		}
		w.line("      tyre: {diameter: %s%s}", exact(*e.tyre), wide)
	}
}

// spans writes links, shocks and shafts.
func (w *scribe) spans(p *points) {
	links, shocks, shafts := 0, 0, 0
	for _, s := range p.order {
		if s.shock {
			continue
		}
		if links++; links == 1 {
			w.line("")
			w.line("# Links: eye to eye as measured, unless the table gave a length.")
			w.line("links:")
		}
		w.line("  %s: {axle: %s%s, from: %s, to: %s, length: %s%s}%s", Scalar(s.name), endNames[s.end], s.paired(),
			Scalar("frame/"+s.hole()), Scalar(endNames[s.end]+" axle/"+s.hole()), exact(s.long()), s.weight(), s.remark())
	}
	for _, s := range p.order {
		if !s.shock {
			continue
		}
		if shocks++; shocks == 1 {
			w.line("")
			w.line("# Shocks: \"set\" is the length as it stands, and puts the axle where it is. Add open and closed, then springs.")
			w.line("shocks:")
		}
		w.line("  %s: {axle: %s%s, top: %s, bottom: %s, set: %s%s}%s", Scalar(s.name), endNames[s.end], s.paired(),
			Scalar("frame/"+s.hole()), Scalar(endNames[s.end]+" axle/"+s.hole()), exact(s.long()), s.weight(), s.remark())
	}
	for i := range p.ends {
		s := p.ends[i].pinion
		if s == nil || s.from == nil {
			continue
		}
		if shafts++; shafts == 1 {
			w.line("")
			w.line("# Drive shafts: add closed, open, overlap and joint_limit.")
			w.line("shafts:")
		}
		w.line("  %s: {from: frame/%s, to: %s axle/pinion%s}", p.ends[i].name, p.ends[i].name, p.ends[i].name, s.weight())
	}
}

func (s *span) paired() string {
	if s.pair {
		return ", pair: true"
	}
	return ""
}

func (s *span) weight() string {
	if s.mass == nil {
		return ""
	}
	return ", mass: " + exact(*s.mass*1000)
}

func (s *span) long() float64 {
	if s.length != nil {
		return *s.length
	}
	return s.apart
}

// remark says what a reader should know of a span: a length that is not the distance, a side without its twin.
func (s *span) remark() string {
	var out []string
	if s.length != nil && math.Abs(*s.length-s.apart) >= 0.05 {
		out = append(out, fmt.Sprintf("%s given, the points are %s apart", quantity.Fixed(*s.length, 1), quantity.Fixed(s.apart, 1)))
	}
	if s.lone {
		out = append(out, "the "+s.side+" one alone, without a twin")
	}
	if out == nil {
		return ""
	}
	return " # " + strings.Join(out, "; ")
}
