package travel

import (
	"fmt"
	"math"
	"strings"

	"lowslung/finding"
	"lowslung/solid"
)

// judgeLimits says what ends bump, droop and articulation, and what stops the axle before its shocks do: shocks are made to stop an
// axle, shafts, rod ends and bodies are not (common practice).
func judgeLimits(m *solid.Model, mv *Mover, ax *Axle, o Options) []finding.Finding {
	l, end := ax.Limits, mv.End
	if l == nil {
		return nil
	}
	out := judgePassed(m, mv)
	text := fmt.Sprintf("The %s axle bumps %s until %s, and droops %s until %s", end, mm(l.BumpMM, o.Units), l.BumpEndedBy, mm(l.DroopMM, o.Units), l.DroopEndedBy)
	for _, a := range l.Articulation {
		if a.HeaveMM == 0 {
			text += fmt.Sprintf("; at ride height it rolls %s left wheel up until %s, and %s right wheel up until %s",
				degrees(a.LeftUpDeg), a.LeftUpEndedBy, degrees(a.RightUpDeg), a.RightUpEndedBy)
		}
	}
	out = append(out, finding.Finding{Code: "travel/limits", Level: finding.Note, Sentence: text + "."}.For(end.String()))
	seen := map[string]bool{}
	for _, s := range l.Stretches {
		switch s.Code {
		case ShaftIn.code(), ShaftOut.code(), ShaftJoint.code(), RodEnd.code(): // contact has a finding of its own
		default:
			continue
		}
		if seen[s.EndedBy] {
			continue
		}
		seen[s.EndedBy] = true
		f := finding.New(finding.Watch, "travel/stopped-by-"+s.Code, "Before the shocks stop the %s axle, %s: first with the left wheel at %s and the right at %s.",
			end, s.EndedBy, mm(s.From[0], o.Units), mm(s.From[1], o.Units)).For(s.About...)
		out = append(out, f.CuredBy("%s", cureFor(s.Code)))
	}
	return out
}

func cureFor(code string) string {
	switch code {
	case ShaftIn.code():
		return "fit a shorter shaft, or move the gearbox's output away from the axle"
	case ShaftOut.code():
		return "fit a longer shaft, or move the gearbox's output nearer"
	case ShaftJoint.code():
		return "point the pinion nearer to the output, lower the output, or fit joints that bend further"
	case RodEnd.code():
		return "turn the bolt square to the link, or fit a rod end that swings further"
	}
	return "move or trim one of the two, or limit the travel with the shocks"
}

// judgePassed are limits that the design pose itself is beyond; shocks have their own finding.
func judgePassed(m *solid.Model, mv *Mover) []finding.Finding {
	t := newTracer(m, mv)
	margins(m, t.stops, mv.Design, t.room)
	var out []finding.Finding
	said := map[string]bool{}
	for i, s := range t.stops {
		if !t.skip[i] || s.Kind == ShockClosed || s.Kind == ShockOpen {
			continue
		}
		by, unit := s.shown(math.Abs(t.room[i]))
		text := fmt.Sprintf("At ride height already, %s: it is %.1f %s beyond.", beyond(s, m), by, unit)
		if unit == "°" {
			text = strings.Replace(text, " °", "°", 1)
		}
		if key := s.Kind.code() + strings.Join(s.about(m), ""); !said[key] {
			said[key] = true
			out = append(out, finding.Finding{Code: "travel/beyond-" + s.Kind.code(), Level: finding.Stop, Sentence: text}.For(s.about(m)...).CuredBy("%s", cureFor(s.Kind.code())))
		}
	}
	return out
}

// beyond says a passed limit in words.
func beyond(s Stop, m *solid.Model) string {
	switch s.Kind {
	case ShaftIn:
		return fmt.Sprintf("the %s shaft is longer than the room for it", m.Shafts[s.Index].Name)
	case ShaftOut:
		return fmt.Sprintf("the %s shaft does not reach with the overlap that it must keep", m.Shafts[s.Index].Name)
	case ShaftJoint:
		return fmt.Sprintf("the %s shaft's %s joint bends further than its %s", m.Shafts[s.Index].Name, [2]string{"gearbox", "axle"}[s.End], degrees(m.Shafts[s.Index].Limit/deg))
	case RodEnd:
		l := &m.Links[s.Index]
		return fmt.Sprintf("the %s link's %s rod end swings further than its %s", sided(l.Name, l.Side), [2]string{"chassis", "axle"}[s.End], degrees(l.Swing[s.End]/deg))
	}
	return s.words(m)
}
