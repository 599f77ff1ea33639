package form

import (
	"encoding/binary"
	"math"

	"lowslung/solid"
)

// STL is the mesh as a binary STL file, coordinates in mm (3D Systems, StereoLithography Interface Specification, 1989, from memory; the format
// itself has no unit). The same mesh gives the same bytes. A title goes into the 80 bytes of the header, cut off there.
func (m *Mesh) STL(title string) []byte {
	const head, one = 84, 50
	out := make([]byte, head, head+one*len(m.Triangles))
	copy(out[:80], "binary, mm: "+title) // must not begin with "solid"
	binary.LittleEndian.PutUint32(out[80:], uint32(len(m.Triangles)))
	put := func(v solid.Vec) {
		for _, x := range []float64{v.X, v.Y, v.Z} {
			out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)))
		}
	}
	for _, t := range m.Triangles {
		a, b, c := m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]
		put(b.Sub(a).Cross(c.Sub(a)).Unit())
		put(a)
		put(b)
		put(c)
		out = append(out, 0, 0)
	}
	return out
}
