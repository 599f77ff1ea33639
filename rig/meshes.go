package rig

import (
	"errors"
	"io/fs"
)

// Limits on mesh files.
const (
	MaxMeshBytes  = 64 << 20  // of one file
	maxMeshTotal  = 256 << 20 // of all files that one document names
	maxMeshShapes = 1000      // shapes that name one
)

// Mesh is the file that a shape of the build's document names; false when it names none.
func (b *Build) Mesh(s *Shape) (file string, data []byte, ok bool) {
	if s.Mesh == "" {
		return "", nil, false
	}
	file, bad := inside(folder(s.Place.File), s.Mesh)
	if bad != "" {
		return "", nil, false
	}
	data, ok = b.Meshes[file]
	return file, data, ok
}

// meshes reads the files that the document's shapes name, each once.
func (l *loader) meshes(b *Build) {
	b.Meshes = map[string][]byte{}
	total, shapes := 0, 0
	read := func(s *Shape, path string) {
		if s.Mesh == "" {
			return
		}
		file, bad := inside(folder(s.Place.File), s.Mesh)
		if bad != "" {
			l.add("bad-mesh", s.Place, path, `found %s for "mesh", %s`, quote(s.Mesh), bad)
			return
		}
		if shapes++; shapes == maxMeshShapes+1 {
			l.add("too-many", s.Place, path, "found more than %d shapes with a mesh, expected at most %d", maxMeshShapes, maxMeshShapes)
		}
		if _, have := b.Meshes[file]; have || shapes > maxMeshShapes {
			return
		}
		data, err := l.src(file)
		b.Meshes[file] = nil // so that a mistake is reported once
		switch {
		case errors.Is(err, fs.ErrNotExist):
			advice := ""
			if a, ok := errors.AsType[Advice](err); ok {
				advice = "; " + string(a)
			}
			l.add("no-such-file", s.Place, path, "found no file %s in the workshop, expected the mesh that is named here%s", quote(file), advice)
		case err != nil:
			l.add("no-such-file", s.Place, path, "the file %s cannot be read (%v)", quote(file), err)
		case len(data) > MaxMeshBytes:
			l.add("bad-mesh", s.Place, path, "found %d MiB in %s, expected at most %d MiB; save the mesh with fewer triangles", len(data)>>20, quote(file), MaxMeshBytes>>20)
		default:
			if total += len(data); total > maxMeshTotal {
				l.add("bad-mesh", s.Place, path, "found more than %d MiB of meshes up to %s, expected less in all; save them with fewer triangles", maxMeshTotal>>20, quote(file))
				return
			}
			b.Meshes[file] = data
		}
	}
	parts := func(list Map[Part], path string) {
		for i := range list {
			e := &list[i]
			for k := range e.Value.Shape {
				read(&e.Value.Shape[k], path+e.Name+"/shape")
			}
		}
	}
	parts(b.Doc.Chassis.Parts, "chassis/parts/")
	if b.Doc.Front != nil {
		parts(b.Doc.Front.Parts, "front/parts/")
	}
	if b.Doc.Rear != nil {
		parts(b.Doc.Rear.Parts, "rear/parts/")
	}
}

// Advice is the error of a Source that cannot have a file of this kind at all, and says what to do about it.
type Advice string

func (a Advice) Error() string { return string(a) }

// Is makes it a file that is not there.
func (a Advice) Is(err error) bool { return err == fs.ErrNotExist }
