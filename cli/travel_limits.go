package cli

import (
	"fmt"
	"strings"

	"lowslung/quantity"
	"lowslung/travel"
)

// limits prints how far an axle goes, what ends it, and what would have to give.
func (p *printer) limits(name string, ax *travel.Axle) {
	l := ax.Limits
	if l == nil {
		return
	}
	mm := p.unit(quantity.DimLength)
	n := func(v float64) string { return p.num(quantity.DimLength, v, 1) }
	p.title("%s axle: how far it goes", name)
	p.table([]string{"way", "wheel travel " + mm, "ended by"}, [][]string{
		{"bump, both wheels", n(l.BumpMM), l.BumpEndedBy}, {"droop, both wheels", n(l.DroopMM), l.DroopEndedBy}, {"bump and droop", n(l.WheelTravelMM), ""},
	})
	if len(l.Articulation) > 0 {
		p.line("")
		var rows [][]string
		for _, a := range l.Articulation {
			rows = append(rows, []string{p.num(quantity.DimLength, a.HeaveMM, 0), quantity.Fixed(a.LeftUpDeg, 1), a.LeftUpEndedBy, quantity.Fixed(a.RightUpDeg, 1), a.RightUpEndedBy})
		}
		p.table([]string{"heave " + mm, "left wheel up, roll °", "ended by", "right wheel up, roll °", "ended by"}, rows)
	}
	var rows [][]string
	for _, g := range l.Gains {
		var needs []string
		for _, w := range g.Needs {
			text := fmt.Sprintf("%s: %s°", w.EndedBy, quantity.Fixed(w.By, 1))
			if w.Unit == "mm" {
				text = fmt.Sprintf("%s: %s", w.EndedBy, quantity.DimLength.Format(w.By, p.units))
			}
			needs = append(needs, text)
		}
		if !g.Reached {
			needs = []string{"the links do not go there"}
		}
		rows = append(rows, []string{g.Way, strings.Join(needs, "; ")})
	}
	p.line("")
	p.table([]string{"for " + quantity.DimLength.Format(5, p.units) + " more", "this would have to give"}, rows)
	p.shafts(ax)
	p.rodEnds(ax)
}

// shafts prints each shaft at the design pose and its worst joint over the grid.
func (p *printer) shafts(ax *travel.Axle) {
	var rows [][]string
	for i := range ax.Poses {
		q := &ax.Poses[i]
		if q.RollDeg != 0 {
			continue
		}
		for _, s := range q.Shafts {
			rows = append(rows, []string{
				s.Name, p.num(quantity.DimLength, q.HeaveMM, 0), p.num(quantity.DimLength, s.LengthMM, 1), p.maybe(quantity.DimLength, s.InLeftMM, 1), p.maybe(quantity.DimLength, s.OutLeftMM, 1),
				quantity.Fixed(s.GearboxJointDeg, 1), quantity.Fixed(s.AxleJointDeg, 1), plain(s.JointLeftDeg, 1),
				quantity.Fixed(s.SlowestPct, 1), quantity.Fixed(s.FastestPct, 1), quantity.Fixed(s.BestPhaseDeg, 0),
			})
		}
	}
	if len(rows) == 0 {
		return
	}
	mm := p.unit(quantity.DimLength)
	p.line("")
	p.table([]string{"shaft", "heave " + mm, "length " + mm, "in left " + mm, "out left " + mm, "gearbox joint °", "axle joint °", "joint left °", "slowest %", "fastest %", "best phase °"}, rows)
}

func (p *printer) rodEnds(ax *travel.Axle) {
	var rows [][]string
	for _, r := range ax.RodEnds {
		if r.Side == "right" {
			continue
		}
		rows = append(rows, []string{r.Link + ", " + r.End + " end", quantity.Fixed(r.DesignDeg, 1), quantity.Fixed(r.LargestDeg, 1), plain(r.AllowedDeg, 0)})
	}
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.table([]string{"rod end (left of a pair)", "swing at ride height °", "largest °", "allowed °"}, rows)
}

// solved is what travel --solve prints.
type solved struct {
	Wish  *travel.Wish  `json:"wish" doc:"Lengths for the wish"`
	Turns []travel.Turn `json:"turns" nullable:"false" doc:"What one turn of a rod end does, for each link of both axles"`
}

func (p *printer) wish(w *travel.Wish) {
	mm := p.unit(quantity.DimLength)
	text := fmt.Sprintf("pinion angle %s", degrees(w.PinionAngleDeg, p.units))
	if w.WheelbaseMM != nil {
		text += ", wheelbase " + quantity.DimLength.Format(*w.WheelbaseMM, p.units)
	}
	p.title("Link lengths for the %s axle: %s", w.Axle, text)
	var rows [][]string
	for _, l := range w.Links {
		free := ""
		if !l.Free {
			free = "kept"
		}
		rows = append(rows, []string{l.Link, p.num(quantity.DimLength, l.NowMM, 2), p.num(quantity.DimLength, l.WantedMM, 2), p.num(quantity.DimLength, l.ChangeMM, 2), free})
	}
	p.table([]string{"link", "now " + mm, "wanted " + mm, "change " + mm, ""}, rows)
	p.line("\nas a patch on the document:\n\n%s", w.Patch)
}

func (p *printer) turns(list []travel.Turn) {
	mm := p.unit(quantity.DimLength)
	p.title("What one turn of a rod end does (one thread pitch longer, both of a pair)")
	var rows [][]string
	for _, t := range list {
		rows = append(rows, []string{t.Axle, t.Link, p.num(quantity.DimLength, t.PerTurnMM, 2), p.maybe(quantity.DimLength, t.WheelbaseMM, 2), quantity.Fixed(t.PinionAngleDeg, 2), plain(t.AntiPct, 1)})
	}
	p.table([]string{"axle", "link", "per turn " + mm, "wheelbase " + mm, "pinion °", "anti-squat or anti-lift, points"}, rows)
}
