package ride

import (
	"fmt"

	"lowslung/quantity"
)

// wish answers what was asked for: collars or springs for a ride height or a sag, oil for a damping ratio.
func (a *Answer) wish(w *work, springs *[2]springing, o Options) {
	out := &Wish{}
	a.Wish = out
	var g goal
	switch {
	case o.Height > 0:
		out.Want = "ride height " + mm(o.Height, o.Units)
		g = w.toHeight(o.Height)
	case o.Sag > 0:
		out.Want = "sag " + quantity.DimShare.Format(o.Sag, o.Units)
		g = w.toSag(o.Sag)
	}
	if g != nil {
		set, ok := w.settings(g)
		if !ok {
			out.Failed = "no collar brings it there: the shocks come to their stops, or lack springs or lengths"
		}
		for i, into := range []**Setting{&out.Front, &out.Rear} {
			if s := set[i]; ok {
				v := Setting{CollarMM: s.collar, Shocks: append([]SettingShock{}, s.each...), Item: s.item}
				if s.rate > 0 {
					v.RateNPerMM = &s.rate
				}
				if s.item != "" {
					v.ItemRate = &s.itemK
				}
				*into = &v
			}
		}
	}
	if o.Zeta > 0 {
		out.Oil = &WishOil{DampingRatio: o.Zeta}
		if out.Want != "" {
			out.Want += ", "
		}
		out.Want += fmt.Sprintf("damping ratio %.2f", o.Zeta)
		for i, into := range []**float64{&out.Oil.FrontCSt, &out.Oil.RearCSt} {
			if nu, ok := w.oilWanted(i, &springs[i], o.Zeta); ok {
				*into = &nu
			}
		}
	}
}
