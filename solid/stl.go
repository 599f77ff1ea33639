package solid

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"

	"lowslung/rig"
)

// STL files, binary and as text: triangles without units, taken as mm. The format is that of the 3D Systems StereoLithography Interface
// Specification (1989, from memory): 80 bytes of header, the number of triangles, then 50 bytes for each, little-endian; or text,
// "solid … facet normal … outer loop, vertex three times, endloop, endfacet … endsolid". Normals and colours are not read: the order of
// the corners says which side is out.

// MaxMeshBytes is the largest STL file that is read.
const MaxMeshBytes = rig.MaxMeshBytes

// meshMost is the largest coordinate of a mesh, mm: lengths beyond 100 m are slips, as everywhere in a document.
const meshMost = 1e5

const (
	stlHead = 84
	stlOne  = 50
)

// ReadSTL reads a mesh and multiplies it by scale. The error says what was found and what was expected, to follow "found …". Memory is
// bounded by the size of the data, whatever it claims.
func ReadSTL(data []byte, scale float64) (*Mesh, error) {
	if len(data) > MaxMeshBytes {
		return nil, fmt.Errorf("%d bytes, expected at most %d MiB; save it with fewer triangles", len(data), MaxMeshBytes>>20)
	}
	corners, err := stlCorners(data)
	if err != nil {
		return nil, err
	}
	if err := withinReach(corners, scale); err != nil {
		return nil, err
	}
	m := NewMesh(corners, scale)
	if len(m.Triangles) == 0 {
		return nil, fmt.Errorf("%d triangles, none of which has an area, expected a surface", len(corners))
	}
	return m, nil
}

// withinReach says which corner is no length: of an STL or, in mm, of a 3MF.
func withinReach(corners [][3][3]float32, scale float64) error {
	for i := range corners {
		for _, p := range corners[i] {
			for _, v := range p {
				if big := math.Abs(float64(v)) * scale; !(big <= meshMost) {
					return fmt.Errorf("a corner at %g mm in triangle %d, which with scale %g is no length below %g m, expected coordinates of a part in mm", v, i+1, scale, meshMost/1000)
				}
			}
		}
	}
	return nil
}

func stlCorners(data []byte) ([][3][3]float32, error) {
	if len(data) >= stlHead {
		n := uint64(binary.LittleEndian.Uint32(data[80:]))
		if need := stlHead + stlOne*n; need <= uint64(len(data)) && n > 0 {
			if n > MaxTriangles {
				return nil, tooMany(n)
			}
			return binarySTL(data[stlHead:need]), nil
		} else if !textSTL(data) {
			if n == 0 {
				return nil, fmt.Errorf("a binary STL of 0 triangles, expected a surface")
			}
			return nil, fmt.Errorf("a binary STL that claims %d triangles (%d bytes) in a file of %d bytes: it is cut off, or no STL; expected the whole file", n, need, len(data))
		}
	}
	if !textSTL(data) {
		return nil, fmt.Errorf(`%d bytes that are no STL, expected a binary STL (84 bytes and 50 for each triangle) or one of text that begins with "solid"`, len(data))
	}
	return parseSTL(data)
}

func tooMany(n uint64) error {
	return fmt.Errorf("%d triangles, expected at most %d; save it with fewer", n, MaxTriangles)
}

func binarySTL(data []byte) [][3][3]float32 {
	out := make([][3][3]float32, len(data)/stlOne)
	for i := range out {
		one := data[i*stlOne+12:]
		for k := range 9 {
			out[i][k/3][k%3] = math.Float32frombits(binary.LittleEndian.Uint32(one[4*k:]))
		}
	}
	return out
}

// textSTL says that the data begins like an STL of text. The header of a binary one may begin with "solid" too, but holds no facet.
func textSTL(data []byte) bool {
	head := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	if len(head) < 5 || !bytes.EqualFold(head[:5], []byte("solid")) {
		return false
	}
	head = head[:min(len(head), 4096)]
	return bytes.IndexByte(head, 0) < 0
}

// A stlText reads words with the line they stand in.
type stlText struct {
	rest []byte
	line int
}

// word is the next word in small letters, empty at the end.
func (t *stlText) word() string {
	for len(t.rest) > 0 {
		switch c := t.rest[0]; c {
		case '\n':
			t.line++
			fallthrough
		case ' ', '\t', '\r':
			t.rest = t.rest[1:]
			continue
		}
		n := bytes.IndexAny(t.rest, " \t\r\n")
		if n < 0 {
			n = len(t.rest)
		}
		w := t.rest[:n]
		t.rest = t.rest[n:]
		return string(bytes.ToLower(w[:min(len(w), 64)]))
	}
	return ""
}

// skipLine leaves out the rest of the line: the name of a solid.
func (t *stlText) skipLine() {
	if n := bytes.IndexByte(t.rest, '\n'); n >= 0 {
		t.rest = t.rest[n:]
		return
	}
	t.rest = nil
}

// expect reads words that must be there.
func (t *stlText) expect(words ...string) error {
	for _, want := range words {
		if got := t.word(); got != want {
			return t.wrong(got, want)
		}
	}
	return nil
}

func (t *stlText) wrong(got, want string) error {
	if got == "" {
		return fmt.Errorf("an STL of text that ends in line %d, expected %q: it is cut off", t.line, want)
	}
	return fmt.Errorf("an STL of text with %q in line %d, expected %q", got, t.line, want)
}

func (t *stlText) number() (float32, error) {
	w := t.word()
	v, err := strconv.ParseFloat(w, 32)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, t.wrong(w, "a number")
	}
	return float32(v), nil
}

func parseSTL(data []byte) (out [][3][3]float32, err error) {
	t := &stlText{rest: bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), line: 1}
	open := false
	for {
		switch w := t.word(); w {
		case "":
			switch {
			case open:
				return nil, t.wrong("", "endsolid")
			case len(out) == 0:
				return nil, fmt.Errorf("an STL of text without a facet, expected a surface")
			}
			return out, nil
		case "solid", "endsolid":
			open = w == "solid"
			t.skipLine()
		case "facet":
			if len(out) == MaxTriangles {
				return nil, tooMany(MaxTriangles + 1)
			}
			one, err := t.facet()
			if err != nil {
				return nil, err
			}
			out = append(out, one)
		default:
			return nil, t.wrong(w, "facet")
		}
	}
}

func (t *stlText) facet() (out [3][3]float32, err error) {
	if err := t.expect("normal"); err != nil {
		return out, err
	}
	for range 3 {
		t.word() // not used, and some programs write nan for the normal of a sliver
	}
	if err := t.expect("outer", "loop"); err != nil {
		return out, err
	}
	for k := range out {
		if err := t.expect("vertex"); err != nil {
			return out, err
		}
		for i := range out[k] {
			if out[k][i], err = t.number(); err != nil {
				return out, err
			}
		}
	}
	return out, t.expect("endloop", "endfacet")
}
