package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"lowslung/drive"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/solid"
)

// driveLine is motor, pack, controller and gears in the order of the power.
func (w *writer) driveLine() *Table {
	d := w.doc().Drive
	if d == nil {
		return nil
	}
	t := &Table{Title: "Drive line", Columns: []Column{{Title: "What"}, {Title: "Fitted", Share: 2.5}}}
	row := func(what string, is ...string) {
		var said []string
		for _, s := range is {
			if s != "" && s != "–" {
				said = append(said, s)
			}
		}
		if said != nil {
			t.Rows = append(t.Rows, Row{Cells: []string{what, strings.Join(said, ", ")}})
		}
	}
	if p := w.part(d.Motor); p != nil {
		kv := ""
		if p.Motor != nil {
			kv = read(w, p.Motor.Kv)
		}
		row("motor", w.called(p), kv)
	}
	if p := w.part(d.Battery); p != nil {
		if k := p.Pack; k != nil {
			row("battery", w.called(p), fmt.Sprintf("%d cells in series", k.Cells), k.Chemistry, read(w, k.Capacity))
		} else {
			row("battery", w.called(p))
		}
	}
	if p := w.part(d.Controller); p != nil {
		brake := ""
		if p.Controller != nil && p.Controller.DragBrake != nil {
			brake = "drag brake " + quantity.DimShare.FormatDigits(float64(*p.Controller.DragBrake), w.u, 0)
		}
		row("controller", w.called(p), brake)
	}
	for i, s := range w.a.Drive.Stages {
		var teeth []string
		for _, z := range s.Teeth {
			teeth = append(teeth, strconv.Itoa(z))
		}
		what := "gears"
		if len(w.a.Drive.Stages) > 1 {
			what = "gears, stage " + strconv.Itoa(i+1)
		}
		row(what, strings.Join(s.Gears, " · "), strings.Join(teeth, " : ")+" teeth", "ratio "+quantity.Fixed(s.Ratio, 3))
	}
	for _, end := range axles {
		final, answer := w.final(end)
		if final == nil {
			continue
		}
		var is []string
		if final.Ring > 0 {
			is = append(is, fmt.Sprintf("ring %d, pinion %d teeth", final.Ring, final.Pinion))
		}
		if len(final.Portal) == 2 {
			is = append(is, fmt.Sprintf("portal %d : %d", final.Portal[0], final.Portal[1]))
		}
		if final.Overdrive != nil {
			is = append(is, "over-drive "+plain(*final.Overdrive))
		}
		is = append(is, final.Diff)
		if answer != nil {
			is = append(is, "motor to wheel "+quantity.Fixed(answer.TotalRatio, 2))
		}
		row(end.String()+" axle", is...)
	}
	return t
}

func (w *writer) final(end solid.End) (*rig.Final, *drive.Axle) {
	if end == solid.Front {
		return w.doc().Drive.Front, w.a.Drive.Axles.Front
	}
	return w.doc().Drive.Rear, w.a.Drive.Axles.Rear
}
