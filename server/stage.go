package server

import (
	"context"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/balance"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// Stage is everything to draw the rig with, at its design pose. Frames follow ISO 8855; each body is in the frame of what
// carries it, so that a new pose needs nothing but the axle's own state.
type Stage struct {
	Name           string           `json:"name" doc:"Name of the build"`
	Tyres          bool             `json:"tyres" doc:"Both axles that are there have tyres"`
	Ground         Ground           `json:"ground" doc:"What the tyres touch"`
	Bodies         []Body           `json:"bodies" nullable:"false" doc:"Every part, mirror twins included"`
	Links          []StageLink      `json:"links" nullable:"false" doc:"Every link, mirror twins included, and the drag link of a servo on the chassis"`
	Shocks         []StageShock     `json:"shocks" nullable:"false" doc:"Every shock, mirror twins included; their eyes come with each axle's state"`
	Shafts         []StageShaft     `json:"shafts" nullable:"false" doc:"Every drive shaft"`
	Kingpins       []StageKingpin   `json:"kingpins" nullable:"false" doc:"About which the front wheels turn; empty when not written"`
	CenterOfMassMM []float64        `json:"center_of_mass_mm" doc:"Chassis frame; null when nothing has a weight"`
	MassG          float64          `json:"mass_g" doc:"Sum of the weights given"`
	CornerLoadsN   *balance.Corners `json:"corner_loads_n" doc:"Standing level; null when the ground is not known"`
	Axles          StageAxles       `json:"axles" doc:"Both axles at the design pose"`
}

// StageAxles are both axles.
type StageAxles struct {
	Front AxleState `json:"front" doc:"Front axle"`
	Rear  AxleState `json:"rear" doc:"Rear axle"`
}

// Ground is the plane that the tyres touch at the design pose.
type Ground struct {
	Known    bool      `json:"known" doc:"Both axles have a place and tyres"`
	PitchDeg float64   `json:"pitch_deg" doc:"Chassis against the ground, positive nose down"`
	BelowMM  float64   `json:"below_mm" doc:"Height of the ground in the chassis frame below its origin; negative"`
	PointMM  []float64 `json:"point_mm" nullable:"false" doc:"A point of it below the rear axle"`
	Up       []float64 `json:"up" nullable:"false" doc:"Unit normal"`
}

// Body is one part to draw.
type Body struct {
	Path    []string    `json:"path" nullable:"false" doc:"Keys that lead to it in the document"`
	Name    string      `json:"name" doc:"The builder's name for it"`
	Kind    string      `json:"kind" doc:"Kind of part"`
	Side    string      `json:"side" enum:"left,right," doc:"Of a pair; empty for a single part"`
	Carrier string      `json:"carrier" enum:"chassis,front,rear" doc:"What it is fixed to"`
	Steered bool        `json:"steered" doc:"It turns with the knuckle on its side, as wheels do"`
	Shapes  []Shape     `json:"shapes" nullable:"false" doc:"In the carrier's frame"`
	Holes   []StageHole `json:"holes" nullable:"false" doc:"In the carrier's frame"`
}

// Shape is one shape: outer = at + turn·inner, after mirroring inner at its own x–z plane when flip is set.
type Shape struct {
	Kind      string      `json:"kind" enum:"box,cylinder,prism,capsule,disc,mesh" doc:"cylinder and capsule lie along x, disc (a tyre) along y, prism is extruded along z"`
	AtMM      []float64   `json:"at_mm" nullable:"false" doc:"Centre"`
	Turn      []float64   `json:"turn" nullable:"false" doc:"Rotation, 9 numbers, row by row"`
	Flip      bool        `json:"flip" doc:"Mirrored first"`
	SizeMM    []float64   `json:"size_mm" nullable:"false" doc:"box: full lengths; cylinder and capsule: length along x (of a capsule between the centres of its ends), diameter, diameter; prism: z is the thickness; disc: diameter, width, diameter; mesh: of the box around it"`
	OutlineMM [][]float64 `json:"outline_mm,omitempty" doc:"Of a prism: corners in order"`
	Triangles []byte      `json:"triangles,omitempty" doc:"Of a mesh: its triangles, counter-clockwise from outside, 9 little-endian float32 each in mm; of a large one fewer that look alike"`
}

// StageHole is a hole to draw and to choose.
type StageHole struct {
	Name string    `json:"name" doc:"Name of the hole"`
	Ref  string    `json:"ref" doc:"As links and shocks name it: belly/rear lower"`
	Side string    `json:"side" enum:"left,right," doc:"Of a mirrored hole; empty for a single one"`
	AtMM []float64 `json:"at_mm" nullable:"false" doc:"Centre"`
	Axis []float64 `json:"axis" nullable:"false" doc:"Direction of the bolt; zeros when not given"`
	Bolt string    `json:"bolt" doc:"Bolt that goes through"`
}

// StageLink is a link to draw: from its chassis eye to its axle eye.
type StageLink struct {
	Name       string      `json:"name" doc:"The builder's name for it"`
	Path       []string    `json:"path" nullable:"false" doc:"Keys that lead to it in the document"`
	Side       string      `json:"side" enum:"left,right," doc:"Of a pair; empty for a single link"`
	Axle       string      `json:"axle" enum:"front,rear" doc:"Axle it holds"`
	FromMM     []float64   `json:"from_mm" nullable:"false" doc:"Chassis eye, chassis frame"`
	ToMM       []float64   `json:"to_mm" nullable:"false" doc:"Axle eye, axle frame"`
	From       string      `json:"from" doc:"Hole of the chassis eye: part/hole; empty for a drag link"`
	To         string      `json:"to" doc:"Hole of the axle eye: part/hole; empty for a drag link"`
	DiameterMM float64     `json:"diameter_mm" doc:"For drawing"`
	LengthMM   float64     `json:"length_mm" doc:"Eye to eye"`
	Bends      [][]float64 `json:"bends" nullable:"false" doc:"Along from the chassis eye, sideways, rise, of each bend"`
}

// StageShock is a shock to draw.
type StageShock struct {
	Name       string   `json:"name" doc:"The builder's name for it"`
	Path       []string `json:"path" nullable:"false" doc:"Keys that lead to it in the document"`
	Side       string   `json:"side" enum:"left,right," doc:"Of a pair; empty for a single shock"`
	Axle       string   `json:"axle" enum:"front,rear" doc:"Axle it carries"`
	DiameterMM float64  `json:"diameter_mm" doc:"With its spring, for drawing"`
	OpenMM     float64  `json:"open_mm" doc:"Eye to eye, fully open; 0 when not known"`
	ClosedMM   float64  `json:"closed_mm" doc:"Eye to eye, fully closed; 0 when not known"`
}

// StageShaft is a drive shaft to draw.
type StageShaft struct {
	Name       string    `json:"name" doc:"The builder's name for it"`
	Path       []string  `json:"path" nullable:"false" doc:"Keys that lead to it in the document"`
	Axle       string    `json:"axle" enum:"front,rear" doc:"Axle it drives"`
	FromMM     []float64 `json:"from_mm" nullable:"false" doc:"Joint at the gearbox, chassis frame"`
	ToMM       []float64 `json:"to_mm" nullable:"false" doc:"Joint at the axle, axle frame"`
	DiameterMM float64   `json:"diameter_mm" doc:"For drawing"`
}

// StageKingpin is the axis that a front wheel turns about.
type StageKingpin struct {
	Side    string    `json:"side" enum:"left,right" doc:"Of which wheel"`
	PointMM []float64 `json:"point_mm" nullable:"false" doc:"A point of it, axle frame"`
	Axis    []float64 `json:"axis" nullable:"false" doc:"Unit vector upward along it, axle frame"`
}

func (s *Server) routeStage(api huma.API) {
	huma.Register(api, operation("stage", http.MethodGet, "/api/rigs/{id}/stage", "Everything to draw the rig with, at its design pose"), s.stage)
	huma.Register(api, operation("pull", http.MethodGet, "/api/rigs/{id}/pull",
		"Pull the wheels of one axle: the pose nearest to the wish on the straight way there, and what stopped it"), s.pull)
	huma.Register(api, operation("gaps", http.MethodGet, "/api/rigs/{id}/gaps",
		"All pairs nearer than 5 mm with both axles at the wheel bumps given, wheels straight ahead"), s.gaps)
}

type stageOut struct{ Body Stage }

func (s *Server) stage(ctx context.Context, in *RigID) (*stageOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out, err := stageOf(l)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &stageOut{*out}, nil
}

func stageOf(l *asked) (*Stage, error) {
	a, err := l.answer(quantity.Metric)
	if err != nil {
		return nil, err
	}
	m := l.Model
	st := &Stage{Name: m.Name, MassG: a.Balance.MassKG * 1000, CornerLoadsN: a.Balance.CornerLoadsN,
		Bodies: []Body{}, Links: []StageLink{}, Shocks: []StageShock{}, Shafts: []StageShaft{}, Kingpins: []StageKingpin{}, Tyres: true}
	if a.Balance.MassKG > 0 {
		st.CenterOfMassMM = a.Balance.CenterOfMassMM
	}
	for i := range m.Axles {
		st.Tyres = st.Tyres && (!m.Axles[i].Present || m.Axles[i].TyreRadius > 0)
	}
	for i := range m.Bodies {
		st.Bodies = append(st.Bodies, bodyOf(&m.Bodies[i]))
		if b := &m.Bodies[i]; b.Carrier == solid.OnFront && m.Doc != nil && m.Doc.Front != nil {
			part, ok := m.Doc.Front.Parts.Get(b.Name)
			st.Bodies[i].Steered = ok && part.Steered && b.Side != solid.Single
		}
	}
	for i := range m.Links {
		k := &m.Links[i]
		link := StageLink{Name: k.Name, Path: split(k.Path), Side: k.Side.String(), Axle: k.Axle.String(), FromMM: xyz(k.From), ToMM: xyz(k.To),
			From: k.FromHole, To: k.ToHole, DiameterMM: k.Width, LengthMM: k.Length, Bends: [][]float64{}}
		for _, b := range k.Bends {
			link.Bends = append(link.Bends, xyz(b))
		}
		st.Links = append(st.Links, link)
	}
	if k, ok := m.Steer.Span(); ok && k.Width > 0 && k.On[0] == solid.OnChassis {
		link := StageLink{Name: k.Name, Path: split(k.Path), Axle: solid.Front.String(), FromMM: xyz(k.At[0]), ToMM: xyz(k.At[1]), DiameterMM: k.Width, Bends: [][]float64{}}
		_ = l.standing(func(stand *travel.Stand) error {
			link.LengthMM = stand.Stance().Place(k.On[1], k.At[1]).Sub(k.At[0]).Norm()
			return nil
		})
		st.Links = append(st.Links, link)
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		st.Shocks = append(st.Shocks, StageShock{k.Name, split(k.Path), k.Side.String(), k.Axle.String(), k.Width, k.Open, k.Closed})
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		st.Shafts = append(st.Shafts, StageShaft{k.Name, split(k.Path), k.Axle.String(), xyz(k.From), xyz(k.To), k.Width})
	}
	if k := &m.Steer; k.HasKingpin {
		for i, side := range []string{"left", "right"} {
			if axis := k.Upper[i].Sub(k.Lower[i]); axis.Norm() > 0 {
				st.Kingpins = append(st.Kingpins, StageKingpin{side, xyz(k.Lower[i]), xyz(axis.Unit())})
			}
		}
	}
	err = l.standing(func(stand *travel.Stand) error {
		st.Ground = groundOf(&stand.Ground)
		for end, state := range map[solid.End]*AxleState{solid.Front: &st.Axles.Front, solid.Rear: &st.Axles.Rear} {
			*state = absent(m, end)
			if m.Axles[end].Present {
				*state = stateOf(m, stand, end, travel.AtDesign(m, stand, end))
			}
		}
		return nil
	})
	return st, err
}

func groundOf(g *travel.Ground) Ground {
	out := Ground{Known: g.Known, PointMM: xyz(g.Point), Up: xyz(g.Up)}
	if g.Known {
		out.PitchDeg = g.Pitch / deg
		out.BelowMM = g.Point.Dot(g.Up) / g.Up.Z
	}
	return out
}

func bodyOf(b *solid.Body) Body {
	out := Body{Path: split(b.Path), Name: b.Name, Kind: b.Kind, Side: b.Side.String(), Carrier: "chassis", Shapes: []Shape{}, Holes: []StageHole{}}
	if b.Carrier != solid.OnChassis {
		out.Carrier = solid.End(b.Carrier - 1).String()
	}
	for i := range b.Shapes {
		out.Shapes = append(out.Shapes, shapeOf(&b.Shapes[i]))
	}
	for _, h := range b.Holes {
		out.Holes = append(out.Holes, StageHole{h.Name, b.Name + "/" + h.Name, h.Side.String(), xyz(h.At), xyz(h.Axis), h.Bolt})
	}
	return out
}

var shapeKinds = map[solid.ShapeKind]string{solid.Box: "box", solid.Cylinder: "cylinder", solid.Prism: "prism", solid.Capsule: "capsule", solid.Disc: "disc", solid.Meshed: "mesh"}

// shapeOf is a shape to draw.
func shapeOf(s *solid.Shape) Shape {
	out := Shape{Kind: shapeKinds[s.Kind], AtMM: xyz(s.Frame.At), Turn: s.Frame.R[:], Flip: s.Frame.Flip, SizeMM: xyz(s.Size)}
	if s.Kind == solid.Meshed {
		out.SizeMM, out.Triangles = xyz(s.Mesh.Bound.Hi.Sub(s.Mesh.Bound.Lo)), trianglesOf(s.Mesh)
	}
	for _, p := range s.Outline {
		out.OutlineMM = append(out.OutlineMM, []float64{p[0], p[1]})
	}
	return out
}

// split takes a path of the model apart. Names of parts may hold slashes, section names do not: the first one or two keys are
// sections, the rest is the name.
func split(path string) []string {
	n := 2
	if head, _, _ := strings.Cut(path, "/"); head == "chassis" || head == "front" || head == "rear" {
		n = 3
	}
	return strings.SplitN(path, "/", n)
}

func xyz(v solid.Vec) []float64 { return []float64{v.X, v.Y, v.Z} }
