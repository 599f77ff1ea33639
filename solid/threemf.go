package solid

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"path"
	"strconv"
	"strings"
)

// 3MF files: a zip package with triangles as XML, in a unit that the file names (3MF Consortium, 3D Manufacturing Format, Core Specification
// 1.3.0). What the build plate holds is read: meshes, placed by components and items; supports, colours and pictures are not.
//
// A foreign file can claim anything. What it unpacks to is bounded by its own size, lists grow only with what is really read, and the
// number of triangles that components multiply to is counted before one is made.

const (
	packed3MF  = 32        // how many times its size a file may unpack to: triangles as XML pack some 5 to 15 times
	most3MF    = 256 << 20 // bytes of XML that are read at most
	token3MF   = 1 << 20   // bytes of one element or text
	deep3MF    = 64        // elements in one another, components in one another
	parts3MF   = 10_000    // files in the package
	objects3MF = 100_000   // objects, components and items
)

// units3MF are the units a model may have, in mm (core specification, table of the element model).
var units3MF = map[string]float64{"": 1, "micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000}

// ReadMesh reads an STL or a 3MF, by what it begins with, and multiplies it by scale.
func ReadMesh(data []byte, scale float64) (*Mesh, error) {
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return Read3MF(data, scale)
	}
	return ReadSTL(data, scale)
}

// Read3MF reads what stands on a 3MF's build plate, in mm by the file's own unit, and multiplies it by scale. The error says what was found and
// what was expected, to follow "found …".
func Read3MF(data []byte, scale float64) (*Mesh, error) {
	if len(data) > MaxMeshBytes {
		return nil, fmt.Errorf("%d bytes, expected at most %d MiB; save it with fewer triangles", len(data), MaxMeshBytes>>20)
	}
	if n := bytes.Count(data, []byte("PK\x01\x02")); n > parts3MF { // counted before a list is made of them
		return nil, fmt.Errorf("a 3MF with %d files in it, expected at most %d", n, parts3MF)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("a 3MF that is no whole zip file (%v): it is cut off or damaged, expected the whole file", err)
	}
	allowed := min(int64(most3MF), 1<<20+packed3MF*int64(len(data)))
	name, err := model3MF(z, allowed)
	if err != nil {
		return nil, err
	}
	r := &reader3MF{index: map[string]int{}}
	if err := readPart(z, name, allowed, r.read); err != nil {
		return nil, err
	}
	corners, err := r.flat()
	if err != nil {
		return nil, err
	}
	if err := withinReach(corners, scale); err != nil {
		return nil, err
	}
	m := NewMesh(corners, scale)
	if len(m.Triangles) == 0 {
		return nil, fmt.Errorf("a 3MF of %d triangles, none of which has an area, expected a surface", len(corners))
	}
	return m, nil
}

// model3MF is the name of the part with the model: where the package's relations say, or where it usually is.
func model3MF(z *zip.Reader, allowed int64) (string, error) {
	name := "3D/3dmodel.model"
	if part(z, "_rels/.rels") == nil {
		if part(z, name) == nil {
			return "", fmt.Errorf("a zip file without a 3-D model in it, expected a 3MF")
		}
		return name, nil
	}
	err := readPart(z, "_rels/.rels", min(allowed, 1<<20), func(next func() (xml.Token, error)) error {
		for {
			t, err := next()
			if err == io.EOF {
				return nil
			} else if err != nil {
				return err
			}
			if e, ok := t.(xml.StartElement); ok && e.Name.Local == "Relationship" && strings.HasSuffix(attr(e, "Type"), "/3dmodel") {
				name = attr(e, "Target")
			}
		}
	})
	return name, err
}

func part(z *zip.Reader, name string) *zip.File {
	name = strings.TrimPrefix(path.Clean("/"+name), "/")
	for _, f := range z.File {
		if strings.EqualFold(strings.TrimPrefix(f.Name, "/"), name) {
			return f
		}
	}
	return nil
}

// readPart hands the XML of a file in the package to read, piece by piece.
func readPart(z *zip.Reader, name string, allowed int64, read func(next func() (xml.Token, error)) error) error {
	f := part(z, name)
	if f == nil {
		return fmt.Errorf("a 3MF without its part %q, expected the model there", clip(name))
	}
	if f.UncompressedSize64 > uint64(allowed) {
		return fmt.Errorf("a 3MF whose part %q claims to unpack to %d bytes, expected at most %d from a file of this size", clip(name), f.UncompressedSize64, allowed)
	}
	in, err := f.Open()
	if err != nil {
		return fmt.Errorf("a 3MF whose part %q cannot be unpacked (%v)", clip(name), err)
	}
	defer in.Close()
	sip := &sip{in: in, left: allowed}
	d := xml.NewDecoder(sip)
	depth := 0
	err = read(func() (xml.Token, error) {
		t, err := d.Token()
		sip.mark = d.InputOffset()
		switch t.(type) {
		case xml.StartElement:
			if depth++; depth > deep3MF {
				return nil, fmt.Errorf("a 3MF with more than %d elements in one another, expected a model", deep3MF)
			}
		case xml.EndElement:
			depth--
		}
		if err == io.EOF || err == nil {
			return t, err
		}
		return nil, fmt.Errorf("a 3MF whose part %q cannot be read (%v), expected the whole file", clip(name), err)
	})
	return err
}

// A sip reads no more than it may, in all and for one token.
type sip struct {
	in   io.Reader
	left int64 // bytes that may still be read
	read int64 // bytes read
	mark int64 // where the last token ended
}

func (s *sip) Read(p []byte) (int, error) {
	if s.read-s.mark > token3MF {
		return 0, fmt.Errorf("one element is longer than %d bytes", token3MF)
	}
	if s.left <= 0 {
		return 0, fmt.Errorf("it unpacks to more than it may for its size")
	}
	n, err := s.in.Read(p[:min(int64(len(p)), s.left)])
	s.left -= int64(n)
	s.read += int64(n)
	return n, err
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Space == "" && a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func clip(s string) string {
	if len(s) > 60 {
		return s[:60] + "…"
	}
	return s
}

// A placed3MF is an object where a component or an item puts it.
type placed3MF struct {
	object int
	place  affine
}

// An affine map of the specification: rows for x, y, z and the shift; a point is a row before it.
type affine [12]float64

var stays = affine{1, 0, 0, 0, 1, 0, 0, 0, 1}

func (a *affine) of(p [3]float64) (out [3]float64) {
	for k := range out {
		out[k] = p[0]*a[k] + p[1]*a[3+k] + p[2]*a[6+k] + a[9+k]
	}
	return out
}

// then is b after a.
func (a *affine) then(b *affine) (out affine) {
	for row := range 4 {
		for k := range 3 {
			v := a[3*row]*b[k] + a[3*row+1]*b[3+k] + a[3*row+2]*b[6+k]
			if row == 3 {
				v += b[9+k]
			}
			out[3*row+k] = v
		}
	}
	return out
}

func (a *affine) det() float64 {
	return a[0]*(a[4]*a[8]-a[5]*a[7]) - a[1]*(a[3]*a[8]-a[5]*a[6]) + a[2]*(a[3]*a[7]-a[4]*a[6])
}

type object3MF struct {
	id        string
	skip      bool // supports
	points    [][3]float64
	triangles [][3]int32
	parts     []placed3MF
	count     int64 // triangles with those of its components
	deep      int   // components in one another
}

type reader3MF struct {
	unit    float64
	objects []object3MF
	index   map[string]int
	items   []placed3MF
	open    bool // within an object
	model   bool // a model element was seen
	points  int
	listed  int // triangles, components and items
}

const core3MF = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"

func (r *reader3MF) read(next func() (xml.Token, error)) error {
	for {
		t, err := next()
		if err == io.EOF {
			if !r.model {
				return fmt.Errorf("a 3MF without a model element, expected one")
			}
			return nil
		} else if err != nil {
			return err
		}
		switch e := t.(type) {
		case xml.StartElement:
			if e.Name.Space != core3MF {
				if !r.model {
					return fmt.Errorf("a 3MF that begins with %q of %q, expected a model of the core specification", clip(e.Name.Local), clip(e.Name.Space))
				}
				continue
			}
			if err := r.start(e); err != nil {
				return err
			}
		case xml.EndElement:
			if e.Name.Space == core3MF && e.Name.Local == "object" {
				r.open = false
			}
		}
	}
}

func (r *reader3MF) start(e xml.StartElement) error {
	switch e.Name.Local {
	case "model":
		unit, ok := units3MF[attr(e, "unit")]
		if !ok {
			return fmt.Errorf("a 3MF in the unit %q, expected micron, millimeter, centimeter, inch, foot or meter", clip(attr(e, "unit")))
		}
		if need := attr(e, "requiredextensions"); need != "" {
			return fmt.Errorf("a 3MF that needs the extensions %q to be read, expected plain triangles; save it without them", clip(need))
		}
		r.unit, r.model = unit, true
	case "object":
		id := attr(e, "id")
		if _, twice := r.index[id]; twice || id == "" {
			return fmt.Errorf("a 3MF with the object id %q twice or empty, expected each once", clip(id))
		}
		if len(r.objects) == objects3MF {
			return fmt.Errorf("a 3MF with more than %d objects, expected fewer", objects3MF)
		}
		kind := attr(e, "type")
		r.index[id] = len(r.objects)
		r.objects = append(r.objects, object3MF{id: id, skip: kind == "support" || kind == "solidsupport" || kind == "other"})
		r.open = true
	case "vertex":
		if !r.open {
			return fmt.Errorf("a 3MF with a vertex outside of an object")
		}
		return r.vertex(e)
	case "triangle":
		if !r.open {
			return fmt.Errorf("a 3MF with a triangle outside of an object")
		}
		return r.triangle(e)
	case "component", "item":
		return r.placed(e)
	}
	return nil
}

func (r *reader3MF) vertex(e xml.StartElement) error {
	if r.points++; r.points > 3*MaxTriangles {
		return fmt.Errorf("a 3MF with more than %d corners, expected at most that; save it with fewer", 3*MaxTriangles)
	}
	o := &r.objects[len(r.objects)-1]
	var p [3]float64
	for k, name := range []string{"x", "y", "z"} {
		v, err := strconv.ParseFloat(attr(e, name), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("a 3MF whose corner %d of object %s has %s = %q, expected a number", len(o.points), clip(o.id), name, clip(attr(e, name)))
		}
		p[k] = v
	}
	o.points = append(o.points, p)
	return nil
}

func (r *reader3MF) triangle(e xml.StartElement) error {
	if r.listed++; r.listed > MaxTriangles {
		return tooMany(uint64(r.listed))
	}
	o := &r.objects[len(r.objects)-1]
	var t [3]int32
	for k, name := range []string{"v1", "v2", "v3"} {
		v, err := strconv.ParseInt(attr(e, name), 10, 32)
		if err != nil || v < 0 || v >= int64(len(o.points)) {
			return fmt.Errorf("a 3MF whose triangle %d of object %s has %s = %q, expected the number of one of its %d corners", len(o.triangles), clip(o.id), name, clip(attr(e, name)), len(o.points))
		}
		t[k] = int32(v)
	}
	o.triangles = append(o.triangles, t)
	return nil
}

func (r *reader3MF) placed(e xml.StartElement) error {
	if r.listed++; r.listed > MaxTriangles || len(r.items) > objects3MF {
		return tooMany(uint64(r.listed))
	}
	id := attr(e, "objectid")
	k, ok := r.index[id]
	inObject := e.Name.Local == "component"
	if !ok || inObject && k == len(r.objects)-1 { // an object may only use those before it: so there is no ring
		return fmt.Errorf("a 3MF with a %s of object %q, expected one that stands before it", e.Name.Local, clip(id))
	}
	p := placed3MF{k, stays}
	if text := attr(e, "transform"); text != "" {
		words := strings.Fields(text)
		if len(words) != 12 {
			return fmt.Errorf("a 3MF with %d numbers in a transform, expected 12", len(words))
		}
		for i, w := range words {
			v, err := strconv.ParseFloat(w, 64)
			if err != nil || !(math.Abs(v) <= 1e9) {
				return fmt.Errorf("a 3MF with %q in a transform, expected a number", clip(w))
			}
			p.place[i] = v
		}
		if p.place.det() == 0 {
			return fmt.Errorf("a 3MF with a transform that flattens object %s, expected one that keeps a volume", clip(id))
		}
	}
	switch {
	case !inObject:
		r.items = append(r.items, p)
	case !r.open:
		return fmt.Errorf("a 3MF with a component outside of an object")
	default:
		o := &r.objects[len(r.objects)-1]
		o.parts = append(o.parts, p)
	}
	return nil
}

// flat is every triangle on the build plate, mm.
func (r *reader3MF) flat() ([][3][3]float32, error) {
	for i := range r.objects { // an object uses only those before it, so that their counts are known
		o := &r.objects[i]
		if o.skip {
			continue
		}
		o.count = int64(len(o.triangles))
		for _, c := range o.parts {
			if o.deep = max(o.deep, 1+r.objects[c.object].deep); o.deep > deep3MF {
				return nil, fmt.Errorf("a 3MF with components more than %d deep in one another, expected fewer", deep3MF)
			}
			if o.count += r.objects[c.object].count; o.count > MaxTriangles {
				return nil, fmt.Errorf("a 3MF whose components multiply to more than %d triangles, expected fewer", MaxTriangles)
			}
		}
	}
	var all int64
	for _, it := range r.items {
		if all += r.objects[it.object].count; all > MaxTriangles {
			return nil, tooMany(uint64(all))
		}
	}
	if all == 0 {
		return nil, fmt.Errorf("a 3MF with nothing on its build plate, expected an item with triangles")
	}
	out := make([][3][3]float32, 0, all)
	for _, it := range r.items {
		out = r.put(out, it.object, it.place)
	}
	return out, nil
}

// put appends an object with its components. Objects without triangles are passed by, so that the work is that of the triangles.
func (r *reader3MF) put(out [][3][3]float32, k int, place affine) [][3][3]float32 {
	o := &r.objects[k]
	if o.count == 0 {
		return out
	}
	order := [3]int{0, 1, 2}
	if place.det() < 0 {
		order = [3]int{0, 2, 1} // a mirror image: what was outside stays outside
	}
	for _, t := range o.triangles {
		var one [3][3]float32
		for i, n := range order {
			p := place.of(o.points[t[n]])
			for j := range p {
				one[i][j] = float32(p[j] * r.unit)
			}
		}
		out = append(out, one)
	}
	for _, c := range o.parts {
		out = r.put(out, c.object, c.place.then(&place))
	}
	return out
}
