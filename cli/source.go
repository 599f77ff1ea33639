package cli

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

// A loaded build, as a command was given it.
type loaded struct {
	build *rig.Build
	model *solid.Model
	sums  map[string][sha256.Size]byte // of every text read, by the name that the workshop folder has for it
}

// load reads a document; its folder is the workshop folder, which bases and bins do not leave. The places of mistakes are told
// with the path as the builder typed it.
func load(path string) (*loaded, error) {
	dir, name := filepath.Split(path)
	if dir == "" {
		dir = "."
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("found no folder %s, expected the one that holds %s", dir, name)
	}
	defer root.Close()
	files := root.FS()
	sums := map[string][sha256.Size]byte{}
	b, err := rig.Load(func(name string) ([]byte, error) {
		text, err := bounded(files, name)
		sums[name] = sha256.Sum256(text)
		return text, err
	}, name)
	if err != nil {
		return nil, placed(filepath.Dir(path), err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		return nil, placed(filepath.Dir(path), err)
	}
	return &loaded{build: b, model: ride.Stand(m), sums: sums}, nil
}

// bounded reads a file, unless it is larger than anything a document may name.
func bounded(files fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(files, name)
	if err != nil {
		return nil, err
	}
	if info.Size() > rig.MaxMeshBytes {
		return nil, fmt.Errorf("it holds %d MiB, expected at most %d", info.Size()>>20, rig.MaxMeshBytes>>20)
	}
	return fs.ReadFile(files, name)
}

// placed puts the folder before each file name of the diagnostics.
func placed(dir string, err error) error {
	var list rig.Diagnostics
	if !errors.As(err, &list) || dir == "." {
		return err
	}
	out := make(rig.Diagnostics, len(list))
	for i, d := range list {
		if d.Place.File != "" {
			d.Place.File = filepath.Join(dir, d.Place.File)
		}
		out[i] = d
	}
	return out
}
