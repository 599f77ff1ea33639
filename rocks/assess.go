package rocks

import (
	"math"
	"slices"
	"sync"

	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
)

// Cautions of every answer.
var cautions = [...]string{
	"A rig that rolls may hold its throttle open: shut it before reaching in, and keep fingers out of turning wheels and shafts.",
	"After a hard roll look at the pack: one that is dented, pierced, warm or puffed does not go home in a pocket or a car. Put it outdoors on stone.",
	"Stand where neither the rig nor you can fall, spot each other, and leave rock and plants as they were; the rules of the place come first.",
}

// grips are those over which two builds are compared.
var grips = [...]float64{0.5, 0.6, 0.7, 0.8, 0.9, 1.0}

// Assess answers the question.
func Assess(m *solid.Model, o Options) (Answer, error) {
	a := Answer{SpeedMPS: o.speed() / 1000, Throttle: o.throttle(), Limits: []Limit{}, Cautions: slices.Clone(cautions[:]), Findings: []finding.Finding{}}
	var only *obstacle
	if o.Obstacle != "" {
		k, err := obstacleOf(o.Obstacle)
		if err != nil {
			return a, err
		}
		only = k
	}
	r, lacking := compile(m, &o)
	if lacking != nil {
		a.Findings = append(a.Findings, *lacking)
		return a, nil
	}
	a.Grip = r.gripOf(&o)
	a.Findings = append(a.Findings, r.notes...)
	var other *machine
	if o.Against != nil {
		if other, lacking = compile(o.Against, &o); lacking != nil {
			f := *lacking
			f.Sentence = "Of the other build, " + o.Against.Name + ": " + f.Sentence
			a.Findings = append(a.Findings, f)
		} else {
			a.Against = &Against{Name: o.Against.Name, Limits: []Limit{}}
		}
	}
	switch {
	case o.Map != nil:
		if err := a.onMap(r, other, &o); err != nil {
			return a, err
		}
	case only != nil && o.Size > 0:
		a.Run = r.run(only, o.Size, &o)
		if other != nil {
			a.Against.Run = other.run(only, o.Size, &o)
		}
	default:
		a.search(r, other, only, &o)
	}
	a.judge(r, &o)
	finding.Sort(a.Findings)
	return a, nil
}

func (r *machine) gripOf(o *Options) *Grip {
	g := &Grip{Front: r.axles[0].mu, Rear: r.axles[1].mu, From: "usual", Body: bodyGrip}
	if o.Grip > 0 {
		g.From = "asked"
		return g
	}
	for e := range r.axles {
		if r.axles[e].tyres[0].Wheel.Grip > 0 {
			g.From = "document"
		}
	}
	return g
}

// search looks for the largest of one or all obstacles, several at a time; every one is a question of its own, so the order does not matter.
func (a *Answer) search(r, other *machine, only *obstacle, o *Options) {
	var list []*obstacle
	for i := range obstacles {
		if k := &obstacles[i]; only == nil && (len(o.Only) == 0 || slices.Contains(o.Only, k.name)) || only == k {
			list = append(list, k)
		}
	}
	type job struct {
		r     *machine
		kind  *obstacle
		grip  float64
		into  *Limit
		plain func(Limit)
	}
	var jobs []job
	a.Limits = make([]Limit, len(list))
	for i, k := range list {
		jobs = append(jobs, job{r: r, kind: k, into: &a.Limits[i]})
	}
	if other != nil {
		a.Against.Limits = make([]Limit, len(list))
		for i, k := range list {
			jobs = append(jobs, job{r: other, kind: k, into: &a.Against.Limits[i]})
		}
		kind := list[0]
		a.ByGrip = &ByGrip{Obstacle: kind.name, Unit: kind.unit(), Rows: make([]AtGrip, len(grips))}
		for i, g := range grips {
			row := &a.ByGrip.Rows[i]
			row.Grip = g
			jobs = append(jobs, job{r: r, kind: kind, grip: g, plain: func(l Limit) { row.This = l.Cleared }},
				job{r: other, kind: kind, grip: g, plain: func(l Limit) { row.Other = l.Cleared }})
		}
	}
	var all sync.WaitGroup
	gate := make(chan struct{}, workers)
	for _, j := range jobs {
		all.Go(func() {
			gate <- struct{}{}
			defer func() { <-gate }()
			own := j.r.twin()
			if j.grip > 0 {
				own.axles[0].mu, own.axles[1].mu = j.grip, j.grip
			}
			l := own.limit(j.kind, o)
			if j.into != nil {
				*j.into = l
			} else {
				j.plain(l)
			}
		})
	}
	all.Wait()
	if only != nil && o.Frames {
		size := a.Limits[0].Next.Size
		a.Run = r.run(only, size, o)
		if other != nil {
			a.Against.Run = other.run(only, size, o)
		}
	}
}

// workers is how many searches go on at a time: more would only share the machine's memory.
const workers = 8

func (k *obstacle) unit() string {
	if k.angle {
		return "°"
	}
	return "mm"
}

// limit is the largest size that is cleared: up in strides until one is not, then between the two by halves.
func (r *machine) limit(k *obstacle, o *Options) Limit {
	l := Limit{Obstacle: k.name, About: k.about, Unit: k.unit()}
	try := func(size float64) trip {
		l.Runs++
		c := k.lay(size, o.Seed)
		w := newWork(r, c.rock, o.step())
		t := w.ride(&c, o, false)
		l.rough = l.rough || 100*t.rough > t.steps
		return t
	}
	low, high := 0.0, math.Inf(1)
	var t trip
	for size := k.stride; ; size += k.stride {
		size = min(size, k.most)
		t = try(size)
		if t.verdict != through {
			high = size
			break
		}
		low = size
		if size == k.most {
			break
		}
	}
	ended := r.ended(low, &t, o.Units, k)
	if !math.IsInf(high, 1) {
		ended = r.ended(high, &t, o.Units, k)
		for high-low > k.fine*1.001 {
			mid := low + math.Round((high-low)/2/k.fine)*k.fine
			if mid <= low || mid >= high {
				break
			}
			if t := try(mid); t.verdict == through {
				low = mid
			} else {
				high = mid
				ended = r.ended(mid, &t, o.Units, k)
			}
		}
	}
	l.Cleared, l.Next = low, ended
	return l
}

func (r *machine) ended(size float64, t *trip, units quantity.System, k *obstacle) Ended {
	e := Ended{Size: size, Outcome: string(t.verdict), Why: t.why, TimeS: round(t.seconds, 1e3), AlongMM: round(t.distance, 10), FrontMM: round(t.at, 10)}
	e.Sentence = t.sentence(units)
	return e
}

// run is one run of an obstacle.
func (r *machine) run(k *obstacle, size float64, o *Options) *Run {
	c := k.lay(size, o.Seed)
	return r.drives(&c, k, size, o)
}

func (r *machine) drives(c *course, k *obstacle, size float64, o *Options) *Run {
	w := newWork(r, c.rock, o.step())
	t := w.ride(c, o, o.Frames)
	out := &Run{Obstacle: "map", Ended: r.ended(size, &t, o.Units, k), SteepDeg: round(t.steepest, 100), BellyN: round(t.belly, 100), RoughShare: float64(t.rough) / float64(max(1, t.steps)), Frames: []Frame{}}
	out.CurrentA = round(t.current, 100)
	if k != nil {
		out.Obstacle, out.Unit = k.name, k.unit()
	}
	if o.Frames {
		out.Frames = t.frames
		out.Course = c.drawn(o.Map)
	}
	out.linksEnd, out.buried = t.ended, t.buried
	return out
}

func (a *Answer) onMap(r, other *machine, o *Options) error {
	c, err := o.Map.course(r)
	if err != nil {
		return err
	}
	a.Run = r.drives(&c, nil, 0, o)
	if other == nil {
		return nil
	}
	if c, err = o.Map.course(other); err != nil {
		return err
	}
	a.Against.Run = other.drives(&c, nil, 0, o)
	return nil
}

// drawn is the course for a page.
func (c *course) drawn(m *Map) *Course {
	out := &Course{LeanDeg: round(c.lean/deg, 100), FinishMM: round(c.finish, 10), Planes: []Plane{}, Blocks: []Block{}}
	for i := range c.rock {
		if f := c.rock[i].field; f != nil {
			out.Field = &Field{Map: m, XMM: f.x, YMM: f.y + float64(f.ny-1)*f.cell}
		}
		for k := range c.rock[i].stones {
			s := &c.rock[i].stones[k]
			if s.plane {
				out.Planes = append(out.Planes, Plane{placeOf(s.at), dirOf(s.n)})
				continue
			}
			full := solid.Vec{X: s.half.X + s.round, Y: s.half.Y + s.round, Z: s.half.Z + s.round}.Scale(2)
			out.Blocks = append(out.Blocks, Block{placeOf(s.at), placeOf(full), turnOf(&s.r), s.round})
		}
	}
	return out
}
