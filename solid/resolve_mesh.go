package solid

import "lowslung/rig"

// A meshKey is a file at a scale: twins and repetitions share one mesh.
type meshKey struct {
	file  string
	scale float64
}

// mesh reads the mesh that a shape names; nil when it cannot be read, which is reported.
func (r *resolver) mesh(s *rig.Shape, path string) *Mesh {
	file, data, ok := r.build.Mesh(s)
	if !ok {
		r.fail(s.Place, "no-such-file", "found no mesh %q, expected an STL or 3MF file of the workshop", s.Mesh)
		return nil
	}
	key := meshKey{file, 1}
	if s.Scale != nil {
		key.scale = *s.Scale
	}
	if m, done := r.read[key]; done {
		return m
	}
	m, err := ReadMesh(data, key.scale)
	switch {
	case err != nil:
		r.fail(s.Place, "bad-mesh", "found in the mesh %q %v", s.Mesh, err)
	case !m.Closed:
		r.note("rig/open-mesh", "The mesh %q is not closed, so it has no volume: no weight is estimated from it, and a part that is wholly inside it is not seen as touching.", s.Mesh).About = []string{path}
	}
	if r.read == nil {
		r.read = map[meshKey]*Mesh{}
	}
	r.read[key] = m
	return m
}
