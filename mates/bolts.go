package mates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// The bolts of link and shock eyes: what each goes through, what holds it, how long it must be for that, and whether one is there.

// A bolting is what decides which screw goes in.
type bolting struct {
	thread  string
	through float64 // eyes or slot, spacers, walls, mm; NaN when not known
	grip    float64 // of the thread that holds, mm; 0 for a nut
	blind   bool
	held    string  // material of that thread
	nut     float64 // height of the nut, mm; 0 for a thread
	screw   string  // items
	nutItem string
}

// An eyeAt is one eye on a hole.
type eyeAt struct {
	ref   string  // part/hole
	what  string  // links/front lower
	keys  string  // where the document says how it is fastened
	width float64 // of the ball or eye, mm; 0 when not known
	lacks string  // the key that would say
	fast  *rig.Fastened
	slot  float64
	part  *rig.Part // that the hole is in; nil for a link
	bolt  string    // thread by hole or eye
	count int
}

// lockNuts are heights of self-locking nuts with a plastic ring, mm (DIN 985, from memory): what is reckoned with where the document names
// no nut, since shakes undo any other.
var lockNuts = map[string]float64{"M2": 2.8, "M2.5": 3.8, "M3": 4, "M4": 5, "M5": 5}

// nutHeight is that of the item, of a usual self-locking nut, or 4/3 d.
func nutHeight(m *solid.Model, item, thread string) float64 {
	if item != "" {
		for _, p := range PortsOf(item, itemOf(m, item)) {
			if p.Type == "female thread" && p.Length > 0 {
				return p.Length
			}
		}
	}
	if h, ok := lockNuts[thread]; ok {
		return h
	}
	return threadSize(thread) * 4 / 3
}

// eyesAt are the eyes of links, shocks and rods of the steering on their holes.
func (w *works) eyesAt() []eyeAt {
	var out []eyeAt
	add := func(ref rig.Ref, what string, width float64, bolt, lacks string, pair bool) {
		e := eyeAt{ref: ref.Text, keys: ref.Text, what: what, width: width, lacks: lacks, count: 1}
		if pair {
			e.count = 2
		}
		owner, name := ref.Split()
		if h := w.hole(ref); h != nil {
			e.fast, e.slot, e.part, e.bolt = &h.Fastened, mm(h.Slot), w.partOf(owner), h.Bolt
		} else if l, ok := w.m.Doc.Links.Get(owner); ok {
			if h, ok := l.Holes.Get(name); ok {
				e.fast, e.bolt = &h.Fastened, h.Bolt
			}
		}
		if e.bolt == "" {
			e.bolt = bolt
		}
		if e.bolt = rig.TidyThread(e.bolt); e.fast != nil && threadSize(e.bolt) > 0 {
			out = append(out, e)
		}
	}
	for i := range w.m.Doc.Links {
		e := &w.m.Doc.Links[i]
		for k, ref := range []rig.Ref{e.Value.From, e.Value.To} {
			width, bolt, lacks := 0.0, "", "ends of links/"+e.Name
			if k < len(e.Value.Ends) {
				lacks = "width of the rod end " + e.Value.Ends[k]
				if end := itemOf(w.m, e.Value.Ends[k]).End; end != nil {
					width, bolt = mm(end.Width), end.Bolt
				}
			}
			add(ref, "links/"+e.Name, width, bolt, lacks, e.Value.Pair)
		}
	}
	for i := range w.m.Doc.Shocks {
		e := &w.m.Doc.Shocks[i]
		lacks := "eye of shocks/" + e.Name
		if e.Value.Item != "" {
			lacks = "eye of the shock " + e.Value.Item
		}
		for _, ref := range []rig.Ref{e.Value.Top, e.Value.Bottom} {
			add(ref, "shocks/"+e.Name, mm(e.Value.Eye), e.Value.Bolt, lacks, e.Value.Pair)
		}
	}
	for _, s := range w.m.Doc.SteerBolts() {
		id := w.m.Doc.EndOf(s.Rod, s.End)
		e := eyeAt{ref: s.Where, keys: s.Keys, what: s.Path, lacks: "ends of " + s.Path, fast: &s.Fastened, slot: mm(s.Slot), bolt: s.EyeBolt.Bolt, count: 1}
		if id != "" {
			e.lacks = "width of the rod end " + id
			if end := itemOf(w.m, id).End; end != nil {
				e.width = mm(end.Width)
				if e.bolt == "" {
					e.bolt = end.Bolt
				}
			}
		}
		if e.bolt = rig.TidyThread(e.bolt); threadSize(e.bolt) > 0 {
			out = append(out, e)
		}
	}
	return out
}

// bolts are one for each hole that an eye is on; two eyes on one hole share it.
func (w *works) bolts() []Bolt {
	var out []Bolt
	at := map[string]int{}
	for _, e := range w.eyesAt() {
		k, there := at[e.ref]
		if !there {
			k = len(out)
			at[e.ref] = k
			n := bolting{thread: e.bolt, grip: mm(e.fast.Grip), blind: e.fast.Blind, screw: e.fast.Screw, nutItem: e.fast.Nut}
			if n.grip == 0 {
				n.nut = nutHeight(w.m, n.nutItem, n.thread)
			} else if e.part != nil {
				n.held = e.part.Material
			}
			b := Bolt{Thread: e.bolt, For: []string{e.ref}, Screw: n.screw, Nut: n.nutItem, HeldBy: "nut", needs: n, New: []string{}, WouldFit: []string{}, NutsFit: []string{}}
			if n.grip > 0 {
				b.HeldBy = "thread"
			}
			switch {
			case e.fast.Wall == nil:
				b.lacks = append(b.lacks, "wall of "+e.keys)
			case e.slot > 0: // its spacers are in the slot with the eye
				b.needs.through = e.slot + mm(e.fast.Wall)
			default:
				b.needs.through = mm(e.fast.Wall) + mm(e.fast.Spacer)
			}
			out = append(out, b)
		}
		b := &out[k]
		b.Count = max(b.Count, e.count)
		b.places = append(b.places, e)
		if e.slot == 0 {
			if b.needs.through += e.width; e.width == 0 {
				b.lacks = append(b.lacks, e.lacks)
			}
		}
	}
	for i := range out {
		b := &out[i]
		if len(b.lacks) > 0 {
			b.needs.through = math.NaN()
			continue
		}
		n := &b.needs
		through, least := n.through, n.through+n.hold()
		b.ThroughMM, b.LeastMM = &through, &least
		if n.blind {
			most := n.through + n.grip
			b.MostMM = &most
		}
	}
	return out
}

// hold is how much of the bolt must be in what holds it: through a nut altogether, or the diameters of thread that the material wants.
func (n *bolting) hold() float64 {
	if n.grip == 0 {
		return n.nut
	}
	return engagement(n.held) * threadSize(n.thread)
}

// judge holds a screw of that length against the bolting, by the rule of screws and threads.
func (n *bolting) judge(w *works, thread string, length float64) verdict {
	m := Port{Type: "male thread", Thread: thread, Length: length, Width: n.through, units: w.units}
	f := Port{Type: "female thread", Thread: n.thread, Length: n.grip, Blind: n.blind, Material: n.held, units: w.units}
	if n.grip == 0 {
		f.Length, f.Nut = n.nut, true
	}
	return threadInThread(&m, &f)
}

// boltJoints judges the screws that the document names.
func (w *works) boltJoints(list []Bolt) []Joint {
	var out []Joint
	for i := range list {
		b := &list[i]
		if b.Screw == "" {
			continue
		}
		j := Joint{A: b.Screw, B: b.For[0], Type: "screw – eye", OK: true, Source: "ISO 261, ISO 4762; engagement 1 d in steel, 1.5 d in aluminium, 2 d in plastic: handbooks, common practice; nuts: ISO 898-2"}
		for _, e := range b.places {
			j.about = append(j.about, e.what)
		}
		if owner, _, ok := strings.Cut(b.For[0], "/"); ok {
			j.about = append(j.about, w.pathOf(owner))
		}
		sc := itemOf(w.m, b.Screw).Screw
		nut := itemOf(w.m, b.Nut).Screw
		switch {
		case sc == nil || sc.Length == nil:
			j.Fit, j.Reason = "not checked", fmt.Sprintf("the item %s does not say its thread and length", b.Screw)
		case nut != nil && rig.TidyThread(nut.Thread) != b.Thread:
			j.OK, j.Fit, j.Reason = false, "wrong thread", fmt.Sprintf("the nut %s is for %s, the bolt is %s", b.Nut, rig.TidyThread(nut.Thread), b.Thread)
		case len(b.lacks) > 0 && rig.TidyThread(sc.Thread) == b.Thread:
			j.Fit, j.Reason = "not checked", fmt.Sprintf("%s, %s long; how much it goes through is not known: %s", b.Thread, w.dim(mm(sc.Length)), strings.Join(b.lacks, ", "))
		default:
			v := b.needs.judge(w, rig.TidyThread(sc.Thread), mm(sc.Length))
			j.OK, j.Fit, j.Reason = v.ok, v.fit, v.reason
		}
		out = append(out, j)
	}
	return out
}

// alikeBolts puts those together that want the same, and says which of them the build as it was has already.
func (w *works) alikeBolts(list []Bolt, against *solid.Model) []Bolt {
	var old []Bolt
	if against != nil {
		old = newWorks(against).bolts()
	}
	w.had(list, old)
	out := []Bolt{}
	for _, b := range list {
		k := slices.IndexFunc(out, func(o Bolt) bool {
			if len(o.lacks) > 0 || len(b.lacks) > 0 {
				return len(o.lacks) > 0 && len(b.lacks) > 0 && o.Thread == b.Thread && o.HeldBy == b.HeldBy && o.Screw == b.Screw && o.Nut == b.Nut
			}
			return o.needs.same(b.needs)
		})
		if k < 0 {
			if b.Count > b.Had {
				b.New = b.For
			}
			out = append(out, b)
			continue
		}
		o := &out[k]
		if b.Count > b.Had {
			o.New = append(o.New, b.For...)
		}
		o.Count, o.Had = o.Count+b.Count, o.Had+b.Had
		o.For, o.places, o.lacks = append(o.For[:len(o.For):len(o.For)], b.For...), append(o.places, b.places...), append(o.lacks, b.lacks...)
	}
	for i := range out {
		b := &out[i]
		b.Wants = w.wants(b)
		if b.Screw == "" && len(b.lacks) == 0 {
			b.WouldFit = w.screwsFor(&b.needs)
		}
		if b.Nut == "" && b.HeldBy == "nut" {
			b.NutsFit = w.nutsFor(b.Thread)
		}
	}
	return out
}

func (n bolting) same(o bolting) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	return n.thread == o.thread && near(n.through, o.through) && near(n.grip, o.grip) && near(n.nut, o.nut) && n.blind == o.blind && n.held == o.held &&
		n.screw == o.screw && n.nutItem == o.nutItem
}

// had fills in how many bolts come with the build as it was: first those of the same hole that want the same, then any that is long enough
// and not too long. A bolt that no item is named for is taken to be of the next length of ISO 4762.
func (w *works) had(list, old []Bolt) {
	left := make([]int, len(old))
	for i := range old {
		left[i] = old[i].Count
	}
	take := func(b *Bolt, fits func(o *Bolt) bool) {
		for i := range old {
			if n := min(left[i], b.Count-b.Had); n > 0 && fits(&old[i]) {
				left[i] -= n
				b.Had += n
			}
		}
	}
	for i := range list {
		b := &list[i]
		take(b, func(o *Bolt) bool {
			unknown := len(b.lacks) > 0 || len(o.lacks) > 0
			return o.For[0] == b.For[0] && (o.needs.same(b.needs) || unknown && o.Thread == b.Thread && o.Screw == b.Screw)
		})
	}
	for i := range list {
		b := &list[i]
		if len(b.lacks) > 0 {
			take(b, func(o *Bolt) bool { return o.Thread == b.Thread && o.Screw == b.Screw })
			continue
		}
		take(b, func(o *Bolt) bool {
			if b.Screw != "" || o.Screw != "" {
				return o.Screw == b.Screw && o.Thread == b.Thread
			}
			return len(o.lacks) == 0 && o.HeldBy == b.HeldBy && b.needs.judge(w, o.Thread, nextLength(*o.LeastMM)).ok
		})
	}
}

// nextLength is the shortest screw that is at least so long, by the lengths of ISO 4762.
func nextLength(least float64) float64 {
	for _, l := range []float64{3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60} {
		if l >= least-1e-9 {
			return l
		}
	}
	return math.Ceil(least)
}

// screwsFor are screws of the bins that would hold there: of the three shortest lengths one each, in stock rather than not. A countersunk
// head wants a countersink, and a set screw has none.
func (w *works) screwsFor(n *bolting) []string {
	var best []*rig.Entry[rig.Part]
	length := func(e *rig.Entry[rig.Part]) float64 { return mm(e.Value.Screw.Length) }
	for _, bin := range w.m.Bins {
		for i := range bin.Items {
			e := &bin.Items[i]
			sc := e.Value.Screw
			if e.Value.Kind != "screw" || sc == nil || sc.Length == nil || sc.Head == "set" || sc.Head == "countersunk" {
				continue
			}
			if thread := rig.TidyThread(sc.Thread); thread != n.thread || !n.judge(w, thread, length(e)).ok {
				continue
			}
			k, there := slices.BinarySearchFunc(best, length(e), func(b *rig.Entry[rig.Part], l float64) int { return cmp.Compare(length(b), l) })
			switch {
			case there && empty(&e.Value) < empty(&best[k].Value):
				best[k] = e
			case !there && k < 3:
				best = slices.Insert(best, k, e)
				best = best[:min(3, len(best))]
			}
		}
	}
	ids := []string{}
	for _, e := range best {
		ids = append(ids, e.Name)
	}
	return ids
}

// nutsFor are nuts of the bins for the thread: those as high as a self-locking one first, then those in stock; at most three.
func (w *works) nutsFor(thread string) []string {
	var found []stocked
	for _, s := range w.shelf() {
		if sc := s.part.Screw; s.part.Kind == "nut" && sc != nil && rig.TidyThread(sc.Thread) == thread && !strings.Contains(strings.ToLower(s.part.Title), "wheel") {
			found = append(found, s)
		}
	}
	plain := func(s stocked) int { // a plain nut is 0.8 d high (ISO 4032)
		if nutHeight(w.m, s.id, thread) >= threadSize(thread) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(found, func(a, b stocked) int {
		return cmp.Or(cmp.Compare(plain(a), plain(b)), cmp.Compare(empty(a.part), empty(b.part)))
	})
	ids := []string{}
	for _, s := range found[:min(3, len(found))] {
		ids = append(ids, s.id)
	}
	return ids
}
