package travel

import (
	"cmp"
	"slices"

	"lowslung/solid"
)

// Clearances: which bodies can come near each other, and how near they are at a pose.
//
// Tie rod and drag link, as the steering describes them or as parts drawn from eye to eye, go along with the steering, and are measured between 15 mm from either eye: beyond
// that are the arms and knuckles that they are bolted to.
//
// Everything with a shape is measured against everything that moves against it. Not measured: what sits on one carrier, what mates
// name as joined, links that share an eye, and a shock against the link it stands on. A link, shock or shaft against the part that
// its own end is on is measured from eyeZone on only, since the bracket there is drawn as a block, and only contact counts. Pieces
// that overlap at the design pose already are drawn into each other: nothing is said of how they move.

const (
	eyeZone   = 15.0    // mm from an eye or joint that belong to its bracket: rod end, fork and bolt head (an assumption)
	mostPairs = 200_000 // pairs of pieces: a rig drawn in every detail has a tenth of it
	shockRod  = 8.0     // mm, thickness of a shock's eyes and rod outside its body (an assumption)
	rodParts  = 3       // pieces that a tie rod or drag link is measured in
	armNear   = 10.0    // mm: a rod drawn with its ends as near to the eyes of tie rod or drag link is taken to be it
	hornNear  = 6.0     // mm: what is drawn as near to the drag link's near eye turns with the horn

	// tieRod marks the body that the knuckles carry between them, among those that a side's knuckle carries.
	tieRod solid.Side = 2
)

// Clearances of one model. Immutable after NewClearances; any number of goroutines, each with its own ClearWorkspace.
type Clearances struct {
	m      *solid.Model
	things []thing
	pieces []solid.Piece // in their carriers' frames; those of links, shocks and shafts are placed at each pose
	pairs  []thingPair
	axes   int    // pairs of pieces
	drawn  []bool // by pair of pieces: drawn into each other
	TooBig bool   // more than mostPairs: nothing is measured
	Coarse []string
}

// A Part is one of two that are near each other.
type Part struct {
	Name string // with its kind and side, as sentences say it: the left rear lower link
	Path string // in the document
	Side solid.Side
	Tyre bool
}

// A Gap is how far two things are from each other at a pose.
type Gap struct {
	A, B     *Part
	Distance float64   // mm; 0 or less when they touch: how deep at least
	AtA, AtB solid.Vec // nearest points, chassis frame, mm
	Joined   bool      // one's end is on the other: only contact counts
	pair     int
}

// A thing is a body, or a link, a shock or a shaft. Links, shocks and shafts come up to three times: whole, and cut at either end for
// the part that the end is on.
type thing struct {
	Part
	kind         thingKind
	index        int // in the model's list
	carrier      solid.Carrier
	cut          int8       // end that is cut off by eyeZone: 0 neither, 1 the chassis end, 2 the axle end
	first, count int        // pieces
	moves        [2]bool    // with the front, the rear axle
	thick        float64    // of a tie rod or drag link, mm
	steered      solid.Side // by the left or the right knuckle, or the tieRod between them
}

type thingKind uint8

const (
	aBody thingKind = iota
	aLink
	aShock
	aShaft
	aDrag
	aTie
)

// A thingPair is two things and where their pairs of pieces begin among the axes.
type thingPair struct {
	a, b   int32
	axis   int32
	joined bool
	atLock bool // only measured when the wheels are turned: both are on the front axle
}

// NewClearances prepares a model. Pieces that overlap in design are drawn into each other.
func NewClearances(m *solid.Model, design *solid.Stance) *Clearances {
	c := &Clearances{m: m}
	c.gather(design)
	c.pair()
	if c.TooBig {
		return c
	}
	c.drawn = make([]bool, c.axes)
	ws := c.Workspace()
	ws.place(design)
	for i := range c.pairs {
		p := &c.pairs[i]
		c.each(ws, p, 0, func(axis int, g *solid.Gap) {
			if g.Touching() {
				c.drawn[axis] = true
			}
		})
	}
	return c
}

// DrawnIn lists the pairs that are drawn into each other although nothing joins them.
func (c *Clearances) DrawnIn() (out [][2]*Part) {
	for i := range c.pairs {
		p := &c.pairs[i]
		a, b := &c.things[p.a], &c.things[p.b]
		if !p.joined && !p.atLock && slices.Contains(c.drawn[p.axis:int(p.axis)+a.count*b.count], true) {
			out = append(out, [2]*Part{&a.Part, &b.Part})
		}
	}
	return out
}

// A ClearWorkspace holds what one goroutine needs. Nothing is allocated at a pose.
type ClearWorkspace struct {
	c      *Clearances
	pieces []solid.Piece // placed in the chassis frame
	bounds []solid.Bound // of things
	axis   []solid.Vec   // by pair of pieces: where the last search ended
	at     solid.Stance
	placed bool
	turned bool
	lock   Turned
	points []solid.Vec
	gaps   []Gap
}

// Workspace makes one.
func (c *Clearances) Workspace() *ClearWorkspace {
	return &ClearWorkspace{
		c: c, pieces: slices.Clone(c.pieces), bounds: make([]solid.Bound, len(c.things)), axis: make([]solid.Vec, c.axes),
		points: make([]solid.Vec, 0, 32), gaps: make([]Gap, 0, len(c.pairs)),
	}
}

// Turned is the steering away from straight ahead.
type Turned struct {
	Knuckle [2]solid.Frame // what each knuckle carries, left and right: a turn about its kingpin, axle frame
	Tie     solid.Frame    // the tie rod, axle frame
	Drag    bool           // Near and Far are known
	On      solid.Carrier  // of the drag link's near eye
	Near    solid.Vec      // on the servo's horn, in its carrier's frame, mm
	Far     solid.Vec      // axle frame, mm
}

// of is the frame of a side, or of the tie rod.
func (t *Turned) of(side solid.Side) *solid.Frame {
	switch side {
	case solid.Left:
		return &t.Knuckle[0]
	case solid.Right:
		return &t.Knuckle[1]
	}
	return &t.Tie
}

// Steer turns the front wheels for the poses that follow, and takes tie rod and drag link along. Tyres, wheels and what is mated to them are taken to be steered, and
// are now measured against the axle too.
func (ws *ClearWorkspace) Steer(t Turned) {
	ws.lock = t
	ws.turned, ws.placed = true, false
}

// Straight undoes Steer.
func (ws *ClearWorkspace) Straight() { ws.turned, ws.placed = false, false }

// At lists the pairs nearer than limit at a stance, nearest first: one gap for each pair of things. The list is the workspace's own
// and is written over by the next call.
func (c *Clearances) At(s *solid.Stance, ws *ClearWorkspace, limit float64) []Gap {
	return c.among(nil, s, ws, limit)
}

// Worst is the smallest gap below limit at a stance.
func (c *Clearances) Worst(s *solid.Stance, ws *ClearWorkspace, limit float64) (Gap, bool) {
	if list := c.among(nil, s, ws, limit); len(list) > 0 {
		return list[0], true
	}
	return Gap{}, false
}

// among measures the pairs numbered in only, or all when it is nil.
func (c *Clearances) among(only []int, s *solid.Stance, ws *ClearWorkspace, limit float64) []Gap {
	ws.gaps = ws.gaps[:0]
	if c.TooBig {
		return ws.gaps
	}
	ws.place(s)
	n := len(c.pairs)
	if only != nil {
		n = len(only)
	}
	for k := range n {
		i := k
		if only != nil {
			i = only[k]
		}
		p := &c.pairs[i]
		if p.atLock && !ws.turned {
			continue
		}
		if g, ok := c.nearest(ws, p, limit); ok {
			g.pair = i
			ws.gaps = append(ws.gaps, g)
		}
	}
	slices.SortFunc(ws.gaps, func(a, b Gap) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.pair, b.pair))
	})
	return ws.gaps
}

// nearest is the smallest gap between the pieces of two things; false when it is not below limit.
func (c *Clearances) nearest(ws *ClearWorkspace, p *thingPair, limit float64) (Gap, bool) {
	best := Gap{Distance: limit}
	a, b := &c.things[p.a], &c.things[p.b]
	if ws.bounds[p.a].Apart(&ws.bounds[p.b], limit) {
		return best, false
	}
	found := false
	axis := int(p.axis)
	for i := a.first; i < a.first+a.count; i++ {
		pa := &ws.pieces[i]
		for j := b.first; j < b.first+b.count; j, axis = j+1, axis+1 {
			if c.drawn[axis] {
				continue
			}
			pb := &ws.pieces[j]
			reach := max(best.Distance, 0)
			if pa.Bound.Apart(&pb.Bound, reach) {
				continue
			}
			if g := solid.Apart(pa, pb, reach, &ws.axis[axis]); !g.Beyond && (g.Distance < best.Distance || !found && g.Distance <= limit) {
				found = true
				best.Distance, best.AtA, best.AtB = g.Distance, g.AtA, g.AtB
			}
		}
	}
	if found {
		best.A, best.B, best.Joined = &a.Part, &b.Part, p.joined
	}
	return best, found
}

// each measures every pair of pieces nearer than limit.
func (c *Clearances) each(ws *ClearWorkspace, p *thingPair, limit float64, at func(axis int, g *solid.Gap)) {
	a, b := &c.things[p.a], &c.things[p.b]
	if ws.bounds[p.a].Apart(&ws.bounds[p.b], limit) {
		return
	}
	axis := int(p.axis)
	for i := a.first; i < a.first+a.count; i++ {
		for j := b.first; j < b.first+b.count; j, axis = j+1, axis+1 {
			if ws.pieces[i].Bound.Apart(&ws.pieces[j].Bound, limit) {
				continue
			}
			if g := solid.Apart(&ws.pieces[i], &ws.pieces[j], limit, &ws.axis[axis]); !g.Beyond {
				at(axis, &g)
			}
		}
	}
}
