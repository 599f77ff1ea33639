package travel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"lowslung/rig"
	"lowslung/solid"
)

// Link lengths for a wish: where should the axle sit, and which lengths put it there? And what does one turn of a rod end do?

// A WishOptions asks for link lengths on one axle at its ride height.
type WishOptions struct {
	Axle      string   // front or rear
	Wheelbase *float64 // mm, chassis x to the other axle's design pose; nil leaves it free
	Pinion    *float64 // rad; nil leaves it free
	Links     []string // names of the links that may change; all of the axle's when empty
	// Settle stands a changed copy of the rig anew on its springs (ride.Stand), so that the lengths give the wish where it then stands. Nil takes it that the
	// shocks keep their lengths.
	Settle func(*solid.Model) *solid.Model
}

// A Wish is the answer: exact lengths that, written into the document, give the wish back.
type Wish struct {
	Axle           string       `json:"axle" doc:"front or rear"`
	WheelbaseMM    *float64     `json:"wheelbase_mm" doc:"What the lengths give"`
	PinionAngleDeg float64      `json:"pinion_angle_deg" doc:"What the lengths give"`
	Links          []WishLength `json:"links" nullable:"false" doc:"Every link of the axle, changed or not"`
	Patch          string       `json:"patch" doc:"The change as a piece of a document"`
}

// WishLength is one link's length, for both of a pair.
type WishLength struct {
	Link     string  `json:"link" doc:"Name in the document"`
	NowMM    float64 `json:"now_mm" doc:"Eye to eye as it is"`
	WantedMM float64 `json:"wanted_mm" doc:"Eye to eye for the wish"`
	ChangeMM float64 `json:"change_mm" doc:"Wanted less now"`
	Free     bool    `json:"free" doc:"It was allowed to change"`
}

// ForWish solves for the lengths. The unknowns are the axle's height, sideways place and steer and the lengths that may change (twins
// share one); the equations are every link's length, and the shocks' set length where that is what fixes the height. Newton with the
// shortest step by singular values, so that lengths which need not change do not. On springs the shocks first keep the lengths that they stand at; then the
// rig is stood anew, and the wish corrected by what it has moved, until it comes true.
func ForWish(m *solid.Model, o WishOptions) (Wish, error) {
	var end solid.End
	switch o.Axle {
	case "front":
		end = solid.Front
	case "rear":
		end = solid.Rear
	default:
		return Wish{}, fmt.Errorf("axle: found %q, expected front or rear", o.Axle)
	}
	if o.Wheelbase == nil && o.Pinion == nil {
		return Wish{}, fmt.Errorf("found no wish, expected a wheelbase, a pinion angle, or both")
	}
	st := StandOf(m)
	mv := st.Movers[end]
	if mv == nil {
		return Wish{}, fmt.Errorf("there is no %s axle in the document", end)
	}
	if !mv.Solved || len(mv.Links) != 4 {
		return Wish{}, fmt.Errorf("the %s axle is held by %s; lengths for a wish need four that hold it", end, links(len(mv.Links)))
	}
	w := &wisher{m: m, mv: mv, a: &m.Axles[end], pose: mv.Design, set: (mv.Source == BySet || mv.Source == BySprings) && mv.wants()}
	if err := w.groups(o.Links); err != nil {
		return Wish{}, err
	}
	if o.Wheelbase != nil {
		other := st.Movers[end.Other()]
		if other == nil {
			return Wish{}, fmt.Errorf("a wheelbase needs both axles, and there is no %s one", end.Other())
		}
		w.pose.X = other.Design.X + *o.Wheelbase
		if end == solid.Rear {
			w.pose.X = other.Design.X - *o.Wheelbase
		}
	}
	if o.Pinion != nil {
		if math.Abs(*o.Pinion) > 80*deg {
			return Wish{}, fmt.Errorf("found a pinion angle of %.0f°, expected one between -80° and 80°", *o.Pinion/deg)
		}
		w.pose.Spin = spinFor(w.a.PinionAxis, *o.Pinion)
	}
	w.freeX, w.freeSpin = o.Wheelbase == nil, o.Pinion == nil
	if err := w.solve(); err != nil {
		return Wish{}, err
	}
	if mv.Source == BySprings && o.Settle != nil {
		return w.settled(st, &o)
	}
	return w.answer(wheelbase(st, end, w.pose), pinionAngle(w.a, w.pose)), nil
}

// settled corrects the wish by what the rig moves when it stands anew with the lengths found. A length moves its axle's height by little, so each round leaves a
// small part of the miss.
func (w *wisher) settled(st *Stand, o *WishOptions) (Wish, error) {
	end, aim := w.mv.End, 0.0
	if o.Pinion != nil {
		aim = *o.Pinion
	}
	for range 20 {
		c := *w.m
		c.Links = slices.Clone(w.m.Links)
		for i := range c.Links {
			if k := slices.Index(w.names, c.Links[i].Name); k >= 0 && c.Links[i].Axle == end {
				c.Links[i].Length = w.length[k]
			}
		}
		now := StandOf(o.Settle(&c))
		if now.Movers[end].Source != BySprings {
			return Wish{}, fmt.Errorf("with the lengths for the wish the rig does not come to rest on its springs; wish for less")
		}
		p := now.Movers[end].Design
		base, pinion, miss := wheelbase(now, end, p), pinionAngle(w.a, p), 0.0
		if o.Wheelbase != nil {
			off := *o.Wheelbase - *base
			miss = math.Abs(off)
			if end == solid.Rear {
				off = -off
			}
			w.pose.X += off
		}
		if o.Pinion != nil {
			off := *o.Pinion - pinion
			miss = max(miss, math.Abs(off)*angleScale)
			aim += off
			w.pose.Spin = spinFor(w.a.PinionAxis, aim)
		}
		if miss < 1e-8 {
			return w.answer(base, pinion), nil
		}
		if err := w.solve(); err != nil {
			return Wish{}, err
		}
	}
	return Wish{}, fmt.Errorf("no lengths were found for the wish: the rig stands elsewhere on its springs each time")
}

type wisher struct {
	m               *solid.Model
	mv              *Mover
	a               *solid.Axle
	pose            Pose
	set             bool // lengths of shocks fix the height: their set lengths, or those they have on their springs
	freeX, freeSpin bool
	names           []string  // of link groups, twins together
	group           []int     // of each link
	length          []float64 // of each group, mm
	free            []bool
}

func (w *wisher) groups(allowed []string) error {
	for i := range w.mv.Links {
		l := &w.mv.Links[i]
		k := slices.Index(w.names, l.Name)
		if k < 0 {
			k = len(w.names)
			w.names, w.length = append(w.names, l.Name), append(w.length, l.Length)
		}
		w.group = append(w.group, k)
	}
	w.free = make([]bool, len(w.names))
	for k := range w.free {
		w.free[k] = len(allowed) == 0
	}
	for _, name := range allowed {
		k := slices.Index(w.names, name)
		if k < 0 {
			text := fmt.Sprintf("found the link %q, expected one of the %s axle: %s", name, w.mv.End, strings.Join(w.names, ", "))
			if near := rig.Nearest(name, w.names); near != "" {
				text += fmt.Sprintf("; did you mean %q?", near)
			}
			return fmt.Errorf("%s", text)
		}
		w.free[k] = true
	}
	return nil
}

// unknowns are pointers to what the solver may change, with the weight of each: a step in a place or angle costs nothing against a step
// in a length, so that no length changes without need.
func (w *wisher) unknowns() (at []*float64, scale []float64) {
	add := func(p *float64, s float64) { at, scale = append(at, p), append(scale, s) }
	if w.set {
		add(&w.pose.Z, 1)
	}
	add(&w.pose.Y, 1)
	add(&w.pose.Steer, 1/angleScale)
	if w.freeX {
		add(&w.pose.X, 1)
	}
	if w.freeSpin {
		add(&w.pose.Spin, 1/angleScale)
	}
	for k := range w.length {
		if w.free[k] {
			add(&w.length[k], 0.1)
		}
	}
	return at, scale
}

// residual is what each equation lacks, mm.
func (w *wisher) residual() []float64 {
	var out []float64
	for i := range w.mv.Links {
		l := &w.mv.Links[i]
		out = append(out, w.pose.Place(l.To).Sub(l.From).Norm()-w.length[w.group[i]])
	}
	if w.set {
		sum, n := 0.0, 0.0
		for i := range w.m.Shocks {
			if want := w.mv.wanted(i); want > 0 {
				sum += lengthAt(w.m, i, w.pose) - want
				n++
			}
		}
		out = append(out, sum/n)
	}
	return out
}

func (w *wisher) solve() error {
	at, scale := w.unknowns()
	for range 60 {
		f := w.residual()
		worst := 0.0
		for _, v := range f {
			worst = max(worst, math.Abs(v))
		}
		if worst < 1e-11 {
			return w.check()
		}
		j := mat.NewDense(len(f), len(at), nil)
		for k := range at {
			const h = 1e-5
			keep := *at[k]
			*at[k] = keep + h*scale[k]
			hi := w.residual()
			*at[k] = keep - h*scale[k]
			lo := w.residual()
			*at[k] = keep
			for i := range f {
				j.Set(i, k, (hi[i]-lo[i])/(2*h))
			}
		}
		var svd mat.SVD
		if !svd.Factorize(j, mat.SVDThin) {
			return fmt.Errorf("no lengths were found for the wish: the equations have no solution near the rig as it is")
		}
		values := svd.Values(nil)
		rank := 0
		for rank < len(values) && values[rank] > 1e-9*values[0] {
			rank++
		}
		var q mat.Dense
		svd.SolveTo(&q, mat.NewDense(len(f), 1, f), rank)
		size := 0.0
		for k := range at {
			size = max(size, math.Abs(q.At(k, 0)))
		}
		cut := min(1, 20/size)
		for k := range at {
			*at[k] -= cut * scale[k] * q.At(k, 0)
		}
		if size < 1e-13 {
			break
		}
	}
	worst := 0.0
	for _, v := range w.residual() {
		worst = max(worst, math.Abs(v))
	}
	if worst < 1e-8 {
		return w.check()
	}
	return fmt.Errorf("the wish cannot be met by changing %s alone: at the best fit the links are out by %.2f mm; allow one more link to change, or wish for less",
		strings.Join(w.freeNames(), " and "), worst)
}

func (w *wisher) freeNames() (out []string) {
	for k, n := range w.names {
		if w.free[k] {
			out = append(out, n)
		}
	}
	return out
}

func (w *wisher) check() error {
	for k, l := range w.length {
		if !(l > 1) {
			return fmt.Errorf("the wish would need a %s link of %.1f mm, which is none", w.names[k], l)
		}
	}
	return nil
}

func (w *wisher) answer(base *float64, pinion float64) Wish {
	out := Wish{Axle: w.mv.End.String(), WheelbaseMM: base, PinionAngleDeg: pinion / deg, Links: []WishLength{}}
	var patch strings.Builder
	patch.WriteString("links:\n")
	for k, name := range w.names {
		i := slices.Index(w.group, k)
		l := WishLength{Link: name, NowMM: w.mv.Links[i].Length, WantedMM: w.length[k], Free: w.free[k]}
		l.ChangeMM = l.WantedMM - l.NowMM
		out.Links = append(out.Links, l)
		if math.Abs(l.ChangeMM) > 1e-9 {
			// a link made of rod and ends becomes one of a length: RFC 7396 takes the others out with null
			fmt.Fprintf(&patch, "  %s: {length: %.9f, rod: null, ends: null, turns: null}\n", name, l.WantedMM)
		}
	}
	out.Patch = patch.String()
	return out
}

// A Turn is what one turn of a rod end does: every link of the name is made longer by one thread pitch (both of a pair together).
type Turn struct {
	Axle           string   `json:"axle" doc:"front or rear"`
	Link           string   `json:"link" doc:"Name in the document"`
	PerTurnMM      float64  `json:"per_turn_mm" doc:"How much longer one turn makes it: the pitch of its thread, 0.5 mm (M3) when the document does not say"`
	WheelbaseMM    *float64 `json:"wheelbase_mm" doc:"Change of the wheelbase"`
	PinionAngleDeg float64  `json:"pinion_angle_deg" doc:"Change of the pinion angle"`
	AntiPct        *float64 `json:"anti_pct" doc:"Change of anti-squat (rear) or anti-lift (front), in points; null when the weight is not known"`
}

// usualPitch is that of M3, the usual thread of this scale's links, mm (ISO 261).
const usualPitch = 0.5

// Turns works each link's turn out anew: the whole rig comes to its design pose again, stood on its springs by settle (ride.Stand; nil leaves the axles at their
// heights).
func Turns(m *solid.Model, ends []solid.End, settle func(*solid.Model) *solid.Model) []Turn {
	out := []Turn{}
	st := StandOf(m)
	for _, end := range ends {
		mv := st.Movers[end]
		if mv == nil || !mv.Solved {
			continue
		}
		before := designOf(m, st, end)
		var names []string
		for i := range mv.Links {
			if !slices.Contains(names, mv.Links[i].Name) {
				names = append(names, mv.Links[i].Name)
			}
		}
		for _, name := range names {
			c := *m
			c.Links = slices.Clone(m.Links)
			pitch := usualPitch
			for i := range c.Links {
				if c.Links[i].Name == name {
					if c.Links[i].Pitch > 0 {
						pitch = c.Links[i].Pitch
					}
					c.Links[i].Length += pitch
				}
			}
			stood := &c
			if settle != nil {
				stood = settle(stood)
			}
			after := designOf(stood, StandOf(stood), end)
			t := Turn{Axle: end.String(), Link: name, PerTurnMM: pitch, PinionAngleDeg: after.PinionAngleDeg - before.PinionAngleDeg}
			t.WheelbaseMM = less(after.WheelbaseMM, before.WheelbaseMM)
			if after.Rates != nil && before.Rates != nil {
				t.AntiPct = less(after.Rates.AntiSquatPct, before.Rates.AntiSquatPct)
				if end == solid.Front {
					t.AntiPct = less(after.Rates.AntiLiftPct, before.Rates.AntiLiftPct)
				}
			}
			out = append(out, t)
		}
	}
	return out
}

func less(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	d := *a - *b
	return &d
}
