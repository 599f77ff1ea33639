package export

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"

	"lowslung/solid"
	"lowslung/travel"
)

// glTF 2.0 (Khronos Group, The glTF 2.0 Specification; ISO/IEC 12113:2022): one binary file with a tree of named nodes. Metres, y up, z forward,
// so that left is x: the root turns and scales ours (mm, x forward, y left, z up) into that, and everything below it keeps our numbers.

type gltf struct {
	Asset       gltfAsset      `json:"asset"`
	Scene       int            `json:"scene"`
	Scenes      []gltfScene    `json:"scenes"`
	Nodes       []gltfNode     `json:"nodes"`
	Meshes      []gltfMesh     `json:"meshes,omitempty"`
	Materials   []gltfMaterial `json:"materials,omitempty"`
	Accessors   []gltfAccessor `json:"accessors,omitempty"`
	BufferViews []gltfView     `json:"bufferViews,omitempty"`
	Buffers     []gltfBuffer   `json:"buffers,omitempty"`
}

type gltfAsset struct {
	Version   string `json:"version"`
	Generator string `json:"generator"`
}

type gltfScene struct {
	Name  string `json:"name"`
	Nodes []int  `json:"nodes"`
}

type gltfNode struct {
	Name     string         `json:"name"`
	Matrix   []float64      `json:"matrix,omitempty"`
	Mesh     *int           `json:"mesh,omitempty"`
	Children []int          `json:"children,omitempty"`
	Extras   map[string]any `json:"extras,omitempty"`
}

type gltfMesh struct {
	Name       string          `json:"name"`
	Primitives []gltfPrimitive `json:"primitives"`
}

type gltfPrimitive struct {
	Attributes map[string]int `json:"attributes"`
	Indices    int            `json:"indices"`
	Material   int            `json:"material"`
}

type gltfMaterial struct {
	Name string  `json:"name"`
	PBR  gltfPBR `json:"pbrMetallicRoughness"`
}

type gltfPBR struct {
	Colour    [4]float64 `json:"baseColorFactor"`
	Metallic  float64    `json:"metallicFactor"`
	Roughness float64    `json:"roughnessFactor"`
}

type gltfAccessor struct {
	View  int       `json:"bufferView"`
	Type  string    `json:"type"`
	Comp  int       `json:"componentType"`
	Count int       `json:"count"`
	Min   []float64 `json:"min,omitempty"`
	Max   []float64 `json:"max,omitempty"`
}

type gltfView struct {
	Buffer int `json:"buffer"`
	Offset int `json:"byteOffset"`
	Length int `json:"byteLength"`
	Target int `json:"target"`
}

type gltfBuffer struct {
	Length int `json:"byteLength"`
}

const (
	floats, ints   = 5126, 5125   // component types: float, unsigned int
	corners, order = 34962, 34963 // targets: vertices, indices
)

// paints are plain looks by what a part is made of, or by what it is.
var paints = []struct {
	name                string
	r, g, b, metal, dim float64
}{
	{"other", 0.55, 0.55, 0.53, 0, 0.8},
	{"metal", 0.62, 0.64, 0.66, 0.9, 0.4},
	{"brass", 0.72, 0.58, 0.28, 0.9, 0.4},
	{"plastic", 0.20, 0.21, 0.22, 0, 0.7},
	{"carbon", 0.09, 0.09, 0.10, 0.1, 0.5},
	{"rubber", 0.06, 0.06, 0.06, 0, 0.95},
	{"body", 0.45, 0.55, 0.42, 0, 0.6},
	{"battery", 0.20, 0.33, 0.52, 0, 0.6},
	{"spring", 0.50, 0.30, 0.22, 0.4, 0.5},
}

func paintOf(kind, material string) int {
	name := "other"
	switch kind {
	case "tyre":
		name = "rubber"
	case "body", "battery":
		name = kind
	default:
		switch material {
		case "aluminium 6061", "aluminium 7075", "titanium", "steel", "spring steel":
			name = "metal"
		case "brass", "carbon":
			name = material
		case "POM", "PA12", "PETG", "PLA":
			name = "plastic"
		default:
			switch kind {
			case "motor", "gear", "bearing", "screw", "nut", "washer", "pin", "shaft", "axle", "rod", "bar":
				name = "metal"
			}
		}
	}
	for i := range paints {
		if paints[i].name == name {
			return i
		}
	}
	return 0
}

type gltfWriter struct {
	doc     gltf
	data    []byte
	painted map[int]int // paints that are used, to their number in the file
}

// GLB is the rig as it stands in its design pose, as one binary glTF file.
func GLB(m *solid.Model) ([]byte, error) {
	st := travel.StandOf(m)
	stance := st.Stance()
	w := &gltfWriter{doc: gltf{Asset: gltfAsset{"2.0", "lowslung"}}, painted: map[int]int{}}
	root := w.node(gltfNode{Name: orWord(m.Name, "rig"), Matrix: toGround(&st.Ground)})
	w.doc.Scenes = []gltfScene{{"rig", []int{root}}}
	carriers := []int{w.node(gltfNode{Name: "chassis"}), 0, 0}
	below := []int{carriers[0]}
	for _, end := range []solid.End{solid.Front, solid.Rear} {
		if m.Axles[end].Present {
			k := w.node(gltfNode{Name: end.String() + " axle assembly", Matrix: matrix(&stance[end])})
			carriers[solid.CarrierOf(end)] = k
			below = append(below, k)
		}
	}
	for i := range m.Bodies {
		b := &m.Bodies[i]
		s := &surface{}
		for k := range b.Shapes {
			s.join(placed(&b.Shapes[k]))
		}
		n := gltfNode{Name: sided(b.Name, b.Side), Extras: map[string]any{"path": b.Path, "kind": b.Kind}}
		if b.HasMass {
			n.Extras["mass_g"] = round(b.Mass*1000, 1e-6)
		}
		material := ""
		if part := partAt(m, b.Path); part != nil {
			material = part.Material
		}
		n.Mesh = w.mesh(n.Name, s, paintOf(b.Kind, material))
		w.child(carriers[b.Carrier], n)
	}
	for i := range m.Links {
		l := &m.Links[i]
		line := l.Course(stance.Place(solid.CarrierOf(l.Axle), l.To), nil)
		below = append(below, w.span(sided(l.Name, l.Side), l.Path, line, l.Width, "metal"))
	}
	if k, ok := m.Steer.Span(); ok && k.Width > 0 {
		below = append(below, w.span(k.Name, k.Path, []solid.Vec{stance.Place(k.On[0], k.At[0]), stance.Place(k.On[1], k.At[1])}, k.Width, "metal"))
	}
	for i := range m.Shocks {
		k := &m.Shocks[i]
		line := []solid.Vec{stance.PlaceAnchor(m, k.Top), stance.PlaceAnchor(m, k.Bottom)}
		below = append(below, w.span(sided(k.Name+" shock", k.Side), k.Path, line, k.Width, "spring"))
	}
	for i := range m.Shafts {
		k := &m.Shafts[i]
		line := []solid.Vec{k.From, stance.Place(solid.CarrierOf(k.Axle), k.To)}
		below = append(below, w.span(k.Name+" shaft", k.Path, line, k.Width, "metal"))
	}
	w.doc.Nodes[root].Children = below
	return w.bytes()
}

func orWord(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

func sided(name string, side solid.Side) string {
	if side == solid.Single {
		return name
	}
	return name + ", " + side.String()
}

func round(v, by float64) float64 { return math.Round(v/by) * by }

func (w *gltfWriter) node(n gltfNode) int {
	w.doc.Nodes = append(w.doc.Nodes, n)
	return len(w.doc.Nodes) - 1
}

func (w *gltfWriter) child(of int, n gltfNode) {
	k := w.node(n)
	w.doc.Nodes[of].Children = append(w.doc.Nodes[of].Children, k)
}

func (w *gltfWriter) span(name, path string, line []solid.Vec, wide float64, paint string) int {
	at := 0
	for i := range paints {
		if paints[i].name == paint {
			at = i
		}
	}
	return w.node(gltfNode{Name: name, Mesh: w.mesh(name, rod(line, wide), at), Extras: map[string]any{"path": path}})
}

// mesh stores a surface; nil when there is nothing to see. Without normals a viewer shades each triangle flat (specification, 3.7.2.1).
func (w *gltfWriter) mesh(name string, s *surface, paint int) *int {
	if len(s.triangles) == 0 {
		return nil
	}
	lo, hi := []float64{math.Inf(1), math.Inf(1), math.Inf(1)}, []float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	start := len(w.data)
	for _, p := range s.points {
		for k, v := range []float64{p.X, p.Y, p.Z} {
			f := float32(v)
			w.data = binary.LittleEndian.AppendUint32(w.data, math.Float32bits(f))
			lo[k], hi[k] = min(lo[k], float64(f)), max(hi[k], float64(f))
		}
	}
	at := w.view(start, corners)
	position := w.accessor(gltfAccessor{View: at, Type: "VEC3", Comp: floats, Count: len(s.points), Min: lo, Max: hi})
	start = len(w.data)
	for _, t := range s.triangles {
		for _, k := range t {
			w.data = binary.LittleEndian.AppendUint32(w.data, k)
		}
	}
	indices := w.accessor(gltfAccessor{View: w.view(start, order), Type: "SCALAR", Comp: ints, Count: 3 * len(s.triangles)})
	look, there := w.painted[paint]
	if !there {
		p := paints[paint]
		look = len(w.doc.Materials)
		w.painted[paint] = look
		w.doc.Materials = append(w.doc.Materials, gltfMaterial{p.name, gltfPBR{[4]float64{p.r, p.g, p.b, 1}, p.metal, p.dim}})
	}
	w.doc.Meshes = append(w.doc.Meshes, gltfMesh{name, []gltfPrimitive{{map[string]int{"POSITION": position}, indices, look}}})
	k := len(w.doc.Meshes) - 1
	return &k
}

func (w *gltfWriter) view(start, target int) int {
	w.doc.BufferViews = append(w.doc.BufferViews, gltfView{0, start, len(w.data) - start, target})
	return len(w.doc.BufferViews) - 1
}

func (w *gltfWriter) accessor(a gltfAccessor) int {
	w.doc.Accessors = append(w.doc.Accessors, a)
	return len(w.doc.Accessors) - 1
}

// bytes is the container: header, JSON padded with spaces, data padded with zeros, each to 4 bytes (specification, 4.4).
func (w *gltfWriter) bytes() ([]byte, error) {
	if len(w.data) > 0 {
		w.doc.Buffers = []gltfBuffer{{len(w.data)}}
	}
	text, err := json.Marshal(&w.doc)
	if err != nil {
		return nil, err
	}
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	data := w.data
	for len(data)%4 != 0 {
		data = append(data, 0)
	}
	long := 12 + 8 + len(text)
	if len(data) > 0 {
		long += 8 + len(data)
	}
	var b bytes.Buffer
	put := func(v uint32) { b.Write(binary.LittleEndian.AppendUint32(nil, v)) }
	put(0x46546C67) // "glTF"
	put(2)
	put(uint32(long))
	put(uint32(len(text)))
	put(0x4E4F534A) // "JSON"
	b.Write(text)
	if len(data) > 0 {
		put(uint32(len(data)))
		put(0x004E4942) // "BIN"
		b.Write(data)
	}
	return b.Bytes(), nil
}

// matrix is a frame, column by column.
func matrix(f *solid.Frame) []float64 {
	r := &f.R
	return []float64{r[0], r[3], r[6], 0, r[1], r[4], r[7], 0, r[2], r[5], r[8], 0, f.At.X, f.At.Y, f.At.Z, 1}
}

// toGround takes the chassis frame, mm, to glTF's axes, m: left to x, up to y, forward to z, the ground at y = 0.
func toGround(g *travel.Ground) []float64 {
	up, at := solid.Vec{Z: 1}, solid.Vec{}
	if g.Known {
		up = g.Up
		at = solid.Vec{}.Along(up, -g.Height(solid.Vec{})) // below the chassis origin
	}
	forward := solid.Vec{X: 1}.Along(up, -up.X).Unit()
	left := up.Cross(forward)
	rows := [3]solid.Vec{left, up, forward}
	out := make([]float64, 16)
	for i, r := range rows {
		for k, v := range []float64{r.X, r.Y, r.Z, -r.Dot(at)} {
			out[4*k+i] = v / 1000
		}
	}
	out[15] = 1
	return out
}
