package drive

import (
	"fmt"
	"math"
	"strings"

	"lowslung/channel"
	"lowslung/finding"
	"lowslung/quantity"
)

// advice names the pinion to fit: of those that go on, let the wheels slip within the limits, hold with the margin wanted, keep the winding
// cool over the run and meet the target for top speed if there is one, the fastest. It says what the next smaller one would give, and what
// speaks against larger ones.
func (l *line) advice(a *Answer, o Options) (finding.Finding, bool) {
	best, below := -1, -1
	why := map[string]int{}
	for i := range a.Pinions {
		p := &a.Pinions[i]
		if p.SlipCurrentA == nil || p.SpeedMPerS == nil {
			return finding.Finding{}, false // without weight and tyres nothing tells them apart
		}
		if r := l.against(p); r != "" {
			why[r]++
			continue
		}
		if best < 0 || p.Teeth > a.Pinions[best].Teeth {
			if best >= 0 {
				below = best
			}
			best = i
		}
	}
	if len(a.Pinions) == 0 {
		return finding.Finding{}, false
	}
	if best < 0 {
		var list []string
		for _, r := range reasons {
			if n := why[r]; n > 0 {
				list = append(list, fmt.Sprintf("%d %s", n, r))
			}
		}
		return finding.New(finding.Watch, "drive/no-pinion", "None of the %d pinions of this pitch will do: %s (estimate).", len(a.Pinions), strings.Join(list, ", ")).
			For("drive/stages").CuredBy("another pinion in the bin, another spur, or a motor with less kv"), true
	}
	p := &a.Pinions[best]
	f := finding.Finding{Code: "drive/pinion", Level: finding.Note, About: []string{"drive/stages"}}
	verb := "Fit"
	if p.Fitted {
		f.Level, verb = finding.OK, "Stay with"
	}
	most, _, _ := l.limit()
	speed := func(v float64) string { return quantity.DimSpeed.FormatDigits(v, o.Units, 2+extra(v)) }
	text := fmt.Sprintf("%s %s: the fastest that goes on and passes everything, %s without load (%s per hundredth of throttle); wheels slip at %.0f A of %.0f A",
		verb, p.named(), speed(*p.SpeedMPerS), speed(*p.StepMPerS), *p.SlipCurrentA, most)
	if p.WindingC != nil {
		text += fmt.Sprintf(", winding %.0f °C over the run", *p.WindingC)
	}
	if p.ToothMargin != nil {
		text += fmt.Sprintf(", teeth hold %.1f times their load", *p.ToothMargin)
	}
	if math.Abs(p.MoveMM) > 0.01 {
		way := "out"
		if p.MoveMM < 0 {
			way = "in"
		}
		text += fmt.Sprintf("; the motor moves %s %s", quantity.DimLength.FormatDigits(math.Abs(p.MoveMM), o.Units, 2), way)
	}
	text += "."
	if below >= 0 {
		q := &a.Pinions[below]
		text += fmt.Sprintf(" %s is slower and finer: %s, %s per hundredth, %.0f A.", finding.Sentence(q.named()), speed(*q.SpeedMPerS), speed(*q.StepMPerS), *q.SlipCurrentA)
	}
	f.Sentence = text + " (Estimate.)"
	return f, true
}

// What can speak against a pinion, in the order told.
const (
	noFit   = "do not go on"
	noSlip  = "do not let the wheels slip"
	noHold  = "break or nearly"
	tooHot  = "cook the motor"
	offGoal = "miss the target for top speed"
)

var reasons = [...]string{noFit, noSlip, noHold, tooHot, offGoal}

func (l *line) against(p *Pinion) string {
	switch {
	case !p.Fits:
		return noFit
	case !p.Slips:
		return noSlip
	case p.ToothMargin != nil && *p.ToothMargin < toothEnough, p.ShaftMargin != nil && *p.ShaftMargin < toothEnough:
		return noHold
	case p.WindingC != nil && *p.WindingC > hotLimit:
		return tooHot
	}
	if t, ok := l.m.Doc.Targets.Get("top speed"); ok {
		c := channel.Must("top speed")
		if r, bad := c.RangeOf(t); len(bad) == 0 {
			if v := *p.SpeedMPerS; v < r.From || v > r.To {
				return offGoal
			}
		}
	}
	return ""
}

// named is a pinion with where it comes from: "14 teeth (pinion-32-14-b5, to buy for 4.60 EUR)".
func (p *Pinion) named() string {
	var in []string
	if p.Item != "" {
		in = append(in, p.Item)
	}
	price := ""
	if p.Price != nil {
		price = strings.TrimSpace(fmt.Sprintf(" for %.2f %s", *p.Price, p.Currency))
	}
	drawer := p.Have != nil && *p.Have > 0
	switch {
	case p.Fitted && p.Have != nil && !drawer:
		in = append(in, strings.TrimSpace("the one fitted; buy it "+price)+" unless it is on the motor already")
	case p.Fitted && drawer:
		in = append(in, fmt.Sprintf("the one fitted, %d in the drawer", *p.Have))
	case p.Fitted:
		in = append(in, "the one fitted")
	case drawer:
		in = append(in, fmt.Sprintf("%d in the drawer", *p.Have))
	case p.Have != nil || p.Price != nil:
		in = append(in, strings.TrimSpace("to buy "+price))
	}
	name := fmt.Sprintf("%d teeth", p.Teeth)
	if len(in) > 0 {
		name += " (" + strings.Join(in, ", ") + ")"
	}
	return name
}

// extra is how many digits more a small speed wants.
func extra(v float64) int {
	if math.Abs(v) < 0.1 {
		return 1
	}
	return 0
}
