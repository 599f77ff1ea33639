package sheet

import (
	"math"
	"strconv"

	"lowslung/balance"
	"lowslung/check"
	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/travel"
)

// Plots are lines through answers. Nothing is worked out here but the unit they are read in.

const plotWide, plotTall = 86.0, 62.0 // mm: two to a row

func plot(c *draw.Chart, name, alt string) *Figure { return plotIn(plotWide, c, name, alt) }

func plotIn(wide float64, c *draw.Chart, name, alt string) *Figure {
	d := draw.New(name, wide, plotTall)
	c.Draw(d, "plot", draw.Box{Min: draw.Pt(1, 1), Max: draw.Pt(wide-1, plotTall-1)})
	return &Figure{Title: name, Alt: alt, Drawing: d}
}

// shown is a value in program units in the reader's unit, for an axis.
func (w *writer) shown(d *quantity.Dimension, v float64) float64 { return d.In(v, w.unit(d)) }

// was is the style of a line of the build that this one is held against: thin, so that it stands back.
func was(s draw.Style) draw.Style {
	s.Width = 0.2
	return s
}

var frontLine, rearLine = draw.Pen(0.5).Coloured(draw.Red), draw.Pen(0.5).Coloured(draw.Blue).Dashed(3, 1.2)

// pinions is the pinion angle over heave at zero roll, as far as the shocks let the axle go.
func (w *writer) pinions(wide float64) *Figure {
	c := &draw.Chart{X: draw.Axis{Title: "heave against the design pose, " + w.unit(quantity.DimLength)}, Y: draw.Axis{Title: "pinion against the chassis, °"}}
	add := func(name string, a *travel.Axle, s draw.Style) {
		if a == nil {
			return
		}
		line := draw.Series{Name: name, Style: s}
		for i := range a.Poses {
			p := &a.Poses[i]
			if p.RollDeg != 0 || beyond(p) {
				continue
			}
			line.X, line.Y = append(line.X, w.shown(quantity.DimLength, p.HeaveMM)), append(line.Y, p.PinionAngleDeg)
		}
		if len(line.X) > 1 {
			c.Lines = append(c.Lines, line)
		}
	}
	both := func(a *check.Answer, after string, how func(draw.Style) draw.Style) {
		add("front"+after, a.Travel.Axles.Front, how(frontLine))
		add("rear"+after, a.Travel.Axles.Rear, how(rearLine))
	}
	both(w.a, "", func(s draw.Style) draw.Style { return s })
	if w.other != nil {
		both(w.other, ", was", was)
	}
	if c.Lines == nil {
		return nil
	}
	return plotIn(wide, c, "Pinion angle over travel", "Pinion angle of both axles against heave, within what the shocks allow.")
}

// beyond says that a shock does not let the axle come there.
func beyond(p *travel.AxlePose) bool {
	for _, s := range p.Shocks {
		if s.StrokeLeftMM != nil && *s.StrokeLeftMM < 0 || s.DroopLeftMM != nil && *s.DroopLeftMM < 0 {
			return true
		}
	}
	return false
}

func (w *writer) plots() []Block {
	var out []Block
	add := func(f *Figure) {
		if f != nil {
			out = append(out, Block{Figure: f})
		}
	}
	if t := w.a.Ride.Tilt; t != nil {
		side, name := &t.LeftDown, "left side down"
		if t.RightDown.TipDeg != nil && (side.TipDeg == nil || *t.RightDown.TipDeg < *side.TipDeg) {
			side, name = &t.RightDown, "right side down"
		}
		add(w.tilting(side, name))
		add(w.tilting(&t.NoseUp, "nose up"))
	}
	add(w.motorLine())
	add(w.heat())
	if t := w.workingPoints(); t != nil {
		out = append(out, Block{Table: t})
	}
	return out
}

// tilting is the load on each wheel over the angle of the board.
func (w *writer) tilting(t *ride.Tilting, name string) *Figure {
	if len(t.Sweep) < 2 {
		return nil
	}
	c := &draw.Chart{X: draw.Axis{Title: "board, °"}, Y: draw.Axis{Title: "load on the wheel, " + w.unit(quantity.DimForce)}}
	for _, k := range []struct {
		name string
		of   func(*balance.Corners) float64
	}{
		{"front left", func(c *balance.Corners) float64 { return c.FrontLeft }}, {"front right", func(c *balance.Corners) float64 { return c.FrontRight }},
		{"rear left", func(c *balance.Corners) float64 { return c.RearLeft }}, {"rear right", func(c *balance.Corners) float64 { return c.RearRight }},
	} {
		line := draw.Series{Name: k.name}
		for i := range t.Sweep {
			line.X = append(line.X, t.Sweep[i].AngleDeg)
			line.Y = append(line.Y, w.shown(quantity.DimForce, k.of(&t.Sweep[i].LoadsN)))
		}
		c.Lines = append(c.Lines, line)
	}
	return plot(c, "Wheel loads on the tilt board, "+name, "Load on each of the four wheels against the angle of the tilt board, "+name+", until it tips.")
}

// motorLine is motor speed over motor current with the working points by their numbers; the straight line is between no load and stall.
func (w *writer) motorLine() *Figure {
	m := w.a.Drive.Motor
	if m == nil || !(m.StallCurrentA > m.NoLoadA) {
		return nil
	}
	far := 0.0
	var marks []draw.Mark
	for i, p := range w.a.Drive.Points {
		marks = append(marks, draw.Mark{X: p.CurrentA, Y: p.MotorRPM / 1000, Text: strconv.Itoa(i + 1)})
		far = max(far, p.CurrentA)
	}
	far = min(math.Ceil((far*1.15+1)/5)*5, m.StallCurrentA)
	at := func(a float64) float64 {
		return m.NoLoadRPM * (m.StallCurrentA - a) / (m.StallCurrentA - m.NoLoadA) / 1000
	}
	c := &draw.Chart{X: draw.Axis{Title: "motor current, A", From: 0, To: far}, Y: draw.Axis{Title: "motor speed, 1000 rpm"}, Marks: marks,
		Lines: []draw.Series{{Name: "full throttle", X: []float64{m.NoLoadA, far}, Y: []float64{at(m.NoLoadA), at(far)}, Style: draw.Pen(0.5).Coloured(draw.Blue)}}}
	if m.LimitA != nil && *m.LimitA < far {
		low, high := at(far), at(m.NoLoadA)
		c.Lines = append(c.Lines, draw.Series{Name: "limit by " + m.LimitBy, X: []float64{*m.LimitA, *m.LimitA}, Y: []float64{low, high}, Style: draw.Pen(0.35).Coloured(draw.Red).Dashed(1.5, 1)})
	}
	return plot(c, "Motor line with the working points (estimate)", "Motor speed against motor current at full throttle, with the working points of the table by their numbers.")
}

// heat is the winding temperature over the run profile.
func (w *writer) heat() *Figure {
	if len(w.a.Drive.Heat) < 2 {
		return nil
	}
	d := quantity.Temperature(0).Dimension()
	c := &draw.Chart{X: draw.Axis{Title: "run, s"}, Y: draw.Axis{Title: "winding, " + w.unit(d)}}
	lines := func(name string, a *check.Answer, s draw.Style) {
		line := draw.Series{Name: name, Style: s}
		for _, h := range a.Drive.Heat {
			line.X, line.Y = append(line.X, h.Seconds), append(line.Y, w.shown(d, h.WindingC))
		}
		if len(line.X) > 1 {
			c.Lines = append(c.Lines, line)
		}
	}
	pen := draw.Pen(0.5).Coloured(draw.Red)
	lines("this build", w.a, pen)
	if w.other != nil {
		lines("was", w.other, was(pen).Dashed(3, 1.2))
	}
	return plot(c, "Winding over the run profile (estimate)", "Temperature of the motor's winding over the run profile, from cold.")
}

func (w *writer) workingPoints() *Table {
	speed := quantity.DimSpeed
	temp := quantity.Temperature(0).Dimension()
	t := &Table{Title: "Working points (estimate)", Columns: []Column{{Title: "No", Num: true, Share: 0.4}, {Title: "Point", Share: 1.6}, {Title: "Speed " + w.unit(speed), Num: true},
		{Title: "Motor A", Num: true}, {Title: "Pack A", Num: true}, {Title: "Efficiency %", Num: true}, {Title: "Winding after a minute " + w.unit(temp), Num: true, Share: 1.4}, {Title: "Ended by", Share: 1.2}}}
	for i := range w.a.Drive.Points {
		p := &w.a.Drive.Points[i]
		road := "–"
		if p.SpeedMPerS != nil {
			road = w.bare(speed, *p.SpeedMPerS, 2)
		}
		winding := w.bare(temp, p.WindingC, 0)
		if p.WindingC >= 1085 {
			winding = "burnt"
		}
		t.Rows = append(t.Rows, Row{Cells: []string{strconv.Itoa(i + 1), p.Name, road, quantity.Fixed(p.CurrentA, 1), quantity.Fixed(p.PackA, 1),
			quantity.Fixed(100*p.Efficiency, 0), winding, p.LimitedBy}})
	}
	if t.Rows == nil {
		return nil
	}
	return t
}
